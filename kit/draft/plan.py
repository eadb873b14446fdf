"""Which rows fill the sheets of a kit, with a mix that makers use and a place for every tile?

In: the day box, the area that printer and cutter reach, and how many tiles there are. Out: a
``Plan``: rows, in the order in which they come, on as few sheets as have a place for every tile.

A sheet is built of whole lines. Of all that fit, those are taken that cover most, have many kinds
of sticker, none of them more than a third of all, and places for the tiles (``_worth``). Where one
sheet has too few places, or no room for the three kinds of box, there are sheets of boxes, of boxes
to write on, and of small stickers. The kinds and their mix are common practice, no published
source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import count, cycle
from typing import Any

from kit.draft.lines import BOXES, WRITTEN_ON, Bed, Line
from kit.layout import sticker_area, usable_area
from kit.letters import DAYS
from kit.recipe import Recipe, RowPart

MOST_SHARE = 1.0 / 3.0  # of one kind among all stickers of a sheet; on a sheet of boxes, a half
# Lines of a kind on a sheet that holds up to ``USUAL_BOXES`` above each other; twice on one of few.
MOST_CORE, MOST_OTHER = 4, 2
USUAL_BOXES = 8.0
MOST_SHEETS = 12
CORE = ("full box", WRITTEN_ON, "half box")
ORDER = (*CORE, "quarter box", "checklist", "label", "header", "strip", "dot")
THEMES = (
    ("full box", "half box", "quarter box"),
    (WRITTEN_ON, "half box", "checklist", "header", "strip"),
    ("quarter box", "checklist", "label", "header", "strip", "dot"),
)
PATTERNED = ("full box", "half box", "quarter box", "strip")
ALSO_PATTERNED = (WRITTEN_ON, "label")  # where the tiles need it
DRAWN = ("full box", "half box")  # where coordinates take the place of a second time
# There too, but only those that run across: of motifs so low a sticker shows slivers.
DRAWN_LOW = ("strip",)
OTHER_WORDS = ("To do", "Notes", "Meals", "Errands", "Next week", "Birthday", "Goals")
# What counts beside coverage, as shares of the sheet.
CORE_KIND, OTHER_KIND, TOO_MANY, NO_PLACE, IN_BOXES = 0.2, 0.03, 0.5, 0.5, 0.07


@dataclass(frozen=True, slots=True)
class PlannedRow:
    """One row of a draft.

    Attributes:
        sticker: its kind.
        count: how many.
        fill: what they are filled with: one for all, or some in turn.
        panel: "white" for boxes to write on; "" for the kind's own.
        size_mm: their width and height, where these are not the kind's own.
        beside: whether they are at the end of the row before.
        text: its words, one a sticker.
    """

    sticker: str
    count: int
    fill: str | tuple[str, ...]
    panel: str = ""
    size_mm: tuple[float, float] | None = None
    beside: bool = False
    text: tuple[str, ...] = ()

    @property
    def size(self) -> str | None:
        """Their size as recipes write it."""
        return None if self.size_mm is None else "{:.5g}mm x {:.5g}mm".format(*self.size_mm)

    def keys(self) -> dict[str, Any]:
        """Return it as the keys of a recipe's row."""
        always: dict[str, Any] = {
            "sticker": self.sticker,
            "count": self.count,
            "fill": self.fill if isinstance(self.fill, str) else list(self.fill),
        }
        also = {
            "panel": self.panel,
            "size": self.size,
            "text": list(self.text),
            "beside": self.beside,
        }
        return always | {key: value for key, value in also.items() if value}

    @property
    def kind(self) -> str:
        """What it counts as: boxes to write on are a kind of their own."""
        return "writing panel" if self.panel else self.sticker


@dataclass(frozen=True, slots=True)
class Plan:
    """The rows of a draft.

    Attributes:
        rows: in the order in which they come.
        sheets: how many they fill.
        coverage: the stickers' share of what printer and cutter reach, 0 to 1.
        places: how many stickers show a pattern.
    """

    rows: tuple[PlannedRow, ...]
    sheets: int
    coverage: float
    places: int


