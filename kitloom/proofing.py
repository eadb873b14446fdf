"""Proofs of what a maker names: colours, artwork, recipes; their pictures, and repaired tiles."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from kit.recipe import read_recipe
from kitloom.colours import judge_palette, palette_answer
from kitloom.findings import Finding
from kitloom.findings.colours import fill_findings, ink_findings, thin_findings
from kitloom.findings.tiles import resolution_findings
from kitloom.inputs import artwork_files, is_recipe, named_length
from kitloom.palette_files import worn_palette
from kitloom.pictures import png_bytes
from kitloom.present.as_json import text_of
from kitloom.print_pictures import (
    before_after_print,
    side_by_side,
    thin_ringed,
    where_it_shifts,
)
from kitloom.studies import Request, study_all
from palette.choose import choose
from palette.detail import ThinStroke, thin_strokes
from palette.exchange.colour import from_hex
from palette.histogram import ColourBins, bins_of
from palette.ink import mean_coverage, share_heavy
from palette.lab import hex_of, lab_to_srgb8, parse_hex
from palette.press import InkPress, Press
from palette.proof import FillAssessment, assess_fill, proof_pixels
from palette.repair import repair_colours, repair_pixels
from patterns.artwork import Artwork, open_artwork
from patterns.light import Pixels
from patterns.repeats import find_lattice
from patterns.seams import check_seams
from patterns.units import MM_PER_INCH


@dataclass(frozen=True)
class Subjects:
    """What the maker named.

    Attributes:
        colours: hex.
        files: artwork with its repeat in millimetres, where known.
        surface: what to print on.
        profile: a printer's own profile instead.
        chart: a printer's own measured chart instead.
    """

    colours: list[str]
    files: list[tuple[Path, float | None]]
    surface: str
    profile: Path | None
    chart: Path | None = None


@dataclass(frozen=True)
class ProofedFill:
    """One artwork file as it will print; ``dpi_at_repeat`` where its repeat is known."""

    file: str
    artwork: Artwork
    bins: ColourBins
    assessment: FillAssessment
    dpi_at_repeat: float | None
    thin: tuple[ThinStroke, ...]


@dataclass(frozen=True)
class Repaired:
    """One repaired tile: what shifted before and after, and whether its joins are as good."""

    file: str
    before: FillAssessment
    after: FillAssessment
    joins_kept: bool


def subjects_of(
    given: Sequence[Path],
    repeat: str | None,
    surface: str | None,
    profile: Path | None,
    chart: Path | None = None,
) -> Subjects:
    """Sort what was named into colours, artwork and recipes; options win over a recipe's press.

    Raises:
        KitloomError: a colour, file, recipe or length that cannot be used.
    """
    repeat_mm = named_length(repeat, "--repeat") if repeat else None
    colours: list[str] = []
    files: list[tuple[Path, float | None]] = []
    for path in given:
        if str(path).startswith("#"):
            colours.append(hex_of(parse_hex(str(path), where="colour")))
        elif is_recipe(path):
            recipe = read_recipe(path)
            if not surface and profile is None and chart is None:
                chart = recipe.folder / recipe.press.chart if recipe.press.chart else None
            surface = surface or recipe.press.surface
            if profile is None and recipe.press.profile is not None:
                profile = recipe.folder / recipe.press.profile
            for part in recipe.patterns:
                own = None if part.repeat == "auto" else part.repeat
                files.append((recipe.folder / part.file, repeat_mm or own))
        else:
            files += [(file, repeat_mm) for file in artwork_files([path])]
    return Subjects(colours, files, surface or "glossy", profile, chart)


def proof_files(
    files: Sequence[tuple[Path, float | None]], press: Press, tick: Callable[[], None]
) -> tuple[list[ProofedFill], list[Finding]]:
    """Proof artwork files; return them in order, and what a maker should know.

    Raises:
        ArtworkError: a file cannot be used.
    """
    repeats = dict(files)

    def judge(request: Request) -> ProofedFill:
        return _proofed(request.path, repeats[request.path], press)

    fills = list(study_all([Request(path) for path, _ in files], judge, tick))
    findings: list[Finding] = []
    for fill, (_, repeat_mm) in zip(fills, files, strict=True):
        findings += fill_findings(fill.file, fill.assessment, press)
        findings += thin_findings(fill.file, fill.thin)
        if fill.dpi_at_repeat and repeat_mm:
            findings += resolution_findings(fill.file, fill.dpi_at_repeat, repeat_mm)
    coverages = {fill.file: mean_coverage(fill.bins, press) for fill in fills}
    heavy = {fill.file: share_heavy(fill.bins, press) for fill in fills}
    findings += ink_findings(coverages, heavy, knows_inks=isinstance(press, InkPress))
    return fills, findings


def _proofed(path: Path, repeat_mm: float | None, press: Press) -> ProofedFill:
    artwork = open_artwork(path)
    bins = bins_of(artwork.pixels)
    dpi = artwork.width_px / repeat_mm * MM_PER_INCH if repeat_mm else None
    thin = thin_strokes(artwork.pixels, dpi) if dpi else ()
    return ProofedFill(str(path), artwork, bins, assess_fill(bins, press), dpi, thin)


def proof_pictures(fills: Sequence[ProofedFill], press: Press) -> dict[str, bytes]:
    """Return the pictures of each fill as PNG files by name, at true size where that is known."""
    files: dict[str, bytes] = {}
    for fill in fills:
        pixels, stem = fill.artwork.pixels, fill.artwork.name
        size = (fill.dpi_at_repeat, fill.dpi_at_repeat) if fill.dpi_at_repeat else None
        files[f"{stem}.print.png"] = png_bytes(before_after_print(pixels, press), dpi=size)
        files[f"{stem}.shift.png"] = png_bytes(where_it_shifts(pixels, press), dpi=size)
        if fill.thin:
            files[f"{stem}.thin.png"] = png_bytes(thin_ringed(pixels, fill.thin), dpi=size)
    return files


def repaired_files(
    fills: Sequence[ProofedFill], colours: Sequence[str], press: Press
) -> tuple[dict[str, bytes], list[Repaired]]:
    """Return repaired tiles, their pictures and their palette, and what the repair reached.

    The palette is that of the fills and colours together, drawn in by the same map as the tiles,
    so that a tile and a plain fill that matched still match.
    """
    files: dict[str, bytes] = {}
    results = []
    for fill in fills:
        new = repair_pixels(fill.artwork.pixels, press)
        stem = fill.artwork.name
        size = (fill.artwork.dpi, fill.artwork.dpi) if fill.artwork.dpi else None
        files[f"{stem}.png"] = png_bytes(new, dpi=size)
        files[f"{stem}.before-after.png"] = png_bytes(
            side_by_side([fill.artwork.pixels, new, proof_pixels(new, press)])
        )
        results.append(_reached(fill, new, press))
    files |= _repaired_palette(fills, colours, press)
    return files, results


def _reached(fill: ProofedFill, new: Pixels, press: Press) -> Repaired:
    lattice = find_lattice(fill.artwork.pixels)
    lossy = fill.artwork.lossy
    before = check_seams(fill.artwork.pixels, lattice, lossy=lossy)
    after = check_seams(new, lattice, lossy=lossy)
    return Repaired(
        fill.file,
        fill.assessment,
        assess_fill(bins_of(new), press),
        before.seamless is not True or after.seamless is True,
    )


def _repaired_palette(
    fills: Sequence[ProofedFill], colours: Sequence[str], press: Press
) -> dict[str, bytes]:
    """The palette of fills and colours, each drawn in, as palette.json; none for no fills."""
    bins = {fill.artwork.name: fill.bins for fill in fills}
    if not bins:
        return {}
    palette = choose(bins, "auto", colours)
    drawn = lab_to_srgb8(repair_colours(palette.labs, press))
    named = tuple(
        from_hex(swatch.name, hex_of(rgb8), "palette")
        for swatch, rgb8 in zip(palette.swatches, drawn, strict=True)
    )
    judged = judge_palette(worn_palette(named, bins), press)
    return {"palette.json": text_of(palette_answer(judged)).encode()}
