"""What goes on a sticker over its fill and panel: stitches, the maker's drawing, words.

In: a slot, its box on the sheet, and the colour behind (none where a pattern is). Out: a ``Dress``.
Words on a pattern get a white band of their own, because letters are lost on artwork; on a colour
they are dark or white, whichever stands out more. Stitches follow the same rule.

Not decided here: fills, places, sizes of type (``kit.stickers.row_words``).
"""

from __future__ import annotations

from dataclasses import dataclass

from kit.letters import INK, PAPER, Lettering, ink_on, letter
from kit.shapes import Contour, Rect, rounded_rectangle
from kit.sheet import Picture
from kit.stickers.row_words import BAND_ABOVE_MM, BAND_ASIDE_MM
from kit.stickers.slots import Slot
from palette.space import de2000, hex_of, hex_to_lab, parse_hex

# CIEDE2000: under it the two look like one area (common practice, no published source)
LEAST_BAND_APART = 10.0


@dataclass(frozen=True)
class Dress:
    """What a slot brings along.

    Attributes:
        threads: stitches, each an outline to fill.
        thread: their colour.
        band: the white behind words on a pattern, or None.
        picture: the maker's drawing, or None.
        lettering: words; none or one line.
    """

    threads: tuple[Contour, ...]
    thread: str
    band: Contour | None
    picture: Picture | None
    lettering: tuple[Lettering, ...]


def dress(slot: Slot, box: Rect, radius_mm: float, ground: str | None, title: str = INK) -> Dress:
    """Return what goes on a sticker.

    Args:
        slot: the sticker.
        box: its cut line's box on the sheet, before any turn.
        radius_mm: the sheet's corner radius.
        ground: the colour behind the words, or None where a pattern is.
        title: the colour of a title's band, which is behind the words of a list.
    """
    behind = title if slot.is_titled else ground
    words = _words(slot, box, behind)
    return Dress(
        slot.kind.threads(box, radius_mm, slot.clear_mm),
        ink_on(ground) if ground else PAPER,
        _band(slot, box, words) if words is not None and behind is None else None,
        _picture(slot, box),
        () if words is None else (words,),
    )


def _words(slot: Slot, box: Rect, ground: str | None) -> Lettering | None:
    if not slot.words:
        return None
    return letter(slot.words, slot.words_area(box), slot.text_pt, ground or PAPER, slot.font)


def _band(slot: Slot, box: Rect, words: Lettering) -> Contour:
    """Return the white behind words on a pattern, kept inside the area that words may take."""
    area = slot.words_area(box)
    across = min(words.box.width_mm / 2.0 + BAND_ASIDE_MM, area.width_mm / 2.0 + 0.6)
    down = min(words.box.height_mm / 2.0 + BAND_ABOVE_MM, area.height_mm / 2.0 + 0.6)
    x, y = area.centre_mm
    return rounded_rectangle(Rect(x - across, y - down, 2.0 * across, 2.0 * down), min(1.5, down))


def _picture(slot: Slot, box: Rect) -> Picture | None:
    if slot.drawing is None:
        return None
    drawing = slot.drawing
    return Picture(drawing.box.shift(box.x_mm, box.y_mm), drawing.on_white, drawing.alpha)


def light_of(ink: str) -> str:
    """Return the colour of light lines: the ink, mixed with as much of the paper's white."""
    return hex_of((parse_hex(ink).astype(int) + parse_hex(PAPER)) // 2)


def title_colour(ink: str, fill: str | None) -> str:
    """Return the colour of a title's band: the ink, or light where that is lost on the border.

    Args:
        ink: the colour that lines are drawn in.
        fill: the border's colour, or None for a pattern.
    """
    if fill is None or de2000(hex_to_lab(ink), hex_to_lab(fill)) >= LEAST_BAND_APART:
        return ink
    return light_of(ink)
