"""Was a strip cropped off that stands elsewhere in the tile? Put it back from there.

In: a tile, (height, width, 3) sRGB uint8. Out: wider tiles: the old one whole, and after it what
follows elsewhere on a strip like its last one, as far as the tile meets itself. That strip may lie
higher or lower: scallops and bricks go on with the row before, slanted stripes with any.

The strip is looked for by its normalised squared difference from all places of the tile, which goes
round along the join, by FFT (template matching; Lewis, "Fast normalized cross-correlation", Vision
Interface 1995) on a reduced copy, then about the best of these in full size. Where the wider tile
ends is ``patterns.mend.remedies.overlap``'s. Not done here: rows (turn the tile), artwork without
any order (``patterns.mend.remedies.patch``).
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from palette.arrays import Floats, Pixels
from patterns.lab32 import lab32
from patterns.mend.remedies.overlap import ALIKE, count_overlapping_columns
from patterns.plane import reduce_in_bands

SEARCH_PX = 200  # longer side of the copy on which places are looked for
STRIP = 0.15  # of the width: what has to be alike
LEAST_STRIP_PX = 8
MORE = (0.12, 0.3, 0.6)  # of the width: what is put back, and laid over the beginning to compare
PLACES = 4
ROUGHLY = 2.0 * ALIKE  # on the reduced copy, where a place is known to a pixel of its own
LEAST_SPREAD_DE = 2.0  # CIE76, root mean square: less is bare ground, which is like itself
COMPARED = 128  # rows and columns compared in full size, at most


def continue_tile(tile: Pixels) -> Iterator[tuple[Pixels, int]]:
    """Give (wider tile, columns put back), the likeliest first.

    Args:
        tile: (height, width, 3) sRGB uint8.
    """
    height, width = tile.shape[:2]
    if height < 32 or width < 4 * LEAST_STRIP_PX:
        return
    given: set[int] = set()
    for period_px, drop_px in _find_places(tile):
        for share in MORE:
            wide = _extend(tile, period_px, drop_px, round(share * width))
            more = wide.shape[1] - count_overlapping_columns(wide) - width
            if 0 < more < wide.shape[1] - width:
                if more not in given:
                    yield np.ascontiguousarray(wide[:, : width + more]), more
                given.add(more)
                break


def _find_places(tile: Pixels) -> list[tuple[int, int]]:
    """Return (columns to the left, rows by which it is higher) of strips like the last one."""
    height, width = tile.shape[:2]
    factor = max(1.0, max(height, width) / SEARCH_PX)
    size = max(16, round(height / factor)), max(2 * LEAST_STRIP_PX, round(width / factor))
    unlike = _unlike(tile if factor == 1.0 else reduce_in_bands(tile, *size))
    scale = height / size[0], width / size[1]
    found: dict[tuple[int, int], float] = {}
    for _ in range(PLACES):
        at = int(np.argmin(unlike))
        drop, period = divmod(at, unlike.shape[1])
        if unlike[drop, period] > ROUGHLY:
            break
        apart = max(2, size[1] // 50)
        rows = np.arange(drop - apart, drop + apart + 1) % len(unlike)
        unlike[rows, max(0, period - apart) : period + apart + 1] = np.inf
        place, off = _refine(tile, round(period * scale[1]), round(drop * scale[0]), factor)
        if off <= ALIKE:
            found[place] = off
    return sorted(found, key=lambda each: found[each])


def _unlike(tile: Pixels) -> Floats:
    """Return (rows by which it is higher, columns to the left): how unlike the last strip is.

    0 for copies, about 1 for strangers; infinite where that place lies outside the tile.
    """
    from scipy.fft import irfft2, rfft2

    lab = lab32(tile).astype(np.float64)
    height, width = lab.shape[:2]
    strip = max(LEAST_STRIP_PX, round(STRIP * width))
    lab -= lab[:, -strip:].mean(axis=(0, 1))
    own = np.zeros_like(lab)
    own[:, -strip:] = lab[:, -strip:]
    product = rfft2(own, axes=(0, 1)) * np.conj(rfft2(lab, axes=(0, 1)))
    alike = irfft2(product.sum(axis=2), (height, width))
    columns = np.square(lab).sum(axis=(0, 2))
    total = np.concatenate([[0.0], np.cumsum(columns)])
    energy = total[strip:] - total[:-strip]  # of the strip that begins at each column
    spread = np.sqrt(energy[-1] / (height * strip))
    out = np.full((height, width), np.inf)
    most = width - strip
    if spread >= LEAST_SPREAD_DE:
        periods = np.arange(LEAST_STRIP_PX // 2, most + 1)
        there = energy[most - periods]
        off = energy[-1] + there - 2.0 * alike[:, periods]
        out[:, periods] = off / np.maximum(energy[-1] + there, 1e-9)
    return out


def _refine(
    tile: Pixels, period_px: int, drop_px: int, factor: float
) -> tuple[tuple[int, int], float]:
    """Return the place in full size, near one found on a copy, and how unlike it is."""
    height, width = tile.shape[:2]
    strip = min(COMPARED, max(LEAST_STRIP_PX, round(STRIP * width)))
    rows = np.arange(0, height, -(-height // COMPARED))
    last = tile[rows, width - strip :].astype(np.float64)
    mean = last.mean(axis=(0, 1))
    reach = int(np.ceil(factor)) if factor > 1.0 else 0
    best = (period_px, drop_px), np.inf
    for period in range(period_px - reach, period_px + reach + 1):
        start = width - strip - period
        if period < 1 or start < 0:
            continue
        for drop in range(drop_px - reach, drop_px + reach + 1):
            there = tile[(rows - drop) % height, start : start + strip]
            energy = np.square(last - mean).sum() + np.square(there - mean).sum()
            off = float(np.square(last - there).sum() / max(1.0, energy))
            if off < best[1]:
                best = (period, drop % height), off
    return best


def _extend(tile: Pixels, period_px: int, drop_px: int, more_px: int) -> Pixels:
    """Return the tile with more columns, each as so many columns before it, so much lower."""
    wide = tile
    while wide.shape[1] < tile.shape[1] + more_px:
        lowered = np.roll(wide[:, -period_px:], drop_px, axis=0)
        wide = np.concatenate([wide, lowered], axis=1)
    return wide[:, : tile.shape[1] + more_px]
