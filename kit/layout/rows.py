"""Stickers in rows, as the recipe lists them: aligned, evenly spread, centred on the sheet.

In: items with row numbers, the usable area, the least gap and keep-outs, in millimetres. Out: a
``Layout`` in the order given. A row too wide wraps, into equal lines where that comes out; a
full sheet starts another. All lines begin at the block's left edge. A line is spread to the widest
line's width, so that the right edges align too, where that opens its gaps a little only; stickers
of one width stand in the columns of the line that holds most of them. The block is centred, which
also keeps the corners near the point of registration.

Not done here: turning or reordering items to save paper (``kit.layout.packing``).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from kit.layout.ground import (
    SLACK_MM,
    Ground,
    Item,
    Layout,
    Spot,
    centre,
    ground,
    layout_of,
    too_large,
)
from kit.shapes import Rect

# Gaps are opened to at most this many times the least one: wider, a line looks strewn about.
MOST_SPREAD = 3.0
# Or to this share of the line's narrowest sticker, where the least gap is next to nothing.
SPREAD_OF_WIDTH = 0.15


@dataclass(frozen=True, slots=True)
class _Line:
    indices: tuple[int, ...]
    top: float
    left: float
    right: float


def rows(
    items: Sequence[Item], usable: Rect, gap_mm: float, keep_outs: Sequence[Rect] = ()
) -> Layout:
    """Return the items in rows, in the order given.

    Args:
        items: what to place; rows are runs of the same row number, and of one line of it.
        usable: what printer and cutter can reach.
        gap_mm: the least distance between two stickers along x or y.
        keep_outs: areas that no sticker may enter.

    Raises:
        RecipeError: an item fits nowhere on an empty sheet.
    """
    on = ground(usable, gap_mm, keep_outs)
    runs = groupby(enumerate(items), lambda pair: (pair[1].row, pair[1].line))
    groups = [tuple(i for i, _ in run) for _, run in runs]
    # beside a keep-out, a row may go narrow at once or wait until it is passed: try both
    ways = [
        _set_lines(items, groups, on, patient=patient)
        for patient in ((False, True) if keep_outs else (False,))
    ]
    best = min(ways, key=lambda sheets: (len(sheets), sum(map(len, sheets))))
    spots = [_spread(items, lines, on) for lines in best]
    return layout_of(items, spots, "rows", usable, gap_mm)


def _set_lines(
    items: Sequence[Item],
    groups: Sequence[tuple[int, ...]],
    on: Ground,
    *,
    patient: bool,
) -> list[list[_Line]]:
    """Break rows into lines and lines into sheets, from the top, at the least gap."""
    sheets: list[list[_Line]] = []
    top = on.area.bottom_mm + 1.0  # full: the first line opens a sheet
    for group in groups:
        rest = group
        while rest:
            line = _next_line(items, rest, top, on, patient=patient)
            if line is None:
                sheets.append([])
                line = _next_line(items, rest, on.area.y_mm, on, patient=patient)
            if line is None:
                raise too_large(items[rest[0]], on.area)
            sheets[-1].append(line)
            top = line.top + _height(items, line.indices) + on.gap_mm
            rest = rest[len(line.indices) :]
    return sheets


def _next_line(
    items: Sequence[Item],
    rest: tuple[int, ...],
    top: float,
    on: Ground,
    *,
    patient: bool,
) -> _Line | None:
    """Return the line that holds the next of ``rest`` from ``top`` down, or None: sheet full.

    It takes the highest place that holds any; a patient one, the highest that holds most.
    """
    tall = _height(items, rest)
    tops = sorted({top, *(out.bottom_mm for out in on.keep_outs if out.bottom_mm > top)})
    candidates: list[tuple[int, _Line]] = []
    for y in tops:
        if y + tall > on.area.bottom_mm + SLACK_MM:
            break
        left, right = _widest_free(y, y + tall, on)
        fit = _how_many(items, rest, right - left, on.gap_mm)
        if fit:
            candidates.append((fit, _Line(rest[: _even(len(rest), fit)], y, left, right)))
            if not patient or fit == len(rest):
                break
    return max(candidates, key=lambda pair: pair[0])[1] if candidates else None


def _even(count: int, fit: int) -> int:
    """Return how many to take now: as many as fit, or fewer where all lines come out equal."""
    lines = math.ceil(count / fit)
    return count // lines if count % lines == 0 else fit


def _how_many(items: Sequence[Item], rest: tuple[int, ...], width: float, gap: float) -> int:
    """Return how many of ``rest``, from the first, fit side by side."""
    used = -gap
    for count, index in enumerate(rest):
        used += items[index].width_mm + gap
        if used > width + SLACK_MM:
            return count
    return len(rest)


def _widest_free(top: float, bottom: float, on: Ground) -> tuple[float, float]:
    """Return the widest stretch of x that is free from ``top`` to ``bottom``."""
    blocks = sorted(
        (out.x_mm, out.right_mm)
        for out in on.keep_outs
        if out.y_mm < bottom - SLACK_MM and out.bottom_mm > top + SLACK_MM
    )
    area = on.area
    best, start = (area.x_mm, area.x_mm), area.x_mm
    for left, right in [*blocks, (area.right_mm, area.right_mm)]:
        end = min(left, area.right_mm)
        best = max(best, (start, end), key=lambda stretch: stretch[1] - stretch[0])
        start = max(start, right)
    return best


def _height(items: Sequence[Item], indices: tuple[int, ...]) -> float:
    return max(items[i].height_mm for i in indices)


def _width(items: Sequence[Item], indices: tuple[int, ...], gap: float) -> float:
    return sum(items[i].width_mm for i in indices) + gap * (len(indices) - 1)


def _spread(
    items: Sequence[Item],
    lines: Sequence[_Line],
    on: Ground,
) -> list[Spot]:
    """Give every item of a sheet its place: lines from one left edge, the block centred."""
    block = max(_width(items, line.indices, on.gap_mm) for line in lines)
    own = [_spacing(items, line, block, on.gap_mm) for line in lines]
    spots: list[Spot] = []
    for line in lines:
        step = _columns(items, line, lines, own)
        width = _width(items, line.indices, step)
        x = on.area.centre_mm[0] - block / 2.0
        x = max(min(x, line.right - width), line.left)
        for index in line.indices:
            item = items[index]
            spots.append(Spot(index, Rect(x, line.top, item.width_mm, item.height_mm)))
            x += item.width_mm + step
    return centre(spots, on, across=False)


def _spacing(items: Sequence[Item], line: _Line, block: float, gap: float) -> float:
    """Return the distance between a line's stickers: to the block's width, if it looks right."""
    count = len(line.indices)
    if count == 1:
        return gap
    target = min(block, line.right - line.left)
    step = (target - _width(items, line.indices, 0.0)) / (count - 1)
    narrowest = min(items[i].width_mm for i in line.indices)
    return max(step, gap) if step <= max(MOST_SPREAD * gap, SPREAD_OF_WIDTH * narrowest) else gap


def _columns(
    items: Sequence[Item], line: _Line, lines: Sequence[_Line], own: Sequence[float]
) -> float:
    """Return a line's spacing: that of the fullest line of stickers as wide, if it has room."""
    width = _one_width(items, line)
    like = [
        (len(other.indices), -spacing)
        for other, spacing in zip(lines, own, strict=True)
        if width is not None and _one_width(items, other) == width
    ]
    mine = own[lines.index(line)]
    if not like:
        return mine
    spacing = -max(like)[1]
    fits = _width(items, line.indices, spacing) <= line.right - line.left + SLACK_MM
    return spacing if fits else mine


def _one_width(items: Sequence[Item], line: _Line) -> float | None:
    """Return the width that all of a line's stickers share, or None; hundredths of a millimetre."""
    widths = {round(items[i].width_mm, 2) for i in line.indices}
    return widths.pop() if len(widths) == 1 else None
