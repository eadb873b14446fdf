"""How like itself is a picture when it is moved? For every shift at once.

In: a picture in CIELAB, shape (height, width, 3). Out: R(s) = 1 - mean squared difference over the
overlap / twice the variance, for all shifts, by FFT: 1 where the moved picture lies on itself,
about 0 where it knows nothing of itself. The product of the picture with its moved self comes from
one Fourier transform (Wiener-Khinchin theorem); the energies of both overlaps from running sums.

Not done here: reading repeats off the peaks (``patterns.repeats.search``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Floats32


@dataclass(frozen=True, slots=True)
class Likeness:
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


def likeness(lab: Floats32, *, most: float = 0.7) -> Likeness:
    """Return the likeness for shifts up to ``most`` of either side of ``lab``."""
    height, width = lab.shape[:2]
    down, across = int(most * height), int(most * width)
    centred = lab - lab.mean(axis=(0, 1), dtype=np.float64).astype(np.float32)
    product = _products(centred, down, across)
    both = _energies(centred, down, across)
    rows = np.arange(down + 1)[:, None]
    columns = np.abs(np.arange(-across, across + 1))[None]
    overlap = (height - rows) * (width - columns)
    squared = (both - 2.0 * product) / overlap
    variance = max(float(np.square(centred, dtype=np.float64).sum()) / (height * width), 1e-6)
    return Likeness((1.0 - squared / (2.0 * variance)).astype(np.float32), across)


def _good_size(n: int) -> int:
    """Return the least 2^a 3^b 5^c not under n, for which the FFT is quick."""
    best = 1 << (n - 1).bit_length()
    for fives in (1, 5, 25, 125):
        for threes in (1, 3, 9, 27):
            odd = fives * threes
            size = odd << max(0, -(-n // odd) - 1).bit_length()
            if n <= size < best:
                best = size
    return best


def _products(centred: Floats32, down: int, across: int) -> Floats:
    """Return the sum over the overlap of picture times moved picture, all channels."""
    size = (_good_size(centred.shape[0] + down), _good_size(centred.shape[1] + across))
    power = np.zeros((size[0], size[1] // 2 + 1), dtype=np.float32)
    for channel in range(3):
        spectrum = np.fft.rfft2(centred[..., channel], size)
        power += spectrum.real**2 + spectrum.imag**2
    table = np.fft.irfft2(power, size)
    # a wrapped correlation holds (d, r) at [d, r mod width]
    return np.concatenate(
        [table[: down + 1, size[1] - across :], table[: down + 1, : across + 1]], axis=1
    ).astype(np.float64)


def _energies(centred: Floats32, down: int, across: int) -> Floats:
    """Return the energy of the picture over both of its overlaps, for every shift."""
    height, width = centred.shape[:2]
    sums = np.zeros((height + 1, width + 1))
    energy = np.einsum("ijk,ijk->ij", centred, centred).astype(np.float64)
    sums[1:, 1:] = energy.cumsum(axis=0).cumsum(axis=1)
    rows, columns = np.arange(down + 1), np.arange(across + 1)
    kept_r, kept_c = height - rows, width - columns
    # the shift (d, r) lays [d:, r:] on [:h - d, :w - r]; (d, -r) lays [d:, :w - r] on [:h - d, r:]
    first = sums[np.ix_(kept_r, kept_c)]
    last = (
        sums[-1, -1]
        - sums[rows, -1][:, None]
        - sums[-1, columns][None]
        + sums[np.ix_(rows, columns)]
    )
    lower_left = sums[-1, kept_c][None] - sums[np.ix_(rows, kept_c)]
    upper_right = sums[kept_r, -1][:, None] - sums[np.ix_(kept_r, columns)]
    right = first + last
    left = lower_left + upper_right
    return np.concatenate([left[:, :0:-1], right], axis=1)
