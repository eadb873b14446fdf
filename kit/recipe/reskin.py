"""The same recipe for other patterns, another planner or another paper.

In: a recipe and what is to change. Out: a new recipe, to be laid out anew; places where the
maker put stickers stay, and ``kit.compose`` finds those that no longer fit. Of another folder, a
file that is called as one of the recipe's patterns takes that one's place; the others, in order of
their names, take the places left in order. Repeats and lattices are found again and stickers are
dealt out again, because it is other artwork. Colours written in the recipe's fills stay.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from kit.recipe.fields import check_box
from kit.recipe.model import KitPart, PatternPart, Recipe
from kit.recipe.paper import find_paper
from kit.recipe.row_keys import RowPart
from kit.recipe_error import RecipeError
from patterns.units import parse_size


@dataclass(frozen=True, slots=True)
class Binding:
    """What became of one of the recipe's pattern names: the file it stands for now."""

    name: str
    file: Path


def with_box(recipe: Recipe, box: str) -> Recipe:
    """Return the recipe for another planner's day box, such as "42mm x 50mm".

    Raises:
        LengthError: not a width and a height.
        RecipeError: no planner has such a box.
    """
    size = box_of(box)
    return recipe.model_copy(update={"planner": recipe.planner.model_copy(update={"box": size})})


def box_of(box: str) -> tuple[float, float]:
    """Return the width and height in mm of a day box that an option names.

    Raises:
        LengthError: not a width and a height.
        RecipeError: no planner has such a box.
    """
    try:
        return check_box(parse_size(box, where="--box"))
    except ValueError as error:
        what, _, remedy = str(error).partition(". ")
        raise RecipeError(what, where="--box", remedy=f"{remedy}.") from error


def with_paper(recipe: Recipe, paper: str) -> Recipe:
    """Return the recipe for another paper, such as "A4".

    Raises:
        RecipeError: no such paper.
    """
    new_paper = find_paper(paper, where="--paper")
    return recipe.model_copy(update={"sheet": recipe.sheet.model_copy(update={"paper": new_paper})})


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
    named = _named(files, labels)
    names = [name for name, _ in named]
    patterns = tuple(
        PatternPart(file=file.absolute(), name=name, repeat="auto", lattice="auto")
        for name, file in named
    )
    # with fewer files than names, the names left over start again at the first file
    without = iter(range(len(labels)))
    stands_for = {
        label: label if label in names else names[next(without) % len(names)] for label in labels
    }
    rows = tuple(_rebound(row, stands_for) for row in recipe.rows)
    tiles = tuple(dict.fromkeys(stands_for.get(one, one) for one in recipe.palette.tiles))
    palette = recipe.palette.model_copy(update={"tiles": tiles})
    where = dict(named)
    bindings = tuple(Binding(label, where[name]) for label, name in stands_for.items())
    sheet = recipe.sheet.model_copy(update={"top_up_held": ()})
    drawn = tuple(
        part.model_copy(update={"source": stands_for.get(part.source or "", part.source)})
        for part in recipe.coordinates
    )
    changed = {"patterns": patterns, "rows": rows, "palette": palette, "sheet": sheet}
    changed |= {"coordinates": drawn}
    return recipe.model_copy(update=changed), bindings


def _named(files: Sequence[Path], labels: Sequence[str]) -> list[tuple[str, Path]]:
    """Return which name each file takes: its own where the recipe has it, then one after another.

    Files beyond the recipe's names keep their own, made unique.
    """
    own = {file.stem: file for file in reversed(files) if file.stem in labels}
    others = iter([file for file in files if own.get(file.stem) is not file])
    named: list[tuple[str, Path]] = []
    for label in labels:
        file = own.get(label) or next(others, None)
        if file is not None:
            named.append((label, file))
    for index, file in enumerate(others, start=len(named) + 1):
        taken = {name for name, _ in named}
        named.append((file.stem if file.stem not in taken else f"{file.stem} {index}", file))
    return named


def _rebound(row: RowPart, stands_for: dict[str, str]) -> RowPart:
    if isinstance(row.fill, str):
        fill: str | tuple[str, ...] = stands_for.get(row.fill, row.fill)
    else:
        fill = tuple(stands_for.get(one, one) for one in row.fill)
    one = {key: getattr(row, key) for key in ("panel", "frame", "band", "source")}
    renamed = {key: stands_for.get(name, name) if name else name for key, name in one.items()}
    return row.model_copy(update={"fill": fill, **renamed, "held": ()})
