"""The chart on its paper: nothing overlaps or leaves the margins, and files say what they show."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from kit.chart import ChartWords, chart_page, lay_chart
from kit.chart.chart_layout import SMALLEST_MM
from kit.recipe import Margins, find_paper
from kit.recipe_error import RecipeError
from kit.shapes import Rect
from kit.writers import print_pdf, print_png
from palette.chart import COLOURS, WHITES, from_cgats, to_cgats
from palette.chart.patches import GREYS
from palette.errors import ProfileError
from palette.exchange import cgats

WORDS = ChartWords("Colour chart", ("Print at actual size.",))
PAPERS = ["Letter", "A4", "A5", "11in x 8.5in", "200mm x 200mm"]

WIDE = Margins(top="5mm", right="12mm", bottom="20mm", left="6mm")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("margins", [Margins(), WIDE])
def test_everything_keeps_clear(paper: str, margins: Margins) -> None:
    if paper == "A5" and margins != Margins():
        pytest.skip("20 mm of A5 leave too little: see test_too_small_a_paper")
    layout = lay_chart(find_paper(paper), margins)
    chart = layout.chart
    patches = [Rect(*map(float, box)) for box in chart.boxes_mm]
    assert all(layout.box.holds(one, slack_mm=2e-3) for one in patches)
    assert min(min(one.width_mm, one.height_mm) for one in patches) >= SMALLEST_MM - 1.2
    for i, one in enumerate(patches):
        apart = one.grow(0.65)  # gutters of 1.4 mm
        assert not any(apart.overlaps(other.grow(0.65)) for other in patches[i + 1 :])
    radius = chart.target_radius_mm
    discs = [Rect(x - radius, y - radius, 2 * radius, 2 * radius) for x, y in chart.targets_mm]
    code = Rect(*chart.code_mm)
    for disc in discs:
        assert layout.box.holds(disc, slack_mm=2e-3)
        assert not any(disc.grow(1.0).overlaps(one) for one in [*patches, code])
    assert not any(code.overlaps(one) for one in patches)


@pytest.mark.parametrize("paper", PAPERS)
def test_patches_and_paper_are_all_there(paper: str) -> None:
    chart = lay_chart(find_paper(paper)).chart
    assert len(set(chart.names)) == len(chart.names) == len(chart.rgb)
    assert (~chart.white).sum() == COLOURS + GREYS - 1
    assert chart.white.sum() >= WHITES
    # paper in every ninth of the patches' area, for the lamp's fall-off
    places = chart.boxes_mm[chart.white][:, :2]
    low, high = chart.boxes_mm[:, :2].min(axis=0), chart.boxes_mm[:, :2].max(axis=0)
    ninths = np.minimum((places - low) / (high - low) * 3, 2.999).astype(int)
    assert len({tuple(n) for n in ninths.tolist()}) == 9


def test_the_raster_shows_the_list() -> None:
    layout = lay_chart(find_paper("A5"))
    page = chart_page(layout, WORDS)
    per_mm = page.sheet.dpi / 25.4
    for (x, y, wide, tall), rgb in zip(layout.chart.boxes_mm, layout.chart.rgb, strict=True):
        rows = slice(round((y + 0.3) * per_mm), round((y + tall - 0.3) * per_mm))
        cols = slice(round((x + 0.3) * per_mm), round((x + wide - 0.3) * per_mm))
        assert (page.raster[rows, cols] == rgb).all()
    for x, y in layout.chart.targets_mm:
        assert (page.raster[round(y * per_mm), round(x * per_mm)] == 0).all()
    for x0, y0, x1, y1 in layout.chart.bars_mm:
        row = min(round((y0 + y1) / 2 * per_mm), page.raster.shape[0] - 1)
        col = min(round((x0 + x1) / 2 * per_mm), page.raster.shape[1] - 1)
        assert (page.raster[row, col] == 0).all()


def test_files_are_the_sheet_at_its_size_and_always_the_same() -> None:
    layout = lay_chart(find_paper("A5"))
    page = chart_page(layout, WORDS)
    png = print_png(page)
    image = Image.open(BytesIO(png))
    assert np.asarray(image).shape == page.raster.shape
    assert image.info["dpi"] == pytest.approx((300.0, 300.0), abs=0.01)
    assert print_pdf(page)[:5] == b"%PDF-"
    again = chart_page(lay_chart(find_paper("A5")), WORDS)
    assert print_png(again) == png
    assert print_pdf(again) == print_pdf(page)


def test_the_list_reads_back_as_the_same_chart() -> None:
    chart = lay_chart(find_paper("Letter")).chart
    text = cgats.write(to_cgats(chart))
    again = from_cgats(text, "chart.txt")
    assert again.chart_id == chart.chart_id
    assert again.names == chart.names
    assert (again.rgb == chart.rgb).all()
    assert np.abs(again.boxes_mm - chart.boxes_mm).max() < 1e-3
    assert (again.targets_mm == chart.targets_mm).all()
    assert cgats.write(to_cgats(again)) == text


@pytest.mark.parametrize(
    ("change", "by"),
    [(b" 255 0 0 ", b" 250 0 0 "), (b"CHART_ID", b"CHART_NO"), (b"X_MM", b"Q_MM")],
)
def test_a_changed_list_is_refused(change: bytes, by: bytes) -> None:
    text = cgats.write(to_cgats(lay_chart(find_paper("Letter")).chart))
    assert change in text
    with pytest.raises(ProfileError, match="not the list of a chart"):
        from_cgats(text.replace(change, by), "chart.txt")


def test_charts_of_other_papers_or_margins_have_other_numbers() -> None:
    numbers = {lay_chart(find_paper(paper)).chart.chart_id for paper in PAPERS}
    numbers.add(lay_chart(find_paper("Letter"), Margins(left="12mm")).chart.chart_id)
    assert len(numbers) == len(PAPERS) + 1


def test_too_small_a_paper() -> None:
    wide = Margins(top="5mm", right="12mm", bottom="40mm", left="40mm")
    for paper, margins in (("100mm x 150mm", Margins()), ("A5", wide)):
        with pytest.raises(RecipeError, match="too small"):
            lay_chart(find_paper(paper), margins)
