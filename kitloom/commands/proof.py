"""``kitloom proof``: what will printing do to these colours and fills?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from kitloom.options import (
    files_argument,
    json_option,
    profile_option,
    strict_option,
    surface_option,
)

if TYPE_CHECKING:
    from kitloom.findings import Finding
    from palette.press import Press
    from palette.proof import ColourAssessment, FillAssessment


@dataclass(frozen=True)
class _Fill:
    """One artwork file as it will print."""

    file: str
    assessment: FillAssessment
    dpi_at_repeat: float | None


@dataclass(frozen=True)
class _Subjects:
    """What the maker named: colours, files with their repeats in mm, and the press of a recipe."""

    colours: list[str]
    files: list[tuple[Path, float | None]]
    surface: str
    profile: Path | None


@click.command()
@files_argument('FILE|FOLDER|"#HEX"|RECIPE...')
@surface_option
@profile_option
@click.option("--repeat", help='Width of one tile on paper, such as "0.75in", to judge its pixels.')
@strict_option
@json_option
def proof(
    paths: tuple[Path, ...],
    surface: str | None,
    profile: Path | None,
    repeat: str | None,
    strict: bool,
    as_json: bool,
) -> int:
    """Say what printing will do to colours and to artwork, before the ink is spent.

    Each colour gets its printed look, its shift (CIEDE2000) and the nearest colour that prints as
    it is seen; each file the share of its area that the press cannot reach.
    """
    from kitloom.findings import exit_status
    from kitloom.findings.colours import colour_findings, press_finding
    from kitloom.present import as_json as shape
    from palette.press import open_press
    from palette.proof import assess_colours

    subjects = _subjects(paths, repeat, surface, profile)
    press = open_press(subjects.surface, subjects.profile)
    colours = assess_colours(subjects.colours, press)
    findings = colour_findings(colours, press) if colours else [press_finding(press)]
    fills, more = _proof_files(subjects.files, press, quiet=as_json)
    findings = [*more, *findings]
    if as_json:
        content = shape.answer(
            "proof",
            findings,
            press=press.name,
            colours=shape.colour_dicts(colours),
            fills=[shape.fill_dict(f.file, f.assessment, f.dpi_at_repeat) for f in fills],
        )
        click.echo(shape.text_of(content))
    else:
        _show(press, colours, fills, findings)
    return exit_status(findings, strict=strict)


def _subjects(
    given: Sequence[Path], repeat: str | None, surface: str | None, profile: Path | None
) -> _Subjects:
    """Sort what was named into colours, artwork and recipes; options win over a recipe's press."""
    from kit.recipe import read_recipe
    from kitloom.inputs import artwork_files, is_recipe, named_length
    from palette.lab import hex_of, parse_hex

    repeat_mm = named_length(repeat, "--repeat") if repeat else None
    colours: list[str] = []
    files: list[tuple[Path, float | None]] = []
    for path in given:
        if str(path).startswith("#"):
            colours.append(hex_of(parse_hex(str(path), where="colour")))
        elif is_recipe(path):
            recipe = read_recipe(path)
            surface = surface or recipe.press.surface
            if profile is None and recipe.press.profile is not None:
                profile = recipe.folder / recipe.press.profile
            for part in recipe.patterns:
                own = None if part.repeat == "auto" else part.repeat
                files.append((recipe.folder / part.file, repeat_mm or own))
        else:
            files += [(file, repeat_mm) for file in artwork_files([path])]
    return _Subjects(colours, files, surface or "glossy", profile)


def _proof_files(
    files: Sequence[tuple[Path, float | None]], press: Press, *, quiet: bool
) -> tuple[list[_Fill], list[Finding]]:
    from kitloom.findings.colours import fill_findings
    from kitloom.findings.tiles import resolution_findings
    from kitloom.present.terminal import progress
    from kitloom.studies import Request, study_all
    from palette.histogram import bins_of
    from palette.proof import assess_fill
    from patterns.artwork import open_artwork
    from patterns.units import MM_PER_INCH

    def judge(request: Request) -> tuple[FillAssessment, int]:
        artwork = open_artwork(request.path)
        return assess_fill(bins_of(artwork.pixels), press), artwork.width_px

    fills: list[_Fill] = []
    findings: list[Finding] = []
    with progress("Proofing", len(files), quiet=quiet) as tick:
        judged = study_all([Request(path) for path, _ in files], judge, tick)
        for (path, repeat_mm), (assessment, width_px) in zip(files, judged, strict=True):
            dpi = width_px / repeat_mm * MM_PER_INCH if repeat_mm else None
            fills.append(_Fill(str(path), assessment, dpi))
            findings += fill_findings(str(path), assessment, press)
            if dpi and repeat_mm:
                findings += resolution_findings(str(path), dpi, repeat_mm)
    return fills, findings


def _show(
    press: Press,
    colours: Sequence[ColourAssessment],
    fills: Sequence[_Fill],
    findings: Sequence[Finding],
) -> None:
    from rich.markup import escape
    from rich.table import Table

    from kitloom.present.terminal import block, console, show_findings, show_verdict

    screen = console()
    screen.print(f"[bold]{escape(press.name)}[/]")
    if colours:
        table = Table(box=None, pad_edge=False, header_style="dim")
        for column in ("seen", "printed", "nearest", "colour", "shift", "grade"):
            table.add_column(column)
        for one in colours:
            table.add_row(
                block(one.hex, 6),
                block(one.printed_hex, 6),
                f"{block(one.nearest_hex, 3)} {one.nearest_hex}",
                one.hex,
                f"{one.shift_de2000:.1f}",
                one.grade,
            )
        screen.print(table)
    if fills:
        table = Table(box=None, pad_edge=False, header_style="dim")
        for column in ("artwork", "area that shifts", "mean shift", "95 % under", "dpi at repeat"):
            table.add_column(column)
        for fill in sorted(fills, key=lambda one: -one.assessment.share_out_of_gamut):
            table.add_row(
                escape(fill.file),
                f"{fill.assessment.share_out_of_gamut:.1%}",
                f"{fill.assessment.mean_shift_de2000:.1f}",
                f"{fill.assessment.p95_shift_de2000:.1f}",
                f"{fill.dpi_at_repeat:.0f}" if fill.dpi_at_repeat else "",
            )
        screen.print(table)
    show_findings(screen, findings)
    show_verdict(screen, findings)
