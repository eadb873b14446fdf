"""A draft fills its sheets: how much it covers, in what mix, with a place for every tile.

Which kinds a kit should have and how many of each is common practice, no published source. How
much of a sheet such stickers can cover is taken from the rectpack library's packings.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.drafts import BOXES, PAPERS, best_packing
from kit.draft import DraftTile, Plan, draft_recipe, drafted_rows, kit_name
from kit.draft.plan import PlannedRow, with_coordinates
from kit.layout import Layout, lay_out, sticker_area, usable_area
from kit.recipe import Recipe, parse_recipe
from kit.stickers import slots_of


def tiles(count: int) -> list[DraftTile]:
    return [DraftTile(f"tile-{i}.png", 30.0, "straight") for i in range(count)]


def drafted(count: int, box: str = BOXES[0], paper: str = "Letter") -> tuple[Recipe, Plan]:
    draft = draft_recipe("A kit", "kit.toml", tiles(count), box, paper)
    return parse_recipe(draft.text, Path("kit.toml")), draft.plan


def laid(recipe: Recipe) -> Layout:
    area = sticker_area(usable_area(recipe.sheet), recipe)
    return lay_out(recipe, slots_of(recipe), area, recipe.sheet.gap)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("box", BOXES)
@pytest.mark.parametrize("count", [3, 12, 19])
def test_a_draft_fills_one_sheet_with_a_mix_and_a_place_for_every_tile(
    count: int, box: str, paper: str
) -> None:
    """Else paper is wasted, or bought artwork left out."""
    recipe, plan = drafted(count, box, paper)
    layout = laid(recipe)
    assert len(layout.sheets) == plan.sheets == 1
    assert plan.coverage > 0.72
    kinds: Counter[str] = Counter()
    for row in plan.rows:
        kinds[row.kind] += row.count
    assert {"full box", "writing panel", "half box"} <= kinds.keys()
    assert len(kinds) >= 6
    # a full box and one to write on are both cut as full boxes, and fill most of a sheet
    assert max(kinds.values()) <= 0.4 * kinds.total()
    shown = sum(row.count for row in recipe.rows if row.fill == "patterns")
    assert shown >= min(count, plan.places)
    assert plan.places >= count


@pytest.mark.slow
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("box", BOXES)
def test_a_draft_covers_nine_tenths_of_the_best_packing_of_its_kinds(box: str, paper: str) -> None:
    """Best of rectpack's settings, with half as many stickers again to choose from."""
    recipe, plan = drafted(12, box, paper)
    assert plan.coverage >= 0.9 * best_packing(recipe)


@given(st.floats(15, 110), st.floats(15, 110), st.sampled_from([*PAPERS, "A5"]), st.integers(1, 60))
@settings(max_examples=25, deadline=None)
def test_a_draft_for_any_box_lies_on_the_sheets_that_it_says(
    width: float, height: float, paper: str, count: int
) -> None:
    """Whatever the planner, a first draft can be made as it is."""
    draft = draft_recipe("", "kit.toml", tiles(count), f"{width:.1f}mm x {height:.1f}mm", paper)
    recipe = parse_recipe(draft.text, Path("kit.toml"))
    assert len(laid(recipe).sheets) <= draft.plan.sheets
    assert len(recipe.patterns) + len(draft.left_over) == count
    assert draft.plan.coverage <= 1.0


def test_tiles_without_a_place_are_told_those_with_a_seam_first() -> None:
    many = [DraftTile(f"{i}.png", 30.0, "straight", seam=i == 2) for i in range(400)]
    draft = draft_recipe("", "kit.toml", many, "90mm x 120mm", "A5")
    assert draft.left_over
    assert "2.png" in {tile.file for tile in draft.left_over}
    assert len(parse_recipe(draft.text, Path("kit.toml")).patterns) == 400 - len(draft.left_over)


def test_headers_have_the_days_where_there_is_room_for_all() -> None:
    words = [
        word
        for box in BOXES
        for paper in PAPERS
        for row in drafted(12, box, paper)[0].rows
        if row.sticker == "header"
        for word in row.words
    ]
    assert "To do" in words
    assert "Monday" in words


def test_the_rows_of_a_draft_are_known_again() -> None:
    """So that the page may fill another paper, as long as nobody has touched them."""
    recipe, _ = drafted(5)
    assert recipe.rows == drafted_rows(recipe, 5)
    assert recipe.rows != drafted_rows(recipe, 40)


def test_coordinates_take_the_boxes_that_would_repeat_a_tile() -> None:
    """A few bought tiles make a whole kit; each is still on it."""
    tables = {
        name: f'[[coordinates]]\nname = "{name}"\nkind = "check"\n'
        'colours = ["#ffffff", "#5d8a55"]\nsize = "8mm"\n\n'
        for name in ("one", "two")
    }
    draft = draft_recipe("", "kit.toml", tiles(3), coordinates=tables)
    recipe = parse_recipe(draft.text, Path("kit.toml"))
    boxes = [row.fill for row in recipe.rows if row.sticker == "full box" and not row.panel]
    assert boxes[0] == ("tile-0", "tile-1", "tile-2", "one", "two")
    halves = {row.fill for row in recipe.rows if row.sticker == "half box"}
    assert halves <= {("one", "two"), ("two", "one")}
    assert halves
    assert {row.fill for row in recipe.rows if row.sticker == "strip"} <= {"patterns"}
    many = draft_recipe("", "kit.toml", tiles(24), coordinates=tables)
    assert parse_recipe(many.text, Path("kit.toml")).rows == drafted_rows(recipe, 24)


@pytest.mark.parametrize(
    ("folder", "name"),
    [
        ("Kürbis Hof", "Kürbis Hof"),
        ("winter-tiles", "Winter tiles"),
        ("über_alle", "Über alle"),
        ("", ""),
    ],
)
def test_a_kit_is_called_like_its_folder_with_the_capitals_of_its_maker(
    folder: str, name: str
) -> None:
    assert kit_name(folder) == name


def test_a_low_strip_shows_bands_in_place_of_slivers() -> None:
    """Motifs cut to slivers on a strip 4 mm high are nothing that anybody buys."""
    rows = [PlannedRow("full box", 2, "patterns"), PlannedRow("strip", 2, "patterns")]
    made = with_coordinates(rows, ["birds", "leaves"], ["dots", "ticking"], ["ticking"])
    assert [row.fill for row in made] == ["patterns", "ticking"]
    waiting = with_coordinates(rows, ["birds", "leaves", "moths"], ["ticking"], ["ticking"])
    assert waiting[1].fill == ("moths", "ticking"), "a tile without a place comes first"
