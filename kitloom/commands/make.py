"""``kitloom make``: the whole kit, from a recipe to print files and cut files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from kitloom.commands.options import (
    RECIPE_DOCS,
    json_option,
    out_option,
    overwrite_option,
    strict_option,
)

if TYPE_CHECKING:
    from kit.recipe import Recipe
    from kitloom.cache import KitCache
    from kitloom.findings import Finding
    from kitloom.jobs import Runner

GLANCE_BYTES = 1_000_000
TILES_A_WORKER = 6  # in the second that a worker needs to start, about as many are measured
WORKERS_LOAD = ("kitloom.measure", "scipy.ndimage", "sklearn.cluster")


@click.command(epilog=RECIPE_DOCS)
@click.argument("recipe", type=click.Path(path_type=Path))
@out_option("Where the files go; by default a folder named after the recipe, beside it.")
@overwrite_option
@click.option(
    "--patterns",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Use this folder's artwork instead of the recipe's.",
)
@click.option("--box", metavar='"W x H"', help='Another planner\'s day box, such as "42mm x 50mm".')
@click.option("--paper", metavar="NAME", help='Another paper, such as "A4" or "8.5in x 11in".')
@click.option("--name", metavar="NAME", help="Another name for the kit, as its title.")
@click.option(
    "--keep",
    type=click.Path(path_type=Path),
    metavar="LOCK",
    help="Keep the palette, fills and offsets of an earlier run's kit.lock.json.",
)
@strict_option
@json_option
def make(
    recipe: Path,
    out: Path | None,
    overwrite: bool,
    patterns: Path | None,
    box: str | None,
    paper: str | None,
    name: str | None,
    keep: Path | None,
    strict: bool,
    as_json: bool,
) -> int:
    """Make the whole kit: check artwork, choose the palette, lay out, write print and cut files.

    Writes a print PDF and PNG, cut lines as SVG, DXF and HP-GL, a layered PDF, a preview,
    palette.json and report.html. The same recipe and artwork give the same bytes; where nothing
    has changed since an earlier run into the same folder, its files stay as they are.
    """
    from kitloom.disk import folder_beside, put_right
    from kitloom.findings import exit_status
    from kitloom.jobs import Runner
    from kitloom.present import findings_of, show_kit

    folder = out or folder_beside(recipe)
    put_right(folder)
    changes = _Changes(patterns, box, paper, name, keep)
    workers = _worker_count(recipe)
    with Runner(workers or 1, loads=WORKERS_LOAD) as runner:
        if workers and not (folder / "kit.lock.json").exists():  # else nothing may be to be done
            runner.start()
        from kitloom.cache import KitCache, inputs_digest

        request, notes = _opened(recipe, folder, changes, overwrite=overwrite)
        inputs = inputs_digest(request, keep)
        cache = KitCache(folder)
        summary, written = cache.summary(inputs), cache.files
        unchanged = summary is not None
        if summary is None:
            work = _Work(request, notes, keep, inputs, cache, runner if workers else None)
            summary, written = _make(work, folder, overwrite=overwrite, quiet=as_json)
    show_kit(summary, written, unchanged=unchanged, as_json=as_json)
    return exit_status(findings_of(summary), strict=strict)


def _worker_count(recipe: Path) -> int:
    """Return how many workers are worth their start, beside this process; 0 for a small kit.

    A guess from the recipe's text, so that they start while it is read; only speed hangs on it.
    """
    from kitloom.system import cores

    try:
        with recipe.open("rb") as file:
            patterns = file.read(GLANCE_BYTES).count(b"[[patterns]]")
    except OSError:  # told of when it is read
        return 0
    return min(cores() - 1, patterns // TILES_A_WORKER)


class _Changes(NamedTuple):
    """What the options ask for in place of what the recipe says."""

    patterns: Path | None
    box: str | None
    paper: str | None
    name: str | None
    keep: Path | None


def _opened(
    path: Path, folder: Path, changes: _Changes, *, overwrite: bool
) -> tuple[Recipe, list[Finding]]:
    """Read the recipe, check what can be checked without opening artwork, and apply the options."""
    from kit.recipe import check_files, read_recipe
    from kitloom.disk import check_inputs_apart, check_output, finish_moves

    recipe = read_recipe(path)
    check_output(folder, reads=_reads(recipe, changes.keep), overwrite=overwrite)
    artwork = [recipe.folder / part.file for part in recipe.patterns]
    check_inputs_apart(folder, artwork)
    finish_moves(artwork)
    recipe, notes = _reskinned(recipe, changes)
    check_inputs_apart(folder, [recipe.folder / part.file for part in recipe.patterns])
    check_files(recipe)
    return recipe, notes


def _reads(recipe: Recipe, keep: Path | None) -> list[Path]:
    from kit.recipe import paths_of

    return [*paths_of(recipe), *([keep] if keep else [])]


class _Work(NamedTuple):
    """One kit to make: recipe, what is said of it, the lock to keep, what is known, who helps."""

    recipe: Recipe
    notes: list[Finding]
    keep: Path | None
    inputs: str
    cache: KitCache
    runner: Runner | None


def _make(
    work: _Work, folder: Path, *, overwrite: bool, quiet: bool
) -> tuple[dict[str, Any], list[Path]]:
    """Make the kit and put its files in place; return its summary and the files."""
    from kit.compose import read_lock
    from kitloom.disk import write_set
    from kitloom.kits import make_kit
    from kitloom.make import SharedWork, kit_files, summary_of
    from kitloom.present import progress

    recipe, cache, runner = work.recipe, work.cache, work.runner
    keep = read_lock(work.keep) if work.keep else None
    with progress("Making", len(recipe.patterns) + 4, quiet=quiet) as tick:
        if runner is None:
            kit = make_kit(recipe, work.notes, tick, keep, study_with=cache.study)
        else:
            shared = SharedWork(runner, cache.verdict)
            kit = make_kit(
                recipe,
                work.notes,
                tick,
                keep,
                study_with=shared.study,
                choose_with=shared.choose,
            )
            runner.close()  # its memory is wanted for the sheets
        drawn: list[Finding] = []
        files = kit_files(kit, tick, work.inputs, drawn.append)
        reads = _reads(recipe, work.keep)
        written = write_set(folder, files, reads=reads, overwrite=overwrite)
    return summary_of(kit.with_findings(drawn)), written


def _reskinned(recipe: Recipe, changes: _Changes) -> tuple[Recipe, list[Finding]]:
    """Apply --patterns, --box, --paper and --name; say which file took which name."""
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
    return recipe, notes
