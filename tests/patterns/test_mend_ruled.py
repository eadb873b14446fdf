"""A mend of ruled artwork leaves whole repeats: else one stripe is wider at every join.

No published source: the repeats are known from how the tiles were drawn.
"""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks import ruled
from palette.arrays import Pixels
from patterns.mend import mend
from patterns.plane import STRAIGHT
from patterns.repeats import Repeat, find_repeat
from patterns.seams import check_seams

pytestmark = pytest.mark.slow


def drawn(name: str, seed: int) -> tuple[Pixels, tuple[int, int]]:
    """Return three by three repeats with a little noise, and one repeat's height and width."""
    rng = np.random.default_rng(seed)
    cell = getattr(ruled, name)(rng)
    tile = np.tile(cell, (3, 3, 1))
    tile = tile + rng.normal(0.0, 1.5, tile.shape)
    return np.clip(tile, 0, 255).astype(np.uint8), cell.shape[:2]


@pytest.mark.parametrize(
    ("name", "seed"),
    [
        (name, seed)
        for name in ("tartan", "gingham", "patchwork", "chevron", "dog_tooth")
        for seed in (1, 2, 3)
    ],
)
@pytest.mark.parametrize("share", [2.4, 1.94])
def test_ruled_artwork_is_cut_to_whole_repeats(name: str, seed: int, share: float) -> None:
    picture, (high, wide) = drawn(name, seed)
    tile = np.ascontiguousarray(picture[: 2 * high, : int(share * wide)])
    check = check_seams(tile)
    done = mend(tile, check, STRAIGHT, find_repeat(tile))
    if check.seamless:
        assert done.steps == ()
        return
    assert [step.kind for step in done.steps] == ["cut-out"]
    assert done.pixels.shape[0] % high == done.pixels.shape[1] % wide == 0
    assert done.check.seamless is not False
    assert done.mended


def test_no_remedy_leaves_a_part_of_a_sure_repeat() -> None:
    """A duplicated strip goes where no repeat is known, and else stays."""
    rng = np.random.default_rng(2)
    cell = rng.integers(0, 256, (40, 50, 3)).repeat(4, axis=0).repeat(4, axis=1).astype(np.uint8)
    tile = np.concatenate([cell, cell[:, :60]], axis=1)
    check = check_seams(tile)
    cut = mend(tile, check, axes=("x",))
    assert [(step.kind, step.width_px) for step in cut.steps] == [("overlap", 60)]
    false = Repeat(tile.shape[1] / 2.0, 160.0, "straight", 1.0, 2.0)
    kept = mend(tile, check, STRAIGHT, false, axes=("x",))
    assert kept.pixels.shape == tile.shape
    assert not kept.mended
    by_hand = Repeat(tile.shape[1] / 2.0, 160.0, "straight", 0.7, 2.0)
    assert mend(tile, check, STRAIGHT, by_hand, axes=("x",)).pixels.shape == cut.pixels.shape
