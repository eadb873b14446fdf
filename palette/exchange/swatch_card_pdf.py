"""The swatch card as PDF, in true millimetres, with its font inside.

Input: a ``Card`` from ``palette.exchange.swatch_card``. Output: one page, bytes that are the same
for the same card. Colours are sRGB values as DeviceRGB: the printer's own colour management does
the rest.

The font is Aileron Regular, dedicated to the public domain by its author (CC0), in the subset that
Pillow carries as its default font: open, well kept, and no further file to ship. Its letters are
those of plain English; any other is shown as a question mark.
"""

from __future__ import annotations

from io import BytesIO
from typing import Any

from palette.exchange.swatch_card import Box, Card, Label
from palette.space import parse_hex

_POINTS = 72.0 / 25.4
_FIRST, _LAST = 32, 126


def to_pdf(card: Card) -> bytes:
    """Return the card as a PDF of one page."""
    import pikepdf

    pdf = pikepdf.new()
    size = (card.width_mm * _POINTS, card.height_mm * _POINTS)
    pdf.add_blank_page(page_size=size)
    page = pdf.pages[0]
    fonts = pikepdf.Dictionary(F1=_font(pdf))
    page.obj["/Resources"] = pikepdf.Dictionary(Font=fonts)
    page.obj["/Contents"] = pdf.make_stream(_content(card).encode("ascii"))
    out = BytesIO()
    pdf.save(out, deterministic_id=True, compress_streams=True)
    return out.getvalue()


def _content(card: Card) -> str:
    """Return the drawing operators; the page is turned to millimetres, y downwards."""
    scale = f"{_POINTS:.6f} 0 0 {-_POINTS:.6f} 0 {card.height_mm * _POINTS:.6f} cm"
    boxes = [line for box in card.boxes for line in _box(box)]
    return "\n".join(["q", scale, *boxes, *map(_label, card.labels), "Q"])


def _box(box: Box) -> list[str]:
    place = f"{box.x_mm:.3f} {box.y_mm:.3f} {box.width_mm:.3f} {box.height_mm:.3f} re"
    fill = [f"{_rgb(box.fill)} rg {place} f"] if box.fill != "none" else []
    edge = [f"0.15 w {_rgb(box.edge)} RG {place} S"] if box.edge else []
    return fill + edge


def _label(label: Label) -> str:
    place = f"{label.size_mm:.3f} 0 0 {-label.size_mm:.3f} {label.x_mm:.3f} {label.y_mm:.3f} Tm"
    shown = label.text.encode("ascii", "replace").hex()
    return f"BT /F1 1 Tf {place} {_rgb(label.colour)} rg <{shown}> Tj ET"


def _rgb(colour: str) -> str:
    return " ".join(f"{int(code) / 255:.4f}" for code in parse_hex(colour))


def _font(pdf: Any) -> Any:
    """Embed Pillow's default font as a simple TrueType font with WinAnsi encoding."""
    from pikepdf import Array, Dictionary, Name
    from PIL import ImageFont

    font: Any = ImageFont.load_default(1000)
    widths = [round(font.getlength(chr(code))) for code in range(_FIRST, _LAST + 1)]
    program = pdf.make_stream(font.font_bytes)
    program["/Length1"] = len(font.font_bytes)
    ascent, descent = font.getmetrics()
    descriptor = Dictionary(
        Type=Name.FontDescriptor,
        FontName=Name("/Aileron-Regular"),
        Flags=32,  # letters of the standard Latin set
        FontBBox=Array([-100, -descent, 1100, ascent]),
        ItalicAngle=0,
        Ascent=ascent,
        Descent=-descent,
        CapHeight=700,
        StemV=80,
        FontFile2=program,
    )
    return pdf.make_indirect(
        Dictionary(
            Type=Name.Font,
            Subtype=Name.TrueType,
            BaseFont=Name("/Aileron-Regular"),
            Encoding=Name.WinAnsiEncoding,
            FirstChar=_FIRST,
            LastChar=_LAST,
            Widths=Array(widths),
            FontDescriptor=pdf.make_indirect(descriptor),
        )
    )
