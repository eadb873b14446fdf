"""How well artwork goes with a palette, on artwork drawn from known colours."""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks.planted import colours, tile
from palette.choose import belonging, bins_of
from palette.errors import PaletteError
from palette.space import de2000, hex_to_lab, srgb_to_lab

RANDOM = np.random.default_rng(21)
PLANTED = colours(RANDOM, 6, 15.0)


def test_artwork_of_the_palette_belongs() -> None:
    found = belonging(bins_of(tile(RANDOM, PLANTED[:4], 240)), srgb_to_lab(PLANTED))
    assert found.share_near > 0.97
    assert found.strangers == ()
    assert sum(found.used) == pytest.approx(found.share_near)
    assert sum(found.used[4:]) < 0.01


def test_a_stranger_is_named_with_its_share() -> None:
    pixels = np.zeros((100, 100, 3), dtype=np.uint8) + PLANTED[0]
    pixels[:25] = PLANTED[1]
    found = belonging(bins_of(pixels), srgb_to_lab(PLANTED[[0, 2]]))
    assert found.share_near == pytest.approx(0.75, abs=0.01)
    (stranger,) = found.strangers
    assert float(de2000(hex_to_lab(stranger.hex), srgb_to_lab(PLANTED[1]))) < 1.0
    assert stranger.share == pytest.approx(0.25, abs=0.01)
    assert stranger.de2000 >= 15.0


def test_an_empty_palette_is_refused() -> None:
    with pytest.raises(PaletteError, match="no colours to compare"):
        belonging(bins_of(np.zeros((8, 8, 3), dtype=np.uint8)), np.zeros((0, 3)))
