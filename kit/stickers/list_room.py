"""Have the lines and marks that a row asks for room on its stickers?

In: a recipe, the number of a row, and the room that its stickers have in millimetres. Out:
nothing, or one line for the maker.

Not done here: where lines and marks stand (``kit.kinds.lists``).
"""

from __future__ import annotations

from dataclasses import dataclass

from kit.kinds import KINDS, LEAST_LIST_MM, LEAST_PITCH_MM, least_height_mm, most_lines
from kit.recipe import Recipe, place_in
from kit.recipe_error import RecipeError


@dataclass(frozen=True, slots=True)
class Room:
    """What a sticker has for its lines and marks.

    Attributes:
        wide_mm: the width of its panel, or its own without one.
        high_mm: the height likewise, less a title's.
        is_list: whether marks are beside the lines.
    """

    wide_mm: float
    high_mm: float
    is_list: bool


def check_room(recipe: Recipe, number: int, room: Room) -> None:
    """Refuse lines and marks that have no room on the stickers of a row (0-based).

    Raises:
        RecipeError: a list on a panel too narrow to write on, lines farther apart than the panel
            is high, or more marks than it holds.
    """
    row = recipe.rows[number]
    has_marks = KINDS[row.sticker].checks
    if room.is_list:
        _check_list(recipe, number, room)
    elif has_marks and row.words:
        raise _fault(
            recipe,
            number,
            "text",
            f"a {row.sticker} with a panel only {room.wide_mm:.1f} mm wide has no room for a title",
            f"Make its panel {LEAST_LIST_MM:g} mm wide or more (size), or take the text out.",
        )
    elif row.pitch is not None:
        count = row.checks if has_marks and row.checks else 1
        if count * row.pitch > room.high_mm + 1e-6:
            raise _too_many(recipe, number, count, int(room.high_mm // row.pitch), room.high_mm)


def _check_list(recipe: Recipe, number: int, room: Room) -> None:
    row = recipe.rows[number]
    if room.wide_mm < LEAST_LIST_MM - 1e-6:
        raise _fault(
            recipe,
            number,
            _key_of_marks(recipe, number),
            f"a panel {room.wide_mm:.1f} mm wide has no room to write beside marks",
            f"Make it {LEAST_LIST_MM:g} mm or wider (size), or take the marks out.",
        )
    count = row.checks or 1
    if least_height_mm(count, row.pitch) > room.high_mm + 1e-6:
        most = most_lines(room.high_mm, row.pitch)
        raise _too_many(recipe, number, count, most, room.high_mm)


def _too_many(recipe: Recipe, number: int, count: int, most: int, high_mm: float) -> RecipeError:
    pitch_mm = recipe.rows[number].pitch
    key = _key_of_marks(recipe, number)
    remedy = f"Set checks = {most} or fewer, or use a larger sticker."
    if pitch_mm is None:
        what = (
            f"{count} marks in {high_mm:.1f} mm stand closer than the {LEAST_PITCH_MM:g} mm that "
            "a pen needs"
        )
        if most < 1:
            remedy = "Use a larger sticker, or take the marks out."
    elif most < 1:
        key, what = "pitch", f"lines {pitch_mm:.3g} mm apart have no room in {high_mm:.1f} mm"
        remedy = 'Write less, such as "7mm", or use a larger sticker.'
    else:
        what = f"{count} marks {pitch_mm:.3g} mm apart have no room in {high_mm:.1f} mm"
    return _fault(recipe, number, key, what, remedy)


def _key_of_marks(recipe: Recipe, number: int) -> str:
    """Return the key by which a row has marks at all."""
    row = recipe.rows[number]
    if row.checks is not None:
        return "checks"
    return "panel" if row.check is None else "check"


def _fault(recipe: Recipe, number: int, key: str, what: str, remedy: str) -> RecipeError:
    return RecipeError(
        f"rows.{number + 1}.{key}: {what}",
        where=place_in(recipe, "rows", number, key),
        remedy=remedy,
    )
