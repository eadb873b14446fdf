"""The benchmark's yardstick for mends, held against what is known: clean tiles, faults, oracles.

No published source judges mends this way; the definition is in ``benchmarks.mend_truth``, and what
it must do is stated by each test. The whole takes half a minute and is slow; two families show the
same at once.
"""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks.mend_truth import Truth, remains, tone_step_de, visible_run_de
from learning.drawings.plain import blooms, stars
from learning.faults import FAULTS, faulty
from learning.tiles import Tile, drawn_tiles
from palette.arrays import Pixels


@pytest.fixture(scope="module")
def tiles() -> list[Tile]:
    """One tile of each family, small, of a seed that no remedy was developed on."""
    return list(drawn_tiles(1, seed=4217, scale=0.45))


def test_two_families_show_their_faults_and_nothing_else() -> None:
    two = {name: {name: draw} for name, draw in (("blooms", blooms), ("stars", stars))}
    for tile in drawn_tiles(1, seed=4217, scale=0.45, sets=two):
        truth = Truth(tile.pixels)
        rolled = np.roll(tile.pixels, (17, 23), axis=(0, 1))
        assert truth.seen(tile.pixels, 12).worst == 0.0, tile.name
        assert truth.seen(rolled, 12).worst <= 1.0, tile.name
        planted, visible_de = faulty(tile.pixels, "fringe", "x", np.random.default_rng(3))
        assert visible_de > 6.0
        assert truth.seen(planted, 0).worst > 1.0
        off = visible_run_de("fringe", tile.pixels, planted)
        assert remains(planted, planted, off)
        assert not remains(tile.pixels, planted, off)


@pytest.fixture(scope="module")
def truths(tiles: list[Tile]) -> dict[str, Truth]:
    return {tile.set_name + tile.name: Truth(tile.pixels) for tile in tiles}


@pytest.mark.slow
def test_a_clean_tile_never_shows(tiles: list[Tile], truths: dict[str, Truth]) -> None:
    """Neither as it is nor rolled, where no place is where it was, over bands of any width."""
    for tile in tiles:
        truth = truths[tile.set_name + tile.name]
        rolled = np.roll(tile.pixels, (17, 23), axis=(0, 1))
        assert truth.seen(tile.pixels, 12).worst == 0.0, tile.name
        assert truth.seen(rolled, 12).worst <= 1.0, tile.name


@pytest.mark.slow
@pytest.mark.parametrize(
    ("kind", "least"),
    [("fringe", 0.9), ("half fringe", 0.65), ("motif cut off", 0.9), ("crop 17 %", 0.75)],
)
def test_an_untouched_fault_stands_out(
    kind: str, least: float, tiles: list[Tile], truths: dict[str, Truth]
) -> None:
    """Of those that a person sees by the reference's run of nine; what is left is like the artwork.

    A crop of a gingham is a gingham: there the reference sees a fault and a person does not. A
    pale line of a plaid is one of its lines: there only ``remains`` knows.
    """
    shown = []
    for tile in tiles:
        planted, visible_de = faulty(tile.pixels, kind, "x", np.random.default_rng(3))
        if visible_de > 6.0:
            shown.append(truths[tile.set_name + tile.name].seen(planted, 0).worst > 1.0)
    assert len(shown) >= 8
    assert np.mean(shown) >= least


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["fringe", "half fringe", "motif cut off"])
def test_an_untouched_fault_remains(kind: str, tiles: list[Tile]) -> None:
    """So that the score of doing nothing is 1, and the clean tile's 0."""
    for tile in tiles:
        planted, visible_de = faulty(tile.pixels, kind, "x", np.random.default_rng(3))
        off = visible_run_de(kind, tile.pixels, planted)
        assert off.max() >= visible_de - 1e-9, tile.name  # runs go round here
        assert remains(planted, planted, off) == (visible_de > 6.0), tile.name
        assert not remains(tile.pixels, planted, off), tile.name


@pytest.mark.slow
def test_a_drift_is_told_by_its_tone(tiles: list[Tile]) -> None:
    for tile in tiles:
        planted = FAULTS["drift 8 L*"](tile.pixels, np.random.default_rng(3))[0]
        assert tone_step_de(planted, tile.pixels) > 2.5, tile.name
        assert tone_step_de(tile.pixels, tile.pixels) == 0.0


@pytest.mark.slow
def test_a_plausible_continuation_that_is_not_the_true_one_does_not_show() -> None:
    """An oracle: a texture's own further part, parted from it where both are alike.

    The strip comes from the clean tile itself, its place chosen by the clean columns beside it, as
    image quilting does (Efros and Freeman, SIGGRAPH 2001); no remedy of the program is used.
    """
    tiles = [t for t in drawn_tiles(3, seed=4217, scale=0.6) if t.family in {"grain", "strokes"}]
    shown = [Truth(tile.pixels).seen(_quilted(tile.pixels, 12), 16).worst > 1.0 for tile in tiles]
    assert np.mean(shown) <= 0.2


@pytest.mark.slow
def test_a_careless_continuation_does_show() -> None:
    """The same strips, taken from anywhere and pasted with straight edges."""
    tiles = [t for t in drawn_tiles(3, seed=4217, scale=0.45) if t.family in {"grain", "blooms"}]
    shown = []
    for tile in tiles:
        pasted = tile.pixels.copy()
        pasted[:, -10:] = tile.pixels[:, 30:40][::-1]
        shown.append(Truth(tile.pixels).seen(pasted, 10).worst > 1.0)
    assert np.mean(shown) >= 0.9


def _quilted(tile: Pixels, wide: int) -> Pixels:
    """Replace the last columns by others of the tile along two least-cost cuts."""
    width = tile.shape[1]
    ring = np.roll(tile, wide + 4, axis=1).astype(np.float64)  # what is replaced lies at its left
    old, border = ring[:, : wide + 8], wide // 2
    costs = {}
    for down in range(0, len(tile), 2):
        moved = np.roll(ring, down, axis=0)
        for start in range(wide + 8, width - wide - 8, 2):
            off = np.square(old - moved[:, start : start + wide + 8]).sum(axis=2)
            costs[down, start] = off[:, :border].min(axis=1).sum() + off[:, -border:].min(1).sum()
    down, start = min(costs, key=lambda each: costs[each])
    new = np.roll(ring, down, axis=0)[:, start : start + wide + 8]
    off = np.square(old - new).sum(axis=2)
    left, right = _cut(off[:, :border]), _cut(off[:, -border:]) + wide + 8 - border
    place = np.arange(wide + 8)[None]
    shows = (place >= left[:, None]) & (place < right[:, None])
    ring[:, : wide + 8] = np.where(shows[..., None], new, old)
    return np.roll(ring, -wide - 4, axis=1).astype(np.uint8)


def _cut(off: np.ndarray) -> np.ndarray:
    """Return the cheapest path down a strip."""
    total = off.copy()
    for row in range(1, len(off)):
        before = np.pad(total[row - 1], 1, constant_values=np.inf)
        total[row] += np.minimum(np.minimum(before[:-2], before[1:-1]), before[2:])
    path = np.empty(len(off), dtype=int)
    path[-1] = int(np.argmin(total[-1]))
    for row in range(len(off) - 1, 0, -1):
        low, high = max(0, path[row] - 1), min(off.shape[1], path[row] + 2)
        path[row - 1] = low + int(np.argmin(total[row - 1, low:high]))
    return path
