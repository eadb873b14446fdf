"""``kitloom lift``: whole motifs out of tiles, as pictures on a clear ground."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kitloom.commands.options import (
    files_argument,
    json_option,
    lattice_option,
    out_option,
    overwrite_option,
    strict_option,
)

if TYPE_CHECKING:
    from kitloom.measure import Request
    from patterns.lift import Lift

LEAST_MM = 2.0  # smaller, nobody peels a sticker off


@click.command()
@files_argument()
@out_option("Where the motifs go.", needed="name a folder for the motifs")
@click.option(
    "--size",
    metavar="LENGTH",
    help='How long each motif\'s longer side is on paper, such as "25mm"; left out, as large as '
    "it prints at 300 pixels per inch.",
)
@lattice_option
@strict_option
@overwrite_option
@json_option
def lift(
    paths: tuple[Path, ...],
    out: Path,
    size: str | None,
    lattice: str,
    strict: bool,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Take whole motifs out of tiles, each once, as PNG without the ground.

    Motifs that cross the tile's edges come out whole. The largest and most different come first.
    The ground must be one plain colour, and the motifs must stand apart on it; from washes and
    crowded tiles nothing can be lifted, and it says so. For motifs on a sheet, a recipe has
    stickers of the kind "motif".
    """
    from rich.markup import escape

    from kitloom.disk import (
        artwork_files,
        check_apart,
        positive_length,
        unique_stems,
        write_into,
    )
    from kitloom.findings import coarse_motif_findings, exit_status, lift_findings
    from kitloom.measure import Request, study_all
    from kitloom.present import as_json as shape
    from kitloom.present import console, progress, show_findings, show_verdict

    size_mm = None if size is None else positive_length(size, "--size", LEAST_MM)
    sources = artwork_files(paths)
    stems = unique_stems(sources)
    check_apart((out / f"{stem}-1.png" for stem in stems), sources)
    with progress("Lifting", len(sources), quiet=as_json) as tick:
        lifts = list(study_all([Request(path, lattice) for path in sources], _lift, tick))
    findings = lift_findings(dict(zip(map(str, sources), lifts, strict=True)))
    files: dict[str, bytes] = {}
    tiles: list[dict[str, Any]] = []
    for path, stem, one in zip(sources, stems, lifts, strict=True):
        motifs, pictures = _pictures(one, stem, size_mm)
        files |= pictures
        if size_mm is not None:
            dpis = [(motif["file"], motif["dpi"]) for motif in motifs]
            findings += coarse_motif_findings(str(path), size_mm, dpis)
        for motif in motifs:
            motif["file"] = str(out / motif["file"])
        tiles.append({"source": str(path), "why_none": one.why_none or None, "motifs": motifs})
    if files:
        write_into(out, files, reads=sources, overwrite=overwrite)
    if as_json:
        click.echo(shape.text_of(shape.answer("lift", findings, tiles=tiles)))
    else:
        screen = console()
        for path, one, tile in zip(sources, lifts, tiles, strict=True):
            screen.print(f"{escape(str(path))}: {_in_words(one, tile['motifs'])}")
        if files:
            screen.print(f"[green]wrote[/] {len(files)} pictures to {escape(str(out))}")
        show_findings(screen, findings)
        show_verdict(screen, findings)
    return exit_status(findings, strict=strict)


def _lift(request: Request) -> Lift:
    from patterns.artwork import open_artwork
    from patterns.lift import lift_motifs
    from patterns.repeats import lattice_of

    artwork = open_artwork(request.path)
    lattice = lattice_of(artwork.pixels, request.lattice)
    return lift_motifs(artwork.pixels, lattice, lossy=artwork.lossy)


def _pictures(
    lift: Lift, stem: str, size_mm: float | None
) -> tuple[list[dict[str, Any]], dict[str, bytes]]:
    """Return for each motif its values for JSON, and its PNG by name."""
    from kitloom.findings import CRISP_DPI
    from kitloom.report import png_bytes
    from patterns.units import MM_PER_INCH

    told: list[dict[str, Any]] = []
    files: dict[str, bytes] = {}
    for number, motif in enumerate(lift.motifs, 1):
        name = f"{stem}-{number}.png"
        high, wide = motif.alpha.shape
        dpi = CRISP_DPI if size_mm is None else max(high, wide) * MM_PER_INCH / size_mm
        files[name] = png_bytes(motif.rgba, dpi=(dpi, dpi))
        told.append(
            {
                "file": name,
                "width_px": wide,
                "height_px": high,
                "width_mm": round(wide * MM_PER_INCH / dpi, 2),
                "height_mm": round(high * MM_PER_INCH / dpi, 2),
                "dpi": round(dpi, 2),
            }
        )
    return told, files


def _in_words(lift: Lift, motifs: list[dict[str, Any]]) -> str:
    if not motifs:
        return "[yellow]nothing to lift[/]"
    left_out = f", {lift.cut_off} cut off by its edge left out" if lift.cut_off else ""
    sides = sorted(max(one["width_mm"], one["height_mm"]) for one in motifs)
    span = f"{sides[0]:.1f} to {sides[-1]:.1f} mm" if sides[0] < sides[-1] else f"{sides[0]:.1f} mm"
    count = "one motif" if len(motifs) == 1 else f"{len(motifs)} motifs"
    return f"[green]{count}[/], longer side {span}{left_out}"
