"""The same recipe for other patterns, another planner or another paper.

In: a recipe and what is to change. Out: a new recipe; nothing in a recipe is an absolute position,
so the layout simply follows. Another folder's files, in order of their names, take the places of
the recipe's patterns in order; their repeats and lattices are found anew, because they are other
artwork. Colours written in the recipe stay as they are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from kit.errors import RecipeError
from kit.paper import paper_named
from kit.recipe import KitPart, PatternPart, Recipe
from kit.recipe_rows import RowPart
from patterns.units import parse_size


@dataclass(frozen=True, slots=True)
class Binding:
    """What became of one of the recipe's pattern names: the file it stands for now."""

    name: str
    file: Path


def with_box(recipe: Recipe, box: str) -> Recipe:
    """Return the recipe for another planner's day box, such as "38mm x 50mm".

    Raises:
        LengthError: not a width and a height.
        RecipeError: one of them is not more than nothing.
    """
    size = parse_size(box, where="--box")
    if min(size) <= 0:
        raise RecipeError(
            f'"{box}" is not a size', where="--box", remedy='Write it like "40mm x 52mm".'
        )
    return recipe.model_copy(update={"planner": recipe.planner.model_copy(update={"box": size})})


def with_paper(recipe: Recipe, paper: str) -> Recipe:
    """Return the recipe for another paper, such as "A4".

    Raises:
        RecipeError: no such paper.
    """
    found = paper_named(paper, where="--paper")
    return recipe.model_copy(update={"sheet": recipe.sheet.model_copy(update={"paper": found})})


def with_name(recipe: Recipe, name: str) -> Recipe:
    """Return the recipe under another name.

    Raises:
        RecipeError: empty, or longer than a recipe's name may be.
    """
    try:
        # by the model's own field, so that the same limits hold
        named = KitPart(**{**recipe.kit.model_dump(), "name": name.strip()})
    except ValidationError as error:
        raise RecipeError(
            "is too long for a name", where="--name", remedy="Use 120 characters at most."
        ) from error
    if not named.name:
        raise RecipeError("is empty", where="--name", remedy='Write it like "Autumn week".')
    return recipe.model_copy(update={"kit": named})


def with_patterns(recipe: Recipe, files: Sequence[Path]) -> tuple[Recipe, tuple[Binding, ...]]:
    """Return the recipe with other artwork, and which file each of its names stands for now.

    Args:
        recipe: the recipe; its patterns' names stay usable in its rows.
        files: one or more artwork files, in the order in which they take the names.
    """
    labels = [part.label for part in recipe.patterns]
    names = _names(files, labels)
    patterns = tuple(
        PatternPart(file=file.absolute(), name=name, repeat="auto", lattice="auto")
        for name, file in zip(names, files, strict=True)
    )
    # with fewer files than names, the names left over start again at the first file
    stands_for = {label: names[i % len(names)] for i, label in enumerate(labels)}
    rows = tuple(_rebound(row, stands_for) for row in recipe.rows)
    tiles = tuple(dict.fromkeys(stands_for.get(one, one) for one in recipe.palette.tiles))
    palette = recipe.palette.model_copy(update={"tiles": tiles})
    where = dict(zip(names, files, strict=True))
    bindings = tuple(Binding(label, where[name]) for label, name in stands_for.items())
    changed = {"patterns": patterns, "rows": rows, "palette": palette}
    return recipe.model_copy(update=changed), bindings


def _names(files: Sequence[Path], labels: Sequence[str]) -> list[str]:
    """The recipe's names for as many files as it has names, then the files' own, made unique."""
    names = list(labels[: len(files)])
    for index, file in enumerate(files[len(labels) :], start=len(labels) + 1):
        names.append(file.stem if file.stem not in names else f"{file.stem} {index}")
    return names


def _rebound(row: RowPart, stands_for: dict[str, str]) -> RowPart:
    if isinstance(row.fill, str):
        fill: str | tuple[str, ...] = stands_for.get(row.fill, row.fill)
    else:
        fill = tuple(stands_for.get(one, one) for one in row.fill)
    panel = stands_for.get(row.panel, row.panel) if row.panel else row.panel
    return row.model_copy(update={"fill": fill, "panel": panel})
