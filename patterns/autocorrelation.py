"""How like itself is a picture when it is moved? For every shift at once.

In: values, shape (height, width, channels), such as CIELAB. Out: R(s) = 1 - mean squared difference
over the overlap / twice the variance, for all shifts: 1 where the moved picture lies on itself,
about 0 where it knows nothing of itself. The product of the picture with its moved self comes from
one Fourier transform (Wiener-Khinchin theorem); the energies of both overlaps from running sums.

Not done here: reading repeats off the peaks (``patterns.repeats.search``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.fft import irfft2, next_fast_len, rfft2

from palette.arrays import Floats, Floats32

LEAST_VARIANCE = 1e-6  # so that one colour is like itself


@dataclass(frozen=True, slots=True)
class Autocorrelation:
    """R for shifts 0 to ``down`` rows and -``across`` to ``across`` columns.

    Attributes:
        table: (down + 1, 2 * across + 1) R; the shift (0, 0) is at [0, across].
        across: the greatest shift in columns.
    """

    table: Floats32
    across: int

    def at(self, down: int, right: int) -> float:
        """Return R of an integer shift; the shift (-d, -r) is the same as (d, r)."""
        if down < 0:
            down, right = -down, -right
        inside = down < self.table.shape[0] and abs(right) <= self.across
        return float(self.table[down, right + self.across]) if inside else float("nan")


def autocorrelate(values: Floats32, down: int, across: int) -> Autocorrelation:
    """Return how like itself a picture is at every shift.

    Args:
        values: (height, width, channels); the variance is taken about each channel's own mean.
        down: the greatest shift in rows, less than the height.
        across: the greatest shift in columns to either side, less than the width.
    """
    height, width = values.shape[:2]
    centred = values - values.mean(axis=(0, 1), dtype=np.float64).astype(np.float32)
    product = correlate(centred, centred, down, across)
    both = _energies(centred, down, across)
    rows = np.arange(down + 1)[:, None]
    columns = np.abs(np.arange(-across, across + 1))[None]
    overlap = (height - rows) * (width - columns)
    squared = (both - 2.0 * product) / overlap
    energy = float(np.square(centred, dtype=np.float64).sum())
    variance = max(energy / (height * width), LEAST_VARIANCE)
    return Autocorrelation((1.0 - squared / (2.0 * variance)).astype(np.float32), across)


def correlate(one: Floats32, other: Floats32, down: int, across: int) -> Floats:
    """Return the sum over the overlap of one picture times another, for every shift of the first.

    Args:
        one: (height, width, channels).
        other: likewise.
        down: the greatest shift in rows.
        across: the greatest shift in columns to either side.

    Returns:
        (down + 1, 2 * across + 1), all channels together: at [d, across + r] the sum over y and x
        of one[y + d, x + r] * other[y, x].
    """
    size = tuple(
        next_fast_len(length + most, real=True)
        for length, most in zip(one.shape[:2], (down, across), strict=True)
    )
    spectrum = rfft2(one, size, axes=(0, 1))
    own = spectrum if other is one else rfft2(other, size, axes=(0, 1))
    table = irfft2(np.einsum("ijk,ijk->ij", spectrum, np.conj(own)), size)
    # a wrapped correlation holds (d, r) at [d, r mod width]
    columns = np.arange(-across, across + 1) % size[1]
    products: Floats = table[: down + 1].take(columns, axis=1).astype(np.float64)
    return products


def _energies(centred: Floats32, down: int, across: int) -> Floats:
    """Return the energy of the picture over both of its overlaps, for every shift."""
    height, width = centred.shape[:2]
    sums = np.zeros((height + 1, width + 1))
    energy = np.einsum("ijk,ijk->ij", centred, centred).astype(np.float64)
    sums[1:, 1:] = energy.cumsum(axis=0).cumsum(axis=1)
    rows, columns = np.arange(down + 1), np.arange(across + 1)
    rows_left, columns_left = height - rows, width - columns
    # the shift (d, r) lays [d:, r:] on [:h - d, :w - r]; (d, -r) lays [d:, :w - r] on [:h - d, r:]
    first = sums[np.ix_(rows_left, columns_left)]
    last = (
        sums[-1, -1]
        - sums[rows, -1][:, None]
        - sums[-1, columns][None]
        + sums[np.ix_(rows, columns)]
    )
    lower_left = sums[-1, columns_left][None] - sums[np.ix_(rows, columns_left)]
    upper_right = sums[rows_left, -1][:, None] - sums[np.ix_(rows_left, columns)]
    right = first + last
    left = lower_left + upper_right
    return np.concatenate([left[:, :0:-1], right], axis=1)
