"""Step 5: planner, paper and rows, each row with its stickers as they are drawn."""

from __future__ import annotations

from typing import Any

from kit.kinds import KINDS
from kit.recipe import Recipe, RowPart
from kit.shapes import rect_around
from kit.writers import path_data
from kitloom.kits import JudgedKit
from kitloom.page.edits import count_across
from kitloom.page.state import Bench
from kitloom.page.views.changes_view import gave_way
from kitloom.page.views.planner_view import planner_view

ROW_PX_PER_MM = 2.7  # large enough to know the motifs, small enough that a kit fits a screen


def kit_view(
    bench: Bench, recipe: Recipe, job: JudgedKit | None, opened: int | None = None
) -> dict[str, Any]:
    """Return the fields of the kit and a picture of each row; one may be open for its settings."""
    sheet = recipe.sheet
    margins = {sheet.margin.top, sheet.margin.right, sheet.margin.bottom, sheet.margin.left}
    drawing = bench.drawing
    return {
        **planner_view(recipe, bench.workspace.text()),
        "motif_count": count_across(recipe, "motif"),
        "kinds": [kind for kind in KINDS.values() if not kind.source_key],
        "rows": [
            _row(recipe, i, job, drawing.fault is None) | {"open": i == opened}
            for i in range(len(recipe.rows))
        ],
        "margin": f"{margins.pop():g}" if len(margins) == 1 else "",
        "sheet": {
            "gap": f"{sheet.gap:g}",
            "bleed": f"{sheet.bleed:g}",
            "corner": f"{sheet.corner_radius:g}",
            "shift": f"{sheet.registration.shift:g}",
            "layout": sheet.layout,
        },
        "top_up": list(sheet.top_up),
        "fillers": [kind.name for kind in KINDS.values() if not kind.source_key],
        "variety": f"{recipe.fills.variety:g}",
        "sheets": _small_sheets(job),
        "gave_way": gave_way(drawing.earlier, job).words if job else "",
        "used": f"{job.kit.layout.share_of_usable:.0%}" if job else "",
    }


def _small_sheets(job: JudgedKit | None) -> list[dict[str, Any]]:
    if job is None:
        return []
    return [
        {"wide": f"{sheet.width_mm:g}", "high": f"{sheet.height_mm:g}"} for sheet in job.kit.sheets
    ]


def _row(recipe: Recipe, index: int, job: JudgedKit | None, current: bool) -> dict[str, Any]:
    row = recipe.rows[index]
    kind = KINDS[row.sticker]
    return {
        "number": index,
        "kind": row.sticker,
        "count": row.count,
        "fill": row.fill if isinstance(row.fill, str) else "as it is",
        "fills": _fills(recipe, row),
        "panel": row.panel or kind.panel or "none",
        "panels": _panels(row, kind.panel),
        "pinned": sum(row.pin_of(i) is not None for i in range(row.count)),
        "strip": _strip(job, index) if job and current else None,
    }


def _fills(recipe: Recipe, row: RowPart) -> list[dict[str, str]]:
    own = [] if isinstance(row.fill, str) else [("as it is", "as you chose, one by one")]
    if isinstance(row.fill, str) and row.fill.startswith("#"):
        own.append((row.fill, row.fill))
    general = [("patterns", "a different pattern each"), ("palette", "colours of the palette")]
    names = [(name, name) for name in recipe.fill_names]
    return [{"value": value, "words": words} for value, words in (*own, *general, *names)]


def _panels(row: RowPart, usual: str | None) -> list[dict[str, str]]:
    words = {"none": "no panel", "white": "white, to write on", "ruled": "ruled, to write on"}
    now = row.panel or usual or "none"
    if now not in words:
        words = {now: now, **words}
    return [{"value": value, "words": text} for value, text in words.items()]


def _strip(job: JudgedKit, index: int) -> dict[str, Any] | None:
    """Where on its sheet a row lies, so that its picture can be cut out of the sheet's."""
    slots = job.kit.slots
    for number, spots in enumerate(job.kit.layout.sheets):
        sheet = job.kit.sheets[number]
        boxes = [
            placed.box
            for placed, spot in zip(sheet.placements, spots, strict=True)
            if slots[spot.index].row == index
        ]
        if boxes:
            box = rect_around(boxes).grow(1.5)
            return {
                "sheet": number + 1,
                "view": f"{box.x_mm:.2f} {box.y_mm:.2f} {box.width_mm:.2f} {box.height_mm:.2f}",
                "wide": round(box.width_mm * ROW_PX_PER_MM),
                "high": round(box.height_mm * ROW_PX_PER_MM),
                "sheet_wide": f"{sheet.width_mm:g}",
                "sheet_high": f"{sheet.height_mm:g}",
                "cuts": [
                    path_data(placed.outline)
                    for placed, spot in zip(sheet.placements, spots, strict=True)
                    if slots[spot.index].row == index and slots[spot.index].kind.source_key
                ],
            }
    return None
