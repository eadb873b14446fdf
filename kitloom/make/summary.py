"""What is there to tell of a finished kit? Plain values, ready for JSON.

They are also in the lock, so that a later run that finds nothing changed can say the same again
without making the kit. ``kitloom.present.kit_lines`` shows them.
"""

from __future__ import annotations

from typing import Any

from kit.recipe import MarkPart
from kit.sheet import mark_point
from kitloom.kits import JudgedKit
from kitloom.measure import UsedPattern
from kitloom.present import as_json as shape


def summary_of(kit: JudgedKit) -> dict[str, Any]:
    """Return what is said of a kit, but for where its files are."""
    answer = shape.answer(
        "make",
        kit.findings,
        sheets=[shape.sheet_dict(sheet) for sheet in kit.kit.sheets],
        marks=[_mark(one) for one in kit.recipe.marks],
        tiles=[_tile(used) for used in kit.patterns],
        coordinates=shape.coordinate_dicts(kit.recipe.coordinates, kit.kit.coordinates),
        palette=shape.palette_dicts(kit.verdict.palette, kit.verdict.fitness),
        pairs=shape.pair_dicts(kit.verdict.pairs),
        colours=shape.colour_dicts(kit.verdict.colours),
        fills=[
            shape.fill_dict(used.study.subject, used.printed, used.plane.effective_dpi)
            for used in kit.patterns
        ],
        windows=shape.window_dicts(kit.kit.windows),
    )
    return {"name": kit.title, "paper": kit.recipe.sheet.paper.name, "answer": answer}


def _mark(mark: MarkPart) -> dict[str, Any]:
    """One of the maker's marks: where a machine finds it, from the page's top left corner."""
    x, y = mark_point(mark)
    return {"shape": mark.shape, "x_mm": round(x, 3), "y_mm": round(y, 3), "size_mm": mark.size}


def _tile(used: UsedPattern) -> dict[str, Any]:
    """One tile's measurements, without the repeats inside it: a kit has no use for them."""
    measured = shape.tile_dict(used.study)
    measured.pop("repeat")
    return {**measured, "accepted": used.accepted}
