"""Edits of steps 1 and 2: which tiles there are, where, how large, and how they repeat."""

from __future__ import annotations

from collections.abc import Sequence

from kit.recipe import Recipe
from kitloom.page.edits.editing import Edit, pattern_index, recipe_of
from kitloom.page.edits.forms import Form
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt
from patterns.plane import LATTICES


def remove_tile(bench: Bench, form: Form) -> Edit:
    """Take a tile out of the kit; its file stays."""
    recipe = recipe_of(bench)
    index = pattern_index(recipe, form)
    if len(recipe.patterns) == 1:
        raise PageError(
            "a kit needs at least one tile", where="tile", remedy="Drop another tile first."
        )
    label = recipe.patterns[index].label
    _check_no_motifs_of(recipe, [label])
    return Edit(f"removed {label}", lambda text: rt.without_pattern(text, index, label))


def remove_missing(bench: Bench, form: Form) -> Edit:
    """Take out all tiles whose files are not there."""
    del form
    recipe = recipe_of(bench)
    gone = [one.label for one in recipe.patterns if not (recipe.folder / one.file).is_file()]
    if len(gone) == len(recipe.patterns):
        raise PageError(
            "no tile of this kit is here",
            where="artwork",
            remedy="Drop its files, all at once if you like, or other tiles in their place.",
        )
    _check_no_motifs_of(recipe, gone)

    def change(text: str) -> str:
        for index in reversed(range(len(recipe.patterns))):
            label = recipe.patterns[index].label
            text = rt.without_pattern(text, index, label) if label in gone else text
        return text

    return Edit(f"removed {len(gone)} that {'is' if len(gone) == 1 else 'are'} not here", change)


def _check_no_motifs_of(recipe: Recipe, gone: Sequence[str]) -> None:
    """Refuse to take out a tile that motifs are lifted from: there would be no sheet.

    Raises:
        PageError: what takes its motifs from it.
    """
    users = [("row", n, row.source) for n, row in enumerate(recipe.rows, 1)]
    users += [("coordinate", n, one.source) for n, one in enumerate(recipe.coordinates, 1)]
    for part, number, source in users:
        if source in gone:
            raise PageError(
                f"{part} {number} takes its motifs from {source}",
                where="tile",
                remedy=f"Remove that {part} first, or give it another tile.",
            )


def exchange_tiles(bench: Bench, form: Form) -> Edit:
    """Give each of two tiles the other's stickers; both show other artwork, in windows anew."""
    recipe = recipe_of(bench)
    indices = pattern_index(recipe, form), pattern_index(recipe, form, "with")
    one, other = ((index, recipe.patterns[index].label) for index in indices)
    if one == other:
        raise PageError("is one tile, not two", where=one[1], remedy="Choose two.")
    label = f"exchanged {one[1]} and {other[1]}"
    return Edit(label, lambda text: rt.with_patterns_exchanged(text, one, other))


def set_repeat(bench: Bench, form: Form) -> Edit:
    """Set how wide one tile is on paper; its windows are other pictures then, and chosen again."""
    recipe = recipe_of(bench)
    index = pattern_index(recipe, form)
    own = form.text("repeat") != "auto"
    length = form.length("repeat", 1.0, 500.0) if own else "auto"
    name = recipe.patterns[index].label

    def change(text: str) -> str:
        after = rt.with_pattern_value(text, index, "repeat", length)
        return after if after == text else rt.without_windows(after, name)

    return Edit(f"repeat of {name} to {length}", change)


def set_lattice(bench: Bench, form: Form) -> Edit:
    """Set how a tile repeats."""
    recipe = recipe_of(bench)
    index = pattern_index(recipe, form)
    lattice = form.text("lattice")
    if lattice not in LATTICES:
        raise PageError(f'"{lattice}" is not a lattice', where="lattice", remedy="Choose another.")
    label = f"{recipe.patterns[index].label} as {lattice}"

    def change(text: str) -> str:
        text = rt.with_pattern_value(text, index, "looked", None)  # other joins than those seen
        text = rt.without_windows(text, recipe.patterns[index].label)
        return rt.with_pattern_value(text, index, "lattice", lattice)

    return Edit(label, change)


def set_accepted(bench: Bench, form: Form) -> Edit:
    """Note that the maker looked at a tile's joins and found them good, or have it asked again."""
    recipe = recipe_of(bench)
    index = pattern_index(recipe, form)
    part = recipe.patterns[index]
    if form.text("good") != "yes":
        label = f"{part.label} to be looked at again"
        return Edit(label, lambda text: rt.with_pattern_value(text, index, "looked", None))
    study = bench.cache.study(bench.request(recipe, part))
    if study.check.seamless is True:
        raise PageError(
            "there is no doubt about its joins", where=part.label, remedy="Nothing to do."
        )
    mark = bench.cache.mark(study.artwork.path)
    label = f"looked at {part.label}"
    return Edit(label, lambda text: rt.with_pattern_value(text, index, "looked", mark))
