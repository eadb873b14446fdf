"""What the sheet looks like in print: every sticker's artwork, panel and marks as pixels.

In: a ``Sheet`` and the planes of its patterns. Out: (rows, cols, 3) sRGB uint8, white where there
is no ink. A plane is sampled at the sheet's own pixel centres, so artwork, panels and cut lines
agree to a fraction of a pixel wherever a sticker lies. Memory is the raster and one sticker.

Not done here: cut lines (they are never printed), and deciding where anything goes.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from kit.letters import Lettering
from kit.render.ink_map import InkMap
from kit.render.picture import Mix, draw_picture
from kit.render.ruler import draw_ruler, draw_ruler_down
from kit.shapes import (
    TOLERANCE_PX,
    Rect,
    Window,
    area_coverage,
    bounding_box,
    flatten_path,
    rect_around,
    rect_between,
    rings_coverage,
    stroke_box,
    stroke_coverage,
    window_centred,
    window_touched,
)
from kit.sheet import ColourFill, Fill, Mark, Panel, PatternFill, Placement, Sheet
from palette.arrays import Floats, Pixels
from palette.memory import Remember
from palette.space import parse_hex
from patterns.units import MM_PER_INCH

FRAME_MM = 0.2
FRAME_INK = "#808080"
MOST_THREADS = 8
COARSEST_PX_MM = MM_PER_INCH / 72.0


class PatternPlane(Protocol):
    """A periodic plane in millimetres, as ``patterns.plane.periodic`` makes them."""

    def sample(
        self,
        x_mm: float,
        y_mm: float,
        width_mm: float,
        height_mm: float,
        dpi: float,
        *,
        shape: tuple[int, int] | None = None,
    ) -> Pixels:
        """Return the window at (x, y) as (rows, cols, 3) sRGB uint8."""
        ...


def render_sheet(
    sheet: Sheet,
    planes: Mapping[str, PatternPlane],
    ink: InkMap | None = None,
    *,
    mixed: Mix | None = None,
    remember: Remember | None = None,
) -> Pixels:
    """Return the print raster.

    Args:
        sheet: what lies where.
        planes: by ``PatternFill.plane``, one for every pattern in use.
        ink: is told which sticker's fill was laid on which pixels; None for nobody.
        mixed: as of ``kit.render.picture.draw_picture``.
        remember: gives stickers that reach into no other as they were drawn before; None where
            none was.

    Raises:
        KeyError: a fill names a pattern without a plane.
    """
    raster = np.full((*sheet.raster_px, 3), 255, np.uint8)
    alone = _alone(sheet) if remember is not None else {}

    def stickers(numbers: Sequence[int]) -> None:
        for number in numbers:
            placement = sheet.placements[number]
            if remember is not None and number in alone:
                own = tuple((key, planes[key]) for key in _planes_of(placement))
                given = placement, own, alone[number], sheet.dpi, sheet.raster_px
                drawn = remember(_drawn_alone, *given, mixed=mixed)
                raster[alone[number].slices] = drawn.pixels
                window, shares = drawn.laid
            else:
                window, shares = _draw_sticker(raster, placement, planes, sheet.dpi, mixed)
            if ink is not None:
                ink.lay(number, window, shares)

    groups = drawing_groups(sheet.placements)
    with ThreadPoolExecutor(max(1, min(len(groups), os.cpu_count() or 1, MOST_THREADS))) as pool:
        list(pool.map(stickers, groups))
    for panel in sheet.panels:
        _draw_panel(raster, panel, bounding_box(panel.contour), planes, sheet.dpi)
    for mark in (*sheet.marks, *sheet.machine_marks):
        _draw_mark(raster, mark, sheet.dpi)
    if sheet.frame is not None:
        _draw_mark(raster, Mark(sheet.frame, FRAME_MM, FRAME_INK, None), sheet.dpi)
    if sheet.ruler is not None:
        draw_ruler(raster, sheet.ruler, sheet.dpi, "" if sheet.ruler_down else sheet.caption)
    if sheet.ruler_down is not None:
        draw_ruler_down(raster, sheet.ruler_down, sheet.dpi, sheet.caption)
    return raster


@dataclass(frozen=True, eq=False)
class Letters:
    """Words on a raster: the block that they lie on, its shares, 0 to 1, and their colour."""

    window: Window
    shares: Floats
    colour: Pixels


@dataclass(frozen=True, eq=False)
class _Drawn:
    """A sticker by itself: its pixels, and where its fill was laid (``_draw_sticker``)."""

    pixels: Pixels
    laid: tuple[Window, Floats | None]


def _drawn_alone(
    placement: Placement,
    planes: Sequence[tuple[str, PatternPlane]],
    window: Window,
    dpi: float,
    raster_px: tuple[int, int],
    *,
    mixed: Mix | None,
) -> _Drawn:
    paper = np.full((*raster_px, 3), 255, np.uint8)
    laid = _draw_sticker(paper, placement, dict(planes), dpi, mixed)
    return _Drawn(paper[window.slices].copy(), laid)


def _planes_of(placement: Placement) -> list[str]:
    """Return the keys of the planes that a sticker shows, each once."""
    fills = placement.fill, *(one.fill for one in (*placement.grounds, *placement.panels))
    return list(dict.fromkeys(one.plane for one in fills if isinstance(one, PatternFill)))


def _window_of(placement: Placement, dpi: float, raster_px: tuple[int, int]) -> Window:
    """Return the pixels on which anything of a sticker is drawn."""
    printed = window_centred(placement.bleed, dpi, raster_px)
    windows = [printed] if printed.rows and printed.cols else []
    for box in _drawn_boxes(placement):
        window = window_touched(box, dpi, raster_px)
        windows += [window] if window.rows and window.cols else []
    top = min((w.row for w in windows), default=0)
    left = min((w.col for w in windows), default=0)
    bottom = max((w.row + w.rows for w in windows), default=0)
    right = max((w.col + w.cols for w in windows), default=0)
    return Window(top, left, bottom - top, right - left)


def _alone(sheet: Sheet) -> dict[int, Window]:
    """Return by number the pixels of each sticker in which nothing is drawn of any other."""
    raster_px = sheet.raster_px
    found = [_window_of(placement, sheet.dpi, raster_px) for placement in sheet.placements]
    boxes = [(w.row, w.col, w.row + w.rows, w.col + w.cols) for w in found]
    edges = np.array(boxes).reshape(-1, 4)
    meets = (edges[:, None, :2] < edges[:, 2:]) & (edges[:, :2] < edges[:, None, 2:])
    others = np.count_nonzero(meets.all(axis=-1), axis=1)
    return {number: found[number] for number in np.flatnonzero(others == 1).tolist()}


def drawing_groups(placements: Sequence[Placement]) -> list[list[int]]:
    """Return the stickers' numbers in groups that may be drawn side by side, one group a plane.

    A plane's windows are drawn one after the other, so that what they share is made once and need
    not be kept. Where two stickers reach into each other's ink their order shows: then all are one
    group.
    """
    ink = np.array([_edges(one.bleed) for one in placements]).reshape(-1, 4)
    drawn = np.array([_edges(_reach(one)) for one in placements]).reshape(-1, 4)
    meets = (ink[:, None, :2] < drawn[:, 2:]) & (drawn[:, :2] < ink[:, None, 2:])
    if np.count_nonzero(meets.all(axis=-1)) > len(placements):  # each meets itself
        return [list(range(len(placements)))]
    groups: dict[str, list[int]] = {}
    for number, placement in enumerate(placements):
        fill = placement.fill
        plane = fill.plane if isinstance(fill, PatternFill) else ""
        groups.setdefault(plane, []).append(number)
    return list(groups.values())


def _edges(box: Rect) -> tuple[float, float, float, float]:
    return box.x_mm, box.y_mm, box.right_mm, box.bottom_mm


def _reach(placement: Placement) -> Rect:
    """Return how far panels, marks and picture may change pixels, a pixel about them included."""
    return rect_around([placement.box, *_drawn_boxes(placement)]).grow(COARSEST_PX_MM)


def _drawn_boxes(placement: Placement) -> list[Rect]:
    """Return what panels, lines and picture lie in."""
    lines = (*((placement.edge,) if placement.edge else ()), *placement.marks)
    return [
        *(bounding_box(one.contour) for one in (*placement.grounds, *placement.panels)),
        *(stroke_box(line.contour, line.stroke_mm) for line in lines),
        *([placement.picture.box] if placement.picture else []),
    ]


def _draw_sticker(
    raster: Pixels,
    placement: Placement,
    planes: Mapping[str, PatternPlane],
    dpi: float,
    mixed: Mix | None,
) -> tuple[Window, Floats | None]:
    """Draw a sticker; return the block that its fill was laid on, and its shares if not all."""
    laid = _draw_fill(raster, placement, planes, dpi)
    for panel in (*placement.grounds, *placement.panels):
        _draw_panel(raster, panel, placement.box, planes, dpi)
    for mark in (*((placement.edge,) if placement.edge else ()), *placement.marks):
        _draw_mark(raster, mark, dpi)
    if placement.picture is not None:
        draw_picture(raster, placement.picture, dpi, mixed)
    return laid


def _draw_fill(
    raster: Pixels, placement: Placement, planes: Mapping[str, PatternPlane], dpi: float
) -> tuple[Window, Floats | None]:
    window = window_centred(placement.bleed, dpi, _size(raster))
    if window.rows == 0 or window.cols == 0:
        return window, None
    ink = _ink(placement.fill, placement.box, planes, window, dpi)
    if placement.ink is None:
        raster[window.slices] = ink
        return window, None
    shares = area_coverage(placement.ink, dpi, window)
    blend(raster, window, shares, ink)
    return window, shares


def _ink(
    fill: Fill, box: Rect, planes: Mapping[str, PatternPlane], window: Window, dpi: float
) -> Pixels:
    """Return what a block of the sheet is printed in: its pixels, or one colour for all."""
    if isinstance(fill, ColourFill):
        return parse_hex(fill.colour)
    return sample_fill(fill, box, planes[fill.plane], window, dpi)


def sample_fill(
    fill: PatternFill, box: Rect, plane: PatternPlane, window: Window, dpi: float
) -> Pixels:
    """Return a block of the sheet's pixels filled from the plane, sticker turn included.

    The block is sampled as the sticker lies before its turn, then turned: quarter turns move
    whole pixels, so nothing is resampled twice.
    """
    per_mm = dpi / MM_PER_INCH
    block = Rect(
        window.col / per_mm, window.row / per_mm, window.cols / per_mm, window.rows / per_mm
    )
    quarters = fill.turn_deg // 90 % 4
    left, top = _before_turn(block, box, quarters)
    shape = (window.rows, window.cols) if quarters % 2 == 0 else (window.cols, window.rows)
    pixels = plane.sample(
        fill.offset_mm[0] + left,
        fill.offset_mm[1] + top,
        shape[1] / per_mm,
        shape[0] / per_mm,
        dpi,
        shape=shape,
    )
    return np.rot90(pixels, -quarters) if quarters else pixels


def _before_turn(block: Rect, box: Rect, quarters: int) -> tuple[float, float]:
    """Return where the block's top left corner lies in the sticker before clockwise turns."""
    from_left, from_top = block.x_mm - box.x_mm, block.y_mm - box.y_mm
    to_right, to_bottom = box.right_mm - block.right_mm, box.bottom_mm - block.bottom_mm
    return (
        (from_left, from_top),
        (from_top, to_right),
        (to_right, to_bottom),
        (to_bottom, from_left),
    )[quarters]


