"""What is written on a row's stickers, and at which size: one size for the whole row.

In: a row, its kind and its stickers' size in millimetres. Out: the size of its type in points: the
one the recipe states, or the largest at which the row's longest words still fit.

Not done here: drawing letters (``kit.letters.lettering``), or choosing their ink
(``kit.stickers.dressing``).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from kit.kinds import Kind
from kit.letters import face_of, fitting_pt, unknown_characters, width_ems
from kit.recipe import RowPart
from kit.recipe_error import RecipeError
from kit.shapes import Rect, bounding_box
from patterns.units import MM_PER_POINT

PANEL_MARGIN_MM = 1.5
BAND_ASIDE_MM, BAND_ABOVE_MM = 2.0, 1.4  # of white round words on a pattern
LEAST_EVEN_PT = 8.0  # words get no smaller for an even border (common practice, no source)


def words_area(kind: Kind, box: Rect, border_mm: float, clear_mm: float = 0.0) -> Rect:
    """Return where words go in a box: on the panel where it has one (a border over 0).

    Args:
        kind: the sticker's.
        box: its cut box.
        border_mm: round its panel; 0 without one.
        clear_mm: how far stitches should keep from the cut; words keep inside them.

    Raises:
        ValueError: the kind has no room for words.
    """
    if border_mm > 0.0:
        return box.grow(-border_mm - PANEL_MARGIN_MM)
    if kind.words is None:
        raise ValueError(f"a {kind.name} has no room for words")
    area = kind.words(box)
    moved_mm = max(0.0, _sewn_mm(kind, box, clear_mm) - _sewn_mm(kind, box, 0.0))
    return area.grow(-moved_mm)


def _sewn_mm(kind: Kind, box: Rect, clear_mm: float) -> float:
    """Return how far a kind's stitches lie inside its box; 0 where it has none."""
    threads = kind.threads(box, 0.0, clear_mm)
    return min((bounding_box(one).x_mm - box.x_mm for one in threads), default=0.0)


def text_pt(
    row: RowPart,
    size_mm: tuple[float, float],
    border_mm: float,
    area: Rect,
    *,
    where: Callable[[str], str],
    name: str,
    clear_mm: float = 0.0,
    font: Path | None = None,
) -> float:
    """Return the size of a row's type in points; 0 where it has no words.

    Args:
        row: the row.
        size_mm: its stickers' width and height.
        border_mm: round its panel; 0 without one.
        area: where its words go.
        where: returns where a key of the row is in the recipe, for errors.
        name: the row's name, for errors, such as "rows.3".
        clear_mm: how far words, or the white behind them, should keep from the cut. Where a size
            of ``LEAST_EVEN_PT`` or more does, they get no larger.
        font: the maker's own, if there is one.

    Raises:
        RecipeError: words that the font has no letters for, or that do not fit at the stated size.
    """
    if not row.words:
        return 0.0
    for words in row.words:
        unknown = unknown_characters(words, font)
        if unknown:
            raise RecipeError(
                f'{name}.text: the font has no letter for "{unknown}" in "{words}"',
                where=where("text"),
                remedy='Write it with other letters, or name a font that has it: font = "..." in '
                "[letters].",
            )
    fits = fitting_pt(row.words, area.width_mm, area.height_mm, font)
    if row.text_size is None:
        even = fits if border_mm > 0.0 else _even_pt(row, size_mm, clear_mm, font)
        return min(fits, even) if even >= LEAST_EVEN_PT else fits
    size_pt = row.text_size / MM_PER_POINT
    longest = max(row.words, key=lambda one: width_ems(one, font))
    if width_ems(longest, font) * row.text_size > area.width_mm + 1e-6:
        raise RecipeError(
            f'{name}.text_size: "{longest}" is wider than its {row.sticker} at {size_pt:.1f} pt',
            where=where("text_size"),
            remedy=f'Set text_size to at most "{fits:.1f}pt", or use a larger sticker.',
        )
    return size_pt


def _even_pt(
    row: RowPart, size_mm: tuple[float, float], clear_mm: float, font: Path | None
) -> float:
    """Return the largest type that keeps a row's words ``clear_mm`` from the cut all round."""
    behind = any(on_artwork(wish) for wish in row.wishes)
    aside_mm, above_mm = (BAND_ASIDE_MM, BAND_ABOVE_MM) if behind else (0.0, 0.0)
    wide = size_mm[0] - 2.0 * (clear_mm + aside_mm)
    high = size_mm[1] - 2.0 * (clear_mm + above_mm)
    widest = max(width_ems(one, font) for one in row.words) or 1.0
    return min(wide / widest, high / face_of(font).cap_height) / MM_PER_POINT


def on_artwork(wish: str) -> bool:
    """Tell whether a wish is for a pattern, on which words get a white band."""
    return wish != "palette" and not wish.startswith("#")
