"""What the page says of a new tile, to a reader who has no terminal open."""

from __future__ import annotations

import numpy as np

from kitloom.findings import seam_findings
from kitloom.page.views.page_words import told_of
from kitloom.page.work import Preview
from patterns.plane import HALF_DROP
from patterns.seams import check_seams


def test_a_tile_that_closes_as_a_half_drop_is_told_with_what_the_page_offers() -> None:
    """A maker at the page would be sent to an option of a command."""
    rings = np.hypot(*np.mgrid[0:64, 0:64]) % 12.0 < 6.0  # cut through by every edge
    tile = np.where(rings[..., None], [20, 90, 90], [240, 235, 220]).astype(np.uint8)
    found = seam_findings("rings", check_seams(tile), HALF_DROP.name)
    assert {one.code for one in found} == {"seam"}
    for one in told_of(Preview("done", lattice=HALF_DROP, told=tuple(found))):
        assert "--" not in one.remedy
        assert "half-drop" in one.remedy
        assert "How the tile repeats" in one.remedy
