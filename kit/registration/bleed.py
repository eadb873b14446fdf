"""How far each sticker's colour may run past its cut line before it meets a neighbour's.

In: the cut boxes of a sheet and the wished bleed, in millimetres. Out: one ``Rect`` a box: the box
grown by the bleed, clipped by the paper and at the middle of a gap that is too narrow for two.

Not done here: how much bleed and gap the registration needs (``kit.registration.tolerance``).
"""

from __future__ import annotations

from collections.abc import Sequence

from kit.shapes import Rect, rect_between


def bleed_boxes(boxes: Sequence[Rect], bleed_mm: float, paper: Rect) -> list[Rect]:
    """Return the printed rectangle of every box, in order; no two of them overlap.

    The boxes must not overlap each other.
    """
    return [_clip(box, boxes, bleed_mm, paper) for box in boxes]


def _clip(box: Rect, boxes: Sequence[Rect], bleed_mm: float, paper: Rect) -> Rect:
    wide = box.grow(bleed_mm)
    left, top = max(wide.x_mm, paper.x_mm), max(wide.y_mm, paper.y_mm)
    right, bottom = min(wide.right_mm, paper.right_mm), min(wide.bottom_mm, paper.bottom_mm)
    for other in boxes:
        if other is box or not wide.overlaps(other.grow(bleed_mm)):
            continue
        # two boxes are apart along at least one axis: give way along the one with more room
        gaps = {
            "left": box.x_mm - other.right_mm,
            "right": other.x_mm - box.right_mm,
            "top": box.y_mm - other.bottom_mm,
            "bottom": other.y_mm - box.bottom_mm,
        }
        side = max(gaps, key=lambda name: gaps[name])
        half = max(0.0, gaps[side]) / 2.0
        if side == "left":
            left = max(left, box.x_mm - half)
        elif side == "right":
            right = min(right, box.right_mm + half)
        elif side == "top":
            top = max(top, box.y_mm - half)
        else:
            bottom = min(bottom, box.bottom_mm + half)
    return rect_between(left, top, right, bottom)
