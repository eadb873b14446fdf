"""Which pixels of a tile belong together, seen in the plane that it makes without end?

In: a mask of one tile and its lattice. Out: ``Piece``s: each connected area once, unfolded, so that
one that crosses the tile's edges is whole; and the areas that have no end, such as a stripe.

How: areas are labelled inside the tile; across each edge the label here and the label there are
tied together with the step between their tiles. An area that ties to itself a tile further on has
no end. Not done here: what is a motif (``patterns.lift.lifting``).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.arrays import Indices, Mask
from patterns.plane import Lattice

Step = tuple[int, int]  # rows and columns of the plane


@dataclass(frozen=True, eq=False)
class Piece:
    """One connected area of the plane.

    Attributes:
        top: the first row of its box in the plane; 0 is the tile's.
        left: the first column, likewise.
        mask: (rows, columns) bool of its box.
    """

    top: int
    left: int
    mask: Mask


@dataclass(frozen=True, eq=False)
class Pieces:
    """All connected areas of a plane.

    Attributes:
        whole: those that have an end.
        endless_px: how many of a tile's pixels belong to those that have none.
    """

    whole: tuple[Piece, ...]
    endless_px: int


def steps_of(lattice: Lattice, shape: tuple[int, int]) -> tuple[Step, Step]:
    """Return the steps to the tile on the right and to the one below, (rows, columns) in pixels."""
    height, width = shape
    return (round(lattice.drop * height), width), (height, round(lattice.slide * width))


def plane_places(
    lattice: Lattice, shape: tuple[int, int], rows: Indices, columns: Indices
) -> tuple[Indices, Indices]:
    """Return where in one tile the given places of the plane lie.

    Args:
        lattice: how tiles sit beside each other.
        shape: a tile's height and width.
        rows: rows of the plane, of any shape.
        columns: columns, of a shape that goes with it.
    """
    (drop, width), (height, slide) = steps_of(lattice, shape)
    if slide:
        return rows % height, (columns - rows // height * slide) % width
    return (rows - columns // width * drop) % height, columns % width


def find_pieces(mask: Mask, lattice: Lattice, reach: int = 0) -> Pieces:
    """Return the connected areas of a plane; corners connect.

    Args:
        mask: (height, width) bool, one tile.
        lattice: how tiles sit beside each other.
        reach: areas with at most twice as many pixels between them count as one.
    """
    from scipy.ndimage import find_objects, label

    labels, count = label(_grown(mask, lattice, reach), np.ones((3, 3)))
    groups = list(_groups(labels, count, lattice))
    labels[~mask] = 0
    boxes = find_objects(labels, count)
    whole, endless_px = [], 0
    for steps, has_end in groups:
        parts = [(boxes[one - 1], one, step) for one, step in steps.items() if boxes[one - 1]]
        if not has_end:
            endless_px += sum(int((labels[box] == one).sum()) for box, one, _ in parts)
        elif parts:
            whole.append(_unfolded(labels, parts))
    return Pieces(tuple(whole), endless_px)


def _grown(mask: Mask, lattice: Lattice, reach: int) -> Mask:
    """Return a mask grown by some pixels every way, over the tile's edges too."""
    from scipy.ndimage import maximum_filter

    if reach < 1:
        return mask
    height, width = mask.shape
    rows, columns = np.arange(-reach, height + reach), np.arange(-reach, width + reach)
    around = mask[plane_places(lattice, (height, width), rows[:, None], columns[None])]
    grown: Mask = maximum_filter(around, 2 * reach + 1)[reach:-reach, reach:-reach]
    return grown


def _groups(
    labels: NDArray[np.int32], count: int, lattice: Lattice
) -> Iterator[tuple[dict[int, Step], bool]]:
    """Yield the labels of each area with the steps to their tiles, and whether it has an end."""
    ties: dict[int, list[tuple[int, Step]]] = {}
    for one, other, down, across in _ties(labels, lattice):
        ties.setdefault(one, []).append((other, (down, across)))
        ties.setdefault(other, []).append((one, (-down, -across)))
    seen: set[int] = set()
    for first in range(1, count + 1):
        if first in seen:
            continue
        steps, has_end, ahead = {first: (0, 0)}, True, [first]
        while ahead:
            here = ahead.pop()
            for other, (down, across) in ties.get(here, ()):
                step = steps[here][0] + down, steps[here][1] + across
                if other not in steps:
                    steps[other] = step
                    ahead.append(other)
                elif steps[other] != step:
                    has_end = False
        seen.update(steps)
        yield steps, has_end


def _ties(labels: NDArray[np.int32], lattice: Lattice) -> set[tuple[int, int, int, int]]:
    """Return (label here, label there, rows, columns): what touches over an edge, and the step."""
    height, width = labels.shape
    found: set[tuple[int, int, int, int]] = set()
    for aside in (-1, 0, 1):
        down, across = np.arange(height), np.arange(width)
        edges = (
            (labels[:, -1], down + aside, np.full(height, width)),
            (labels[-1], np.full(width, height), across + aside),
        )
        for here, rows, columns in edges:
            y, x = plane_places(lattice, (height, width), rows, columns)
            there = labels[y, x]
            both = (here > 0) & (there > 0)
            ties = np.stack([here, there, rows - y, columns - x], axis=1)[both]
            found.update((int(a), int(b), int(c), int(d)) for a, b, c, d in np.unique(ties, axis=0))
    return found


def _unfolded(
    labels: NDArray[np.int32], parts: list[tuple[tuple[slice, slice], int, Step]]
) -> Piece:
    """Return an area's parts, each in its own tile, as one."""
    tops = [box[0].start + step[0] for box, _, step in parts]
    lefts = [box[1].start + step[1] for box, _, step in parts]
    ends = [(box[0].stop + step[0], box[1].stop + step[1]) for box, _, step in parts]
    top, left = min(tops), min(lefts)
    mask = np.zeros((max(y for y, _ in ends) - top, max(x for _, x in ends) - left), dtype=bool)
    for (box, one, _), y, x in zip(parts, tops, lefts, strict=True):
        part = labels[box] == one
        mask[y - top : y - top + part.shape[0], x - left : x - left + part.shape[1]] |= part
    return Piece(top, left, mask)
