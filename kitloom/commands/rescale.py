"""``kitloom rescale``: write tiles at a physical repeat and a printer's resolution."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from kitloom.commands.calls import Needed
from kitloom.commands.options import (
    Number,
    files_argument,
    json_option,
    lattice_option,
    out_option,
    overwrite_option,
    strict_option,
)


@click.command()
@files_argument()
@click.option(
    "--repeat",
    cls=Needed,
    name_it='give the width of one tile on paper, such as "0.75in"',
    metavar="LENGTH",
    help='Width of one tile on paper, such as "0.75in".',
)
@click.option(
    "--dpi",
    type=Number(36, 2400),
    default=300.0,
    show_default=True,
    metavar="N",
    help="Pixels per inch of the written tile, 36 to 2400.",
)
@lattice_option
@out_option("Where the rescaled tiles go.", needed="name a folder for the rescaled tiles")
@strict_option
@overwrite_option
@json_option
def rescale(
    paths: tuple[Path, ...],
    repeat: str,
    dpi: float,
    lattice: str,
    out: Path,
    strict: bool,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Write each tile so that one repeat is exactly this wide on paper at this resolution.

    The tile is sampled across its own edges, so no seam is made. The file is a PNG with its
    physical resolution set.
    """
    from kit.recipe import LEAST_REPEAT_MM
    from kitloom.disk import (
        artwork_files,
        check_apart,
        positive_length,
        unique_stems,
        write_into,
    )
    from kitloom.findings import exit_status, resolution_findings
    from kitloom.present import as_json as shape
    from kitloom.present import console, show_findings, show_verdict

    repeat_mm = positive_length(repeat, "--repeat", LEAST_REPEAT_MM)
    tiles: list[dict[str, Any]] = []
    files: dict[str, bytes] = {}
    findings = []
    sources = artwork_files(paths)
    stems = unique_stems(sources)
    check_apart((out / f"{stem}.png" for stem in stems), sources)
    for path, stem in zip(sources, stems, strict=True):
        tile, content, plain = _rescale(path, repeat_mm, dpi, lattice)
        if not plain:  # one colour is as crisp at any size
            findings += resolution_findings(str(path), tile["effective_dpi"], repeat_mm)
        files[f"{stem}.png"] = content
        tiles.append(tile)
    written = write_into(out, files, reads=sources, overwrite=overwrite)
    for tile, path in zip(tiles, written, strict=True):
        tile["file"] = str(path)
    if as_json:
        click.echo(shape.text_of(shape.answer("rescale", findings, tiles=tiles)))
    else:
        screen = console()
        for tile in tiles:
            screen.print(
                f"{tile['file']}: {tile['width_px']} × {tile['height_px']} px, "
                f"{tile['repeat_mm']:.2f} mm at {tile['dpi']:.2f} dpi"
            )
        show_findings(screen, findings)
        if findings:  # joins and colours are not judged here
            show_verdict(screen, findings)
    return exit_status(findings, strict=strict)


def _rescale(
    path: Path, repeat_mm: float, dpi: float, lattice: str
) -> tuple[dict[str, Any], bytes, bool]:
    """One tile's measurements, its PNG file, and whether it is all one colour."""
    from kitloom.report import png_bytes
    from patterns.artwork import open_artwork
    from patterns.plane import rescale as rescale_pixels
    from patterns.repeats import lattice_of

    pixels = open_artwork(path).pixels
    placed = lattice_of(pixels, lattice)
    made = rescale_pixels(pixels, repeat_mm, dpi, placed)
    height, width = made.pixels.shape[:2]
    measured = {
        "source": str(path),
        "width_px": width,
        "height_px": height,
        "repeat_mm": repeat_mm,
        "lattice": placed.name,
        "dpi": round(made.dpi_x, 3),
        "effective_dpi": round(made.effective_dpi, 2),
    }
    plain = bool((pixels == pixels[:1, :1]).all())
    return measured, png_bytes(made.pixels, dpi=(made.dpi_x, made.dpi_y)), plain
