"""Use what was previewed: mended, repaired, recoloured and re-dressed tiles in the recipe.

In: what a form asks for. Out: a batch that, once all its tiles are there, writes each beside the
old one and names it in the recipe, in one step. The old files are never touched, and undo goes back
to them. Nothing is computed here, and nothing while the bench is locked.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

from kit.recipe import PatternPart, Recipe
from kitloom.findings import FILL_SHARE
from kitloom.page.edits import OWN, Form, new_file, recipe_of
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench, millimetres, unused_stem, with_pattern_value, with_value
from kitloom.page.work.batch import Batch, NewTiles, Plans
from kitloom.page.work.plans import (
    current_kit,
    plan_mend,
    plan_recolour,
    plan_redress,
    plan_repair,
    tiles_showing,
)
from kitloom.page.work.remaking import Preview
from kitloom.report import png_bytes


def use_mended(batch: Batch, form: Form) -> None:
    """Use the mended tile instead of the old one."""
    recipe = recipe_of(batch.bench)
    part = _part(recipe, form)
    _use(batch, f"mended {part.label}", "mended", [(part, plan_mend(batch.bench, recipe, part))])


def use_repaired(batch: Batch, form: Form) -> None:
    """Use the repaired tile, or repaired tiles for all that look different in print."""
    bench = batch.bench
    recipe, job = recipe_of(bench), current_kit(bench)
    if form.text("all") == "yes":
        dull = {used.name for used in job.patterns if used.printed.share_out_of_gamut >= FILL_SHARE}
        parts = [part for part in recipe.patterns if part.label in dull]
    else:
        parts = [_part(recipe, form)]
    names = ", ".join(part.label for part in parts)
    plans = [(part, plan_repair(bench, recipe, part)) for part in parts]
    _use(batch, f"repaired {names}", "repaired", plans)


def use_recoloured(batch: Batch, form: Form) -> None:
    """Change one colour in every tile that shows it, and in the palette."""
    bench = batch.bench
    recipe, old, new = recipe_of(bench), form.colour("colour"), form.colour("to")
    showing = tiles_showing(current_kit(bench), old)
    parts = [part for part in recipe.patterns if part.label in showing]
    plans = [(part, plan_recolour(bench, recipe, part, old, new)) for part in parts]
    _use(batch, f"{old} became {new} in {len(parts)} tiles", "recoloured", plans)


def use_redressed(batch: Batch, form: Form) -> None:
    """Use a tile, or all of them, in a whole other palette.

    Colours that were held go with the palette that they were of, once no tile wears it any more.
    """
    bench, name = batch.bench, form.text("wear")
    recipe, everything = recipe_of(bench), form.text("all") == "yes"
    parts = list(recipe.patterns) if everything else [_part(recipe, form)]
    what = f"all {len(parts)} tiles" if everything else parts[0].label
    label = f"recoloured {what} in {name}"
    plans = [(part, plan_redress(bench, recipe, part, name)) for part in parts]

    def freed(text: str) -> str:
        gone = everything and name != OWN and recipe.palette.pinned
        return with_value(text, "palette", "pinned", None) if gone else text

    _use(batch, label, "redressed", plans, freed)


def stop_preview(batch: Batch, form: Form) -> None:
    """Stop a preview that is being made."""
    batch.previews.stop(form.whole("number", 1, 999_999))


def preview_again(batch: Batch, form: Form) -> None:
    """Let a stopped preview be made after all."""
    batch.previews.again(form.whole("number", 1, 999_999))


def stop_batch(batch: Batch, form: Form) -> None:
    """Stop what is being made of several tiles."""
    del form
    batch.stop()


def _use(
    batch: Batch, label: str, word: str, plans: Plans, change_more: Callable[[str], str] = str
) -> None:
    def finish(tiles: NewTiles) -> None:
        use(batch.bench, label, word, tiles, change_more)

    batch.begin(label, plans, finish)


REMAKES: dict[str, Callable[[Batch, Form], None]] = {
    "use-mended": use_mended,
    "use-repaired": use_repaired,
    "use-recoloured": use_recoloured,
    "use-redressed": use_redressed,
    "stop-try": stop_preview,
    "try-again": preview_again,
    "stop-chore": stop_batch,
}


def _part(recipe: Recipe, form: Form) -> PatternPart:
    label = form.text("tile")
    part = next((one for one in recipe.patterns if one.label == label), None)
    if part is None:
        raise PageError(f'there is no tile "{label}"', where="tile", remedy="Choose another.")
    return part


def use(
    bench: Bench,
    label: str,
    word: str,
    tiles: NewTiles,
    change_more: Callable[[str], str] = str,
) -> None:
    """Write new tiles beside the old ones and have the recipe use them.

    Args:
        bench: whose recipe it is.
        label: what was done, for undo.
        word: what the new files' names end in.
        tiles: patterns with their previews.
        change_more: changes the recipe's text further in the same step; ``str`` leaves it as it is.

    Raises:
        PageError: nothing was made that could be used, or the tiles have changed since.
    """
    usable = [(part, one) for part, one in tiles if one.pixels is not None]
    if not usable:
        raise PageError(
            "there is nothing new to use", where=label, remedy="Mend the artwork itself."
        )
    with bench.lock:
        recipe = bench.recipe()
        now = {part.label: part.file for part in recipe.patterns} if recipe else {}
        if recipe is None or any(now.get(part.label) != part.file for part, _ in usable):
            raise PageError(
                "the tiles have changed since", where=label, remedy="Look, and try it again."
            )
        with ExitStack() as new:
            files = []
            for part, one in usable:
                place, content = _new_tile(bench, recipe, part, one, word)
                new.enter_context(new_file(place, content))
                files.append(place.relative_to(bench.workspace.folder).as_posix())

            def change(text: str) -> str:
                for (part, one), file in zip(usable, files, strict=True):
                    text = _with_tile(bench, text, part, one, file)
                return change_more(text)

            bench.edit(label, change)


def _new_tile(
    bench: Bench, recipe: Recipe, part: PatternPart, one: Preview, word: str
) -> tuple[Path, bytes]:
    """Return where a new tile will lie, under a name that nothing has, and its file's content."""
    assert one.pixels is not None
    study = bench.cache.study(bench.request(recipe, part))
    dpi = (study.artwork.dpi, study.artwork.dpi) if study.artwork.dpi else None
    taken = {path.stem for path in bench.workspace.artwork.iterdir()}
    place = bench.workspace.artwork / f"{unused_stem(f'{part.file.stem}-{word}', taken)}.png"
    return place, png_bytes(one.pixels, dpi=dpi)


def _with_tile(bench: Bench, text: str, part: PatternPart, one: Preview, file: str) -> str:
    recipe = bench.parse(text)
    labels = [other.label for other in recipe.patterns]
    index = labels.index(part.label)
    assert one.pixels is not None
    assert one.lattice is not None
    text = with_pattern_value(text, index, "name", part.label)
    text = with_pattern_value(text, index, "file", file)
    text = with_pattern_value(text, index, "looked", None)  # it was said of the old file
    text = with_pattern_value(text, index, "lattice", one.lattice.name)
    if part.repeat != "auto":  # the motifs keep their size on paper
        old = bench.cache.study(bench.request(recipe, part)).artwork.width_px
        if one.pixels.shape[1] != old:
            repeat = millimetres(part.repeat * one.pixels.shape[1] / old)
            text = with_pattern_value(text, index, "repeat", repeat)
    return text
