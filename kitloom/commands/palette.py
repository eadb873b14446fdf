"""``kitloom palette``: choose the colours that belong to a set of tiles."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kitloom.options import (
    files_argument,
    json_option,
    out_option,
    overwrite_option,
    profile_option,
    strict_option,
    surface_option,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitloom.findings import Finding
    from palette.proof import ColourAssessment
    from palette.swatch import Palette


def _count(_ctx: click.Context, _param: click.Parameter, value: str) -> int | str:
    """Read a number of colours, or "auto"."""
    if value == "auto":
        return value
    if not value.isdecimal() or not 1 <= int(value) <= 24:
        raise click.BadParameter('give a number from 1 to 24, or "auto".')
    return int(value)


@click.command()
@files_argument()
@click.option(
    "--colours",
    metavar="N|auto",
    callback=_count,
    default="auto",
    show_default=True,
    help="How many colours to choose.",
)
@surface_option
@profile_option
@out_option("Write palette.json (and the exchange files) here.")
@strict_option
@overwrite_option
@json_option
def palette(
    paths: tuple[Path, ...],
    colours: Any,
    surface: str | None,
    profile: Path | None,
    out: Path | None,
    strict: bool,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Choose one palette for all the tiles together, each colour with its share and its source.

    Every tile has its say whatever its size, and every colour really stands in the artwork. All
    pairs are compared (CIEDE2000) on screen and as printed.
    """
    from kitloom.colours import judge_palette, palette_answer
    from kitloom.files import write_into
    from kitloom.findings import exit_status
    from kitloom.inputs import artwork_files
    from kitloom.present import as_json as shape
    from kitloom.present.terminal import progress
    from kitloom.studies import bins_by_name
    from palette.choose import choose
    from palette.press import open_press

    press = open_press(surface or "glossy", profile)
    files = artwork_files(paths)
    with progress("Reading", len(files), quiet=as_json) as tick:
        bins = bins_by_name(files, tick)
    judged = judge_palette(choose(bins, colours), press)
    content = palette_answer(judged)
    if out is not None:
        write_into(out, {"palette.json": shape.text_of(content).encode()}, overwrite=overwrite)
    if as_json:
        click.echo(shape.text_of(content))
    else:
        _show(judged.palette, judged.colours, judged.findings)
    return exit_status(judged.findings, strict=strict)


def _show(
    palette: Palette, colours: Sequence[ColourAssessment], findings: Sequence[Finding]
) -> None:
    from rich.table import Table

    from kitloom.present.terminal import block, console, show_findings, show_verdict

    screen = console()
    table = Table(box=None, pad_edge=False, header_style="dim")
    for column in ("seen", "printed", "colour", "name", "role", "share", "print", "most of it in"):
        table.add_column(column)
    for swatch, printed in zip(palette.swatches, colours, strict=True):
        source = max(swatch.sources, key=lambda name: swatch.sources[name], default="")
        table.add_row(
            block(swatch.hex, 6),
            block(printed.printed_hex, 6),
            swatch.hex,
            swatch.name,
            swatch.role,
            f"{swatch.share:6.1%}",
            f"{printed.grade} ({printed.shift_de2000:.1f})",
            source,
        )
    screen.print(table)
    show_findings(screen, findings)
    show_verdict(screen, findings)