def rows_for(recipe: Recipe, tiles: int) -> Plan:
    """Return the plan for a recipe's own box, paper, margins and gap.

    Raises:
        RecipeError: its margins leave no room on the paper.
    """
    sheet = recipe.sheet
    area = sticker_area(usable_area(sheet, where=str(recipe.file)), recipe)
    box_mm, shift_mm = recipe.planner.box, sheet.registration.shift
    return plan_sheets(Bed(box_mm, area.width_mm, area.height_mm, sheet.gap, shift_mm), tiles)


def drafted_rows(recipe: Recipe, tiles: int) -> tuple[RowPart, ...]:
    """Return the rows of the plan for a recipe as a recipe holds them."""
    return tuple(RowPart.model_validate(row.keys()) for row in rows_for(recipe, tiles).rows)


def with_coordinates(
    rows: Sequence[PlannedRow],
    tiles: Sequence[str],
    coordinates: Sequence[str],
    low: Sequence[str] = (),
) -> tuple[PlannedRow, ...]:
    """Return the rows with coordinates in boxes where a pattern would come a second time.

    Args:
        rows: of a plan.
        tiles: what its patterns are called.
        coordinates: what its coordinates are called, at least one.
        low: those of them that a low sticker shows whole.
    """
    made = []
    waiting = list(tiles)
    turns = dict.fromkeys(DRAWN, (cycle(coordinates), len(coordinates)))
    low_ones = sum(row.count for row in rows if row.sticker in DRAWN_LOW)
    if low and low_ones <= len(low) + 1:  # more would show the same above each other
        turns |= dict.fromkeys(DRAWN_LOW, (cycle(low), len(low)))
    for row in rows:
        if row.fill == "patterns" and len(waiting) < row.count and row.sticker in turns:
            turn, others = turns[row.sticker]
            most = min(row.count - len(waiting), others)
            fills = (*waiting, *(next(turn) for _ in range(most)))
            made.append(replace(row, fill=fills if len(fills) > 1 else fills[0]))
        else:
            made.append(row)
        if row.fill == "patterns":
            del waiting[: row.count]
    return tuple(made)


@lru_cache(maxsize=256)
def plan_sheets(bed: Bed, tiles: int) -> Plan:
    """Return the rows of full sheets.

    Args:
        bed: the box and the area.
        tiles: how many there are, at least one.
    """
    lines = list(bed.lines())
    if not any(line.kind == "full box" for line in lines):  # larger than the paper: make says so
        return Plan((PlannedRow("full box", 1, "patterns"),), 1, 0.0, 1)
    sheets = [_fill(bed, lines, tiles, ORDER)]
    if len({line.kind for line in sheets[0]} & set(CORE)) < len(CORE) or _most(sheets) < tiles:
        sheets = _themed(bed, lines, tiles)
    patterned = _patterned(sheets, tiles)
    rows = tuple(row for sheet in sheets for row in _rows(sheet, patterned))
    covered = sum(line.area_mm2 for sheet in sheets for line in sheet)
    return Plan(
        _with_words(rows),
        len(sheets),
        covered / (bed.width_mm * bed.height_mm * len(sheets)),
        _places(sheets, patterned),
    )


