"""Stickers by hand in a real browser: dragged, doubled, taken out, sized; by keys as well."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from .conftest import Served, drawn, drop, place_of, tile_file
from .waiting import until

pytestmark = pytest.mark.slow


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
