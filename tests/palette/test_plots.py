"""The picture of a palette is read back: dots at its colours, the gamut as the press has it."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import numpy as np
import pytest

from palette.choose import Palette, Role, Swatch
from palette.pairs import lab_plane
from palette.space import de2000, hex_to_lab

SPACE = "{http://www.w3.org/2000/svg}"


class Duller:
    """A press that takes half of the chroma."""

    name = "dull <press>"
    limits = ""

    def to_print(self, lab: np.ndarray) -> np.ndarray:
        return lab * [1.0, 0.5, 0.5]

    def shift(self, lab: np.ndarray) -> np.ndarray:
        return de2000(lab, self.to_print(lab))

    def nearest(self, lab: np.ndarray) -> np.ndarray:
        return lab


def _swatch(text: str, share: float) -> Swatch:
    lightness, a, b = (float(v) for v in hex_to_lab(text))
    return Swatch(f"<{text}>", text, (lightness, a, b), share, Role.MID, {})


PALETTE = Palette((_swatch("#fbf3dc", 0.7), _swatch("#157a80", 0.28), _swatch("#d3222a", 0.02)))


def test_dots_stand_at_their_a_and_b() -> None:
    root = ET.fromstring(lab_plane(PALETTE))  # noqa: S314  our own text
    dots = {dot.get("fill"): dot for dot in root.iter(f"{SPACE}circle")}
    for swatch in PALETTE.swatches:
        dot = dots[swatch.hex]
        unit = 420 / 220
        assert float(dot.get("cx", "")) == pytest.approx(210 + swatch.lab[1] * unit, abs=0.06)
        assert float(dot.get("cy", "")) == pytest.approx(210 - swatch.lab[2] * unit, abs=0.06)


def test_the_gamut_outline_is_what_the_press_reaches() -> None:
    root = ET.fromstring(lab_plane(PALETTE, Duller()))  # noqa: S314  our own text
    path = next(p for p in root.iter(f"{SPACE}path") if p.get("stroke-dasharray"))
    points = [[float(v) for v in part.split()] for part in path.get("d", "")[1:-1].split("L")]
    chroma = np.hypot(*(np.array(points) - 210).T) * 220 / 420
    assert np.allclose(chroma, 64.0, atol=0.1)  # half of the 128 asked for


def test_an_empty_palette_is_an_empty_picture() -> None:
    assert ET.fromstring(lab_plane(Palette(()), Duller())) is not None  # noqa: S314  our own text
