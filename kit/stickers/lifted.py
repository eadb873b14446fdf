"""Motifs of a pattern as drawings on stickers: lifted, sized, cut round.

In: a recipe, the row that asks for motifs, and the size that each may fill. Out: one ``Drawing``
for each motif, in the order of ``patterns.lift``; or the motif of a coordinate. A tile's motifs are
kept, since a sheet that is edited asks for the same ones over and over. Not done here: lifting
(``patterns.lift``).
"""

from __future__ import annotations

import math
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from kit.drawings import Drawing, drawing_of
from kit.recipe import Recipe, RowPart, near, place_in
from kit.recipe_error import RecipeError
from kit.shapes import bounding_box
from patterns.artwork import digest, open_artwork
from patterns.artwork_error import ArtworkError
from patterns.lift import Lift, Motif, lift_motifs
from patterns.repeats import lattice_of

KEPT_TILES, KEPT_DRAWINGS = 16, 64
LEAST_CUT_MM = 3.0  # across a cut line: a dragged blade follows no less (common practice)


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
        RecipeError: there is no such pattern, nothing can be lifted from it, or a motif is
            smaller than a blade can follow.
    """
    tile = _tile(recipe, "rows", number, row.source or "")
    found = []
    for place in range(min(row.count, len(_lift(*tile).motifs))):
        drawing = _drawn(tile, place, size_mm, row.distance)
        around = bounding_box(drawing.outline)
        across_mm = min(around.width_mm, around.height_mm)
        if across_mm < LEAST_CUT_MM:
            told_mm = math.floor(across_mm * 10.0) / 10.0  # 2.97 mm is not told as 3
            raise RecipeError(
                f"rows.{number + 1}.size: motif {place + 1} of {row.source} would be cut "
                f"{told_mm:g} mm across, smaller than a blade can follow",
                where=place_in(recipe, "rows", number, "size"),
                remedy=f"Write a larger size or distance, so that it is {LEAST_CUT_MM:g} mm at "
                "least, or show fewer motifs.",
            )
        found.append(LiftedDrawing(drawing, f"{tile[1]} motif {place + 1}"))
    return tuple(found)


def lifted_motif(recipe: Recipe, number: int) -> Motif:
    """Return the motif that a coordinate shows.

    Args:
        recipe: what is asked for.
        number: the coordinate's 0-based number.

    Raises:
        RecipeError: there is no such pattern, nothing can be lifted from it, or fewer motifs.
    """
    part = recipe.coordinates[number]
    motifs = _lift(*_tile(recipe, "coordinates", number, part.source or "")).motifs
    if part.motif > len(motifs):
        has = "one motif" if len(motifs) == 1 else f"{len(motifs)} motifs"
        raise RecipeError(
            f"coordinates.{number + 1}.motif: {part.source} has {has}, not {part.motif}",
            where=place_in(recipe, "coordinates", number, "motif"),
            remedy=f"Write a number from 1 to {len(motifs)}."
            if len(motifs) > 1
            else "Take it out.",
        )
    return motifs[part.motif - 1]


def _tile(recipe: Recipe, table: str, number: int, name: str) -> tuple[Path, str, str, int]:
    """Return what the pattern that a part of the recipe takes motifs from is lifted by.

    Raises:
        RecipeError: there is no such pattern, or nothing can be lifted from it.
    """
    where = place_in(recipe, table, number, "from")
    patterns = {part.label: part for part in recipe.patterns}
    part = patterns.get(name)
    if part is None:
        raise RecipeError(
            f'{table}.{number + 1}.from: "{name}" is not a pattern of this recipe',
            where=where,
            remedy=f"{near(name, patterns)}The patterns: {', '.join(patterns)}.",
        )
    path = recipe.folder / part.file
    tile = path, digest(path), part.lattice, _most_of(recipe, name)
    lift = _lift(*tile)
    if lift.why_none:
        what = {"rows": "row", "coordinates": "coordinate"}[table]
        raise RecipeError(
            f"{table}.{number + 1}.from: nothing can be lifted from {name}: {lift.why_none}",
            where=where,
            remedy=f"Take motifs from a pattern on a plain ground, or take the {what} out.",
        )
    return tile


def lift_ahead(recipe: Recipe) -> None:
    """Lift what rows show, so that it is there when they ask; faults are left to them."""
    patterns = {part.label: part for part in recipe.patterns}
    named = {row.source for row in recipe.rows} | {one.source for one in recipe.coordinates}
    for name in sorted(one for one in named if one in patterns):
        part = patterns[name]
        path = recipe.folder / part.file
        with suppress(ArtworkError, OSError):
            _lift(path, digest(path), part.lattice, _most_of(recipe, name))


def _most_of(recipe: Recipe, pattern: str) -> int:
    """Return how many motifs of a pattern are shown: so many are freed of their ground."""
    counts = [row.count for row in recipe.rows if row.source == pattern]
    return max(counts + [one.motif for one in recipe.coordinates if one.source == pattern])


@lru_cache(maxsize=KEPT_TILES)
def _lift(path: Path, sha256: str, lattice: str, most: int) -> Lift:
    del sha256  # another file under the same name is lifted again
    artwork = open_artwork(path)
    placed = lattice_of(artwork.pixels, lattice)
    return lift_motifs(artwork.pixels, placed, lossy=artwork.lossy, most=most)


@lru_cache(maxsize=KEPT_DRAWINGS)
def _drawn(
    tile: tuple[Path, str, str, int], place: int, size_mm: tuple[float, float], distance_mm: float
) -> Drawing:
    """Return one motif of a tile as a drawing; rows that show it again share it."""
    motif = _lift(*tile).motifs[place]
    return drawing_of(motif.on_white, motif.alpha, size_mm, distance_mm, tile[0])
