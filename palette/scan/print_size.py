"""Did the printer keep the size, and how near to the edges did it print?

In: the frame of a scan, its resolution, and the straightened sheet. Out: ``PrintedSize``: how much
larger than meant the print is across and down, as shares, and the margin that stayed white along
each edge, in millimetres. Sizes are measured between the corner targets, which are as far apart as
the sheet's rulers are long, to about 0.03 %.

A scanner's own resolution is seldom true to better than 0.2 %, so confirm a correction with a
ruler along the printed one. A photograph has no resolution: then only the ratio of
down to across is known. Not done here: refusing (``check_scale`` apart) or correcting anything.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats
from palette.chart import EDGES, ChartList
from palette.inch import MM_PER_INCH
from palette.scan.frame import Frame, apply, side_lengths
from palette.scan.refusals import MOST_SCALE_ERROR, ScanError
from palette.scan.sample import PX_PER_MM, Straightened

LEAST_DPI = 100.0  # 72 and 96 are what programs write when they know nothing
_LEANING = 0.02  # beyond it nothing is said of size
_FLATBED = 0.004  # within it, size is measured
_SAME_SHAPE, _CENTRED = 0.007, 0.015
_STEP_MM = 0.1


@dataclass(frozen=True, slots=True)
class PrintedSize:
    """The print's size and reach.

    Attributes:
        x_error: printed over meant, less 1, across the sheet; None without a resolution.
        y_error: the same down the sheet.
        margins_mm: by edge, the white that the printer left; None where it is not in the picture.
    """

    x_error: float | None
    y_error: float | None
    margins_mm: dict[str, float | None]


def measure_size(
    frame: Frame, sheet: Straightened, chart: ChartList, dpi: float | None
) -> PrintedSize:
    """Return the printed size and reach; ``dpi`` is the scan's own, or None."""
    x, y = _px_per_mm(frame, chart)
    per_mm = dpi / MM_PER_INCH if dpi is not None and dpi >= LEAST_DPI else None
    flat = frame.leaning < _FLATBED
    return PrintedSize(
        x_error=x / per_mm - 1.0 if per_mm and flat else None,
        y_error=y / per_mm - 1.0 if per_mm and flat else None,
        margins_mm={edge: _margin(sheet, chart, edge) for edge in EDGES},
    )


def check_scale(
    frame: Frame, chart: ChartList, dpi: float | None, shape: tuple[int, int], where: str
) -> None:
    """Refuse a chart that was printed or saved at another size.

    Raises:
        ScanError: more than 3 % too large or too small, across or down.
    """
    x, y = _px_per_mm(frame, chart)
    if frame.leaning < _LEANING and abs(y / x - 1.0) > MOST_SCALE_ERROR:
        raise _off(where, f"is stretched: {y / x:.1%} as tall for its width as it should be")
    if frame.leaning >= _LEANING:
        return
    if dpi is not None and dpi >= LEAST_DPI:
        size = (x + y) / 2.0 / (dpi / MM_PER_INCH)
    else:
        size = _size_on_paper(frame, chart, shape)
    if abs(size - 1.0) > MOST_SCALE_ERROR:
        raise _off(where, f"shows the chart at {size:.0%} of its size")


def _px_per_mm(frame: Frame, chart: ChartList) -> tuple[float, float]:
    """Return the picture's pixels to a millimetre of the chart as it was meant, across and down."""
    shown, meant = side_lengths(frame.targets_px), side_lengths(chart.targets_mm)
    x, y = (float(px.mean()) / float(mm.mean()) for px, mm in zip(shown, meant, strict=True))
    return x, y


def _off(where: str, what: str) -> ScanError:
    return ScanError("scale", what, where=where, why="it was printed or saved at another scale")


def _size_on_paper(frame: Frame, chart: ChartList, shape: tuple[int, int]) -> float:
    """Return the chart's size against a picture that has its paper's shape exactly, else 1."""
    rows, cols = shape
    wide, tall = chart.paper_mm
    corners = apply(frame.to_px, np.array([[0.0, 0.0], [wide, 0.0], [wide, tall], [0.0, tall]]))
    upright = abs(cols / rows / (wide / tall) - 1.0) < _SAME_SHAPE
    lying = abs(rows / cols / (wide / tall) - 1.0) < _SAME_SHAPE
    middle = corners.mean(axis=0) / np.array([cols, rows]) - 0.5
    if not (upright or lying) or np.abs(middle).max() > _CENTRED:
        return 1.0
    across = frame.px_per_mm * (wide + tall)
    return float(across / (rows + cols))


def _margin(sheet: Straightened, chart: ChartList, edge: str) -> float | None:
    """Return the white left along an edge: the least over its bars, in mm."""
    outwards = {"top": (0, -1), "right": (1, 0), "bottom": (0, 1), "left": (-1, 0)}[edge]
    ends = []
    for x0, y0, x1, y1 in chart.bars_mm:
        length = abs(x1 - x0) + abs(y1 - y0)
        if (np.sign(x1 - x0), np.sign(y1 - y0)) == outwards:
            ends.append(_bar_end(sheet, np.array([x0, y0]), np.array(outwards), float(length)))
    known = [mm for mm in ends if mm is not None]
    return round(min(known), 1) if known else None


def _bar_end(sheet: Straightened, start: Floats, out: Floats, length: float) -> float | None:
    """Return how far from the paper's edge a bar ends; None where the picture does not show it."""
    sideways = np.array([-out[1], out[0]]) * 2.0
    last = 0.0
    for along in np.arange(0.5, length + 1e-9, _STEP_MM):
        at = start + out * along
        levels = [_level(sheet, at), _level(sheet, at - sideways), _level(sheet, at + sideways)]
        if any(level is None for level in levels):
            # the picture ends here: the bar runs on unless it stopped before
            return None if along - last < 1.0 else float(length - last)
        middle, *around = (float(level or 0.0) for level in levels)
        if middle < 0.65 * min(around):
            last = float(along)
    return max(0.0, length - last)


def _level(sheet: Straightened, at_mm: Floats) -> float | None:
    col, row = int(at_mm[0] * PX_PER_MM), int(at_mm[1] * PX_PER_MM)
    rows, cols = sheet.seen.shape
    col, row = min(col, cols - 1), min(row, rows - 1)
    if row < 0 or col < 0 or not sheet.seen[row, col]:
        return None
    return float(sheet.pixels[row, col].mean())
