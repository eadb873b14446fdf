"""An outline that only touches the tile's edge is no fault; a motif cut off there still is.

No published source: shapes drawn exactly, by their coverage of each pixel. A maker would be stopped
for a petal that lies along the edge of a sound tile, or print half flowers.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from learning.faults import jpeg
from patterns.plane import STRAIGHT
from patterns.seams.contours import outline_columns
from patterns.seams.joins import Joins, build_joins
from patterns.seams.verdict import judge

MOST_BEYOND = 0.75  # lines
SIDE, INK, GROUND = 240, (196, 84, 70), (250, 246, 236)


def disc(x: float, y: float, radius: float) -> NDArray[np.float64]:
    """Return how much of each pixel of the tile a disc covers that goes on across the edges."""
    half = SIDE / 2
    at = np.arange(SIDE) + 0.5
    off = np.hypot((at - x + half) % SIDE - half, ((at - y + half) % SIDE - half)[:, None])
    return np.clip(radius - off + 0.5, 0.0, 1.0)


def paint(cover: NDArray[np.float64]) -> NDArray[np.uint8]:
    colours = np.array(GROUND) + cover[..., None] * (np.array(INK) - np.array(GROUND))
    return np.rint(colours).astype(np.uint8)


def joins_of(pixels: NDArray[np.uint8]) -> Joins:
    return build_joins(pixels, STRAIGHT)[0]


def columns(pixels: NDArray[np.uint8]) -> NDArray[np.intp]:
    """Return along which rows of the tile outlines lie on its right and left edge."""
    return np.flatnonzero(outline_columns(joins_of(pixels), MOST_BEYOND))


def cut(depth: float, radius: float) -> NDArray[np.float64]:
    """Return a disc on the right edge of which so much is lost."""
    cover = disc(SIDE - radius + depth, 120, radius)
    cover[:, : SIDE // 2] = 0.0
    return cover


@pytest.mark.parametrize("radius", [10, 25, 60])
@pytest.mark.parametrize("past", [-0.4, 0.0, 0.3, 0.6])
@pytest.mark.parametrize("side", [1, -1])
def test_an_outline_that_touches_the_edge_is_found(radius: int, past: float, side: int) -> None:
    """A maker's sound tile would be stopped."""
    cover = disc(side * (radius - past), 120, radius)
    found = columns(paint(cover))
    assert 119 in found
    assert np.abs(found - 119.5).max() < 4 * np.sqrt(radius)


@pytest.mark.parametrize("radius", [10, 25, 60])
@pytest.mark.parametrize("depth", [2, 4, 8])
def test_a_disc_cut_off_is_no_outline(radius: int, depth: int) -> None:
    """Half a flower would be let pass."""
    assert not len(columns(paint(cut(depth, radius))))


@pytest.mark.parametrize("slope", [0.08, 0.15])
def test_a_line_of_the_design_that_crosses_the_edge_at_a_flat_angle_is_found(slope: float) -> None:
    """The side of a star that lies nearly along the edge would stop a sound tile."""
    from_edge = (np.arange(SIDE) + 0.5 + SIDE / 2) % SIDE - SIDE / 2
    along = np.arange(SIDE)[:, None] + 0.5 - 120
    cover = np.clip(0.5 - (from_edge - slope * along), 0.0, 1.0)
    cover *= np.clip(0.5 + (from_edge - slope * along + 40), 0.0, 1.0)
    assert 119 in columns(paint(cover))


def test_a_plain_join_has_no_outlines() -> None:
    """What is asked of it would cost time, and never change the verdict."""
    assert not len(columns(paint(disc(120, 120, 60))))


def scattered() -> NDArray[np.float64]:
    """Return discs here and there, one of which touches the right edge."""
    places = [(222.2, 120, 18), (60, 50, 18), (110, 150, 14), (40, 190, 20), (160, 40, 16)]
    return np.max([disc(*place) for place in places], axis=0)


def test_a_motif_that_touches_the_edge_speaks_for_no_seam() -> None:
    """Artwork drawn wrapped round its edges would have to be drawn anew."""
    assert judge(joins_of(paint(scattered()))).verdict == "seamless"


def test_a_motif_that_touches_the_edge_stops_no_jpeg() -> None:
    """Its outline is not kept so exactly: a person may be asked."""
    assert judge(joins_of(jpeg(paint(scattered()))), lossy=True).verdict != "seam"


def test_a_motif_cut_off_beside_one_that_touches_is_still_a_seam() -> None:
    """One flower that touches the edge would hide another that is cut off."""
    cover = scattered()
    cover[:, SIDE // 2 :] = np.maximum(cover, np.roll(cut(14, 22), 60, axis=0))[:, SIDE // 2 :]
    assert judge(joins_of(paint(cover))).verdict == "seam"


def test_a_foreign_motif_that_ends_on_the_edge_in_a_line_of_the_design_is_no_outline() -> None:
    """What lies flat on the join all along, and never leaves it, is cut off there."""
    half = SIDE // 2
    cover = np.zeros((SIDE, SIDE))
    cover[60:140, half:] = 1.0
    cover[140:, half:-1] = 1.0
    assert not len(columns(paint(cover)))
