"""The stickers apart: one of each look, each with its cut shape, on a plain ground.

They keep their sizes beside one another, lie upright in rows from the highest to the lowest, and
fill the picture. Of very many looks some of every kind are shown.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import zip_longest

from kit.compose import Kit
from kit.listing.cut_out import CutOut, Place, cut_outs, different
from kit.listing.ground import SIDE_PX, ground, lay
from palette.arrays import Pixels
from patterns.units import MM_PER_INCH

MOST = 48  # stickers; more are clutter
LIKE = 0.75  # of the highest in its row is the lowest that goes there
MARGIN = 0.06  # of the picture's side
APART_MM = 5.0
PLAIN = "#f3efe8"
LIFT = 0.5  # of a sticker above the ground


def stickers_picture(kit: Kit) -> Pixels:
    """Return the stickers of a kit apart, as a square picture."""
    rows, wide_mm, high_mm = _rows(_some(kit, different(kit)))
    room = SIDE_PX * (1.0 - 2.0 * MARGIN)
    per_mm = min(room / wide_mm, room / high_mm, kit.sheets[0].dpi / MM_PER_INCH)
    drawn = _drawn(kit, [place for row in rows for place in row.places], per_mm)
    picture = ground(PLAIN)
    top_mm = (SIDE_PX / per_mm - high_mm) / 2.0
    for row in rows:
        left_mm = (SIDE_PX / per_mm - row.wide_mm) / 2.0
        for place in row.places:
            down = (row.high_mm - place.high_mm) / 2.0
            one = drawn[place]
            at = round((top_mm + down) * per_mm), round(left_mm * per_mm)
            lay(picture, one.pixels, one.shares, at, per_mm=per_mm, height=LIFT)
            left_mm += place.wide_mm + APART_MM
        top_mm += row.high_mm + APART_MM
    return picture


def _some(kit: Kit, places: list[Place]) -> list[Place]:
    """Return at most ``MOST``, of each kind as many as of any other."""
    kinds: dict[str, list[Place]] = defaultdict(list)
    for place in places:
        kinds[kit.sheets[place.sheet].placements[place.number].kind].append(place)
    turns = [place for turn in zip_longest(*kinds.values()) for place in turn if place is not None]
    chosen = set(turns[:MOST])
    return [place for place in places if place in chosen]


@dataclass(frozen=True, slots=True)
class _Row:
    places: tuple[Place, ...]

    @property
    def wide_mm(self) -> float:
        return sum(one.wide_mm for one in self.places) + APART_MM * (len(self.places) - 1)

    @property
    def high_mm(self) -> float:
        return max(one.high_mm for one in self.places)


def _rows(places: list[Place]) -> tuple[list[_Row], float, float]:
    """Return the stickers in rows of about the same width, with the width and height of all.

    Of all widths the one is taken whose rows come nearest to a square.
    """
    ordered = sorted(places, key=lambda one: (-round(one.high_mm, 1), -one.wide_mm))
    widest = max(one.wide_mm for one in ordered)
    best: tuple[float, list[_Row], float, float] | None = None
    for step in range(60):
        rows = _filled(ordered, widest * 1.06**step)
        wide = max(row.wide_mm for row in rows)
        high = sum(row.high_mm for row in rows) + APART_MM * (len(rows) - 1)
        if best is None or max(wide, high) < best[0]:
            best = max(wide, high), rows, wide, high
        if len(rows) == 1:
            break
    assert best is not None
    return best[1], best[2], best[3]


def _filled(places: list[Place], wide_mm: float) -> list[_Row]:
    """Return the stickers in rows of at most a width, those of like height together."""
    rows: list[_Row] = []
    while places:
        least = LIKE * places[0].high_mm
        alike = [one for one in places if one.high_mm >= least]
        places = places[len(alike) :]
        needed = len(_in_turn(alike, wide_mm))
        evened = (_in_turn(alike, wide_mm * share / 20.0) for share in range(8, 21))
        rows += next(one for one in evened if len(one) == needed)  # no row of a few is left over
    return rows


def _in_turn(places: list[Place], wide_mm: float) -> list[_Row]:
    rows: list[_Row] = []
    row: tuple[Place, ...] = ()
    for place in places:
        if row and _Row((*row, place)).wide_mm > wide_mm + 1e-6:
            rows.append(_Row(row))
            row = ()
        row = (*row, place)
    return [*rows, _Row(row)]


def _drawn(kit: Kit, places: list[Place], per_mm: float) -> dict[Place, CutOut]:
    """Return each sticker as it is drawn, upright; each sheet is drawn once."""
    found: dict[Place, CutOut] = {}
    for sheet in sorted({place.sheet for place in places}):
        here = {place.number: place for place in places if place.sheet == sheet}
        for number, one in cut_outs(kit, sheet, sorted(here), per_mm):
            found[here[number]] = one.upright()
    return found
