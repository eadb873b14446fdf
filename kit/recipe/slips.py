"""Which sizes of a recipe are so small that the decimal point or the unit may be wrong?

In: a recipe, or a day box in millimetres. Out: a ``SmallSize`` for each that is doubted: the day
box, every row that states a size of its own, and every row whose kind makes too little of a box
that may be right.

The limits are common practice, no published source: day boxes of planners are some 25 to 60 mm
either way, a sticker narrower than 5 mm is hard to take off its backing, and only dots and drawings
are made smaller than 10 mm both ways.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kit.kinds import KINDS
from kit.recipe.model import Recipe

LEAST_BOX_MM = 10.0
LEAST_ACROSS_MM = 5.0
LEAST_LONGER_MM = 10.0
LEAST_STICKER_MM = 1.0  # less cannot be cut, nor taken off its backing


@dataclass(frozen=True, slots=True)
class SmallSize:
    """One doubtful size.

    Attributes:
        key: where it is in the recipe, such as "planner.box" or "rows.3.size".
        noun: what it is the size of, such as "day box" or "label".
        width_mm: its width.
        height_mm: its height.
        least_mm: what a side is usually at least.
        derived: whether its kind made it of the day box.
    """

    key: str
    noun: str
    width_mm: float
    height_mm: float
    least_mm: float
    derived: bool = False

    def tenfold_mm(self) -> tuple[float, float]:
        """Return the size with the point of each small side moved by one place."""
        wide, high = (
            side * 10.0 if side < self.least_mm else side
            for side in (self.width_mm, self.height_mm)
        )
        return wide, high


def small_sizes(recipe: Recipe) -> tuple[SmallSize, ...]:
    """Return what is doubted of a recipe, the box first, then its rows in order."""
    box_mm = recipe.planner.box
    box = small_box(box_mm)
    doubts = [] if box is None else [box]
    for number, row in enumerate(recipe.rows, 1):
        key, size_mm = f"rows.{number}.size", row.size_mm(box_mm)
        made_mm = KINDS[row.sticker].size_mm(box_mm)
        if size_mm is not None and _is_small(row.sticker, size_mm):
            doubts.append(SmallSize(key, row.sticker, *size_mm, LEAST_LONGER_MM))
        elif size_mm is None and box is None and min(made_mm) < LEAST_ACROSS_MM:
            doubts.append(SmallSize(key, row.sticker, *made_mm, LEAST_ACROSS_MM, derived=True))
    return tuple(doubts)


def least_sizes(recipe: Recipe) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Yield the key of each sticker size that is too small to be meant, and what is said of it."""
    for number, row in enumerate(recipe.rows):
        size_mm = row.size_mm(recipe.planner.box)
        if size_mm is not None and min(size_mm) < LEAST_STICKER_MM:
            across = f"{min(size_mm):.3g} mm"
            yield (
                ("rows", number, "size"),
                f"is only {across} across. Write at least {LEAST_STICKER_MM:g} mm; check its unit",
            )


def small_box(box_mm: tuple[float, float]) -> SmallSize | None:
    """Return the doubt about a day box, or None where it is large enough."""
    if min(box_mm) >= LEAST_BOX_MM:
        return None
    return SmallSize("planner.box", "day box", *box_mm, LEAST_BOX_MM)


def _is_small(kind: str, size_mm: tuple[float, float]) -> bool:
    if min(size_mm) < LEAST_ACROSS_MM:
        return True
    return max(size_mm) < LEAST_LONGER_MM and not KINDS[kind].often_small
