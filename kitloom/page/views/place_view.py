"""Where stickers lie on their sheet, and where they may: what the page needs to move them by hand.

In: a kit as it is drawn, and the recipe as it stands. Out: numbers in millimetres from the paper's
left and top edge. Not done here: what a sticker shows (``sheet_view``).
"""

from __future__ import annotations

from typing import Any

from kit.layout import mark_keep_outs, sticker_area, usable_area
from kit.recipe import OwnPlace, Recipe
from kit.shapes import Rect
from kitloom.kits import JudgedKit


def ground_view(recipe: Recipe) -> dict[str, Any]:
    """Return where stickers may lie: the area, what nothing may lie on, and the gap between two."""
    area = sticker_area(usable_area(recipe.sheet), recipe)
    return {
        "area": box_text(area),
        "zones": " ".join(box_text(zone) for zone in mark_keep_outs(recipe)),
        "gap": f"{recipe.sheet.gap:g}",
    }


def box_text(box: Rect) -> str:
    """Return a box as "left top width height"."""
    return f"{box.x_mm:.4f} {box.y_mm:.4f} {box.width_mm:.4f} {box.height_mm:.4f}"


def place_view(job: JudgedKit, index: int, own: OwnPlace | None) -> dict[str, Any]:
    """Return the fields for one sticker's place.

    Args:
        job: the kit as it is drawn.
        index: the sticker's number.
        own: where the recipe says that it lies, which is true already while that is drawn; then it
            is on the sheet that it is drawn on, which may have moved up.
    """
    sheet, box, on_its_side = next(
        (number, spot.box, spot.on_its_side)
        for number, spots in enumerate(job.kit.layout.sheets, start=1)
        for spot in spots
        if spot.index == index
    )
    drawn = OwnPlace(box.x_mm, box.y_mm, sheet, on_its_side)
    at = drawn if own is None or own == job.kit.slots[index].at else own
    return {
        "left": f"{round(at.x_mm, 2):g}",
        "top": f"{round(at.y_mm, 2):g}",
        "sheet": at.sheet,
        "sheets": range(1, max(at.sheet, len(job.kit.sheets) + 1) + 1),
        "side": "1" if at.on_its_side else "0",
        "own": own is not None,
    }
