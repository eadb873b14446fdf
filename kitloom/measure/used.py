"""One of a kit's patterns, measured and laid out as a plane.

In: what a recipe wants of a pattern, as plain values that may travel to another process, and the
press. Out: a ``UsedPattern``. Every pattern is measured by itself, whoever does it and when.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from kitloom.measure.accepted import looked_at
from kitloom.measure.studies import Request, TileStudy, lean_study
from palette.press import Press
from palette.proof import FillAssessment, ThinStroke, assess_fill, mean_coverage, thin_strokes
from patterns.motifs import AutoRepeat, auto_repeat
from patterns.plane import Plane, let_go


@dataclass(frozen=True)
class Wanted:
    """What a recipe wants of one pattern.

    Attributes:
        name: what the recipe calls it.
        request: its tile.
        repeat_mm: the width of one tile on paper, or "auto" to choose it.
        half_box_mm: the sticker that a repeat is chosen for.
        dpi: the sheet's resolution.
        looked: which file's doubtful joins the maker found good (``kitloom.measure.accepted``).
    """

    name: str
    request: Request
    repeat_mm: float | Literal["auto"]
    half_box_mm: tuple[float, float]
    dpi: float
    looked: str = ""


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
        sizes: the repeats that were considered, where the recipe left it open.
        looked: whether its joins are doubtful and the maker found them good.
    """

    name: str
    study: TileStudy
    plane: Plane
    printed: FillAssessment
    ink: float
    thin: tuple[ThinStroke, ...] = ()
    sizes: AutoRepeat | None = None
    looked: bool = False


def measure(
    wanted: Wanted, press: Press, study_with: Callable[[Request], TileStudy] = lean_study
) -> UsedPattern:
    """Study a pattern's tile, choose its repeat where that is open, and judge it for the press.

    Raises:
        ArtworkError: the file cannot be used.
    """
    tile = study_with(wanted.request)
    pixels = tile.artwork.pixels
    sizes, repeat_mm = None, wanted.repeat_mm
    if repeat_mm == "auto":
        sizes = auto_repeat(pixels, *wanted.half_box_mm, wanted.dpi)
        repeat_mm = sizes.repeat_mm
    let_go(pixels)
    plane = Plane(pixels, repeat_mm, tile.lattice)
    thin = thin_strokes(pixels, plane.effective_dpi)
    let_go(pixels)
    printed, ink = assess_fill(tile.bins, press), mean_coverage(tile.bins, press)
    looked = looked_at(wanted.looked, tile)
    return UsedPattern(wanted.name, tile, plane, printed, ink, thin, sizes, looked)