def _draw_panel(
    raster: Pixels, panel: Panel, box: Rect, planes: Mapping[str, PatternPlane], dpi: float
) -> None:
    window = window_touched(bounding_box(panel.contour), dpi, _size(raster))
    if window.rows and window.cols:
        ink = _ink(panel.fill, box, planes, window, dpi)
        blend(raster, window, area_coverage(panel.contour, dpi, window), ink)


def _draw_mark(raster: Pixels, mark: Mark, dpi: float) -> None:
    if mark.inside is not None:
        window = window_touched(bounding_box(mark.contour), dpi, _size(raster))
        if window.rows and window.cols:
            blend(raster, window, area_coverage(mark.contour, dpi, window), parse_hex(mark.inside))
    window = window_touched(stroke_box(mark.contour, mark.stroke_mm), dpi, _size(raster))
    if mark.stroke_mm > 0.0 and window.rows and window.cols:
        shares = stroke_coverage(mark.contour, mark.stroke_mm, dpi, window)
        blend(raster, window, shares, parse_hex(mark.colour))


def letters_of(
    lettering: Sequence[Lettering], dpi: float, raster_px: tuple[int, int]
) -> list[Letters]:
    """Return where words lie over a raster, and how much of each pixel they cover."""
    found = []
    for words in lettering:
        rings = [flatten_path(path, TOLERANCE_PX * MM_PER_INCH / dpi) for path in words.paths]
        if not rings:
            continue
        xs, ys = zip(*(point for ring in rings for point in ring), strict=True)
        box = rect_between(min(xs), min(ys), max(xs), max(ys))
        window = window_touched(box, dpi, raster_px)
        if window.rows and window.cols:
            shares = rings_coverage(rings, dpi, window)
            found.append(Letters(window, shares, parse_hex(words.colour)))
    return found


def letters_on(placement: Placement, dpi: float, raster_px: tuple[int, int]) -> list[Letters]:
    """Return where a sticker's words lie, as ``letters_of``."""
    return letters_of(placement.lettering, dpi, raster_px)


def blend(
    raster: Pixels, window: Window, shares: Floats, colour: Pixels | tuple[int, int, int]
) -> None:
    """Lay a colour, or pixels, over a block of the raster, each by its share (0 to 1), in sRGB."""
    block = raster[window.slices]
    ink = np.asarray(colour, dtype=np.float32)
    share = shares.astype(np.float32)[..., None]
    block[...] = np.rint(block * (1.0 - share) + ink * share).astype(np.uint8)


def _size(raster: Pixels) -> tuple[int, int]:
    return int(raster.shape[0]), int(raster.shape[1])
