"""Where do two tiles meet, and where could one cut the tile elsewhere to compare?

In: (height, width, 3) sRGB uint8 and a lattice. Out: per axis a stack of *lines*, CIELAB float32,
shape (lines, along, 3): axis 0 runs across the join, axis 1 along the edge, whichever axis of the
picture that is. A *cut* at row r of a stack is the place between lines r - 1 and r. In every stack
one row is the join, as the lattice places the neighbour, and others are the tile's own interior,
so that each measure is taken of the join and of the interior by the same code.

Two stacks are made of one tile: the *whole* tile, reduced by area where it is large, and *blocks*
of full-size lines around the join and around a few interior cuts. Not done here: measuring.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats32, Indices, Pixels
from patterns.lab32 import lab32
from patterns.plane import Lattice, reduce_by

SIDE = 8  # lines kept on either side of a cut of the whole tile,
BLOCK_SIDE = 4  # and of a block in full size
LEAST_PX = 4 * SIDE  # smaller tiles have no interior to compare with
WHOLE_PX = 300  # the longer side of the reduced tile
BLOCKS = 6  # interior cuts looked at in full size on a large tile, evenly spread,
STRONGEST = 4  # and those where it steps most


@dataclass(frozen=True, slots=True)
class Stack:
    """Lines across one axis of a tile.

    Attributes:
        lines: (rows, along, 3) CIELAB (D50) float32, read-only.
        join: the row that the join precedes.
        interior: the rows of the interior cuts.
        side: how many lines are on either side of every cut.
        moved: how many columns the neighbour is moved along the edge by the lattice.
    """

    lines: Floats32
    join: int
    interior: Indices
    side: int
    moved: int


@dataclass(frozen=True, slots=True)
class Joins:
    """Everything that is measured of one axis: the whole tile, and blocks in full size.

    Attributes:
        whole: the tile from edge to edge; its first and last ``SIDE`` lines are its neighbours'.
        blocks: full-size lines around the cuts; the same object as ``whole`` on a small tile.
        length_px: length of the edge in the tile's pixels.
    """

    whole: Stack
    blocks: Stack
    length_px: int


def build_joins(pixels: Pixels, lattice: Lattice) -> tuple[Joins, Joins]:
    """Return what is measured of the axes x and y of a tile, shape (height, width, 3) uint8.

    Axis x: the right edge meets the left edge, lowered by ``lattice.drop`` of the height. Axis y:
    the bottom meets the top, slid by ``lattice.slide`` of the width.
    """
    small, px_per_line = _reduce(pixels)
    labs = lab32(small)
    across_x = np.ascontiguousarray(labs.transpose(1, 0, 2))
    turned = pixels.transpose(1, 0, 2)
    return (
        _joins(across_x, turned, lattice.drop, px_per_line),
        _joins(labs, pixels, lattice.slide, px_per_line),
    )


def _reduce(pixels: Pixels) -> tuple[Pixels, float]:
    """Return the tile by area means with its longer side near ``WHOLE_PX``, and the factor.

    A long thin tile is reduced less, so that its short side keeps an interior.
    """
    height, width = pixels.shape[:2]
    factor = min(max(height, width) / WHOLE_PX, min(height, width) / LEAST_PX)
    if factor < 1.5:
        return pixels, 1.0
    return reduce_by(pixels, factor, gap=1.0), factor


def _joins(labs: Floats32, pixels: Pixels, shift: float, px_per_line: float) -> Joins:
    whole = _whole(labs, shift)
    if px_per_line == 1.0:
        return Joins(whole, whole, int(pixels.shape[1]))
    return Joins(whole, _blocks(pixels, shift, _strongest(pixels, labs)), int(pixels.shape[1]))


def _whole(labs: Floats32, shift: float) -> Stack:
    count = labs.shape[0]
    side = min(SIDE, count)
    step = round(shift * labs.shape[1])
    before = np.roll(labs[count - side :], -step, axis=1)
    after = np.roll(labs[:side], step, axis=1)
    lines = np.concatenate([before, labs, after])
    lines.setflags(write=False)
    interior = np.arange(2 * side, count + 1)
    return Stack(lines, count + side, interior, side, step)


def _strongest(pixels: Pixels, labs: Floats32) -> Indices:
    """Return the full-size cuts at which the tile steps most over its whole width.

    A stripe's edge is in one line: evenly spread cuts would miss it and know nothing of it.
    """
    step = np.abs(np.diff(labs[..., 0], axis=0)).mean(axis=1)
    per_line = pixels.shape[0] / labs.shape[0]
    reach = int(np.ceil(per_line)) + 1
    rows = []
    for _ in range(STRONGEST):
        row = int(np.argmax(step))
        step[max(0, row - 1) : row + 2] = -1.0
        first = int(np.clip((row + 1) * per_line - reach, SIDE, pixels.shape[0] - SIDE - 1))
        last = min(first + 2 * reach, pixels.shape[0] - SIDE)
        lines = pixels[first - 1 : last, ::4, 1].astype(np.int16)
        rows.append(first + int(np.argmax(np.abs(np.diff(lines, axis=0)).sum(axis=1))))
    return np.unique(np.array(rows))


def _blocks(pixels: Pixels, shift: float, strongest: Indices) -> Stack:
    """Full-size lines: the join's block first, then the interior's, on multiples of 8 and off."""
    side = BLOCK_SIDE
    count, along = pixels.shape[:2]
    step = round(shift * along)
    cuts = np.linspace(SIDE, count - SIDE, BLOCKS + 2)[1:-1].astype(int)
    cuts[::2] -= cuts[::2] % 8  # JPEG's blocks begin there, as one does at the join
    cuts = np.unique(np.concatenate([cuts, strongest]))
    join = np.concatenate([pixels[count - side :], np.roll(pixels[:side], step, axis=1)])
    parts = [join] + [pixels[c - side : c + side] for c in cuts]
    lines = lab32(np.concatenate(parts))
    lines.setflags(write=False)
    interior = np.arange(1, len(cuts) + 1) * 2 * side + side
    return Stack(lines, side, interior, side, step)
