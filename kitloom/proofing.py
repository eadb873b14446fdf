"""Proofs of what a maker names: colours, artwork, recipes; their pictures, and repaired tiles."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from kit.recipe import Recipe, read_recipe
from kitloom.colours import judge_palette, palette_answer
from kitloom.files import finish_moves
from kitloom.findings import Finding
from kitloom.findings.colours import fill_findings, thin_findings
from kitloom.findings.tiles import resolution_findings
from kitloom.heaviness import fills_ink
from kitloom.inputs import artwork_files, is_recipe, named_length, unique_stems
from kitloom.palette_files import worn_palette
from kitloom.pictures import picture_bytes, png_bytes
from kitloom.present.as_json import text_of
from kitloom.print_pictures import (
    before_after_print,
    before_after_repair,
    thin_ringed,
    where_it_shifts,
)
from kitloom.studies import study_all
from palette.choose import choose
from palette.detail import ThinStroke, thin_strokes
from palette.exchange.colour import from_hex
from palette.histogram import ColourBins, bins_of
from palette.lab import hex_of, lab_to_srgb8, parse_hex
from palette.press import open_press
from palette.press.protocol import Intent, Press
from palette.proof import FillAssessment, assess_fill
from palette.repair import prints_from_screen, repair_pixels, repair_plain
from patterns.artwork import Artwork, open_artwork
from patterns.light import Pixels
from patterns.repeats import find_lattice
from patterns.seams import check_seams
from patterns.units import MM_PER_INCH


@dataclass(frozen=True)
class PressWish:
    """The press that is asked for: a surface, or a profile or measured chart instead of it."""

    surface: str | None = None
    profile: Path | None = None
    chart: Path | None = None
    intent: Intent = "relative"
    black_point_compensation: bool = True

    @property
    def named(self) -> bool:
        """Whether any press is named."""
        return any((self.surface, self.profile, self.chart))

    def open(self) -> Press:
        """Return the press.

        Raises:
            ProfileError: a profile or chart that cannot be used.
        """
        return open_press(
            self.surface or "glossy",
            self.profile,
            intent=self.intent,
            black_point_compensation=self.black_point_compensation,
            chart=self.chart,
        )


@dataclass(frozen=True)
class Subjects:
    """What the maker named.

    Attributes:
        colours: hex.
        files: artwork with its repeat in millimetres, where known.
        press: what prints them.
    """

    colours: list[str]
    files: list[tuple[Path, float | None]]
    press: PressWish


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
    """One repaired tile.

    Attributes:
        file: the tile as it was named.
        before: what shifts in print.
        after: the same of the repaired tile.
        joins_kept: whether its joins are as good as before.
        plain_off: how far the plain tile's print lies from its screen colours (CIEDE2000, mean).
        repaired_off: the same of the repaired tile's print, from the plain tile's screen colours.
    """

    file: str
    before: FillAssessment
    after: FillAssessment
    joins_kept: bool
    plain_off: float
    repaired_off: float


def subjects_of(given: Sequence[Path], repeat: str | None, press: PressWish) -> Subjects:
    """Sort what was named into colours, artwork and recipes.

    A press named by options replaces a recipe's altogether.

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
            if not press.named:
                press = _press_of(recipe)
            for part in recipe.patterns:
                own = None if part.repeat == "auto" else part.repeat
                files.append((recipe.folder / part.file, repeat_mm or own))
            finish_moves(path for path, _ in files)
        else:
            files += [(file, repeat_mm) for file in artwork_files([path])]
    return Subjects(colours, files, press)


def _press_of(recipe: Recipe) -> PressWish:
    part = recipe.press
    return PressWish(
        part.surface,
        recipe.folder / part.profile if part.profile else None,
        recipe.folder / part.chart if part.chart else None,
        part.intent,
        part.black_point_compensation,
    )


