"""What stickers are there? One table of kinds, each a function of the planner's box.

A kind says how large it is (as shares of the planner's day box), how its cut line runs, and what is
printed on it beside its fill. Everything is in millimetres, in the sheet's frame. Default sizes are
common practice, no published source: full box = the box, half box = half its height, quarter box a
quarter, checklist a sixth of its width by its height with circles 0.6 of the width across, about
7 mm apart.

To add a kind, add one entry to ``KINDS``; recipes, layout, files and docs take it from there.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

from kit.registration import needed_border_mm
from kit.shapes import (
    Contour,
    Rect,
    Vertex,
    circle,
    pennant,
    rect_between,
    rounded_rectangle,
    scallops,
    stitches,
)

CHECK_SPACING_MM = 7.0
CHECK_SHARE = 0.6
CHECK_STROKE_MM = 0.25
CHECK_APART = 1.25  # the least distance between two marks' middles, in their width
LEAST_CHECK_MM = 3.0  # a smaller mark is hard to tick (common practice, no published source)
LEAST_BORDER_MM = 3.0
RULE_SPACING_MM = 7.0
RULE_INSET_MM = 2.0  # from a panel's side
RULE_STROKE_MM = 0.2


def _middle(box: Rect) -> Rect:
    """The area of words: all but a margin of an eighth of the shorter side, at least 1.2 mm."""
    margin = max(1.2, min(box.width_mm, box.height_mm) / 8.0)
    return box.grow(-margin)


def _before_the_tail(box: Rect) -> Rect:
    area = _middle(box)
    return rect_between(area.x_mm, area.y_mm, area.right_mm - box.height_mm * 0.4, area.bottom_mm)


def _inside_the_disc(box: Rect) -> Rect:
    return box.grow(-0.16 * min(box.width_mm, box.height_mm))


def _inside_the_stitches(box: Rect) -> Rect:
    return box.grow(-max(3.0, min(box.width_mm, box.height_mm) / 8.0))


class Sewing(Protocol):
    """Stitches printed inside a box: none for most kinds."""

    def __call__(self, box: Rect, radius_mm: float, clear_mm: float = 0.0) -> tuple[Contour, ...]:
        """Return the stitches as outlines, where there is room ``clear_mm`` from the box's edge."""
        ...


def _unsewn(box: Rect, radius_mm: float, clear_mm: float = 0.0) -> tuple[Contour, ...]:
    del box, radius_mm, clear_mm
    return ()


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of sticker.

    Attributes:
        name: what recipes call it.
        means: what it is for, in one sentence.
        wide: its width as a share of the planner box's width.
        high: its height as a share of the planner box's height.
        outline: the cut line for its box and the sheet's corner radius in mm.
        checks: whether marks to tick off run down it.
        panel: the panel that it has unless the row says otherwise: "white", "ruled" or none.
        threads: printed stitches, as outlines inside its box, for the corner radius in mm and
            how far they should keep from the cut.
        words: where words go in its box; None where it has no room for any.
        source_key: what a row of this kind must name: nothing, a file whose path is its cut line,
            a picture that is cut round, or a pattern to take motifs from.
        may_turn: whether a packed layout may lay it on its side.
        square: whether both sides are the shorter of the two.
        often_small: whether such stickers of less than 10 mm both ways are no slip of the pen.
    """

    name: str
    means: str
    wide: float
    high: float
    outline: Callable[[Rect, float], Contour] = rounded_rectangle
    checks: bool = False
    panel: str | None = None
    threads: Sewing = _unsewn
    words: Callable[[Rect], Rect] | None = _middle
    source_key: Literal["", "outline", "picture", "from"] = ""
    may_turn: bool = True
    square: bool = False
    often_small: bool = False

    def size_mm(self, box_mm: tuple[float, float]) -> tuple[float, float]:
        """Return width and height for a planner's box of this width and height."""
        width, height = self.wide * box_mm[0], self.high * box_mm[1]
        return (min(width, height),) * 2 if self.square else (width, height)


def check_marks(
    box: Rect,
    count: int | None,
    shape: str,
    clear_mm: float = 0.0,
    pitch_mm: float | None = None,
) -> tuple[Contour, ...]:
    """Return marks evenly spaced down a box, the first and last half a step from its ends.

    Args:
        box: the sticker's box.
        count: how many; None for as many as stand about 7 mm apart.
        shape: "circle" or "square".
        clear_mm: how far they should keep from the cut. For that they get smaller, down to
            ``LEAST_CHECK_MM``, and move closer together.
        pitch_mm: from one mark to the next; None to spread them over the box.
    """
    if pitch_mm is not None:
        return _marks_at_pitch(box, count, shape, clear_mm, pitch_mm)
    marks = count or max(1, round(box.height_mm / CHECK_SPACING_MM))
    step = box.height_mm / marks
    across = min(box.width_mm * CHECK_SHARE, step / CHECK_APART)
    taken = 2.0 * clear_mm + CHECK_STROKE_MM
    room = min(box.width_mm - taken, (box.height_mm - taken) / (1.0 + (marks - 1) * CHECK_APART))
    across = max(min(across, room), min(across, LEAST_CHECK_MM))
    first = _first_mark(box.height_mm, marks, across, clear_mm)
    step = (box.height_mm - 2.0 * first) / (marks - 1) if marks > 1 else 0.0
    return _column(box, [box.y_mm + first + i * step for i in range(marks)], across, shape)


