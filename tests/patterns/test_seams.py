"""Are clean tiles left alone, and faults found, named and placed? On tiles made seamless here."""

from __future__ import annotations

import subprocess
import sys
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image

from learning.drawings.plain import Canvas, blooms, checks, crowded, sprigs, wash
from learning.faults import broken_rhythm, faulty, jpeg, worst_run_de
from learning.tiles import phased
from patterns.lab32 import lab32
from patterns.plane import HALF_BRICK, HALF_DROP, STRAIGHT
from patterns.seams import check_seams
from patterns.seams.joins import LEAST_PX, build_joins
from patterns.seams.trees import forest


@pytest.fixture(scope="module")
def tile() -> np.ndarray:
    return blooms(np.random.default_rng(4))


def test_clean_tile_is_seamless(tile):
    check = check_seams(tile)
    assert check.seamless is True
    assert check.x.faults == ()
    assert check.x.question is None
    assert len(check.x.strength) == tile.shape[0]
    assert len(check.y.strength) == tile.shape[1]
    with pytest.raises(ValueError, match="read-only"):
        check.x.strength[0] = 1.0


@pytest.mark.parametrize("draw", [blooms, sprigs, crowded, wash])
def test_jpeg_and_grain_are_not_faults(draw):
    # seeds that no training or benchmark uses
    pixels = draw(np.random.default_rng(70_001))
    grain = np.random.default_rng(1).normal(0, 3, pixels.shape)
    grainy = np.clip(pixels + grain, 0, 255).astype(np.uint8)
    assert check_seams(jpeg(pixels, 75), lossy=True).seamless is not False
    assert check_seams(grainy).seamless is not False


@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize(
    ("kind", "named"),
    [
        ("fringe", "fringe"),
        ("crop 17 %", "crop"),
        ("motif cut off", "cut-motif"),
        ("drift 8 L*", "drift"),
        ("doubled line", "doubled-line"),
    ],
)
def test_fault_is_found_and_named_on_its_axis(tile, kind, named, axis):
    pixels, _ = faulty(tile, kind, axis, np.random.default_rng(1))
    check = check_seams(pixels)
    other = "y" if axis == "x" else "x"
    assert check.seamless is False
    assert getattr(check, axis).verdict == "seam"
    assert getattr(check, axis).faults[0].kind == named
    assert getattr(check, other).verdict == "seamless"


def test_cut_motif_is_placed(tile):
    pixels = tile.copy()
    yy, xx = np.mgrid[0 : tile.shape[0], 0 : tile.shape[1]]
    disc = np.hypot(yy - 80, xx - tile.shape[1]) < 24
    pixels[disc] = (250, 240, 60)
    # only the rows where the disc meets the edge: 80 - 24 to 80 + 24
    fault = check_seams(pixels).x.faults[0]
    assert fault.from_px == pytest.approx(56, abs=8)
    assert fault.to_px == pytest.approx(104, abs=8)
    assert fault.shift_de2000 > 10


def test_enlarging_with_clamped_edges_is_told_from_enlarging_across_the_join():
    """Pillow's own resampling, of the tile alone and of the tile with its neighbours."""
    small = sprigs(np.random.default_rng(70_003))
    height, width = small.shape[:2]
    size = (4 * width, 4 * height)
    around = Image.fromarray(np.pad(small, ((4, 4), (4, 4), (0, 0)), mode="wrap"))
    box = (4, 4, width + 4, height + 4)
    across = np.asarray(around.resize(size, Image.Resampling.BICUBIC, box=box))
    alone = np.asarray(Image.fromarray(small).resize(size, Image.Resampling.BICUBIC))
    assert check_seams(across).seamless is True
    found = [axis for axis in (check_seams(alone).x, check_seams(alone).y) if axis.faults]
    assert found
    assert {axis.faults[0].kind for axis in found} == {"clamped"}


def test_broken_rhythm_is_a_seam():
    found = []
    for seed in range(12):
        pixels, axis = broken_rhythm(np.random.default_rng([70_002, seed]))
        result = getattr(check_seams(pixels), axis)
        found.append(result.verdict == "seam" and result.faults[0].kind == "rhythm")
    assert np.mean(found) >= 0.9


