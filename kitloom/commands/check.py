"""``kitloom check``: does each tile repeat without a visible seam?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from kitloom.options import (
    files_argument,
    json_option,
    lattice_option,
    overwrite_option,
    strict_option,
)

if TYPE_CHECKING:
    from rich.table import Table

    from kitloom.findings import Finding
    from kitloom.studies import TileStudy
    from patterns.seams import AxisCheck


@click.command()
@files_argument()
@lattice_option
@click.option(
    "--pictures",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Write a picture of each tile whose join shows or is in doubt.",
)
@strict_option
@overwrite_option
@json_option
def check(
    paths: tuple[Path, ...],
    lattice: str,
    pictures: Path | None,
    strict: bool,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Judge whether tiles repeat without a visible seam, along both edges, and say where not.

    One line a tile, the worst first. The pictures show the tile rolled by half, its join in the
    middle, with the fault ringed and enlarged.
    """
    from kitloom.files import write_into
    from kitloom.findings import exit_status
    from kitloom.findings.tiles import opening_findings, repeat_findings, seam_findings
    from kitloom.inputs import artwork_files
    from kitloom.present import as_json as shape
    from kitloom.present.terminal import progress
    from kitloom.studies import Request, study, study_all

    requests = [Request(path, lattice) for path in artwork_files(paths)]
    with progress("Checking", len(requests), quiet=as_json) as tick:
        studies = list(study_all(requests, study, tick))
    findings = [
        one
        for tile in studies
        for one in (
            *seam_findings(tile.subject, tile.check),
            *repeat_findings(tile.subject, tile.repeat, tile.artwork),
            *opening_findings(tile.subject, tile.artwork),
        )
    ]
    if pictures is not None:
        write_into(pictures, _seam_pictures(studies), overwrite=overwrite)
    if as_json:
        tiles = [shape.tile_dict(tile) for tile in studies]
        click.echo(shape.text_of(shape.answer("check", findings, tiles=tiles)))
    else:
        _show(studies, findings)
    return exit_status(findings, strict=strict)


def _seam_pictures(studies: list[TileStudy]) -> dict[str, bytes]:
    """PNG files of the joins that show or are in doubt, named after their tiles."""
    from kitloom.inputs import unique_stems
    from kitloom.pictures import png_bytes
    from patterns.seam_picture import seam_picture

    files: dict[str, bytes] = {}
    stems = unique_stems([tile.artwork.path for tile in studies])
    for tile, stem in zip(studies, stems, strict=True):
        if tile.check.seamless is not True:
            files[f"{stem}.seam.png"] = png_bytes(seam_picture(tile.artwork.pixels, tile.check))
    return files


_WORDS = {True: "[green]seamless[/]", False: "[bold red]seam[/]", None: "[yellow]unsure[/]"}


def _show(studies: list[TileStudy], findings: list[Finding]) -> None:
    from kitloom.present.terminal import console, show_findings, show_verdict

    screen = console()
    screen.print(_table(studies))
    show_findings(screen, findings, notes=len(studies) == 1)
    show_verdict(screen, findings)


def _table(studies: list[TileStudy]) -> Table:
    """One line a tile, the surest seam first."""
    from rich.markup import escape
    from rich.table import Table

    table = Table(box=None, pad_edge=False, header_style="dim")
    for column in ("verdict", "tile", "size", "left and right", "top and bottom", "lattice"):
        table.add_column(column, overflow="fold")
    ranks = {False: 0, None: 1, True: 2}
    for tile in sorted(
        studies,
        key=lambda one: (ranks[one.check.seamless], -max(one.check.x.score, one.check.y.score)),
    ):
        table.add_row(
            _WORDS[tile.check.seamless],
            escape(tile.subject),
            f"{tile.artwork.width_px} x {tile.artwork.height_px} px",
            _axis(tile.check.x),
            _axis(tile.check.y),
            tile.lattice.name,
        )
    return table


def _axis(axis: AxisCheck) -> str:
    if not axis.faults:
        return axis.verdict
    worst = max(axis.faults, key=lambda fault: fault.shift_de2000)
    return f"{axis.verdict}: {worst.kind}, {worst.from_px}-{worst.to_px} px"
