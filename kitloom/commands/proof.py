"""``kitloom proof``: what will printing do to these colours and fills?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.core import ParameterSource

from kitloom.commands.options import (
    check_press_options,
    files_argument,
    json_option,
    overwrite_option,
    printer_option,
    profile_option,
    strict_option,
    surface_option,
)
from kitloom.commands.proof_chart import ChartRequest, chart_options, chart_run

if TYPE_CHECKING:
    from kit.recipe import Recipe
    from kitloom.colours import FillProof, Subjects
    from kitloom.findings import Finding
    from kitloom.inks import InkPlace, InkVerdict
    from palette.pairs import Pair
    from palette.press import Intent, Press
    from palette.proof import ColourAssessment


@dataclass(frozen=True)
class _Proof:
    """Everything that one run of the command found."""

    press: Press
    colours: tuple[ColourAssessment, ...]
    pairs: tuple[Pair, ...]
    fills: list[FillProof]
    inks: list[InkVerdict]
    findings: list[Finding]


@click.command()
@files_argument('FILE|FOLDER|"#HEX"|RECIPE...', required=False)
@surface_option
@profile_option
@click.option(
    "--intent",
    type=click.Choice(["perceptual", "relative", "saturation", "absolute"]),
    default="relative",
    show_default=True,
    help="With --profile: the rendering intent.",
)
@click.option(
    "--no-black-point",
    is_flag=True,
    help="With --profile: leave black point compensation out.",
)
@click.option(
    "--repeat",
    metavar="LENGTH",
    help='Width of one tile on paper, such as "0.75in", to judge its pixels.',
)
@click.option(
    "--pictures",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Write pictures: before and after print, where it shifts, lines too thin to hold.",
)
@click.option(
    "--repair",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Write tiles in the colours that print, and their palette, into this folder.",
)
@click.option(
    "--keep-hue",
    is_flag=True,
    help="With --repair: keep hues, and keep tones apart; prints farther from the original.",
)
@printer_option
@chart_options
@strict_option
@overwrite_option
@json_option
def proof(
    paths: tuple[Path, ...],
    surface: str | None,
    profile: Path | None,
    intent: Intent,
    no_black_point: bool,
    repeat: str | None,
    pictures: Path | None,
    repair: Path | None,
    keep_hue: bool,
    printer: Path | None,
    chart: Path | None,
    chart_read: Path | None,
    chart_list: Path | None,
    paper: str | None,
    out: Path | None,
    scanner: Path | None,
    colour_managed: bool,
    icc: Path | None,
    strict: bool,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Say what printing will do to colours and to artwork, before you print.

    Each colour gets its printed look, its shift (CIEDE2000) and the nearest colour that prints
    true. Two or more colours are compared as they print. Each file gets the share of its
    area that the press cannot reach. A recipe gets all of these: its tiles, and every plain colour
    and drawing on its sheets. Nothing of yours is replaced: repaired tiles are new files.

    With --chart FOLDER it writes a colour chart to print instead. With --chart-read FILE it reads
    the printed chart back, and writes what it learned about the printer to --out.
    """
    from kitloom.colours import PressRequest, subjects_of
    from kitloom.disk import check_apart, unique_stems, write_all_into
    from kitloom.findings import exit_status, left_findings, repair_findings
    from kitloom.report import proof_pictures, repaired_files

    if chart_read is None:
        only = ("chart_list", "out", "scanner", "colour_managed", "icc")
        _refuse_given(*only, without="--chart-read")
    if chart is None:
        _refuse_given("paper", without="--chart")
    if chart is not None or chart_read is not None:
        request = ChartRequest(
            paths, chart, chart_read, chart_list, paper, out, scanner, colour_managed, icc
        )
        return chart_run(request, overwrite=overwrite, strict=strict, as_json=as_json)
    check_press_options(surface, profile, printer)
    if profile is None:
        _refuse_given("intent", "no_black_point", without="--profile")
    if not paths:
        raise click.UsageError("Name a file, a folder, a colour or a recipe.")
    if keep_hue and repair is None:
        raise click.UsageError("--keep-hue says how to repair: name a folder with --repair too.")
    press_request = PressRequest(surface, profile, printer, intent, not no_black_point)
    subjects = subjects_of(paths, repeat, press_request)
    reads = [*subjects.reads, *(path for path in (profile, printer) if path is not None)]
    if repair is not None:
        stems = unique_stems([path for path, _ in subjects.files])
        check_apart((repair / f"{stem}.png" for stem in stems), reads)
    press = subjects.press.open()
    made = _proof(subjects, press, repair, quiet=as_json)
    to_write: list[tuple[Path, dict[str, bytes]]] = []
    repaired: list[str] = []
    if pictures is not None:
        to_write.append((pictures, proof_pictures(made.fills, press)))
    if repair is not None:
        files, results = repaired_files(made.fills, subjects.colours, press, keep_hue=keep_hue)
        to_write.append((repair, files))
        repaired = [str(repair / name) for name in files]
        made.findings.extend(repair_findings(results))
        recipes = [recipe for recipe, _ in subjects.recipes]
        made.findings.extend(left_findings(recipes, press, keep_hue=keep_hue))
    write_all_into(to_write, reads=reads, overwrite=overwrite)
    _tell(made, repaired, as_json=as_json)
    return exit_status(made.findings, strict=strict)