def _themed(bed: Bed, lines: Sequence[Line], tiles: int) -> list[list[Line]]:
    """Return sheets by theme, with more boxes as long as a tile has no place."""
    sheets: list[list[Line]] = []
    for theme in THEMES:
        needed = min(tiles - _most(sheets), -(-tiles // len(THEMES)))
        sheet = _fill(bed, lines, needed, theme)
        if sheet:
            sheets.append(sheet)
    while _most(sheets) < tiles and len(sheets) < MOST_SHEETS:
        sheets.insert(0, _fill(bed, lines, tiles - _most(sheets), THEMES[0]))
    return sheets


def _fill(bed: Bed, lines: Sequence[Line], tiles: int, kinds: Sequence[str]) -> list[Line]:
    """Return the lines of a sheet that are worth most of all that fit, in their order."""
    usable = [line for line in lines if line.kind in kinds]
    if not usable:
        return []
    times = 1 + int(bed.height_mm / (USUAL_BOXES * bed.box_mm[1]))
    times *= 1 if kinds is ORDER else 3
    most = {line.kind: times * (MOST_CORE if line.kind in CORE else MOST_OTHER) for line in usable}
    ways = _ways(usable, bed.height_mm + bed.gap_mm, bed.gap_mm, most)
    best = max(ways, key=lambda way: _worth(bed, way, tiles, kinds))
    return sorted(best, key=lambda line: (ORDER.index(line.kind), -line.count))


def _ways(
    lines: Sequence[Line], height: float, gap: float, most: Mapping[str, int]
) -> Iterator[list[Line]]:
    """Yield every choice of lines that leaves no room for one more of the last kind."""
    first, *rest = lines
    limit = most[first.kind]
    for number in count():
        left = height - number * (first.height_mm + gap)
        if left < -1e-6 or number > limit:
            return
        if not rest:
            yield [first] * min(limit, int((left + 1e-6) / (first.height_mm + gap)))
            return
        for others in _ways(rest, left, gap, most):
            yield [first] * number + others


def _worth(bed: Bed, sheet: Sequence[Line], tiles: int, kinds: Sequence[str]) -> float:
    """Return how good a sheet is, as a share of its area."""
    stickers: Counter[str] = Counter()
    for line in sheet:
        stickers[line.kind] += line.count
        stickers[line.end] += line.end_count
    del stickers[""]
    total = stickers.total()
    if not total:
        return -1.0
    covered = sum(line.area_mm2 for line in sheet) / (bed.width_mm * bed.height_mm)
    core = len(stickers.keys() & set(CORE) & set(kinds))
    allowed = MOST_SHARE if kinds is ORDER else 0.5
    too_many = max(0.0, max(stickers.values()) / total - allowed)
    missing = max(0, tiles - _most([sheet])) / max(1, tiles)
    written = max(0, stickers[WRITTEN_ON] - stickers["full box"]) / total
    boxes = sum(line.height_mm for line in sheet if line.kind in BOXES) / bed.height_mm
    worth = covered + IN_BOXES * boxes + CORE_KIND * core + OTHER_KIND * (len(stickers) - core)
    return worth - TOO_MANY * (too_many + written) - NO_PLACE * missing


def _most(sheets: Sequence[Sequence[Line]]) -> int:
    """Return how many stickers could show a pattern."""
    return _places(sheets, (*PATTERNED, *ALSO_PATTERNED))


def _places(sheets: Sequence[Sequence[Line]], patterned: Sequence[str]) -> int:
    return sum(
        line.count * (line.kind in patterned) + line.end_count * (line.end in patterned)
        for sheet in sheets
        for line in sheet
    )


def _patterned(sheets: Sequence[Sequence[Line]], tiles: int) -> tuple[str, ...]:
    """Return the kinds that show patterns: those that usually do, and others if tiles need it."""
    patterned: tuple[str, ...] = PATTERNED
    for kind in ALSO_PATTERNED:
        if _places(sheets, patterned) < tiles:
            patterned = (*patterned, kind)
    return patterned


def _rows(sheet: Sequence[Line], patterned: Sequence[str]) -> Iterator[PlannedRow]:
    """Yield a sheet's rows: like lines are one row, which breaks into them by itself."""
    groups: list[list[Line]] = []
    for line in sheet:
        # a row of lines that are one sticker short would break into full ones
        if groups and groups[-1][0] == line and line.is_full:
            groups[-1].append(line)
        else:
            groups.append([line])
    for group in groups:
        line, times = group[0], len(group)
        yield _row(line.kind, line.count * times, patterned)
        if line.end:
            end = _row(line.end, line.end_count * times, patterned)
            yield replace(end, beside=True, size_mm=line.end_mm)


def _row(kind: str, number: int, patterned: Sequence[str]) -> PlannedRow:
    fill = "patterns" if kind in patterned else "palette"
    if kind == WRITTEN_ON:
        return PlannedRow("full box", number, fill, panel="white")
    return PlannedRow(kind, number, fill)


def _with_words(rows: Sequence[PlannedRow]) -> tuple[PlannedRow, ...]:
    """Return the rows with words on their headers: the days where there is room for all."""
    headers = sum(row.count for row in rows if row.sticker == "header")
    words = (*(DAYS if headers >= len(DAYS) else ()), *OTHER_WORDS)
    given = 0
    made = []
    for row in rows:
        if row.sticker == "header":
            text = tuple(words[(given + i) % len(words)] for i in range(row.count))
            given += row.count
            made.append(replace(row, text=text))
        else:
            made.append(row)
    return tuple(made)
