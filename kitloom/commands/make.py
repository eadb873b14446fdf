"""``kitloom make``: the whole kit, from a recipe to print files and cut files."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from kitloom.commands.options import (
    RECIPE_DOCS,
    cluster_option,
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
    help="Keep the palette, fills and positions of an earlier run's kit.lock.json.",
)
@click.option(
    "--each",
    type=click.Path(path_type=Path),
    metavar="SETS",
    help="Make a kit of each folder of artwork in this folder, each in a folder of its own.",
)
@click.option(
    "--workers",
    type=click.IntRange(1, 256),
    metavar="N",
    help="With --each: how many kits at a time; by default one for each core.",
)
@click.option(
    "--listing",
    is_flag=True,
    help="Draw two pictures for a shop's listing too: the sheets on a planner's page, and the "
    "stickers apart. A later run without it removes them.",
)
@cluster_option
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
    each: Path | None,
    workers: int | None,
    listing: bool,
    cluster: str | None,
    strict: bool,
    as_json: bool,
) -> int:
    """Make the whole kit: check artwork, choose the palette, lay out, write print and cut files.

    Writes a print PDF and PNG, cut lines as SVG, DXF and HP-GL, a layered PDF, a preview,
    palette.json and report.html. The same recipe and artwork give the same bytes. A
    second run into the same folder needs --overwrite: it replaces the earlier kit, or leaves its
    files as they are if nothing has changed.

    With --each, kits whose artwork is unchanged stay too, so a stopped run can go on. If a set
    fails, the others go on, and index.html shows all sheets and findings.
    """
    from kitloom.disk import folder_beside
    from kitloom.sets.asked import Changes

    _check_each_options(each, patterns, workers, cluster)
    changes = Changes(patterns, box, paper, name, keep, listing)
    if each is not None:
        from kitloom.sets.many import EachRequest, make_each

        kits = out or folder_beside(recipe, "-kits")
        request = EachRequest(recipe, each, kits, changes, workers, cluster)
        return make_each(request, strict=strict, overwrite=overwrite, as_json=as_json)
    folder = out or folder_beside(recipe)
    helpers = _worker_count(recipe)
    with _runner(helpers, folder) as runner:
        from kitloom.cache import KitCache, inputs_digest
        from kitloom.disk import put_right
        from kitloom.findings import exit_status
        from kitloom.present import findings_of, show_kit
        from kitloom.sets.asked import open_recipe

        put_right(folder)
        opened, notes = open_recipe(recipe, folder, changes, overwrite=overwrite)
        inputs = inputs_digest(opened, keep, listing=listing)
        cache = KitCache(folder)
        summary, written = cache.summary(inputs), cache.files
        unchanged = summary is not None
        if summary is None:
            helper = runner if helpers else None
            work = _Work(opened, notes, keep, inputs, cache, helper, listing)
            summary, written = _make(work, folder, overwrite=overwrite, quiet=as_json)
    show_kit(summary, written, unchanged=unchanged, as_json=as_json)
    return exit_status(findings_of(summary), strict=strict)


def _runner(helpers: int, folder: Path) -> Runner:
    """Return a runner whose workers, where they are of use, start before this process loads more.

    They load longest, so they begin first; where there is a kit there may be nothing to do.
    """
    from kitloom.jobs import Runner

    runner = Runner(helpers or 1, loads=WORKERS_LOAD)
    if helpers and not (folder / "kit.lock.json").exists():
        runner.start()
    return runner


def _check_each_options(
    each: Path | None, patterns: Path | None, workers: int | None, cluster: str | None
) -> None:
    """Refuse options that have no effect beside the others, rather than ignore them."""
    if each is not None and patterns is not None:
        raise click.UsageError("--patterns does not go with --each, which names all sets.")
    if each is None and (workers is not None or cluster is not None):
        option = "--cluster" if workers is None else "--workers"
        raise click.UsageError(f"{option} is for many kits: add --each SETS, or leave it out.")


def _worker_count(recipe: Path) -> int:
    """Return how many workers are worth their start, beside this process; 0 for a small kit.

    A guess from the recipe's text, so that they start while it is read; only speed depends on it.
    """
    from kitloom.system import cores

    try:
        with recipe.open("rb") as file:
            patterns = file.read(GLANCE_BYTES).count(b"[[patterns]]")
    except OSError:  # reported when it is read
        return 0
    return min(cores() - 1, patterns // TILES_A_WORKER)


class _Work(NamedTuple):
    """One kit to make: recipe, what is said of it, the lock to keep, what is known, who helps.

    ``listing`` asks for pictures for a shop too.
    """

    recipe: Recipe
    notes: list[Finding]
    keep: Path | None
    inputs: str
    cache: KitCache
    runner: Runner | None
    listing: bool


def _make(
    work: _Work, folder: Path, *, overwrite: bool, quiet: bool
) -> tuple[dict[str, Any], list[Path]]:
    """Make the kit and put its files in place; return its summary and the files."""
    from kit.compose import read_lock
    from kit.stickers import lift_ahead
    from kitloom.disk import write_set
    from kitloom.kits import make_kit
    from kitloom.make import SharedWork, kit_files, summary_of
    from kitloom.present import progress
    from kitloom.sets.asked import reads_of

    recipe, cache, runner = work.recipe, work.cache, work.runner
    keep = read_lock(work.keep) if work.keep else None
    with progress("Making", len(recipe.patterns) + 4, quiet=quiet) as tick:
        drawn: list[Finding] = []
        finish = partial(
            kit_files, tick=tick, inputs=work.inputs, tell=drawn.append, listing=work.listing
        )
        if runner is None:
            kit = make_kit(recipe, work.notes, tick, keep, study_with=cache.study)
            files = finish(kit)
        else:
            shared = SharedWork(runner, cache.verdict, partial(lift_ahead, recipe))
            kit = make_kit(
                recipe,
                work.notes,
                tick,
                keep,
                study_with=shared.study,
                choose_with=shared.choose,
                thin_with=shared.thin,
            )
            runner.close()  # the sheets need its memory
            files = finish(kit)
        reads = reads_of(recipe, work.keep)
        written = write_set(folder, files, reads=reads, overwrite=overwrite)
    return summary_of(kit.with_findings(drawn)), written
