"""In a real browser: what is changed by hand stays alone in changing, and can be dealt again."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from .conftest import Served, command_makes, drawn, drop, tile_file
from .waiting import until

LABELS = "els => els.map(e => e.getAttribute('aria-label'))"


@pytest.mark.slow
def test_one_fill_leaves_the_others_and_a_deal_changes_only_its_own(
    tab: Any, served: Served, tmp_path: Path
) -> None:
    tiles = [tile_file(tmp_path / f"{name}.png", i) for i, name in enumerate(("a", "b", "c", "d"))]
    drop(tab, tiles, 4)

    def labels() -> list[str]:
        found = tab.eval_on_selector_all(".stickers a", LABELS)
        return [label.split(", gave way")[0] for label in found]

    def differing(before: list[str]) -> list[int]:
        return [i for i, pair in enumerate(zip(before, labels(), strict=True)) if len({*pair}) > 1]

    drawn(tab, served, "sheet")
    first = labels()
    tab.locator("#sticker-1").click()
    tab.wait_for_selector("#sticker-fill")
    tab.select_option("#sticker-fill", "d" if ", d" not in first[1] else "a")
    until(lambda: differing(first) == [1])
    drawn(tab, served, "sheet?sticker=0")
    second = labels()
    tab.click("#deal-one")
    until(lambda: differing(second) == [0])
    drawn(tab, served, "sheet?sticker=0")
    tab.screenshot(path=str(tmp_path / "sheet.png"), full_page=True)
    tab.click("#deal-row")
    until(lambda: 0 in differing(second) and len(differing(second)) > 1)
    drawn(tab, served, "sheet")
    tab.click("#deal-all")
    until(lambda: len(differing(second)) > 4)
    for _ in range(3):
        tab.click("#undo")
        drawn(tab, served, "sheet")
    assert labels() == second

    made = command_makes(served.folder / "kit.toml", tmp_path / "by-command")
    stickers = json.loads(made["kit.lock.json"])["stickers"]
    by_command = sorted(f"{one['kind']}, {one['fill']}" for one in stickers)
    assert by_command == sorted(re.sub(r" \d+( of row \d+)?,", ",", one) for one in second)


@pytest.mark.slow
def test_what_makes_room_is_named_and_outlined(tab: Any, served: Served, tmp_path: Path) -> None:
    drop(tab, [tile_file(tmp_path / f"{i}.png", i) for i in range(3)], 3)
    drawn(tab, served, "kit")
    tab.fill("#count-0", "1")
    tab.press("#count-0", "Tab")
    tab.wait_for_selector(".gave-way")
    assert "in another place" in tab.inner_text(".gave-way")
    tab.screenshot(path=str(tmp_path / "kit.png"), full_page=True)
    drawn(tab, served, "sheet")
    assert tab.locator(".stickers a.lit").count() > 0
    assert "violet" in tab.inner_text(".gave-way")
    tab.screenshot(path=str(tmp_path / "lit.png"), full_page=True)
