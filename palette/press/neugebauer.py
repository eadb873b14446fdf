"""What colour do these inks make on this paper? A printed halftone, from published primaries.

In: ink shares 0 to 1 of cyan, magenta, yellow and black, shape (n, 4). Out: CIELAB (D50) as
measured on the paper, absolute. A ``PrintCondition`` holds the sixteen Neugebauer primaries (paper,
inks, overprints) of one published data set and what its ramps from primary to primary need:

- ``n`` (3): the Yule-Nielsen factor, light that wanders sideways in the paper, for X, Y and Z;
- ``gain`` (4 x 3 x 8): tone value increase at the 50 % patch of each ink, as X, Y and Z see it
  (a dot's fringe is thinner than the dot and so absorbs other wavelengths), on each of the eight
  primaries of the other three inks: ink spreads on ink otherwise than on paper;
- ``skew`` (4 x 3): how far an ink's tone curves lean from a parabola, towards shadows.

The model: an ink share c becomes the area a = c + c (1 - c) (4 G + s (1 - 2c)), G being its gains
on the other inks' primaries, weighted by Demichel's equations; so do the sixteen primaries' weights
follow from a; each of X, Y, Z is (sum of weight x primary^(1/n))^n, relative to the paper.

Sources: Neugebauer 1937; Demichel 1924; Yule and Nielsen 1951; Wyble and Berns, "A critical review
of spectral models applied to binary color printing", Color Research and Application 25(1), 2000;
for a gain on each superposition of the other inks, Hersch and Crété, "Improving the Yule-Nielsen
modified spectral Neugebauer model by dot surface coverages depending on the ink superposition
conditions", Proceedings of SPIE 5667, 2005. ``tools/fit_press.py`` derives the figures. Not done
here: ink limits, spot colours, fluorescence.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats
from palette.space import D50, lab_to_xyz, xyz_to_lab


@dataclass(frozen=True, slots=True, eq=False)
class PrintCondition:
    """One way of printing, as published primaries and fitted figures.

    Attributes:
        name: the published data set.
        primaries_lab: (16, 3) CIELAB (D50); row 8k + 4y + 2m + c is the overprint of these solids.
        n: (3,) Yule-Nielsen factors for X, Y and Z.
        gain: (4, 3, 8) tone value increase at half tone: inks C M Y K, by X, Y, Z, on the eight
            primaries of the other three inks, the first of which changes fastest.
        skew: (4, 3) lean of the tone curves.
        ink_limit: the largest sum of ink shares that the condition is printed with.
    """

    name: str
    primaries_lab: Floats
    n: Floats
    gain: Floats
    skew: Floats
    ink_limit: float

    def __post_init__(self) -> None:
        for values in (self.primaries_lab, self.n, self.gain, self.skew):
            values.setflags(write=False)


def effective_area(condition: PrintCondition, inks: Floats, band: int) -> Floats:
    """Return the areas, 0 to 1, that ink shares (n, 4) cover as X, Y or Z (band 0 to 2) sees it."""
    gain = np.empty_like(inks)
    for ink in range(4):
        below = demichel(np.delete(inks, ink, axis=1))
        gain[:, ink] = below @ condition.gain[ink, band]
    spread = inks * (1.0 - inks)
    area: Floats = inks + spread * (4.0 * gain + condition.skew[:, band] * (1.0 - 2.0 * inks))
    return np.clip(area, 0.0, 1.0)


def demichel(area: Floats) -> Floats:
    """Return the shares of the primaries for independent areas (n, inks); each row sums to 1.

    Shape (n, 16) for four inks, (n, 8) for three, the first ink changing fastest.

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
    n = condition.n
    light = np.empty((len(inks), 3))
    for band in range(3):
        weights = demichel(effective_area(condition, inks, band))
        light[:, band] = (weights @ primaries[:, band] ** (1.0 / n[band])) ** n[band]
    return xyz_to_lab(light * paper)


def paper_relative(condition: PrintCondition, lab: Floats) -> Floats:
    """Return measured Lab, (n, 3), with the paper as white.

    Source: media-relative colorimetry, ICC.1:2022, 6.3.2.
    """
    return xyz_to_lab(lab_to_xyz(lab) / lab_to_xyz(condition.primaries_lab[0]) * D50)


def without_black(lab: Floats, black_l: float) -> Floats:
    """Return media-relative Lab with its black, of L* ``black_l``, as L* 0.

    Source: black point compensation, ISO 18619:2015, a straight line in XYZ that leaves white.
    """
    black = lab_to_xyz(np.array([black_l, 0.0, 0.0])) / D50
    return xyz_to_lab((lab_to_xyz(lab) / D50 - black) / (1.0 - black) * D50)


def with_black(lab: Floats, black_l: float) -> Floats:
    """Return the media-relative Lab, with its black at ``black_l``: undoes ``without_black``."""
    black = lab_to_xyz(np.array([black_l, 0.0, 0.0])) / D50
    return xyz_to_lab((lab_to_xyz(lab) / D50 * (1.0 - black) + black) * D50)


def black_lightness(condition: PrintCondition) -> float:
    """Return L*, relative to the paper, of the black that the condition prints.

    That is the printable colour within the ink limit that lies nearest (dE*ab) to L* 0, a* 0, b* 0:
    what black point compensation finds when it asks a profile for black (ISO 18619:2015).
    """
    steps = np.linspace(0.0, 1.0, 11)
    cmy = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 3)
    inks = np.concatenate([cmy, np.ones((len(cmy), 1))], axis=1)
    inks = inks[inks.sum(axis=1) <= condition.ink_limit + 1e-9]
    lab = paper_relative(condition, print_lab(condition, inks))
    return float(lab[np.argmin((lab**2).sum(axis=1)), 0])
