"""Stickers by hand in a real browser: dragged, doubled, taken out, sized; by keys as well."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from .conftest import Served, answered, drawn, drop, place_of, tile_file
from .waiting import until

pytestmark = pytest.mark.slow

TWO_FRAMES = "new Promise((end) => requestAnimationFrame(() => requestAnimationFrame(end)))"


def test_by_drag_and_by_keys_and_each_is_one_undo(tab: Any, served: Served, tmp_path: Path) -> None:
    """WCAG 2.2, 2.5.7: what dragging does, keys and buttons do as well."""
    names = ("waves", "ripples", "bands")
    drop(tab, [tile_file(tmp_path / "art" / f"{n}.png", i) for i, n in enumerate(names)], 3)
    drawn(tab, served, "sheet")
    recipe = served.folder / "kit.toml"
    first = recipe.read_text()

    def changes(act: Any) -> str:
        before = recipe.read_text()
        act()
        until(lambda: recipe.read_text() != before)
        drawn(tab, served, "sheet")
        return recipe.read_text()

    def drag() -> None:
        boxes = [place_of(tab, f"#sticker-{i}") for i in (0, 1)]
        at = [(b["x"] + b["width"] / 2, b["y"] + b["height"] / 2) for b in boxes]
        tab.mouse.move(*at[0])
        tab.mouse.down()
        tab.mouse.move(*at[1], steps=6)
        tab.mouse.up()

    def press(key: str) -> None:
        tab.locator("#sticker-0").focus()
        tab.keyboard.press(key)

    def choose(shows: str) -> None:
        tab.locator("#sticker-0").click()
        tab.wait_for_selector(shows)
        tab.wait_for_load_state()  # keys are heard from then on

    swapped = changes(drag)
    assert "fill = [" in swapped
    doubled = changes(lambda: press("d"))
    assert doubled != swapped
    assert changes(lambda: press("Delete")) != doubled
    choose("#percent")
    sized = changes(lambda: press("+"))
    assert "scale = [" in sized
    choose("#across")
    moved = changes(lambda: press("ArrowLeft"))
    assert moved != sized
    for _ in range(5):
        changes(tab.locator("#undo").click)
    assert recipe.read_text() == first


ROOMY = """[planner]
box = "40mm x 52mm"
[sheet]
paper = "Letter"
gap = "3mm"
"""
ROWS = """[[rows]]
sticker = "half box"
count = 3
fill = "patterns"
"""


class Hand:
    """A kit of three tiles on its sheet, and what is done to it."""

    def __init__(self, tab: Any, served: Served, folder: Path) -> None:
        self.tab, self.served = tab, served
        names = ("waves", "ripples", "bands")
        drop(tab, [tile_file(folder / "art" / f"{n}.png", i) for i, n in enumerate(names)], 3)
        drawn(tab, served, "sheet")
        self.file = served.folder / "kit.toml"
        self.first = self.recipe

    @property
    def recipe(self) -> str:
        return self.file.read_text()

    def choose(self, number: int) -> None:
        self.tab.locator(f"#sticker-{number}").click()
        self.tab.wait_for_selector(f"#sticker-{number}[aria-current]")
        self.tab.wait_for_selector("#under-hand", state="attached")
        self.show()

    def show(self) -> None:
        """Wait until the fine picture of the sheet as it stands is shown."""
        answered(self.tab)
        until(lambda: self.tab.inner_text("#part-status") == "The sheet is drawn.")
        self.tab.wait_for_selector(".print[href$='-fine']:not([aria-busy])", state="attached")

    def middle(self, selector: str) -> tuple[float, float]:
        box = self.tab.locator(selector).bounding_box()
        return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    def centre(self, selector: str) -> None:
        """Scroll until there is room on the screen round something."""
        self.tab.locator(selector).evaluate("one => one.scrollIntoView({block: 'center'})")

    def take(self, selector: str, across: float, down: float) -> None:
        """Press on something and drag it, without letting go."""
        x, y = self.middle(selector)
        self.tab.mouse.move(x, y)
        self.tab.mouse.down()
        self.tab.mouse.move(x + across, y + down, steps=4)
        self.tab.evaluate(TWO_FRAMES)  # what is under the hand is drawn at the next frame

    def changes(self, act: Callable[[], object]) -> str:
        before, was = self.recipe, self.state()
        act()
        until(lambda: self.recipe != before)
        until(lambda: self.state() != was)  # the page has had the answer
        self.show()
        return self.recipe

    def state(self) -> str:
        """Which state of the kit the sheet shows."""
        href = self.tab.locator(".print").first.get_attribute("href") or ""
        return str(href).removesuffix("-fine")

    def with_room(self) -> str:
        """Write a kit of three stickers on an empty sheet, and return its recipe."""
        patterns = self.first[self.first.index("[[patterns]]") : self.first.index("[[rows]]")]
        self.tab.locator("#as-text-fold summary").click()
        self.tab.fill("#recipe-text", ROOMY + patterns + ROWS)
        return self.changes(self.tab.locator("#save-text").click)

    def pattern(self) -> str:
        return str(self.tab.locator("#hand-cloth").get_attribute("patternTransform"))

    def looks(self, number: int) -> Any:
        """What the inside of a sticker looks like on the screen, once nothing fades any more."""
        until(lambda: self.tab.evaluate("document.getAnimations().length") == 0)
        box = self.tab.locator(f"#sticker-{number} .line").bounding_box()
        clip = {"x": box["x"] + 4, "y": box["y"] + 4}
        clip |= {"width": box["width"] - 8, "height": box["height"] - 8}
        picture = Image.open(io.BytesIO(self.tab.screenshot(clip=clip)))
        return np.asarray(picture.convert("RGB"), float)

    def undone(self) -> bool:
        """Whether one undo gives the recipe back that there was at first."""
        self.changes(self.tab.locator("#undo").click)
        return self.recipe == self.first


@pytest.fixture
def hand(tab: Any, served: Served, tmp_path: Path) -> Hand:
    return Hand(tab, served, tmp_path)


def test_the_pattern_of_the_chosen_sticker_follows_a_drag(hand: Hand) -> None:
    """What a maker sees under the hand is what is drawn when it is let go; Escape gives up."""
    hand.choose(0)
    hand.tab.mouse.move(5, 5)
    before, was = hand.pattern(), hand.looks(0)
    hand.take("#sticker-0", 18, 9)
    until(lambda: hand.pattern() != before)
    assert hand.tab.locator("#under-hand").is_visible()
    hand.tab.keyboard.press("Escape")
    until(lambda: hand.pattern() == before)
    hand.tab.mouse.up()
    assert not hand.tab.locator("#under-hand").is_visible()
    hand.take("#sticker-0", 18, 9)
    until(lambda: hand.pattern() != before)
    held = hand.looks(0)
    assert hand.recipe == hand.first, "an edit before it was let go, or after it was given up"
    assert "offset = [" in hand.changes(hand.tab.mouse.up)
    now = hand.looks(0)
    # value from memory: two renderings of one pattern, a JPEG at 144 dpi and the browser's own
    assert np.abs(held - now).mean() < 0.25 * np.abs(was - now).mean()
    assert hand.undone()


def test_an_unchosen_sticker_is_dragged_to_swap_though_another_is_chosen(hand: Hand) -> None:
    hand.choose(0)
    hand.take("#sticker-1", 0, 0)
    hand.tab.mouse.move(*hand.middle("#sticker-2"), steps=5)
    assert "fill = [" in hand.changes(hand.tab.mouse.up)
    assert "swapped" in hand.tab.inner_text("#undo")
    assert hand.undone()


def test_wheel_and_handle_size_and_turn_it_about_its_middle(hand: Hand) -> None:
    """Each is one edit, and the sheet is drawn as it was seen under the hand."""
    hand.choose(0)
    hand.tab.mouse.move(*hand.middle("#sticker-0"))
    for _ in range(4):
        hand.tab.mouse.wheel(0, -100)
    assert "scale = [1.2" in hand.changes(lambda: None)
    assert hand.undone()
    was = hand.looks(0)
    hand.take("#turn-handle .grip", 40, 20)
    until(lambda: hand.tab.locator("#turn").input_value() != "0")
    held, turn = hand.looks(0), hand.tab.locator("#turn").input_value()
    assert f"turn = [{turn}, 0" in hand.changes(hand.tab.mouse.up)
    hand.tab.mouse.move(5, 5)
    now = hand.looks(0)
    assert np.abs(held - now).mean() < 0.25 * np.abs(was - now).mean()
    assert hand.undone()


def test_a_pinch_of_two_fingers_sizes_it(hand: Hand) -> None:
    hand.choose(0)
    x, y = hand.middle("#sticker-0")
    session = hand.tab.context.new_cdp_session(hand.tab)

    def touch(kind: str, apart: float) -> None:
        fingers = [{"x": x + way * apart, "y": y, "id": i} for i, way in enumerate((-1, 1))]
        given = {"type": kind, "touchPoints": [] if kind == "touchEnd" else fingers}
        session.send("Input.dispatchTouchEvent", given)

    touch("touchStart", 12)
    for apart in (14, 16, 18):
        touch("touchMove", apart)
    until(lambda: hand.tab.locator("#percent").input_value() == "150")
    assert "scale = [1.5, 1" in hand.changes(lambda: touch("touchEnd", 18))
    assert hand.undone()


def test_several_are_chosen_and_changed_as_one_undo(hand: Hand) -> None:
    """By Shift with a click and, for those who use no mouse, Shift with Enter or Space."""
    hand.choose(0)
    hand.tab.keyboard.press("Escape")  # no mouse has to look for "Close"
    hand.tab.wait_for_selector("#part-sticker .drawer", state="detached")
    several = hand.tab.locator("#part-several")
    count = hand.tab.locator(".stickers a").count()

    def choose() -> None:
        hand.tab.locator("#sticker-0").click(modifiers=["Shift"])
        for number, key in ((1, "Enter"), (2, " ")):
            hand.tab.locator(f"#sticker-{number}").focus()
            hand.tab.keyboard.press(f"Shift+{key}")
        assert several.locator("output").inner_text() == "3 stickers chosen"

    choose()
    hand.tab.keyboard.press("Escape")
    assert several.is_hidden()
    choose()
    hand.changes(lambda: hand.tab.keyboard.press("Delete"))
    until(lambda: hand.tab.locator(".stickers a").count() == count - 3)
    assert several.is_hidden()
    assert hand.undone()
    choose()
    hand.changes(lambda: hand.tab.keyboard.press("d"))
    until(lambda: hand.tab.locator(".stickers a").count() == count + 3)
    assert hand.undone()
    choose()
    filled = hand.changes(lambda: hand.tab.locator("#fill-several").select_option("bands"))
    assert 'fill = ["bands", "bands", "bands", ' in filled
    assert several.is_visible()
    assert hand.undone()
    hand.changes(hand.tab.locator("#deal-several").click)
    assert hand.undone()


def free_below(tab: Any, *, mm: float) -> float:
    """Return so many millimetres of the sheet in pixels of the screen."""
    return mm * float(tab.evaluate("document.querySelector('svg.sheet').getScreenCTM().a"))


def test_a_sticker_moves_to_a_free_place_and_to_no_other(hand: Hand) -> None:
    """What is in its way is said before it is let go; its handle, keys and numbers move it too."""
    first = hand.with_room()
    says = hand.tab.locator("#place-says")
    hand.centre("#sticker-0")
    hand.take("#sticker-0", 12, 6)
    until(lambda: "Not here" in says.inner_text())
    hand.tab.mouse.up()
    until(lambda: "Not moved" in says.inner_text())
    assert hand.recipe == first
    far = free_below(hand.tab, mm=40.0)
    hand.take("#sticker-0", 0, far)
    until(lambda: "from top" in says.inner_text())
    assert hand.tab.locator(".guide").count() >= 2, "no line of another sticker was met"
    moved = hand.changes(hand.tab.mouse.up)
    assert "at = [" in moved
    hand.choose(1)
    hand.centre("#sticker-1")
    hand.take("#move-handle .grip", 0, far)
    handled = hand.changes(hand.tab.mouse.up)
    assert handled.count("mm x ") > moved.count("mm x ")
    hand.tab.locator("#sticker-1").focus()
    assert hand.changes(lambda: hand.tab.keyboard.press("Alt+ArrowDown")) != handled
    hand.tab.locator("#left").fill("1")
    hand.tab.keyboard.press("Enter")
    hand.tab.wait_for_selector("#left-fault")
    hand.changes(hand.tab.locator("#let-place").click)
    for _ in range(4):
        hand.changes(hand.tab.locator("#undo").click)
    assert hand.recipe == first


def test_a_second_move_goes_on_from_the_first_before_it_is_drawn(hand: Hand) -> None:
    """Else the first is lost, unseen; a number put back as it was leaves the hand free."""
    hand.with_room()
    hand.centre("#sticker-2")
    one = hand.tab.locator("#sticker-2")
    left, top = map(float, one.get_attribute("data-box").split()[:2])
    like = hand.tab.locator("#sticker-1").get_attribute("data-like")
    assert one.get_attribute("data-like") == like
    held: list[Any] = []
    hand.tab.route(
        "**/edit/place",
        lambda route: held.append(route),  # noqa: PLW0108 - it takes no built-in
    )
    for _ in range(2):  # the second is sent while the first is on its way
        one.focus()
        for _ in range(4):
            hand.tab.keyboard.press("Alt+Shift+ArrowDown")
        one.blur()
    hand.tab.wait_for_selector("body.sending")
    until(lambda: bool(hand.tab.inner_text("#part-status") and held))
    hand.tab.unroute("**/edit/place")  # lets go of what is held
    place = f"{left:.2f}".rstrip("0").rstrip("."), f"{top + 40:.2f}".rstrip("0").rstrip(".")
    until(lambda: "{}mm x {}mm".format(*place) in hand.recipe)
    hand.show()
    hand.choose(2)
    field = hand.tab.locator("#left")
    was = field.input_value()
    field.fill("60")
    field.fill(was)
    field.blur()
    assert hand.tab.locator("body.carries").count() == 0


def test_several_are_chosen_by_taps_and_move_together(hand: Hand) -> None:
    hand.with_room()
    hand.tab.locator("#choose-several").click()
    for number in (0, 1):
        hand.tab.locator(f"#sticker-{number}").click()
    assert hand.tab.locator("#part-several output").inner_text() == "2 stickers chosen"
    hand.centre("#sticker-1")
    hand.take("#sticker-1", 0, free_below(hand.tab, mm=40.0))
    moved = hand.changes(hand.tab.mouse.up)
    places = next(line for line in moved.splitlines() if line.startswith("at = "))
    assert places.count("mm x ") == 2
    until(lambda: "moved 2 stickers" in hand.tab.inner_text("#undo"))
    hand.changes(hand.tab.locator("#replace-several").click)
    assert "\nat = " not in hand.recipe
