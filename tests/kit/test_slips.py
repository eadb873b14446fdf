"""A size that a slip of the point or the unit made small is doubted; what is meant small is not.

The limits are common practice, no published source.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.kinds import KINDS
from kit.recipe import Recipe, parse_recipe, small_sizes
from kit.recipe_error import RecipeError
from kit.stickers import slots_of
from kitloom.findings.small_sizes import meant

HEAD = """\
[planner]
box = "{box}"
[sheet]
paper = "A5"
[[patterns]]
file = "dots.png"
"""
ROW = """\
[[rows]]
sticker = "{kind}"
count = 1
"""


def recipe(box: str, *rows: str) -> Recipe:
    return parse_recipe(HEAD.format(box=box) + "".join(rows), Path("kit.toml"))


@pytest.mark.parametrize(
    ("box", "was_meant"),
    [
        ("0.15in x 0.2in", "38.1mm x 50.8mm"),
        ("3.8mm x 52mm", "38mm x 52mm"),
        ("38mm x 5.2mm", "38mm x 52mm"),
        ("9.9mm x 12mm", "99mm x 12mm"),
    ],
)
def test_a_box_too_small_for_any_planner_is_doubted(box: str, was_meant: str) -> None:
    (found,) = small_sizes(recipe(box, ROW.format(kind="label")))
    assert (found.key, meant(found)) == ("planner.box", was_meant)


@pytest.mark.parametrize("kind", [kind.name for kind in KINDS.values() if not kind.source_key])
@pytest.mark.parametrize("box", ["40mm x 52mm", "1.5in x 2in", "30mm x 40mm"])
def test_no_kind_is_doubted_for_what_it_makes_of_a_usual_box(kind: str, box: str) -> None:
    assert small_sizes(recipe(box, ROW.format(kind=kind))) == ()


@pytest.mark.parametrize(
    ("box", "kind", "size"),
    [
        ("12mm x 14mm", "strip", (12.0, 1.75)),
        ("12mm x 14mm", "dot", (3.0, 3.0)),
        ("12mm x 14mm", "checklist", (2.0, 14.0)),
        ("12mm x 14mm", "full box", None),
        ("24mm x 40mm", "checklist", (4.0, 40.0)),
    ],
)
def test_what_a_kind_makes_of_a_small_box_is_doubted(kind: str, box: str, size) -> None:
    found = small_sizes(recipe(box, ROW.format(kind=kind)))
    assert [(one.width_mm, one.height_mm) for one in found] == ([size] if size else [])
    assert all(one.derived for one in found)


@pytest.mark.parametrize(
    ("kind", "size", "doubted"),
    [
        ("label", "3.8mm x 2mm", True),
        ("label", "0.15in x 0.6in", True),
        ("label", "8mm x 6mm", True),
        ("label", "0.05 x 0.5 box", True),
        ("label", "30mm x 6mm", False),
        ("label", "0.5 x 0.5 box", False),
        ("dot", "6mm x 6mm", False),
        ("dot", "0.06in x 0.06in", True),
    ],
)
def test_a_row_of_its_own_size_is_doubted_where_stickers_are_larger(
    kind: str, size: str, *, doubted: bool
) -> None:
    row = f'{ROW.format(kind=kind)}size = "{size}"\n'
    found = small_sizes(recipe("40mm x 52mm", ROW.format(kind="full box"), row))
    assert [one.key for one in found] == ["rows.2.size"] * doubted


def test_a_panel_without_room_names_the_box_that_leaves_none() -> None:
    row = f'{ROW.format(kind="full box")}panel = "white"\n'
    with pytest.raises(RecipeError, match=r"kit.toml.*3\.8 mm x 52 mm\).*wrong in planner\.box"):
        slots_of(recipe("3.8mm x 52mm", row))
    with pytest.raises(RecipeError) as own:
        slots_of(recipe("3.8mm x 52mm", f'{row}size = "8mm x 8mm"\n'))
    assert "planner.box" not in own.value.line()
