"""Which whole motifs can be taken out of a tile, and in which order?

In: a tile, (height, width, 3) sRGB uint8, and its lattice. Out: a ``Lift``: its motifs, each once,
the largest and most unlike first; and where there are none, why, in words for the maker.

A motif is a connected area that stands out from a ground of one colour, has an end, an edge that is
sharp for its size, and is not cut off by the tile's own edge. Each one that is as good as another
is left out. Which are alike and which come first is seen on small copies, so that only motifs
that are wanted need to be freed of the ground. Not done here: that (``patterns.lift.matting``),
sizes on paper.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from palette.arrays import Floats, Floats32, Indices, Mask, Pixels
from palette.space import srgb_to_lab
from patterns.lift.distances import distance_up_to
from patterns.lift.ground import MOST_SPREAD, Ground, find_ground
from patterns.lift.matting import MOST_EDGE, matte
from patterns.lift.pieces import Piece, find_pieces, plane_places
from patterns.plane import STRAIGHT, Lattice, reduce_by

MOST_PIXELS = 36_000_000  # of a tile; a larger one is reduced to so many
REACH = 0.0012  # of the tile's side: pieces with twice this between them are one motif
LEAST_SIDE = 0.03  # of the tile's side, the longer side of a motif
LEAST_PX = 16  # likewise in pixels: less holds no drawing
TWICE_OFF = 2.0  # times what the ground scatters: some of a motif stands out by so much
SOFT_SHARE = 0.04  # of a motif's size: how wide its edge may be
SOFT_LESS = 0.45  # of its strength: reached within that width, or it has no edge
CLEARLY_OFF = 50.0  # of 255: a pale part from here on has an edge of its own
CUT_PX = 4  # so many pixels of a motif end at the tile's edge at full strength: it was cut
CUT_SHARE = 0.6  # and as much of its width a little further in
CUT_BACK = 0.05  # of its size: how far in
FULL = 0.8  # of the next pixel's strength: from here on nobody drew an edge
TRACE = 0.14  # of what is drawn near by: traces of lossy files are that strong
TRACE_PX = 17  # a JPEG block of 8 pixels either way (ITU-T T.81)
JOINED = 0.5  # of all that is no ground: if more of it has no end, motifs run into each other
LOOK_PX = 24  # sides of the small copies that are compared
ALIKE = 0.04  # mean difference of two small copies, 0 to 1, up to which they are one motif
ALIKE_SIZE = 0.04  # of their sizes, in the same way
SIZE_COUNTS = 0.25  # power of the area, by which the unlike are weighed

NO_GROUND = "there is no one colour behind its motifs"
GRAINY = "its ground is a texture, not one colour"
BARE = "nothing stands out from its ground"
JOINED_UP = "its motifs touch one another all over the pattern"
SOFT = "what stands out from its ground has no edge, as in a wash"
CUT_OFF = "its motifs are cut off at the tile's edges"
TOO_SMALL = "all that stands out from its ground is too small"

Window = tuple[slice, slice] | tuple[Indices, Indices]  # into a tile


@dataclass(frozen=True, eq=False)
class Motif:
    """One motif, free of its ground.

    Attributes:
        top: its box's first row in the plane, in pixels of the tile; 0 is the tile's.
        left: its first column, likewise.
        colour: (rows, columns, 3) sRGB uint8, its own colour.
        alpha: (rows, columns) uint8.
        area_px: how much it covers.
    """

    top: int
    left: int
    colour: Pixels = field(repr=False)
    alpha: Pixels = field(repr=False)
    area_px: float

    @property
    def on_white(self) -> Pixels:
        """Its pixels laid on white, (rows, columns, 3) sRGB uint8."""
        share = self.alpha[..., None].astype(np.float32) / np.float32(255.0)
        laid = 255.0 + (self.colour.astype(np.float32) - 255.0) * share
        return np.rint(laid).astype(np.uint8)

    @property
    def rgba(self) -> Pixels:
        """(rows, columns, 4) sRGB uint8 and alpha, not premultiplied."""
        return np.dstack([self.colour, self.alpha])


@dataclass(frozen=True, eq=False)
class Lift:
    """What was taken out of one tile.

    Attributes:
        motifs: each once, the largest and most unlike first; as many as were wanted.
        why_none: a clause that says why there are none; "" where there are some.
        cut_off: how many were left out because the tile's edge cuts them.
        ground: what the motifs lay on; None where there are none.
    """

    motifs: tuple[Motif, ...]
    why_none: str = ""
    cut_off: int = 0
    ground: Ground | None = None


def lift_motifs(
    pixels: Pixels,
    lattice: Lattice = STRAIGHT,
    *,
    lossy: bool = False,
    most: int | None = None,
) -> Lift:
    """Take the whole motifs out of a tile.

    Args:
        pixels: (height, width, 3) sRGB uint8, one tile.
        lattice: how tiles sit beside each other.
        lossy: whether its file format leaves faint traces about what is drawn.
        most: how many are wanted, the first of them; None for all that there are.
    """
    reduced = max(1.0, (pixels.shape[0] * pixels.shape[1] / MOST_PIXELS) ** 0.5)
    if reduced > 1.0:
        pixels = reduce_by(pixels, reduced)
    ground = find_ground(pixels)
    if ground is None or ground.spread > MOST_SPREAD:
        return Lift((), NO_GROUND if ground is None else GRAINY)
    away = ground.away(pixels)
    off = away > ground.least_off
    if lossy:
        off &= _no_trace(away)
    side = float(np.sqrt(off.size))
    pieces = find_pieces(off, lattice, max(1, round(REACH * side)))
    if pieces.endless_px > JOINED * off.sum():
        return Lift((), JOINED_UP)
    least = max(LEAST_PX, LEAST_SIDE * side)
    large = [one for one in pieces.whole if max(one.mask.shape) >= least]
    if not large:
        return Lift((), TOO_SMALL if pieces.whole else BARE)
    sharp = [one for one in large if _has_edge(away, one, lattice, ground)]
    if len(sharp) * 2 <= len(large) or not sharp:
        return Lift((), SOFT)
    whole = [one for one in sharp if not _is_cut(away, one, lattice)]
    if not whole:
        return Lift((), CUT_OFF, len(sharp))
    looks = _in_order(_once([_look(pixels, one, lattice) for one in whole]))
    motifs = tuple(
        _lifted(pixels, off, one.piece, lattice, ground, lossy=lossy) for one in looks[:most]
    )
    return Lift(motifs, "", len(sharp) - len(whole), ground)


def _no_trace(away: Floats32) -> Mask:
    """Return where a pixel is more than what lossy files leave about something strong."""
    from scipy.ndimage import maximum_filter

    clear: Mask = away > TRACE * maximum_filter(away, TRACE_PX, mode="wrap")
    return clear


def _window(shape: tuple[int, int], piece: Piece, margin: int, lattice: Lattice) -> Window:
    """Return indices into a tile that show a piece's box with a margin."""
    top, left = piece.top - margin, piece.left - margin
    high, wide = (side + 2 * margin for side in piece.mask.shape)
    if top >= 0 and top + high <= shape[0] and left >= 0 and left + wide <= shape[1]:
        return slice(top, top + high), slice(left, left + wide)
    return _places(shape, piece, margin, lattice)


