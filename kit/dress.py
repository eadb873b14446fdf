"""What is printed on one sticker beside its fill: panels, marks, stitches, a drawing, words.

In: a slot, its box on the sheet, and the colour behind (none where a pattern is). Out: a ``Dress``.
Words on a pattern get a white band of their own, because letters are lost on artwork; on a colour
they are dark or white, whichever stands out more. Stitches follow the same rule.

Not decided here: fills, places, sizes of type (``kit.row_words``).
"""

from __future__ import annotations

from dataclasses import dataclass

from kit.geometry import Contour, Rect, rounded_rectangle
from kit.lettering import PAPER, Lettering, ink_on, letter
from kit.sheet import Mark, Panel, Picture
from kit.slots import Slot
from kit.stickers import CHECK_STROKE_MM

BAND_ASIDE_MM, BAND_ABOVE_MM = 2.0, 1.4  # of white round words on a pattern


@dataclass(frozen=True)
class Dress:
    """The parts of a placement that follow from its slot.

    Attributes:
        outline: the cut line.
        panels: areas to write on, and bands behind words.
        marks: printed lines and stitches.
        picture: the maker's drawing.
        lettering: words.
    """

    outline: Contour
    panels: tuple[Panel, ...]
    marks: tuple[Mark, ...]
    picture: Picture | None
    lettering: tuple[Lettering, ...]


def dress(slot: Slot, box: Rect, radius_mm: float, *, ground: str | None, ink: str) -> Dress:
    """Return what is printed on a sticker.

    Args:
        slot: the sticker.
        box: its cut line's box on the sheet.
        radius_mm: the sheet's corner radius.
        ground: the colour of its fill, or None where it is a pattern.
        ink: the colour of marks to tick off.
    """
    panels = [Panel(panel) for panel in slot.panels(box, radius_mm)]
    marks = [Mark(check, CHECK_STROKE_MM, ink) for check in slot.kind.checks(box)]
    thread = ink_on(ground) if ground else PAPER
    marks += [Mark(one, 0.0, thread, thread) for one in slot.kind.threads(box, radius_mm)]
    words = _words(slot, box, PAPER if panels else ground)
    if words is not None and not panels and ground is None:
        panels.append(Panel(_band(slot, box, words)))
    return Dress(
        slot.outline(box, radius_mm),
        tuple(panels),
        tuple(marks),
        _picture(slot, box),
        () if words is None else (words,),
    )


def _words(slot: Slot, box: Rect, ground: str | None) -> Lettering | None:
    if not slot.words:
        return None
    return letter(slot.words, slot.words_area(box), slot.text_pt, ground or PAPER)


def _band(slot: Slot, box: Rect, words: Lettering) -> Contour:
    """Return the white behind words on a pattern, kept inside the area that words may take."""
    area = slot.words_area(box)
    across = min(words.box.width_mm / 2.0 + BAND_ASIDE_MM, area.width_mm / 2.0 + 0.6)
    down = min(words.box.height_mm / 2.0 + BAND_ABOVE_MM, area.height_mm / 2.0 + 0.6)
    x, y = area.centre_mm
    band = Rect(x - across, y - down, 2.0 * across, 2.0 * down)
    return rounded_rectangle(band, min(1.5, down))


def _picture(slot: Slot, box: Rect) -> Picture | None:
    if slot.drawing is None:
        return None
    drawing = slot.drawing
    return Picture(drawing.box.moved(box.x_mm, box.y_mm), drawing.on_white, drawing.alpha)
