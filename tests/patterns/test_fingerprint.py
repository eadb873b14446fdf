"""The same artwork is known again, other artwork is not taken for it.

The shift theorem is checked as such; what no source gives, the line between same and other, is
checked on the samples, which the figures in the module were not chosen to split anywhere near.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from patterns.artwork import find_artwork, open_artwork
from patterns.motifs import SAME, fingerprint, similarity_table
from patterns.motifs.fingerprints import GRID

SAMPLES = Path(__file__).parents[2] / "samples" / "allotment"
FILES = [*find_artwork(SAMPLES / "tiles"), *find_artwork(SAMPLES / "evening")]


@pytest.fixture(scope="module")
def tiles() -> list[np.ndarray]:
    return [open_artwork(path).pixels for path in FILES]


def alike(one: np.ndarray, other: np.ndarray) -> float:
    return float(similarity_table(fingerprint(one)[None], fingerprint(other)[None])[0, 0])


def test_a_shift_by_whole_cells_changes_nothing(dots: np.ndarray) -> None:
    """Shift theorem of the Fourier transform: magnitudes do not depend on the place."""
    small = np.asarray(Image.fromarray(dots).resize((GRID, GRID)))
    moved = np.roll(small, (17, 40), axis=(0, 1))
    assert np.abs(fingerprint(small).astype(int) - fingerprint(moved)).max() <= 1


def test_other_artwork_stays_apart(tiles: list[np.ndarray]) -> None:
    prints = np.stack([fingerprint(tile) for tile in tiles])
    table = similarity_table(prints, prints)
    assert np.diag(table) == pytest.approx(1.0, abs=1e-6)
    np.fill_diagonal(table, 0.0)
    assert table.max() < SAME - 0.1


def test_the_same_artwork_shifted_rescaled_and_recoloured(tiles: list[np.ndarray]) -> None:
    random = np.random.default_rng(5)
    for path, tile in zip(FILES, tiles, strict=True):
        moved = np.roll(tile, random.integers(0, 500, 2), axis=(0, 1))
        hue, *rest = Image.fromarray(moved).convert("HSV").split()
        turned = Image.merge("HSV", (hue.point(lambda code: (code + 90) % 256), *rest))
        sides = [round(side * 0.57) for side in turned.size]
        small = np.asarray(turned.convert("RGB").resize(sides, Image.Resampling.LANCZOS))
        assert alike(tile, small) > SAME, path.name
        assert alike(tile, 255 - tile) > SAME, path.name


def test_plain_tiles_are_like_nothing(dots: np.ndarray) -> None:
    plain = np.full((50, 60, 3), 200, np.uint8)
    assert not fingerprint(plain).any()
    assert alike(plain, plain) == 0.0
    assert alike(plain, dots) == 0.0
    assert not fingerprint(np.full((1, 1, 3), 9, np.uint8)).any()