def proof_files(
    files: Sequence[tuple[Path, float | None]],
    press: Press,
    tick: Callable[[], None],
    repair: Path | None = None,
) -> tuple[list[ProofedFill], list[Finding]]:
    """Proof artwork files; return them in order, and what a maker should know.

    Args:
        files: each with its repeat in millimetres, where known.
        press: what prints.
        tick: called after each file.
        repair: the folder that this run repairs them into, so that no finding asks for it again.

    Raises:
        ArtworkError: a file cannot be used.
    """
    fills = list(study_all(files, lambda one: _proofed(one[0], one[1], press), tick))
    findings: list[Finding] = []
    for fill, stem, (_, repeat_mm) in zip(fills, _stems(fills), files, strict=True):
        new = str(repair / f"{stem}.png") if repair is not None else ""
        findings += fill_findings(fill.file, fill.assessment, press, new)
        findings += thin_findings(fill.file, fill.thin)
        if fill.dpi_at_repeat and repeat_mm:
            findings += resolution_findings(fill.file, fill.dpi_at_repeat, repeat_mm)
    findings += fills_ink({fill.file: fill.bins for fill in fills}, press)
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
    for fill, stem in zip(fills, _stems(fills), strict=True):
        pixels = fill.artwork.pixels
        size = (fill.dpi_at_repeat, fill.dpi_at_repeat) if fill.dpi_at_repeat else None
        files[f"{stem}.print.png"] = picture_bytes(before_after_print(pixels, press), dpi=size)
        files[f"{stem}.shift.png"] = picture_bytes(where_it_shifts(pixels, press), dpi=size)
        if fill.thin:
            files[f"{stem}.thin.png"] = picture_bytes(thin_ringed(pixels, fill.thin), dpi=size)
    return files


def repaired_files(
    fills: Sequence[ProofedFill], colours: Sequence[str], press: Press
) -> tuple[dict[str, bytes], list[Repaired]]:
    """Return repaired tiles, their pictures and their palette, and what the repair reached.

    The palette is that of the fills and colours together, drawn in by the same map as the tiles,
    so that a tile and a plain fill that matched still match.
    """
    files: dict[str, bytes] = {}
    results, bins = [], {}
    for fill, stem in zip(fills, _stems(fills), strict=True):
        new = repair_pixels(fill.artwork.pixels, press)
        size = (fill.artwork.dpi, fill.artwork.dpi) if fill.artwork.dpi else None
        files[f"{stem}.png"] = png_bytes(new, dpi=size)
        files[f"{stem}.before-after.png"] = picture_bytes(
            before_after_repair(fill.artwork.pixels, new, press)
        )
        bins[stem] = bins_of(new)
        results.append(_reached(fill, new, bins[stem], press))
    files |= _repaired_palette(fills, colours, bins, press)
    return files, results


def _stems(fills: Sequence[ProofedFill]) -> list[str]:
    return unique_stems([fill.artwork.path for fill in fills])


def _reached(fill: ProofedFill, new: Pixels, bins: ColourBins, press: Press) -> Repaired:
    lattice = find_lattice(fill.artwork.pixels)
    lossy = fill.artwork.lossy
    before = check_seams(fill.artwork.pixels, lattice, lossy=lossy)
    after = check_seams(new, lattice, lossy=lossy)
    return Repaired(
        fill.file,
        fill.assessment,
        assess_fill(bins, press),
        before.seamless is not True or after.seamless is True,
        *prints_from_screen(fill.bins, press),
    )


def _repaired_palette(
    fills: Sequence[ProofedFill],
    colours: Sequence[str],
    repaired: Mapping[str, ColourBins],
    press: Press,
) -> dict[str, bytes]:
    """The palette of fills and colours, each drawn in, as palette.json; none for no fills."""
    if not repaired:
        return {}
    bins = {stem: fill.bins for stem, fill in zip(repaired, fills, strict=True)}
    palette = choose(bins, "auto", colours)
    drawn = repair_plain(lab_to_srgb8(palette.labs), press)
    named = tuple(
        from_hex(swatch.name, hex_of(rgb8), "palette")
        for swatch, rgb8 in zip(palette.swatches, drawn, strict=True)
    )
    judged = judge_palette(worn_palette(named, repaired), press)
    return {"palette.json": text_of(palette_answer(judged)).encode()}
