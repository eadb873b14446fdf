"""The picture of a palette is read back: dots at its colours, the gamut as the press has it."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import numpy as np
import pytest

from palette.choose import Palette, Role, Swatch
from palette.pairs import lab_plane
from palette.press import Press
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


class Lopsided(Duller):
    """A press that reaches far in red, little in green and blue, and nothing on the violet side."""

    def to_print(self, lab: np.ndarray) -> np.ndarray:
        hue = np.degrees(np.arctan2(lab[:, 2], lab[:, 1])) % 360
        chroma = np.hypot(lab[:, 1], lab[:, 2])
        most = np.select([hue < 59.9, hue < 299.9], [90.0, 30.0 + 10.0 * (lab[:, 0] > 60)], 0.0)
        return lab * np.stack([0 * hue + 1, *[np.minimum(1.0, most / chroma)] * 2], axis=1)


UNIT = 420 / 220  # of the picture, per unit of a* and b*


def drawn(palette: Palette, press: Press | None = None) -> ET.Element:
    return ET.fromstring(lab_plane(palette, press))  # noqa: S314  our own text


def outline(root: ET.Element) -> np.ndarray:
    """Return the corners of what the press reaches, as a* and b*."""
    path = next(p for p in root.iter(f"{SPACE}path") if p.get("stroke-dasharray"))
    points = [[float(v) for v in part.split()] for part in path.get("d", "")[1:-1].split("L")]
    return (np.array(points) - 210) * [1, -1] / UNIT


def test_the_picture_is_420_square_and_each_part_on_a_line_of_its_own() -> None:
    text = lab_plane(PALETTE)
    assert ET.fromstring(text).get("viewBox") == "0 0 420 420"  # noqa: S314  our own text
    assert all(line.startswith("<") for line in text.splitlines())


def test_circles_of_equal_chroma_are_where_their_figures_say() -> None:
    """A ring drawn at another chroma than it says makes every colour look duller or stronger."""
    root = drawn(Palette(()))
    rings = {
        round(float(ring.get("r", "")) / UNIT, 1): ring for ring in root.iter(f"{SPACE}circle")
    }
    assert set(rings) == {25.0, 50.0, 75.0, 100.0}
    assert {(ring.get("cx"), ring.get("cy")) for ring in rings.values()} == {("210", "210")}
    figures = {text.text: text for text in root.iter(f"{SPACE}text") if text.text in "25 50 75 100"}
    assert set(figures) == {"25", "50", "75", "100"}
    for chroma, text in figures.items():  # just over the top of its ring, beside the axis
        assert 0 < float(text.get("x", "")) - 210 <= 3.5
        assert 0 < 210 - float(chroma) * UNIT - float(text.get("y", "")) <= 3.5


def test_the_axes_cross_in_the_middle_and_their_words_stand_inside() -> None:
    root = drawn(Palette(()))
    (axes,) = root.iter(f"{SPACE}path")
    assert axes.get("d") == "M210 10V410M10 210H410"
    words = {text.text: text for text in root.iter(f"{SPACE}text")}
    red, yellow = words["a* red"], words["b* yellow"]
    assert (float(red.get("x", "")), float(red.get("y", ""))) == (408, 205)  # right, over the axis
    assert (float(yellow.get("x", "")), float(yellow.get("y", ""))) == (202, 18)  # left of it
    assert {red.get("text-anchor"), yellow.get("text-anchor")} == {"end"}


def test_a_dots_area_is_its_share_and_small_ones_lie_on_top() -> None:
    """Else an accent of two per cent is hidden under the ground, or looks like half the artwork."""
    dots = [
        dot for dot in drawn(PALETTE).iter(f"{SPACE}circle") if dot.get("stroke-width") == "2.5"
    ]
    assert [dot.get("fill") for dot in dots] == ["#fbf3dc", "#157a80", "#d3222a"]
    shares = (0.7, 0.28, 0.02)
    assert [float(dot.get("r", "")) for dot in dots] == pytest.approx(
        [30 * share**0.5 for share in shares], abs=0.06
    )
    turned = drawn(Palette(PALETTE.swatches[::-1]))
    again = [dot for dot in turned.iter(f"{SPACE}circle") if dot.get("stroke-width") == "2.5"]
    assert [dot.get("fill") for dot in again] == ["#fbf3dc", "#157a80", "#d3222a"]
    (speck,) = [
        dot for dot in drawn(Palette((_swatch("#d3222a", 0.0),))).iter(f"{SPACE}circle")
        if dot.get("fill") == "#d3222a"
    ]  # fmt: skip
    assert speck.get("r") == "4.0"  # the least that is seen


def test_each_dot_has_a_rim_with_its_name_and_share() -> None:
    rims = [
        dot
        for dot in drawn(PALETTE).iter(f"{SPACE}circle")
        if dot.find(f"{SPACE}title") is not None
    ]
    titles = [rim.findtext(f"{SPACE}title") for rim in rims]
    assert titles == ["<#fbf3dc>, 70.0%", "<#157a80>, 28.0%", "<#d3222a>, 2.0%"]
    assert [float(rim.get("r", "")) for rim in rims] == pytest.approx(
        [30 * share**0.5 + 1.2 for share in (0.7, 0.28, 0.02)], abs=0.06
    )


def test_an_arrow_leads_from_each_colour_to_its_print() -> None:
    """Without a press there is none: nothing is known of a print."""
    lines = [p.get("d", "") for p in drawn(PALETTE, Duller()).iter(f"{SPACE}path")][-3:]
    for line, swatch in zip(lines, PALETTE.swatches, strict=True):
        ends = [[float(v) for v in part.split()] for part in line[1:].split("L")]
        a, b = swatch.lab[1] * UNIT, swatch.lab[2] * UNIT
        there = [[210 + a, 210 - b], [210 + a / 2, 210 - b / 2]]
        assert np.allclose(ends, there, atol=0.06)
    assert len(list(drawn(PALETTE).iter(f"{SPACE}path"))) == 1  # the axes


def test_the_gamut_outline_follows_each_hue_at_its_best_lightness() -> None:
    """A maker sees in which hues the press falls short; a hue it has not at all is left out."""
    corners = outline(drawn(PALETTE, Lopsided()))
    hue = np.degrees(np.arctan2(corners[:, 1], corners[:, 0])) % 360
    np.testing.assert_allclose(hue, np.arange(5, 300, 10), atol=0.2)
    reach = np.where(hue < 60, 90.0, 40.0)
    np.testing.assert_allclose(np.hypot(*corners.T), reach, atol=0.1)
    title = next(t.text for t in drawn(PALETTE, Lopsided()).iter(f"{SPACE}title"))
    assert title == "What dull <press> reaches"


class Spike(Duller):
    """A press that reaches far in a band of 5 degrees and 8 of lightness, and turns all hues."""

    def __init__(self, hue: float, lightness: float) -> None:
        self.hue, self.lightness = hue, lightness

    def to_print(self, lab: np.ndarray) -> np.ndarray:
        hue = np.degrees(np.arctan2(lab[:, 2], lab[:, 1])) % 360
        there = (hue - self.hue) % 360 < 5.0
        there &= (lab[:, 0] >= self.lightness) & (lab[:, 0] < self.lightness + 8.0)
        chroma, turned = np.where(there, 80.0, 30.0), np.radians(hue + 4.4)
        return np.stack([lab[:, 0], chroma * np.cos(turned), chroma * np.sin(turned)], axis=1)


@pytest.mark.parametrize("place", range(10))
def test_the_gamut_outline_misses_no_narrow_band(place: int) -> None:
    """One vivid ink is a band of few hues, and it is drawn at the hue that it prints, turned."""
    hue, lightness = 240.2 + 2.7 * place, 2.5 + 9.7 * place
    corners = outline(drawn(PALETTE, Spike(hue, lightness)))
    chroma = np.hypot(*corners.T)
    sector = (np.degrees(np.arctan2(corners[:, 1], corners[:, 0])) % 360) // 10
    (vivid,) = sector[chroma > 79.0]
    asked = 5.0 * np.ceil(hue / 5.0)  # the multiple of 5 degrees in the band
    assert vivid == (asked + 4.4) // 10
    assert np.count_nonzero(np.abs(chroma - 30.0) < 0.1) == 35


def test_dots_stand_at_their_a_and_b() -> None:
    root = drawn(PALETTE)
    dots = {dot.get("fill"): dot for dot in root.iter(f"{SPACE}circle")}
    for swatch in PALETTE.swatches:
        dot = dots[swatch.hex]
        assert float(dot.get("cx", "")) == pytest.approx(210 + swatch.lab[1] * UNIT, abs=0.06)
        assert float(dot.get("cy", "")) == pytest.approx(210 - swatch.lab[2] * UNIT, abs=0.06)


def test_the_gamut_outline_is_what_the_press_reaches() -> None:
    chroma = np.hypot(*outline(drawn(PALETTE, Duller())).T)
    assert np.allclose(chroma, 64.0, atol=0.1)  # half of the 128 asked for


def test_an_empty_palette_is_an_empty_picture() -> None:
    assert drawn(Palette(()), Duller()) is not None
