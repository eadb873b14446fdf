"""``kitloom check``: does each tile repeat without a visible seam?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kitloom.commands.options import (
    cluster_option,
    files_argument,
    json_option,
    lattice_option,
    overwrite_option,
    resume_option,
    strict_option,
    workers_option,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitloom.measure import TileStudy


@click.command()
@files_argument()
@lattice_option
@click.option(
    "--pictures",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Write a picture of each tile with a seam or a join in doubt.",
)
@click.option(
    "--csv",
    "csv_file",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write a table, one line for each tile.",
)
@click.option(
    "--jsonl",
    "jsonl_file",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write one JSON object for each tile, one a line.",
)
@click.option(
    "--page",
    "page_file",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write one HTML page with thumbnails, the worst first.",
)
@resume_option
@workers_option
@cluster_option
@strict_option
@overwrite_option
@json_option
def check(
    paths: tuple[Path, ...],
    lattice: str,
    pictures: Path | None,
    csv_file: Path | None,
    jsonl_file: Path | None,
    page_file: Path | None,
    resume: Path | None,
    workers: int | None,
    cluster: str | None,
    strict: bool,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Judge whether tiles repeat without a visible seam, along both edges, and say where not.

    One line for each tile, the worst first. The pictures show the tile moved so that its edges
    meet inside, with the fault ringed and enlarged. Files in a folder that cannot be opened are
    reported. A library of thousands is checked with all cores, in little memory.
    """
    from kitloom.disk import artwork_files
    from kitloom.library import LIBRARY_FROM

    files = artwork_files(paths)
    outputs = (csv_file, jsonl_file, page_file)
    if len(files) >= LIBRARY_FROM or any([*outputs, resume, workers, cluster]):
        from kitloom.library.command import CheckRequest, check_library

        request = CheckRequest(files, lattice, csv_file, jsonl_file, page_file, pictures, resume)
        return check_library(
            request,
            workers,
            cluster,
            strict=strict,
            overwrite=overwrite,
            as_json=as_json,
        )
    named = {path for path in paths if not path.is_dir()}
    return _check_few(
        files, named, lattice, pictures, strict=strict, overwrite=overwrite, as_json=as_json
    )


def _check_few(
    files: Sequence[Path],
    named: set[Path],
    lattice: str,
    pictures: Path | None,
    *,
    strict: bool,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Check tiles that fit into memory all together."""
    from kitloom.disk import write_into
    from kitloom.findings import exit_status, tile_findings, unreadable_finding
    from kitloom.measure import Request, study, study_all
    from kitloom.present import as_json as shape
    from kitloom.present import progress, show_tiles
    from patterns.artwork_error import ArtworkError

    def study_or_error(request: Request) -> TileStudy | ArtworkError:
        try:
            return study(request)
        except ArtworkError as error:
            if request.path in named:
                raise
            return error

    with progress("Checking", len(files), quiet=as_json) as tick:
        done = list(study_all([Request(path, lattice) for path in files], study_or_error, tick))
    findings = [
        found
        for path, one in zip(files, done, strict=True)
        for found in (
            [unreadable_finding(str(path), one.what, one.why)]
            if isinstance(one, ArtworkError)
            else tile_findings(one)
        )
    ]
    studies = [one for one in done if not isinstance(one, ArtworkError)]
    if pictures is not None:
        write_into(pictures, _seam_pictures(studies), reads=files, overwrite=overwrite)
    tiles: list[dict[str, Any]] = [shape.tile_dict(tile) for tile in studies]
    if as_json:
        click.echo(shape.text_of(shape.answer("check", findings, tiles=tiles)))
    else:
        show_tiles(tiles, findings)
    return exit_status(findings, strict=strict)


def _seam_pictures(studies: list[TileStudy]) -> dict[str, bytes]:
    """PNG files of the joins that show or are in doubt, named after their tiles."""
    from kitloom.disk import unique_stems
    from kitloom.report import picture_bytes
    from patterns.seams import seam_picture

    files: dict[str, bytes] = {}
    stems = unique_stems([tile.artwork.path for tile in studies])
    for tile, stem in zip(studies, stems, strict=True):
        if tile.check.seamless is not True:
            files[f"{stem}.seam.png"] = picture_bytes(seam_picture(tile.artwork.pixels, tile.check))
    return files