@pytest.mark.parametrize("period", [20, 24, 30])
def test_stripes_in_a_drifting_light_are_named_by_the_drift(period):
    light, dark = np.array((230, 225, 210)), np.array((90, 120, 140))
    band = (np.arange(240) % period < period // 2)[None, :, None]
    tile = np.where(band, light, dark).astype(np.uint8).repeat(200, axis=0)
    assert check_seams(tile).x.verdict == "seamless"
    drifting, _ = faulty(tile, "drift 8 L*", "x", np.random.default_rng(1))
    found = check_seams(drifting).x
    assert (found.verdict, found.faults[0].kind) == ("seam", "drift")


def test_gingham_is_seamless_at_any_phase():
    pixels = checks(np.random.default_rng(12))
    for line in (True, False):
        turned = phased(pixels, line=line, rng=np.random.default_rng(1))
        assert check_seams(turned).seamless is not False


def test_line_drawn_on_the_boundary_asks_a_person():
    asked = []
    for seed in range(8):
        canvas = Canvas(200, 180, (240, 236, 220))
        rng = np.random.default_rng(seed)
        for _ in range(7):
            shape = np.stack([np.cos(np.arange(0, 6.3, 0.2)), np.sin(np.arange(0, 6.3, 0.2))], 1)
            canvas.polygon(shape * 14 + rng.uniform(25, 155, 2), (60, 110, 90))
        for a, b in pairwise([(0, -9), (0, 190)]):
            canvas.line(np.array([a, b], dtype=float), (190, 90, 60), 5)
        asked.append(check_seams(canvas.pixels()).x)
    assert sum(r.verdict == "seam" for r in asked) <= 1
    assert all(r.question for r in asked if r.verdict == "unsure")


def test_what_cannot_be_seen_is_no_seam():
    flat = np.full((120, 120, 3), 200, dtype=np.uint8)
    flat[:, -1] = 202  # under one just noticeable difference
    assert worst_run_de(flat[:, -1], flat[:, 0]) < 2.3
    assert check_seams(flat).seamless is True


def test_straight_tile_is_a_seam_with_another_lattice():
    tile = crowded(np.random.default_rng(9))
    assert check_seams(tile, HALF_DROP).x.verdict == "seam"
    assert check_seams(tile, HALF_DROP).y.verdict != "seam"
    assert check_seams(tile, HALF_BRICK).y.verdict == "seam"


def test_large_and_small_pictures_of_one_tile_agree(tile):
    large = np.kron(tile, np.ones((4, 4, 1), dtype=np.uint8))
    assert check_seams(large).seamless is True
    cropped, _ = faulty(large, "crop 17 %", "x", np.random.default_rng(1))
    assert check_seams(cropped).x.verdict == "seam"


def test_half_drop_tile_is_seamless_with_its_own_lattice_only():
    # discs a half-drop apart: centred on the left edge's top corner and the right edge's middle
    y, x = np.mgrid[0:160, 0:120]
    tile = np.full((160, 120, 3), 235, dtype=np.uint8)
    for cy, cx in ((0, 0), (160, 0), (80, 120)):
        off = np.clip(42.5 - np.hypot((y - cy) * 1.2, x - cx), 0, 1)[..., None]
        tile = np.rint(tile * (1 - off) + np.array([40, 90, 160]) * off).astype(np.uint8)
    assert check_seams(tile, HALF_DROP).x.verdict == "seamless"
    assert check_seams(tile, STRAIGHT).x.verdict == "seam"


def test_too_small_to_judge():
    rng = np.random.default_rng(1)
    noise = rng.integers(0, 255, (LEAST_PX - 1, 40, 3)).astype(np.uint8)
    assert check_seams(noise).seamless is None
    assert check_seams(noise).x.question == "too-small-to-judge"
    assert check_seams(np.full((5, 5, 3), 7, dtype=np.uint8)).seamless is True
    assert check_seams(noise[:1, :1]).seamless is True


def test_a_tile_one_pixel_wide_has_no_join_to_see_at_its_sides():
    column = np.random.default_rng(2).integers(0, 255, (90, 1, 3)).astype(np.uint8)
    check = check_seams(column)
    assert (check.x.verdict, check.y.verdict) == ("seamless", "unsure")
    assert check_seams(column, HALF_DROP).x.verdict == "unsure"  # its neighbour stands lower
    stripes = np.repeat(column, 20, axis=1)
    assert check_seams(stripes).x.verdict == "seamless"
    assert check_seams(stripes.transpose(1, 0, 2).copy()).y.verdict == "seamless"


def test_wrong_shape_is_refused():
    with pytest.raises(ValueError, match="height, width, 3"):
        check_seams(np.zeros((4, 4), dtype=np.uint8))


def test_neighbours_stand_where_the_lattice_puts_them(tile):
    x, _ = build_joins(tile, HALF_DROP)
    stack = x.whole
    lower = np.roll(tile[:, 0], round(tile.shape[0] / 2), axis=0)
    assert np.allclose(stack.lines[stack.join], lab32(lower))
    assert np.allclose(stack.lines[stack.join - 1], lab32(tile[:, -1]))


def test_same_verdict_with_any_number_of_threads(tile):
    from threadpoolctl import threadpool_limits

    checks_ = []
    for threads in (1, 2):
        with threadpool_limits(threads):
            checks_.append(check_seams(tile))
    assert checks_[0].x.score == checks_[1].x.score
    assert checks_[0].y.score == checks_[1].y.score


def test_no_learning_library_is_loaded():
    code = (
        "import sys, numpy as np; from patterns.seams.check import check_seams;"
        "check_seams(np.zeros((64, 64, 3), np.uint8));"
        "sys.exit(any(m.split('.')[0] == 'sklearn' for m in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_trees_answer_between_0_and_1():
    trees = forest()
    values = dict.fromkeys(trees.figures, 0.0)
    chances = trees.chances(values)
    assert {"seam", "line", "kind:fringe", "kind:rhythm"} <= set(chances)
    assert all(0.0 < chance < 1.0 for chance in chances.values())
    # evidence only ever raises the chance of a seam
    louder = trees.chances({**values, "step_long:max": 2.0, "match_long:max": 2.0})
    assert louder["seam"] >= chances["seam"]


def test_straight_lattice_is_the_default(tile):
    assert check_seams(tile).lattice == STRAIGHT.name


def test_rhythm_is_followed_as_the_lattice_places_the_neighbour():
    # spots on a fine half-drop: 5 periods of 24 px across, every tile on the right half lower;
    # within the tile every row of spots goes straight on, so the drop needs rows half a tile apart
    y, x = np.mgrid[0:144, 0:120]
    spots = np.hypot((x % 24) - 12, (y % 36) - 18) < 7
    tile = np.where(spots[..., None], (40, 60, 120), (240, 230, 220)).astype(np.uint8)
    assert check_seams(tile).seamless is True
    assert check_seams(tile, HALF_DROP).seamless is True  # 72 px are two rows: the same plane
    assert check_seams(tile[:-20], HALF_DROP).x.verdict == "seam"  # 62 px are not


@pytest.mark.parametrize("shape", [(400, 12_000), (12_000, 60), (40, 3000), (3000, 100)])
def test_long_thin_tiles_are_judged(shape: tuple[int, int]) -> None:
    y, x = np.mgrid[: shape[0], : shape[1]]
    waves = np.sin(2 * np.pi * x * 12 / shape[1]) + np.cos(2 * np.pi * y * 2 / shape[0])
    tile = np.repeat(np.rint(170 + 30 * waves).astype(np.uint8)[..., None], 3, axis=2)
    check = check_seams(tile)
    assert (check.x.verdict, check.y.verdict) == ("seamless", "seamless")
    cut = check_seams(np.ascontiguousarray(tile[:, : shape[1] * 11 // 12 - shape[1] // 24]))
    assert cut.y.verdict == "seamless"
    assert cut.x.verdict != "seamless"
