"""One clean tile out of a picture that shows the artwork repeated.

In: a picture, (height, width, 3) sRGB uint8, and the repeat found in it, which need not be a whole
number of pixels. Out: one tile of whole pixels, read at the exact repeat, so that its edges meet;
a few repeats in one where only these are whole pixels.

Where the picture holds several whole repeats, each pixel is the median over them: noise, JPEG
artefacts and a motif spoilt in one place go. Where the repeats differ by more than noise (the
picture was drawn by hand), averaging would blur, and the repeat nearest to the median is taken as
it is. Not done here: finding the repeat (``patterns.repeats.search``), mending a tile without one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from palette.arrays import Pixels
from patterns.mend.score import join_excess_de
from patterns.plane import STRAIGHT, Axis, Lattice, enlarge, parse_lattice, to_srgb8
from patterns.repeats import Repeat

MOST_REPEATS = 9
WHOLE_TO_WITHIN = 0.03  # pixels a repeat, about what a period is known to
NOISE = 12.0  # of 255: mean difference of repeats up to which they are one tile and noise


@dataclass(frozen=True, slots=True)
class CutOut:
    """A tile cut out of a larger picture.

    Attributes:
        pixels: (height, width, 3) sRGB uint8, one tile.
        lattice: how tiles sit beside each other.
        repeats: how many whole repeats it was averaged over; 1 where it was not.
    """

    pixels: Pixels
    lattice: Lattice
    repeats: int


def cut_out(picture: Pixels, repeat: Repeat) -> CutOut:
    """Cut the smallest clean tile out of a picture of repeated artwork.

    Args:
        picture: (height, width, 3) sRGB uint8, holding at least one whole repeat.
        repeat: as found in it.
    """
    lattice = parse_lattice(repeat.lattice)
    if lattice is STRAIGHT:
        repeat = _sharper(repeat, picture)
    size = _whole(repeat.height_px, lattice.drop), _whole(repeat.width_px, lattice.slide)
    tiles = [_at(picture, repeat, size, corner) for corner in _corners(picture, repeat, lattice)]
    if len(tiles) == 1:
        return CutOut(tiles[0], lattice, 1)
    if len(tiles) == 2 and _differ_somewhere(*tiles):  # the mean of two would be a ghost
        return CutOut(min(tiles, key=_break_de), lattice, 1)
    stack = np.stack(tiles)
    middle = np.rint(np.median(stack, axis=0)).astype(np.uint8)
    off = np.abs(stack.astype(np.int16) - middle).mean(axis=(1, 2, 3))
    if float(np.median(off)) > NOISE:
        return CutOut(tiles[int(np.argmin(off))], lattice, 1)
    return CutOut(middle, lattice, len(tiles))


def _differ_somewhere(one: Pixels, other: Pixels) -> bool:
    """Tell whether one of two repeats holds something that the other does not."""
    from scipy.ndimage import uniform_filter

    off = np.abs(one.astype(np.float64) - other).mean(axis=2)
    return bool(uniform_filter(off, 9, mode="wrap").max() > 2.0 * NOISE)


def _break_de(tile: Pixels) -> float:
    """Return the worst break at a tile's own joins: what was cut off ends there."""
    down, across = join_excess_de(tile), join_excess_de(tile.transpose(1, 0, 2))
    return float(max(down.max(), across.max()))


def _sharper(repeat: Repeat, picture: Pixels) -> Repeat:
    """Return the fewest repeats that are whole pixels: read without interpolation, so unblurred."""

    def several(size_px: float, room_px: int) -> float:
        for count in range(1, int(room_px / size_px + 0.01) + 1):
            if abs(count * size_px - round(count * size_px)) <= WHOLE_TO_WITHIN * count:
                return float(round(count * size_px))
        return size_px

    return replace(
        repeat,
        width_px=several(repeat.width_px, picture.shape[1]),
        height_px=several(repeat.height_px, picture.shape[0]),
    )


def _whole(size_px: float, staggered: float) -> int:
    """Return whole pixels, an even number where the lattice halves that side."""
    return max(2, 2 * round(size_px / 2.0)) if staggered else max(1, round(size_px))


def _corners(picture: Pixels, repeat: Repeat, lattice: Lattice) -> list[tuple[float, float]]:
    """Return (y, x) of the corners of whole repeats, spread over the picture."""
    height, width = picture.shape[:2]
    down, across = repeat.height_px, repeat.width_px
    corners = []
    for j in range(int(height / down) + 1):
        for i in range(int(width / across) + 1):
            y = j * down + (i % 2) * lattice.drop * down
            x = i * across + (j % 2) * lattice.slide * across
            if y + down <= height + 0.01 and x + across <= width + 0.01:
                corners.append((y, x))
    if len(corners) > MOST_REPEATS:
        chosen = np.linspace(0, len(corners) - 1, MOST_REPEATS).round().astype(int)
        corners = [corners[i] for i in chosen]
    return corners or [(0.0, 0.0)]


def _at(
    picture: Pixels, repeat: Repeat, size: tuple[int, int], corner: tuple[float, float]
) -> Pixels:
    """Read one repeat at its exact place; whole places are read without any loss."""
    rows, columns = size
    down = Axis(picture.shape[0], corner[0], repeat.height_px / rows, rows)
    across = Axis(picture.shape[1], corner[1], repeat.width_px / columns, columns)
    return to_srgb8(enlarge(picture, down, across))


def is_partial(pixels: Pixels, repeat: Repeat | None) -> bool:
    """Tell whether a picture shows its repeat more than once and not a whole number of times."""
    if repeat is None:
        return False
    held = pixels.shape[1] / repeat.width_px, pixels.shape[0] / repeat.height_px
    off = [
        abs(count - round(count)) * size
        for count, size in zip(held, (repeat.width_px, repeat.height_px), strict=True)
    ]
    return bool(max(held) > 1.2 and max(off) > 0.5)
