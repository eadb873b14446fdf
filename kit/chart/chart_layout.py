"""Where does each patch of the chart lie on this paper? Patches, ramp, targets, code, edge bars.

In: a paper and the margins that the printer is said to need, in millimetres. Out: a ``ChartList``.
The patches are as large as the paper allows, up to ``LARGEST_MM``, with white gutters between; the
neutral ramp is a row of its own above them; plain paper is spread over the whole sheet, so that a
lamp's fall-off can be read from it. Neighbours differ in colour, so that no patch takes light from
more of its like than another.

Not done here: drawing (``kit.chart.chart_sheet``); which colours (``palette.chart.patches``).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from kit.recipe import Margins, Paper
from kit.recipe_error import RecipeError
from kit.shapes import Rect
from palette.arrays import Floats, Mask, Pixels
from palette.chart import COLOURS, WHITES, ChartList, chart_colours, grey_ramp, number_of
from palette.scan import CELLS

TARGET_MM = 5.0  # radius
HEAD_MM = 21.0  # title and code, between the upper targets
FOOT_MM = 14.0  # the ruler across and the caption, between the lower ones
LEFT_MM = 13.0  # the ruler down and the names of the rows
NAMES_MM = 4.0  # the columns' names
RAMP_GAP_MM = 2.5
GUTTER_MM = 1.4
SMALLEST_MM, LARGEST_MM = 6.0, 13.0  # a patch's side; 6 mm are 35 pixels at 150 dpi
CELL_MM = (2.4, 4.0)
# a recipe may promise more than the printer keeps, so the targets stay clear of that; many inkjets
# hold the sheet by its lower half inch: common practice, no published source
LEAST_MARGINS_MM = (10.0, 10.0, 13.0, 10.0)
_STRIDE = 67  # between neighbours in the order of choice: far apart in colour


@dataclass(frozen=True, slots=True)
class ChartLayout:
    """A chart laid on its paper.

    Attributes:
        chart: what reading it back needs.
        box: the area inside the margins, in millimetres.
        ramp: the boxes of the neutral ramp, as indices into the chart's patches.
        columns: how many patches a row of the grid has.
    """

    chart: ChartList
    box: Rect
    ramp: range
    columns: int


def lay_chart(paper: Paper, margins: Margins | None = None) -> ChartLayout:
    """Return the chart for a paper.

    Raises:
        RecipeError: the paper is too small for patches that a scanner can read.
    """
    box = _inside(paper, margins or Margins())
    colours, ramp = chart_colours(), grey_ramp()
    area = Rect(
        box.x_mm + LEFT_MM,
        box.y_mm + HEAD_MM + NAMES_MM,
        box.width_mm - LEFT_MM,
        box.height_mm - HEAD_MM - NAMES_MM - FOOT_MM,
    )
    columns, pitch = _best_grid(paper, area, COLOURS + WHITES, len(ramp))
    step = area.width_mm / len(ramp)
    ramp_tall = pitch - GUTTER_MM
    ramp_boxes = [
        (area.x_mm + i * step + GUTTER_MM / 2.0, area.y_mm, step - GUTTER_MM, ramp_tall)
        for i in range(len(ramp))
    ]
    rows = math.ceil((COLOURS + WHITES) / columns)
    top = area.y_mm + ramp_tall + RAMP_GAP_MM + NAMES_MM
    left = area.x_mm + (area.width_mm - columns * pitch) / 2.0
    side = pitch - GUTTER_MM
    half = GUTTER_MM / 2.0
    grid = [
        (left + c * pitch + half, top + r * pitch + half, side, side)
        for r in range(rows)
        for c in range(columns)
    ]
    boxes = np.round(np.array([*ramp_boxes, *grid]), 3)
    rgb = np.concatenate([ramp, _grid_colours(colours, rows, columns)])
    names = [f"GR{i}" for i in range(1, len(ramp) + 1)]
    names += [f"{row_name(r)}{c + 1}" for r in range(rows) for c in range(columns)]
    chart = _chart(paper, box, tuple(names), rgb, boxes)
    return ChartLayout(chart, box, range(len(ramp)), columns)


def row_name(row: int) -> str:
    """Return A to Z, then AA, AB and so on."""
    return (chr(64 + row // 26) if row >= 26 else "") + chr(65 + row % 26)


def _inside(paper: Paper, margins: Margins) -> Rect:
    top, right, bottom, left = (
        max(mm, least)
        for mm, least in zip(
            (margins.top, margins.right, margins.bottom, margins.left),
            LEAST_MARGINS_MM,
            strict=True,
        )
    )
    return Rect(left, top, paper.width_mm - left - right, paper.height_mm - top - bottom)


def _best_grid(paper: Paper, area: Rect, cells: int, greys: int) -> tuple[int, float]:
    """Return the number of columns that gives the largest patches, and their pitch."""
    best = (0, 0.0)
    for columns in range(4, 60):
        rows = math.ceil(cells / columns)
        down = (area.height_mm - RAMP_GAP_MM - NAMES_MM + GUTTER_MM) / (rows + 1)
        pitch = min(area.width_mm / columns, down, LARGEST_MM + GUTTER_MM)
        if pitch > best[1] + 1e-9:
            best = (columns, pitch)
    small = min(best[1], area.width_mm / greys) - GUTTER_MM
    code_wide = paper.width_mm - area.width_mm
    if small < SMALLEST_MM - 1.2 or best[1] - GUTTER_MM < SMALLEST_MM or code_wide <= 0:
        raise RecipeError(
            f"{paper.name} is too small for a colour chart",
            where="paper",
            why=f"its patches would be under {SMALLEST_MM:g} mm",
            remedy="Print the chart on A5 or larger, of the same sticker paper.",
        )
    return best


def _grid_colours(colours: Pixels, rows: int, columns: int) -> Pixels:
    """Return the colours cell by cell: paper spread evenly, the others stepping far each time."""
    count = rows * columns
    white = _spread(rows, columns, count - len(colours))
    order = [(i * _STRIDE) % len(colours) for i in range(len(colours))]
    assert len(set(order)) == len(colours)
    rgb = np.full((count, 3), 255, np.uint8)
    rgb[~white] = colours[order]
    return rgb


def _spread(rows: int, columns: int, count: int) -> Mask:
    """Return which of the cells are paper: each as far as can be from those before it."""
    cells = np.array([(r, c) for r in range(rows) for c in range(columns)], dtype=np.float64)
    chosen = [0, columns - 1, len(cells) - columns, len(cells) - 1]
    away = np.min([((cells - cells[i]) ** 2).sum(axis=1) for i in chosen], axis=0)
    while len(chosen) < count:
        chosen.append(int(np.argmax(away)))
        away = np.minimum(away, ((cells - cells[chosen[-1]]) ** 2).sum(axis=1))
    white = np.zeros(len(cells), dtype=bool)
    white[chosen[:count]] = True
    return white


def _chart(
    paper: Paper, box: Rect, names: tuple[str, ...], rgb: Pixels, boxes: Floats
) -> ChartList:
    near, far_x, far_y = TARGET_MM, box.right_mm - TARGET_MM, box.bottom_mm - TARGET_MM
    left, top = box.x_mm + near, box.y_mm + near
    targets = np.round(np.array([[left, top], [far_x, top], [far_x, far_y], [left, far_y]]), 3)
    wide, tall = round(CELLS * CELL_MM[0], 3), CELL_MM[1]
    code_at = round(left + TARGET_MM + 3.0, 3), round(box.y_mm + 2.0 * TARGET_MM - tall, 3)
    paper_mm = (round(paper.width_mm, 3), round(paper.height_mm, 3))
    return ChartList(
        chart_id=number_of(paper_mm, rgb, boxes),
        paper_mm=paper_mm,
        names=names,
        rgb=rgb,
        boxes_mm=boxes,
        targets_mm=targets,
        target_radius_mm=TARGET_MM,
        code_mm=(*code_at, wide, tall),
        bars_mm=np.round(_bars(paper, box), 3),
    )


def _bars(paper: Paper, box: Rect) -> Floats:
    """Return two bars an edge, from the box outwards to the paper's very edge."""
    bars = []
    for share in (0.3, 0.7):
        x, y = paper.width_mm * share, paper.height_mm * share
        bars += [
            (x, box.y_mm, x, 0.0),
            (box.right_mm, y, paper.width_mm, y),
            (x, box.bottom_mm, x, paper.height_mm),
            (box.x_mm, y, 0.0, y),
        ]
    return np.array(bars)
