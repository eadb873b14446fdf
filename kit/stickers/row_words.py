"""What is written on a row's stickers, and at which size: one size for the whole row.

In: a row, its kind and its stickers' size in millimetres. Out: the size of its type in points: the
one the recipe states, or the largest at which the row's longest words still fit.

Not done here: drawing letters (``kit.letters.lettering``), or choosing their ink
(``kit.stickers.dressing``).
"""

from __future__ import annotations

from kit.kinds import KINDS, Kind
from kit.letters import fitting_pt, unknown_characters, width_ems
from kit.recipe import RowPart
from kit.recipe_error import RecipeError
from kit.shapes import Rect
from patterns.units import MM_PER_POINT

PANEL_MARGIN_MM = 1.5


def words_area(kind: Kind, box: Rect, border_mm: float) -> Rect:
    """Return where words go in a box: on the panel where it has one (a border over 0).

    Raises:
        ValueError: the kind has no room for words.
    """
    if border_mm > 0.0:
        return box.grow(-border_mm - PANEL_MARGIN_MM)
    if kind.words is None:
        raise ValueError(f"a {kind.name} has no room for words")
    return kind.words(box)


def text_pt(
    row: RowPart, size_mm: tuple[float, float], border_mm: float, *, where: str, name: str
) -> float:
    """Return the size of a row's type in points; 0 where it has no words.

    Args:
        row: the row.
        size_mm: its stickers' width and height.
        border_mm: round its panel; 0 without one.
        where: the recipe's name, for errors.
        name: the row's name, for errors, such as "rows.3".

    Raises:
        RecipeError: words that the font has no letters for, or that do not fit at the stated size.
    """
    if not row.words:
        return 0.0
    for words in row.words:
        unknown = unknown_characters(words)
        if unknown:
            raise RecipeError(
                f'{name}.text: the font has no letter for "{unknown}" in "{words}"',
                where=where,
                remedy="Write it with other letters, or draw it as a picture.",
            )
    area = words_area(KINDS[row.sticker], Rect(0.0, 0.0, *size_mm), border_mm)
    fits = fitting_pt(row.words, area.width_mm, area.height_mm)
    if row.text_size is None:
        return fits
    size_pt = row.text_size / MM_PER_POINT
    longest = max(row.words, key=width_ems)
    if width_ems(longest) * row.text_size > area.width_mm + 1e-6:
        raise RecipeError(
            f'{name}.text_size: "{longest}" is wider than its {row.sticker} at {size_pt:.1f} pt',
            where=where,
            remedy=f'Set text_size to at most "{fits:.1f}pt", or use a larger sticker.',
        )
    return size_pt