def _refuse_given(*names: str, without: str) -> None:
    """Refuse options that have no effect without another one."""
    context = click.get_current_context()
    for name in names:
        if context.get_parameter_source(name) is ParameterSource.COMMANDLINE:
            option = f"--{name.replace('_', '-')}"
            raise click.UsageError(f"{option} has no effect without {without}.")


def _proof(subjects: Subjects, press: Press, repair: Path | None, *, quiet: bool) -> _Proof:
    from kitloom.colours import proof_fills
    from kitloom.findings import colour_findings, pair_findings, press_finding, proof_findings
    from kitloom.present import progress
    from palette.pairs import colour_pairs
    from palette.proof import assess_colours

    colours = assess_colours(subjects.colours, press)
    with progress("Proofing", len(subjects.files), quiet=quiet) as tick:
        fills = proof_fills(subjects.files, press, tick)
    inks = [_inks(recipe, fills[first:], press) for recipe, first in subjects.recipes]
    places: dict[str, list[InkPlace]] = {}
    for verdict in inks:
        for colour, own in verdict.inks.colours.items():
            places.setdefault(colour, []).extend(own)
    said = colour_findings(colours, press, places) if colours else [press_finding(press)]
    compared = colour_pairs(subjects.colours, press)
    found = [
        *pair_findings(compared),
        *proof_findings(fills, press, repair),
        *_on_sheets(subjects, fills, inks, press),
        *said,
    ]
    return _Proof(press, colours, compared, fills, inks, found)


def _inks(recipe: Recipe, fills: Sequence[FillProof], press: Press) -> InkVerdict:
    """Judge what a recipe's sheets print beside its patterns; ``fills`` begin with those."""
    from kitloom.inks import judge_inks
    from kitloom.kits import plain_inks

    bins = {part.label: fill.bins for part, fill in zip(recipe.patterns, fills, strict=False)}
    return judge_inks(plain_inks(recipe, bins), press)


def _on_sheets(
    subjects: Subjects, fills: Sequence[FillProof], inks: Sequence[InkVerdict], press: Press
) -> list[Finding]:
    """Findings about each recipe's sheets; of several recipes each says which it is about."""
    from kitloom.findings import sheet_colour_findings, stickers_ink
    from palette.proof import mean_coverage

    found: list[Finding] = []
    for (recipe, first), verdict in zip(subjects.recipes, inks, strict=True):
        patterns = zip(recipe.patterns, fills[first:], strict=False)
        totals = {part.label: mean_coverage(fill.bins, press) for part, fill in patterns}
        own = sheet_colour_findings(verdict, press, set(subjects.colours))
        own += stickers_ink(verdict.inks, totals, press)
        if len(subjects.recipes) > 1:
            own = [replace(one, subject=f"{recipe.file.name}: {one.subject}") for one in own]
        found += own
    return found


def _tell(made: _Proof, repaired: Sequence[str], *, as_json: bool) -> None:
    from kitloom.present import as_json as shape

    if not as_json:
        _show(made, repaired)
        return
    content = shape.answer(
        "proof",
        made.findings,
        press=made.press.name,
        colours=shape.colour_dicts(made.colours),
        pairs=shape.pair_dicts(made.pairs),
        fills=[shape.fill_dict(f.file, f.assessment, f.dpi_at_repeat) for f in made.fills],
        sheet_colours=[one for verdict in made.inks for one in shape.sheet_colour_dicts(verdict)],
        drawings=[one for verdict in made.inks for one in shape.drawing_dicts(verdict)],
        repaired=list(repaired),
    )
    click.echo(shape.text_of(content))


def _show(made: _Proof, repaired: Sequence[str]) -> None:
    from rich.markup import escape
    from rich.table import Table

    from kitloom.findings import GRADE_WORDS, where_words
    from kitloom.present import block, console, show_findings, show_verdict

    screen = console()
    screen.print(f"[bold]{escape(made.press.name)}[/]")
    plain = [(one, "") for one in made.colours]
    for verdict in made.inks:
        plain += [(one.colour, where_words(one.places)) for one in verdict.colours]
    if plain:
        table = Table(box=None, pad_edge=False, header_style="dim")
        for column in ("on screen", "printed", "nearest", "colour", "shift", "grade", "where"):
            table.add_column(column if column != "where" or made.inks else "")
        for one, where in plain:
            table.add_row(
                block(one.hex, 6),
                f"{block(one.printed_hex, 3)} {one.printed_hex}",
                f"{block(one.nearest_hex, 3)} {one.nearest_hex}",
                one.hex,
                f"{one.shift_de2000:.1f}",
                GRADE_WORDS[one.grade],
                where,
            )
        screen.print(table)
    if made.fills:
        table = Table(box=None, pad_edge=False, header_style="dim")
        for column in ("artwork", "area over 3", "over 6", "mean shift", "95% under", "dpi"):
            table.add_column(column)
        for fill in sorted(made.fills, key=lambda one: -one.assessment.share_out_of_gamut):
            table.add_row(
                escape(fill.file),
                f"{fill.assessment.share_out_of_gamut:.1%}",
                f"{fill.assessment.share_over_6:.1%}",
                f"{fill.assessment.mean_shift_de2000:.1f}",
                f"{fill.assessment.p95_shift_de2000:.1f}",
                f"{fill.dpi_at_repeat:.0f}" if fill.dpi_at_repeat else "",
            )
        screen.print(table)
    for path in repaired:
        screen.print(f"[green]wrote[/] {escape(path)}")
    show_findings(screen, made.findings)
    show_verdict(screen, made.findings)
