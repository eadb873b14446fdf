"""Proofs of what a maker names: colours, artwork, recipes; and what a repair reaches."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from kit.recipe import LEAST_REPEAT_MM, Recipe, paths_of, read_recipe
from kitloom.colours.colourway import joins_kept
from kitloom.disk import artwork_files, finish_moves, is_recipe, positive_length, unique_stems
from kitloom.measure import study_all
from palette.arrays import Pixels
from palette.choose import ColourBins, bins_of
from palette.press import Intent, Press, open_press
from palette.proof import FillAssessment, ThinStroke, assess_fill, judge_strokes, prints_from_screen
from palette.space import hex_of, parse_hex
from palette.surfaces import DEFAULT_SURFACE
from patterns.artwork import Artwork, open_artwork
from patterns.repeats import check_as
from patterns.seams import check_seams
from patterns.units import MM_PER_INCH


@dataclass(frozen=True)
class PressRequest:
    """The press that is asked for: a surface, or a profile or measured chart instead of it."""

    surface: str | None = None
    profile: Path | None = None
    chart: Path | None = None
    intent: Intent = "relative"
    black_point_compensation: bool = True
    convert: bool = False

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
            self.surface or DEFAULT_SURFACE,
            self.profile,
            intent=self.intent,
            black_point_compensation=self.black_point_compensation,
            chart=self.chart,
            convert=self.convert,
        )


@dataclass(frozen=True)
class Subjects:
    """What the maker named.

    Attributes:
        colours: hex.
        files: artwork with its repeat in millimetres, where known.
        press: what prints them.
        recipes: the recipes, each with the place of its first pattern among the files.
        reads: every file that was named, or that a recipe among them names.
    """

    colours: list[str]
    files: list[tuple[Path, float | None]]
    press: PressRequest
    recipes: list[tuple[Recipe, int]]
    reads: list[Path]


@dataclass(frozen=True)
class FillProof:
    """One artwork file as it will print; ``dpi_at_repeat`` where its repeat is known."""

    file: str
    artwork: Artwork
    bins: ColourBins
    assessment: FillAssessment
    dpi_at_repeat: float | None
    thin: tuple[ThinStroke, ...]


@dataclass(frozen=True)
class RepairResult:
    """One repaired tile.

    Attributes:
        file: the tile as it was named.
        before: what shifts in print.
        after: the same of the repaired tile.
        joins_kept: whether its joins are as good as before.
        plain_off: how far the plain tile's print lies from its screen colours (CIEDE2000, mean).
        repaired_off: the same of the repaired tile's print, from the plain tile's screen colours.
        kept_hue: whether its hues were to be kept, at the price of a print that lies farther off.
    """

    file: str
    before: FillAssessment
    after: FillAssessment
    joins_kept: bool
    plain_off: float
    repaired_off: float
    kept_hue: bool


def subjects_of(given: Sequence[Path], repeat: str | None, press: PressRequest) -> Subjects:
    """Sort what was named into colours, artwork and recipes.

    A press named by options replaces a recipe's altogether.

    Raises:
        KitloomError: a colour, file, recipe or length that cannot be used.
    """
    repeat_mm = positive_length(repeat, "--repeat", LEAST_REPEAT_MM) if repeat else None
    colours: list[str] = []
    files: list[tuple[Path, float | None]] = []
    recipes: list[tuple[Recipe, int]] = []
    reads: list[Path] = []
    for path in given:
        if str(path).startswith("#"):
            colours.append(hex_of(parse_hex(str(path), where="colour")))
        elif is_recipe(path):
            recipe = read_recipe(path)
            reads += paths_of(recipe)
            if not press.named:
                press = _press_of(recipe)
            recipes.append((recipe, len(files)))
            for part in recipe.patterns:
                own = None if part.repeat == "auto" else part.repeat
                files.append((recipe.folder / part.file, repeat_mm or own))
            finish_moves(path for path, _ in files)
        else:
            files += [(file, repeat_mm) for file in artwork_files([path])]
    return Subjects(colours, files, press, recipes, [*reads, *(path for path, _ in files)])


def _press_of(recipe: Recipe) -> PressRequest:
    part = recipe.press
    return PressRequest(
        part.surface,
        recipe.folder / part.profile if part.profile else None,
        recipe.folder / part.chart if part.chart else None,
        part.intent,
        part.black_point_compensation,
        part.convert,
    )


def proof_fills(
    files: Sequence[tuple[Path, float | None]], press: Press, tick: Callable[[], None]
) -> list[FillProof]:
    """Proof artwork files, in order.

    Args:
        files: each with its repeat in millimetres, where known.
        press: what prints.
        tick: called after each file.

    Raises:
        ArtworkError: a file cannot be used.
    """
    return list(study_all(files, lambda one: _proof_fill(one[0], one[1], press), tick))


def _proof_fill(path: Path, repeat_mm: float | None, press: Press) -> FillProof:
    artwork = open_artwork(path)
    bins = bins_of(artwork.pixels)
    dpi = artwork.width_px / repeat_mm * MM_PER_INCH if repeat_mm else None
    thin = judge_strokes(artwork.pixels, dpi) if dpi else ()
    return FillProof(str(path), artwork, bins, assess_fill(bins, press), dpi, thin)


def stems_of(fills: Sequence[FillProof]) -> list[str]:
    """Return what the fills' files are called, none twice."""
    return unique_stems([fill.artwork.path for fill in fills])


def measure_repair(
    fill: FillProof, new: Pixels, bins: ColourBins, press: Press, *, keep_hue: bool = False
) -> RepairResult:
    """Measure a repaired tile: what still shifts, and whether its joins are as good as before."""
    lossy = fill.artwork.lossy
    lattice, before = check_as(fill.artwork.pixels, "auto", lossy=lossy)
    after = check_seams(new, lattice, lossy=lossy)
    return RepairResult(
        fill.file,
        fill.assessment,
        assess_fill(bins, press),
        joins_kept(before, after),
        *prints_from_screen(fill.bins, press, keep_hue=keep_hue),
        kept_hue=keep_hue,
    )
