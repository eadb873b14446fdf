"""Where on the paper may stickers lie, and where does the ruler go?

In: a recipe's sheet. Out: rectangles in millimetres: the usable area (the paper less its margins
and keep-outs), and the band along its bottom that the printed ruler takes.
"""

from __future__ import annotations

from collections.abc import Sequence

from kit.layout.through_cut import room_at_edge_mm
from kit.recipe import Recipe, SheetPart, place_in
from kit.recipe_error import RecipeError
from kit.shapes import Rect, rect_between
from kit.stickers import Slot
from patterns.units import MM_PER_INCH

RULER_MM = 4.0  # height of the band that the ruler across takes
RULER_DOWN_MM = 5.0  # width of the band that the one down takes, with its caption
LABEL_MM = 10.0  # what a ruler's own length in figures takes behind its end
MOST_OFF = 0.03  # of a reading; more is a misread ruler or "fit to page"
MAX_RASTER_PX = 350_000_000  # A3 with bleed at 1200 dpi; 1 GiB
_SMALLEST_MM = 10.0


def usable_area(sheet: SheetPart, *, where: str = "recipe") -> Rect:
    """Return the paper less its margins and keep-outs.

    Raises:
        RecipeError: next to nothing is left, or the paper has more pixels than memory should hold.
    """
    _check_raster(sheet, where)
    depth = {
        edge: getattr(sheet.margin, edge)
        + sum(band.depth for band in sheet.keep_out if band.edge == edge)
        for edge in ("top", "right", "bottom", "left")
    }
    area = rect_between(
        depth["left"],
        depth["top"],
        sheet.paper.width_mm - depth["right"],
        sheet.paper.height_mm - depth["bottom"],
    )
    if min(area.width_mm, area.height_mm) < _SMALLEST_MM:
        raise RecipeError(
            "sheet.margin and sheet.keep_out leave no room on the paper",
            where=where,
            why=f"{sheet.paper.width_mm:g} x {sheet.paper.height_mm:g} mm",
            remedy="Make them smaller, or use larger paper.",
        )
    return area


def _check_raster(sheet: SheetPart, where: str) -> None:
    paper = sheet.paper
    pixels = paper.width_mm * paper.height_mm * (sheet.dpi / MM_PER_INCH) ** 2
    if pixels > MAX_RASTER_PX:
        raise RecipeError(
            f"the paper has {pixels / 1e6:,.0f} million pixels at {sheet.dpi:g} dpi",
            where=where,
            why=f"more than {MAX_RASTER_PX // 1_000_000} million",
            remedy="Choose a lower dpi or smaller paper.",
        )


def ruler_box(area: Rect) -> Rect:
    """Return the ruler's box along the bottom of the usable area, in whole centimetres."""
    return Rect(area.x_mm, area.bottom_mm - RULER_MM, _whole_cm(area.width_mm), RULER_MM)


def ruler_down_mm(area: Rect, gap_mm: float) -> float:
    """Return how long the ruler down a side of the usable area is, above the one across."""
    return _whole_cm(area.height_mm - RULER_MM - max(gap_mm, 1.0))


def ruler_down_box(area: Rect, gap_mm: float, taken: Sequence[Rect]) -> Rect | None:
    """Return the box of the ruler down the left side, or the right; None where neither is free.

    It costs no sticker its place: where the stickers fill the width, the sheet has none.

    Args:
        area: the usable area.
        gap_mm: the least gap.
        taken: what is printed or cut already; the ruler stays a millimetre off.
    """
    length = ruler_down_mm(area, gap_mm)
    for x in (area.x_mm, area.right_mm - RULER_DOWN_MM):
        band = Rect(x, area.y_mm, RULER_DOWN_MM, min(length + LABEL_MM, area.height_mm - RULER_MM))
        if not any(band.overlaps(box.grow(1.0)) for box in taken):
            return Rect(x, area.y_mm, RULER_DOWN_MM, length)
    return None


def _whole_cm(room_mm: float) -> float:
    """Return the longest ruler, figures behind it, that a length has room for; 10 mm or more."""
    return 10.0 * max(1, int((room_mm - LABEL_MM + 1e-6) // 10.0))


def check_reading(recipe: Recipe, area: Rect) -> None:
    """Refuse a reading that cannot be of the printed rulers.

    Raises:
        RecipeError: it is more than ``MOST_OFF`` off.
    """
    reads = recipe.sheet.ruler_reads
    if reads is None:
        return
    rulers = (
        ("", reads.across_mm, ruler_box(area).width_mm),
        (" down", reads.down_mm, ruler_down_mm(area, recipe.sheet.gap)),
    )
    for way, read, long in rulers:
        if read is not None and abs(read / long - 1.0) > MOST_OFF:
            raise RecipeError(
                f"sheet.ruler_reads: {read:.6g} mm cannot be the printed ruler{way}",
                where=place_in(recipe, "sheet", "ruler_reads"),
                why=f"the printed ruler is {long:g} mm long; did you mean {_meant(read, long)}?",
                remedy="Measure the whole ruler. Where it really is that far off, look for "
                '"fit to page" in the driver.',
            )


def _meant(read_mm: float, long_mm: float) -> str:
    """Return the reading in the unit that it makes sense in, or the ruler's own length."""
    for factor, number, unit in ((10.0, 1.0, "cm"), (MM_PER_INCH, 1.0, "in"), (0.1, 0.1, "mm")):
        if abs(read_mm * factor / long_mm - 1.0) <= MOST_OFF:
            return f"{read_mm * number:.6g}{unit}"
    return f"{long_mm:g}mm"


def sticker_area(area: Rect, recipe: Recipe) -> Rect:
    """Return the usable area less the ruler's band, a gap above it, and room for through cuts."""
    gap_mm = recipe.sheet.gap
    taken = RULER_MM + max(gap_mm, 1.0)
    above = rect_between(area.x_mm, area.y_mm, area.right_mm, area.bottom_mm - taken)
    return above.grow(-room_at_edge_mm(recipe.cut.through, gap_mm))


def check_fits(recipe: Recipe, slots: tuple[Slot, ...], area: Rect) -> None:
    """Refuse a sticker that no sheet of this paper can hold.

    Raises:
        RecipeError: the first sticker that is too wide or too high.
    """
    for slot in slots:
        if not _holds(area, slot, may_turn=recipe.sheet.layout == "pack" and not slot.upright):
            raise RecipeError(
                f"rows.{slot.row + 1}: a {slot.kind.name} of {slot.width_mm:.1f} x "
                f"{slot.height_mm:.1f} mm is larger than the {area.width_mm:.1f} x "
                f"{area.height_mm:.1f} mm that can be printed and cut",
                where=place_in(recipe, "rows", slot.row),
                remedy="Check planner.box and its unit, use larger paper or smaller margins.",
            )


def _holds(area: Rect, slot: Slot, *, may_turn: bool) -> bool:
    sides = [(slot.width_mm, slot.height_mm)]
    if may_turn:
        sides.append((slot.height_mm, slot.width_mm))
    return any(w <= area.width_mm + 1e-9 and h <= area.height_mm + 1e-9 for w, h in sides)
