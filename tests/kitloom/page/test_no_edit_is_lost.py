"""No edit is lost and nothing old is shown, in whatever order answers and scripts arrive.

Each test holds back what may come late: the script itself, a picture, an answer
to an edit, a page that was asked for before something changed, or the processes that measure.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import pytest

from .conftest import Served, drawn, drop, tile_file
from .processes import halted
from .waiting import until

pytestmark = pytest.mark.slow


@pytest.fixture
def kit(tab: Any, served: Served, tmp_path: Path) -> Path:
    """A drawn kit of two tiles; returns its recipe."""
    tab.add_init_script(HOLD)
    paths = [tile_file(tmp_path / "art" / f"{name}.png", i) for i, name in enumerate("ab")]
    drop(tab, paths, 2)
    drawn(tab, served, "kit")
    return served.folder / "kit.toml"


HOLD = """
(() => {
  const real = window.fetch, waiting = [];
  let wanted = null;
  window.hold = (method, path, what) => { wanted = {method, path, what}; };
  window.held = () => waiting.length;
  window.let_go = () => { wanted = null; for (const go of waiting.splice(0)) go(); };
  window.fetch = async (address, options = {}) => {
    const caught = wanted && (options.method || "GET") === wanted.method
      && new URL(address, location).pathname === wanted.path ? wanted.what : "";
    if (caught === "request") await new Promise((go) => waiting.push(go));
    const answer = await real(address, options);
    if (caught === "answer") await new Promise((go) => waiting.push(go));
    return answer;
  };
})();
"""


class Late:
    """Requests to one address, or the answers to them, held back until they are let go."""

    def __init__(self, page: Any, method: str, path: str, what: str = "answer") -> None:
        self._page = page
        page.evaluate("wanted => hold(...wanted)", [method, path, what])

    def count(self) -> int:
        return int(self._page.evaluate("held()"))

    def wait(self) -> None:
        until(lambda: self.count() > 0)

    def let_go(self) -> None:
        self._page.evaluate("let_go()")


class Kept:
    """What a page loads from some address, held back in the browser until it is let go."""

    def __init__(self, page: Any, address: str) -> None:
        self._page = page
        self._kept: list[Any] = []
        self._open = False
        page.route(re.compile(address), self._came)

    def _came(self, route: Any) -> None:
        if self._open:
            route.continue_()
        else:
            self._kept.append(route)

    def wait(self) -> None:
        # each question to the page lets Playwright say what came in between
        until(lambda: isinstance(self._page.title(), str) and self._kept != [])

    def let_go(self) -> None:
        self._open = True
        for route in self._kept:
            route.continue_()


def test_what_is_typed_before_the_script_has_come(tab: Any, served: Served, kit: Path) -> None:
    late = Kept(tab, r"/static/exchange\.js")
    tab.goto(f"{served.origin}/step/kit", wait_until="commit")
    tab.fill("#count-0", "1")
    tab.focus("#box-wide")
    late.wait()
    assert '"full box"\ncount = 1\n' not in kit.read_text()
    late.let_go()
    tab.wait_for_load_state()
    until(lambda: '"full box"\ncount = 1\n' in kit.read_text())


def test_what_is_typed_while_an_earlier_edit_is_on_its_way(tab: Any, kit: Path) -> None:
    late = Late(tab, "POST", "/edit/row")
    tab.fill("#count-0", "1")
    tab.press("#count-0", "Tab")
    late.wait()
    tab.fill("#count-1", "3")  # typed, but not left yet, when the earlier answer comes
    late.let_go()
    until(lambda: tab.inner_text("#undo").startswith("Undo: 1 full box"))
    until(lambda: tab.inner_text("#part-status") == "The sheet is drawn.")
    assert tab.input_value("#count-1") == "3"
    tab.press("#count-1", "Tab")
    until(lambda: '"checklist"\ncount = 3\n' in kit.read_text())
    assert '"full box"\ncount = 1\n' in kit.read_text()


def test_edits_arrive_in_the_order_in_which_they_were_made(tab: Any, kit: Path) -> None:
    before = kit.read_text()
    late = Late(tab, "POST", "/edit/row", "request")
    for count in ("5", "3", "1"):
        tab.fill("#count-0", count)
        tab.press("#count-0", "Tab")
    late.wait()
    assert late.count() == 1  # one at a time
    assert kit.read_text() == before
    late.let_go()
    until(lambda: tab.inner_text("#undo").startswith("Undo: 1 full box"))
    assert tab.input_value("#count-0") == "1"


def test_an_old_page_that_comes_late_does_not_win(tab: Any, served: Served, kit: Path) -> None:
    late = Late(tab, "GET", "/step/kit")
    other = tab.context.new_page()
    other.goto(f"{served.origin}/step/kit")
    other.fill("#box-wide", "41")
    other.press("#box-wide", "Tab")
    late.wait()
    other.fill("#box-wide", "44")
    other.press("#box-wide", "Tab")
    until(lambda: 'box = "44mm' in kit.read_text())
    tab.fill("#name", "Newer")
    tab.press("#name", "Tab")
    until(lambda: "Newer" in tab.inner_text("h1"))
    late.let_go()  # the page as it was before both
    until(lambda: tab.input_value("#box-wide") == "44 mm")
    until(lambda: tab.inner_text("#part-status") == "The sheet is drawn.")
    assert tab.input_value("#name") == "Newer"


def test_a_step_left_at_once_waits_for_what_was_typed(tab: Any, kit: Path) -> None:
    late = Late(tab, "POST", "/edit/box", "request")
    tab.fill("#box-wide", "37")
    tab.click("#next", no_wait_after=True)
    late.wait()
    assert tab.url.endswith("/step/kit")
    late.let_go()
    tab.wait_for_url("**/step/sheet")
    assert 'box = "37mm x 52mm"' in kit.read_text()


def test_a_tab_closed_while_typing_keeps_it(tab: Any, kit: Path) -> None:
    tab.fill("#box-wide", "36")
    tab.goto("about:blank")
    until(lambda: 'box = "36mm x 52mm"' in kit.read_text())


def test_an_old_picture_is_marked_until_the_new_one_is_there(
    tab: Any, served: Served, kit: Path
) -> None:
    first = "#part-aside [data-sheet]"
    old = state_in(tab.get_attribute(first, "href"))
    until(lambda: tab.locator("[data-sheet][aria-busy]").count() == 0)
    with halted(served.below()):
        os.utime(kit.parent / "artwork" / "a.png", (0, 0))  # has to be measured again
        tab.fill("#count-0", "1")
        tab.press("#count-0", "Tab")
        until(lambda: tab.inner_text("#undo").startswith("Undo: 1 full box"))
        assert tab.inner_text("#part-status") == "Drawing the sheet …"
        assert tab.get_attribute(first, "aria-busy") == "true"  # being drawn
        late = Kept(tab, r"/picture/sheet\?")
    until(lambda: tab.inner_text("#part-status") == "The sheet is drawn.")
    late.wait()
    assert state_in(tab.get_attribute(first, "href")) == old
    assert tab.get_attribute(first, "aria-busy") == "true"  # drawn, but not here yet
    # one that was just replaced has no style any more
    dim = "i => i.isConnected && Number(getComputedStyle(i).opacity) < 0.5"
    until(lambda: tab.eval_on_selector(first, dim))
    late.let_go()
    until(lambda: tab.locator("[data-sheet][aria-busy]").count() == 0)
    assert state_in(tab.get_attribute(first, "href")) != old


def test_a_drag_is_not_cut_off_by_a_sheet_drawn_meanwhile(
    tab: Any, served: Served, kit: Path
) -> None:
    drawn(tab, served, "sheet?sticker=0")
    sheet = tab.locator("image.print").first
    place = tab.locator("[data-drag]")
    place.scroll_into_view_if_needed()
    box = place.bounding_box()
    tab.mouse.move(box["x"] + 90, box["y"] + 90)
    tab.mouse.down()
    tab.mouse.move(box["x"] + 80, box["y"] + 90, steps=2)
    old = state_in(sheet.get_attribute("href"))
    other = tab.context.new_page()
    other.goto(f"{served.origin}/step/sheet?sticker=0")
    other.fill("#across", "7")
    other.press("#across", "Tab")
    until(lambda: 'offset = ["7mm x' in kit.read_text())
    until(lambda: state_in(sheet.get_attribute("href")) != old)  # this tab shows it
    until(lambda: tab.locator("[data-sheet][aria-busy]").count() == 0)
    tab.mouse.move(box["x"] + 60, box["y"] + 95, steps=4)
    shown = tab.input_value("#across"), tab.input_value("#down")
    tab.mouse.up()
    pinned = f'offset = ["{float(shown[0]):g}mm x {float(shown[1]):g}mm"'
    until(lambda: pinned in kit.read_text())


def state_in(address: str) -> str:
    """Which state of the kit a picture shows, coarse or fine."""
    return address.removesuffix("-fine")


def test_what_is_refused_is_said_until_it_is_mended(tab: Any, kit: Path) -> None:
    tab.fill("#box-wide", "wide")
    tab.press("#box-wide", "Tab")
    until(lambda: "Day box of your planner, width" in tab.inner_text("#part-answer"))
    assert "not a length" in tab.inner_text("#box-wide-fault")
    assert tab.input_value("#box-wide") == "wide"
    assert tab.get_attribute("#box-wide", "aria-invalid") == "true"
    tab.fill("#count-0", "1")  # something else, whose sheet is drawn at the same time
    tab.press("#count-0", "Tab")
    until(lambda: tab.inner_text("#undo").startswith("Undo: 1 full box"))
    until(lambda: tab.inner_text("#part-status") == "The sheet is drawn.")
    assert tab.locator("#box-wide-fault").count() == 1
    tab.fill("#box-wide", "39")
    assert tab.locator("#box-wide-fault").count() == 0
    tab.press("#box-wide", "Tab")
    until(lambda: 'box = "39mm x 52mm"' in kit.read_text())
    until(lambda: tab.inner_text("#part-answer").strip() == "")


@pytest.mark.parametrize(
    ("field", "near", "written"),
    [("count-0", "count-1", "count = 17\n"), ("box-wide", "box-high", 'box = "17mm x 51mm"')],
)
def test_what_was_selected_stays_selected_in_a_part_shown_anew(
    tab: Any, served: Served, kit: Path, field: str, near: str, written: str
) -> None:
    tab.evaluate("id => document.getElementById(id).select()", field)
    shown_anew(tab, served, field, near)
    assert tab.evaluate("document.activeElement.id") == field
    tab.keyboard.insert_text("17")
    assert tab.input_value(f"#{field}") == "17"
    tab.keyboard.press("Tab")
    until(lambda: written in kit.read_text())


def test_a_caret_stays_where_it_was_in_a_part_shown_anew(
    tab: Any, served: Served, kit: Path
) -> None:
    tab.focus("#box-wide")
    tab.evaluate("document.getElementById('box-wide').setSelectionRange(1, 1)")
    shown_anew(tab, served, "box-wide", "box-high")
    tab.keyboard.insert_text("1")
    tab.keyboard.press("Tab")
    until(lambda: 'box = "410mm x 51mm"' in kit.read_text())


def shown_anew(tab: Any, served: Served, field: str, near: str) -> None:
    """Change the field beside it from another tab, until the first tab shows both again."""
    tab.evaluate("id => { document.getElementById(id).dataset.old = 'yes'; }", field)
    other = tab.context.new_page()
    other.goto(f"{served.origin}/step/kit")
    other.fill(f"#{near}", "51")
    other.press(f"#{near}", "Tab")
    until(lambda: tab.get_attribute(f"#{field}", "data-old") is None)
