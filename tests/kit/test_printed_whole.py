"""Every sticker is printed wherever its cut may fall: counted by readers that are not ours.

Outside readers: shapely says what must be printed (the cut line swept by the square of the bleed);
pdfium draws the print PDF, and its pixels are counted.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pypdfium2
import pytest
import shapely
import shapely.affinity
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.registration import bleed_shape
from kit.render import render_and_check, render_page
from kit.shapes import Contour, Rect, Vertex, bounding_box, circle, flatten_contour, translate
from kit.sheet import ColourFill, PatternFill, Placement, Sheet
from kit.writers import WRITERS

DPI = 200
GREEN = ColourFill("#3b7a4b")


def contour(shape: shapely.Polygon) -> Contour:
    left, top, *_ = shape.bounds
    ring = np.array(shape.exterior.coords)[:-1] - (left, top)
    return Contour(tuple(Vertex(float(x), float(y)) for x, y in ring))


def polygon(shape: Contour) -> shapely.Polygon:
    return shapely.Polygon(flatten_contour(shape, 0.001))


def swirl(size_mm: float) -> Contour:
    """A coiled arm with a knob at either end: its mouth is narrower than its channel."""
    turn = np.linspace(0.35, 2.4, 300) * 2.0 * np.pi
    line = np.column_stack([turn * np.cos(turn), turn * np.sin(turn)])
    arm = shapely.LineString(line).buffer(2.1, quad_segs=16)
    knobs = [shapely.Point(line[k]).buffer(wide) for k, wide in ((0, 3.0), (-1, 2.6))]
    whole = shapely.Polygon(shapely.union_all([arm, *knobs]).exterior)
    left, top, right, bottom = whole.bounds
    return contour(shapely.affinity.scale(whole, *(size_mm / max(right - left, bottom - top),) * 2))


def jar(mouth_mm: float) -> Contour:
    """A jar with four deep slots behind one narrow mouth, as a comb has teeth."""
    outside = shapely.box(0, 0, 30, 24)
    inside = shapely.union_all(
        [shapely.box(3 + 6 * k, 8, 6 + 6 * k, 21) for k in range(4)]
        + [shapely.box(3, 5, 24, 8), shapely.box(12, 0, 12 + mouth_mm, 5)]
    )
    return contour(outside.difference(inside))


def placed(shape: Contour, bleed_mm: float, x: float, y: float, fill=GREEN) -> Placement:
    ink = bleed_shape(shape, bleed_mm)
    box = bounding_box(shape).shift(x, y)
    return Placement(
        "outline",
        box,
        translate(shape, x, y),
        fill,
        box.grow(bleed_mm),
        ink=translate(ink, x, y) if ink else None,
    )


def sheet(*placements: Placement, dpi: float = DPI) -> Sheet:
    return Sheet("Shapes", 100.0, 120.0, dpi, placements)


def pixels_inside(area: shapely.Polygon, dpi: float, shape: tuple[int, int]) -> np.ndarray:
    """The pixels whose middle lies in an area: (rows, cols) of bool."""
    per_mm = dpi / 25.4
    rows, cols = shape
    x, y = np.meshgrid((np.arange(cols) + 0.5) / per_mm, (np.arange(rows) + 0.5) / per_mm)
    shapely.prepare(area)
    return shapely.contains_xy(area, x, y)


def swept(shape: Contour, reach: float) -> shapely.Polygon:
    ring = flatten_contour(shape, 0.01)
    square = [(a, b) for a in (-reach, reach) for b in (-reach, reach)]
    sides = [
        shapely.MultiPoint([(x + a, y + b) for x, y in side for a, b in square]).convex_hull
        for side in zip(ring, ring[1:] + ring[:1], strict=True)
    ]
    return shapely.union_all([shapely.Polygon(ring), *sides])


COILED = {
    **{f"swirl of {size} mm": (swirl(size), 1.0) for size in (42, 50, 58)},
    "swirl with a narrow bleed": (swirl(36), 0.6),
    **{f"jar, bleed {bleed}": (jar(1.0), bleed) for bleed in (0.6, 1.0, 1.6)},
}


@pytest.mark.parametrize("name", COILED)
def test_a_coiled_sticker_is_printed_inside_and_in_its_bleed(name: str) -> None:
    """A maker loses the sheet where ink lies in the bay and the sticker itself is bare."""
    shape, bleed_mm = COILED[name]
    made = sheet(placed(shape, bleed_mm, 12.34, 15.67))
    page = render_page(made, {})
    assert page.unprinted == ()
    data = WRITERS["pdf"].write(page)
    drawn = np.asarray(pypdfium2.PdfDocument(data)[0].render(scale=DPI / 72.0).to_pil())
    bare = (drawn[..., :3] == 255).all(axis=-1)
    outline = made.placements[0].outline
    # half a pixel at the edge is the raster's own
    needed = pixels_inside(swept(outline, bleed_mm - 0.6 * 25.4 / DPI), DPI, bare.shape)
    assert needed.sum() > 5000
    assert not (bare & needed).any()
    farthest = pixels_inside(
        shapely.box(*swept(outline, bleed_mm).buffer(0.2).bounds), DPI, bare.shape
    )
    assert bare[~farthest].all()


@pytest.mark.parametrize("name", COILED)
def test_ink_is_one_piece_without_holes_round_the_cut_line(name: str) -> None:
    shape, bleed_mm = COILED[name]
    ink = bleed_shape(shape, bleed_mm)
    assert ink is not None
    whole = polygon(ink)
    assert whole.is_valid
    least, most = (shapely.Polygon(swept(shape, bleed_mm + more).exterior) for more in (0.0, 0.06))
    assert least.difference(whole.buffer(0.005)).area < 1e-3
    assert whole.difference(most.buffer(0.005)).area < 1e-3


RINGS = st.lists(st.floats(2.0, 14.0), min_size=5, max_size=14)


def star(radii: list[float]) -> Contour:
    angles = np.linspace(0.1, 0.1 + 2 * np.pi, len(radii), endpoint=False)
    ring = np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])
    return contour(shapely.Polygon(ring))


@settings(max_examples=20, deadline=None)
@given(RINGS, st.floats(0.0, 2.5), st.floats(9.0, 12.0), st.sampled_from([100, 300]))
def test_no_outline_that_is_printed_whole_is_stopped(radii, bleed_mm, at, dpi):
    made = sheet(placed(star(radii), bleed_mm, at, at / 1.1), dpi=dpi)
    assert render_and_check(made, {})[1] == ()


@settings(max_examples=8, deadline=None)
@given(RINGS, st.floats(0.8, 2.0), st.floats(0.3, 0.8))
def test_a_bleed_too_small_for_its_box_is_stopped_with_its_share(radii, bleed_mm, part):
    """The share is that of the drawn pixels in shapely's area, half a pixel at its edge aside."""
    shape = star(radii)
    whole = placed(shape, bleed_mm, 20.0, 20.0)
    ink = bleed_shape(shape, part * bleed_mm)
    if ink is None or whole.ink is None:
        return
    made = sheet(replace(whole, ink=translate(ink, 20.0, 20.0)))
    raster, (found,) = render_and_check(made, {})
    bare, pixel_mm = (raster == 255).all(axis=-1), 25.4 / DPI
    shares = []
    for reach in (bleed_mm - 2.0 * pixel_mm, bleed_mm + pixel_mm):
        needed = pixels_inside(swept(whole.outline, reach), DPI, bare.shape)
        shares.append((bare & needed).sum() / needed.sum())
    assert found.number == 0
    assert shares[0] <= found.share <= shares[1]


