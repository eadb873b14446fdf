"""Recipes read, and every fault of one is told in one line with its place and its mend."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.recipe import Recipe, files_of, parse_recipe, read_recipe, with_patterns
from kit.recipe.toml_lines import line_of
from kit.recipe_error import RecipeError

GOOD = """\
[kit]
name = "Trial"

[planner]
box = "40mm x 52mm"

[sheet]
paper = "Letter"
margin = "10mm"
gap = "3mm"
registration = "0.5mm"

[[patterns]]
file = "pods.png"
repeat = "0.75in"

[[patterns]]
file = "gingham.png"

[[rows]]
sticker = "full box"
count = 2
fill = "patterns"

[[rows]]
sticker = "half box"
count = 2
fill = ["pods", "#3b5b7a"]
"""


def parsed(text: str) -> Recipe:
    return parse_recipe(text, Path("folder/kit.toml"))


def test_lengths_become_millimetres() -> None:
    recipe = parsed(GOOD)
    assert recipe.planner.box == (40.0, 52.0)
    assert recipe.patterns[0].repeat == pytest.approx(19.05)
    assert recipe.patterns[1].repeat == "auto"
    assert recipe.sheet.margin.left == 10.0


def test_a_bare_registration_is_a_shift_alone() -> None:
    registration = parsed(GOOD).sheet.registration
    assert (registration.shift, registration.turn, registration.scale) == (0.5, 0.0, 0.0)


def test_margins_may_differ() -> None:
    margin = parsed(GOOD.replace('margin = "10mm"', 'margin = { top = "5mm" }')).sheet.margin
    assert (margin.top, margin.right) == (5.0, 10.0)


def test_a_pinned_colour_may_have_a_css_name() -> None:
    recipe = parsed(GOOD + '\n[palette]\npinned = ["Teal", "#AbCdEf"]\n')
    assert recipe.palette.pinned == ("#008080", "#AbCdEf")


# what is changed, what stands there instead, what the line must say
FAULTS = [
    ('gap = "3mm"', 'gpa = "3mm"', ["line 10", 'no key "sheet.gpa"', 'Did you mean "gap"?']),
    ('gap = "3mm"', 'gap = "3 furlongs"', ["line 10", "not a length", 'gap = "3 furlongs"']),
    ('gap = "3mm"', "gap = 3", ["line 10", "no unit", '"3mm"']),
    ('gap = "3mm"', 'gap = "-3mm"', ["line 10", "sheet.gap is less than 0"]),
    ('box = "40mm x 52mm"', 'box = "-40mm x 52mm"', ["line 5", "no planner has a day box"]),
    ('box = "40mm x 52mm"', 'box = "40mm"', ["line 5", "width and a height"]),
    ('paper = "Letter"', 'paper = "Foolscap-ish"', ["line 8", "not a paper"]),
    ('sticker = "full box"', 'sticker = "ful box"', ["line 21", "not a sticker kind", "full box"]),
    ("count = 2", "count = 0", ["line 22", "at least 1"]),
    ("count = 2", 'count = "two"', ["line 22", "whole number"]),
    ('file = "gingham.png"', 'file = "other/pods.png"', ['two patterns are called "pods"']),
]


@pytest.mark.parametrize(("old", "new", "words"), FAULTS, ids=[fault[1] for fault in FAULTS])
def test_a_fault_is_told_with_its_line(old: str, new: str, words: list[str]) -> None:
    with pytest.raises(RecipeError) as caught:
        parsed(GOOD.replace(old, new, 1))
    line = caught.value.line()
    assert "\n" not in line
    for word in words:
        assert word in line


def test_a_missing_key_names_itself() -> None:
    with pytest.raises(RecipeError, match=r"planner\.box is missing"):
        parsed(GOOD.replace('box = "40mm x 52mm"', ""))


def test_several_faults_are_all_told() -> None:
    broken = GOOD.replace('gap = "3mm"', "gap = 3").replace("count = 2", "count = 0", 1)
    with pytest.raises(RecipeError) as caught:
        parsed(broken)
    assert len(caught.value.also) == 1


def test_internal_fields_are_not_recipe_keys() -> None:
    with pytest.raises(RecipeError, match='no key "folder"'):
        parsed('folder = "elsewhere"\n' + GOOD)


def test_a_file_that_is_no_toml_is_told(tmp_path: Path) -> None:
    path = tmp_path / "kit.toml"
    path.write_text("[kit\n")
    with pytest.raises(RecipeError, match="not valid TOML"):
        read_recipe(path)
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(RecipeError, match="not a text file"):
        read_recipe(path)
    with pytest.raises(RecipeError, match="no such recipe"):
        read_recipe(tmp_path / "none.toml")


def test_lines_are_found_in_arrays_of_tables() -> None:
    assert line_of(GOOD, ("rows", 1, "fill")) == 28
    assert line_of(GOOD, ("patterns", 1, "file")) == 18
    assert line_of(GOOD, ("patterns", 1, "lattice")) == 17  # not written: its table
    assert line_of(GOOD, ("nowhere",)) is None


def test_other_artwork_takes_the_places_of_its_own_names_first(tmp_path: Path) -> None:
    """Files called as the recipe's patterns keep their places; the others fill what is left."""
    patterns = "".join(
        f'[[patterns]]\nfile = "{name}.png"\n' for name in ("awning", "bowls", "wash")
    )
    text = f'[planner]\nbox = "4cm x 5cm"\n[sheet]\npaper = "A4"\n{patterns}'
    text += '[[rows]]\nsticker = "full box"\ncount = 2\nfill = ["wash", "awning"]\n'
    recipe = parse_recipe(text, tmp_path / "kit.toml")

    def bound(*names: str) -> dict[str, str]:
        _, bindings = with_patterns(recipe, [tmp_path / f"{name}.png" for name in names])
        return {one.name: one.file.stem for one in bindings}

    assert bound("bowls", "chilies", "wash") == {
        "awning": "chilies",
        "bowls": "bowls",
        "wash": "wash",
    }
    assert bound("a", "b", "c", "d") == {"awning": "a", "bowls": "b", "wash": "c"}
    assert bound("wash") == {"awning": "wash", "bowls": "wash", "wash": "wash"}
    assert bound("a", "b") == {"awning": "a", "bowls": "b", "wash": "a"}


def test_every_file_of_a_recipe_is_found_by_its_key() -> None:
    more = """
[press]
chart = "chart.txt"
[palette]
from = "spring.json"
[[rows]]
sticker = "custom"
outline = "leaf.svg"
count = 1
[[rows]]
sticker = "icon"
picture = "bee.png"
count = 1
"""
    recipe = parsed(GOOD + more)
    found = {key: str(path) for key, path in files_of(recipe)}
    assert found == {
        ("press", "chart"): "chart.txt",
        ("palette", "from"): "spring.json",
        ("patterns", 0, "file"): "pods.png",
        ("patterns", 1, "file"): "gingham.png",
        ("rows", 2, "outline"): "leaf.svg",
        ("rows", 3, "picture"): "bee.png",
    }
    assert all(line_of(GOOD + more, key) is not None for key in found)
