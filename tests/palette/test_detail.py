"""Strokes of known width, at known resolutions: 0.18 mm is 2.13 px at 300, 0.35 mm is 4.13 px."""

from __future__ import annotations

import numpy as np
import pytest

from palette.proof import judge_strokes, thin_strokes
from palette.proof.detail import POSITIVE_MM, REVERSED_MM


def stroke(width_px: int, ground: int, ink: int, *, at: int = 30) -> np.ndarray:
    pixels = np.full((80, 90, 3), ground, dtype=np.uint8)
    pixels[:, np.arange(at, at + width_px) % 90] = ink
    return pixels


@pytest.mark.parametrize(("width_px", "found"), [(1, 1), (2, 1), (3, 0), (5, 0)])
def test_a_dark_stroke_under_half_a_point(width_px: int, found: int) -> None:
    places = [s for s in thin_strokes(stroke(width_px, 255, 0), 300) if s.kind == "positive"]
    assert len(places) == found
    for place in places:
        assert (place.x_px, place.width_px, place.height_px) == (30, width_px, 80)
        assert place.limit_mm == POSITIVE_MM
        assert place.contrast == pytest.approx(100.0, abs=0.1)
        assert 30 <= place.at_px[0] < 30 + width_px
        assert 0 <= place.at_px[1] < 80


@pytest.mark.parametrize(("width_px", "found"), [(2, 1), (4, 1), (5, 0), (8, 0)])
def test_a_light_stroke_under_one_point(width_px: int, found: int) -> None:
    places = [s for s in thin_strokes(stroke(width_px, 0, 255), 300) if s.kind == "reversed"]
    assert len(places) == found
    for place in places:
        assert place.limit_mm == REVERSED_MM


def test_a_stroke_across_the_join_is_one_width() -> None:
    """Three pixels across the tile's edge hold, though either half alone would not."""
    across = [s for s in thin_strokes(stroke(3, 255, 0, at=88), 300) if s.kind == "positive"]
    assert across == []


def test_a_larger_repeat_makes_strokes_wide_enough() -> None:
    assert thin_strokes(stroke(2, 255, 0), 300)
    assert thin_strokes(stroke(2, 255, 0), 150) == ()


@pytest.mark.parametrize(
    ("ground", "ink", "limit_mm"), [(255, 0, POSITIVE_MM), (0, 255, REVERSED_MM)]
)
@pytest.mark.parametrize("width_px", [1, 2, 3])
def test_the_size_named_is_where_lines_begin_to_hold(
    width_px: int, ground: int, ink: int, limit_mm: float
) -> None:
    """There, and at every larger size, they do; any smaller they do not."""
    pixels = stroke(width_px, ground, ink)
    (line, *_) = judge_strokes(pixels, 600)
    assert line.holds_dpi == pytest.approx(width_px * 25.4 / limit_mm)
    for dpi in np.geomspace(line.holds_dpi, 20, 12):
        assert thin_strokes(pixels, float(dpi)) == ()
    assert thin_strokes(pixels, line.holds_dpi * 1.01)
    assert judge_strokes(pixels, 20) == ()


@pytest.mark.parametrize("width_px", [2, 3, 4, 5, 6])
def test_a_line_too_short_for_large_limits_counts_at_the_small_ones(width_px: int) -> None:
    """Else a maker would make the repeat as large as is said, and lose that line still."""
    pixels = np.full((120, 140, 3), 255, dtype=np.uint8)
    pixels[4:11, 4:124] = 0
    pixels[40 : 40 + width_px, 4 : 4 + 6 * (width_px + 1)] = 0
    line = judge_strokes(pixels, 1100)[0]
    assert line.width_px == 120
    assert line.holds_dpi == pytest.approx(width_px * 25.4 / POSITIVE_MM)


def test_faint_texture_and_dots_are_left_alone() -> None:
    assert thin_strokes(stroke(1, 230, 200), 300) == ()
    dots = np.full((60, 60, 3), 255, dtype=np.uint8)
    dots[::10, ::10] = 0
    assert thin_strokes(dots, 300) == ()


def test_a_short_tip_is_no_line() -> None:
    """Three limits long, as the tip of a leaf is; seven limits long it is a line."""
    for length, found in ((9, 0), (21, 1)):
        pixels = np.full((80, 90, 3), 255, dtype=np.uint8)
        pixels[20 : 20 + length, 40:42] = 0
        assert len(thin_strokes(pixels, 300)) == found
