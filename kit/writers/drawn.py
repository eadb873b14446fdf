"""A sheet without artwork, drawn whole as vectors: what is on the page itself, as PDF and SVG.

In: a ``Sheet`` whose panels are plain colours; its panels, marks and words are drawn, in that
order. Out: bytes in true millimetres, the same for the same sheet. Words are outlines of our font,
each letter held once, so they look alike everywhere; in the PDF they can be searched and copied
(``kit.writers.outline_font``), in the SVG each line has its words as its title.

Not done here: stickers, patterns, cut lines, rulers (``kit.writers.pdf`` and ``svg``).
"""

from __future__ import annotations

from html import escape
from itertools import accumulate, pairwise

from kit.letters import Lettering, typeface
from kit.shapes import CurvedPath, Point, beziers, is_line
from kit.sheet import ColourFill, Mark, Panel, Sheet
from kit.writers.outline_font import UNITS, OutlineFont
from kit.writers.pdf import (
    blank_pdf,
    closed_path,
    components,
    draw,
    number,
    points,
    resources,
    to_bytes,
)
from kit.writers.svg import path_data
from patterns.units import MM_PER_POINT


def drawn_pdf(sheet: Sheet) -> bytes:
    """Return the sheet as a PDF of one page.

    Raises:
        ValueError: a panel is filled with a pattern.
    """
    from pikepdf import Dictionary

    pdf = blank_pdf(sheet)
    used = {one.bold for one in sheet.lettering}
    fonts = {bold: OutlineFont(sheet.lettering, bold=bold) for bold in sorted(used)}
    resources(pdf).Font = Dictionary(
        {
            f"/{_weight(bold=bold)}": pdf.make_indirect(font.resource(pdf))
            for bold, font in fonts.items()
        }
    )
    words = [
        f"{components(one.colour)} sc\n"
        + fonts[one.bold].operators(one, _weight(bold=one.bold), sheet.height_mm)
        for one in sheet.lettering
    ]
    panels = [f"{components(_colour(one))} sc\n{_path(one, sheet)}f\n" for one in sheet.panels]
    marks = [_mark_operators(one, sheet) for one in sheet.marks]
    draw(pdf, "".join(["/Art cs /Art CS\n", *panels, *marks, *words]))
    return to_bytes(pdf)


def _weight(*, bold: bool) -> str:
    return "Bold" if bold else "Regular"


def _colour(panel: Panel) -> str:
    if not isinstance(panel.fill, ColourFill):
        raise ValueError("a drawn sheet holds plain colours only")
    return panel.fill.colour


def _path(one: Panel | Mark, sheet: Sheet) -> str:
    return closed_path(*beziers(one.contour), sheet.height_mm)


def _mark_operators(mark: Mark, sheet: Sheet) -> str:
    path = _path(mark, sheet)
    filled = f"{components(mark.inside)} sc\n{path}f\n" if mark.inside else ""
    width = number(points(mark.stroke_mm))
    line = f"{components(mark.colour)} SC {width} w\n{path}S\n" if mark.stroke_mm > 0.0 else ""
    return filled + line


def drawn_svg(sheet: Sheet) -> bytes:
    """Return the sheet as SVG 1.1, UTF-8; 1 unit is 1 mm.

    Raises:
        ValueError: a panel is filled with a pattern.
    """
    width, height = f"{sheet.width_mm:g}", f"{sheet.height_mm:g}"
    letters = {(one.bold, c) for one in sheet.lettering for c in one.words}
    lines = [
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'version="1.1" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">',
        f"<title>{escape(sheet.title, quote=False)}</title>",
        "<defs>",
        *(_svg_letter(c, bold=bold) for bold, c in sorted(letters)),
        "</defs>",
        f'<path d="M0 0 L{width} 0 L{width} {height} L0 {height} Z" fill="#ffffff"/>',
        *(f'<path d="{path_data(p.contour)}" fill="{_colour(p)}"/>' for p in sheet.panels),
        *map(_svg_mark, sheet.marks),
        *map(_svg_words, sheet.lettering),
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode()


def _svg_mark(mark: Mark) -> str:
    line = f' stroke="{mark.colour}" stroke-width="{mark.stroke_mm:g}"' if mark.stroke_mm else ""
    return f'<path d="{path_data(mark.contour)}" fill="{mark.inside or "none"}"{line}/>'


def _letter_name(character: str, *, bold: bool) -> str:
    return f"{'b' if bold else 'r'}{ord(character):x}"


def _svg_letter(character: str, *, bold: bool) -> str:
    """Return a letter's outline, in thousandths of its em."""
    glyph = typeface(bold=bold).glyph(character)
    outline = "".join(_outline(path.scale(UNITS, 0.0, 0.0)) for path in glyph.paths)
    return f'<path id="{_letter_name(character, bold=bold)}" d="{outline}"/>'


def _svg_words(words: Lettering) -> str:
    face = typeface(bold=words.bold)
    steps = [face.glyph(a).advance + face.kern(a, b) for a, b in pairwise(words.words)]
    letters = "".join(
        f'<use xlink:href="#{_letter_name(c, bold=words.bold)}" x="{UNITS * x:.0f}"/>'
        for c, x in zip(words.words, accumulate(steps, initial=0.0), strict=False)
        if not c.isspace()
    )
    place = f"translate({words.box.x_mm:.3f} {words.box.bottom_mm:.3f})"
    scale = f"scale({words.size_pt * MM_PER_POINT / UNITS:.6f})"
    title = f"<title>{escape(words.words, quote=False)}</title>"
    return f'<g fill="{words.colour}" transform="{place} {scale}">{title}{letters}</g>'


def _outline(path: CurvedPath) -> str:
    """Return a closed path as SVG path data in whole units."""
    here, parts = path.start, [f"M{_units(path.start)}"]
    for piece in path.pieces:
        parts.append(f"L{_units(piece[2])}" if is_line(here, piece) else f"C{_units(*piece)}")
        here = piece[2]
    return "".join([*parts, "Z"])


def _units(*there: Point) -> str:
    return " ".join(f"{value:.0f}" for point in there for value in point)
