"""Motifs of a pattern as drawings on stickers: lifted, sized, cut round.

In: a recipe, the row that asks for motifs, and the size that each may fill. Out: one ``Drawing``
for each motif, in the order of ``patterns.lift``. A tile's motifs are kept, since a sheet that is
edited asks for the same ones over and over. Not done here: lifting (``patterns.lift``).
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from kit.drawings import Drawing, drawing_of
from kit.recipe import Recipe, RowPart, near, place_in
from kit.recipe_error import RecipeError
from patterns.artwork import digest, open_artwork
from patterns.artwork_error import ArtworkError
from patterns.lift import Lift, lift_motifs
from patterns.plane import parse_lattice
from patterns.repeats import find_lattice

KEPT_TILES, KEPT_DRAWINGS = 16, 64


@dataclass(frozen=True, eq=False)
class LiftedDrawing:
    """One motif as a drawing.

    Attributes:
        drawing: its pixels and its cut line.
        made_from: the SHA-256 of its pattern's file, and which motif of it this is.
    """

    drawing: Drawing
    made_from: str


def lifted_drawings(
    recipe: Recipe, number: int, row: RowPart, size_mm: tuple[float, float]
) -> tuple[LiftedDrawing, ...]:
    """Return the motifs that a row of stickers shows: as many as there are, or as it has stickers.

    Args:
        recipe: what is asked for.
        number: the row's 0-based number.
        row: the row, with a pattern to take motifs from.
        size_mm: width and height that each motif may fill.

    Raises:
        RecipeError: there is no such pattern, or nothing can be lifted from it.
    """
    where = place_in(recipe, "rows", number, "from")
    patterns = {part.label: part for part in recipe.patterns}
    part = patterns.get(row.source or "")
    if part is None:
        raise RecipeError(
            f'rows.{number + 1}.from: "{row.source}" is not a pattern of this recipe',
            where=where,
            remedy=f"{near(row.source or '', patterns)}The patterns: {', '.join(patterns)}.",
        )
    path = recipe.folder / part.file
    sha256 = digest(path)
    tile = path, sha256, part.lattice, _most_of(recipe, part.label)
    lift = _lift(*tile)
    if lift.why_none:
        raise RecipeError(
            f"rows.{number + 1}.from: nothing can be lifted from {part.label}: {lift.why_none}",
            where=where,
            remedy="Take motifs from a pattern on a plain ground, or take the row out.",
        )
    return tuple(
        LiftedDrawing(
            _drawn(tile, place, size_mm, row.distance),
            f"{sha256} motif {place + 1}",
        )
        for place in range(min(row.count, len(lift.motifs)))
    )


def lift_ahead(recipe: Recipe) -> None:
    """Lift what rows show, so that it is there when they ask; faults are left to them."""
    patterns = {part.label: part for part in recipe.patterns}
    for name in sorted({row.source for row in recipe.rows if row.source in patterns}):
        part = patterns[name]
        path = recipe.folder / part.file
        with suppress(ArtworkError, OSError):
            _lift(path, digest(path), part.lattice, _most_of(recipe, name))


def _most_of(recipe: Recipe, pattern: str) -> int:
    """Return how many motifs of a pattern any row shows: so many are freed of their ground."""
    return max(row.count for row in recipe.rows if row.source == pattern)


@lru_cache(maxsize=KEPT_TILES)
def _lift(path: Path, sha256: str, lattice: str, most: int) -> Lift:
    del sha256  # another file under the same name is lifted anew
    artwork = open_artwork(path)
    placed = find_lattice(artwork.pixels) if lattice == "auto" else parse_lattice(lattice)
    return lift_motifs(artwork.pixels, placed, lossy=artwork.lossy, most=most)


@lru_cache(maxsize=KEPT_DRAWINGS)
def _drawn(
    tile: tuple[Path, str, str, int], place: int, size_mm: tuple[float, float], distance_mm: float
) -> Drawing:
    """Return one motif of a tile as a drawing; rows that show it again share it."""
    motif = _lift(*tile).motifs[place]
    return drawing_of(motif.on_white, motif.alpha, size_mm, distance_mm, tile[0])
