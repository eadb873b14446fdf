"""The same kit, other artwork: next month's tiles take the parts of last month's.

In: dropped tiles. Out: one change of the recipe, in which each new file has the part that ``kitloom
make --patterns`` gives it: one called as a tile of the kit takes that one's part, the others take
the parts left in the order of their names. Each is called as its own file is, or a maker would read
"Bees" beside moths. Repeats and lattices are found again; the files of last month stay where they
are, and one undo brings them back.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path, PurePosixPath

from kit.draft import DraftTile
from kit.recipe import Recipe, with_patterns
from kitloom.disk import folder_made
from kitloom.measure import Request, TileStudy
from kitloom.page.edits.editing import recipe_of
from kitloom.page.edits.intake import MAX_PATTERNS, Incoming, kept_suffix, measure_artwork, new_file
from kitloom.page.edits.not_artwork import not_artwork
from kitloom.page.page_error import PageError
from kitloom.page.state import (
    Bench,
    plain_stem,
    unused_stem,
    with_fills_renamed,
    with_motif,
    with_pattern,
    with_pattern_value,
    with_value,
    without_pattern,
)
from kitloom.page.state.recipe_text import without_windows
from kitloom.sets.motifs import with_liftable_motifs
from palette.errors import KitloomError


def take_other_artwork(bench: Bench, files: Sequence[Incoming]) -> list[KitloomError]:
    """Give the kit's parts to other tiles; return for each file that cannot be used, why.

    Raises:
        KitloomError: none can be used, there are too many, or the disk refuses.
    """
    recipe_of(bench)
    refused: list[KitloomError] = []
    measured: list[tuple[Incoming, TileStudy]] = []
    if len(files) > MAX_PATTERNS:
        raise PageError(
            f"{len(files)} tiles are too many",
            where="other artwork",
            remedy=f"Give {MAX_PATTERNS} at most.",
        )
    for file in sorted(files, key=lambda one: one.name.casefold()):
        try:
            other = not_artwork(file.name)
            if other is not None:
                raise other
            measured.append((file, measure_artwork(bench, file)))
        except KitloomError as error:
            refused.append(error)
    if measured:
        with bench.lock:
            _exchange(bench, measured)
    return refused


def _exchange(bench: Bench, measured: Sequence[tuple[Incoming, TileStudy]]) -> None:
    recipe = recipe_of(bench)
    taken = {path.name for path in bench.workspace.artwork.iterdir()}
    folder = bench.workspace.artwork / unused_stem("set", taken)  # so that names stay as they were
    studies: dict[Path, TileStudy] = {}
    with folder_made(folder), ExitStack() as kept:
        for file, study in measured:
            stem = unused_stem(plain_stem(file.name), {path.stem for path in studies})
            place = folder / f"{stem}{kept_suffix(file)}"
            kept.enter_context(new_file(place, file.content))
            bench.cache.keep(Request(place, study.lattice.name), study)
            studies[place] = study
        label = f"other artwork: {len(studies)} tile{'' if len(studies) == 1 else 's'}"
        bench.edit(label, lambda text: _with_other(bench, recipe, text, studies))


def _with_other(bench: Bench, recipe: Recipe, text: str, studies: dict[Path, TileStudy]) -> str:
    """Return the recipe's text with these files in the places that ``with_patterns`` gives them."""
    changed, bindings = with_patterns(recipe, list(studies))
    labels = [part.label for part in recipe.patterns]
    drawn = [name for name in recipe.fill_names if name not in labels]
    name_of = {file: unused_stem(file.stem, drawn) for file in studies}
    new = {part.label: part for part in changed.patterns}
    box, dpi = recipe.planner.box, recipe.sheet.dpi
    tiles = {
        label: DraftTile(
            PurePosixPath(part.file.relative_to(bench.workspace.folder)).as_posix(),
            bench.cache.suggested_mm(studies[part.file], box, dpi),
            studies[part.file].lattice.name,
            name_of[part.file],
        )
        for label, part in new.items()
    }
    stands_for = {one.name: name_of[one.file] for one in bindings}
    text = without_windows(with_fills_renamed(text, stands_for))
    if recipe.palette.tiles:
        giving = dict.fromkeys(stands_for[name] for name in recipe.palette.tiles)
        text = with_value(text, "palette", "tiles", list(giving))
    for index in reversed(range(len(labels))):
        tile = tiles.get(labels[index])
        if tile is None:
            text = without_pattern(text, index, labels[index])
            continue
        values = {
            "file": tile.file,
            "name": tile.name if PurePosixPath(tile.file).stem != tile.name else None,
            "repeat": f"{round(tile.repeat_mm, 2):g}mm",
            "lattice": tile.lattice,
            "looked": None,
        }
        for key, value in values.items():
            text = with_pattern_value(text, index, key, value)
    for label in new:
        if label not in labels:
            text = with_pattern(text, tiles[label])
    return _with_liftable_motifs(bench, text)


def _with_liftable_motifs(bench: Bench, text: str) -> str:
    """Return the text with each all-over from a tile that gives motifs, as the command has it."""
    recipe = bench.parse(bench.tidied(text))
    shown = with_liftable_motifs(recipe).coordinates
    for index, (was, now) in enumerate(zip(recipe.coordinates, shown, strict=True)):
        if now != was:
            text = with_motif(text, index, now.source, now.motif)
    return text