def test_what_a_neighbour_prints_on_a_sticker_is_not_its_own_print() -> None:
    """Ink of the next sticker over this one is as bad as none."""
    disc = circle(6.0, 6.0, 6.0)
    first = placed(disc, 1.0, 20.0, 20.0)
    over = Rect(26.0, 20.0, 10.0, 12.0)
    second = replace(first, box=over, outline=translate(disc, 30, 20), bleed=over, ink=None)
    found = render_and_check(sheet(first, second), {})[1]
    assert [one.number for one in found] == [0]
    assert found[0].share == pytest.approx(0.5, abs=0.06)


def test_a_print_that_ends_inside_its_own_box_is_stopped() -> None:
    box = Rect(20.0, 20.0, 20.0, 10.0)
    square = Contour(tuple(Vertex(*corner) for corner in box.corners()))
    made = sheet(Placement("full box", box, square, GREEN, Rect(20.0, 20.0, 15.0, 10.0)))
    (found,) = render_and_check(made, {})[1]
    assert found.share == pytest.approx(0.25, abs=0.01)


def test_white_artwork_counts_as_printed() -> None:
    class White:
        def sample(self, *_, shape=None):
            return np.full((*shape, 3), 255, np.uint8)

    fill = PatternFill("white", (0.0, 0.0), (9.0, 9.0))
    made = sheet(placed(swirl(38), 1.0, 12.0, 12.0, fill))
    assert render_and_check(made, {"white": White()})[1] == ()
    plain = replace(made, placements=(placed(swirl(38), 1.0, 12.0, 12.0, ColourFill("#ffffff")),))
    assert render_and_check(plain, {})[1] == ()
