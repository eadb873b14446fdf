"""The swatch card: SVG and PDF read back in millimetres by outside readers, against one layout."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from kit.card import card_sheet
from kit.letters import typeface
from kit.render import render_page
from kit.shapes import Rect, bounding_box
from kit.sheet import PatternFill, Sheet
from kit.writers.drawn import drawn_pdf, drawn_svg
from palette.choose import Palette, bins_of, choose
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
def card(count: int, *, printed: bool) -> Sheet:
    return card_sheet(palette_of(count), Duller() if printed else None, "A title")


def boxes_of(one: Sheet) -> list[Rect]:
    return [bounding_box(panel.contour) for panel in one.panels]


def fills_of(one: Sheet) -> list[str]:
    return [panel.fill.colour for panel in one.panels]


@pytest.mark.parametrize("printed", [False, True])
@pytest.mark.parametrize(
    ("count", "size_mm"), [(6, (105, 148)), (12, (210, 148)), (40, (210, 297))]
)
def test_everything_stays_on_its_page(
    count: int, size_mm: tuple[float, float], *, printed: bool
) -> None:
    one = card(count, printed=printed)
    assert (one.width_mm, one.height_mm) == size_mm
    for box in [*boxes_of(one), *(bounding_box(mark.contour) for mark in one.marks)]:
        assert 5 <= box.x_mm <= box.x_mm + box.width_mm <= one.width_mm - 5
        assert 5 <= box.y_mm <= box.y_mm + box.height_mm <= one.height_mm - 3
    for words in one.lettering:
        assert words.box.x_mm >= 5
        assert words.box.right_mm <= one.width_mm - 5
        assert words.box.bottom_mm <= one.height_mm - 3


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
    """The same by another library, which tells letters, drawn after the panels, as areas too."""
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
    size, filled = reader(drawn_pdf(one))
    if reader is by_mupdf:
        filled = filled[: len(one.panels)]
    assert np.array(size) * POINT_MM == pytest.approx((105, 148), abs=1e-4)
    assert len(filled) == len(one.panels)
    for (drawn, rgb), box, fill in zip(filled, boxes_of(one), fills_of(one), strict=True):
        expected = [box.x_mm, box.y_mm, box.width_mm, box.height_mm]
        assert np.array(drawn) * POINT_MM == pytest.approx(expected, abs=0.01)
        # colours are ICC-based, like the stickers': a reader's conversion may round a code away
        assert rgb == pytest.approx(parse_hex(fill).tolist(), abs=1)


def test_pdf_text_can_be_searched_and_its_letters_are_inside() -> None:
    from pypdf import PdfReader

    page = PdfReader(io.BytesIO(drawn_pdf(card(6, printed=True)))).pages[0]
    text = page.extract_text()
    for swatch in palette_of(6).swatches:
        assert swatch.name in text
        assert swatch.hex in text
    font = page["/Resources"]["/Font"]["/Regular"]
    used = {c for words in card(6, printed=True).lettering for c in words.words}
    assert len(font["/CharProcs"]) == len(used)


def drawn_by_pdfium(data: bytes) -> np.ndarray:
    """The page as another library draws it at 300 dpi."""
    import pypdfium2

    picture = pypdfium2.PdfDocument(data)[0].render(scale=300 / 72).to_pil().convert("RGB")
    return np.asarray(picture).astype(float)


def drawn_by_mupdf(data: bytes) -> np.ndarray:
    """The same by one more library, which sets the page to pixels as we do."""
    import pymupdf

    with pymupdf.open(stream=data) as document:
        picture = document[0].get_pixmap(dpi=300)
        pixels = np.frombuffer(picture.samples, np.uint8)
        return pixels.reshape(picture.height, picture.width, 3).astype(float)


@pytest.mark.slow
def test_pdf_looks_like_the_sheets_own_raster() -> None:
    """Letters, swatches and hairlines fall where the renderer of stickers puts them."""
    sheet = card(6, printed=True)
    ours = render_page(sheet, {}).printed.astype(float)
    drawn = drawn_by_mupdf(drawn_pdf(sheet))[: ours.shape[0], : ours.shape[1]]
    ours = ours[: drawn.shape[0], : drawn.shape[1]]
    assert np.abs(drawn - ours).mean() < 1.0
    for words in sheet.lettering:
        at = words.box.grow(0.3)
        left, top, right, bottom = (
            round(mm * 300 / 25.4) for mm in (at.x_mm, at.y_mm, at.right_mm, at.bottom_mm)
        )
        one, other = (255.0 - part[top:bottom, left:right] for part in (drawn, ours))
        assert one.sum() == pytest.approx(other.sum(), rel=0.1)
        assert np.corrcoef(one.ravel(), other.ravel())[0, 1] > 0.9


def test_svg_has_the_same_boxes_and_words() -> None:
    one = card(12, printed=False)
    root = ET.fromstring(drawn_svg(one))  # noqa: S314  our own bytes
    space = "{http://www.w3.org/2000/svg}"
    assert (root.get("width"), root.get("viewBox")) == ("210mm", "0 0 210 148")
    boxes = root.findall(f"{space}path")[1 : 1 + len(one.panels)]
    assert [box.get("fill") for box in boxes] == fills_of(one)
    lefts = [float(box.get("d", "").split()[0].removeprefix("M")) for box in boxes]
    assert lefts == pytest.approx([box.x_mm for box in boxes_of(one)], abs=1e-3)
    groups = root.findall(f"{space}g")
    assert [group.findtext(f"{space}title") for group in groups] == [
        words.words for words in one.lettering
    ]
    letters = {path.get("id") for path in root.find(f"{space}defs") or ()}
    for group, words in zip(groups, one.lettering, strict=True):
        uses = group.findall(f"{space}use")
        assert len(uses) == len(words.words.replace(" ", ""))
        assert {use.get("{http://www.w3.org/1999/xlink}href", "")[1:] for use in uses} <= letters


def test_the_printed_half_shows_the_press() -> None:
    hexes = set(fills_of(card(6, printed=True)))
    for swatch in palette_of(6).swatches:
        printed = Duller().to_print(np.array(swatch.lab))
        near = [float(de2000(srgb_to_lab(parse_hex(h)), printed)) for h in hexes]
        assert min(near) < 2.0


def test_same_card_same_bytes() -> None:
    again = card_sheet(palette_of(6), Duller(), "A title")
    assert drawn_pdf(card(6, printed=True)) == drawn_pdf(again)
    again = card_sheet(palette_of(6), None, "A title")
    assert drawn_svg(card(6, printed=False)) == drawn_svg(again)


def test_a_title_cannot_break_the_svg() -> None:
    one = card_sheet(palette_of(6), None, "<Fish & chips>")
    assert ET.fromstring(drawn_svg(one)) is not None  # noqa: S314  our own bytes
    assert drawn_pdf(card_sheet(palette_of(6), None, "Käse ) Tj"))


def test_what_the_font_cannot_write_is_a_question_mark() -> None:
    title = card_sheet(palette_of(6), None, "Käse 豆").lettering[0]
    assert title.words == "Käse ?"


def test_every_letter_of_the_font_can_stand_on_one_card() -> None:
    face = typeface(bold=False)
    every = "".join(chr(code) for code in range(32, 0x2700) if face.has(chr(code)))
    data = drawn_pdf(card_sheet(palette_of(6), None, every))
    assert np.abs(drawn_by_pdfium(data) - 255.0).max() > 0.0
    assert ET.fromstring(drawn_svg(card_sheet(palette_of(6), None, every))) is not None  # noqa: S314


def test_a_card_without_words_or_colours_can_be_drawn() -> None:
    empty = Sheet("", 105.0, 148.0, 300.0, ())
    assert drawn_by_pdfium(drawn_pdf(empty)).min() == 255.0
    assert ET.fromstring(drawn_svg(empty)) is not None  # noqa: S314  our own bytes


def test_only_plain_colours_can_be_drawn() -> None:
    panel = replace(card(6, printed=False).panels[0], fill=PatternFill("dots", (0, 0), (20, 20)))
    sheet = replace(card(6, printed=False), panels=(panel,))
    for draw in (drawn_pdf, drawn_svg):
        with pytest.raises(ValueError, match="plain colours"):
            draw(sheet)
