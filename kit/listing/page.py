"""The sheets on a planner's page: a quiet page with day boxes of the recipe's own size.

The page is drawn from the day box alone: boxes in a grid, a short line above each for the day, and
lines to write on under them. It is nobody's planner. In some of the boxes that the sheets leave
free lie stickers as they are meant to.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kit.compose import Kit
from kit.listing.cut_out import CutOut, Place, cut_outs, different
from kit.listing.ground import SIDE_PX, ground, lay
from kit.render import blend, render_sheet
from kit.shapes import Rect, bounding_box, rounded_rectangle, stroke_coverage, window_touched
from kit.sheet import Mark, Sheet
from palette.arrays import Floats, Pixels
from palette.space import parse_hex
from patterns.units import MM_PER_INCH

MOST_SHEETS = 3
SHEET_SHARE = 0.68  # of the picture's side that the sheets' longer side takes
TILT_DEG = 3.0
FAN_MM = 13.0  # from one sheet to the one under it
PAGE_MARGIN_MM = 13.0
HEAD_MM = 20.0
GUTTER_MM = 5.0
OVER_BOX_MM = 7.0
NOTES_MM = 7.0
LINE_MM = 0.3
LINE, INK, PAGE = "#d5cec1", "#c3baa9", "#fcfaf6"
SHEET_EDGE, CUT_LINE = "#ffffff", "#b9b4ab"
CUT_MM = 0.18


@dataclass(frozen=True, slots=True)
class _Scene:
    """Where everything lies, in mm of the picture."""

    side_mm: float
    page: Rect
    sheets: tuple[Rect, ...]

    @property
    def per_mm(self) -> float:
        return SIDE_PX / self.side_mm


def page_picture(kit: Kit, box_mm: tuple[float, float]) -> Pixels:
    """Return the sheets of a kit, the first few of many, on a planner's page.

    Args:
        kit: what is shown.
        box_mm: width and height of the planner's day box.
    """
    scene = _scene(kit)
    per_mm = scene.per_mm
    picture = ground()
    boxes = _boxes(scene.page, box_mm)
    drawn = render_sheet(_page(scene, boxes), {})
    whole = np.ones(drawn.shape[:2])
    at = round(scene.page.y_mm * per_mm), round(scene.page.x_mm * per_mm)
    lay(picture, drawn, whole, at, per_mm=per_mm, height=2.0)
    _stick(picture, kit, scene, boxes)
    for number in reversed(range(len(scene.sheets))):
        pixels, shares = _tilted(_sheet(kit, number, per_mm), TILT_DEG - 2.0 * number)
        middle = scene.sheets[number].centre_mm
        corner = (
            round(middle[1] * per_mm - shares.shape[0] / 2),
            round(middle[0] * per_mm - shares.shape[1] / 2),
        )
        lay(picture, pixels, shares, corner, per_mm=per_mm, height=3.0)
    return picture


def _scene(kit: Kit) -> _Scene:
    first, count = kit.sheets[0], min(len(kit.sheets), MOST_SHEETS)
    fan = FAN_MM * (count - 1)
    side = (max(first.width_mm, first.height_mm) + fan) / SHEET_SHARE
    edge, wide, high = side * 0.07, first.width_mm, first.height_mm
    if high >= wide:  # the sheets at the right, the page reaching under them
        left, top = side - edge - wide, (side - high + fan) / 2.0
        page = Rect(edge * 0.85, edge, side * 0.66, side - 2.0 * edge)
        sheets = [Rect(left, top - FAN_MM * n, wide, high) for n in range(count)]
        sheets = [
            Rect(one.x_mm - fan + FAN_MM * n, one.y_mm, wide, high) for n, one in enumerate(sheets)
        ]
    else:
        left, top = (side - wide - fan) / 2.0, side - edge - high
        page = Rect(edge, edge * 0.85, side - 2.0 * edge, side * 0.66)
        sheets = [Rect(left + FAN_MM * n, top - FAN_MM * n, wide, high) for n in range(count)]
    return _Scene(side, page, tuple(sheets))


def _boxes(page: Rect, box_mm: tuple[float, float]) -> list[list[Rect]]:
    """Return the day boxes that find room on a page, row by row, in the picture's mm."""
    wide, high = box_mm
    across = max(1, int((page.width_mm - 2 * PAGE_MARGIN_MM + GUTTER_MM) // (wide + GUTTER_MM)))
    room = page.height_mm - HEAD_MM - 2 * PAGE_MARGIN_MM
    down = max(1, int(room // (high + OVER_BOX_MM)))
    left = page.x_mm + (page.width_mm - across * (wide + GUTTER_MM) + GUTTER_MM) / 2.0
    top = page.y_mm + HEAD_MM + OVER_BOX_MM
    return [
        [
            Rect(left + col * (wide + GUTTER_MM), top + row * (high + OVER_BOX_MM), wide, high)
            for col in range(across)
        ]
        for row in range(down)
    ]


def _page(scene: _Scene, boxes: list[list[Rect]]) -> Sheet:
    """Return the page as a sheet of its own."""
    page, per_mm = scene.page, scene.per_mm

    def own(box: Rect) -> Rect:
        return Rect(box.x_mm - page.x_mm, box.y_mm - page.y_mm, box.width_mm, box.height_mm)

    def line(x_mm: float, y_mm: float, wide_mm: float, ink: str = LINE) -> Mark:
        return Mark(rounded_rectangle(Rect(x_mm, y_mm, wide_mm, LINE_MM)), 0.0, ink, ink)

    paper = rounded_rectangle(Rect(0.0, 0.0, page.width_mm, page.height_mm))
    marks = [Mark(paper, 0.0, PAGE, PAGE)]
    days = [own(box) for row in boxes for box in row]
    left, right = days[0].x_mm, max(day.right_mm for day in days)
    marks.append(line(left, HEAD_MM - 4.0, min(60.0, right - left), INK))
    for day in days:
        marks.append(line(day.x_mm, day.y_mm - 2.2, min(14.0, day.width_mm / 2.0), INK))
        marks.append(Mark(rounded_rectangle(day, 1.5), LINE_MM, LINE, None))
    y = max(day.bottom_mm for day in days) + OVER_BOX_MM + NOTES_MM
    while y < page.height_mm - PAGE_MARGIN_MM:
        marks.append(line(left, y, right - left))
        y += NOTES_MM
    dpi = per_mm * MM_PER_INCH
    return Sheet("page", page.width_mm, page.height_mm, dpi, (), marks=tuple(marks))


def _stick(picture: Pixels, kit: Kit, scene: _Scene, boxes: list[list[Rect]]) -> None:
    """Lay stickers into some of the free boxes: full ones, and low ones at the top."""
    day = boxes[0][0]
    fitting = [
        one
        for one in different(kit)
        if one.sheet < len(scene.sheets)
        and 0.8 * day.width_mm <= one.wide_mm <= day.width_mm + 0.05
        and one.high_mm <= day.height_mm + 0.05
    ]
    high = iter([one for one in fitting if one.high_mm >= 0.9 * day.height_mm])
    low = iter([one for one in fitting if one.high_mm <= 0.6 * day.height_mm])
    wanted: list[tuple[Place, Rect]] = []
    for row, line in enumerate(boxes):
        for col, box in enumerate(line):
            if any(box.grow(6.0).overlaps(sheet) for sheet in scene.sheets):
                continue
            # every other row stays free, the rest are full and low in turn: a page in use, no more
            turn = (row + 2 * col) % 4
            place = next(high if turn == 0 else low, None) if turn % 2 == 0 else None
            if place is not None:
                wanted.append((place, box))
    for number in range(len(scene.sheets)):
        here = {place.number: box for place, box in wanted if place.sheet == number}
        for which, one in cut_outs(kit, number, sorted(here), scene.per_mm) if here else ():
            _into(picture, one.upright(), here[which], scene.per_mm)


def _into(picture: Pixels, one: CutOut, box: Rect, per_mm: float) -> None:
    left = (box.x_mm + box.width_mm / 2.0) * per_mm - one.shares.shape[1] / 2.0
    at = round(box.y_mm * per_mm), round(left)
    lay(picture, one.pixels, one.shares, at, per_mm=per_mm, height=0.25)


def _sheet(kit: Kit, number: int, per_mm: float) -> Pixels:
    """Return a sheet as it is cut: its stickers on white, each with its cut line."""
    sheet = kit.sheets[number]
    dpi = per_mm * MM_PER_INCH
    bare = Sheet(sheet.title, sheet.width_mm, sheet.height_mm, dpi, ())
    size = bare.raster_px
    drawn: Pixels = np.full((*size, 3), parse_hex(SHEET_EDGE), dtype=np.uint8)
    for which, one in cut_outs(kit, number, list(range(len(sheet.placements))), per_mm):
        outline = sheet.placements[which].outline
        window = window_touched(bounding_box(outline), dpi, size)
        blend(drawn, window, one.shares, one.pixels)
        around = window_touched(bounding_box(outline).grow(CUT_MM), dpi, size)
        shares = 0.55 * stroke_coverage(outline, CUT_MM, dpi, around)
        blend(drawn, around, shares, parse_hex(CUT_LINE))
    return drawn


def _tilted(pixels: Pixels, degrees: float) -> tuple[Pixels, Floats]:
    """Return a picture turned clockwise about its middle, and how far it covers its new box."""
    from PIL import Image

    edged = np.pad(pixels, ((2, 2), (2, 2), (0, 0)), mode="edge")
    mask = np.zeros(edged.shape[:2], dtype=np.uint8)
    mask[2:-2, 2:-2] = 255

    def turn(one: Pixels, fill: int | tuple[int, int, int]) -> Pixels:
        image = Image.fromarray(np.ascontiguousarray(one))
        return np.asarray(
            image.rotate(-degrees, Image.Resampling.BICUBIC, expand=True, fillcolor=fill)
        )

    return turn(edged, (255, 255, 255)), turn(mask, 0) / 255.0
