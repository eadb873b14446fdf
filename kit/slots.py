"""Which stickers does a recipe ask for? Its rows, one by one, each sticker with its size and wish.

In: a recipe. Out: one ``Slot`` for each sticker in the recipe's order, sizes in millimetres, and
what its row wants it filled with. Not decided here: the fill itself (``kit.fills``) and the place
(``kit.layout``).
"""

from __future__ import annotations

from dataclasses import dataclass

from kit.errors import RecipeError
from kit.geometry import Contour, Rect, rounded_rectangle
from kit.recipe import Recipe, RowPart
from kit.stickers import KINDS, Kind, least_border_mm

Wish = str  # "patterns", "palette", a pattern's name, or a colour such as "#3b5b7a"


@dataclass(frozen=True, slots=True)
class Slot:
    """One sticker that is asked for.

    Attributes:
        kind: its kind.
        row: the 0-based number of its row in the recipe.
        width_mm: width of its cut line's box.
        height_mm: height of its cut line's box.
        wish: "patterns", "palette", a pattern's name or a hex colour.
        border_mm: width of the filled border round its white panel; None without a panel.
        words: what is written on it.
        text_pt: the type's em in points.
        shape: its cut line where a file tells it, with its box at the origin; None where the kind
            does.
        drawing: the maker's picture and where it lies inside the box.
    """

    kind: Kind
    row: int
    width_mm: float
    height_mm: float
    wish: Wish
    border_mm: float | None = None
    words: str = ""
    text_pt: float = 0.0
    shape: Contour | None = None
    drawing: Drawing | None = None

    def outline(self, box: Rect, radius_mm: float) -> Contour:
        """Return the cut line for a place on the paper."""
        if self.shape is not None:
            return translate(self.shape, box.x_mm, box.y_mm)
        return self.kind.outline(box, radius_mm)

    def panels(self, box: Rect, radius_mm: float) -> tuple[Contour, ...]:
        """Return the areas to write on, as outlines inside the box."""
        if self.border_mm is None:
            return ()
        return (rounded_rectangle(box.grown(-self.border_mm), radius_mm),)

    def words_area(self, box: Rect) -> Rect:
        """Return where its words go: on the panel where it has one."""
        return words_area(self.kind, box, self.border_mm)


def slots_of(recipe: Recipe) -> tuple[Slot, ...]:
    """Return one slot a sticker.

    Raises:
        RecipeError: a fill that is neither a pattern's name nor a colour, or a panel that its
            sticker has no room for.
    """
    return tuple(slot for row in range(len(recipe.rows)) for slot in _row_slots(recipe, row))


def _row_slots(recipe: Recipe, number: int) -> list[Slot]:
    row = recipe.rows[number]
    kind = KINDS[row.sticker]
    width_mm, height_mm = row.size or kind.size_mm(recipe.planner.box)
    border_mm = _border(recipe, row, number, min(width_mm, height_mm)) if row.panel else None
    wishes = (row.fill,) if isinstance(row.fill, str) else row.fill
    for wish in wishes:
        _check_wish(recipe, number, wish)
    return [
        Slot(kind, number, width_mm, height_mm, wishes[i % len(wishes)], border_mm)
        for i in range(row.count)
    ]


def _border(recipe: Recipe, row: RowPart, number: int, shorter_mm: float) -> float:
    border_mm = row.border or least_border_mm(recipe.sheet.registration.shift)
    if shorter_mm - 2 * border_mm < 4.0:
        raise RecipeError(
            f"rows.{number + 1}: a {row.sticker} only {shorter_mm:.1f} mm across has no room for "
            f"a white panel inside a border of {border_mm:.1f} mm",
            where=str(recipe.file),
            remedy='Use a larger sticker, take the panel out, or set border = "..." narrower.',
        )
    return border_mm


def _check_wish(recipe: Recipe, number: int, wish: Wish) -> None:
    names = [pattern.label for pattern in recipe.patterns]
    if wish in {"patterns", "palette", *names} or is_colour(wish):
        return
    raise RecipeError(
        f'rows.{number + 1}.fill: "{wish}" is neither a pattern of this recipe nor a colour',
        where=str(recipe.file),
        remedy=f'Use "patterns", "palette", a colour like "#3b5b7a", or one of {", ".join(names)}.',
    )


def is_colour(wish: Wish) -> bool:
    """Tell whether a wish is a hex colour."""
    digits = wish.removeprefix("#")
    return (
        wish.startswith("#")
        and len(digits) == 6
        and all(c in "0123456789abcdefABCDEF" for c in digits)
    )