def _places(
    shape: tuple[int, int], piece: Piece, margin: int, lattice: Lattice
) -> tuple[Indices, Indices]:
    """Return the rows and columns of one tile that a piece's box with a margin shows."""
    rows = np.arange(piece.top - margin, piece.top + piece.mask.shape[0] + margin)
    columns = np.arange(piece.left - margin, piece.left + piece.mask.shape[1] + margin)
    return plane_places(lattice, shape, rows[:, None], columns[None])


def _has_edge(away: Floats32, piece: Piece, lattice: Lattice, ground: Ground) -> bool:
    """Whether a piece stands out from the ground close to its edge, as drawings do."""
    inside = np.pad(piece.mask, 1)
    strength = away[_window(away.shape, piece, 1, lattice)]
    typical = float(np.percentile(strength[inside], 75.0))
    soon = max(3.0, SOFT_SHARE * float(np.sqrt(inside.sum())))
    depth = distance_up_to(inside, math.ceil(soon))
    rim = inside & (depth <= soon)
    near = inside & (depth > soon - 1.5) & rim
    if not near.any():  # all of it is that thin
        near = rim
    soon_strength = float(np.median(strength[near]))
    stands_off = typical >= TWICE_OFF * ground.least_off
    return stands_off and soon_strength >= min(SOFT_LESS * typical, CLEARLY_OFF)


def _is_cut(away: Floats32, piece: Piece, lattice: Lattice) -> bool:
    """Whether a piece ends along the tile's edge at full strength, as if cut off by it."""
    height, width = away.shape
    high, wide = piece.mask.shape
    if 0 < piece.top < height - high and 0 < piece.left < width - wide:
        return False
    inside = np.pad(piece.mask, 1)
    places = np.broadcast_arrays(*_places(away.shape, piece, 1, lattice))
    ends = [
        (axis, end, inward)
        for axis, last in ((0, height - 1), (1, width - 1))
        for end, inward in ((0, 1), (last, -1))
        if (inside & (places[axis] == end)).any()
    ]
    if not ends:
        return False
    strength = np.where(inside, away[places[0], places[1]], 0.0)
    back = max(3, round(CUT_BACK * max(piece.mask.shape)))
    for axis, end, inward in ends:
        rim = inside & (places[axis] == end) & ~np.roll(inside, inward, axis=axis)
        before = np.roll(strength, -inward, axis=axis)
        full = int((rim & (strength >= FULL * before)).sum())
        behind = int((inside & (places[axis] == end + inward * back)).sum())
        if full >= CUT_PX and full > CUT_SHARE * behind:
            return True
    return False


