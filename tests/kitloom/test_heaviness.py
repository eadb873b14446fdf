"""A sticker's ink is its fill's, less where panels, lines, words and drawings take its place.

No published source: shares of areas that can be reckoned by hand.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from kit.letters import letter
from kit.shapes import (
    Contour,
    Rect,
    Vertex,
    circle,
    flatten_path,
    rounded_rectangle,
    signed_area,
)
from kit.sheet import ColourFill, Mark, Panel, PatternFill, Picture, Placement
from kitloom.colours import sticker_coverages
from kitloom.findings.heavy_ink import ink_findings
from kitloom.inks import Sticker, drawn_ink
from palette.press import open_press


def sticker(
    fill: PatternFill | ColourFill,
    panels: tuple[Panel, ...] = (),
    outline: Contour | None = None,
) -> Placement:
    box = Rect(10.0, 10.0, 40.0, 50.0)
    return Placement("full box", box, outline or rounded_rectangle(box), fill, box, panels)


def coverages(fills: dict[str, float], *placed: Placement) -> list[float]:
    stickers = [Sticker(str(i), one) for i, one in enumerate(placed)]
    return list(sticker_coverages(stickers, fills, open_press()).values())


PODS = PatternFill("pods", (0.0, 0.0), (19.0, 19.0))


def test_a_white_panel_over_half_takes_half_the_ink() -> None:
    half = Panel(rounded_rectangle(Rect(10.0, 10.0, 40.0, 25.0)))
    whole, panelled = coverages({"pods": 1.2}, sticker(PODS), sticker(PODS, (half,)))
    assert whole == pytest.approx(1.2)
    assert panelled == pytest.approx(0.6, abs=0.01)


def test_round_stickers_and_panels_have_the_area_of_circles() -> None:
    """Half the radius is a quarter of the area."""
    inner = Panel(circle(30.0, 30.0, 10.0))
    (found,) = coverages({"pods": 1.0}, sticker(PODS, (inner,), circle(30, 30, 20.0)))
    assert found == pytest.approx(0.75, abs=0.01)


def test_a_plain_sticker_takes_its_colours_ink() -> None:
    black, white = coverages({}, sticker(ColourFill("#000000")), sticker(ColourFill("#ffffff")))
    assert black > 1.5
    assert white == pytest.approx(0.0, abs=0.01)


def test_of_stickers_of_one_name_the_heaviest_is_told() -> None:
    """A panelled sticker beside one that is filled all over hid the wetter of the two."""
    half = Panel(rounded_rectangle(Rect(10.0, 10.0, 40.0, 25.0)))
    stickers = [Sticker("full box, pods", one) for one in (sticker(PODS), sticker(PODS, (half,)))]
    for order in (stickers, stickers[::-1]):
        assert sticker_coverages(order, {"pods": 1.2}, open_press()) == {"full box, pods": 1.2}


def test_a_drawing_takes_ink_where_it_covers_the_paper() -> None:
    """A quarter of the sticker drawn in solid black: a quarter of plain black's ink."""
    (black,) = coverages({}, sticker(ColourFill("#000000")))
    on_white, alpha = np.full((40, 40, 3), 255, np.uint8), np.zeros((40, 40), np.uint8)
    on_white[:20], alpha[:20] = 0, 255
    picture = Picture(Rect(10.0, 10.0, 20.0, 50.0), on_white, alpha)
    for fill, wanted in (("#ffffff", 0.25), ("#000000", 1.0)):
        placed = replace(sticker(ColourFill(fill)), picture=picture)
        one = Sticker("icon, bee.png", placed, drawn_ink(on_white, alpha))
        found = sticker_coverages([one], {}, open_press())["icon, bee.png"]
        assert found == pytest.approx(wanted * black, rel=0.01)


def test_lines_and_the_white_inside_them_count() -> None:
    """Circles to tick off leave their white unprinted; a rule and its way back are one line."""
    (black,) = coverages({}, sticker(ColourFill("#000000")))
    ring = Mark(circle(30.0, 35.0, 10.0), 0.0, "#000000")
    rule = Mark(Contour((Vertex(10.0, 20.0), Vertex(50.0, 20.0))), 5.0, "#000000", None)
    ringed = replace(sticker(ColourFill("#000000")), marks=(ring,))
    ruled = replace(sticker(ColourFill("#ffffff")), marks=(rule,))
    white_share, ink_share = math.pi * 100.0 / 2000.0, 40.0 * 5.0 / 2000.0
    assert coverages({}, ringed, ruled) == [
        pytest.approx((1.0 - white_share) * black, rel=0.01),
        pytest.approx(ink_share * black, rel=0.01),
    ]


def test_words_take_the_ink_of_their_letters() -> None:
    """An upright bar of the font, whose area the outline itself tells."""
    words = letter("|", Rect(10.0, 10.0, 40.0, 50.0), 72.0)
    (ring,) = (flatten_path(path, 0.01) for path in words.paths)
    share = abs(signed_area(ring)) / 2000.0
    (ink,) = coverages({}, sticker(ColourFill(words.colour)))
    placed = replace(sticker(ColourFill("#ffffff")), lettering=(words,))
    assert coverages({}, placed) == [pytest.approx(share * ink, rel=0.01)]


def test_light_stickers_get_no_note() -> None:
    assert ink_findings("stickers", {"a": 0.3, "b": 0.1}) == []
    (note,) = ink_findings("stickers", {"a": 0.3, "b": 0.9, "c": 0.2, "d": 0.1})
    assert note.severity == "note"
    assert "b 90%, a 30%, c 20%; the lightest, d, 10%" in note.what
