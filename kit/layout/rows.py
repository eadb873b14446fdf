"""Stickers in rows, as the recipe lists them: aligned, evenly spread, centred on the sheet.

In: items with row numbers, the usable area, the least gap and keep-outs, in millimetres. Out: a
``Layout`` in the order given. A row too wide wraps, into equal lines where that comes out; a
full sheet starts another. A row that is beside the one before it fills what is left of that
row's lines, in a grid, and then lines of its own. All lines begin at the block's left edge. A line
is spread to the widest line's width, so that the right edges align too, where that opens its gaps a
little only; stickers of one width are in the columns of the line that holds most of them. The
block is centred, which also keeps the corners near the point of registration.

Not done here: turning or reordering items to save paper (``kit.layout.packing``).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby

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

# Gaps are opened to at most this many times the least one: wider, a line looks scattered about.
MOST_SPREAD = 3.0
# Or to this share of the line's narrowest sticker, where the least gap is next to nothing.
SPREAD_OF_WIDTH = 0.15


@dataclass(frozen=True, slots=True)
class _Cell:
    """What is at one place of a line: a sticker, or some of one size above each other."""

    indices: tuple[int, ...]
    width: float


@dataclass(frozen=True, slots=True)
class _Line:
    """One line: the cells of its own row from the left, then those of rows that are beside it."""

    cells: tuple[_Cell, ...]
    beside: tuple[_Cell, ...]
    top: float
    height: float
    left: float
    right: float

    @property
    def indices(self) -> tuple[int, ...]:
        return tuple(index for cell in (*self.cells, *self.beside) for index in cell.indices)

    def width(self, gap: float) -> float:
        """How wide it is with all gaps alike."""
        cells = (*self.cells, *self.beside)
        return sum(cell.width for cell in cells) + gap * (len(cells) - 1)


_Group = tuple[int, ...]


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
    groups: Sequence[_Group],
    on: Ground,
    *,
    patient: bool,
) -> list[list[_Line]]:
    """Break rows into lines and lines into sheets, from the top, at the least gap."""
    sheets: list[list[_Line]] = []
    top = on.area.bottom_mm + 1.0  # full: the first line opens a sheet
    chains = _chains(items, groups)
    while chains:
        group, *beside = chains.pop(0)
        rest = group
        while rest:
            line = _next_line(items, rest, top, on, patient=patient)
            if line is None:
                sheets.append([])
                line = _next_line(items, rest, on.area.y_mm, on, patient=patient)
            if line is None:
                raise too_large(items[rest[0]], on.area)
            rest = rest[len(line.cells) :]
            line, beside = _with_beside(items, line, beside, on.gap_mm)
            sheets[-1].append(line)
            top = line.top + line.height + on.gap_mm
        if beside:
            chains.insert(0, beside)
    return sheets


def _chains(items: Sequence[Item], groups: Sequence[_Group]) -> list[list[_Group]]:
    """Return each group with those that are beside it."""
    chains: list[list[_Group]] = []
    for group in groups:
        if chains and items[group[0]].beside:
            chains[-1].append(group)
        else:
            chains.append([group])
    return chains


def _next_line(
    items: Sequence[Item],
    rest: _Group,
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
            taken = rest[: _even(len(rest), fit)]
            cells = tuple(_Cell((i,), items[i].width_mm) for i in taken)
            candidates.append((fit, _Line(cells, (), y, _height(items, taken), left, right)))
            if not patient or fit == len(rest):
                break
    return max(candidates, key=lambda pair: pair[0])[1] if candidates else None


def _with_beside(
    items: Sequence[Item], line: _Line, groups: Sequence[_Group], gap: float
) -> tuple[_Line, list[_Group]]:
    """Return a line with what is beside it, as much as it has room for, and the others."""
    left = list(groups)
    while left:
        room = line.right - line.left - line.width(gap) - gap
        cells = _grid(items, left[0], room, line.height, gap)
        if not cells:
            break
        line = replace(line, beside=(*line.beside, *cells))
        taken = sum(len(cell.indices) for cell in cells)
        if taken < len(left[0]):
            left[0] = left[0][taken:]
            break
        del left[0]
    return line, left


def _grid(
    items: Sequence[Item], group: _Group, room: float, height: float, gap: float
) -> list[_Cell]:
    """Return as many of a group as the end of a line holds, in columns that read line by line."""
    largest = Item(max(items[i].width_mm for i in group), _height(items, group))
    across, down = grid_at_end(largest, room, height, gap)
    if not across * down:
        return []
    columns = min(across, math.ceil(len(group) / down))
    taken = group[: columns * down]
    return [_Cell(taken[column::columns], largest.width_mm) for column in range(columns)]


def grid_at_end(item: Item, room_mm: float, height_mm: float, gap_mm: float) -> tuple[int, int]:
    """Return how many of an item the end of a line holds across and down; 0 where none fits.

    Args:
        item: what is to be there.
        room_mm: width that is left, a gap already taken off.
        height_mm: of the line.
        gap_mm: the least distance between two stickers.
    """
    across = math.floor((room_mm + gap_mm + SLACK_MM) / (item.width_mm + gap_mm))
    down = math.floor((height_mm + gap_mm + SLACK_MM) / (item.height_mm + gap_mm))
    return max(0, across), max(0, down)


def _even(count: int, fit: int) -> int:
    """Return how many to take now: as many as fit, or fewer where all lines come out equal."""
    lines = math.ceil(count / fit)
    return count // lines if count % lines == 0 else fit


def _how_many(items: Sequence[Item], rest: _Group, width: float, gap: float) -> int:
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


def _height(items: Sequence[Item], indices: _Group) -> float:
    return max(items[i].height_mm for i in indices)


def _spread(
    items: Sequence[Item],
    lines: Sequence[_Line],
    on: Ground,
) -> list[Spot]:
    """Give every item of a sheet its place: lines from one left edge, the block centred."""
    block = max(line.width(on.gap_mm) for line in lines)
    own = [_spacing(line, block, on.gap_mm) for line in lines]
    spots: list[Spot] = []
    for line in lines:
        steps = _steps(line, lines, own, block, on.gap_mm)
        cells = (*line.cells, *line.beside)
        width = sum(cell.width for cell in cells) + sum(steps)
        x = on.area.centre_mm[0] - block / 2.0
        x = max(min(x, line.right - width), line.left)
        for cell, step in zip(cells, (*steps, 0.0), strict=True):
            spots += _stacked(items, cell, x, line, on.gap_mm)
            x += cell.width + step
    return centre(sorted(spots, key=lambda spot: spot.index), on, across=False)


def _stacked(
    items: Sequence[Item], cell: _Cell, x: float, line: _Line, gap: float
) -> Iterator[Spot]:
    """Yield a cell's stickers, above each other from the line's top, spread to its bottom.

    One that is alone beside stickers a little higher than itself is at half their height, so that
    it is as far from those in the lines above and below.
    """
    heights = [items[i].height_mm for i in cell.indices]
    over = line.height - sum(heights)
    step, first = gap, line.top
    if len(heights) > 1:
        open_step = over / (len(heights) - 1)
        step = open_step if open_step <= MOST_SPREAD * gap else gap
    elif cell in line.beside and over / 2.0 <= gap and _is_level(items, line):
        first += over / 2.0
    tops = accumulate((height + step for height in heights), initial=first)
    for index, top in zip(cell.indices, tops, strict=False):
        yield Spot(index, Rect(x, top, items[index].width_mm, items[index].height_mm))


def _is_level(items: Sequence[Item], line: _Line) -> bool:
    """Whether all of a line's own row are as high as it; drawings may differ."""
    own = [items[i].height_mm for cell in line.cells for i in cell.indices]
    return min(own) > line.height - SLACK_MM


