"""Which colours are in this tile, and how much of each?

Input: pixels (h, w, 3), sRGB uint8, of one tile. Output: ``ColourBins``, some thousand colours with
their share of the area, in a canonical order, so that everything after it works on colours instead
of millions of pixels. Where a tile has at most 30,000 colours each is a bin of its own, exact; a
grainy tile is counted in bins two code values wide, each represented by the *mean* of its pixels,
because bin centres would miss flat colours.

A large tile is read at about half a million pixels: one row of each two, and of it every second,
fourth … pixel. Which row and where it begins follow two irrational rotations, so that no lattice of
the artwork, however fine, can hide from the count or be counted twice. Each bin also knows which
share of its pixels is *fringe*: the transition between two different neighbours that anti-aliasing,
JPEG chroma or a soft brush leave along an outline.

Source: none; bin widths and sampling are our measurements (benchmarks/palette.py repeats them).
Not done here: transparency, which is laid on white when artwork is opened.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.arrays import Floats, Indices, Pixels
from palette.choose.antialiasing import REACH_PX, fringe_flags
from palette.space import srgb_to_lab

Codes = NDArray[np.integer[Any]]

EXACT_COLOURS = 30_000
LARGE_PX = 600_000
SAMPLED_PX = 500_000


@dataclass(frozen=True)
class ColourBins:
    """The colours of one tile, or of several pooled, in Morton order of their sRGB codes.

    Attributes:
        lab: (n, 3) CIELAB (D50), mean of the bin's pixels.
        rgb8: (n, 3) uint8, the bin's most frequent colour: it really occurs in the artwork.
        weight: (n,) share of the area, 0 to 1, adding up to 1.
        fringe: (n,) share of the bin's own pixels, 0 to 1, that are transitions along an outline.
    """

    lab: Floats
    rgb8: Pixels
    weight: Floats
    fringe: Floats

    def __post_init__(self) -> None:
        for field in fields(self):
            getattr(self, field.name).setflags(write=False)

    def __len__(self) -> int:
        return len(self.weight)

    @property
    def key(self) -> bytes:
        """Tell these bins from others, for an order that file names have no part in."""
        return self.rgb8.tobytes() + self.weight.tobytes() + self.fringe.tobytes()

    @property
    def body(self) -> Floats:
        """Share of the area, (n,), that is not a fringe, adding up to 1."""
        body = self.weight * (1.0 - self.fringe)
        total = float(body.sum())
        return body / total if total > 0.02 else self.weight


def _spread_table() -> NDArray[np.uint32]:
    """Put two empty bits after each bit of 0 to 255, for interleaving three channels."""
    spread = [sum((value >> bit) % 2 * 8**bit for bit in range(8)) for value in range(256)]
    return np.array(spread, dtype=np.uint32)


_SPREAD = _spread_table()


def morton(planes: Pixels) -> NDArray[np.uint32]:
    """Interleave the bits of sRGB codes (3, n); a prefix of the code is a coarser bin."""
    red, green, blue = (_SPREAD[plane] for plane in planes)
    code: NDArray[np.uint32] = (red << 2) | (green << 1) | blue
    return code


def _gather_table() -> Pixels:
    """Undo the interleaving for 12 bits at a time, shape (3, 4096): the upper or lower nibbles."""
    codes = np.arange(4096)
    nibbles = [sum((codes >> (3 * bit + i) & 1) << bit for bit in range(4)) for i in (2, 1, 0)]
    return np.array(nibbles, dtype=np.uint8)


_GATHER = _gather_table()


def _unmorton(code: Codes) -> Pixels:
    upper, lower = code >> 12, code & 4095
    return np.stack([(table[upper] << 4) | table[lower] for table in _GATHER], axis=-1)


def _lattices(height: int, width: int) -> tuple[list[Indices], int]:
    """Return the rows that begin at column 0, 1, 2 … and the step from column to column."""
    if height * width <= LARGE_PX:
        return [np.arange(height)], 1
    step = 2
    while height * width // (2 * step) > SAMPLED_PX:
        step *= 2
    pair = np.arange(height // 2)
    rows = 2 * pair + (pair * np.sqrt(2.0) % 1.0 < 0.5)
    first = np.floor(step * (pair * np.sqrt(1.25) % 1.0)).astype(np.intp)
    return [rows[first == column] for column in range(step)], step


def sample(planes: Pixels, dy: int = 0, dx: int = 0) -> Pixels:
    """Return the pixels to count, moved by (dy, dx) pixels with wrap-around.

    Args:
        planes: (3, h, w) uint8, one plane a channel: numpy compares those many times faster.
        dy: rows further down.
        dx: columns further right.

    Returns:
        (3, n) uint8, every pixel of a small tile, some of a large one.
    """
    lattices, step = _lattices(*planes.shape[1:])
    parts = []
    for column, rows in enumerate(lattices):
        taken = planes.take(rows + dy, axis=1, mode="wrap")
        if dx:
            taken = np.roll(taken, -dx, axis=2)
        parts.append(taken[:, :, column::step].reshape(3, -1))
    return np.concatenate(parts, axis=1)


def bins_of(pixels: Pixels) -> ColourBins:
    """Count the colours of one tile.

    Args:
        pixels: (h, w, 3) sRGB uint8.

    Returns:
        its bins, the same for the same pixels whatever the machine.
    """
    planes = np.ascontiguousarray(pixels.transpose(2, 0, 1))
    here = sample(planes)
    reachable = min(pixels.shape[:2]) > 2 * REACH_PX
    flags = fringe_flags(here, lambda dy, dx: sample(planes, dy, dx)) if reachable else 0
    coded = (morton(here) << 1) | flags
    coded.sort()
    starts = _starts(coded)
    counts = np.diff(np.append(starts, len(coded)))
    coded = coded[starts]
    colours = _starts(coded >> 1)
    # One bit of fringe, then the exact colour, then bins two codes wide: each a prefix.
    shift = 1 if len(colours) <= EXACT_COLOURS else 4
    return _bin(coded >> 1, counts * 1.0, counts * (coded & 1), coded >> shift)


def _starts(ordered: Codes) -> Indices:
    """Return where each run of equal values begins."""
    changes = np.flatnonzero(ordered[1:] != ordered[:-1]) + 1
    return np.concatenate([np.zeros(1, dtype=np.intp), changes])


def _bin(code: Codes, count: Floats, fringe: NDArray[Any], key: Codes) -> ColourBins:
    """Sum runs of equal key into bins; codes are ordered, so a bin is one run."""
    starts = _starts(key)
    total = np.add.reduceat(count, starts)
    rgb8 = _unmorton(code)
    means = np.add.reduceat(rgb8 * count[:, None], starts) / total[:, None]
    return ColourBins(
        lab=srgb_to_lab(means / 255.0),
        rgb8=rgb8[_heaviest(count, starts)],
        weight=total / total.sum(),
        fringe=np.add.reduceat(fringe * 1.0, starts) / total,
    )


def _heaviest(weight: Floats, starts: Indices) -> Indices:
    """Return for each run the index of its heaviest member, the first where several are."""
    lengths = np.diff(np.append(starts, len(weight)))
    top = np.repeat(np.maximum.reduceat(weight, starts), lengths)
    candidates = np.flatnonzero(weight == top)
    return candidates[np.searchsorted(candidates, starts)]


def pool_bins(tiles: Iterable[ColourBins], limit: int = EXACT_COLOURS) -> ColourBins:
    """Put several tiles into one set of bins; every tile has equal say, whatever its size.

    Args:
        tiles: bins of each tile; their order does not matter.
        limit: how many bins to keep at most; neighbours are joined into bins 2, 4, 8 codes wide.
    """
    # Rounding of the sums, too, must not depend on the order of files.
    parts = sorted(tiles, key=lambda part: part.key)
    rgb8 = np.concatenate([part.rgb8 for part in parts])
    code = morton(rgb8.T)
    order = np.argsort(code, kind="stable")
    rgb8, code = rgb8[order], code[order]
    lab = np.concatenate([part.lab for part in parts])[order]
    weight = np.concatenate([part.weight for part in parts])[order] / len(parts)
    fringe = np.concatenate([part.fringe for part in parts])[order]
    for shift in (0, 3, 6, 9, 12, 15):
        starts = _starts(code >> shift)
        if len(starts) <= limit:
            break
    total = np.add.reduceat(weight, starts)
    return ColourBins(
        lab=np.add.reduceat(lab * weight[:, None], starts) / total[:, None],
        rgb8=rgb8[_heaviest(weight * (1.0 - fringe), starts)],
        weight=total / total.sum(),
        fringe=np.add.reduceat(fringe * weight, starts) / total,
    )
