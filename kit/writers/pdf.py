"""The file to print: one page at the paper's exact size, artwork as an image, letters as curves.

In: a ``Page``. Out: PDF 1.7 bytes. The raster lies at its true physical size, so the scale is exact
even where the paper is not a whole number of pixels; the page clips the sliver beyond its edge. For
a printer that shrinks, all is drawn larger about the page's centre: in this file alone, as all
others that hold the picture lie under cut lines. It is compressed without loss
(``kit.render.flate``), its colours are defined by an embedded sRGB profile (ISO 32000-1, 8.6.5.5),
and the box of the trimmed page is named. A page in its printer's own numbers has device colours
instead (8.6.4.3), which viewers pass on as they are: under any profile they would be converted on
the way. The file asks viewers to print at actual size, on one side, from the tray that holds such
paper (ISO 32000-1, table 150).

Not claimed: PDF/X or PDF/A; so there is no output intent, which a checker would take for the claim.
There is no cut line in this file, in any layer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from io import BytesIO
from typing import TYPE_CHECKING

from kit.render import Page
from kit.shapes import Bezier, Point, is_line
from kit.sheet import Sheet
from kit.writers.srgb import srgb_profile
from palette.space import parse_hex
from patterns.units import MM_PER_POINT

if TYPE_CHECKING:
    from pikepdf import Object, Pdf, Stream

PRODUCER = "kitloom"


def print_pdf(page: Page) -> bytes:
    """Return the print PDF of a page."""
    if page.printer is None:
        pdf = new_pdf(page)
        drawn = art_operators(page)
    else:
        pdf = _device_pdf(page)
        drawn = art_operators(page, page.sent_colour)
    scaled = page.sheet.print_scale != (1.0, 1.0)
    draw(pdf, f"q {_scale(page.sheet)} cm\n{drawn}Q\n" if scaled else drawn)
    return to_bytes(pdf)


def new_pdf(page: Page) -> Pdf:
    """Return a PDF of one page of the sheet's size; the artwork is its image resource ``/Art``."""
    from pikepdf import Dictionary

    pdf = blank_pdf(page.sheet)
    own = resources(pdf)
    image = _image(pdf, page, page.flate, own.ColorSpace.Art)
    own.XObject = Dictionary(Art=pdf.make_indirect(image))
    return pdf


def _device_pdf(page: Page) -> Pdf:
    """Return the same in the numbers that are sent to the printer: ``/Art`` is DeviceRGB."""
    from pikepdf import Array, Dictionary, Name

    pdf = blank_pdf(page.sheet)
    own = resources(pdf)
    own.ColorSpace = Dictionary(Art=Array([Name.DeviceRGB]))
    image = _image(pdf, page, page.sent_flate, Name.DeviceRGB)
    own.XObject = Dictionary(Art=pdf.make_indirect(image))
    return pdf


def blank_pdf(sheet: Sheet) -> Pdf:
    """Return a PDF of one empty page of the sheet's size; sRGB is its colour space ``/Art``."""
    import pikepdf
    from pikepdf import Array, Dictionary, Name

    pdf = pikepdf.new()
    size = (points(sheet.width_mm), points(sheet.height_mm))
    sheet_of_paper = pdf.add_blank_page(page_size=size)
    box = Array([0, 0, *size])
    sheet_of_paper.obj.MediaBox = box
    sheet_of_paper.obj.TrimBox = box
    sheet_of_paper.obj.BleedBox = box
    profile = pdf.make_indirect(_profile(pdf))
    sheet_of_paper.obj.Resources = Dictionary(
        ColorSpace=Dictionary(Art=Array([Name.ICCBased, profile])),
    )
    pdf.Root.ViewerPreferences = Dictionary(
        PrintScaling=Name("/None"), Duplex=Name.Simplex, PickTrayByPDFSize=True
    )
    _describe(pdf, sheet.title)
    return pdf


def points(mm: float) -> float:
    """Return PDF units (1/72 inch) of millimetres, to a ten-thousandth."""
    return round(mm / MM_PER_POINT, 4)


def number(value: float) -> str:
    """Return a PDF number: plain decimals, no exponent."""
    return f"{value:.4f}".rstrip("0").rstrip(".") or "0"