def _spacing(line: _Line, block: float, gap: float) -> float:
    """Return the distance between a line's stickers: to the block's width, if it looks right."""
    cells = (*line.cells, *line.beside)
    if len(cells) == 1:
        return gap
    target = min(block, line.right - line.left)
    step = (target - line.width(0.0)) / (len(cells) - 1)
    narrowest = min(cell.width for cell in cells)
    return max(step, gap) if step <= max(MOST_SPREAD * gap, SPREAD_OF_WIDTH * narrowest) else gap


def _steps(
    line: _Line, lines: Sequence[_Line], own: Sequence[float], block: float, gap: float
) -> list[float]:
    """Return the distances between a line's cells, one fewer than there are.

    Its own row is in the columns of the fullest line of stickers as wide; what is beside
    it begins where the next column does and ends where the block does, if that looks right.
    """
    step = _columns(line, lines, own, gap)
    inside = [step] * (len(line.cells) - 1)
    if not line.beside:
        return inside
    target = min(block, line.right - line.left)
    over = target - sum(cell.width for cell in (*line.cells, *line.beside)) - sum(inside)
    if len(line.beside) > 1:
        apart = (over - step) / (len(line.beside) - 1)
        # a column, from edge to edge; a gap wider than what stands there would tear it in two
        most = max(MOST_SPREAD * gap, min(cell.width for cell in line.beside))
        if gap - SLACK_MM <= apart <= most:
            return [*inside, step, *[apart] * (len(line.beside) - 1)]
    wide = over / len(line.beside)
    beside = wide if gap <= wide + SLACK_MM and wide <= MOST_SPREAD * gap else gap
    return [*inside, *[beside] * len(line.beside)]


def _columns(line: _Line, lines: Sequence[_Line], own: Sequence[float], gap: float) -> float:
    """Return a line's spacing: that of the fullest line of stickers as wide, if it has room."""
    width = _one_width(line)
    like = [
        (len(other.cells), -spacing)
        for other, spacing in zip(lines, own, strict=True)
        if width is not None and _one_width(other) == width
    ]
    mine = own[lines.index(line)]
    if not like:
        return mine
    spacing = -max(like)[1]
    opened = (spacing - gap) * (len(line.cells) - 1)
    fits = line.width(gap) + opened <= line.right - line.left + SLACK_MM
    return spacing if fits else mine


def _one_width(line: _Line) -> float | None:
    """Return the width that all of a row's stickers share, or None; hundredths of a millimetre."""
    widths = {round(cell.width, 2) for cell in line.cells}
    return widths.pop() if len(widths) == 1 else None
