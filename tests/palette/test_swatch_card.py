"""The swatch card: SVG and PDF read back in millimetres by outside readers, against one layout."""

from __future__ import annotations

import io
from collections.abc import Callable
from functools import cache
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from palette.choose import Palette, bins_of, choose
from palette.exchange import card_of, to_pdf, to_svg
from palette.exchange.swatch_card import Card
from palette.space import de2000, parse_hex, srgb_to_lab

POINT_MM = 25.4 / 72


class Duller:
    """A press that takes a sixth of the chroma."""

    name = "a duller press"
    limits = (
        "It is made up for this test, and its sentence is long enough to need a second line. " * 2
    )

    def to_print(self, lab: np.ndarray) -> np.ndarray:
        return lab * [1.0, 0.84, 0.84]

    def shift(self, lab: np.ndarray) -> np.ndarray:
        return de2000(lab, self.to_print(lab))

    def nearest(self, lab: np.ndarray) -> np.ndarray:
        return lab


@cache
def palette_of(count: int) -> Palette:
    random = np.random.default_rng(count)
    stripes = random.integers(0, 256, (4 * count, 1, 3)).astype(np.uint8)
    return choose({"stripes": bins_of(stripes.repeat(9, axis=0).repeat(40, axis=1))}, count)


@cache
def card(count: int, *, printed: bool) -> Card:
    return card_of(palette_of(count), Duller() if printed else None, "A title")


def em(text: str) -> float:
    """Return the width of a text at size 1 in the card's font."""
    from PIL import ImageFont

    return ImageFont.load_default(1000).getlength(text) / 1000


@pytest.mark.parametrize("printed", [False, True])
@pytest.mark.parametrize(
    ("count", "size_mm"), [(6, (105, 148)), (12, (210, 148)), (40, (210, 297))]
)
def test_everything_stays_on_its_page(
    count: int, size_mm: tuple[float, float], *, printed: bool
) -> None:
    one = card(count, printed=printed)
    assert (one.width_mm, one.height_mm) == size_mm
    for box in one.boxes:
        assert 5 <= box.x_mm <= box.x_mm + box.width_mm <= one.width_mm - 5
        assert 5 <= box.y_mm <= box.y_mm + box.height_mm <= one.height_mm - 3
    for label in one.labels:
        assert label.x_mm >= 5
        assert label.x_mm + label.size_mm * em(label.text) <= one.width_mm - 5
        assert label.y_mm <= one.height_mm - 3


Filled = list[tuple[list[float], list[int]]]


def by_pdfium(data: bytes) -> tuple[tuple[float, float], Filled]:
    """The page's size, and (x, y, width, height) with RGB of what is filled; points, y down."""
    from ctypes import byref, c_int, c_uint

    import pypdfium2
    from pypdfium2 import raw

    document = pypdfium2.PdfDocument(data)
    page = document[0]
    size, found = page.get_size(), []
    for one in page.get_objects(filter=(raw.FPDF_PAGEOBJ_PATH,)):
        fills, strokes = c_int(), c_int()
        raw.FPDFPath_GetDrawMode(one, byref(fills), byref(strokes))
        if fills.value:
            rgba = [c_uint() for _ in range(4)]
            raw.FPDFPageObj_GetFillColor(one, *map(byref, rgba))
            left, bottom, right, top = one.get_bounds()
            box = [left, size[1] - top, right - left, top - bottom]
            found.append((box, [part.value for part in rgba[:3]]))
    document.close()
    return size, found


def by_mupdf(data: bytes) -> tuple[tuple[float, float], Filled]:
    """The same by another library."""
    import pymupdf

    with pymupdf.open(stream=data) as document:
        page, found = document[0], []
        for one in page.get_drawings():
            if one["fill"] is not None:
                r = one["rect"]
                rgb = np.rint(np.array(one["fill"]) * 255).astype(int).tolist()
                found.append(([r.x0, r.y0, r.width, r.height], rgb))
        return (page.rect.width, page.rect.height), found


@pytest.mark.parametrize("reader", [by_pdfium, pytest.param(by_mupdf, marks=pytest.mark.slow)])
def test_pdf_is_read_back_in_millimetres(
    reader: Callable[[bytes], tuple[tuple[float, float], Filled]],
) -> None:
    one = card(6, printed=True)
    size, filled = reader(to_pdf(one))
    assert np.array(size) * POINT_MM == pytest.approx((105, 148), abs=1e-4)
    expected = [box for box in one.boxes if box.fill != "none"]
    assert len(filled) == len(expected)
    for (found, rgb), box in zip(filled, expected, strict=True):
        wanted = [box.x_mm, box.y_mm, box.width_mm, box.height_mm]
        assert np.array(found) * POINT_MM == pytest.approx(wanted, abs=0.01)
        assert rgb == parse_hex(box.fill).tolist()


def test_pdf_text_can_be_searched_and_its_font_is_inside() -> None:
    from pypdf import PdfReader

    page = PdfReader(io.BytesIO(to_pdf(card(6, printed=True)))).pages[0]
    text = page.extract_text()
    for swatch in palette_of(6).swatches:
        assert swatch.name in text
        assert swatch.hex in text
    font = page["/Resources"]["/Font"]["/F1"]
    assert "/FontFile2" in font["/FontDescriptor"]


def test_svg_has_the_same_boxes_and_words() -> None:
    one = card(12, printed=False)
    root = ET.fromstring(to_svg(one))  # noqa: S314  our own bytes
    space = "{http://www.w3.org/2000/svg}"
    assert (root.get("width"), root.get("viewBox")) == ("210mm", "0 0 210 148")
    boxes = root.findall(f"{space}rect")[1:]
    assert [box.get("fill") for box in boxes] == [box.fill for box in one.boxes]
    assert [float(box.get("x", "")) for box in boxes] == pytest.approx(
        [box.x_mm for box in one.boxes], abs=1e-3
    )
    assert [text.text for text in root.iter(f"{space}text")] == [label.text for label in one.labels]


def test_the_printed_half_shows_the_press() -> None:
    hexes = {box.fill for box in card(6, printed=True).boxes}
    for swatch in palette_of(6).swatches:
        printed = Duller().to_print(np.array(swatch.lab))
        near = [float(de2000(srgb_to_lab(parse_hex(h)), printed)) for h in hexes - {"none"}]
        assert min(near) < 2.0


def test_same_card_same_bytes() -> None:
    assert to_pdf(card(6, printed=True)) == to_pdf(card_of(palette_of(6), Duller(), "A title"))
    assert to_svg(card(6, printed=False)) == to_svg(card_of(palette_of(6), None, "A title"))


def test_a_title_cannot_break_the_svg() -> None:
    one = card_of(palette_of(6), None, "<Fish & chips>")
    assert ET.fromstring(to_svg(one)) is not None  # noqa: S314  our own bytes
    assert to_pdf(card_of(palette_of(6), None, "Käse ) Tj"))