def _lifted(
    pixels: Pixels, off: Mask, piece: Piece, lattice: Lattice, ground: Ground, *, lossy: bool
) -> Motif:
    margin = MOST_EDGE + 2
    window = _window(off.shape, piece, margin, lattice)
    inside = np.pad(piece.mask, margin)
    made = matte(pixels[window], ground, inside, off[window] & ~inside, lossy=lossy)
    rows, columns = (np.flatnonzero(made.alpha.any(axis=axis)) for axis in (1, 0))
    top, left = int(rows[0]), int(columns[0])
    box = slice(top, int(rows[-1]) + 1), slice(left, int(columns[-1]) + 1)
    alpha = made.alpha[box].copy()
    return Motif(
        piece.top - margin + top,
        piece.left - margin + left,
        made.colour[box].copy(),
        alpha,
        float(alpha.sum(dtype=np.int64)) / 255.0,
    )


@dataclass(frozen=True, eq=False)
class _Look:
    """How a piece looks from afar.

    Attributes:
        piece: where it is.
        copy: (``LOOK_PX``, ``LOOK_PX``, 4) colour times cover, and cover, 0 to 1.
        area_px: how many pixels it has.
    """

    piece: Piece
    copy: Floats
    area_px: int


def _look(pixels: Pixels, piece: Piece, lattice: Lattice) -> _Look:
    from PIL import Image

    seen = pixels[_window(pixels.shape[:2], piece, 0, lattice)]
    picture = Image.fromarray(np.dstack([seen, piece.mask.astype(np.uint8) * 255]))
    small = picture.convert("RGBa").resize((LOOK_PX, LOOK_PX), Image.Resampling.BOX)
    return _Look(piece, np.asarray(small) / 255.0, int(piece.mask.sum()))


def _once(looks: Sequence[_Look]) -> list[_Look]:
    """Return the looks without those that show another one again, the largest first."""
    kept: list[_Look] = []
    for one in sorted(looks, key=lambda look: (-look.area_px, look.piece.top, look.piece.left)):
        if not any(
            _same_size(one, other) and float(np.abs(one.copy - other.copy).mean()) <= ALIKE
            for other in kept
        ):
            kept.append(one)
    return kept


def _same_size(one: _Look, other: _Look) -> bool:
    pairs = zip(one.piece.mask.shape, other.piece.mask.shape, strict=True)
    return all(abs(a - b) <= max(2.0, ALIKE_SIZE * max(a, b)) for a, b in pairs)


def _in_order(looks: Sequence[_Look]) -> list[_Look]:
    """Return looks in the order in which each next one is large and unlike those before it."""
    traits = np.stack([_traits(one) for one in looks])
    weight = np.array([one.area_px for one in looks]) ** SIZE_COUNTS
    order = [int(np.argmax(weight))]
    apart = np.linalg.norm(traits - traits[order[0]], axis=1)
    while len(order) < len(looks):
        score = (apart + 1e-6) * weight
        score[order] = -1.0
        order.append(int(np.argmax(score)))
        apart = np.minimum(apart, np.linalg.norm(traits - traits[order[-1]], axis=1))
    return [looks[i] for i in order]


def _traits(look: _Look) -> Floats:
    """Return what makes a motif unlike others: its colours, how long it is, how full its shape."""
    weight = look.copy[..., 3]
    total = weight.sum()
    own = look.copy[..., :3] / np.maximum(weight, 1.0 / 255.0)[..., None]
    lab = srgb_to_lab(np.minimum(own, 1.0))
    mean = np.einsum("ij,ijk->k", weight, lab) / total
    scatter = np.sqrt(np.einsum("ij,ijk->k", weight, (lab - mean) ** 2) / total)
    high, wide = (side / LOOK_PX for side in look.piece.mask.shape)
    y, x = np.indices(weight.shape, dtype=np.float64)
    y = (y - (y * weight).sum() / total) * high
    x = (x - (x * weight).sum() / total) * wide
    yy, xx, xy = ((weight * one).sum() / total for one in (y * y, x * x, x * y))
    short, long = np.sqrt(np.maximum(np.linalg.eigvalsh([[yy, xy], [xy, xx]]), 0.1))
    full = total * high * wide / (4.0 * np.pi * short * long)  # 1 for an ellipse
    shape = [2.0 * np.log(long / short), 4.0 * full]
    return np.concatenate([mean / 15.0, scatter / 15.0, shape])
