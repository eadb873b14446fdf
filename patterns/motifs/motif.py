"""What in this tile is motif and what is ground, and how large are the motifs?

In: a tile, (height, width, 3) sRGB uint8. Out: a mask of its motifs; the size and spacing of the
largest, and the wavelength of what is drawn in them, in pixels of the tile.

Ground is what the eye takes for paper: the commonest colours, where few of them cover much of the
tile (a check has two). Where none does, as in a watercolour, it is the local middle colour, and
what stands out from that is motif (centre against surround, after Itti, Koch, Niebur, "A model of
saliency-based visual attention", IEEE TPAMI 20(11), 1998). The bound between them is Otsu's ("A
threshold selection method from gray-level histograms", IEEE Trans. SMC 9(1), 1979). All of it wraps
at the tile's edges. A wash, a texture or a photograph has no motifs: it changes nearly as much
everywhere as where it changes most, while a drawing is flat but for its edges. In ruled artwork (a
plaid, a stripe, a basket weave) nearly all edges run straight across or down; what is spaced there
is the sett, not the patches between its lines.

Not done here: telling which motif is which, choosing a repeat.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Indices, Mask, Pixels
from palette.space import srgb_to_lab
from patterns.plane import reduce_by

WORK_PX = 240  # longer side of the small copy that is measured
GROUND_DE = 7.0  # colours this near are one ground
GROUND_SHARE = 0.22  # the least of the tile that a ground colour covers
LEAST_DE = 2.5  # what stands out by less is not a motif
SOFT_DE = 4.0  # steps from one pixel of the small copy to the next, nearly all of them: no edge
EVEN = 12.0  # times the middle step, up to which the strongest ones are a texture's
LEAST_STEP_DE = 0.3  # what an 8-bit file cannot hold is not a middle step
SPECK = 0.0001  # share of the tile under which a patch is not a motif
THIN_SHARE = 0.2  # of what stands out, left where strokes under 2 px are taken away
LARGE_FROM = 0.75  # of all area of motifs, in order of size: where the largest begin
LARGEST_SHARE = 0.35  # of their area: patches smaller than that are companions
EDGE_DE = 4.0  # steps from one pixel of the small copy to the next: an edge
RULED_FROM = 0.75  # of all edges, that run straight across or down
STRAIGHT_TO = 0.1  # of the step over an edge: what changes along it
COARSE_SHARE = 0.2  # of what changes over a tile: its coarsest part, which is spaced like motifs


@dataclass(frozen=True, slots=True)
class MotifSize:
    """How large the motifs of a tile are.

    Attributes:
        motif_px: size of the largest motifs (side of the square of their area, holes filled).
        spacing_px: distance from one of them to the next.
        count: of them to a tile; 0 where there is none.
        detail_px: mean wavelength of all that changes over the tile; its width where nothing does.
        is_ruled: whether it is artwork of straight lines across or down.
    """

    motif_px: float
    spacing_px: float
    count: int
    detail_px: float
    is_ruled: bool = False


def motif_mask(pixels: Pixels) -> Mask:
    """Return (height, width) bool: True where there is motif.

    Args:
        pixels: (height, width, 3) sRGB uint8, one tile.
    """
    small = _small_mask(_small(pixels))
    rows = np.arange(pixels.shape[0]) * small.shape[0] // pixels.shape[0]
    columns = np.arange(pixels.shape[1]) * small.shape[1] // pixels.shape[1]
    return np.asarray(small[rows][:, columns])


def measure_motifs(pixels: Pixels) -> MotifSize:
    """Return size and spacing of a tile's motifs in its own pixels.

    Args:
        pixels: (height, width, 3) sRGB uint8, one tile.
    """
    small = _small(pixels)
    lab = srgb_to_lab(small)
    side = float(np.sqrt(pixels.shape[0] * pixels.shape[1]))
    factor = side / float(np.sqrt(small.shape[0] * small.shape[1]))
    detail, coarse = (factor * length for length in _wavelengths(lab))
    if _is_surface(lab):
        return MotifSize(0.0, side, 0, detail)
    size = _measure_drawing(small, side, factor, detail, coarse)
    if not size.count or not _is_ruled(lab):
        return size
    spacing = max(size.spacing_px, coarse)
    count = max(1, round((side / spacing) ** 2))
    return MotifSize(size.motif_px, spacing, count, detail, is_ruled=True)


def _measure_drawing(
    small: Pixels, side: float, factor: float, detail: float, coarse: float
) -> MotifSize:
    mask = _small_mask(small)
    areas, endless = _areas(mask)
    if not len(areas) or mask.mean() > 0.97:  # lines finer than the small copy shows
        return MotifSize(0.0, coarse, max(1, round((side / coarse) ** 2)), detail)
    filled = mask if endless else _filled(mask)
    areas, endless = (areas, True) if endless else _areas(filled)
    if endless or filled.mean() > 0.97:
        # stripes, nets and crowds have no separate motifs: measure across them
        spacing, across = (factor * length for length in _chords(mask))
        spacing = max(spacing, coarse)
        return MotifSize(across, spacing, max(1, round((side / spacing) ** 2)), detail)
    order = np.sort(areas)
    large = order[np.searchsorted(np.cumsum(order), LARGE_FROM * order.sum())]
    largest = order[order > LARGEST_SHARE * large]
    spacing = float(np.sqrt(mask.size / len(largest)))
    return MotifSize(float(np.sqrt(large)) * factor, spacing * factor, len(largest), detail)


def _wavelengths(lab: Floats) -> tuple[float, float]:
    """Return the mean wavelength of a periodic picture, and that of its coarsest part, in pixels.

    Means of frequency are weighted by power (the spectrum's centroid).
    """
    height, width = lab.shape[:2]
    power = (np.abs(np.fft.fft2(lab - lab.mean(axis=(0, 1)), axes=(0, 1))) ** 2).sum(axis=2)
    frequency = np.hypot(np.fft.fftfreq(height)[:, None], np.fft.fftfreq(width)[None])
    total = float(power.sum())
    if total < 1e-6 * lab.size:
        return float(width), float(width)
    order = np.argsort(frequency, axis=None, kind="stable")
    passed = np.searchsorted(np.cumsum(power.ravel()[order]), COARSE_SHARE * total)
    coarse = float(frequency.ravel()[order[passed]])
    return total / float((power * frequency).sum()), 1.0 / max(coarse, 1.0 / max(height, width))


def _is_surface(lab: Floats) -> bool:
    """Whether a picture has tones or a texture, not motifs: all its steps are soft, or alike.

    Over the tile's edges does not count: a wash with a seam is a wash.
    """
    inside = tuple(slice(min(1, side - 1), None) for side in lab.shape[:2])
    steps = [(lab - np.roll(lab, 1, axis=axis))[inside] for axis in (0, 1)]
    squares = [(step**2).sum(axis=2) for step in steps]
    if np.percentile(np.sqrt(np.stack(squares)), 99.98) < SOFT_DE:
        return True
    middle, strong = np.percentile(np.sqrt(squares[0] + squares[1]), (50.0, 99.9))
    return bool(strong < EVEN * max(middle, LEAST_STEP_DE))


def _is_ruled(lab: Floats) -> bool:
    """Whether nearly all edges run straight across or down."""
    if min(lab.shape[:2]) < 2:
        return False
    down = np.linalg.norm(np.diff(lab, axis=0), axis=2)[:, :-1]
    across = np.linalg.norm(np.diff(lab, axis=1), axis=2)[:-1]
    most, least = np.maximum(down, across), np.minimum(down, across)
    edge = most > EDGE_DE
    return bool(edge.any() and (least < STRAIGHT_TO * most)[edge].mean() >= RULED_FROM)


def _filled(mask: Mask) -> Mask:
    """Return motifs without their holes, over the tile's edges too."""
    from scipy.ndimage import binary_fill_holes

    down, across = mask.shape[0] // 2, mask.shape[1] // 2
    wrapped = np.pad(mask, ((down, down), (across, across)), mode="wrap")
    filled = binary_fill_holes(wrapped)[down:, across:]
    return np.asarray(filled[: mask.shape[0], : mask.shape[1]])


def _small_mask(small: Pixels) -> Mask:
    from scipy.ndimage import binary_closing, binary_opening

    lab = srgb_to_lab(small)
    away = _away_from_ground(lab)
    mask = away > max(LEAST_DE, _otsu(away))
    if min(mask.shape) < 12:
        return np.asarray(mask)
    wrapped = np.pad(mask, 4, mode="wrap")
    cross = np.ones((2, 2), dtype=bool)
    opened = binary_opening(wrapped, cross)
    if opened.sum() < THIN_SHARE * wrapped.sum():
        opened = wrapped  # drawn in lines finer than that
    clean = binary_closing(opened, np.ones((3, 3), dtype=bool))
    return np.asarray(clean[4:-4, 4:-4])


def _small(pixels: Pixels) -> Pixels:
    factor = max(pixels.shape[:2]) / WORK_PX
    return pixels if factor <= 1.0 else reduce_by(pixels, factor)


def _away_from_ground(lab: Floats) -> Floats:
    """Return (height, width): CIE76 from the nearest ground colour, or from the surroundings."""
    grounds = _ground_colours(lab.reshape(-1, 3))
    if len(grounds):
        away = [np.linalg.norm(lab - ground, axis=2) for ground in grounds]
        return np.asarray(np.min(away, axis=0))
    return np.asarray(np.linalg.norm(lab - _surroundings(lab), axis=2))


def _surroundings(lab: Floats) -> Floats:
    """Return (height, width, 3): the middle colour of a wide neighbourhood of each place."""
    from scipy.ndimage import gaussian_filter, median_filter

    step = max(1, max(lab.shape[:2]) // 60)
    few = gaussian_filter(lab, (step / 2, step / 2, 0.0), mode="wrap")[::step, ::step]
    span = max(3, max(few.shape[:2]) // 5) | 1
    middle = median_filter(few, size=(span, span, 1), mode="wrap")
    rows, columns = (np.arange(n) // step for n in lab.shape[:2])
    return np.asarray(
        gaussian_filter(middle[rows][:, columns], (2.0 * step, 2.0 * step, 0.0), mode="wrap")
    )


def _ground_colours(lab: Floats) -> list[Floats]:
    """Return the one or two commonest colours, each if it covers enough of the tile."""
    grounds: list[Floats] = []
    left = lab
    for _ in range(2):
        if len(left) < GROUND_SHARE * len(lab):
            break
        cells = np.round(left / GROUND_DE).astype(np.int64) @ np.array([1, 1000, 1000000])
        _, index, count = np.unique(cells, return_inverse=True, return_counts=True)
        centre = np.median(left[index == np.argmax(count)], axis=0)
        inside = np.linalg.norm(left - centre, axis=1) < GROUND_DE
        # a second colour is ground only if the first leaves too little for motifs without it
        least = GROUND_SHARE if not grounds else 2.0 * GROUND_SHARE
        if inside.sum() < least * (len(lab) if not grounds else len(left)):
            break
        grounds.append(left[inside].mean(axis=0))
        if inside.sum() > 0.4 * len(lab):
            break
        left = left[~inside]
    return grounds


def _otsu(values: Floats) -> float:
    """Return the bound that parts values best into two classes, or 0 where all are alike."""
    counts, edges = np.histogram(values, bins=96)
    centres = (edges[:-1] + edges[1:]) / 2.0
    below = np.cumsum(counts)[:-1].astype(np.float64)
    above = counts.sum() - below
    total = np.cumsum(counts * centres)
    with np.errstate(divide="ignore", invalid="ignore"):
        apart = (total[:-1] / below - (total[-1] - total[:-1]) / above) ** 2
    between = np.where((below > 0) & (above > 0), below * above * apart, 0.0)
    return float(edges[int(np.argmax(between)) + 1]) if between.max() > 0.0 else 0.0


def _areas(mask: Mask) -> tuple[Floats, bool]:
    """Return areas of connected motifs over the tile's edges, and whether most have no end."""
    from scipy.ndimage import label

    labels, count = label(mask, np.ones((3, 3)))
    joined = np.arange(count + 1)
    for one, other in ((labels[0], labels[-1]), (labels[:, 0], labels[:, -1])):
        for a, b in {(int(p), int(q)) for p, q in zip(one, other, strict=True) if p and q}:
            first, second = sorted((_root(joined, a), _root(joined, b)))
            joined[second] = first
    roots = np.array([_root(joined, i) for i in range(count + 1)])
    areas = np.bincount(roots[labels].ravel(), minlength=count + 1).astype(np.float64)
    areas[0] = 0.0
    least = max(4.0, SPECK * mask.size)
    endless = 0.0
    for root in np.flatnonzero(areas >= max(least, 0.02 * areas.sum())):
        here = roots[labels] == root
        endless += areas[root] * bool(here.any(axis=0).all() or here.any(axis=1).all())
    return areas[areas >= least], bool(endless > 0.5 * areas.sum() > 0.0)


def _root(joined: Indices, item: int) -> int:
    while joined[item] != item:
        item = int(joined[item])
    return item


def _chords(mask: Mask) -> tuple[float, float]:
    """Return mean spacing and mean width of motif along lines that cross it, wrapped."""
    spacings, widths = [], []
    for axis in (0, 1):
        starts = mask & ~np.roll(mask, 1, axis=axis)
        crossed = starts.any(axis=axis)
        if crossed.any():
            lines = int(starts.sum())
            spacings.append(mask.shape[axis] * int(crossed.sum()) / lines)
            widths.append(float(np.compress(crossed, mask, axis=1 - axis).sum()) / lines)
    if not spacings:
        return float(np.sqrt(mask.size)), float(np.sqrt(mask.size))
    return float(min(spacings)), float(min(widths))
