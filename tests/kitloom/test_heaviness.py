"""A sticker's ink is its fill's, less where a panel lies over it."""

from __future__ import annotations

import pytest

from kit.shapes import Contour, Rect, circle, rounded_rectangle
from kit.sheet import ColourFill, Panel, PatternFill, Placement, Sheet
from kitloom.colours import sticker_coverages
from kitloom.findings.heavy_ink import ink_findings
from palette.press import open_press


def sticker(
    fill: PatternFill | ColourFill,
    panels: tuple[Panel, ...] = (),
    outline: Contour | None = None,
) -> Placement:
    box = Rect(10.0, 10.0, 40.0, 50.0)
    return Placement("full box", box, outline or rounded_rectangle(box), fill, box, panels)


def sheet(*placed: Placement) -> Sheet:
    return Sheet("one", 210.0, 297.0, 300.0, placed)


def test_a_white_panel_over_half_takes_half_the_ink() -> None:
    fill = PatternFill("pods", (0.0, 0.0), (19.0, 19.0))
    half = Panel(rounded_rectangle(Rect(10.0, 10.0, 40.0, 25.0)))
    press = open_press()
    whole = sticker_coverages([sheet(sticker(fill))], {"pods": 1.2}, press)
    panelled = sticker_coverages([sheet(sticker(fill, (half,)))], {"pods": 1.2}, press)
    assert whole == {"full box, pods": pytest.approx(1.2)}
    assert panelled == {"full box, pods": pytest.approx(0.6, abs=0.01)}


def test_round_stickers_and_panels_have_the_area_of_circles() -> None:
    """Half the radius is a quarter of the area."""
    inner = Panel(circle(30.0, 30.0, 10.0))
    placed = sticker(PatternFill("pods", (0.0, 0.0), (19.0, 19.0)), (inner,), circle(30, 30, 20.0))
    found = sticker_coverages([sheet(placed)], {"pods": 1.0}, open_press())
    assert found["full box, pods"] == pytest.approx(0.75, abs=0.01)


def test_a_plain_sticker_takes_its_colours_ink() -> None:
    placed = [sticker(ColourFill("#000000")), sticker(ColourFill("#ffffff"))]
    found = sticker_coverages([sheet(*placed)], {}, open_press())
    assert found["full box, #000000"] > 1.5
    assert found["full box, #ffffff"] == pytest.approx(0.0, abs=0.01)


def test_light_stickers_get_no_note() -> None:
    assert ink_findings("stickers", {"a": 0.3, "b": 0.1}) == []
    (note,) = ink_findings("stickers", {"a": 0.3, "b": 0.9, "c": 0.2, "d": 0.1})
    assert note.severity == "note"
    assert "b takes 90%, a 30%, c 20%; the lightest, d, 10%" in note.what
