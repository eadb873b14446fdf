"""``kitloom palette``: choose the colours that belong to a set of tiles."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal, NamedTuple, cast

import click

from kitloom.commands.options import (
    check_press_options,
    cluster_option,
    files_argument,
    json_option,
    out_option,
    overwrite_option,
    printer_option,
    profile_option,
    resume_option,
    strict_option,
    surface_option,
    workers_option,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from rich.console import Console

    from kitloom.colours import Colourway, PaletteVerdict
    from kitloom.coordinates import Proposal
    from kitloom.findings import Finding
    from palette.choose import Belonging, ColourBins, Palette
    from palette.exchange import NamedColour
    from palette.press import Press


def _count(_ctx: click.Context, _param: click.Parameter, value: str | None) -> int | str | None:
    """Read a number of colours, or "auto"; None where no number was asked for."""
    if value is None or value == "auto":
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
    default=None,
    show_default="8",
    help="How many colours to choose; auto: as many as the artwork is worth, seldom more than ten. "
    "Not with --from, whose colours are all taken.",
)
@click.option(
    "--from",
    "from_file",
    type=click.Path(path_type=Path),
    metavar="PALETTE",
    help="Take the colours of this palette file (palette.json, or one that ends in .tokens.json, "
    ".css, .cxf or .csv), and judge how well the artwork matches it.",
)
@click.option(
    "--pin",
    multiple=True,
    metavar="COLOUR",
    help='A colour that must be in the palette, with --from too: "#hex", its name in the palette, '
    "or a CSS name. May be repeated.",
)
@click.option(
    "--without",
    multiple=True,
    metavar="COLOUR",
    help="A colour to leave out, with its near relatives (with --from, this one alone). Named as "
    "with --pin. May be repeated.",
)
@click.option(
    "--allow",
    multiple=True,
    metavar="A,B",
    help="Two colours, by name or hex, that may stay as close as they are. May be repeated.",
)
@click.option(
    "--colourway",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Write the tiles in the colours of --from into this folder.",
)
@click.option(
    "--pair",
    multiple=True,
    metavar='"OLD=NEW"',
    help='With --colourway: what one colour becomes, such as "#5d8a55=#3b5b7a"; NEW may also be '
    "a name from the --from palette, or a CSS name. May be repeated.",
)
@click.option(
    "--coordinates",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Write patterns that go with the tiles, drawn in the palette's colours, into this folder: "
    "seamless pictures, and the lines to copy into a recipe. One shows a motif of a tile, if "
    "one can be lifted.",
)
@click.option(
    "--tone-on-tone",
    is_flag=True,
    help="With --coordinates: draw each in two tones of one colour.",
)
@surface_option
@profile_option
@printer_option
@out_option("Write palette.json, the exchange files and a swatch card here.")
@resume_option
@workers_option
@cluster_option
@strict_option
@overwrite_option
@json_option
def palette(
    paths: tuple[Path, ...],
    colours: int | str | None,
    from_file: Path | None,
    pin: tuple[str, ...],
    without: tuple[str, ...],
    allow: tuple[str, ...],
    colourway: Path | None,
    pair: tuple[str, ...],
    coordinates: Path | None,
    tone_on_tone: bool,
    surface: str | None,
    profile: Path | None,
    printer: Path | None,
    out: Path | None,
    resume: Path | None,
    workers: int | None,
    cluster: str | None,
    strict: bool,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Choose one palette for all the tiles together, each colour with its share and its source.

    Every tile counts the same whatever its size, and every colour occurs in the artwork. All
    pairs are compared (CIEDE2000) on screen and as printed. A library of thousands is read with all
    cores, in little memory. Files in it that cannot be opened are reported.
    """
    _refuse_odd(colours, from_file, colourway, pair)
    if tone_on_tone and coordinates is None:
        raise click.UsageError("--tone-on-tone needs --coordinates: name a folder for them.")
    check_press_options(surface, profile, printer)
    from kitloom.colours import (
        check_pairs,
        judge_palette,
        palette_files,
        parse_allowed,
        parse_pairs,
    )
    from kitloom.disk import artwork_files, check_apart, write_all_into
    from kitloom.findings import colourway_findings, exit_status, palette_findings
    from kitloom.present import as_json as shape
    from kitloom.present import progress
    from palette.press import open_press
    from palette.surfaces import DEFAULT_SURFACE

    press = open_press(surface or DEFAULT_SURFACE, profile, chart=printer)
    files = artwork_files(paths)
    named = (from_file, profile, printer, resume)
    reads = [*files, *(path for path in named if path is not None)]
    check_apart(_targets(files, colourway, coordinates, out), reads)
    given = _read_given(from_file, pin, without) if from_file is not None else None
    with progress("Reading", len(files), quiet=as_json) as tick:
        bins, unread = _bins(files, resume, workers, cluster, tick)
    chosen = _choose(bins, colours, pin, without) if given is None else _wear_colours(bins, given)
    wanted = parse_pairs(pair, {one.name: one.hex for one in chosen.swatches})
    recoloured = _recoloured(files, colourway)
    belongs, ill = _belonging(bins, chosen, wanted, recoloured) if from_file else ({}, [])
    if from_file is not None:  # what else the artwork has shows in how well it belongs
        chosen = replace(chosen, grounds=(), apart=(), rest=())
    verdict = judge_palette(chosen, press, parse_allowed(allow, chosen))
    findings = [*ill, *unread, *palette_findings(verdict)]
    to_write: list[tuple[Path, dict[str, bytes]]] = []
    worn: list[Colourway] = []
    if colourway is not None:
        check_pairs(wanted, bins.values())
        worn = _recolour(files, chosen, wanted, quiet=as_json)
        to_write.append((colourway, _colourway_files(worn)))
        findings = [*colourway_findings(worn), *findings]
    content = shape.palette_answer(verdict, findings, belongs)
    drawn: Sequence[Proposal] = ()
    if coordinates is not None:
        drawn, pictures = _coordinates(files, chosen, press, tone_on_tone=tone_on_tone)
        to_write.append((coordinates, pictures))
        content["coordinates"] = [one.as_dict() for one in drawn]
    if out is not None:
        own = {"palette.json": shape.text_of(content).encode()}
        to_write.append((out, own | palette_files(verdict.palette, press, "Palette")))
    written = write_all_into(to_write, reads=reads, overwrite=overwrite)
    if as_json:
        click.echo(shape.text_of(content))
    else:
        _show(verdict, drawn, findings, written, worn)
    return exit_status(findings, strict=strict)