def _marks_at_pitch(
    box: Rect, count: int | None, shape: str, clear_mm: float, pitch_mm: float
) -> tuple[Contour, ...]:
    """Return marks in the middle of a box, a pitch apart: as many as keep clear of its ends."""
    taken = 2.0 * clear_mm + CHECK_STROKE_MM
    widest = min(box.width_mm * CHECK_SHARE, pitch_mm / CHECK_APART)
    least = min(widest, LEAST_CHECK_MM)
    marks = count or max(1, math.floor((box.height_mm - taken - least) / pitch_mm + 1e-6) + 1)
    block = (marks - 1) * pitch_mm
    across = max(min(widest, box.width_mm - taken, box.height_mm - block - taken), least)
    first = box.y_mm + (box.height_mm - block) / 2.0
    return _column(box, [first + i * pitch_mm for i in range(marks)], across, shape)


def _column(box: Rect, places: Sequence[float], across: float, shape: str) -> tuple[Contour, ...]:
    """Return marks with their middles at these y, in the middle of a box's width."""
    x = box.x_mm + box.width_mm / 2.0
    if shape == "circle":
        return tuple(circle(x, y, across / 2.0) for y in places)
    return tuple(
        rounded_rectangle(Rect(x - across / 2.0, y - across / 2.0, across, across), across / 8.0)
        for y in places
    )


def _first_mark(height_mm: float, marks: int, across_mm: float, clear_mm: float) -> float:
    """Return how far the first mark's middle lies from its end: half a step or more."""
    clear = clear_mm + (across_mm + CHECK_STROKE_MM) / 2.0
    closest = (height_mm - (marks - 1) * CHECK_APART * across_mm) / 2.0
    return max(height_mm / marks / 2.0, min(clear, closest))


def rules(panel: Rect, pitch_mm: float | None = None) -> tuple[Contour, ...]:
    """Return lines to write on inside a panel, a pitch apart; without one, about 7 mm."""
    if pitch_mm is None:
        count = max(1, round(panel.height_mm / RULE_SPACING_MM) - 1)
        first = step = panel.height_mm / (count + 1)
    else:
        count = max(1, math.floor(panel.height_mm / pitch_mm + 1e-6) - 1)
        first, step = (panel.height_mm - (count - 1) * pitch_mm) / 2.0, pitch_mm
    left, right = panel.x_mm + RULE_INSET_MM, panel.right_mm - RULE_INSET_MM
    places = [panel.y_mm + first + i * step for i in range(count)]
    return tuple(Contour((Vertex(left, y), Vertex(right, y))) for y in places if right > left)


def _disc(box: Rect, _radius: float) -> Contour:
    return circle(*box.centre_mm, min(box.width_mm, box.height_mm) / 2.0)


def _soft_label(box: Rect, radius: float) -> Contour:
    return rounded_rectangle(box, max(radius, box.height_mm / 3.0))


KINDS = {
    kind.name: kind
    for kind in (
        Kind("full box", "Fills the planner's day box.", 1.0, 1.0),
        Kind("half box", "Fills the day box's width and half its height.", 1.0, 0.5),
        Kind("quarter box", "Fills the day box's width and a quarter of its height.", 1.0, 0.25),
        Kind("writing box", "A full box with a ruled panel to write on.", 1.0, 1.0, panel="ruled"),
        Kind(
            "checklist",
            "A narrow column of marks to tick off, beside the day's writing.",
            1.0 / 6.0,
            1.0,
            checks=True,
            words=None,
        ),
        Kind("strip", "A long thin band, to set parts of a page off.", 1.0, 0.125),
        Kind("label", "A label with well-rounded ends.", 0.75, 0.2, outline=_soft_label),
        Kind(
            "header",
            "A band across the day box with words: a day's name, a month, your own.",
            1.0,
            0.16,
            may_turn=False,
        ),
        Kind(
            "dot",
            "A round mark for a date or an event.",
            0.25,
            0.25,
            outline=_disc,
            words=_inside_the_disc,
            may_turn=False,
            square=True,
            often_small=True,
        ),
        Kind(
            "pennant",
            "A flag with a swallow tail, for what must not be missed.",
            0.75,
            0.22,
            outline=pennant,
            words=_before_the_tail,
            may_turn=False,
        ),
        Kind("scalloped box", "A half box with a scalloped edge.", 1.0, 0.5, outline=scallops),
        Kind(
            "stitched box",
            "A half box with stitches printed inside its edge.",
            1.0,
            0.5,
            threads=stitches,
            words=_inside_the_stitches,
        ),
        Kind(
            "custom",
            "Your own outline, from an SVG path, fitted into the size you state.",
            1.0,
            0.5,
            source_key="outline",
        ),
        Kind(
            "icon",
            "Your own drawing, cut round its edge at the distance you state.",
            0.5,
            0.5,
            words=None,
            source_key="picture",
            may_turn=False,
            often_small=True,
        ),
        Kind(
            "motif",
            "A motif lifted from one of your patterns, cut round its edge.",
            0.5,
            0.5,
            words=None,
            source_key="from",
            may_turn=False,
            often_small=True,
        ),
    )
}


def least_border_mm(miss_mm: float) -> float:
    """Return the narrowest border round a writing panel that still looks even.

    At least 3 mm (common practice, no published source), and at least five times what the cut may
    miss there: the visible ratio of opposite borders is then (5 + 1) / (5 - 1) = 1.5 at the worst.

    Args:
        miss_mm: how far the cut may lie off the print at that sticker.
    """
    return max(LEAST_BORDER_MM, needed_border_mm(miss_mm))
