"""Which kit is asked for? The recipe with what the options change, checked before any work.

Loads nothing that measures.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from kit.recipe import Recipe
    from kitloom.findings import Finding


class Changes(NamedTuple):
    """What the options ask for in place of what the recipe says."""

    patterns: Path | None
    box: str | None
    paper: str | None
    name: str | None
    keep: Path | None
    listing: bool = False  # pictures for a shop too


def open_recipe(
    path: Path, folder: Path, changes: Changes, *, overwrite: bool
) -> tuple[Recipe, list[Finding]]:
    """Read the recipe, check what can be checked without opening artwork, and apply the options.

    Args:
        path: the recipe.
        folder: where the kit is to go.
        changes: the options.
        overwrite: whether an earlier kit in the folder may be replaced.

    Raises:
        KitloomError: recipe, options or folder cannot be used.
    """
    from kit.recipe import check_files, read_recipe
    from kitloom.disk import check_earlier_set, check_inputs_apart, check_output, finish_moves

    recipe = read_recipe(path)
    check_earlier_set(folder)
    check_output(folder, reads=reads_of(recipe, changes.keep), overwrite=overwrite)
    artwork = [recipe.folder / part.file for part in recipe.patterns]
    check_inputs_apart(folder, artwork)
    finish_moves(artwork)
    recipe, notes = _reskinned(recipe, changes)
    check_inputs_apart(folder, [recipe.folder / part.file for part in recipe.patterns])
    check_files(recipe)
    return recipe, notes


def reads_of(recipe: Recipe, keep: Path | None) -> list[Path]:
    """Return every file that a run with this recipe and this lock to keep reads."""
    from kit.recipe import paths_of

    return [*paths_of(recipe), *([keep] if keep else [])]


def _reskinned(recipe: Recipe, changes: Changes) -> tuple[Recipe, list[Finding]]:
    """Apply --patterns, --box, --paper and --name; say which file took which name.

    Stickers that the maker put where they then no longer fit are laid anew, and named.
    """
    from kit.recipe import with_box, with_name, with_paper, with_patterns
    from kitloom.disk import artwork_files
    from kitloom.findings import binding_findings

    notes: list[Finding] = []
    if changes.box is not None:
        recipe = with_box(recipe, changes.box)
    if changes.paper is not None:
        recipe = with_paper(recipe, changes.paper)
    if changes.name is not None:
        recipe = with_name(recipe, changes.name)
    if changes.patterns is not None:
        recipe, bindings = with_patterns(recipe, artwork_files([changes.patterns]))
        notes = binding_findings(bindings, recipe)
    if (changes.patterns or changes.box or changes.paper) and any(row.at for row in recipe.rows):
        recipe, left = _without_misplaced(recipe)
        notes += left
    return recipe, notes


def _without_misplaced(recipe: Recipe) -> tuple[Recipe, list[Finding]]:
    from kit.compose import without_misplaced
    from kitloom.findings import place_findings
    from palette.errors import KitloomError

    try:
        fitting, gone = without_misplaced(recipe)
    except KitloomError:  # it is told where the kit is made, after all that comes before it
        return recipe, []
    return fitting, place_findings(gone, recipe)
