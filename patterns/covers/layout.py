"""Is a picture laid out like a page: panels between gutters, a frame all round, a box with a title?

In: a picture, (height, width, 3) sRGB uint8. Out: a ``Cover``, or None for what may be a tile.

The picture is cut along bands of one colour that run from side to side, and each part again, as
pages are (the X-Y cut: Nagy and Seth, "Hierarchical representation of optically scanned
documents", ICPR 1984). A panel counts where artwork is cut off along its sides: there it differs
from the band nearly everywhere, and from place to place. Bare ground between scattered motifs, and
the sides of bricks, checks, printed frames and windows, are not such. A quilt of prints has bands
too, but goes on over its edges: what is left of a band at two opposite edges is together as wide as
those inside, or a panel lies across, and its picture goes on from one edge to the other. Writing is
a row of marks of like height, close together, on one base line.

The bounds are chosen by looking at drawn pages and at 550 drawn tiles; no published source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from palette.arrays import Floats32, Mask, Pixels
from patterns.covers.mock_up import Box, find_thing
from patterns.lab32 import de76, lab32
from patterns.plane import reduce_by

WORK_PX = 480  # the longer side of the copy that is looked at
LEAST_PX = 64
ONE_COLOUR_DE = 4.0  # CIE76 within a band
BAND_SHARE = 0.97  # of a band's length that is of its colour
OTHER_DE = 5.0  # what is beside a band differs from it by this
CUT_SHARE = 0.7  # along so much of its length
BESIDE_PX = (3, 6)  # past a band: a scan may lie a little aslant
LEAST_BAND = 0.004  # of the longer side
LEAST_MARGIN = 0.012  # of it, round a frame
LEAST_PANEL = 0.08  # of the side that is cut
VARIED_DE = 2.5  # standard deviation along a side at which artwork is cut off
EVEN = 0.25  # a quilt's bands, and often its panels, are alike to within this share
STEPS_BELOW = 0.98  # of the steps from line to line inside panels: such is one across the edge
LEAST_PANELS = 3
BOX_SHARE = 0.04  # of the picture: a title's box
BOX_FILL = 0.7  # of its bounding box, letters filled
FLAT_DE = 3.0  # from one pixel to the next
LETTERS = 6  # in one line, that make it writing
LETTER_PX = (5, 60)
ALIKE = 0.4  # share by which heights of one line differ
WORD_GAP, LETTER_GAP, BASE_LINE = 0.9, 0.35, 0.12  # of a letter's height


@dataclass(frozen=True, slots=True)
class Cover:
    """What a picture looks like that is not a tile.

    Attributes:
        kind: "collage", "frame", "title" or "mock-up".
        panels: how many pictures it is put together of; 1 for all but a collage.
        box_px: (x, y, width, height) of the framed picture, of the title's box or of the thing
            shown, in pixels of the picture; the whole picture for a collage.
    """

    kind: Literal["collage", "frame", "title", "mock-up"]
    panels: int
    box_px: Box


@dataclass(frozen=True, slots=True)
class _Cut:
    """How one side of a part of the picture is cut.

    Attributes:
        panels: (from, to) along that side.
        length: of the side.
    """

    panels: tuple[tuple[int, int], ...]
    length: int

    @property
    def margins(self) -> tuple[int, int]:
        """What lies before the first panel and after the last."""
        return self.panels[0][0], self.length - self.panels[-1][1]

    def goes_on(self, lab: Floats32) -> bool:
        """Whether the bands and panels of the picture go on over its edges, as a quilt's do."""
        bands = [after[0] - before[1] for before, after in pairwise(self.panels)]
        if not bands:
            return False
        if any(self.margins):
            return _are_alike([*bands, sum(self.margins)])
        first, *inner, last = (stop - start for start, stop in self.panels)
        # one panel lies across the edge
        even = bool(inner) and _are_alike([*inner, first + last])
        return _are_alike(bands) and (even or _meets(lab, self.panels))


def _are_alike(lengths: Sequence[int]) -> bool:
    return max(lengths) - min(lengths) <= EVEN * max(lengths) + 1


