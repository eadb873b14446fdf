"""Recipes read, and every fault of one is reported in one line, with its place and its mend."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

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
    assert recipe.palette.pins == {"#008080": "Teal", "#abcdef": ""}


# what is changed, what is there instead, what the line must say
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


# every key of a recipe in its table, with the other keys that such a table needs
NEEDED = {
    "planner": {"box": '"40mm x 52mm"'},
    "sheet": {"paper": '"A4"'},
    "marks": {"shape": '"corner"', "at": '"5mm x 5mm"', "size": '"5mm"'},
    "patterns": {"file": '"a.png"'},
    "rows": {"sticker": '"full box"', "count": "2"},
}
LISTS = {"marks", "patterns", "rows"}
ODD_VALUES = (
    "true", "-1", "99999999999999999999999999", "nan", "inf", '"nan"', '"1e400mm"', '"abc%"',
    '"nan x nan box"', "[1, 2]", "[[]]", "{ top = nan }", "2024-01-01", f'"{"y" * 5000}"',
)  # fmt: skip
FOREIGN = ("Input", "unable", "could not", "codec", "Value error", "NoneType", "instance", "valid ")


def keys_of_tables() -> list[tuple[str, str]]:
    keys = []
    for table, field in Recipe.model_fields.items():
        part = field.annotation if table not in LISTS else get_args(field.annotation)[0]
        fields = getattr(part, "model_fields", {})
        keys += [(table, inner.alias or name) for name, inner in fields.items()]
    return keys


def recipe_with(table: str, key: str, value: str) -> str:
    """The smallest recipe in which a key has this value."""
    tables = {name: dict(keys) for name, keys in NEEDED.items() if name in {*NEEDED} - {"marks"}}
    tables.setdefault(table, dict(NEEDED.get(table, {})))[key] = value
    return "\n".join(
        line
        for name, keys in tables.items()
        for line in (
            f"[[{name}]]" if name in LISTS else f"[{name}]",
            *(f"{one} = {given}" for one, given in keys.items()),
        )
    )


@pytest.mark.parametrize(("table", "key"), keys_of_tables())
def test_whatever_stands_at_a_key_is_told_in_one_line_of_a_makers_words(
    table: str, key: str
) -> None:
    """No library's own words, no second line for one value, 300 characters at most."""
    faults = [fault_of(recipe_with(table, key, value)) for value in ODD_VALUES]
    refused = [fault for fault in faults if fault is not None]
    assert len(refused) > 2
    for fault in refused:
        line = fault.line()
        assert not fault.also, line
        assert len(line) <= 300
        assert not [word for word in FOREIGN if word in line], line


def fault_of(text: str) -> RecipeError | None:
    try:
        parsed(text)
    except RecipeError as error:
        return error
    return None


def test_an_empty_recipe_is_told_once() -> None:
    for text in ("", "\n# nothing yet\n"):
        with pytest.raises(RecipeError, match="is an empty recipe") as caught:
            parsed(text)
        assert not caught.value.also
    with pytest.raises(
        RecipeError, match="planner, sheet, patterns and rows are missing"
    ) as caught:
        parsed('[kit]\nname = "Trial"\n')
    assert not caught.value.also


ROW = '[[patterns]]\nfile = "a.png"\n[[rows]]\nsticker = "{}"\ncount = 2\n'
PRESS = '[press]\nprofile = "a.icc"\n'
MARK = '[[marks]]\nshape = "{}"\nat = "5mm x 5mm"\nsize = "4mm"\n'

