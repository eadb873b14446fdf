"""Cut lines round drawings against exact buffers by shapely; drawings printed where they belong."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely
import shapely.affinity
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from kit.drawings import read_drawing
from kit.drawings.icon import SMOOTH_MM, ScatteredError, cut_round
from kit.drawings.icon_file import drawing_of
from kit.recipe_error import RecipeError
from kit.render.picture import draw_picture
from kit.shapes import Rect, bounding_box, flatten_contour
from kit.shapes.marching import rings
from kit.sheet import Picture

APART_MM = 0.1  # what kit.icon promises


def polygon(contour):
    return shapely.Polygon(flatten_contour(contour, 1e-3))


def painted(shape, pixels=600, size_mm=30.0):
    """A shapely shape in mm as alpha, anti-aliased four times over."""
    per_mm = 4 * pixels / size_mm
    picture = Image.new("L", (4 * pixels, 4 * pixels), 0)
    pen = ImageDraw.Draw(picture)
    for part in getattr(shape, "geoms", [shape]):
        pen.polygon([(x * per_mm, y * per_mm) for x, y in part.exterior.coords], fill=255)
        for hole in part.interiors:
            pen.polygon([(x * per_mm, y * per_mm) for x, y in hole.coords], fill=0)
    return np.asarray(picture.resize((pixels, pixels), Image.Resampling.BOX))


def traced(alpha, size_mm=30.0):
    """What of a shape is left in pixels, by skimage: its sharpest tips are thinner than one."""
    from skimage.measure import find_contours

    rings = find_contours(np.pad(alpha, 1) / 255.0, 0.5)
    scale = size_mm / alpha.shape[0]
    parts = [shapely.Polygon((ring[:, ::-1] - 0.5) * scale) for ring in rings if len(ring) > 3]
    return max(parts, key=lambda part: part.area).buffer(0)


def expected(shape, distance):
    """The same by exact buffers: out by distance and smoothing, in by smoothing, holes filled."""
    grown = shape.buffer(distance + SMOOTH_MM, quad_segs=64).buffer(-SMOOTH_MM, quad_segs=64)
    return shapely.Polygon(grown.exterior)


def apart(a, b):
    return shapely.hausdorff_distance(
        shapely.segmentize(a.exterior, 0.05), shapely.segmentize(b.exterior, 0.05)
    )


def star(radii):
    angles = np.linspace(0, 2 * np.pi, len(radii), endpoint=False)
    points = np.column_stack([15 + radii * np.cos(angles), 15 + radii * np.sin(angles)])
    return shapely.Polygon(points)


@pytest.mark.slow  # stars in pixels are measured by skimage; plainer shapes follow
@settings(max_examples=8, deadline=None)
@given(st.lists(st.floats(3, 14), min_size=3, max_size=11), st.floats(0.5, 5))
def test_random_drawings_are_cut_at_their_distance(radii, distance):
    shape = star(np.array(radii))
    alpha = painted(shape)
    shape = traced(alpha)
    seen = polygon(cut_round(alpha, (30.0, 30.0), distance))
    assert seen.is_valid  # one closed ring that does not cross itself
    assert apart(seen, expected(shape, distance)) <= APART_MM
    # as asked: nowhere nearer than the distance, and as near as that
    assert shape.distance(seen.exterior) == pytest.approx(distance, abs=APART_MM)


@pytest.mark.parametrize("pixels", [120, 600, 2000])
def test_the_line_does_not_depend_on_the_pixels(pixels):
    shape = shapely.Point(15, 15).buffer(9).union(shapely.box(13, 20, 17, 29))
    seen = polygon(cut_round(painted(shape, pixels), (30.0, 30.0), 2.0))
    assert apart(seen, expected(shape, 2.0)) <= APART_MM + 15.0 / pixels  # half a pixel


def test_holes_are_closed_and_thin_parts_kept():
    ring = shapely.Point(15, 15).buffer(10).difference(shapely.Point(15, 15).buffer(8))
    seen = polygon(cut_round(painted(ring), (30.0, 30.0), 1.0))
    assert seen.contains(shapely.Point(15, 15))
    assert apart(seen, shapely.Point(15, 15).buffer(11, quad_segs=64)) <= APART_MM


def test_the_line_is_smooth():
    """No corner: each side leaves in nearly the direction in which the last one arrived."""
    shape = star(np.array([14.0, 4.0] * 5))
    contour = cut_round(painted(shape), (30.0, 30.0), 2.0)
    sides = list(contour.sides())
    turns = []
    for (a, b), (_, c) in zip(sides, sides[1:] + sides[:1], strict=True):
        ahead = np.arctan2(b.y_mm - a.y_mm, b.x_mm - a.x_mm) + 2 * np.arctan(a.bulge)
        after = np.arctan2(c.y_mm - b.y_mm, c.x_mm - b.x_mm) - 2 * np.arctan(b.bulge)
        turns.append(abs(np.degrees((after - ahead + np.pi) % (2 * np.pi) - np.pi)))
    assert max(turns) < 15
    assert len(contour.vertices) < 120


def test_pieces_near_each_other_become_one_sticker():
    pair = shapely.MultiPolygon([shapely.box(5, 5, 10, 25), shapely.box(17, 5, 22, 25)])
    seen = polygon(cut_round(painted(pair), (30.0, 30.0), 1.0))
    assert all(seen.contains(part) for part in pair.geoms)
    far = shapely.MultiPolygon([shapely.box(1, 5, 3, 25), shapely.box(27, 5, 29, 25)])
    with pytest.raises(ScatteredError) as caught:
        cut_round(painted(far), (30.0, 30.0), 1.0)
    assert caught.value.pieces == 2


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_rings_are_those_that_skimage_finds(seed):
    from scipy.ndimage import gaussian_filter
    from skimage.measure import find_contours

    noise = gaussian_filter(np.random.default_rng(seed).normal(size=(24, 30)), 1.5)
    field = np.pad(noise, 1, constant_values=-1.0) - 0.02
    ours = sorted(abs(shapely.Polygon(ring).area) for ring in rings(field))
    theirs = sorted(
        shapely.Polygon(ring).area
        for ring in find_contours(field, 0.0, fully_connected="low")
        if len(ring) > 3
    )
    assert ours == pytest.approx(theirs, abs=1e-9)


# ---- from files, and onto the sheet


def drawn(mode, ground):
    picture = Image.new("RGBA", (400, 300), ground)
    pen = ImageDraw.Draw(picture)
    pen.ellipse((100, 60, 300, 240), fill=(60, 120, 90, 255))
    pen.ellipse((170, 120, 230, 180), fill=ground)
    return picture.convert(mode)


@pytest.mark.parametrize(
    ("mode", "ground"),
    [("RGBA", (0, 0, 0, 0)), ("RGB", (250, 250, 250, 255)), ("RGB", (40, 40, 90, 255))],
)
def test_transparent_and_plain_grounds_are_left_out(mode, ground, tmp_path):
    file = tmp_path / "drawing.png"
    drawn(mode, ground).save(file)
    made = read_drawing(file, (30.0, 30.0), 2.0)
    # 201 x 181 pixels, fitted to 30 mm wide; the cut runs 2 mm around
    assert made.box.width_mm == pytest.approx(30.0)
    assert made.box.height_mm == pytest.approx(30.0 * 181 / 201)
    box = bounding_box(made.outline)
    assert (box.x_mm, box.y_mm) == pytest.approx((0, 0), abs=1e-9)
    assert box.width_mm == pytest.approx(34.0, abs=0.15)
    assert made.box.x_mm == pytest.approx(2.0, abs=0.1)
    hole = made.alpha[made.alpha.shape[0] // 2, made.alpha.shape[1] // 2]
    # what a transparent file leaves open stays so; a plain ground is left out only outside
    assert hole == (0 if mode == "RGBA" else 255)


def test_a_picture_of_many_colours_to_its_edge_is_kept_whole(tmp_path):
    file = tmp_path / "photo.png"
    noise = np.random.default_rng(1).integers(0, 255, (90, 120, 3), dtype=np.uint8)
    Image.fromarray(noise).save(file)
    made = read_drawing(file, (24.0, 24.0), 1.0)
    assert (made.box.width_mm, made.box.height_mm) == pytest.approx((24.0, 18.0))
    assert apart(polygon(made.outline), shapely.box(1, 1, 25, 19).buffer(1, quad_segs=64)) <= 0.12


def test_empty_and_scattered_drawings_are_refused():
    white = np.full((50, 50, 3), 255, np.uint8)
    with pytest.raises(RecipeError, match="is empty"):
        drawing_of(white, np.zeros((50, 50), np.uint8), (20, 20), 1.0)
    alpha = np.zeros((500, 500), np.uint8)
    alpha[:20, :20] = alpha[-20:, -20:] = 255
    with pytest.raises(RecipeError, match="2 pieces too far apart"):
        drawing_of(np.zeros((500, 500, 3), np.uint8), alpha, (40, 40), 1.0, Path("dots.png"))


def test_a_picture_lies_where_it_is_put_at_any_size():
    alpha = np.full((80, 60), 255, np.uint8)
    ink = np.zeros((80, 60, 3), np.uint8)
    for dpi in (72, 300, 600):
        per_mm = dpi / 25.4
        raster = np.full((round(60 * per_mm), round(60 * per_mm), 3), 255, np.uint8)
        draw_picture(raster, Picture(Rect(10.3, 12.7, 30.0, 40.0), ink, alpha), dpi)
        dark = (255.0 - raster[..., 0]) / 255.0
        assert dark.sum() / per_mm**2 == pytest.approx(30.0 * 40.0, rel=0.02)
        rows, cols = np.indices(dark.shape)
        centre = [((k + 0.5) * dark).sum() / dark.sum() / per_mm for k in (cols, rows)]
        assert centre == pytest.approx([25.3, 32.7], abs=0.05)


def test_what_lies_behind_shows_through_by_alpha():
    """Laid on white, then put on another ground: the formula of over-compositing, by hand."""
    ink, cover = np.array([200, 40, 90.0]), 0.4
    on_white = np.full((30, 30, 3), np.rint(ink * cover + 255 * (1 - cover)), np.uint8)
    alpha = np.full((30, 30), round(255 * cover), np.uint8)
    raster = np.empty((60, 60, 3), np.uint8)
    raster[:] = (30, 160, 220)
    draw_picture(raster, Picture(Rect(0, 0, 60, 60), on_white, alpha), 25.4)
    wanted = ink * cover + np.array([30, 160, 220]) * (1 - cover)
    assert raster[30, 30] == pytest.approx(wanted, abs=1.5)


# ---- what is see-through is part of the drawing


def layers(*parts, pixels=600):
    """Alpha of (shape in mm, opacity from 0 to 1) laid over each other, the strongest on top."""
    return np.rint(
        np.max([painted(shape, pixels) * share for shape, share in parts], axis=0)
    ).astype(np.uint8)


BODY = shapely.box(13.5, 6, 16.5, 24)
WINGS = shapely.union_all([shapely.Point(x, 12).buffer(6) for x in (7.5, 22.5)])


@pytest.mark.parametrize("opacity", [0.06, 0.2, 0.43, 0.6])
def test_see_through_wings_are_cut_round_and_printed(opacity):
    """Half a dragonfly would be missing, and the rest twice as large as asked for."""
    alpha = layers((BODY, 1.0), (WINGS, opacity))
    made = drawing_of(np.full((*alpha.shape, 3), 90, np.uint8), alpha, (30.0, 30.0), 1.0)
    whole = BODY.union(WINGS)
    left, top, right, bottom = whole.bounds
    scale = 30.0 / max(right - left, bottom - top)
    moved = shapely.affinity.translate(whole, -left, -top)
    true = expected(shapely.affinity.scale(moved, scale, scale, origin=(0, 0)), 1.0)
    low_x, low_y, *_ = true.bounds
    seen = polygon(made.outline)
    assert apart(seen, shapely.affinity.translate(true, -low_x, -low_y)) <= 0.15
    assert made.left_out < 1e-4
    assert made.alpha.sum() == pytest.approx(alpha.sum(), rel=1e-5)


def test_a_wash_is_a_drawing():
    alpha = layers((shapely.Point(15, 15).buffer(10), 0.47))
    seen = polygon(cut_round(alpha, (30.0, 30.0), 1.0))
    assert apart(seen, shapely.Point(15, 15).buffer(11, quad_segs=64)) <= APART_MM


def test_a_glow_is_held_as_far_as_it_can_be_seen():
    y, x = np.mgrid[0:600, 0:600] + 0.5
    away = np.hypot(x - 300, y - 300) / 20.0
    alpha = np.rint(255 * np.clip(1.0 - (away - 4.0) / 8.0, 0.0, 1.0)).astype(np.uint8)
    made = drawing_of(np.full((600, 600, 3), 90, np.uint8), alpha, (30.0, 30.0), 0.0)
    edge_mm = (4.0 + 8.0 * (1.0 - 13 / 255)) * 30.0 / made.alpha.shape[1] * 20.0
    box = bounding_box(made.outline)
    assert box.width_mm == pytest.approx(2.0 * edge_mm, abs=0.2)
    outside = alpha[away > 4.0 + 8.0 * (1.0 - 13 / 255)].sum() / alpha.sum()
    assert made.left_out == pytest.approx(outside, abs=0.003)


@pytest.mark.parametrize("share", [12, 13])
def test_what_five_in_a_hundred_covers_is_seen_and_less_is_not(share):
    alpha = np.zeros((60, 60), np.uint8)
    alpha[10:50, 10:50] = share
    white = np.full((60, 60, 3), 255, np.uint8)
    if share == 13:
        assert drawing_of(white, alpha, (20, 20), 1.0).box.width_mm == 20.0
    else:
        with pytest.raises(RecipeError, match="over 95% transparent"):
            drawing_of(white, alpha, (20, 20), 1.0)


def test_what_is_too_pale_to_be_cut_round_is_told_with_its_share():
    alpha = np.zeros((400, 400), np.uint8)
    alpha[:, :] = 12  # a haze all over
    alpha[100:300, 100:300] = 255
    made = drawing_of(np.full((400, 400, 3), 90, np.uint8), alpha, (20.0, 20.0), 0.0)
    outside = 12 * (400 * 400 - 200 * 200)
    assert made.left_out == pytest.approx(outside / (outside + 255 * 200 * 200), abs=0.003)


@pytest.mark.parametrize(("pixels", "distance"), [(300, 1.0), (1200, 0.8), (1200, 0.0)])
def test_needle_tips_keep_their_distance(pixels, distance):
    """A feather's points would be cut off, or lie nearer to the cut than was asked for."""
    needles = [[(14.7, 13), (15.3, 13), (15, 1)], [(13, 18.8), (13, 19.2), (29, 23)]]
    shape = shapely.union_all([shapely.Point(15, 19).buffer(8), *map(shapely.Polygon, needles)])
    alpha = painted(shape, pixels)
    seen = polygon(cut_round(alpha, (30.0, 30.0), distance))
    rows, cols = np.nonzero(alpha >= 13)
    middles = shapely.points((cols + 0.5) * 30 / pixels, (rows + 0.5) * 30 / pixels)
    away = shapely.distance(middles, seen.exterior)
    signed = np.where(shapely.contains_xy(seen, shapely.get_coordinates(middles)), away, -away)
    assert signed.min() >= distance - APART_MM


def test_a_drawing_that_was_changed_is_read_again(tmp_path: Path) -> None:
    """Else a maker who redraws an icon would go on seeing the old one on the page."""
    file = tmp_path / "leaf.png"
    for wide in (30, 60):
        drawing = Image.new("RGBA", (80, 40))
        drawing.paste((20, 120, 60, 255), (5, 5, 5 + wide, 35))
        drawing.save(file)
        assert read_drawing(file, (12.0, 12.0), 1.0).on_white.shape == (30, wide, 3)
