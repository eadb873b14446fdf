"""Outlines lie where browsers draw them: styles, viewports, uses, layers, and what is beside.

Outside readers: Debian's Chromium (slow), and by hand the one matrix that each file comes to.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
import shapely.affinity

from kit.drawings.outline_file import outline_of
from kit.recipe_error import RecipeError
from kit.shapes import Contour, bounding_box, flatten_contour

FILE = Path("leaf.svg")
LEAF = '<path d="M10 10 C80 -15 95 45 80 75 L30 60 Q-5 40 10 10Z"/>'
OTHER = '<path d="M0 0H9V9Z"/>'
ALONE = (1.0, 0.0, 0.0, 1.0)


def svg(inner: str, attributes: str = 'viewBox="0 0 100 100"') -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f"{attributes}>{inner}</svg>"
    )


def polygon(contour: Contour) -> shapely.Polygon:
    return shapely.Polygon(flatten_contour(contour, 1e-4))


def fitted(shape: shapely.Polygon, size_mm: float = 40.0) -> shapely.Polygon:
    left, top, right, bottom = shape.bounds
    scale = size_mm / max(right - left, bottom - top)
    moved = shapely.affinity.translate(shape, -left, -top)
    return shapely.affinity.scale(moved, scale, scale, origin=(0, 0))


def apart(one: shapely.Polygon, other: shapely.Polygon) -> float:
    return shapely.hausdorff_distance(
        shapely.segmentize(one.exterior, 0.05), shapely.segmentize(other.exterior, 0.05)
    )


# each file, and the matrix (a, b, c, d) that its leaf comes to by hand; None: for Chromium alone
CASES: dict[str, tuple[str, tuple[float, float, float, float] | None]] = {
    "plain": (svg(LEAF), ALONE),
    "groups": (svg(f'<g transform="rotate(20 5 9) skewX(12)">{LEAF}</g>'), None),
    "a style's turn and stretch": (
        svg(f'<g style="transform: rotate(90deg) scale(2, 0.5)">{LEAF}</g>'),
        (0.0, 2.0, -0.5, 0.0),
    ),
    "a style's matrix": (
        svg(f'<g style="transform:matrix(1,.2,-.4,.7,5,9)">{LEAF}</g>'),
        (1.0, 0.2, -0.4, 0.7),
    ),
    "a style over an attribute": (
        svg(
            '<g transform="scale(3 1)" '
            f'style="transform:scaleX(.5) translate(10px, 4mm)">{LEAF}</g>'
        ),
        (0.5, 0.0, 0.0, 1.0),
    ),
    "a style's none": (svg(f'<g transform="scale(3 1)" style="transform:none">{LEAF}</g>'), ALONE),
    "a style's slants and units": (
        svg(
            '<g style="transform:skew(10deg, 20deg) skewY(.1rad) rotate(.05turn) '
            f'rotate(10grad)">{LEAF}</g>'
        ),
        None,
    ),
    "capitals": (
        svg(f'<g style="TRANSFORM: TranslateY(1cm) ScaleY(2)">{LEAF}</g>'),
        (1.0, 0.0, 0.0, 2.0),
    ),
    "a turn about a point": (
        svg(
            '<g style="transform: rotate(30deg); transform-origin: 50px 20px">'
            f'<g style="transform:scale(1,2)">{LEAF}</g></g>'
        ),
        None,
    ),
    "classes and names": (
        svg(
            "<style>.a{transform:scale(1,2)} #b.a{transform:scale(2,1)} "
            f'path{{transform:rotate(10deg)}}</style><g class="a" id="b">{LEAF}</g>'
        ),
        None,
    ),
    "what is important": (
        svg(
            "<style>.a{transform:scale(1,2) !important} #b{transform:scale(3,1)}</style>"
            f'<g class="a" id="b" style="transform:none">{LEAF}</g>'
        ),
        (1.0, 0.0, 0.0, 2.0),
    ),
    "a layer hidden by a class": (
        svg(
            '<style type="text/css"><![CDATA[ .st0{display:none;} .st1{fill:#fff} ]]></style>'
            f'<g class="st0">{OTHER}</g><g class="st1">{LEAF}</g>'
        ),
        ALONE,
    ),
    "layers hidden by attributes": (
        svg(f'<g display="none">{OTHER}</g><g visibility="hidden">{OTHER}</g>{LEAF}'),
        ALONE,
    ),
    "a visible leaf in a hidden layer": (
        svg(f'<g visibility="hidden">{OTHER}<g visibility="visible">{LEAF}</g></g>'),
        ALONE,
    ),
    "layers hidden by styles": (
        svg(f'<g style="display:none">{OTHER}</g><g style="visibility: hidden">{OTHER}</g>{LEAF}'),
        ALONE,
    ),
    "a stretched drawing": (
        svg(LEAF, 'viewBox="0 0 100 100" width="80mm" height="40mm" preserveAspectRatio="none"'),
        (2.0, 0.0, 0.0, 1.0),
    ),
    "a drawing in a drawing, stretched": (
        svg(
            '<svg x="10" y="5" width="40" height="90" viewBox="0 0 100 100" '
            f'preserveAspectRatio="none">{LEAF}</svg>'
        ),
        (4.0, 0.0, 0.0, 9.0),
    ),
    "a drawing in a drawing, fitted": (
        svg(
            '<svg width="40" height="90" viewBox="0 0 100 50" style="overflow:visible">'
            f'<g transform="scale(1 1.5)">{LEAF}</g></svg>'
        ),
        (1.0, 0.0, 0.0, 1.5),
    ),
    "a drawing in a drawing, by its share": (
        svg(
            '<svg x="10%" width="50%" viewBox="0 0 100 50" preserveAspectRatio="none">'
            f"{LEAF}</svg>",
            'viewBox="0 0 200 100"',
        ),
        (1.0, 0.0, 0.0, 2.0),
    ),
    "a drawing in a drawing, cut off": (
        svg(
            '<svg width="40" height="90" viewBox="0 0 100 50" transform="scale(1 3)" '
            f'preserveAspectRatio="xMaxYMin slice">{LEAF}</svg>'
        ),
        (1.0, 0.0, 0.0, 3.0),
    ),
    "three drawings in each other": (
        svg(
            '<svg width="40" height="90" viewBox="0 0 100 100" preserveAspectRatio="none">'
            '<svg width="50%" height="50%" viewBox="0 0 10 20" preserveAspectRatio="none">'
            f"{LEAF}</svg></svg>"
        ),
        (4.0, 0.0, 0.0, 4.5),
    ),
    "a use": (
        svg(
            f'<defs><g id="a" transform="scale(1 2)">{LEAF}</g></defs>'
            '<use href="#a" x="20" transform="scale(3 1)"/>'
        ),
        (3.0, 0.0, 0.0, 2.0),
    ),
    "an old use": (
        svg(
            f'<defs><g id="a">{LEAF}</g></defs><use xlink:href="#a" style="transform:scale(1,3)"/>'
        ),
        (1.0, 0.0, 0.0, 3.0),
    ),
    "a use of a symbol": (
        svg(
            f'<symbol id="a" viewBox="0 0 100 50" preserveAspectRatio="none">{LEAF}</symbol>'
            '<use href="#a" width="30" height="80" x="3"/>'
        ),
        (0.3, 0.0, 0.0, 1.6),
    ),
    "a use of a plain symbol": (
        svg(f'<symbol id="a">{LEAF}</symbol><use href="#a" transform="scale(2 1)"/>'),
        (2.0, 0.0, 0.0, 1.0),
    ),
    "a use of a drawing": (
        svg(
            '<defs><svg id="a" viewBox="0 0 100 50" width="20" height="20" '
            f'preserveAspectRatio="none">{LEAF}</svg></defs><use href="#a" width="70"/>'
        ),
        (0.7, 0.0, 0.0, 0.4),
    ),
    "a use of a use": (
        svg(
            f'<defs><g id="a">{LEAF}</g><use id="b" href="#a" transform="scale(1 2)"/></defs>'
            '<use href="#b" transform="scale(5 1)"/>'
        ),
        (5.0, 0.0, 0.0, 2.0),
    ),
    "a shape that a style sizes": (
        svg("<style>rect{width:60px;height:20px;rx:6px}</style><rect x='3' width='9'/>"),
        None,
    ),
    "the whole file turned": (
        svg(LEAF, 'viewBox="0 0 100 100" style="transform:rotate(30deg) scale(1,2)" width="100"'),
        None,
    ),
}


@pytest.mark.parametrize("name", [name for name, (_, matrix) in CASES.items() if matrix])
def test_a_leaf_lies_where_its_file_puts_it(name: str) -> None:
    """A maker would cut another shape than the one that her drawing program shows."""
    data, matrix = CASES[name]
    assert matrix is not None
    a, b, c, d = matrix
    leaf = polygon(outline_of(svg(LEAF).encode(), (400.0, 400.0), FILE).contour)
    true = fitted(shapely.affinity.affine_transform(leaf, (a, c, b, d, 0.0, 0.0)))
    seen = polygon(outline_of(data.encode(), (40.0, 40.0), FILE).contour)
    assert apart(seen, true) < 0.012


POINTS = """() => [...document.querySelectorAll('path,rect')]
  .filter(e => e.getClientRects().length && getComputedStyle(e).visibility == 'visible')
  .map(e => {
    const m = e.getScreenCTM(), length = e.getTotalLength(), points = [];
    for (let k = 0; k < 4000; k++) {
      const p = e.getPointAtLength(length * k / 4000);
      points.push([m.a * p.x + m.c * p.y + m.e, m.b * p.x + m.d * p.y + m.f]);
    }
    return points;
  })"""
BOX = "() => {const r = document.querySelector('svg > use').getBoundingClientRect(); "
BOX += "return [r.width, r.height]}"


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    binary = shutil.which("chromium") or shutil.which("chromium-browser")
    if binary is None:
        pytest.skip("no chromium on this machine: apt-get install chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        made = playwright.chromium.launch(executable_path=binary, args=["--no-sandbox"])
        yield made
        made.close()


@pytest.mark.slow
@pytest.mark.parametrize("name", CASES)
def test_a_leaf_lies_where_chromium_draws_it(name: str, browser: Any, tmp_path: Path) -> None:
    """Of a use, whose inside a script cannot reach, its box is compared."""
    data, _ = CASES[name]
    file = tmp_path / "leaf.svg"
    file.write_text(data, "utf-8")
    seen = outline_of(data.encode(), (40.0, 40.0), FILE).contour
    page = browser.new_page(viewport={"width": 900, "height": 900})
    page.goto(file.as_uri())
    if " use" in name:
        width, height = page.evaluate(BOX)
        box = bounding_box(seen)
        assert box.width_mm / box.height_mm == pytest.approx(width / height, rel=2e-3)
    else:
        (points,) = page.evaluate(POINTS)
        assert apart(polygon(seen), fitted(shapely.Polygon(np.array(points)))) < 0.015
    page.close()


# ---- what is refused, and what is told


REFUSED = {
    "a use of nothing": (svg('<use href="#a"/>'), 'uses "#a", which is not in the file'),
    "a use of another file": (svg('<use href="b.svg#a"/>'), 'uses "b.svg#a", which is not in the'),
    "a use of itself": (svg('<g id="a"><use href="#a"/></g>'), "nested over 100 deep"),
    "uses that double": (
        svg(
            "<defs>"
            + f'<g id="a0">{LEAF}</g>'
            + "".join(
                f'<g id="a{k}"><use href="#a{k - 1}"/><use href="#a{k - 1}"/></g>'
                for k in range(1, 30)
            )
            + '</defs><use href="#a29"/>'
        ),
        "draws over 20000 elements",
    ),
    "a window's size": (
        svg(LEAF, 'viewBox="0 0 100 50" preserveAspectRatio="none"'),
        "is stretched",
    ),
    "a drawing of a window's size": (
        svg(f'<svg viewBox="0 0 9 9">{LEAF}</svg>', ""),
        "depends on the window",
    ),
    "a turn about the middle": (
        svg(f'<g style="transform:rotate(9deg);transform-origin:center">{LEAF}</g>'),
        'turned about "center"',
    ),
    "a turn about its own box": (
        svg(f'<g style="transform:rotate(9deg);transform-box:fill-box">{LEAF}</g>'),
        'by the style "transform-box"',
    ),
    "a turn in space": (
        svg(f'<g style="transform:rotateX(40deg)">{LEAF}</g>'),
        "transform that cannot be read",
    ),
    "an angle without a unit": (
        svg(f'<g style="transform:rotate(40)">{LEAF}</g>'),
        "transform that cannot be read",
    ),
    "a length of the type": (
        svg(f'<g style="transform:translate(1em)">{LEAF}</g>'),
        "transform that cannot be read",
    ),
    "a way along a path": (
        svg(f'<g style="offset-path:path(&quot;M0 0L9 9&quot;)">{LEAF}</g>'),
        'by the style "offset-path"',
    ),
    "a style's rotate": (svg(f'<g style="rotate:20deg">{LEAF}</g>'), 'by the style "rotate"'),
    "a selector of two": (
        svg(f"<style>g path{{transform:scale(1,2)}}</style>{LEAF}"),
        'by "g path"',
    ),
    "a condition": (
        svg(f"<style>@media print{{path{{display:none}}}}</style>{LEAF}"),
        "style sheet with conditions",
    ),
    "a view of nothing": (svg(LEAF, 'viewBox="0 0 0 9"'), "viewBox that cannot be read"),
    "an odd aspect": (
        svg(f'<svg width="9" height="9" viewBox="0 0 9 9" preserveAspectRatio="wide">{LEAF}</svg>'),
        "preserveAspectRatio that cannot be read",
    ),
    "a path in a style": (svg("<path style='d:path(\"M0 0H9V9Z\")'/>"), "that a style draws"),
    "a language": (
        svg(f'<switch><g systemLanguage="de">{LEAF}</g></switch>'),
        "for different languages",
    ),
    "only a hidden layer": (svg(f'<g display="none">{LEAF}</g>'), "no path in it"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_browsers_would_draw_elsewhere_is_refused_by_name(name: str) -> None:
    data, message = REFUSED[name]
    with pytest.raises(RecipeError, match=message) as caught:
        outline_of(data.encode(), (30.0, 30.0), FILE)
    assert caught.value.where == "leaf.svg"
    assert caught.value.remedy
    assert len(str(caught.value)) <= 300


@pytest.mark.parametrize(
    ("inner", "beside"),
    [
        ('<circle r="90"/>', ("1 circle",)),
        ('<rect width="9" height="5"/><line x2="9"/><line x2="3"/>', ("1 rect", "2 line")),
        ("<text>leaf</text><image/>", ("1 text", "1 image")),
        ('<defs><circle id="c" r="9"/></defs><use href="#c"/>', ("1 circle",)),
        # the page, a hidden layer, a definition
        ('<rect width="100%" height="100%"/>', ()),
        ('<rect width="100" height="100"/>', ()),
        ('<circle r="9" display="none"/>', ()),
        ('<clipPath><circle r="9"/></clipPath><title>leaf</title>', ()),
    ],
)
def test_what_is_drawn_beside_the_path_is_told(inner: str, beside: tuple[str, ...]) -> None:
    made = outline_of(svg(inner + LEAF).encode(), (30.0, 30.0), FILE)
    assert made.beside == beside
    alone = outline_of(svg(LEAF).encode(), (30.0, 30.0), FILE)
    assert made.contour == alone.contour
    assert alone.beside == ()


@pytest.mark.parametrize("far", [(3000, -5200), (900_000, -800_000), (-7_000_000, 12)])
@pytest.mark.parametrize("how", ["transform", "path"])
def test_an_outline_far_from_its_files_origin_keeps_shape_and_size(
    far: tuple[int, int], how: str
) -> None:
    """A drawing 900,000 units off would come out almost 2 mm too large."""
    ring = "l30 -12 q22 3 14 30 c-9 22 -40 16 -44 -4 z"
    near = svg(f'<path d="M5 20 {ring}"/>')
    x, y = far
    if how == "transform":
        away = svg(f'<path transform="translate({x} {y})" d="M5 20 {ring}"/>')
    else:
        away = svg(f'<path d="M{x + 5} {y + 20} {ring}"/>')
    one, other = (outline_of(data.encode(), (30.0, 30.0), FILE).contour for data in (near, away))
    box = bounding_box(other)
    assert max(box.width_mm, box.height_mm) == pytest.approx(30.0, abs=1e-6)
    assert apart(polygon(one), polygon(other)) <= 0.001
    # and by another reader, shapely
    assert polygon(other).area == pytest.approx(polygon(one).area, abs=0.01)
