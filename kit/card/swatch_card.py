"""The swatch card as a sheet: each colour with its name, numbers and printed look.

In: a ``Palette``, largest share first, and a ``Press`` or none. Out: a ``Sheet`` whose panels are
the colours, whose marks are hairlines about pale ones, and whose lettering is what is beside
them. Up to eight colours go on A6, sixteen on A5, more on A4.

Each colour shows as asked for and, with a press, beside it as it will print; with name, sRGB hex,
CIELAB (D50), share of the artwork and role. A strip on top shows the shares at a glance.
"""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import wrap
from typing import TYPE_CHECKING

from kit.letters import Lettering, line_from
from kit.shapes import Rect, rounded_rectangle
from kit.sheet import ColourFill, Mark, Panel, Sheet
from palette.choose import Palette, Swatch, share_words
from palette.space import hex_of, lab_to_srgb8
from patterns.units import MM_PER_POINT

if TYPE_CHECKING:
    from palette.press import Press

INK, SOFT_INK, HAIRLINE = "#2f3336", "#6b7175", "#c9ccce"
HAIRLINE_MM = 0.15
MARGIN_MM = 8.0
HEADER_MM = 27.0
FOOTER_MM = 11.0
COLUMN_MM = 97.0
SWATCH_MM = 30.0
STRIP_TOP_MM, STRIP_MM = 18.6, 4.6
PALE_LIGHTNESS = 92.0  # beyond it a colour does not show where the paper begins
_SIZES_MM = ((8, 1, 105.0, 148.0), (16, 2, 210.0, 148.0), (10_000, 2, 210.0, 297.0))
_TALLEST_ROW_MM = 17.0


@dataclass(frozen=True)
class _Print:
    """How one colour prints: its hex and how far it moves."""

    hex: str
    shift_de2000: float


def card_files(palette: Palette, press: Press | None, title: str) -> dict[str, bytes]:
    """Return the card's files by their names, as ``card_sheet`` lays it out."""
    from kit.writers.drawn import drawn_pdf, drawn_svg

    sheet = card_sheet(palette, press, title)
    return {"swatch-card.svg": drawn_svg(sheet), "swatch-card.pdf": drawn_pdf(sheet)}


