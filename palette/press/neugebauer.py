"""What colour do these inks make on this paper? A printed halftone, from published primaries.

In: ink shares 0 to 1 of cyan, magenta, yellow and black, shape (n, 4). Out: CIELAB (D50) as
measured on the paper, absolute. A ``PrintCondition`` holds the sixteen Neugebauer primaries (paper,
inks, overprints) of one published data set and seventeen fitted figures:

- ``n`` (1): the Yule-Nielsen factor, light that wanders sideways in the paper;
- ``gain`` (4 x 3): tone value increase at the 50 % patch of each ink as X, Y and Z see it. Three
  figures an ink, since a dot's fringe is thinner than the dot and so absorbs other wavelengths;
- ``skew`` (4): how far each ink's tone curve leans from a parabola, towards shadows or lights.

The model: ink share c becomes a = c + 4 g c (1 - c) + s c (1 - c)(1 - 2c); the primaries' weights
follow from a by Demichel's equations; each of X, Y, Z is (sum of weight x primary^(1/n))^n,
relative to the paper.

Sources: Neugebauer 1937; Demichel 1924; Yule and Nielsen 1951; Wyble and Berns, "A critical review
of spectral models applied to binary color printing", Color Research and Application 25(1), 2000.
``tools/fit_press.py`` derives the figures. Not done here: ink limits, spot colours, fluorescence.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.lab import D50, lab_to_xyz, xyz_to_lab

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class PrintCondition:
    """One way of printing, as published primaries and fitted figures.

    Attributes:
        name: the published data set.
        primaries_lab: (16, 3) CIELAB (D50); row 8k + 4y + 2m + c is the overprint of these solids.
        n: Yule-Nielsen factor.
        gain: (4, 3) tone value increase at half tone, inks C M Y K by X, Y, Z.
        skew: (4,) lean of each ink's tone curve.
        ink_limit: the largest sum of ink shares that the condition is printed with.
    """

    name: str
    primaries_lab: Floats
    n: float
    gain: Floats
    skew: Floats
    ink_limit: float

    def __post_init__(self) -> None:
        for values in (self.primaries_lab, self.gain, self.skew):
            values.setflags(write=False)


def tone(inks: Floats, gain: Floats, skew: Floats) -> Floats:
    """Return the effective area, 0 to 1, of ink shares (n, 4) for gain (4,) and skew (4,)."""
    spread = inks * (1.0 - inks)
    area: Floats = inks + spread * (4.0 * gain + skew * (1.0 - 2.0 * inks))
    return np.clip(area, 0.0, 1.0)


def demichel(area: Floats) -> Floats:
    """Return the (n, 16) shares of the primaries for independent areas (n, 4); each row sums to 1.

    Source: Demichel 1924, as in Wyble and Berns 2000, equation 6.
    """
    weights = np.ones((len(area), 1))
    for ink in area.T:
        covered = weights * ink[:, None]
        weights = np.concatenate([weights - covered, covered], axis=1)
    return weights


def print_lab(condition: PrintCondition, inks: Floats) -> Floats:
    """Return the measured CIELAB (D50), (n, 3), of ink shares 0 to 1, (n, 4), C M Y K."""
    paper = lab_to_xyz(condition.primaries_lab[0])
    primaries = lab_to_xyz(condition.primaries_lab) / paper
    light = np.empty((len(inks), 3))
    for band in range(3):
        weights = demichel(tone(inks, condition.gain[:, band], condition.skew))
        light[:, band] = (weights @ primaries[:, band] ** (1.0 / condition.n)) ** condition.n
    return xyz_to_lab(light * paper)


def paper_relative(condition: PrintCondition, lab: Floats, black_l: float) -> Floats:
    """Return measured Lab as the eye takes it: paper is white, the deepest neutral is black.

    Args:
        condition: where the paper stands.
        lab: (n, 3) measured CIELAB (D50).
        black_l: L* of the deepest neutral, itself relative to the paper.

    Source: media-relative colorimetry as in ICC.1:2022, 6.3.2; black point compensation as in
    ISO 18619:2015, a straight line in XYZ from the black to 0 that leaves white in place.
    """
    light = lab_to_xyz(lab) / lab_to_xyz(condition.primaries_lab[0])
    black = lab_to_xyz(np.array([black_l, 0.0, 0.0])) / D50
    return xyz_to_lab((light - black) / (1.0 - black) * D50)


def black_lightness(condition: PrintCondition) -> float:
    """Return L*, relative to the paper, of the deepest neutral within the ink limit.

    Neutral is meant within a chroma of 1: no press prints closer than that.
    """
    steps = np.linspace(0.5, 1.0, 11)
    cmy = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 3)
    inks = np.concatenate([cmy, np.ones((len(cmy), 1))], axis=1)
    inks = inks[inks.sum(axis=1) <= condition.ink_limit + 1e-9]
    lab = paper_relative(condition, print_lab(condition, inks), 0.0)
    neutral = np.hypot(lab[:, 1], lab[:, 2]) <= 1.0
    if not neutral.any():
        neutral = np.hypot(lab[:, 1], lab[:, 2]) <= np.hypot(lab[:, 1], lab[:, 2]).min()
    return float(lab[neutral, 0].min())
