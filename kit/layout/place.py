"""Where on the paper may stickers lie, and where do the rulers go?

In: a recipe's sheet. Out: rectangles in millimetres: the usable area (the paper less its margins
and keep-outs), and the band along its bottom that the printed ruler takes.
"""

from __future__ import annotations

from collections.abc import Sequence

from kit.layout.through_cut import room_at_edge_mm
from kit.recipe import MarkPart, Recipe, SheetPart, place_in
from kit.recipe_error import RecipeError
from kit.shapes import Rect, rect_between
from kit.sheet import mark_box
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


def mark_zones(recipe: Recipe) -> list[Rect]:
    """Return what the machine's marks take with the quiet zones about them."""
    return [_ink(part).grow(part.quiet) for part in recipe.marks]


def mark_keep_outs(recipe: Recipe) -> list[Rect]:
    """Return where no sticker's cut line may lie, so that its bleed stays out of quiet zones."""
    sheet = recipe.sheet
    away_mm = max(sheet.bleed, room_at_edge_mm(recipe.cut.through, sheet.gap))
    return [zone.grow(away_mm) for zone in mark_zones(recipe)]


def check_marks(recipe: Recipe) -> None:
    """Refuse marks that no machine could find.

    Raises:
        RecipeError: one lies where the printer cannot reach, or in another's quiet zone.
    """
    paper, margin = recipe.sheet.paper, recipe.sheet.margin
    reach = rect_between(
        margin.left, margin.top, paper.width_mm - margin.right, paper.height_mm - margin.bottom
    )
    for number, part in enumerate(recipe.marks):
        where = place_in(recipe, "marks", number)
        if not reach.holds(_ink(part), slack_mm=1e-6):
            raise RecipeError(
                f"marks.{number + 1} lies where the printer cannot reach",
                where=where,
                why=f"the margins leave {reach.x_mm:g} to {reach.right_mm:g} mm across and "
                f"{reach.y_mm:g} to {reach.bottom_mm:g} mm down",
                remedy="Move it in, or set sheet.margin to what your printer really leaves white.",
            )
        for before, other in enumerate(recipe.marks[:number]):
            quiet_mm = max(part.quiet, other.quiet)
            if _ink(part).grow(quiet_mm).overlaps(_ink(other)):
                raise RecipeError(
                    f"marks.{number + 1} lies within {quiet_mm:g} mm of marks.{before + 1}",
                    where=where,
                    why="a machine that looks for one would see both",
                    remedy="Move them apart, or make their quiet zones (quiet) smaller.",
                )


def _ink(part: MarkPart) -> Rect:
    """Return the box of a mark's ink; lines reach half their width past its size."""
    line_mm = part.stroke if part.shape in {"cross", "corner"} else 0.0
    return mark_box(part).grow(line_mm / 2.0)


def ruler_box(area: Rect, zones: Sequence[Rect] = ()) -> Rect:
    """Return the ruler's box along the bottom of the usable area, in whole centimetres.

    Args:
        area: the usable area.
        zones: what it must keep off; it lies in the widest stretch between them.
    """
    band = Rect(area.x_mm, area.bottom_mm - RULER_MM, area.width_mm, RULER_MM)
    taken = [(zone.x_mm, zone.right_mm) for zone in zones if zone.overlaps(band)]
    left, right = _widest((band.x_mm, band.right_mm), taken)
    return Rect(left, band.y_mm, _whole_cm(right - left), RULER_MM)


def ruler_down_mm(area: Rect, gap_mm: float, zones: Sequence[Rect] = ()) -> float:
    """Return how long the ruler down a side of the usable area is, above the one across."""
    return _whole_cm(_down(area, gap_mm, zones)[1])


def ruler_down_box(
    area: Rect, gap_mm: float, taken: Sequence[Rect], zones: Sequence[Rect] = ()
) -> Rect | None:
    """Return the box of the ruler down the left side, or the right; None where neither is free.

    It costs no sticker its place: where the stickers fill the width, the sheet has none.

    Args:
        area: the usable area.
        gap_mm: the least gap.
        taken: what is printed or cut already; the ruler stays a millimetre off.
        zones: what it must keep off, whichever side; it lies in the longest stretch between them.
    """
    top, room = _down(area, gap_mm, zones)
    length = _whole_cm(room)
    for x in (area.x_mm, area.right_mm - RULER_DOWN_MM):
        band = Rect(x, top, RULER_DOWN_MM, max(length, min(length + LABEL_MM, room)))
        if not any(band.overlaps(box.grow(1.0)) for box in taken):
            return Rect(x, top, RULER_DOWN_MM, length)
    return None


def _down(area: Rect, gap_mm: float, zones: Sequence[Rect]) -> tuple[float, float]:
    """Return where the room for a ruler down begins, at either side, and how long it is."""
    height = area.height_mm - RULER_MM - max(gap_mm, 1.0)
    sides = [
        Rect(x, area.y_mm, RULER_DOWN_MM, height)
        for x in (area.x_mm, area.right_mm - RULER_DOWN_MM)
    ]
    taken = [
        (zone.y_mm, zone.bottom_mm) for zone in zones if any(zone.overlaps(one) for one in sides)
    ]
    top, bottom = _widest((area.y_mm, area.y_mm + height), taken)
    return top, bottom - top


def _widest(room: tuple[float, float], taken: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Return the widest stretch of a room that nothing takes, the first of equal ones."""
    start, best = room[0], (room[0], room[0])
    for low, high in [*sorted(taken), (room[1], room[1])]:
        best = max(best, (start, min(low, room[1])), key=lambda one: one[1] - one[0])
        start = max(start, high)
    return best


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
    zones = mark_zones(recipe)
    rulers = (
        ("", reads.across_mm, ruler_box(area, zones).width_mm),
        (" down", reads.down_mm, ruler_down_mm(area, recipe.sheet.gap, zones)),
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
    """Return the usable area less the ruler's band, a gap above it, and room for through cuts.

    Where the bleed is wider than the gap, that is left above the ruler: no ink runs into it.
    """
    gap_mm = recipe.sheet.gap
    taken = RULER_MM + max(gap_mm, recipe.sheet.bleed, 1.0)
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
