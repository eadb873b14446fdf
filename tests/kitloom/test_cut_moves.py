"""A maker who moved the cut is reminded: such files suit one machine alone."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from kit.recipe import parse_recipe
from kitloom.findings.cut_moves import moved_findings

RECIPE = """\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A4"
[[patterns]]
file = "a.png"
[[rows]]
sticker = "label"
count = 1
"""


def told(cut: str) -> Any:
    recipe = parse_recipe(f"{RECIPE}[cut]\n{cut}\n", Path("kit.toml"))
    return moved_findings(SimpleNamespace(recipe=recipe))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("cut", "says"),
    [
        ('offset = "0.3mm -0.2mm"', "are moved 0.30 mm right, 0.20 mm up."),
        ('offset = "-1mm 0mm"\nturn = "-0.05deg"', "are moved 1.00 mm left, 0.050 degrees anticl"),
        ('turn = "0.1deg"', "are moved 0.100 degrees clockwise."),
    ],
)
def test_it_is_told_where_the_cut_lies(cut: str, says: str) -> None:
    (one,) = told(cut)
    assert (one.code, one.severity) == ("cut-moved", "note")
    assert says in one.what


def test_without_a_move_nothing_is_told() -> None:
    assert told("") == told('offset = "0mm 0mm"') == []
