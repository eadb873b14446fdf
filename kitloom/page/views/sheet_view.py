"""Steps 6 and 7: the sheet with its stickers, one of them chosen, and the files to take home."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterable, Mapping
from pathlib import Path
from typing import Any

from kit.compose import places_in_rows
from kit.recipe import ANY_FILL, Recipe, RowPart
from kit.shapes import Rect
from kit.sheet import PAPER, ColourFill, PatternFill, Placement
from kit.stickers import Slot
from kit.writers import WRITERS, path_data
from kitloom.disk import SINGLE_FILES
from kitloom.kits import JudgedKit, worst_cuts
from kitloom.page.edits import alike
from kitloom.page.state import Bench, parse_place, place_words
from kitloom.page.views.changes_view import gave_way
from kitloom.page.views.findings_view import count_things
from kitloom.page.views.place_view import box_text, ground_view, place_view
from kitloom.page.views.road_view import to_measure
from kitloom.page.views.tile_pictures import cell_tiles
from kitloom.page.work import FileMaking
from kitloom.present import size_words
from palette.exchange import FORMATS
from patterns.plane import parse_lattice

# what a file's name ends in -> (what it is for, whether it belongs to printing, cutting, a shop or
# else)
PURPOSES = (
    *(
        (
            rf"sheet-\d+{re.escape(one.suffix)}",
            one.purpose,
            "print" if one.prints else "cut" if one.cuts else "else",
        )
        for one in WRITERS.values()
    ),
    *(
        (re.escape(one.file_name), f"The palette as {one.title}, for {one.users}", "else")
        for one in sorted(FORMATS.values(), key=lambda one: one.file_name)
    ),
    *((re.escape(name), one.purpose, one.kind) for name, one in SINGLE_FILES.items()),
)


def sheet_view(
    bench: Bench, recipe: Recipe, job: JudgedKit | None, query: Mapping[str, str]
) -> dict[str, Any]:
    """Return every sheet with its lines, and the chosen sticker."""
    view: dict[str, Any] = {"sheets": [], "sticker": None}
    if job is None or bench.drawing.fault is not None:
        return view
    chosen = query.get("sticker", "")
    changes = gave_way(bench.drawing.earlier, job)
    numbers = range(len(job.kit.sheets))
    view["sheets"] = [_sheet(job, i, chosen, changes.stickers) for i in numbers]
    view["gave_way"] = changes.words
    view["sticker"] = _sticker(recipe, job, chosen)
    view["rows"] = len(recipe.rows)
    view["placed"] = " ".join(
        f"{row}.{place}"
        for row, part in enumerate(recipe.rows)
        for place in range(part.count)
        if part.at_of(place) is not None
    )
    view["ground"] = ground_view(recipe)
    view["fills"] = _fills(recipe, job)
    view["worst"] = _worst_words(job)
    return view


def _sheet(job: JudgedKit, number: int, chosen: str, lit: Collection[int]) -> dict[str, Any]:
    sheet, spots = job.kit.sheets[number], job.kit.layout.sheets[number]
    places, names = places_in_rows(job.kit.slots), _names(job)
    return {
        "number": number + 1,
        "wide": f"{sheet.width_mm:.3f}",
        "high": f"{sheet.height_mm:.3f}",
        "used": f"{job.kit.used[number]:.0%}",
        "worst": worst_cuts(job, sheet),
        "bleeds": [path_data(placed.printed_outline) for placed in sheet.placements],
        "stickers": [
            {
                "id": spot.index,
                "path": path_data(placed.outline),
                "words": f"{names[spot.index]}, {_fill_on_sheet(placed)}",
                "here": str(spot.index) == chosen,
                "lit": spot.index in lit,
                "row": job.kit.slots[spot.index].row,
                "place": places[spot.index],
                "name": names[spot.index],
                "box": box_text(placed.box),
                "corner": f"{placed.box.x_mm:.3f} {placed.box.y_mm:.3f}",
                "side": int(spot.on_its_side),
                "like": _like(job.kit.slots[spot.index]),
                "fills": job.kit.slots[spot.index].row >= len(job.recipe.rows),
            }
            for placed, spot in zip(sheet.placements, spots, strict=True)
        ],
    }


def _like(slot: Slot) -> str:
    """What two stickers have in common that may be swapped, as of ``alike``."""
    return f"{slot.kind.name} {slot.width_mm} {slot.height_mm}"


def _worst_words(job: JudgedKit) -> list[str]:
    """Say of each worst cut which one it is and how far off, on the sheet where that is most."""
    by_sheet = [worst_cuts(job, sheet) for sheet in job.kit.sheets]
    return [
        f"{alike[0].words}, {max(one.miss_mm for one in alike):.2f} mm off"
        for alike in zip(*by_sheet, strict=True)
    ]


def _names(job: JudgedKit) -> list[str]:
    """Return what each sticker is called: kind and place, and its row where others have some."""
    slots, rows = job.kit.slots, len(job.recipe.rows)
    in_rows: dict[str, set[int]] = {}
    for slot in slots:
        in_rows.setdefault(slot.kind.name, set()).add(slot.row)
    return [
        f"{slot.kind.name} {place + 1}"
        + f" of row {slot.row + 1}" * (slot.row < rows and len(in_rows[slot.kind.name]) > 1)
        for slot, place in zip(slots, places_in_rows(slots), strict=True)
    ]


def _sticker(recipe: Recipe, job: JudgedKit, chosen: str) -> dict[str, Any] | None:
    if not re.fullmatch(r"\d{1,5}", chosen) or int(chosen) >= len(job.kit.slots):
        return None
    index = int(chosen)
    slot = job.kit.slots[index]
    in_row = [i for i, one in enumerate(job.kit.slots) if one.row == slot.row]
    place = index - in_row[0]
    placement = _placement(job, index)
    if placement is None or slot.row >= len(recipe.rows) or place >= recipe.rows[slot.row].count:
        return None
    row, names = recipe.rows[slot.row], _names(job)
    pin = row.pin_of(place)
    fill = _fill_in_recipe(recipe, slot.row, place) or _fill_on_sheet(placement)
    current = fill == _fill_on_sheet(placement)
    return {
        "id": index,
        "kind": slot.kind.name,
        "row": slot.row,
        "place": place,
        "of": len(recipe.rows),
        "said": f"{slot.kind.name} {place + 1} of {recipe.rows[slot.row].count}"
        f"{f' in row {slot.row + 1}' if len(recipe.rows) > 1 else ''}, "
        f"{_mm(placement.box.width_mm)} × {_mm(placement.box.height_mm)} mm",
        "alike": row.count,
        "words": _words_of(slot, row, place),
        "pinned": pin is not None,
        "dealt": recipe.rows[slot.row].wish_of(place) in ANY_FILL,
        "fill": fill,
        "colour": fill if fill.startswith("#") else "",
        **_fills(recipe, job),
        "window": _window(placement, slot, row, place)
        | {"over": _over(recipe, placement, slot), "sheet": _sheet_number(job, index)}
        if current and _movable(placement, job)
        else None,
        "percent": f"{recipe.rows[slot.row].scale_of(place) * 100:g}",
        "turn": f"{recipe.rows[slot.row].turn_of(place):g}",
        "lies": place_view(job, index, row.at_of(place)),
        "patterned": isinstance(placement.fill, PatternFill),
        "swaps": [
            (i, f"{names[i]}, {_fill_on_sheet(other)}")
            for i in range(len(job.kit.slots))
            if alike(job.kit, index, i) and (other := _placement(job, i)) is not None
        ],
        "neighbours": (
            in_row[0] + (place - 1) % len(in_row),
            in_row[0] + (place + 1) % len(in_row),
        ),
    }


def _words_of(slot: Slot, row: RowPart, place: int) -> str | None:
    """What a sticker says; None where it has no room, or where a calendar writes it."""
    if row.month is not None or row.week is not None:
        return None
    if row.words:
        return row.words[place % len(row.words)]
    return "" if slot.kind.words is not None else None


def _fills(recipe: Recipe, job: JudgedKit) -> dict[str, Any]:
    """What a sticker may be filled with, by name."""
    return {
        "names": list(recipe.fill_names),
        "swatches": [(one.name, one.hex) for one in job.verdict.palette.swatches],
    }


def _fill_in_recipe(recipe: Recipe, row: int, place: int) -> str:
    """What the recipe names outright for a sticker: true already while the sheet is drawn again."""
    wish = recipe.rows[row].wish_of(place)
    return "" if wish in ANY_FILL else wish.lower() if wish[0] == "#" else wish


def _fill_on_sheet(placed: Placement) -> str:
    return placed.fill.colour if isinstance(placed.fill, ColourFill) else placed.fill.pattern


def _mm(length: float) -> str:
    """Return a length as a ruler tells it, to a hundredth."""
    return f"{round(length, 2):g}"


def _placement(job: JudgedKit, index: int) -> Placement | None:
    for sheet, spots in zip(job.kit.sheets, job.kit.layout.sheets, strict=True):
        for placed, spot in zip(sheet.placements, spots, strict=True):
            if spot.index == index:
                return placed
    return None


def _sheet_number(job: JudgedKit, index: int) -> int:
    """Return the number, from 1, of the sheet that a sticker lies on."""
    laid = enumerate(job.kit.layout.sheets, start=1)
    return next(number for number, spots in laid if any(one.index == index for one in spots))


def _movable(placed: Placement, job: JudgedKit) -> bool:
    """Tell whether a sticker shows a tile that can be moved by hand."""
    fill = placed.fill
    return isinstance(fill, PatternFill) and fill.pattern not in job.kit.coordinates


def _over(recipe: Recipe, placed: Placement, slot: Slot) -> dict[str, Any]:
    """What lies over the pattern, as paths of the sticker before it was turned on its sheet."""
    box = Rect(0.0, 0.0, slot.width_mm, slot.height_mm)
    fills = [panel.fill for panel in placed.panels]
    colour = fills[0].colour if fills and isinstance(fills[0], ColourFill) else PAPER
    return {
        "panels": [path_data(one) for one in slot.panels(box, recipe.sheet.corner_radius)],
        "marks": [path_data(one) for one in slot.check_marks(box)],
        "rules": [path_data(one) for one in slot.rules(box)],
        "colour": colour,
        "title": [
            {"path": path_data(band), "colour": panel.fill.colour}
            for band in [slot.title_band(box, recipe.sheet.corner_radius)]
            for panel in placed.panels[1:]
            if band is not None and isinstance(panel.fill, ColourFill)
        ],
    }


def _window(placed: Placement, slot: Slot, row: RowPart, place: int) -> dict[str, Any]:
    """What the page needs to let the artwork be moved under the sticker's outline.

    What the recipe says of the artwork is true already while the sheet is drawn again.
    """
    fill, box = placed.fill, placed.box
    assert isinstance(fill, PatternFill)
    turn_deg, scale, pin = row.turn_of(place), row.scale_of(place), row.pin_of(place)
    across, down = cell_tiles(parse_lattice(fill.lattice))
    own = [side / fill.scale * n for side, n in zip(fill.repeat_mm, (across, down), strict=True)]
    cell = own[0] * scale, own[1] * scale
    at = pin if isinstance(pin, tuple) else fill.offset_mm
    x, y = _turned(at, -turn_deg)
    x, y = _turned((x % cell[0], y % cell[1]), turn_deg)
    # where the sticker's own corner lies on the sheet, and which way its sides run
    lay = f"translate({box.x_mm:g} {box.y_mm:g})"
    if fill.turn_deg:
        lay = f"matrix(0 1 -1 0 {box.x_mm + slot.height_mm:g} {box.y_mm:g})"
    return {
        "tile": fill.pattern,
        "x": f"{x:.1f}",
        "y": f"{y:.1f}",
        "turn": f"{turn_deg:g}",
        "wide": f"{slot.width_mm:g}",
        "high": f"{slot.height_mm:g}",
        "cell_wide": f"{cell[0]:.4f}",
        "cell_high": f"{cell[1]:.4f}",
        "own_wide": f"{own[0]:.4f}",
        "own_high": f"{own[1]:.4f}",
        "lay": lay,
        "printed": path_data(placed.printed_outline),
        "panels": [path_data(panel.contour) for panel in placed.panels],
        "marks": [(path_data(one.contour), f"{one.stroke_mm:g}") for one in placed.marks],
        "picture": placed.picture and placed.picture.box,
    }


def _turned(point: tuple[float, float], degrees: float) -> tuple[float, float]:
    """A point turned clockwise about the pattern's corner."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return point[0] * cos - point[1] * sin, point[0] * sin + point[1] * cos