def card_sheet(palette: Palette, press: Press | None = None, title: str = "Palette") -> Sheet:
    """Lay out the card.

    Args:
        palette: the colours, largest share first.
        press: what prints; without one the printed look is left out.
        title: the heading, one line.
    """
    count = len(palette)
    _, columns, width, height = next(size for size in _SIZES_MM if count <= size[0])
    per_column = max(1, -(-count // columns))
    row = min((height - HEADER_MM - FOOTER_MM) / per_column, _TALLEST_ROW_MM)
    prints = _prints(palette, press)
    panels, marks = _strip(palette, width)
    words = _heading(palette, press, title)
    for i, swatch in enumerate(palette.swatches):
        x = MARGIN_MM + i // per_column * COLUMN_MM
        y = HEADER_MM + i % per_column * row
        area = Rect(x, y, SWATCH_MM, row - min(2.4, row * 0.18))
        printed = prints[i] if prints else None
        panels += _colours(swatch, printed, area)
        marks += _edges(swatch, printed, area)
        words += _lines(swatch, printed, x, y, row)
    if press is not None:
        words += _footer(press, width, height)
    return Sheet(
        title,
        width,
        height,
        300.0,
        (),
        panels=tuple(panels),
        marks=tuple(marks),
        lettering=tuple(words),
    )


def _prints(palette: Palette, press: Press | None) -> list[_Print]:
    if press is None or not len(palette):
        return []
    printed, shift = lab_to_srgb8(press.to_print(palette.labs)), press.shift(palette.labs)
    return [_Print(hex_of(rgb8), float(d)) for rgb8, d in zip(printed, shift, strict=True)]


def _panel(area: Rect, colour: str) -> Panel:
    return Panel(rounded_rectangle(area), ColourFill(colour))


def _hairline(area: Rect) -> Mark:
    return Mark(rounded_rectangle(area), HAIRLINE_MM, HAIRLINE, None)


def _line(x_mm: float, y_mm: float, size_mm: float, text: str, colour: str = INK) -> Lettering:
    """Return a line of text; x and y are the left end of its baseline, size is the em."""
    return line_from((x_mm, y_mm), text, size_mm / MM_PER_POINT, colour)


def _strip(palette: Palette, width: float) -> tuple[list[Panel], list[Mark]]:
    """Return the strip of shares, and the hairline about it."""
    whole = sum(swatch.share for swatch in palette.swatches)
    panels, x = [], MARGIN_MM
    for swatch in palette.swatches:
        part = swatch.share / whole * (width - 2 * MARGIN_MM) if whole > 0 else 0.0
        panels.append(_panel(Rect(x, STRIP_TOP_MM, part, STRIP_MM), swatch.hex))
        x += part
    around = Rect(MARGIN_MM, STRIP_TOP_MM, width - 2 * MARGIN_MM, STRIP_MM)
    return panels, [_hairline(around)]


def _heading(palette: Palette, press: Press | None, title: str) -> list[Lettering]:
    """Return the title, and a line on how to read the card."""
    whole = sum(swatch.share for swatch in palette.swatches)
    words = f"{len(palette)} colours on {whole:.0%} of the area, CIELAB D50"
    if press is not None:
        words += "; left on screen, right printed"
    return [_line(MARGIN_MM, 12.0, 5.4, title), _line(MARGIN_MM, 16.2, 2.3, words, SOFT_INK)]


def _footer(press: Press, width: float, height: float) -> list[Lettering]:
    """Return what the printed look is worth, in lines that fit the page."""
    size = 2.1
    letters = int((width - 2 * MARGIN_MM) / (size * 0.5))  # the font's mean advance is 0.5 em
    lines = wrap(f"Printed: {press.name}. {press.limits}", letters)[:3]
    top = height - 4.0 - (len(lines) - 1) * size * 1.3
    return [
        _line(MARGIN_MM, top + i * size * 1.3, size, line, SOFT_INK) for i, line in enumerate(lines)
    ]


def _colours(swatch: Swatch, printed: _Print | None, area: Rect) -> list[Panel]:
    """Return the colour, in halves with its print where that is known."""
    halves = _halves(printed, area)
    colours = (swatch.hex, printed.hex) if printed else (swatch.hex,)
    return [_panel(half, colour) for half, colour in zip(halves, colours, strict=True)]


def _edges(swatch: Swatch, printed: _Print | None, area: Rect) -> list[Mark]:
    return [_hairline(h) for h in _halves(printed, area)] if swatch.lab[0] > PALE_LIGHTNESS else []


def _halves(printed: _Print | None, area: Rect) -> list[Rect]:
    if printed is None:
        return [area]
    half = area.width_mm / 2.0
    return [Rect(area.x_mm + i * half, area.y_mm, half, area.height_mm) for i in (0, 1)]


def _lines(
    swatch: Swatch, printed: _Print | None, x: float, y: float, row: float
) -> list[Lettering]:
    """Return three lines: name; hex and Lab; share, role and what printing does."""
    large, small = min(3.7, row * 0.27), min(2.5, row * 0.19)
    lightness, a, b = (round(value, 1) + 0.0 for value in swatch.lab)
    share = f"{share_words(swatch.share)} {swatch.role.value}"
    if printed is not None:
        share += f", print shift {printed.shift_de2000:.1f}"
    left, top = x + 33.5, y + row * 0.27
    return [
        _line(left, top, large, swatch.name),
        _line(left, top + row * 0.25, small, f"{swatch.hex}   L {lightness}  a {a}  b {b}"),
        _line(left, top + row * 0.48, small, share, SOFT_INK),
    ]