# what is before, the key without effect there, and what gives it one
IDLE = [
    (ROW.format("full box"), 'border = "2mm"', 'panel = "white"'),
    (ROW.format("full box"), 'border = "2mm"\npanel = "none"', None),
    (ROW.format("writing box"), 'border = "2mm"\npanel = "none"', None),
    (ROW.format("full box"), "checks = 6", None),
    (ROW.format("full box"), 'check = "square"', None),
    (ROW.format("checklist"), 'text = "eggs"', 'panel = "ruled"'),
    (ROW.format("full box"), "checks = 5", 'panel = "white"'),
    (ROW.format("full box"), 'pitch = "6mm"', 'panel = "ruled"'),
    (ROW.format("full box") + 'panel = "white"\n', 'pitch = "6mm"', 'check = "circle"'),
    (ROW.format("checklist"), 'rule = "light"', 'panel = "ruled"'),
    (ROW.format("writing box") + 'panel = "white"\n', 'rule = "light"', None),
    (ROW.format("dot") + 'text = "days"\n', 'month = "2027-01"', None),
    (ROW.format("dot"), 'week = "Sunday"', 'month = "2027-01"'),
    (ROW.format("dot"), 'week = "Friday"', 'text = "days"'),
    (ROW.format("dot") + 'text = "dates"\n', 'week = "Friday"', 'month = "2027-01"'),
    (ROW.format("full box"), 'text_size = "5pt"', 'text = "eggs"'),
    (ROW.format("full box"), 'distance = "1mm"', None),
    (ROW.format("header"), "upright = true", None),
    (ROW.format("label"), 'upright = true\ntext = "eggs"', None),
    (ROW.format("full box") + 'fill = "palette"\n', "turn = 30", 'panel = "a"'),
    (ROW.format("full box") + 'fill = "#123456"\n', 'offset = "centred"', 'panel = "patterns"'),
    (ROW.format("full box"), 'offset = ["auto", "auto", "centred"]', None),
    (ROW.format("full box") + 'fill = ["a", "#123456"]\n', 'offset = ["auto", "centred"]', None),
    (ROW.format("full box") + 'fill = "palette"\n', "scale = 2", 'panel = "a"'),
    (ROW.format("full box"), "scale = [1, 2, 1]", None),
    (ROW.format("full box"), "turn = [0, 0, 30]", None),
    (ROW.format("full box") + 'fill = ["a", "#123456"]\n', "scale = [1, 1.2]", None),
    (ROW.format("full box") + 'fill = ["a", "#123456"]\n', "turn = [5, 9]", None),
    (MARK.format("cross"), 'corner = "top left"', None),
    (MARK.format("disc"), 'stroke = "1mm"', None),
    ("[press]\n", 'intent = "perceptual"', 'profile = "a.icc"'),
    ("[press]\n", "black_point_compensation = false", 'profile = "a.icc"'),
    (PRESS + 'intent = "absolute"\n', "black_point_compensation = true", None),
    (PRESS, 'surface = "matt"', None),
    ('[press]\nchart = "a.toml"\n', 'surface = "matt"', None),
    ('[press]\nchart = "a.toml"\n', 'profile = "a.icc"', None),
    ('[palette]\nfrom = "a.css"\n', "colours = 4", None),
    ('[sheet]\npaper = "A4"\n', "correct_scale = true", 'ruler_reads = "99mm"'),
    ('[sheet]\npaper = "A4"\n', 'held = "marks"', None),
    (ROW.format("full box") + 'fill = "palette"\n[fills]\n', "variety = 0.2", None),
]


@pytest.mark.parametrize(("before", "idle", "mend"), IDLE, ids=[case[1] for case in IDLE])
def test_a_key_without_effect_is_refused_at_its_line(
    before: str, idle: str, mend: str | None
) -> None:
    """A maker who writes it waits in vain for what it should do."""
    rest = {"[planner]": '[planner]\nbox = "40mm x 52mm"\n', "[sheet]": '[sheet]\npaper = "A4"\n'}
    rest["[[rows]]"] = ROW.format("full box")
    more = "".join(text for head, text in rest.items() if head not in before)
    parsed(before + more)
    with pytest.raises(RecipeError, match="has no effect") as caught:
        parsed(f"{before}{idle}\n{more}")
    line = before.count("\n") + 1
    assert caught.value.where.endswith(f", line {line}")
    assert not caught.value.also
    if mend is not None:
        parsed(f"{before}{idle}\n{mend}\n{more}")


def test_what_is_too_small_to_cut_is_refused() -> None:
    box = GOOD.replace("40mm x 52mm", "0.001mm x 0.001mm")
    with pytest.raises(RecipeError, match="no planner has a day box"):
        parsed(box)
    parsed(GOOD.replace("40mm x 52mm", "2mm x 2mm"))
    for size in ('"0.9mm x 9mm"', '"0.02 x 1 box"'):
        with pytest.raises(RecipeError, match=r"rows\.1\.size is only"):
            parsed(GOOD.replace("count = 2", f"count = 2\nsize = {size}", 1))
    parsed(GOOD.replace("count = 2", 'count = 2\nsize = "1mm x 9mm"', 1))
