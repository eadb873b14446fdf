"""``kitloom make``: the whole kit, from a recipe to print files and cut files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from kitloom.options import json_option, out_option, overwrite_option, strict_option

if TYPE_CHECKING:
    from kit.recipe import Recipe
    from kitloom.findings import Finding
    from kitloom.job import Job
    from kitloom.studies import TileStudy


@click.command()
@click.argument("recipe", type=click.Path(path_type=Path))
@out_option("Where the files go; by default a folder named after the recipe, beside it.")
@overwrite_option
@click.option(
    "--patterns",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Use this folder's artwork instead of the recipe's.",
)
@click.option("--box", metavar='"W x H"', help='Another planner\'s day box, such as "38mm x 50mm".')
@click.option("--paper", metavar="NAME", help='Another paper, such as "A4" or "8.5in x 11in".')
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
    keep: Path | None,
    strict: bool,
    as_json: bool,
) -> int:
    """Make the whole kit: check artwork, choose the palette, lay out, write print and cut files.

    Writes a print PDF and PNG, cut paths as SVG and DXF, a layered PDF, a preview, palette.json and
    report.html. The same recipe and artwork give the same bytes.
    """
    from kit.lock import read_lock
    from kit.recipe import read_recipe
    from kitloom.files import check_inputs_apart, check_output, write_set
    from kitloom.findings import exit_status
    from kitloom.job import make_kit
    from kitloom.outputs import kit_files
    from kitloom.present.terminal import progress

    folder = out or recipe.with_suffix("")
    wanted = read_recipe(recipe)
    check_output(folder, overwrite=overwrite)
    check_inputs_apart(folder, [wanted.folder / part.file for part in wanted.patterns])
    wanted, notes = _reskinned(wanted, patterns, box, paper)
    with progress("Making", len(wanted.patterns) + 4, quiet=as_json) as tick:
        job = make_kit(wanted, notes, tick, read_lock(keep) if keep else None)
        files = kit_files(job, tick)
        written = write_set(folder, files, overwrite=overwrite)
    _tell(job, written, as_json=as_json)
    return exit_status(job.findings, strict=strict)


def _reskinned(
    recipe: Recipe, patterns: Path | None, box: str | None, paper: str | None
) -> tuple[Recipe, list[Finding]]:
    """Apply --patterns, --box and --paper; say which file took which name."""
    from kit.reskin import with_box, with_paper, with_patterns
    from kitloom.findings.sheets import binding_findings
    from kitloom.inputs import artwork_files

    notes: list[Finding] = []
    if box is not None:
        recipe = with_box(recipe, box)
    if paper is not None:
        recipe = with_paper(recipe, paper)
    if patterns is not None:
        recipe, bindings = with_patterns(recipe, artwork_files([patterns]))
        notes = binding_findings(bindings, recipe)
    return recipe, notes


def _tell(job: Job, written: list[Path], *, as_json: bool) -> None:
    from kitloom.present import as_json as shape

    if as_json:
        click.echo(shape.text_of(job_answer(job, written)))
    else:
        _show(job, written)


def job_answer(job: Job, written: list[Path]) -> dict[str, object]:
    """Return the ``--json`` object of ``make``."""
    from kitloom.present import as_json as shape

    return shape.answer(
        "make",
        job.findings,
        files=[str(path) for path in written],
        sheets=[shape.sheet_dict(sheet) for sheet in job.kit.sheets],
        tiles=[_tile(used.study) for used in job.patterns],
        palette=shape.palette_dicts(job.judged.palette, job.judged.fitness),
        pairs=shape.pair_dicts(job.judged.pairs),
        colours=shape.colour_dicts(job.judged.colours),
        fills=[
            shape.fill_dict(used.study.subject, used.printed, used.plane.effective_dpi)
            for used in job.patterns
        ],
        windows=shape.window_dicts(job.kit.windows),
    )


def _tile(study: TileStudy) -> dict[str, object]:
    """One tile's measurements, without the repeats inside it: a kit has no use for them."""
    from kitloom.present import as_json as shape

    return {key: value for key, value in shape.tile_dict(study).items() if key != "repeat"}


def _show(job: Job, written: list[Path]) -> None:
    from rich.markup import escape

    from kitloom.present.terminal import block, console, counted, show_findings, show_verdict

    screen = console()
    name = job.recipe.kit.name or job.recipe.file.stem
    stickers = sum(len(sheet.placements) for sheet in job.kit.sheets)
    paper = job.recipe.sheet.paper
    sheets = len(job.kit.sheets)
    screen.print(
        f"[bold]{escape(name)}[/]: {counted(stickers, 'sticker')} on "
        f"{counted(sheets, 'sheet')} of {paper.name}"
    )
    screen.print(" ".join(block(swatch.hex, 3) for swatch in job.judged.palette.swatches))
    seamless = sum(used.study.check.seamless is True for used in job.patterns)
    screen.print(f"{seamless} of {len(job.patterns)} tiles repeat without a visible seam")
    show_findings(screen, job.findings, notes=False)
    screen.print(f"written to {escape(str(written[0].parent))}:")
    for path in written:
        screen.print(f"  {path.name}  [dim]{_size(path.stat().st_size)}[/]")
    show_verdict(screen, job.findings)


def _size(size: int) -> str:
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{max(1, round(size / 1e3))} kB"
