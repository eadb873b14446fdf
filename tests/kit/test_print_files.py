"""Print PDF, PNG and preview: opened by several independent readers and compared in pixels."""

from __future__ import annotations

import io
import struct
import zlib
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from kit.render import Page, deflate_png_rows
from kit.writers import WRITERS, join_pdfs


def pdfium(data, dpi, number=0, **options):
    import pypdfium2

    document = pypdfium2.PdfDocument(data)
    try:
        scale = dpi / 72 * (1 - 1e-9)  # pypdfium2 rounds the size up, rounding error and all
        return np.asarray(document[number].render(scale=scale, **options).to_pil().convert("RGB"))
    finally:
        document.close()


def mupdf(data, dpi):
    import pymupdf

    with pymupdf.open(stream=data, filetype="pdf") as document:
        picture = document[0].get_pixmap(dpi=dpi)
        return np.frombuffer(picture.samples, np.uint8).reshape(picture.height, picture.width, 3)


PDFS = [one.name for one in WRITERS.values() if one.suffix.endswith(".pdf")]


@pytest.mark.parametrize("writer", PDFS)
@pytest.mark.parametrize("name", ["letter", "a5"])
def test_page_boxes_are_the_paper(writer, name, request):
    import pypdf
    import pypdfium2

    page = request.getfixturevalue(name)
    data = WRITERS[writer].write(page)
    size = (page.sheet.width_mm, page.sheet.height_mm)
    found = pypdf.PdfReader(io.BytesIO(data)).pages
    assert len(found) == 1
    for box in (found[0].mediabox, found[0].trimbox, found[0].bleedbox):
        assert [float(v) * 25.4 / 72 for v in box] == pytest.approx([0, 0, *size], abs=0.01)
    document = pypdfium2.PdfDocument(data)
    assert [v * 25.4 / 72 for v in document[0].get_size()] == pytest.approx(size, abs=0.01)
    document.close()


@pytest.mark.parametrize(
    ("reader", "levels"), [(pdfium, 1), pytest.param(mupdf, 2, marks=pytest.mark.slow)]
)
def test_pdf_shows_the_raster_pixel_for_pixel(reader, levels, letter):
    """At its own resolution a page of whole pixels must come back as the raster itself."""
    seen = reader(WRITERS["pdf"].write(letter), 150)
    assert seen.shape == letter.raster.shape
    assert np.abs(seen.astype(int) - letter.raster).max() <= levels


def test_pdf_keeps_the_scale_where_the_paper_is_no_whole_number_of_pixels(a5):
    import pypdfium2

    document = pypdfium2.PdfDocument(WRITERS["pdf"].write(a5))
    (image,) = document[0].get_objects()
    left, bottom, right, top = (v * 25.4 / 72 for v in image.get_bounds())
    assert right - left == pytest.approx(875 * 25.4 / 150, abs=0.001)
    assert top - bottom == pytest.approx(1241 * 25.4 / 150, abs=0.001)
    assert (left, top) == pytest.approx((0.0, 210.0), abs=0.001)
    document.close()


def test_pdf_image_is_the_png_pixels(letter):
    import pypdf

    image = pypdf.PdfReader(io.BytesIO(WRITERS["pdf"].write(letter))).pages[0].images[0].image
    assert np.array_equal(np.asarray(image.convert("RGB")), letter.raster)


def test_pdf_says_its_colours_and_claims_no_more(letter):
    import pikepdf
    from PIL import ImageCms

    with pikepdf.open(io.BytesIO(WRITERS["pdf"].write(letter))) as pdf:
        # its name in older versions of pikepdf
        assert (pdf.check_pdf_syntax if hasattr(pdf, "check_pdf_syntax") else pdf.check)() == []
        space = pdf.pages[0].Resources.XObject.Art.ColorSpace
        assert space[0] == "/ICCBased"
        # an intent would say PDF/A or PDF/X, and a checker would then call the file a failed one
        assert "/OutputIntents" not in pdf.Root
        profile = ImageCms.ImageCmsProfile(io.BytesIO(space[1].read_bytes()))
        assert "srgb" in ImageCms.getProfileDescription(profile).lower()
        assert "/OCProperties" not in pdf.Root  # no layer of any kind in the print file
        xmp = bytes(pdf.Root.Metadata.read_bytes())
        assert b"pdfx" not in xmp.lower()
        assert b"Beans &amp; &lt;peas&gt;" in xmp
        assert pdf.trailer.ID is not None


def asks_for_actual_size(data):
    """Whether a PDF asks viewers to print it unscaled, one side, on such paper; by pikepdf.

    Keys and values: ISO 32000-1, table 150.
    """
    import pikepdf

    with pikepdf.open(io.BytesIO(data)) as pdf:
        return dict(pdf.Root.get("/ViewerPreferences", {})) == {
            "/PrintScaling": pikepdf.Name("/None"),
            "/Duplex": pikepdf.Name.Simplex,
            "/PickTrayByPDFSize": True,
        }


@pytest.mark.parametrize("writer", PDFS)
def test_pdf_asks_for_actual_size(writer, letter):
    assert asks_for_actual_size(WRITERS[writer].write(letter))


