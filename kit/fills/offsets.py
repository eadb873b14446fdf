"""Where in the pattern should a sticker's window sit, so that few motifs are cut and none match?

In: a motif mask and the tile's colours as ``Field``s, and the edges of every sticker. Out: one
offset a sticker, with two figures: how much motif lies on the edges compared with a random offset
(``cut_cost_ratio``), and how different the two most alike stickers are (``distance``).

Cut cost of an offset: the mean of the mask under a band along the edges, 0.5 mm to either side;
the next half millimetre on the visible side counts half, because a sliver of a motif left there
looks like a mistake. Over all offsets at once that is a circular correlation, computed exactly by
the Fourier transform. Distance of two offsets: 1 − the tile's autocorrelation at their difference,
and no more than their way from a place where they would show the same, over ``MOVED_SHARE`` of the
tile. (The same motifs a little further on are the same picture to the eye. But how far apart two
offsets lie says nothing: a tile that repeats inside itself shows the same crop far away.)

Not done here: finding the motifs (the mask is given), or drawing. Stripes cannot be helped; then
``gains`` is False.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from kit.fills.bareness import bareness
from kit.fills.centring import centre_contrast
from kit.fills.field import Field, correlate, fold_over
from kit.shapes import Contour, bounding_box, flatten_contour, nearest_mm, polygon_coverage
from palette.arrays import Floats

HALF_BAND_MM = 0.5
SLIVER_MM = 1.0  # to this depth on the visible side, motifs cost half
NO_GAIN = 0.9
MOVED_SHARE = 1.0 / 3.0  # of what repeats; moved by less, it looks like the same picture
BARE_PULL = 1.0  # a window without motifs costs as much as a cut through the pattern by chance
CENTRE_PULL = 6.0  # a centred motif is worth more than any clean edge
REFINED = 6  # stickers that choose again: the later ones had others to differ from at once
DECIMALS = 9  # equals must not be told apart by floating point


@dataclass(frozen=True, slots=True)
class Edges:
    """Where a sticker cuts motifs: its outline, and its panels' edges.

    All from the top left corner of the sticker's box, as it lies before any turn.

    Attributes:
        outline: the cut line.
        panels: the edges of its panels.
        pin: the offset that the maker wants (x, y), in millimetres; None to choose one.
        centred: whether a whole motif shall sit in its middle, before clean edges.
        shorter_mm: its shorter side, where the outline is turned; None for its box's.
    """

    outline: Contour
    panels: tuple[Contour, ...] = ()
    pin: tuple[float, float] | None = None
    centred: bool = False
    shorter_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Offsets:
    """The chosen windows.

    Attributes:
        offsets_mm: (x, y) of each sticker's top left corner in the plane, in the order given.
        cut_cost_ratio: mean cut cost over the mean of all offsets; 1 is no better than chance.
        cut_costs: each sticker's share of its edge band covered by motifs, 0 to 1.
        distance: of the two most alike stickers; 0 is identical, about 1 is unrelated, infinite
            for a single sticker.
    """

    offsets_mm: tuple[tuple[float, float], ...]
    cut_cost_ratio: float
    cut_costs: tuple[float, ...]
    distance: float

    @property
    def gains(self) -> bool:
        """Whether the edges are clearly cleaner than by chance."""
        return self.cut_cost_ratio < NO_GAIN


def choose_offsets(
    mask: Field, appearance: Field, stickers: Sequence[Edges], lean: float = 0.5
) -> Offsets:
    """Return one offset for each sticker that is filled with the same pattern.

    Args:
        mask: where motifs are, 0 to 1.
        appearance: the tile's colours on the same grid, in channels.
        stickers: the edges of each; at least one.
        lean: 0 looks only for clean edges, 1 only for variety.

    Raises:
        ValueError: the two fields differ in their grid.
    """
    if mask.values.shape[:2] != appearance.values.shape[:2]:
        raise ValueError("mask and appearance must lie on one grid")
    costs = cache(lambda edges: cut_costs(mask, edges))
    maps = [costs(edges) for edges in stickers]
    ratios = [_ratio(cost) for cost in maps]
    bare = cache(
        lambda edges: np.round(BARE_PULL * bareness(mask, edges.outline, edges.panels), DECIMALS)
    )
    scores = [
        ratio + bare(edges) - CENTRE_PULL * centre_contrast(mask, edges.outline, edges.shorter_mm)
        if edges.centred
        else ratio + bare(edges)
        for edges, ratio in zip(stickers, ratios, strict=True)
    ]
    differences = dissimilarity(appearance)
    fixed = [_cell_of(edges.pin, mask) for edges in stickers]
    cells = _refine(scores, differences, _greedy(scores, differences, lean, fixed), lean, fixed)
    pitch_x, pitch_y = mask.pitch_mm
    pairs = [_between(differences, a, b) for i, a in enumerate(cells) for b in cells[:i]]
    return Offsets(
        offsets_mm=tuple(
            edges.pin or (col * pitch_x, row * pitch_y)
            for edges, (row, col) in zip(stickers, cells, strict=True)
        ),
        cut_cost_ratio=float(np.mean([r[c] for r, c in zip(ratios, cells, strict=True)])),
        cut_costs=tuple(float(m[c]) for m, c in zip(maps, cells, strict=True)),
        distance=min(pairs, default=math.inf),
    )


def cut_costs(mask: Field, edges: Edges) -> Floats:
    """Return the cut cost of every offset: (rows, cols), the offset of cell (i, j) is its corner.

    Each is the mean of the mask under the edge band, 0 to 1.
    """
    band, first_row, first_col = edge_band(edges, mask.pitch_mm)
    folded = fold_over(band, mask.values.shape[0], mask.values.shape[1])
    # the band's own origin lies a margin outside the sticker's corner
    folded = np.roll(folded, (first_row, first_col), axis=(0, 1)) / band.sum()
    return correlate(folded, mask.values)


def edge_band(edges: Edges, pitch_mm: tuple[float, float]) -> tuple[Floats, int, int]:
    """Return the weights along a sticker's edges, and the row and column where they begin.

    The grid is the mask's: cell (0, 0) has its top left corner at the sticker's.
    """
    pitch_x, pitch_y = pitch_mm
    box = bounding_box(edges.outline).grow(HALF_BAND_MM)
    col, row = math.floor(box.x_mm / pitch_x), math.floor(box.y_mm / pitch_y)
    cols = math.ceil(box.right_mm / pitch_x) - col
    rows = math.ceil(box.bottom_mm / pitch_y) - row
    xs = (np.arange(cols, dtype=np.float64) + col + 0.5) * pitch_x
    ys = (np.arange(rows, dtype=np.float64) + row + 0.5) * pitch_y
    band = np.zeros((rows, cols))
    for contour, visible_inside in ((edges.outline, 1.0), *((p, 0.0) for p in edges.panels)):
        points = np.array(flatten_contour(contour, 0.01)) / (pitch_x, pitch_y) - (col, row)
        inside = polygon_coverage([points], rows, cols)
        visible = np.abs(1.0 - visible_inside - inside)
        away = nearest_mm(contour, xs, ys, SLIVER_MM + pitch_x)
        band += _within(away, HALF_BAND_MM, pitch_x) * (1.0 - 0.5 * visible)
        band += _within(away, SLIVER_MM, pitch_x) * 0.5 * visible
    return band, row, col


def _within(away: Floats, reach_mm: float, pitch_mm: float) -> Floats:
    """Return the share of each cell that is nearer than ``reach_mm``."""
    shares: Floats = np.clip(0.5 + (reach_mm - away) / pitch_mm, 0.0, 1.0)
    return shares


def dissimilarity(appearance: Field) -> Floats:
    """Return how different two windows look for every difference of their offsets, 0 to 1.

    It is 1 − autocorrelation, 0 at no difference, and near a place where the two look alike no more
    than the way to it (along x and along y together) over ``MOVED_SHARE`` of the tile, or of what
    repeats inside it. A tile of one colour is like itself everywhere: 0.
    """
    values = appearance.values
    channels = values[..., None] if values.ndim == 2 else values
    centred = channels - channels.mean(axis=(0, 1))
    power = (np.abs(np.fft.rfft2(centred, axes=(0, 1))) ** 2).sum(axis=2)
    similarity: Floats = np.fft.irfft2(power, s=(values.shape[0], values.shape[1]))
    if similarity[0, 0] <= 1e-9 * similarity.size:
        return np.zeros_like(similarity)
    pitch_mm = appearance.pitch_mm[1], appearance.pitch_mm[0]  # down, across
    similarity = np.clip(similarity / similarity[0, 0], 0.0, 1.0)
    sides = tuple(cells * mm for cells, mm in zip(similarity.shape, pitch_mm, strict=True))
    farthest = float((1.0 - _ease(similarity, sum(sides) / 2.0, pitch_mm)).max())
    eased = _ease(similarity, MOVED_SHARE * min(sides) * farthest, pitch_mm)
    distances: Floats = np.round(1.0 - eased, DECIMALS)
    return distances


def _ease(similarity: Floats, reach_mm: float, pitch_mm: tuple[float, float]) -> Floats:
    """Return similarities that fall from every place to nothing over no less than ``reach_mm``."""
    down = _slope(similarity, pitch_mm[0] / reach_mm, 0)
    return _slope(down, pitch_mm[1] / reach_mm, 1)


def _slope(values: Floats, fall: float, axis: int) -> Floats:
    """Return values that fall by no more than ``fall`` a cell along an axis that has no end."""
    count = values.shape[axis]
    ramp = fall * np.arange(2 * count).reshape((-1, 1) if axis == 0 else (1, -1))
    twice = np.concatenate([values, values], axis=axis)
    down = np.maximum.accumulate(twice + ramp, axis=axis) - ramp
    up = np.flip(np.maximum.accumulate(np.flip(twice - ramp, axis), axis=axis), axis) + ramp
    there = np.arange(count)
    sloped: Floats = np.maximum(down.take(there + count, axis), up.take(there, axis))
    return sloped


def _ratio(costs: Floats) -> Floats:
    """Return costs over their mean; all 1 where nothing is ever cut."""
    mean = float(costs.mean())
    return np.ones_like(costs) if mean <= 1e-12 else np.round(costs / mean, DECIMALS)


Cell = tuple[int, int]


def _cell_of(pin: tuple[float, float] | None, mask: Field) -> Cell | None:
    """Return the grid cell nearest to a pinned offset."""
    if pin is None:
        return None
    rows, cols = mask.values.shape[:2]
    pitch_x, pitch_y = mask.pitch_mm
    return round(pin[1] / pitch_y) % rows, round(pin[0] / pitch_x) % cols


def _greedy(
    ratios: Sequence[Floats], differences: Floats, lean: float, fixed: Sequence[Cell | None]
) -> list[Cell]:
    """Choose one sticker after the other, each against the pinned ones and those before."""
    cells: list[Cell] = []
    nearest: Floats | None = None
    for pinned in sorted({cell for cell in fixed if cell is not None}):
        nearest = _nearer(nearest, differences, pinned)
    for ratio, own in zip(ratios, fixed, strict=True):
        cells.append(_best(ratio, nearest, lean) if own is None else own)
        nearest = _nearer(nearest, differences, cells[-1])
    return cells


def _refine(
    ratios: Sequence[Floats],
    differences: Floats,
    cells: list[Cell],
    lean: float,
    fixed: Sequence[Cell | None],
) -> list[Cell]:
    """Choose the first ones again, twice, now that there are others to differ from."""
    if len(cells) < 2:
        return cells
    for _ in range(2):
        for i, ratio in enumerate(ratios[:REFINED]):
            if fixed[i] is not None:
                continue
            nearest: Floats | None = None
            for other in cells[:i] + cells[i + 1 :]:
                nearest = _nearer(nearest, differences, other)
            cells[i] = _best(ratio, nearest, lean)
    return cells


def _nearer(nearest: Floats | None, differences: Floats, cell: Cell) -> Floats:
    """Return for every offset the distance to the most alike of those so far and this one."""
    moved: Floats = np.roll(differences, cell, axis=(0, 1))
    return moved if nearest is None else np.minimum(nearest, moved, out=moved)


def _best(ratio: Floats, nearest: Floats | None, lean: float) -> Cell:
    """Return the cell with the best of clean edges and distance from the others."""
    # at first there is nothing to differ from
    score = -ratio if nearest is None else lean * nearest - (1.0 - lean) * ratio
    best, cols = int(np.argmax(score)), int(score.shape[1])
    return best // cols, best % cols


def _between(differences: Floats, a: Cell, b: Cell) -> float:
    rows, cols = differences.shape
    return float(differences[(a[0] - b[0]) % rows, (a[1] - b[1]) % cols])
