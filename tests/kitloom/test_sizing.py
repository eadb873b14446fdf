"""At the repeat that kitloom chooses itself, the lines of a tile are not too thin to print."""

from __future__ import annotations

import numpy as np

from kitloom.measure import suiting_repeat
from palette.proof import thin_strokes
from patterns.motifs import auto_repeat
from patterns.units import MM_PER_INCH

HALF_BOX_MM = (40.0, 26.0)


def rings(line_px: float) -> np.ndarray:
    """Return sixteen dark rings on paper."""
    tile = np.full((1600, 1600, 3), 250, dtype=np.uint8)
    y, x = np.mgrid[0:400, 0:400]
    ring = np.abs(np.hypot(y - 200, x - 200) - 120) < line_px / 2.0
    tile[np.tile(ring, (4, 4))] = 30
    return tile


def test_a_repeat_is_enlarged_until_its_lines_hold() -> None:
    tile = rings(5.0)
    suits = auto_repeat(tile, *HALF_BOX_MM, 300.0)
    assert thin_strokes(tile, suits.chosen.effective_dpi)
    found = suiting_repeat(tile, HALF_BOX_MM, 300.0)
    assert suits.repeat_mm < found.repeat_mm <= suits.most_mm
    assert not thin_strokes(tile, found.chosen.effective_dpi)
    assert found.considered[1] == found.chosen


def test_lines_that_no_crisp_repeat_holds_change_nothing() -> None:
    tile = rings(1.5)
    crisp_mm = 1600 * MM_PER_INCH / 300.0
    assert thin_strokes(tile, 1600 * MM_PER_INCH / crisp_mm)
    suits = auto_repeat(tile, *HALF_BOX_MM, 300.0)
    assert suiting_repeat(tile, HALF_BOX_MM, 300.0) == suits