def _targets(
    files: Sequence[Path], colourway: Path | None, coordinates: Path | None, out: Path | None
) -> list[Path]:
    """Return where files would lie, one for each folder at least."""
    from kitloom.disk import unique_stems

    targets = [colourway / f"{stem}.png" for stem in unique_stems(files)] if colourway else []
    targets += [coordinates / "coordinates.toml"] if coordinates else []
    return [*targets, *([out / "palette.json"] if out else [])]


def _refuse_odd(
    colours: int | str | None, from_file: Path | None, colourway: Path | None, pair: Sequence[str]
) -> None:
    """Refuse options that do not go together, rather than ignore one of them."""
    if colourway is not None and from_file is None:
        raise click.UsageError(
            "--colourway needs --from: name the palette to recolour the tiles in."
        )
    if pair and colourway is None:
        raise click.UsageError("--pair needs --colourway: name a folder for the new tiles.")
    if colours is not None and from_file is not None:
        raise click.UsageError(
            "--colours does not go with --from, which takes every colour of its palette: leave one "
            "of the two out."
        )


def _bins(
    files: Sequence[Path],
    resume: Path | None,
    workers: int | None,
    cluster: str | None,
    tick: Callable[[], None],
) -> tuple[dict[str, ColourBins], list[Finding]]:
    """Count the colours of each file: a few in threads, a library in processes."""
    from kitloom.library import LIBRARY_FROM

    if len(files) >= LIBRARY_FROM or any([resume, workers, cluster]):
        from kitloom.library.pooled_palette import library_bins
        from kitloom.system import cores

        return library_bins(files, resume, tick, workers=workers or cores(), cluster=cluster)
    from kitloom.measure import bins_by_name

    return bins_by_name(files, tick), []


