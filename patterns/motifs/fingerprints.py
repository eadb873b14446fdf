"""Is this the same artwork again: shifted, in another size, in other colours?

In: a tile, (height, width, 3) sRGB uint8. Out: its fingerprint, some hundred bytes, and for two
of them a likeness from 0 to 1. A tile that is one repeat of the artwork, wherever it was cut out of
the plane, has the same fingerprint: it holds the strengths of the tile's frequencies, without their
phases, and moving a periodic picture changes only the phases (shift theorem of the Fourier
transform). Size is taken out by reducing every tile to the same small grid; colour by looking not
at colours but at where they change, softened so that a pale edge weighs nearly what a strong one
does.

``benchmarks/duplicates.py`` prints how often that works on 76 drawn tiles: shifted, rescaled, with
turned hues, through JPEG and in other colours, all motifs and geometric patterns were found again;
of grain and brush strokes, which hold little but what a small grid leaves out, about half. Four of
2,850 pairs of different tiles were called the same, all of them bricks and scallops.

Not recognised: a tile that holds another number of repeats, is turned or mirrored. Not done here:
finding such tiles in a library (``kitloom.library``).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.arrays import Floats, Floats32, Pixels
from patterns.plane import reduce_to

GRID = 96  # a side of the small picture; finer would see JPEG blocks
FINE = 2 * GRID  # reduced to first, so that strokes finer than the grid leave no moiré on it
REACH = 14  # frequencies kept along each axis
SAME = 0.80  # likeness from which two tiles are called the same artwork
BLUR_CELLS = 0.8
SOFT = 0.3  # of the strong edges: at this strength an edge counts half
PLAIN = 3.0  # code values; weaker changes are noise on a plain tile
_SCALE = 500.0


def fingerprint(pixels: Pixels) -> NDArray[np.int8]:
    """Return the fingerprint of one tile, (n,) int8; zeros for a plain tile.

    Args:
        pixels: (height, width, 3) sRGB uint8.
    """
    edges = _edges(reduce_to(pixels, FINE, FINE, gap=2.0).astype(np.float32))
    strength = np.abs(np.fft.fft2(edges - edges.mean()))
    # half a plane of frequencies is enough: the picture is real
    low = np.concatenate([strength[:REACH, :REACH], strength[:-REACH:-1, :REACH]]).ravel()[1:]
    feature = np.sqrt(low)
    feature -= feature.mean()
    length = float(np.linalg.norm(feature))
    if length < 1e-6:
        return np.zeros(low.size, dtype=np.int8)
    codes: NDArray[np.int8] = np.rint(feature / length * _SCALE).clip(-127, 127).astype(np.int8)
    return codes


def _edges(small: Floats32) -> Floats32:
    """Return how much colours change at each place of a periodic picture, 0 to 1, on the grid."""
    waves = np.fft.fft2(small, axes=(0, 1)) * (GRID / FINE) ** 2
    low = np.r_[0 : GRID // 2, FINE - GRID // 2 : FINE]
    coarse = waves[np.ix_(low, low)] * _blur()[..., None]
    smooth = np.fft.ifft2(coarse, axes=(0, 1)).real
    across = np.roll(smooth, -1, axis=1) - np.roll(smooth, 1, axis=1)
    down = np.roll(smooth, -1, axis=0) - np.roll(smooth, 1, axis=0)
    change = np.sqrt((across**2 + down**2).sum(axis=2))
    strong = float(np.percentile(change, 98.0))
    if strong < PLAIN:
        return np.zeros_like(change, dtype=np.float32)
    softened: Floats32 = (change / (change + SOFT * strong)).astype(np.float32)
    return softened


def _blur() -> Floats:
    """Return the transfer function of a Gaussian blur; without it a shift by half a cell shows."""
    squares = np.fft.fftfreq(GRID) ** 2
    blur: Floats = np.exp(-2.0 * (np.pi * BLUR_CELLS) ** 2 * (squares[:, None] + squares[None]))
    return blur


def similarity_table(one: NDArray[np.int8], other: NDArray[np.int8]) -> Floats32:
    """Return the likeness, 0 to 1, of (n, d) fingerprints to (m, d) others, as (n, m).

    Plain tiles, whose fingerprint is nothing but zeros, are like no other.
    """
    first, second = _units(one), _units(other)
    table: Floats32 = np.clip(first @ second.T, 0.0, 1.0)
    return table


def _units(prints: NDArray[np.int8]) -> Floats32:
    values = prints.astype(np.float32)
    lengths = np.linalg.norm(values, axis=1, keepdims=True)
    units: Floats32 = np.divide(values, lengths, out=np.zeros_like(values), where=lengths > 0.0)
    return units
