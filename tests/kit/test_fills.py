"""Fills are spread by rule: pins kept, all used before any twice, neighbours different."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from kit.fills import choose_fills
from kit.layout import arrange, lay_out, neighbours
from kit.recipe import Recipe, parse_recipe
from kit.recipe_error import RecipeError
from kit.shapes import Rect
from kit.stickers import slots_of
from palette.space import hex_to_lab

HEXES = ("#3b5b7a", "#c4543c", "#6a8a4a", "#f4eedc", "#e2b04a")
COLOURS = {colour: hex_to_lab(colour) for colour in HEXES}
PATTERNS = {name: hex_to_lab(c) for name, c in zip(("a", "b", "c", "d"), HEXES, strict=False)}


AREA = Rect(10.0, 10.0, 190.0, 260.0)


def arranged(recipe: Recipe, slots):
    """Slots and layout as ``compose`` gets them."""
    return arrange(recipe, slots, AREA, lay_out(recipe, slots, AREA, recipe.sheet.gap))


def filled(recipe: Recipe, patterns: dict, colours: dict) -> list[str]:
    slots, layout = arranged(recipe, slots_of(recipe))
    near = neighbours(layout, len(slots), recipe.sheet.gap)
    return [choice.fill for choice in choose_fills(slots, patterns, colours, near)]


def chosen(rows: str) -> list[str]:
    text = '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n' + rows
    for name in PATTERNS:
        text += f'\n[[patterns]]\nfile = "{name}.png"\n'
    return filled(parse_recipe(text, Path("kit.toml")), PATTERNS, COLOURS)


def row(count: int, fill: str, sticker: str = "full box") -> str:
    return f'[[rows]]\nsticker = "{sticker}"\ncount = {count}\nfill = {fill}\n'


def test_each_pattern_is_used_before_one_is_used_twice() -> None:
    counts = Counter(chosen(row(4, '"patterns"') + row(4, '"patterns"')))
    assert set(counts.values()) == {2}


def test_neighbours_in_a_row_differ() -> None:
    for fill in ('"patterns"', '"palette"'):
        labels = chosen(row(20, fill))
        assert all(a != b for a, b in pairwise(labels))


def test_what_is_pinned_stays_and_counts_as_used() -> None:
    labels = chosen(row(2, '["a", "#123456"]') + row(3, '"patterns"'))
    assert labels[:2] == ["a", "#123456"]
    assert sorted(labels[2:]) == ["b", "c", "d"]


def test_a_list_shorter_than_its_row_starts_again() -> None:
    assert chosen(row(4, '["a", "b"]')) == ["a", "b", "a", "b"]


def test_colours_close_to_paper_white_are_not_offered() -> None:
    labels = chosen(row(12, '"palette"'))
    assert set(labels) == set(HEXES)  # cream is far enough from white to be a fill
    recipe = parse_recipe(
        '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "a.png"\n'
        + row(4, '"palette"'),
        Path("kit.toml"),
    )
    near_white = {"#fdfdfc": hex_to_lab("#fdfdfc"), "#3b5b7a": hex_to_lab("#3b5b7a")}
    assert set(filled(recipe, {}, near_white)) == {"#3b5b7a"}


def test_no_like_lies_beside_above_or_below() -> None:
    """Twelve boxes in three lines of four: 17 pairs of neighbours, none of them alike."""
    recipe = parse_recipe(
        '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "a.png"\n'
        + row(12, '"patterns"'),
        Path("kit.toml"),
    )
    slots, layout = arranged(recipe, slots_of(recipe))
    near = neighbours(layout, len(slots), recipe.sheet.gap)
    assert sum(len(each) for each in near) == 2 * 17
    labels = filled(recipe, dict(list(PATTERNS.items())[:3]), {})
    assert all(labels[i] != labels[j] for i, each in enumerate(near) for j in each)
    assert max(Counter(labels).values()) - min(Counter(labels).values()) <= 1


@pytest.mark.parametrize("patterns", [2, 3, 4])
@pytest.mark.parametrize("under", ["full box", "half box", "writing box", "strip"])
def test_in_each_row_all_are_used_before_one_is_used_twice(patterns: int, under: str) -> None:
    """Also where the last of a row could only be what lies above it: then others go first."""
    text = '[planner]\nbox = "42mm x 50mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "a.png"\n'
    text += row(4, '"patterns"') + row(4, '"patterns"', under) + row(8, '"patterns"', "half box")
    recipe = parse_recipe(text, Path("kit.toml"))
    slots, layout = arranged(recipe, slots_of(recipe))
    near = neighbours(layout, len(slots), recipe.sheet.gap)
    labels = filled(recipe, dict(list(PATTERNS.items())[:patterns]), {})
    for first, last in ((0, 4), (4, 8), (8, 16)):
        counts = Counter(labels[first:last])
        assert len(counts) == patterns
        assert max(counts.values()) - min(counts.values()) <= 1
    alike = [(i, j) for i, each in enumerate(near) for j in each if labels[i] == labels[j]]
    assert not alike


def test_what_a_row_names_counts_in_it() -> None:
    labels = chosen(row(4, '["a", "patterns", "patterns", "patterns"]'))
    assert sorted(labels) == ["a", "b", "c", "d"]


def test_a_fill_goes_first_that_could_go_nowhere_later() -> None:
    """The row's last sticker lies beside a "b": so its first is "b", though "a" is used less."""
    text = '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "b.png"\n'
    recipe = parse_recipe(text + row(1, '"b"') + row(2, '"patterns"'), Path("kit.toml"))
    two = {name: PATTERNS[name] for name in ("a", "b")}
    slots = slots_of(recipe)

    def labels(near: list[list[int]]) -> list[str]:
        return [choice.fill for choice in choose_fills(slots, two, {}, near)]

    assert labels([[2], [], [0]]) == ["b", "b", "a"]
    assert labels([[], [], []]) == ["b", "a", "b"]


def test_the_same_kit_gets_the_same_fills() -> None:
    rows = row(5, '"patterns"') + row(7, '"palette"') + row(3, '["b"]')
    assert chosen(rows) == chosen(rows)


def test_an_unknown_fill_is_refused_with_what_there_is() -> None:
    with pytest.raises(RecipeError, match=r'"zinnia" is neither .* one of a, b, c, d'):
        chosen(row(1, '"zinnia"'))


def test_a_panel_needs_room() -> None:
    with pytest.raises(RecipeError, match="has no room for a panel"):
        chosen(row(1, '"palette"', "checklist") + 'panel = "white"\n')


def test_distance_decides_among_equals() -> None:
    """After blue, with all unused, the farthest colour comes first (CIEDE2000, computed here)."""
    from palette.space import de2000

    labels = chosen(row(1, '"#3b5b7a"') + row(1, '"palette"'))
    apart = {c: float(de2000(COLOURS["#3b5b7a"], lab)) for c, lab in COLOURS.items()}
    # the pinned blue counts as one use of that palette colour, so it is out of the running
    assert labels[1] == max(apart, key=lambda c: apart[c])
    assert np.isclose(apart["#3b5b7a"], 0.0)
