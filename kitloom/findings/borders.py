"""Findings about borders: what would look off centre where a cut misses its print."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kit.kinds import LEAST_BORDER_MM
from kit.registration import EVEN_RATIO, border_ratio, narrowest_border_mm, needed_border_mm
from kit.shapes import Rect, bounding_box, rect_around
from kit.sheet import Mark, Placement
from kit.stickers import Slot
from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts

CROOKED_RATIO = 3.0  # everybody sees that it is off (common practice, no published source)


@dataclass(frozen=True, slots=True)
class _Uneven:
    """The worst border of one sort among a row's stickers.

    Attributes:
        slot: the sticker.
        inside: what lies inside the border, such as "panel".
        border_mm: how wide it is.
        miss_mm: how far the cut may miss there.
    """

    slot: Slot
    inside: str
    border_mm: float
    miss_mm: float

    @property
    def ratio(self) -> float:
        return border_ratio(self.border_mm, self.miss_mm)

    @property
    def needed_mm(self) -> float:
        needed = needed_border_mm(self.miss_mm)
        return max(needed, LEAST_BORDER_MM) if self.inside == "panel" else needed


def border_findings(facts: KitFacts) -> list[Finding]:
    """Name what would look off centre where a cut misses: a finding for each kind and sort."""
    worst: dict[tuple[str, str], _Uneven] = {}
    for one in _uneven(facts):
        key = one.slot.kind.name, one.inside
        if key not in worst or one.ratio > worst[key].ratio:
            worst[key] = one
    return [_told(worst[key]) for key in sorted(worst)]


def _uneven(facts: KitFacts) -> Iterator[_Uneven]:
    kit = facts.kit
    for sheet, spots in zip(kit.sheets, kit.layout.sheets, strict=True):
        for placed, spot in zip(sheet.placements, spots, strict=True):
            slot, miss_mm = kit.slots[spot.index], kit.misses_mm[spot.index]
            borders = {
                inside: narrowest_border_mm(placed.box, box)
                for inside, box in _printed_inside(slot, placed)
            }
            if slot.drawing is not None:
                borders["drawing"] = facts.recipe.rows[slot.row].distance
            for inside, border_mm in borders.items():
                one = _Uneven(slot, inside, border_mm, miss_mm)
                if one.border_mm < one.needed_mm - 1e-6:
                    yield one


def _printed_inside(slot: Slot, placed: Placement) -> Iterator[tuple[str, Rect]]:
    """Yield what is printed inside a sticker and has a border, with its box."""
    if slot.is_titled:  # its title's band and the rest make one panel
        yield "panel", rect_around([bounding_box(panel.contour) for panel in placed.panels])
    if placed.frame is not None:
        yield "frame", bounding_box(placed.frame.contour)
    for panel in () if slot.is_titled else placed.panels:
        yield "band" if slot.panel is None else "panel", bounding_box(panel.contour)
    box = Rect(0.0, 0.0, slot.width_mm, slot.height_mm)
    checks, rules = len(slot.check_marks(box)), len(slot.rules(box))
    if checks and slot.is_list:
        # a mark's like, on the right, is its line's end
        yield "marks", _round_all(placed.marks[: checks + rules])
    elif checks:
        yield "marks", _round_all(placed.marks[:checks])
    if placed.marks[checks + rules :]:
        yield "stitches", _round_all(placed.marks[checks + rules :])
    if not placed.panels:
        for words in placed.lettering:
            yield "words", words.box


def _round_all(marks: Sequence[Mark]) -> Rect:
    return rect_around([bounding_box(one.contour).grow(one.stroke_mm / 2.0) for one in marks])


_ROUND = {
    "panel": "The border round its panel",
    "frame": "The border round its panel's frame",
    "marks": "The border beside its marks",
    "stitches": "The border outside its stitches",
    "words": "The border round its words",
    "band": "The border round the white behind its words",
    "drawing": "The paper round its drawing",
}


def _told(one: _Uneven) -> Finding:
    needed = f"{math.ceil(one.needed_mm * 10.0 - 1e-6) / 10.0:.1f}"
    into = one.border_mm <= one.miss_mm
    worst = (
        "the cut may run into it"
        if into
        else f"two opposite sides may come out {one.ratio:.1f} to 1"
    )
    return finding(
        "border",
        one.slot.kind.name,
        severity="warn" if one.ratio > CROOKED_RATIO or one.inside == "panel" else "note",
        what=f"{_ROUND[one.inside]} is {one.border_mm:.1f} mm wide; the cut may miss by "
        f"{one.miss_mm:.2f} mm there, and {worst}.",
        why=f"Over {EVEN_RATIO:g} to 1 looks off centre.",
        remedy=_remedy(one, needed),
        inside=one.inside,
        border_mm=round(one.border_mm, 3),
        needed_border_mm=round(one.needed_mm, 3),
        miss_mm=round(one.miss_mm, 4),
        ratio=None if into else round(one.ratio, 3),
    )


def _remedy(one: _Uneven, needed: str) -> str:
    exactly = "or register the cut more exactly."
    if one.inside == "frame":
        return f"Set border wider or frame_width narrower, for {needed} mm or more, {exactly}"
    if one.inside == "panel":
        return f"Make it {needed} mm or more, {exactly}"
    if one.inside == "drawing":
        return f'Set distance = "{needed}mm" or more, {exactly}'
    wider = math.ceil(2.0 * (one.needed_mm - one.border_mm) * 10.0 - 1e-6) / 10.0
    larger = f"Make the sticker {wider:.1f} mm larger that way (size)"
    if one.inside in {"words", "band"}:
        return f"{larger}, the words smaller (text_size), {exactly}"
    return f"{larger}, {exactly}"
