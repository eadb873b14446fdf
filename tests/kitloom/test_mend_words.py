"""What mend says is what it did: what was given up, what the check says, and what is drawn.

No published source: the sentences are held against the tiles and files that were made.
"""

from __future__ import annotations

import numpy as np
import pytest

from kitloom.findings.mending import mend_findings
from patterns.lattice import STRAIGHT
from patterns.mend import Mended
from patterns.mend_axis import MendStep
from patterns.seams import check_seams

GROUND = (244, 238, 220)


def plain(width: int, height: int) -> np.ndarray:
    """A ground with one motif in its middle, which repeats."""
    tile = np.full((height, width, 3), GROUND, np.uint8)
    tile[height // 3 : height // 2, width // 3 : width // 2] = (59, 91, 122)
    return tile


def let_in_to(width: int, height: int, *steps: MendStep) -> Mended:
    tile = plain(width, height)
    return Mended(tile, STRAIGHT, steps, check_seams(tile), mended=True)


def test_a_strip_that_was_given_up_is_told_with_its_share_and_warned_of() -> None:
    made = let_in_to(200, 160, MendStep("let-in", "y", 40))
    (found,) = mend_findings("a.png", check_seams(plain(200, 200)), made, (200, 200))
    assert (found.code, found.severity) == ("mended", "warn")
    assert "A strip of 40 px (20 % of the height) was given up" in found.what
    assert "motifs in it are gone" in found.what
    assert "whether you miss what is gone" in found.remedy
    assert found.measures["given_up_share"] == pytest.approx(0.2)


def test_two_strips_count_together() -> None:
    made = let_in_to(194, 194, MendStep("let-in", "x", 6), MendStep("let-in", "y", 6))
    (found,) = mend_findings("a.png", check_seams(plain(200, 200)), made, (200, 200))
    assert found.severity == "warn"  # 3 % each way
    assert "Strips of 6 px (3 % of the width) and 6 px (3 % of the height)" in found.what
    assert found.measures["given_up_share"] == pytest.approx(1 - 0.97**2, abs=1e-4)


@pytest.mark.parametrize(
    "step", [MendStep("let-in", "x", 4), MendStep("doubled-line", "x", 1)], ids=lambda s: s.kind
)
def test_little_or_nothing_given_up_is_a_note(step: MendStep) -> None:
    made = let_in_to(200 - step.width_px, 200, step)
    (found,) = mend_findings("a.png", check_seams(plain(200, 200)), made, (200, 200))
    assert found.severity == "note"
    assert ("given up" in found.what) is (step.kind == "let-in")
    assert "miss" not in found.remedy