class _GivenColours(NamedTuple):
    """The colours of --from, what --pin adds to them and --without takes away; names typed."""

    place: Path
    colours: tuple[NamedColour, ...]
    pinned: Sequence[str]
    names: Mapping[str, str]
    without: Sequence[str]


def _read_given(place: Path, pin: Sequence[str], without: Sequence[str]) -> _GivenColours:
    """Read --from, and refuse what no artwork can wear before any artwork is read."""
    from kitloom.colours import merge_colours, read_palette_file
    from palette.space import named_colours

    colours = read_palette_file(place)
    own = {one.name: one.hex for one in colours}
    pins = named_colours(pin, own, where="--pin")
    gone = list(named_colours(without, own, where="--without"))
    merge_colours(colours, list(pins), without=gone, where=str(place))
    return _GivenColours(place, colours, list(pins), _typed(pins), gone)


def _wear_colours(bins: Mapping[str, ColourBins], given: _GivenColours) -> Palette:
    from kitloom.colours import palette_of_colours

    return palette_of_colours(
        given.colours,
        bins,
        given.pinned,
        names=given.names,
        without=given.without,
        where=str(given.place),
    )


def _choose(
    bins: Mapping[str, ColourBins],
    colours: int | str | None,
    pin: Sequence[str],
    without: Sequence[str],
) -> Palette:
    from palette.choose import USUAL, choose
    from palette.space import named_colours

    count = USUAL if colours is None else cast('int | Literal["auto"]', colours)
    own: dict[str, str] = {}
    if not all(text.strip().startswith("#") for text in (*pin, *without)):
        # the names that a run without these shows are those that a maker copies from it
        own = {one.name: one.hex for one in choose(bins, count).swatches}
    pins = named_colours(pin, own, where="--pin")
    gone = named_colours(without, own, where="--without")
    return choose(bins, count, list(pins), names=_typed(pins), without=list(gone))


def _typed(pins: Mapping[str, str]) -> dict[str, str]:
    """Return what was typed of those that were not typed as a hex."""
    return {colour: name for colour, name in pins.items() if name}


def _belonging(
    bins: Mapping[str, ColourBins],
    chosen: Palette,
    own: Sequence[tuple[str, str]],
    recoloured: Mapping[str, str],
) -> tuple[dict[str, Belonging], list[Finding]]:
    """Return how well each tile belongs to the palette, and what to say of it."""
    from kitloom.colours import becomes, plan_colourway
    from kitloom.findings import BELONGS_SHARE, belonging_findings
    from palette.choose import belonging

    belongs = {name: belonging(tile, chosen.labs) for name, tile in bins.items()}
    worn = {
        name: becomes(one.strangers[0].hex, plan_colourway(bins[name], chosen, own))
        for name, one in belongs.items()
        if one.share_near < BELONGS_SHARE and one.strangers
    }
    return belongs, belonging_findings(belongs, chosen, worn, recoloured)


def _recoloured(files: Sequence[Path], colourway: Path | None) -> dict[str, str]:
    """Return by the tile's name the file of --colourway that this run recolours it into."""
    from kitloom.disk import unique_stems
    from kitloom.measure import unique_names

    if colourway is None:
        return {}
    by_name = zip(unique_names(files), unique_stems(files), strict=True)
    return {name: str(colourway / f"{stem}.png") for name, stem in by_name}


