"""What colours did a scanner see of which nothing is known? Its own values turned into CIELAB.

In: readings relative to the paper, (n, 3), and the colours sent to the printer. Out: CIELAB (D50)
relative to paper and to the printer's black, with what was assumed on the way.

A scanner's values are taken for linear light behind one power curve and a matrix that leaves white
white, and so all greys grey. Curve and matrix are found by the patches themselves: greys and quiet
colours, which every printer driver tries to print as asked, weigh most; vivid ones, where printers
differ, hardly at all. What remains differs from patch to patch and is the printer's own.

So this cannot tell a printer's overall tone curve, how vivid it prints, or a cast over all vivid
colours, from the scanner's: all are put down to the scanner. A cast in the greys is put down to the
printer. Robust is whether patches differ: which merge, where the ramp clips. Two signs show that
printer and scanner cannot be told apart: greys and quiet colours do not come where they should, or
the matrix runs into its bounds.

Source: the model is the usual matrix-and-curve device; fitted by non-linear least squares with a
soft L1 loss. Not done here: metamerism, flare, a scanner that is not additive; a scanner that says
what it sees (``palette.scan.profiled``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Pixels
from palette.press import AS_SEEN, builtin_press
from palette.space import de2000, srgb_to_lab, srgb_to_xyz, xyz_to_lab

_SRGB_TO_XYZ = srgb_to_xyz(np.eye(3)).T
_GAMMA = 2.2
# how far scanners are taken to differ: standard deviations of the unknowns
_CURVE, _MATRIX, _MIX = 0.15, 0.3, 0.5
_MOST_MIX = 1.0  # the bound of each unknown
MOST_ANCHOR = 1.0  # CIEDE2000; 0.3 to 0.6 where printer and scanner are told apart
_CLIPPED = 0.02  # a channel this dark says nothing


@dataclass(frozen=True, slots=True, eq=False)
class ScannerFit:
    """What was found out about a scanner.

    Attributes:
        gamma: the power of its curve.
        cross_talk: (3, 3) the part of its matrix that is not sRGB's; rows sum to 0.
        anchor_de2000: mean distance of greys and quiet colours from where they were expected.
    """

    gamma: float
    cross_talk: Floats
    anchor_de2000: float

    def __post_init__(self) -> None:
        self.cross_talk.setflags(write=False)

    @property
    def doubtful(self) -> bool:
        """Whether printer and scanner could not be told apart."""
        off = self.cross_talk[~np.eye(3, dtype=bool)]
        return self.anchor_de2000 > MOST_ANCHOR or float(np.abs(off).max()) > 0.99 * _MOST_MIX


@dataclass(frozen=True, slots=True, eq=False)
class ScannerReading:
    """The patches as the scanner saw them.

    Attributes:
        lab: (n, 3) CIELAB (D50), relative to paper and printed black.
        black_l: L* of the printed black beside the paper's 100; None where the scanner was fitted.
        fit: what was found out about the scanner; None where it says itself what it sees.
    """

    lab: Floats
    black_l: float | None
    fit: ScannerFit | None

    def __post_init__(self) -> None:
        self.lab.setflags(write=False)


def see(relative: Floats, rgb: Pixels, black: Floats) -> ScannerReading:
    """Return the colours behind a scanner's values.

    Args:
        relative: (n, 3) readings, paper 1.
        rgb: (n, 3) uint8 that was sent to the printer.
        black: (3,) what black reads, relative to paper.
    """
    from scipy.optimize import least_squares

    request = srgb_to_lab(rgb)
    glossy = builtin_press("glossy").to_print(request)
    matt = builtin_press("matt").to_print(request)
    chroma, moved = np.hypot(glossy[:, 1], glossy[:, 2]), de2000(request, glossy)
    trust = 1.0 / (1.0 + 0.5 * moved + 0.02 * chroma)
    trust[(relative < _CLIPPED).any(axis=1)] *= 0.1
    scale = trust[:, None] / np.stack([np.ones_like(chroma), *[1.0 + 0.045 * chroma] * 2], axis=1)

    def misfit(unknowns: Floats) -> Floats:
        expected = glossy + unknowns[7] * (matt - glossy)
        off = (_lab(relative, black, unknowns) - expected) * scale
        prior = (unknowns - start) / spread
        return np.concatenate([off.ravel(), prior])

    # the curve's logarithm, six of the matrix, and how much the paper is like matt
    start = np.array([0.0] * 7 + [0.3])
    spread = np.array([_CURVE, *[_MATRIX] * 6, _MIX])
    low, high = np.array([-_MOST_MIX] * 7 + [0.0]), np.full(8, _MOST_MIX)
    solution = least_squares(misfit, start, bounds=(low, high), loss="soft_l1").x
    lab = _lab(relative, black, solution)
    quiet = (moved < AS_SEEN) & (chroma < 40.0)
    expected = glossy + solution[7] * (matt - glossy)
    anchor = float(de2000(lab[quiet], expected[quiet]).mean()) if quiet.any() else 0.0
    fit = ScannerFit(float(_GAMMA * np.exp(solution[0])), _cross_talk(solution), anchor)
    return ScannerReading(lab, None, fit)


def _lab(relative: Floats, black: Floats, unknowns: Floats) -> Floats:
    """Return CIELAB of readings under a scanner's unknowns."""
    gamma = _GAMMA * np.exp(unknowns[0])
    light = np.clip(relative, 1e-4, 1.5) ** gamma
    dark = np.clip(black, 0.0, 0.9) ** gamma
    light = (light - dark) / (1.0 - dark)
    matrix = _SRGB_TO_XYZ @ (np.eye(3) + _cross_talk(unknowns))
    return xyz_to_lab(light @ matrix.T)


def _cross_talk(unknowns: Floats) -> Floats:
    off = np.zeros((3, 3))
    off[0, 1], off[0, 2], off[1, 0], off[1, 2], off[2, 0], off[2, 1] = unknowns[1:7]
    return off - np.diag(off.sum(axis=1))
