"""Step 7: which of the four roads from files to cut stickers, and the files that it needs first.

In: the road that the address names, and the files that there are. Out: the roads to choose from,
the steps of the chosen one, its files apart from the rest, the cautions and how to print. The texts
are ``kitloom.roads``'s.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from kitloom.roads import CAUTIONS, PRINTING, ROADS, spans


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


def as_of_sheet_1(name: str) -> str:
    """Return what a sheet's file is called for sheet 1, as the roads name it."""
    return re.sub(r"^sheet-\d+", "sheet-1", name)
