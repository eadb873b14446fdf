"""What does the printed chart look like? The chart's layout as a page for the print writers.

In: a ``ChartLayout`` and the words to put on it. Out: a ``Page`` without
stickers, whose raster the print PDF and PNG hold: patches, neutral ramp, corner targets, the row of
cells with the chart's number, rulers down and across, and bars to the paper's edges that show how
far the printer reaches. It goes the same way to the printer as any kit, sRGB profile and all.

Not done here: where things lie (``kit.chart.chart_layout``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kit.chart.chart_layout import CELL_MM, TARGET_MM, ChartLayout, row_name
from kit.chart.chart_words import SOFT, wrap, write_words
from kit.render import Page, blend
from kit.shapes import Rect, area_coverage, bounding_box, circle, window_centred, window_touched
from kit.sheet import Sheet
from palette.arrays import Floats, Pixels
from palette.scan import DISC, RING_INSIDE, code_cells

DPI = 300.0
BLACK = (0, 0, 0)
RULE = (38, 38, 38)
LINE_MM = 0.17
TICKS_MM = {10: 3.0, 5: 2.1, 1: 1.3}
BAR_MM = 0.8
NOTE_MM = 2.5


@dataclass(frozen=True, slots=True)
class ChartWords:
    """What is written on the chart: its title, and a few lines at its foot."""

    title: str
    notes: tuple[str, ...] = ()


def chart_page(layout: ChartLayout, words: ChartWords, dpi: float = DPI) -> Page:
    """Return the chart as a page, ready for ``print_pdf`` and ``print_png``."""
    wide, tall = layout.chart.paper_mm
    sheet = Sheet(title=words.title, width_mm=wide, height_mm=tall, dpi=dpi, placements=())
    raster = np.full((*sheet.raster_px, 3), 255, np.uint8)
    chart = layout.chart
    for box, rgb in zip(chart.boxes_mm, chart.rgb, strict=True):
        _fill(raster, _rect(box), _triple(rgb), dpi)
    _outline_whites(raster, layout, dpi)
    for x, y in chart.targets_mm:
        _target(raster, float(x), float(y), dpi)
    _code(raster, layout, dpi)
    _names(raster, layout, dpi)
    _rulers(raster, layout, dpi)
    _bars(raster, layout, dpi)
    _head_and_foot(raster, layout, words, dpi)
    return Page(sheet, raster)


def _rect(box: Floats) -> Rect:
    left, top, wide, tall = (float(mm) for mm in box)
    return Rect(left, top, wide, tall)


def _triple(rgb: Pixels) -> tuple[int, int, int]:
    r, g, b = (int(v) for v in rgb)
    return r, g, b


def _fill(raster: Pixels, rect: Rect, colour: tuple[int, int, int], dpi: float) -> None:
    size = (raster.shape[0], raster.shape[1])
    raster[window_centred(rect, dpi, size).slices] = colour


def _outline_whites(raster: Pixels, layout: ChartLayout, dpi: float) -> None:
    """Show where plain paper is read: corner dots that stay clear of what is read."""
    chart = layout.chart
    for box in chart.boxes_mm[chart.white]:
        for x, y in _rect(box).corners():
            _fill(raster, Rect(x - 0.15, y - 0.15, 0.3, 0.3), (190, 190, 190), dpi)


def _target(raster: Pixels, x: float, y: float, dpi: float) -> None:
    size = (raster.shape[0], raster.shape[1])
    for share, colour in ((1.0, BLACK), (RING_INSIDE, (255, 255, 255)), (DISC, BLACK)):
        ring = circle(x, y, TARGET_MM * share)
        window = window_touched(bounding_box(ring), dpi, size)
        blend(raster, window, area_coverage(ring, dpi, window), colour)


def _code(raster: Pixels, layout: ChartLayout, dpi: float) -> None:
    left, top, _, tall = layout.chart.code_mm
    for i, dark in enumerate(code_cells(layout.chart.chart_id)):
        if dark:
            _fill(raster, Rect(left + i * CELL_MM[0], top, CELL_MM[0], tall), BLACK, dpi)


def _names(raster: Pixels, layout: ChartLayout, dpi: float) -> None:
    """Name rows and columns, so that a patch can be found by hand."""
    boxes = layout.chart.boxes_mm
    ramp, grid = boxes[: len(layout.ramp)], boxes[len(layout.ramp) :]
    for i, box in enumerate(ramp, start=1):
        _name(raster, layout.chart.names[i - 1], (box[0] + box[2] / 2.0, box[1] - 1.2), dpi)
    for c in range(layout.columns):
        box = grid[c]
        _name(raster, str(c + 1), (box[0] + box[2] / 2.0, box[1] - 1.2), dpi)
    for r in range(len(grid) // layout.columns):
        box = grid[r * layout.columns]
        _name(raster, row_name(r), (box[0] - 2.2, box[1] + box[3] / 2.0 + 0.8), dpi)


def _name(raster: Pixels, name: str, at_mm: tuple[float, float], dpi: float) -> None:
    at = (float(at_mm[0]), float(at_mm[1]))
    write_words(raster, name, at, 2.2, dpi, anchor="middle", grey=SOFT)


def _rulers(raster: Pixels, layout: ChartLayout, dpi: float) -> None:
    """Draw a ruler across between the lower targets and one down between the left ones."""
    box, clear = layout.box, 2.0 * TARGET_MM + 4.0
    left, base = box.x_mm + clear, box.bottom_mm - LINE_MM
    across = int((box.width_mm - 2.0 * clear) // 10) * 10
    for mm in range(across + 1):
        tall = _tick(mm)
        _fill(raster, Rect(left + mm - LINE_MM / 2, base - tall, LINE_MM, tall), RULE, dpi)
        if mm % 20 == 0:
            at = (left + mm, base - 3.8)
            write_words(raster, str(mm), at, 2.2, dpi, anchor="middle", grey=SOFT)
    _fill(raster, Rect(left - LINE_MM / 2, base, across + LINE_MM, LINE_MM), RULE, dpi)
    top, down = box.y_mm + clear + 10.0, int((box.height_mm - 2.0 * clear - 10.0) // 10) * 10
    for mm in range(down + 1):
        wide = _tick(mm)
        _fill(raster, Rect(box.x_mm, top + mm - LINE_MM / 2, wide, LINE_MM), RULE, dpi)
        if mm % 20 == 0:
            write_words(raster, str(mm), (box.x_mm + 3.7, top + mm + 0.8), 2.2, dpi, grey=SOFT)
    _fill(raster, Rect(box.x_mm, top - LINE_MM / 2, LINE_MM, down + LINE_MM), RULE, dpi)


def _tick(mm: int) -> float:
    return next(tall for step, tall in TICKS_MM.items() if mm % step == 0)


def _bars(raster: Pixels, layout: ChartLayout, dpi: float) -> None:
    """Draw the bars to the edges with a tick each 5 mm from the edge."""
    for x0, y0, x1, y1 in layout.chart.bars_mm:
        half = BAR_MM / 2.0
        left, top = min(x0, x1), min(y0, y1)
        length = max(abs(x1 - x0), abs(y1 - y0))
        upright = x0 == x1
        bar = (
            Rect(left - half, top, BAR_MM, length)
            if upright
            else Rect(left, top - half, length, BAR_MM)
        )
        _fill(raster, bar, BLACK, dpi)


def _head_and_foot(raster: Pixels, layout: ChartLayout, words: ChartWords, dpi: float) -> None:
    left = layout.chart.code_mm[0]
    title_at = (left, layout.box.y_mm + 3.6)
    write_words(raster, words.title, title_at, 4.6, dpi, bold=True)
    box = layout.box
    number = (left + layout.chart.code_mm[2] + 3.0, layout.chart.code_mm[1] + 3.2)
    write_words(raster, layout.chart.chart_id, number, 3.0, dpi, grey=SOFT)
    room = box.right_mm - left
    lines = [line for note in words.notes for line in wrap(note, room, NOTE_MM)]
    for i, line in enumerate(lines[:2]):
        at = (left, box.y_mm + 14.2 + i * 3.4)
        write_words(raster, line, at, NOTE_MM, dpi, grey=SOFT)