def _recolour(
    files: Sequence[Path], wear: Palette, own: Sequence[tuple[str, str]], *, quiet: bool
) -> list[Colourway]:
    """Return the tiles in the colours of a palette, their joins checked again."""
    from kitloom.colours import recolour_tile
    from kitloom.measure import Request, study_all
    from kitloom.present import progress

    requests = [Request(path) for path in files]
    with progress("Recolouring", len(files), quiet=quiet) as tick:
        return list(study_all(requests, lambda one: recolour_tile(one.path, wear, own), tick))


def _colourway_files(made: Sequence[Colourway]) -> dict[str, bytes]:
    from kitloom.disk import unique_stems
    from kitloom.report import png_bytes

    stems = unique_stems([one.path for one in made])
    return {f"{stem}.png": png_bytes(one.pixels) for stem, one in zip(stems, made, strict=True)}


def _coordinates(
    files: Sequence[Path], chosen: Palette, press: Press, *, tone_on_tone: bool
) -> tuple[Sequence[Proposal], dict[str, bytes]]:
    """Return patterns that go with the tiles, and their files."""
    from kitloom.coordinates import artwork_spacing_mm, coordinate_files, propose, tile_motifs
    from kitloom.disk import unique_stems
    from kitloom.measure import Request

    named = zip(files, unique_stems(files), strict=True)
    motifs = (
        () if tone_on_tone else tile_motifs([Request(path, "auto", name) for path, name in named])
    )
    drawn = propose(
        chosen, press, artwork_spacing_mm(files), motifs=motifs, tone_on_tone=tone_on_tone
    )
    return drawn, coordinate_files(drawn)


def _show(
    verdict: PaletteVerdict,
    drawn: Sequence[Proposal],
    findings: Sequence[Finding],
    written: Sequence[Path],
    worn: Sequence[Colourway],
) -> None:
    from rich.markup import escape
    from rich.table import Table

    from kitloom.findings import GRADE_WORDS, rest_sentence
    from kitloom.present import block, console, show_findings, show_verdict
    from palette.choose import share_words

    screen = console()
    table = Table(box=None, pad_edge=False, header_style="dim")
    for column in (
        "on screen",
        "printed",
        "colour",
        "name",
        "role",
        "share",
        "in print",
        "mostly in",
    ):
        table.add_column(column)
    for swatch, printed in zip(verdict.palette.swatches, verdict.colours, strict=True):
        table.add_row(
            block(swatch.hex, 6),
            block(printed.printed_hex, 6),
            swatch.hex,
            swatch.name,
            swatch.role,
            f"{share_words(swatch.share):>6}",
            f"{GRADE_WORDS[printed.grade]} ({printed.shift_de2000:.1f})",
            escape(swatch.main_source or ""),
        )
    screen.print(table)
    if rest := rest_sentence(verdict.palette):
        screen.print(rest, markup=False)
    if drawn:
        _show_coordinates(screen, drawn)
    for path in written:
        screen.print(f"wrote {path}", markup=False)
    if worn:
        kept = sum(one.joins_kept for one in worn)
        screen.print(f"Joins checked again: {kept} of {len(worn)} as good as before.")
    show_findings(screen, findings)
    show_verdict(screen, findings)


def _show_coordinates(screen: Console, drawn: Sequence[Proposal]) -> None:
    from rich.table import Table

    from kitloom.present import block

    table = Table(box=None, pad_edge=False, header_style="dim")
    for column in ("colours", "coordinate", "weight", "size", "contrast on paper", "in"):
        table.add_column(column)
    for one in drawn:
        table.add_row(
            "".join(block(colour, 3) for colour in one.colours),
            one.name,
            one.weight,
            f"{one.size_mm:g} mm",
            f"{one.contrast_de2000:.0f}",
            ", ".join(one.colour_names),
        )
    screen.print(table)
