"""What check and mend say of pictures that are not one tile: several repeats, too few, or none."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from benchmarks.repeats import plane_of
from kitloom.cli import kitloom
from kitloom.findings import repeat_unseen_findings
from kitloom.measure import Request, kit_study
from kitloom.page.state.study_cache import StudyCache
from learning.drawings.plain import blooms, crowded
from learning.faults import faulty
from patterns.plane import STRAIGHT
from patterns.seams import AxisCheck, SeamCheck

pytestmark = pytest.mark.slow


def answer(*words: object) -> dict:
    result = CliRunner().invoke(kitloom, [str(w) for w in words], standalone_mode=False)
    assert result.exception is None, result.exception
    return json.loads(result.stdout)


def coded(said: dict, code: str) -> list[dict]:
    return [one for one in said["findings"] if one["code"] == code]


def saved(pixels: np.ndarray, path: Path) -> Path:
    Image.fromarray(pixels).save(path)
    return path


def swatch(repeats: float) -> np.ndarray:
    tile = crowded(np.random.default_rng(3))
    return plane_of(tile, STRAIGHT, repeats, np.random.default_rng(4))


def test_several_repeats_are_reported_with_the_smallest_and_cut_down_to_it(tmp_path: Path) -> None:
    height, width = crowded(np.random.default_rng(3)).shape[:2]
    picture = saved(swatch(2.6), tmp_path / "swatch.png")
    said = answer("check", picture, "--json")
    (found,) = coded(said, "repeat-inside")
    assert found["measures"]["width_px"] == pytest.approx(width, abs=0.1)
    assert found["measures"]["height_px"] == pytest.approx(height, abs=0.1)
    assert coded(said, "repeat-unseen") == []
    (tile,) = answer("mend", picture, "--out", tmp_path / "out", "--json")["tiles"]
    assert tile["mended"] is True
    assert (tile["width_px"], tile["height_px"]) == (width, height)


def test_a_tile_made_of_whole_repeats_says_so_and_is_left(tmp_path: Path) -> None:
    tile = blooms(np.random.default_rng(4))
    picture = saved(np.tile(tile, (2, 2, 1)), tmp_path / "four.png")
    said = answer("check", picture, "--json")
    assert said["tiles"][0]["seamless"] is True
    (found,) = coded(said, "repeat-inside")
    assert found["measures"]["width_px"] == pytest.approx(tile.shape[1], abs=0.1)
    assert answer("mend", picture, "--out", tmp_path / "out", "--json")["tiles"][0]["steps"] == []


def test_less_than_one_and_a_half_repeats_is_said_with_the_likely_size(tmp_path: Path) -> None:
    height, width = crowded(np.random.default_rng(3)).shape[:2]
    picture = saved(swatch(1.3), tmp_path / "swatch.png")
    (found,) = coded(answer("check", picture, "--json"), "repeat-unseen")
    assert "less than one and a half" in found["what"]
    assert found["measures"]["seen"] == pytest.approx(1.3, abs=0.02)
    assert found["measures"]["width_px"] == pytest.approx(width, abs=1.0)
    assert found["measures"]["height_px"] == pytest.approx(height, abs=1.0)


@pytest.mark.slow
def test_too_little_of_a_repeat_is_said_where_a_person_must_look_too() -> None:
    """Else a maker finds the join good, and prints artwork that ends off its repeat."""
    picture = swatch(1.3)
    asked = AxisCheck("unsure", 0.6, (), np.zeros(4), "faint-join")
    unsure = SeamCheck(asked, asked, "straight")
    (found,) = repeat_unseen_findings("swatch", picture, unsure, None)
    assert "less than one and a half" in found.what
    assert len(f"{found.what} {found.why} {found.remedy}") <= 300
    tile = crowded(np.random.default_rng(3))
    assert repeat_unseen_findings("tile", tile, unsure, None) == []  # a doubt is not a fault


@pytest.mark.slow
def test_a_draft_says_that_a_picture_holds_too_little_of_a_repeat(tmp_path: Path) -> None:
    saved(swatch(1.3), tmp_path / "swatch.png")
    words = ["draft", str(tmp_path), "--out", str(tmp_path / "kit.toml")]
    result = CliRunner().invoke(kitloom, words, standalone_mode=False)
    assert result.exception is None, result.exception
    said = " ".join(result.output.split())
    assert "swatch.png: It seems to hold 1.3 repeats" in said
    assert "less than one and a half" in said


def test_the_page_says_that_a_picture_holds_too_little_of_a_repeat(tmp_path: Path) -> None:
    picture = saved(swatch(1.3), tmp_path / "swatch.png")
    cache = StudyCache(kit_study)
    said = cache.too_little(cache.study(Request(picture)))
    assert "less than one and a half" in said
    assert cache.too_little(cache.study(Request(picture))) == said


def test_a_picture_in_which_nothing_repeats_is_said_to(tmp_path: Path) -> None:
    tile = crowded(np.random.default_rng(3))
    cropped, _ = faulty(tile, "crop 17 %", "x", np.random.default_rng(1))
    picture = saved(cropped, tmp_path / "cropped.png")
    (found,) = coded(answer("check", picture, "--json"), "repeat-unseen")
    assert found["what"].startswith("No repeat found")
    said = answer("mend", picture, "--out", tmp_path / "out", "--json")
    assert bool(coded(said, "repeat-unseen")) is bool(coded(said, "not-mended"))
    fringed, _ = faulty(tile, "fringe", "x", np.random.default_rng(1))
    other = saved(fringed, tmp_path / "fringe.png")  # what is wrong there is not where it ends
    assert coded(answer("check", other, "--json"), "repeat-unseen") == []


@pytest.mark.parametrize("axis", ["x", "y"])
def test_a_tile_cut_too_wide_is_told_its_repeat_and_cut_to_it(axis: str, tmp_path: Path) -> None:
    tile = crowded(np.random.default_rng(3))
    by = {"x": 1, "y": 0}[axis]
    wide = np.concatenate([tile, np.take(tile, range(60), axis=by)], axis=by)
    picture = saved(wide, tmp_path / "wide.png")
    said = answer("check", picture, "--json")
    (found,) = coded(said, "too-wide")
    measures = {"axis": axis, "twice_px": 60, "repeat_px": tile.shape[by]}
    assert found["measures"] == measures
    assert coded(said, "repeat-unseen") == []
    answer("mend", picture, "--out", tmp_path / "mended", "--json")
    mended = np.asarray(Image.open(tmp_path / "mended" / "wide.png").convert("RGB"))
    np.testing.assert_array_equal(mended, tile)
