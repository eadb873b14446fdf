"""What does the palette look like on paper? A card to print, pin up and hold beside the artwork.

Input: a ``Palette`` and, where there is one, the press it will be printed on. Output: a ``Card``,
rectangles and lines of text in millimetres from the top left corner, and the card as SVG. The same
card as PDF is ``palette.exchange.swatch_card_pdf``. Up to eight colours go on A6, sixteen on A5,
more on A4.

Each colour shows as asked for and, with a press, beside it as it will print; with name, sRGB hex,
CIELAB (D50), share of the artwork and role. A strip on top shows the shares at a glance.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from textwrap import wrap
from typing import TYPE_CHECKING

from palette.choose import Palette, Swatch, told_share
from palette.space import hex_of, lab_to_srgb8

if TYPE_CHECKING:
    from palette.press import Press

INK, SOFT_INK, HAIRLINE = "#2f3336", "#6b7175", "#c9ccce"
MARGIN_MM = 8.0
HEADER_MM = 27.0
FOOTER_MM = 11.0
COLUMN_MM = 97.0
_SIZES_MM = ((8, 1, 105.0, 148.0), (16, 2, 210.0, 148.0), (10_000, 2, 210.0, 297.0))
_TALLEST_ROW_MM = 17.0


@dataclass(frozen=True)
class Box:
    """A filled rectangle, millimetres, with an optional hairline around it."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    fill: str
    edge: str | None = None


@dataclass(frozen=True)
class Label:
    """A line of text; x and y are the left end of its baseline, size is the em, millimetres."""

    x_mm: float
    y_mm: float
    size_mm: float
    text: str
    colour: str = INK


@dataclass(frozen=True)
class Card:
    """A page with boxes and labels, to be drawn in this order."""

    width_mm: float
    height_mm: float
    boxes: tuple[Box, ...]
    labels: tuple[Label, ...]


@dataclass(frozen=True)
class _Look:
    """How one colour prints: its hex and how far it moves."""

    hex: str
    shift_de2000: float


def card_of(palette: Palette, press: Press | None = None, title: str = "Palette") -> Card:
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
    looks = _looks(palette, press)
    boxes, labels = _header(palette, press, title, width)
    for i, swatch in enumerate(palette.swatches):
        x = MARGIN_MM + i // per_column * COLUMN_MM
        y = HEADER_MM + i % per_column * row
        boxes += _blocks(swatch, looks[i] if looks else None, x, y, row)
        labels += _lines(swatch, looks[i] if looks else None, x, y, row)
    if press is not None:
        labels += _footer(press, width, height)
    return Card(width, height, tuple(boxes), tuple(labels))


def _looks(palette: Palette, press: Press | None) -> list[_Look]:
    if press is None or not len(palette):
        return []
    printed, shift = lab_to_srgb8(press.to_print(palette.labs)), press.shift(palette.labs)
    return [_Look(hex_of(rgb8), float(d)) for rgb8, d in zip(printed, shift, strict=True)]


def _header(
    palette: Palette, press: Press | None, title: str, width: float
) -> tuple[list[Box], list[Label]]:
    """Return the title, a line on how to read the card, and the strip of shares."""
    whole = sum(swatch.share for swatch in palette.swatches)
    told = f"{len(palette)} colours on {whole:.0%} of the area, CIELAB D50"
    if press is not None:
        told += "; left on screen, right printed"
    labels = [
        Label(MARGIN_MM, 12.0, 5.4, title),
        Label(MARGIN_MM, 16.2, 2.3, told, SOFT_INK),
    ]
    boxes, x = [], MARGIN_MM
    for swatch in palette.swatches:
        part = swatch.share / whole * (width - 2 * MARGIN_MM) if whole > 0 else 0.0
        boxes.append(Box(x, 18.6, part, 4.6, swatch.hex))
        x += part
    boxes.append(Box(MARGIN_MM, 18.6, width - 2 * MARGIN_MM, 4.6, "none", HAIRLINE))
    return boxes, labels


def _footer(press: Press, width: float, height: float) -> list[Label]:
    """Return what the printed look is worth, in lines that fit the page."""
    size = 2.1
    letters = int((width - 2 * MARGIN_MM) / (size * 0.5))  # the font's mean advance is 0.5 em
    lines = wrap(f"Printed: {press.name}. {press.limits}", letters)[:3]
    top = height - 4.0 - (len(lines) - 1) * size * 1.3
    return [
        Label(MARGIN_MM, top + i * size * 1.3, size, line, SOFT_INK) for i, line in enumerate(lines)
    ]


def _blocks(swatch: Swatch, look: _Look | None, x: float, y: float, row: float) -> list[Box]:
    height, width = row - min(2.4, row * 0.18), 30.0
    edge = HAIRLINE if swatch.lab[0] > 92 else None
    if look is None:
        return [Box(x, y, width, height, swatch.hex, edge)]
    half = width / 2
    return [
        Box(x, y, half, height, swatch.hex, edge),
        Box(x + half, y, half, height, look.hex, edge),
    ]


def _lines(swatch: Swatch, look: _Look | None, x: float, y: float, row: float) -> list[Label]:
    """Return three lines: name; hex and Lab; share, role and what printing does."""
    large, small = min(3.7, row * 0.27), min(2.5, row * 0.19)
    lightness, a, b = (round(value, 1) + 0.0 for value in swatch.lab)
    share = f"{told_share(swatch.share)} {swatch.role.value}"
    if look is not None:
        share += f", print shift {look.shift_de2000:.1f}"
    left, top = x + 33.5, y + row * 0.27
    return [
        Label(left, top, large, swatch.name),
        Label(left, top + row * 0.25, small, f"{swatch.hex}   L {lightness}  a {a}  b {b}"),
        Label(left, top + row * 0.48, small, share, SOFT_INK),
    ]


def to_svg(card: Card) -> bytes:
    """Return the card as SVG 1.1 in true millimetres, UTF-8; text in the reader's sans-serif."""
    size = f'width="{card.width_mm:g}mm" height="{card.height_mm:g}mm"'
    view = f'viewBox="0 0 {card.width_mm:g} {card.height_mm:g}"'
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" {size} {view}>',
        f'<rect width="{card.width_mm:g}" height="{card.height_mm:g}" fill="#ffffff"/>',
        *map(_svg_box, card.boxes),
        '<g font-family="Aileron, Helvetica, Arial, sans-serif" xml:space="preserve">',
        *map(_svg_label, card.labels),
        "</g>",
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode()


def _svg_box(box: Box) -> str:
    edge = f' stroke="{box.edge}" stroke-width="0.15"' if box.edge else ""
    place = f'x="{box.x_mm:.3f}" y="{box.y_mm:.3f}"'
    size = f'width="{box.width_mm:.3f}" height="{box.height_mm:.3f}"'
    return f'<rect {place} {size} fill="{box.fill}"{edge}/>'


def _svg_label(label: Label) -> str:
    place = f'x="{label.x_mm:.3f}" y="{label.y_mm:.3f}" font-size="{label.size_mm:.2f}"'
    return f'<text {place} fill="{label.colour}">{escape(label.text)}</text>'