def art_operators(page: Page, as_sent: Callable[[str], str] = str) -> str:
    """Return the content-stream operators that draw the artwork, colours as ``as_sent`` has them.

    The image's top left corner is the paper's, its size a whole number of pixels at the sheet's
    resolution.
    """
    sheet = page.sheet
    rows, cols = sheet.raster_px
    width, height = cols * 72.0 / sheet.dpi, rows * 72.0 / sheet.dpi
    bottom = sheet.height_mm / MM_PER_POINT - height
    numbers = " ".join(number(v) for v in (width, 0.0, 0.0, height, 0.0, bottom))
    return f"q {numbers} cm /Art Do Q\n{_lettering_operators(page, as_sent)}"


def _scale(sheet: Sheet) -> str:
    """Return the matrix that draws larger about the page's centre."""
    wide, high = sheet.print_scale
    across = number((1.0 - wide) * sheet.width_mm / MM_PER_POINT / 2.0)
    up = number((1.0 - high) * sheet.height_mm / MM_PER_POINT / 2.0)
    return f"{wide:.6f} 0 0 {high:.6f} {across} {up}"


def _lettering_operators(page: Page, as_sent: Callable[[str], str]) -> str:
    """Return the operators that fill every letter's outline, in the profile's colours."""
    height = page.sheet.height_mm
    words = [
        f"{components(as_sent(one.colour))} sc\n"
        + "".join(closed_path(path.start, path.pieces, height) for path in one.paths)
        + "f\n"
        for one in page.lettering
    ]
    return f"q /Art cs\n{''.join(words)}Q\n" if words else ""


def components(colour: str) -> str:
    """Return the three operands, 0 to 1, of an sRGB hex colour."""
    return " ".join(number(v / 255.0) for v in parse_hex(colour))


def closed_path(start: Point, pieces: Sequence[Bezier], height_mm: float) -> str:
    """Return the operators of a closed path given in mm, y down: lines and cubic curves."""

    def at(point: Point) -> str:
        return " ".join(number(mm / MM_PER_POINT) for mm in (point[0], height_mm - point[1]))

    here, words = start, [f"{at(start)} m"]
    for piece in pieces:
        straight = is_line(here, piece)
        words.append(f"{at(piece[2])} l" if straight else f"{' '.join(map(at, piece))} c")
        here = piece[2]
    return "\n".join([*words, "h\n"])


def draw(pdf: Pdf, operators: str) -> None:
    """Set the page's content."""
    from pikepdf import Stream

    pdf.pages[0].obj.Contents = pdf.make_indirect(Stream(pdf, operators.encode("ascii")))


def join_pdfs(files: Sequence[bytes], title: str) -> bytes:
    """Return PDFs of one page each as one PDF with all their pages, at actual size likewise."""
    import pikepdf

    whole = pikepdf.open(BytesIO(files[0]))
    for file in files[1:]:
        with pikepdf.open(BytesIO(file)) as one:
            whole.pages.extend(one.pages)
    _describe(whole, title)
    return to_bytes(whole)


def to_bytes(pdf: Pdf) -> bytes:
    """Return the file's bytes, its identifier made from its content."""
    import pikepdf

    out = BytesIO()
    pdf.save(
        out,
        deterministic_id=True,
        object_stream_mode=pikepdf.ObjectStreamMode.disable,
        stream_decode_level=pikepdf.StreamDecodeLevel.none,
        compress_streams=False,
        min_version="1.7",
    )
    return out.getvalue()


def _profile(pdf: Pdf) -> Stream:
    import zlib

    from pikepdf import Name, Stream

    return Stream(
        pdf,
        zlib.compress(srgb_profile(), 9),
        N=3,
        Alternate=Name.DeviceRGB,
        Filter=Name.FlateDecode,
    )


def _image(pdf: Pdf, page: Page, stream: bytes, colours: Object) -> Stream:
    from pikepdf import Dictionary, Name, Stream

    rows, cols = page.sheet.raster_px
    return Stream(
        pdf,
        stream,
        Type=Name.XObject,
        Subtype=Name.Image,
        Width=cols,
        Height=rows,
        BitsPerComponent=8,
        ColorSpace=colours,
        Filter=Name.FlateDecode,
        DecodeParms=Dictionary(Predictor=15, Colors=3, BitsPerComponent=8, Columns=cols),
        Interpolate=False,
    )


def _describe(pdf: Pdf, title: str) -> None:
    """Write title and producer as XMP and in the document information, without dates."""
    with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as xmp:
        xmp["dc:title"] = title
        xmp["pdf:Producer"] = PRODUCER
    pdf.docinfo["/Title"] = title
    pdf.docinfo["/Producer"] = PRODUCER


def resources(pdf: Pdf) -> Object:
    """Return the page's resource dictionary."""
    return pdf.pages[0].obj.Resources
