"""``kitloom draft``: a starting recipe from a folder of artwork."""

from __future__ import annotations

import os
from collections import Counter
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

import click

from kitloom.commands.options import RECIPE_DOCS, json_option, overwrite_option

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from kit.draft import Draft, DraftTile
    from kitloom.findings import Finding
    from kitloom.measure import Request
    from palette.choose import ColourBins

_BOX = "40mm x 52mm"  # a guess, which the draft asks to change


@click.command(epilog=RECIPE_DOCS)
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("kit.toml"),
    show_default=True,
    metavar="FILE",
    help="The recipe to write.",
)
@click.option(
    "--samples",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Instead: copy kitloom's sample artwork and recipes into this folder, to begin with.",
)
@click.option(
    "--box",
    default=_BOX,
    show_default=True,
    metavar='"W x H"',
    help="Your planner's day box; repeats are chosen to suit it.",
)
@click.option(
    "--paper",
    default="Letter",
    show_default=True,
    metavar="NAME",
    help='Your paper, such as "A4" or "8.5in x 11in"; the rows of stickers fill it.',
)
@overwrite_option
@json_option
def draft(
    folder: Path | None,
    out: Path,
    samples: Path | None,
    box: str,
    paper: str,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Write a starting recipe for a folder of artwork, with comments, ready for make.

    Each tile gets a repeat that suits a half box and has enough pixels for print, and the lattice
    in which its joins close. The rows of stickers fill your paper, on as many sheets as it takes
    to use every tile.
    """
    if (folder is None) == (samples is None):
        raise click.UsageError("Name a folder of artwork, or --samples and a folder to write.")
    if samples is not None:
        return _samples(samples, overwrite=overwrite, as_json=as_json)
    assert folder is not None
    return _draft(folder, out, box, paper, overwrite=overwrite, as_json=as_json)


def _samples(place: Path, *, overwrite: bool, as_json: bool) -> int:
    """Copy the samples; their recipes are ready for make."""
    from rich.markup import escape

    from kitloom.disk import sample_files, write_all_into
    from kitloom.present import as_json as shape
    from kitloom.present import console

    samples = sample_files()
    sets = [(place / folder, files) for folder, files in samples.items()]
    written = [str(path) for path in write_all_into(sets, reads=(), overwrite=overwrite)]
    if as_json:
        click.echo(shape.text_of(shape.answer("draft", [], files=written)))
    else:
        screen = console()
        screen.print(f"[green]Wrote[/] {len(written)} sample files into {escape(str(place))}.")
        screen.print(f"Then: kitloom make {escape(str(place / 'kit.toml'))}")
    return 0


def _draft(folder: Path, out: Path, box: str, paper: str, *, overwrite: bool, as_json: bool) -> int:
    """Measure the artwork and write the recipe."""
    from rich.markup import escape

    from kit.draft import draft_recipe, kit_name
    from kit.recipe import box_of, find_paper, parse_recipe, small_box
    from kitloom.disk import (
        artwork_files,
        check_apart,
        check_free,
        folder_beside,
        real,
        unique_stems,
        unopenable_files,
        write_into,
    )
    from kitloom.findings import size_findings, unopenable_finding
    from kitloom.measure import Request, study_all
    from kitloom.present import as_json as shape
    from kitloom.present import console, plural, progress
    from palette.errors import KitloomError

    width_mm, height_mm = box_of(box)
    small = small_box((width_mm, height_mm))
    sheet = find_paper(paper, where="--paper")
    files = artwork_files([folder])
    check_apart([out], files)
    check_free(out, overwrite=overwrite)  # before any tile is measured, which may take long
    requests = [Request(path, "auto", _relative(path, out)) for path in files]
    with progress("Measuring", len(files), quiet=as_json) as tick:
        measured_for = partial(_measure, half_box_mm=(width_mm, height_mm / 2.0))
        measured = list(study_all(requests, measured_for, tick))
    findings = [found for one in measured for found in one.findings]
    files, measured = _without_covers(folder, files, measured)
    tiles = [one.tile for one in measured]
    findings += size_findings("--box", [small] if small else [])
    findings += [unopenable_finding(str(path)) for path in unopenable_files(folder)]
    stems = unique_stems(files)
    named = [
        replace(tile, name=stem if stem != path.stem else "")
        for tile, path, stem in zip(tiles, files, stems, strict=True)
    ]
    name = kit_name(Path(os.path.realpath(folder)).name)
    drafted = draft_recipe(name, out.name, named, box, paper)
    if not drafted.plan.coverage and not small:
        raise KitloomError(
            f'a day box of "{box}" does not fit on {sheet.name}',
            where="--box",
            why="less a margin of 10 mm on each side",
            remedy="Check its numbers and their unit, or name a larger --paper.",
        )
    if drafted.plan.places > len(named):
        coordinates = _coordinates(files, measured, stems, (width_mm, height_mm / 2.0))
        drafted = draft_recipe(name, out.name, named, box, paper, coordinates=coordinates)
    parse_recipe(drafted.text, out)
    written = write_into(
        out.absolute().parent, {out.name: drafted.text.encode()}, reads=files, overwrite=overwrite
    )
    if as_json:
        click.echo(
            shape.text_of(shape.answer("draft", findings, files=[str(path) for path in written]))
        )
    else:
        screen = console()
        screen.print(f"[green]Wrote[/] {out} for {plural(len(tiles), 'tile')}.")
        for line in _planned(drafted, sheet.name):
            screen.print(escape(line))
        for tile in named:
            for line in _doubts(tile):
                screen.print(f"[yellow]warn[/]  {escape(PurePosixPath(tile.file).name)}: {line}")
        for one in findings:
            words = _told(one)
            if words:
                screen.print(f"[yellow]warn[/]  {escape(words)}")
        measure = "Measure your planner's day box, put it into the recipe, then" * (box == _BOX)
        into = folder_beside(out)
        elsewhere = f" --out {folder_beside(out, '-kit')}" if real(into) == real(folder) else ""
        screen.print(f"{measure or 'Then'}: kitloom make {out}{elsewhere}")
    return 0


def _without_covers(
    folder: Path, files: Sequence[Path], measured: Sequence[_Measured]
) -> tuple[list[Path], list[_Measured]]:
    """Return the files that may be tiles, with what was measured on them.

    Raises:
        ArtworkError: there is none.
    """
    from patterns.artwork_error import ArtworkError

    pairs = zip(files, measured, strict=True)
    tiles = [(path, one) for path, one in pairs if not one.is_cover]
    if not tiles:
        raise ArtworkError(
            "holds no tile",
            where=str(folder),
            why=f"{files[0].name}: {measured[0].findings[0].what.rstrip('.')}",
            remedy="Put tiles into it, one repeat each, or write the recipe yourself.",
        )
    return [path for path, _ in tiles], [one for _, one in tiles]


def _told(one: Finding) -> str:
    """Return what is said of a finding below the plan; "" where the tile's own line says it."""
    name = Path(one.subject).name
    return {
        "unreadable": f"{name}: {one.what}",
        "repeat-unseen": f"{name}: {one.what} {one.remedy}",
        "no-tile": f"{name}: left out. {one.what} {one.remedy}",
        "small-size": f"{one.subject}: {one.what} {one.why} {one.remedy}",
    }.get(one.code, "")


def _planned(drafted: Draft, paper: str) -> Iterator[str]:
    """Say what the rows are, and which tiles found no place."""
    from kitloom.present import plural

    plan = drafted.plan
    kinds: Counter[str] = Counter()
    for row in plan.rows:
        kinds[row.kind] += row.count
    share = f"{plan.coverage:.0%}"
    sheets = plural(plan.sheets, "sheet")
    yield f"Its {kinds.total()} stickers cover {share} of {sheets} of {paper}:"
    yield "  " + ", ".join(f"{number} × {kind}" for kind, number in kinds.items()) + "."
    if drafted.left_over:
        names = ", ".join(PurePosixPath(tile.file).name for tile in drafted.left_over)
        yield f"Not used, because there is no room for more: {names}."


def _doubts(tile: DraftTile) -> Iterator[str]:
    """Say what of a tile will trouble the kit; ``make`` says it with all figures."""
    from kitloom.findings import floor_to_tenth

    if tile.seam:
        yield "a seam shows where it meets itself; kitloom check says where, kitloom mend may help."
    if tile.few_px:
        yield (
            f"{tile.few_px} px are enough for {floor_to_tenth(tile.repeat_mm)} mm at 300 dpi, "
            "which makes its motifs very small; a larger file would print larger."
        )


@dataclass(frozen=True, eq=False)
class _Measured:
    """What a draft needs of one file.

    Attributes:
        tile: as the recipe names it.
        findings: what was found in it.
        bins: its colours.
        spacing_mm: from motif to motif on paper; None without motifs.
        is_cover: whether it shows patterns and is no tile.
    """

    tile: DraftTile
    findings: list[Finding]
    bins: ColourBins
    spacing_mm: float | None
    is_cover: bool = False


def _coordinates(
    files: Sequence[Path],
    measured: Sequence[_Measured],
    names: Sequence[str],
    half_box_mm: tuple[float, float],
) -> dict[str, str]:
    """Return by name the tables of patterns drawn to go with the tiles; none where none do.

    One that a tile is called like gets another name.
    """
    from kitloom.coordinates import middle_spacing_mm, propose, table_lines, tile_motifs
    from kitloom.measure import Request
    from palette.choose import choose
    from palette.errors import PaletteError
    from palette.press import open_press
    from palette.surfaces import DEFAULT_SURFACE

    bins = {str(path): one.bins for path, one in zip(files, measured, strict=True)}
    try:
        palette = choose(bins)
        made = propose(
            palette,
            open_press(DEFAULT_SURFACE),
            middle_spacing_mm((one.spacing_mm for one in measured), half_box_mm),
            motifs=tile_motifs(
                [
                    Request(path, one.tile.lattice, called)
                    for path, one, called in zip(files, measured, names, strict=True)
                ]
            ),
        )
    except PaletteError:  # no two colours that can be told apart on paper
        return {}
    named = [replace(one, name=_free_name(one.name, names)) for one in made]
    roles = {hex_: role for role, hex_ in palette.role_colours.items()}
    return {one.name: table_lines(one, roles) for one in named}


def _free_name(name: str, taken: Collection[str]) -> str:
    while name in taken:
        name = f"drawn {name}"
    return name


def _measure(request: Request, half_box_mm: tuple[float, float]) -> _Measured:
    from kit.draft import DraftTile
    from kitloom.coordinates import motif_spacing_mm
    from kitloom.findings import (
        few_repeats_findings,
        no_tile_findings,
        pixel_findings,
        plain_findings,
        seam_findings,
    )
    from kitloom.measure import suiting_repeat
    from palette.choose import bins_of
    from patterns.artwork import open_artwork
    from patterns.motifs import SMALLER
    from patterns.plane import STRAIGHT
    from patterns.repeats import check_as, find_repeat

    art = open_artwork(request.path)
    sizes = suiting_repeat(art.pixels, half_box_mm, 300.0)
    spacing_mm = motif_spacing_mm(sizes, half_box_mm)
    # far less than suits, and not one whole repeat on the sticker that it should suit
    few = sizes.repeat_mm < min(SMALLER * sizes.suits_mm, *half_box_mm)
    lattice, check = check_as(art.pixels, "auto", lossy=art.lossy)
    closes = check.seamless is not False
    tile = DraftTile(
        request.subject,
        sizes.repeat_mm,
        # where none closes, the plainest: the tile needs mending first
        (lattice if closes else STRAIGHT).name,
        few_px=art.width_px if few else 0,
        seam=not closes,
    )
    subject = str(request.path)
    # the recipe can be written anyway: what stops a kit only warns here
    seams = [replace(found, severity="warn") for found in seam_findings(subject, check)]
    plain = plain_findings(subject, art)
    cover = no_tile_findings(subject, art.pixels)
    if cover:
        return _Measured(tile, cover, bins_of(art.pixels), spacing_mm, is_cover=True)
    repeat = None if check.seamless else find_repeat(art.pixels)
    few_repeats = few_repeats_findings(subject, art.pixels, check, repeat)
    findings = [*seams, *few_repeats, *(plain or pixel_findings(subject, art.width_px))]
    return _Measured(tile, findings, bins_of(art.pixels), spacing_mm)


def _relative(path: Path, recipe: Path) -> str:
    """The file as the recipe should name it: from the recipe's own folder, with forward slashes."""
    try:
        beside = Path(os.path.realpath(recipe)).parent
        return Path(os.path.relpath(os.path.realpath(path), beside)).as_posix()
    except ValueError:  # another drive on Windows
        return Path(os.path.realpath(path)).as_posix()