def find_cover(pixels: Pixels) -> Cover | None:
    """Return what a picture looks like that is not a tile; None for what may be one.

    Args:
        pixels: (height, width, 3) sRGB uint8.
    """
    if min(pixels.shape[:2]) < LEAST_PX:
        return None
    factor = max(1.0, max(pixels.shape[:2]) / WORK_PX)
    lab = lab32(pixels if factor == 1.0 else reduce_by(pixels, factor))
    height, width = lab.shape[:2]
    across, down = pixels.shape[1] / width, pixels.shape[0] / height

    def full(x: int, y: int, wide: int, high: int) -> Box:
        return round(x * across), round(y * down), round(wide * across), round(high * down)

    rows, columns = _cut(lab), _cut(lab.transpose(1, 0, 2))
    panels = _panels(lab, rows, columns)
    cut_off = [box for box in panels if _is_cut_off(lab, box)]
    if len(cut_off) >= max(LEAST_PANELS, len(panels) / 2) and not _is_quilt(lab, rows, columns):
        return Cover("collage", len(panels), full(0, 0, width, height))
    margin = LEAST_MARGIN * max(height, width)
    if len(panels) == 1 and min(*rows.margins, *columns.margins) >= margin:
        (box,) = panels
        if sum(_varies(line) for line in _sides(lab, box)) >= 3:
            return Cover("frame", 1, full(*box))
    thing = find_thing(lab)
    if thing:
        return Cover("mock-up", 1, full(*thing))
    title = _title(lab)
    return Cover("title", 1, full(*title)) if title else None


def _is_quilt(lab: Floats32, rows: _Cut, columns: _Cut) -> bool:
    """Whether the bands that run one way, or both, all go on over the edges."""
    ways = ((rows, lab), (columns, lab.transpose(1, 0, 2)))
    cuts = [(cut, way) for cut, way in ways if len(cut.panels) > 1]
    return bool(cuts) and all(cut.goes_on(way) for cut, way in cuts)


def _panels(lab: Floats32, rows: _Cut, columns: _Cut) -> list[Box]:
    """Return the panels (x, y, width, height): cut one way, then each part the other way."""
    height = lab.shape[0]
    if rows.panels == ((0, height),) and len(columns.panels) == 1:  # as of nearly every tile
        ((left, right),) = columns.panels
        return [(left, 0, right - left, height)]
    if len(rows.panels) >= len(columns.panels):
        return [
            (left, top, right - left, bottom - top)
            for top, bottom in rows.panels
            for left, right in _cut(lab[top:bottom].transpose(1, 0, 2)).panels
        ]
    return [
        (left, top, right - left, bottom - top)
        for left, right in columns.panels
        for top, bottom in _cut(lab[:, left:right]).panels
    ]


def _is_cut_off(lab: Floats32, box: Box) -> bool:
    """Whether artwork is cut off round a panel that has bands beside it both ways."""
    x, y, wide, high = box
    between_rows = y > 0 or y + high < lab.shape[0]
    between_columns = x > 0 or x + wide < lab.shape[1]
    varied = sum(_varies(line) for line in _sides(lab, box))
    return between_rows and between_columns and varied >= 3