def test_several_pages_in_one_file_are_the_same_pages(letter, a5):
    """By pypdf and PDFium: size, title and pixels."""
    import pypdf

    sheets = [WRITERS["pdf"].write(page) for page in (letter, a5, letter)]
    data = join_pdfs(sheets, "All of it")
    assert data == join_pdfs(sheets, "All of it")
    assert asks_for_actual_size(data)
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert reader.metadata.title == "All of it"
    assert len(reader.pages) == 3
    for number, (one, page) in enumerate(zip(reader.pages, (letter, a5, letter), strict=True)):
        size = [page.sheet.width_mm, page.sheet.height_mm]
        for box in (one.mediabox, one.trimbox, one.bleedbox):
            assert [float(v) * 25.4 / 72 for v in box] == pytest.approx([0, 0, *size], abs=0.01)
        alone = pdfium(WRITERS["pdf"].write(page), 60)
        assert np.array_equal(pdfium(data, 60, number=number), alone)
    # nothing is compressed again or held twice
    assert len(data) < 1.01 * sum(map(len, sheets))


@pytest.mark.parametrize("writer", PDFS)
def test_pdf_passes_qpdf(writer, letter, tmp_path):
    import shutil
    import subprocess

    if shutil.which("qpdf") is None:
        pytest.skip("qpdf is not installed")
    file = tmp_path / "page.pdf"
    file.write_bytes(WRITERS[writer].write(letter))
    done = subprocess.run(["qpdf", "--check", str(file)], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()


@pytest.mark.parametrize("name", list(WRITERS))
def test_same_page_gives_the_same_bytes(name, letter):
    again = Page(replace(letter.sheet), letter.raster.copy())
    assert WRITERS[name].write(letter) == WRITERS[name].write(again)


DIGESTS = """
import hashlib
import numpy as np
from kit.shapes.geometry import Rect, rounded_rectangle
from kit.render.raster_page import Page
from kit.sheet.values import ColourFill, Placement, Sheet
from kit.writers.table import WRITERS
box = Rect(10.0, 10.0, 30.0, 20.0)
one = Placement("box", box, rounded_rectangle(box, 1.5), ColourFill("#5c7854"), box.grow(1.0))
sheet = Sheet("Twice", 60.0, 40.0, 100, (one,))
page = Page(sheet, np.full((*sheet.raster_px, 3), 200, np.uint8))
for name, writer in WRITERS.items():
    print(name, hashlib.sha256(writer.write(page)).hexdigest())
"""


def test_bytes_are_the_same_another_second_in_another_process():
    """Dates, random identifiers and hash seeds of a fresh interpreter must leave no trace."""
    import os
    import subprocess
    import sys
    import time

    def run(seed):
        environment = {
            **os.environ,
            "PYTHONHASHSEED": seed,
            "PYTHONPATH": os.pathsep.join(sys.path),
        }
        done = subprocess.run(
            [sys.executable, "-c", DIGESTS],
            capture_output=True,
            text=True,
            env=environment,
            check=True,
        )
        return done.stdout.split()

    first = run("1")
    time.sleep(1.1)  # dates in the files' own formats are whole seconds
    assert run("2") == first
    assert len(first) == 2 * len(WRITERS)


# ---- Flate


@pytest.mark.parametrize("rows", [1, 2, 700, 1400])
def test_deflated_rows_are_one_valid_stream_for_any_thread_count(rows):
    raster = np.random.default_rng(rows).integers(0, 40, (rows, 2000, 3), dtype=np.uint8)
    streams = {deflate_png_rows(raster, threads=n) for n in (1, 2, 5)}
    assert len(streams) == 1
    plain = np.frombuffer(zlib.decompress(streams.pop()), np.uint8).reshape(rows, 6001)
    assert (plain[:, 0] == 2).all()
    back = np.cumsum(plain[:, 1:], axis=0, dtype=np.uint8)  # "Up": each row adds to the one above
    assert np.array_equal(back.reshape(raster.shape), raster)


# ---- PNG


def test_print_png_is_the_raster_with_its_resolution(letter):
    data = WRITERS["print-png"].write(letter)
    with Image.open(io.BytesIO(data)) as image:
        image.load()
        assert np.array_equal(np.asarray(image), letter.raster)
        # whole pixels per metre are what a PNG can say: at most half of one, 0.0127 dpi, off
        assert image.info["dpi"] == pytest.approx((150, 150), abs=0.0127)
        assert "srgb" in image.info
    assert struct.unpack(">2IB", data.split(b"pHYs", 1)[1][:9]) == (5906, 5906, 1)  # 150 / 0.0254


def test_preview_shows_stickers_cut_out_on_backing_paper(letter):
    with Image.open(io.BytesIO(WRITERS["preview"].write(letter))) as image:
        shown = np.asarray(image.convert("RGB")).astype(int)
        dpi = image.info["dpi"][0]
    assert shown.shape == (1650, 1275, 3)  # 150 dpi is already a preview's resolution
    per_mm = dpi / 25.4
    box = letter.sheet.placements[1].box  # plain colour
    middle = shown[round(box.centre_mm[1] * per_mm), round(box.centre_mm[0] * per_mm)]
    assert tuple(middle) == (0x5C, 0x78, 0x54)
    corner = shown[round((box.y_mm + 0.1) * per_mm), round((box.x_mm + 0.1) * per_mm)]
    assert corner.min() > 0xA0  # the round corner is cut away
    beside = shown[round(box.centre_mm[1] * per_mm), round((box.right_mm + 0.6) * per_mm)]
    assert 0x90 < beside.min() < 236  # shadow, not bleed
    assert tuple(shown[1600, 1200]) == (238, 236, 231)


def test_preview_is_small_at_print_resolution(letter, waves):
    from kit.render import render_page

    page = render_page(replace(letter.sheet, dpi=300), {"waves": waves})
    with Image.open(io.BytesIO(WRITERS["preview"].write(page))) as image:
        assert image.size == (1275, 1650)
