"""What one edit is: what was done in the maker's words, and a change of the recipe's text.

In: the bench and a form. Out: what the form is about, as the recipe has it now; what is no longer
there, because another tab has changed the kit, is refused.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from kit.recipe import Recipe, RowPart
from kitloom.kits import JudgedKit
from kitloom.page.edits.forms import Form
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.present import plural

Change = Callable[[str], str]
LONGEST = 20_000  # of the names of all stickers that a kit may have


@dataclass(frozen=True, slots=True)
class Edit:
    """One edit.

    Attributes:
        label: what was done, for undo.
        change: from the old recipe text to the new.
    """

    label: str
    change: Change


def recipe_of(bench: Bench) -> Recipe:
    """Return the recipe.

    Raises:
        KitloomError: there is none, or it is broken.
    """
    recipe = bench.recipe()
    if recipe is None:
        raise bench.fault() or PageError(
            "there is no kit yet", where="kit", remedy="Drop some artwork first."
        )
    return recipe


def drawn_kit(bench: Bench) -> JudgedKit:
    """Return the kit of the recipe as it is.

    Raises:
        PageError: it is still being drawn, or cannot be.
    """
    job = bench.shown_kit()
    if job is None:
        raise PageError(
            "is still being drawn", where="the sheet", remedy="Wait a moment, then try again."
        )
    return job


def pattern_index(recipe: Recipe, form: Form, key: str = "tile") -> int:
    """Return the number of the pattern that the form's "tile", or another field, names.

    Raises:
        PageError: there is none of that name.
    """
    label = form.text(key)
    for index, part in enumerate(recipe.patterns):
        if part.label == label:
            return index
    raise PageError(
        f'there is no tile "{label}" any more', where="tile", remedy="Choose another tile."
    )


def row_of(bench: Bench, form: Form) -> tuple[int, RowPart]:
    """Return the row that the form is about, with its number.

    Raises:
        PageError: there are more or fewer rows now than the form was made for.
    """
    recipe = recipe_of(bench)
    index = form.whole("row")
    if index >= len(recipe.rows) or form.whole("of", 1) != len(recipe.rows):
        raise PageError(
            "that row is not where it was",
            where="rows",
            why="the kit was changed since, perhaps in another tab",
            remedy="Look at the rows as they are now, and change it again.",
        )
    return index, recipe.rows[index]


def sticker_of(bench: Bench, form: Form) -> tuple[int, RowPart, int]:
    """Return the row, and the place in it, of the sticker that the form is about.

    Raises:
        PageError: it is not there any more.
    """
    index, row = row_of(bench, form)
    place = form.whole("place")
    if place >= row.count:
        raise PageError("that sticker is gone", where="sheet", remedy="Choose another sticker.")
    return index, row, place


def stickers_of(bench: Bench, form: Form) -> dict[int, list[int]]:
    """Return the stickers that the form is about: by row, their places in it, in order.

    It names several as "0.2 1.0", a row and a place each; or else one, by "row" and "place".

    Raises:
        PageError: none is named, or one is not there any more.
    """
    if not form.has("stickers"):
        index, _, place = sticker_of(bench, form)
        return {index: [place]}
    named = form.text("stickers", longest=LONGEST)
    if not re.fullmatch(r"\d{1,5}\.\d{1,5}( \d{1,5}\.\d{1,5})*", named):
        raise PageError(
            "no sticker is chosen", where="sheet", remedy="Choose some with Shift and a click."
        )
    rows = recipe_of(bench).rows
    found: dict[int, set[int]] = {}
    for one in named.split():
        index, place = map(int, one.split("."))
        if form.whole("of", 1) != len(rows) or index >= len(rows) or place >= rows[index].count:
            raise PageError(
                "a chosen sticker is gone", where="sheet", remedy="Choose the stickers again."
            )
        found.setdefault(index, set()).add(place)
    return {index: sorted(places) for index, places in sorted(found.items())}


def named(bench: Bench, chosen: Mapping[int, Sequence[int]]) -> str:
    """Name stickers in the maker's words: one by its place, several by how many."""
    if sum(map(len, chosen.values())) > 1:
        return plural(sum(map(len, chosen.values())), "sticker")
    ((index, (place,)),) = chosen.items()
    return f"{recipe_of(bench).rows[index].sticker} {place + 1}"
