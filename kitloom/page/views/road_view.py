"""Step 7: which of the four roads from files to cut stickers, and the files that it needs first.

In: the road that the address names, and the files that there are. Out: the roads to choose from,
the steps of the chosen one, its files apart from the rest, the cautions and how to print; and all
of that as a text that goes along with the files, to be read beside a cutter that stands elsewhere.
The texts are ``kitloom.roads``'s.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from textwrap import fill
from typing import Any

from kit.recipe import Recipe
from kitloom.roads import CAUTIONS, PRINTING, ROADS, Road, spans

IN_RECIPE = "Marks and margin, where these steps name them, are on the page in step 5, The kit."


def road_view(key: str, files: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """Return the cautions, the roads, and of the chosen one its steps and files.

    Args:
        key: of the road, as the address names it; another text chooses none.
        files: what was made, as ``home_view`` lists it.
    """
    chosen = next((one for one in ROADS if one.key == key), None)
    first = [file for file in files if chosen and as_of_sheet_1(file["name"]) in chosen.files]
    if chosen:
        first.sort(key=lambda file: chosen.files.index(as_of_sheet_1(file["name"])))
    # the files that the step shows outright: where no road is chosen, all to print and to cut
    kinds = {"show"} if chosen else {"show", "print", "cut"}
    shown = [file for file in files if file.get("kind") in kinds]
    return {
        "roads": [(one.key, one.says, one is chosen) for one in ROADS],
        "road": chosen
        and {
            "key": chosen.key,
            "title": chosen.title,
            "steps": [list(spans(step)) for step in chosen.steps],
            "check": list(spans(chosen.check)),
        },
        "first": first,
        "cautions": CAUTIONS,
        "printing": PRINTING,
        "shop": [file for file in files if file.get("kind") == "show"],
        "rest": [file for file in files if file not in (*first, *shown)],
    }


def to_measure(recipe: Recipe) -> str:
    """Say how large a sticker is, to hold a print or a cutter's program against."""
    wide_mm, high_mm = recipe.planner.box
    return f"To measure: a full box is {wide_mm:g} × {high_mm:g} mm, as your planner's day box."


def road_text(key: str, recipe: Recipe, files: Sequence[dict[str, Any]]) -> str:
    """Return what to do with a kit's files, as plain text.

    Args:
        key: of the road; another text gives all four, each with the cutter it is for.
        recipe: the kit's.
        files: those that go along, as ``home_view`` lists them.
    """
    roads = [one for one in ROADS if one.key == key] or list(ROADS)
    name = recipe.kit.name
    parts = [f"{name}: how to print and cut" if name else "How to print and cut"]
    parts += ["BEFORE YOU PRINT AND CUT", *(_item("-", one) for one in CAUTIONS)]
    parts += ["HOW TO SET THE PRINTER", *(_item("-", one.replace("`", "")) for one in PRINTING)]
    if len(roads) > 1:
        parts.append("There are four ways. Follow the one for what your cutter can do.")
    for road in roads:
        parts += [road.says.upper(), *_steps(road)]
    parts += [fill(to_measure(recipe), 78), fill(IN_RECIPE, 78), "WHAT EACH FILE IS FOR"]
    parts += [_item("-", f"{one['name']}: {one['words']}") for one in files if one["words"]]
    return "\n\n".join(parts) + "\n"


def _steps(road: Road) -> list[str]:
    plain = [step.replace("`", "") for step in (*road.steps, road.check)]
    numbered = [_item(f"{number}.", step) for number, step in enumerate(plain[:-1], start=1)]
    return [*numbered, fill(f"Check: {plain[-1]}", 78)]


def _item(mark: str, text: str) -> str:
    return fill(text, 78, initial_indent=f"{mark} ", subsequent_indent=" " * (len(mark) + 1))


def as_of_sheet_1(name: str) -> str:
    """Return what a sheet's file is called for sheet 1, as the roads name it."""
    return re.sub(r"^sheet-\d+", "sheet-1", name)