def _sides(lab: Floats32, box: Box) -> list[Floats32]:
    """Return the four lines just inside a panel."""
    x, y, wide, high = box
    inset = min(BESIDE_PX[0], wide // 3, high // 3)
    part = lab[y : y + high, x : x + wide]
    ends = slice(inset, -inset or None)
    lines = (part[inset, ends], part[-1 - inset, ends], part[ends, inset], part[ends, -1 - inset])
    return [np.asarray(line) for line in lines]


def _varies(line: Floats32) -> bool:
    return bool(np.sqrt(line.var(axis=0).sum()) >= VARIED_DE)


def _cut(lab: Floats32) -> _Cut:
    """Return the panels of a picture down its rows."""
    height = lab.shape[0]
    edges = [(0, 0), *_bands(lab), (height, height)]
    panels = tuple((one[1], other[0]) for one, other in pairwise(edges) if other[0] > one[1])
    return _Cut(panels or ((0, height),), height)


def _meets(lab: Floats32, panels: Sequence[tuple[int, int]]) -> bool:
    """Whether the last line goes over into the first as lines do inside panels."""
    step = de76(lab, np.roll(lab, 1, axis=0)).mean(axis=1)
    inside = np.concatenate([step[start + 1 : stop] for start, stop in panels])
    usual = float(np.quantile(inside, STEPS_BELOW)) if len(inside) else 0.0
    return bool(step[0] <= max(usual, FLAT_DE))


def _bands(lab: Floats32) -> list[tuple[int, int]]:
    """Return the rows (from, to) of bands of one colour, with others along one side at least."""
    height = lab.shape[0]
    middle = np.median(lab, axis=1)
    near = de76(lab, middle[:, None]) < ONE_COLOUR_DE
    least = max(2, round(LEAST_BAND * max(lab.shape[:2])))
    found: list[tuple[int, int]] = []
    for start, stop in _runs(near.mean(axis=1) >= BAND_SHARE):
        core = middle[start:stop]
        if stop - start < least or float(np.ptp(core, axis=0).max()) > ONE_COLOUR_DE:
            continue
        colour = core[len(core) // 2]
        beside = [
            [lab[at] for past in BESIDE_PX if 0 <= (at := edge + step * past) < height]
            for edge, step in ((start, -1), (stop - 1, 1))
        ]
        # on its other side there may be writing
        if any(_differs(line, colour) for lines in beside for line in lines):
            found.append((start, stop))
    for before, after in pairwise(found):
        if after[0] - before[1] < LEAST_PANEL * height:
            return []  # with hardly anything between them they are lines of a design
    return found


def _differs(line: Floats32, colour: Floats32) -> bool:
    """Whether nearly all of a line is of other colours than the band beside it."""
    other = de76(line, colour) > OTHER_DE
    return bool(other.mean() >= CUT_SHARE)


def _runs(mask: Mask) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.r_[False, mask, False].astype(np.int8)))
    return [(int(start), int(stop)) for start, stop in edges.reshape(-1, 2)]


def _title(lab: Floats32) -> Box | None:
    """Return (x, y, width, height) of the one box of one colour that has a line of writing."""
    from scipy.ndimage import binary_fill_holes, find_objects, label

    flat = _is_flat(lab)
    marks, count = label(flat)
    sizes = np.bincount(marks.ravel(), minlength=count + 1)
    found: list[Box] = []
    for number, box in enumerate(find_objects(marks), 1):
        if sizes[number] < 0.5 * BOX_SHARE * flat.size:
            continue
        own = marks[box] == number
        filled = binary_fill_holes(own)
        whole = own.shape[0] >= 0.95 * flat.shape[0] and own.shape[1] >= 0.95 * flat.shape[1]
        if whole or filled.sum() < BOX_SHARE * flat.size or filled.mean() < BOX_FILL:
            continue  # the ground of the whole picture, too small, or no box
        if _has_writing(filled & ~own):
            rows, columns = box
            found.append((columns.start, rows.start, own.shape[1], own.shape[0]))
    return found[0] if len(found) == 1 else None


def _is_flat(lab: Floats32) -> Mask:
    """Whether a place is of much the same colour as those beside it."""
    steps = [de76(lab, np.roll(lab, 1, axis=axis)) for axis in (0, 1)]
    return np.asarray((steps[0] < FLAT_DE) & (steps[1] < FLAT_DE))


def _has_writing(holes: Mask) -> bool:
    """Whether some holes in a box are in a line like letters."""
    from scipy.ndimage import find_objects, label

    marks, _ = label(holes, np.ones((3, 3)))
    letters = [
        (columns.start, columns.stop, rows.start, rows.stop)
        for rows, columns in find_objects(marks)
        if LETTER_PX[0] <= rows.stop - rows.start <= LETTER_PX[1]
    ]
    return any(_is_line(letters, bottom, bottom - top) for _, _, top, bottom in letters)


def _is_line(letters: Sequence[Box], base: int, high: int) -> bool:
    """Whether letters of this base line and height follow each other closely."""
    line = sorted(
        (left, right)
        for left, right, top, bottom in letters
        if abs(bottom - base) <= BASE_LINE * high + 1
        and abs((bottom - top) - high) <= ALIKE * high + 1
    )
    gaps = np.array([after[0] - before[1] for before, after in pairwise(line)])
    close = _runs(gaps <= WORD_GAP * high)
    return any(
        stop - start + 1 >= LETTERS and np.median(gaps[start:stop]) <= LETTER_GAP * high + 1
        for start, stop in close
    )
