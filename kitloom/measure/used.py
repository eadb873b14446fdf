"""One of a kit's patterns, measured and laid out as a plane.

In: what is asked of a pattern, as plain values, and the press. Out: a ``UsedPattern``. Every
pattern is measured by itself, whoever does it and when.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from kitloom.measure.accepted import Look, look_at
from kitloom.measure.sizing import suiting_repeat
from kitloom.measure.studies import Request, TileStudy, lean_study, study_all
from palette.memory import Remember, afresh
from palette.press import Press
from palette.proof import FillAssessment, ThinStroke, assess_fill, judge_strokes, mean_coverage
from patterns.artwork import open_artwork
from patterns.motifs import AutoRepeat
from patterns.plane import Plane, release_memory


@dataclass(frozen=True)
class PatternRequest:
    """One pattern to measure.

    Attributes:
        name: what the recipe calls it.
        tile: its file, and how that repeats.
        repeat_mm: the width of one tile on paper, or "auto" to choose it.
        half_box_mm: the sticker that a repeat is chosen for.
        dpi: the sheet's resolution.
        mark: of the file whose joins the maker found good (``kitloom.measure.accepted``).
    """

    name: str
    tile: Request
    repeat_mm: float | Literal["auto"]
    half_box_mm: tuple[float, float]
    dpi: float
    mark: str = ""


@dataclass(frozen=True)
class UsedPattern:
    """One of the recipe's patterns, measured and laid out as a plane.

    Attributes:
        name: what the recipe calls it.
        study: everything measured on its tile.
        plane: it, repeating without end, in millimetres.
        printed: what printing does to it.
        ink: how much ink it takes: mean total area coverage, 0 to 4 (``palette.proof.ink``).
        thin: its lines that are too thin to print at this repeat.
        sizes: the repeat chosen, and those beside it, where the recipe left it open.
        look: what came of it that the maker looked at its joins (``look_at``).
    """

    name: str
    study: TileStudy
    plane: Plane
    printed: FillAssessment
    ink: float
    thin: tuple[ThinStroke, ...] = ()
    sizes: AutoRepeat | None = None
    look: Look = ""

    @property
    def accepted(self) -> bool:
        """Whether its joins show or may show, and the maker found them good."""
        return self.look == "accepted"


def thin_lines(tile: TileStudy, dpi: float) -> tuple[ThinStroke, ...]:
    """Return a tile's lines that are too thin to print at so many of its pixels an inch."""
    return judge_strokes(tile.artwork.pixels, dpi)


def thin_lines_in(file: Path, dpi: float) -> tuple[ThinStroke, ...]:
    """Return the same of a tile's file, where nobody has opened it.

    Raises:
        ArtworkError: the file cannot be used.
    """
    return judge_strokes(open_artwork(file).pixels, dpi)


def use(
    request: PatternRequest,
    tile: TileStudy,
    press: Press,
    thin_with: Callable[[TileStudy, float], tuple[ThinStroke, ...]] = thin_lines,
) -> UsedPattern:
    """Choose a pattern's repeat where that is open, and judge its tile for the press."""
    pixels = tile.artwork.pixels
    sizes, repeat_mm = None, request.repeat_mm
    if repeat_mm == "auto":
        sizes = suiting_repeat(pixels, request.half_box_mm, request.dpi)
        repeat_mm = sizes.repeat_mm
    release_memory(pixels)
    plane = Plane(pixels, repeat_mm, tile.lattice)
    thin = thin_with(tile, plane.effective_dpi)
    release_memory(pixels)
    on_paper = press.to_print(tile.bins.lab)
    printed = assess_fill(tile.bins, press, on_paper)
    ink = mean_coverage(tile.bins, press, on_paper)
    look = look_at(request.mark, tile)
    return UsedPattern(request.name, tile, plane, printed, ink, thin, sizes, look)


def measure_all(
    requests: Sequence[PatternRequest],
    tick: Callable[[], None],
    study_with: Callable[[Request], TileStudy] = lean_study,
) -> tuple[TileStudy, ...]:
    """Study the tiles of patterns in threads, one a core; return the studies in order.

    Args:
        requests: the patterns.
        tick: called after each.
        study_with: studies a tile; called from several threads at a time.

    Raises:
        ArtworkError: a file cannot be used.
    """
    return tuple(study_all([one.tile for one in requests], study_with, tick))


def use_all(
    requests: Sequence[PatternRequest],
    tiles: Sequence[TileStudy],
    press: Press,
    thin_with: Callable[[TileStudy, float], tuple[ThinStroke, ...]] = thin_lines,
    remember: Remember = afresh,
) -> tuple[UsedPattern, ...]:
    """Use patterns in threads, one a core; return them in order.

    Args:
        requests: the patterns.
        tiles: their studies, in the same order.
        press: what they are judged for.
        thin_with: finds a tile's thin lines (``thin_lines``); called from several threads at a
            time.
        remember: gives a pattern as it is used (``use``), likewise.
    """

    def used(number: int) -> UsedPattern:
        return remember(use, requests[number], tiles[number], press, thin_with)

    return tuple(study_all(range(len(requests)), used, lambda: None))
