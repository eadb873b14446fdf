"""What the report shows of tiles: a strip for each join that is not clean, and for no other."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from click.testing import CliRunner
from PIL import Image

from kitloom.cli import kitloom

RECIPE = (
    '[planner]\nbox = "30mm x 24mm"\n[sheet]\npaper = "A5"\ndpi = 100\n[palette]\ncolours = 3\n'
    '[[patterns]]\nfile = "tile.png"\nrepeat = "10mm"\n'
    '[[rows]]\nsticker = "full box"\ncount = 1\nfill = "tile"\n'
)


def report_of(pixels: np.ndarray, folder: Path) -> str:
    Image.fromarray(np.ascontiguousarray(pixels)).save(folder / "tile.png")
    (folder / "kit.toml").write_text(RECIPE)
    words = ["make", str(folder / "kit.toml")]
    done = CliRunner().invoke(kitloom, words, standalone_mode=False)
    assert done.exception is None, done.exception
    return (folder / "kit" / "report.html").read_text("utf-8")


def test_a_tile_without_a_seam_has_no_strips(dots: np.ndarray, tmp_path: Path) -> None:
    report = report_of(dots, tmp_path)
    assert "no seam shows" in report
    assert '<svg class="strip"' not in report
    assert "a strip shows" not in report


def test_a_cut_tile_has_a_strip_of_the_join_that_shows(dots: np.ndarray, tmp_path: Path) -> None:
    report = report_of(dots[:, :-37], tmp_path)
    assert "a seam shows" in report
    assert "a strip shows" in report
    assert report.count('<svg class="strip"') == 1
    assert 'aria-label="Seam strength, left and right edge"' in report
    assert "left and right edge: seam" in report
