"""The sheet, undo and redo are in sight at each step, and what is old says so."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from .conftest import Served, answered, drawn, drop, place_of, tile_file
from .processes import halted
from .waiting import until

pytestmark = pytest.mark.slow

STEPS = ("artwork", "tiles", "palette", "print", "kit", "home")
SHEET = "#part-aside .sheets-in-sight svg"


@pytest.fixture
def kit(tab: Any, served: Served, tmp_path: Path) -> Path:
    drop(tab, [tile_file(tmp_path / "art" / f"{name}.png", i) for i, name in enumerate("ab")], 2)
    drawn(tab, served, "kit")
    return served.folder / "kit.toml"


@pytest.mark.usefixtures("kit")
def test_the_sheet_stands_beside_every_step_in_a_wide_window(tab: Any, served: Served) -> None:
    tab.set_viewport_size({"width": 1100, "height": 800})
    for step in STEPS:
        drawn(tab, served, step)
        tab.evaluate("scrollTo(0, document.body.scrollHeight)")
        sheet, main = place_of(tab, SHEET), place_of(tab, "main")
        assert sheet["x"] >= main["x"] + main["width"], step
        assert 0 <= sheet["y"] < 800, f"{step}: it scrolled out of sight"
        assert tab.locator("#undo").is_visible(), step
    drawn(tab, served, "sheet?sticker=0")
    sheet, drawer = place_of(tab, "#part-sheet"), place_of(tab, "#part-sticker")
    assert sheet["x"] + sheet["width"] <= drawer["x"]


@pytest.mark.usefixtures("kit")
def test_a_small_sheet_sticks_to_the_bottom_of_a_narrow_window_and_opens(
    tab: Any, served: Served
) -> None:
    tab.set_viewport_size({"width": 390, "height": 844})
    for step in (*STEPS, "sheet"):
        drawn(tab, served, step)
        small = place_of(tab, SHEET)
        assert 844 - 90 < small["y"] < 844, step
        assert tab.evaluate("document.documentElement.scrollWidth") <= 390, step
    tab.locator("#sticker-0").click()  # its settings come to it, not the maker to them
    tab.wait_for_selector("#part-sticker .drawer")
    drawer, sticker = place_of(tab, "#part-sticker"), place_of(tab, "#sticker-0")
    assert 0 < sticker["y"] < sticker["y"] + sticker["height"] <= drawer["y"] < 844 - 90
    small = place_of(tab, SHEET)
    tab.mouse.click(small["x"] + small["width"] / 2, small["y"] + small["height"] / 2)
    until(lambda: place_of(tab, SHEET)["width"] > 300)
    tab.keyboard.press("Escape")
    until(lambda: place_of(tab, SHEET)["width"] < 90)


@pytest.mark.usefixtures("kit")
def test_the_stickers_that_a_step_is_about_are_outlined(tab: Any, served: Served) -> None:
    drawn(tab, served, "tiles?tile=a")
    of_a = tab.locator("#part-aside .line").count()
    drawn(tab, served, "tiles?tile=b")
    of_b = tab.locator("#part-aside .line").count()
    drawn(tab, served, "home")
    assert of_a > 0
    assert of_b > 0
    assert tab.locator("#part-aside .line").count() == 0


def test_keys_undo_and_redo_but_not_in_a_field_of_text(tab: Any, kit: Path) -> None:
    first = kit.read_text()
    tab.fill("#count-0", "2")
    tab.press("#count-0", "Tab")
    until(lambda: kit.read_text() != first)
    changed = kit.read_text()
    tab.focus("#paper")
    tab.keyboard.press("Control+z")
    until(lambda: kit.read_text() == first)
    for again, back in (("Control+y", "Control+z"), ("Control+Shift+Z", "Control+z")):
        until(lambda: tab.locator("#redo").count() == 1)
        tab.focus("#paper")
        tab.keyboard.press(again)
        until(lambda: kit.read_text() == changed)
        until(lambda: tab.locator("#redo").count() == 0)
        tab.focus("#paper")
        tab.keyboard.press(back)
        until(lambda: kit.read_text() == first)
    tab.fill("#name", "Typed")
    tab.press("#name", "Tab")
    until(lambda: 'name = "Typed"' in kit.read_text())
    answered(tab)  # until then the browser itself would take back what was typed
    tab.focus("#box-wide")
    tab.keyboard.press("Control+z")
    tab.select_option("#paper", "A4")
    until(lambda: 'paper = "A4"' in kit.read_text())
    assert 'name = "Typed"' in kit.read_text()  # the key was the field's own
    answered(tab)
    tab.fill("#name", "Again")
    tab.press("#name", "Enter")
    until(lambda: 'name = "Again"' in kit.read_text())
    answered(tab)
    tab.press("#name", "Control+z")  # its words were sent: nothing is left to take back in it
    until(lambda: 'name = "Typed"' in kit.read_text())


def test_what_is_old_is_dimmed_and_the_control_says_that_it_works(
    tab: Any, served: Served, kit: Path
) -> None:
    """A maker asks for five colours and looks at eight: nothing may look as if it were done."""
    drawn(tab, served, "palette")
    with halted(served.below()):
        (kit.parent / "artwork" / "a.png").touch()  # has to be measured again
        tab.select_option("#colours", "5")
        until(lambda: "Undo: colours" in tab.inner_text("#undo"))
        assert tab.locator("form.working #colours").count() == 1
        dim = "i => Number(getComputedStyle(i).opacity) < 0.5"
        until(lambda: tab.eval_on_selector(".swatches svg", dim))
        says = "f => getComputedStyle(f, '::after').content"
        assert "working" in tab.eval_on_selector("form.working", says)
    until(lambda: tab.inner_text("#part-status") == "The sheet is drawn.")
    until(lambda: tab.locator("form.working").count() == 0)
    assert tab.eval_on_selector(".swatches svg", "i => getComputedStyle(i).opacity") == "1"
