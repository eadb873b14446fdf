"""A frame drawn round a tile is cropped: else artwork is blended away to hide it.

No published source: tiles drawn here.
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Pixels
from patterns.mend import mend
from patterns.seams import check_seams
from patterns.seams.edge_lines import find_edge_lines

DARK = 24


def leaves() -> Pixels:
    """Return slanted ovals that go on at the opposite edges."""
    rng = np.random.default_rng(4)
    tile = np.full((96, 104, 3), (236, 228, 210), np.uint8)
    y, x = np.mgrid[0:96, 0:104]
    for _ in range(16):
        across, down, turn = rng.uniform(0, 104), rng.uniform(0, 96), rng.uniform(0, np.pi)
        u, v = (x - across + 52) % 104 - 52, (y - down + 48) % 96 - 48
        along, beside = u * np.cos(turn) + v * np.sin(turn), v * np.cos(turn) - u * np.sin(turn)
        tile[(along / 13) ** 2 + (beside / 6) ** 2 < 1.0] = rng.integers(60, 200, 3)
    return tile


def test_a_frame_round_a_sound_tile_is_named_and_cropped_to_the_pixel() -> None:
    """Else the maker loses a third of the artwork to a few pixels of line."""
    framed = np.pad(leaves(), ((1, 1), (1, 1), (0, 0)), constant_values=DARK)
    check = check_seams(framed)
    named = [(fault.kind, fault.lines_px) for axis in (check.x, check.y) for fault in axis.faults]
    assert named == [("edge-line", (1, 1))] * 2
    made = mend(framed, check)
    done = [(step.kind, step.axis, step.width_px) for step in made.steps]
    assert done == [("edge-line", "x", 2), ("edge-line", "y", 2)]
    assert made.mended
    np.testing.assert_array_equal(made.pixels, leaves())


def test_a_frame_is_measured_on_each_side() -> None:
    framed = np.pad(leaves(), ((3, 3), (2, 3), (0, 0)), constant_values=DARK)
    found = find_edge_lines(framed)
    assert (found.x, found.y, found.frame) == ((2, 3), (3, 3), True)


def test_a_sound_tile_has_no_line_and_a_stripe_of_the_design_is_none() -> None:
    """Else a stripe of the design is cropped off."""
    assert find_edge_lines(leaves()).x == find_edge_lines(leaves()).y == (0, 0)
    striped = leaves()
    striped[:3] = striped[40:43] = DARK
    assert find_edge_lines(striped).y == (0, 0)