def home_view(
    bench: Bench, making: FileMaking, recipe: Recipe, job: JudgedKit | None
) -> dict[str, Any]:
    """Return how far the making is and which files there are."""
    progress = making.progress
    stops = count_things(one for one in job.findings if one.severity == "stop") if job else 0
    return {
        "making": progress,
        "busy": progress is not None and not progress.ended,
        "share": round(100 * progress.done / progress.of) if progress else 0,
        "files": files_view(making.files),
        "old": bool(making.files) and making.revision != bench.revision,
        "stops": stops,
        "recipe": bench.workspace.recipe.name,
        "command": f"kitloom make {parse_place(bench.workspace.recipe)} --overwrite"
        + (" --listing" if making.listing else ""),
        "listing": making.listing,
        "made": place_words(bench.workspace.made),
        "stickers": sum(row.count for row in recipe.rows),
        "measured": to_measure(recipe),
    }


def files_view(paths: Iterable[Path]) -> list[dict[str, Any]]:
    """Return made files that are there, in the order of their use, each with what it is for."""
    there = (_file(path.name, path.stat().st_size) for path in paths if path.exists())
    return sorted(there, key=lambda file: (file["order"], file["name"]))


def _file(name: str, size: int) -> dict[str, Any]:
    order, words, kind = next(
        (
            (order, words, kind)
            for order, (ends, words, kind) in enumerate(PURPOSES)
            if re.fullmatch(ends, name)
        ),
        (len(PURPOSES), "", "else"),
    )
    return {"name": name, "words": words, "kind": kind, "size": size_words(size), "order": order}
