"""Where in its pattern's plane does each sticker's window sit?

In: the slots, their fills and the planes. Out: for each patterned slot the offset of its top left
corner in the plane, in millimetres, and for each pattern the two figures behind the choice: how
cleanly the cuts run between its motifs, and how different its copies look (``kit.fills.offsets``).
What the maker pins stays, and the others differ from it. A coordinate is the same everywhere and
has no motifs to spare: its middle lies in the middle of each sticker, so that both sides match.

Artwork that is turned or sized inside its sticker is reckoned the other way round: the sticker's
edges are turned and sized back, so that the plane need not be. Not decided here: the fills
(``kit.fills.assignment``), or the stickers' places on the paper.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from kit.fills.assignment import Choice
from kit.fills.field import CELLS_PER_MM, Field, periodic_field
from kit.fills.offsets import DECIMALS, Edges, Offsets, choose_offsets
from kit.recipe import Pin
from kit.shapes import Contour, Point, Rect, bounding_box, resize, rotate
from kit.stickers import Slot
from palette.arrays import Pixels
from palette.memory import Remember, afresh
from palette.space import srgb_to_lab
from patterns.coordinates import Coordinate
from patterns.motifs import motif_mask
from patterns.plane import Plane, reduce_blocks, release_memory

MOST_THREADS = 8


Fields = tuple[Field, Field]  # where a plane's motifs are, and its colours (CIELAB)


@dataclass(frozen=True)
class Windows:
    """The windows of a kit.

    Attributes:
        offsets_mm: for each slot its (x, y) in its pattern's plane, or in its panel's where only
            the panel has one; None where it has colours alone.
        panel_offsets_mm: likewise for the panel of a slot that has a pattern in both; else None.
        figures: by pattern name, what its windows cost and how different they look.
    """

    offsets_mm: tuple[Point | None, ...]
    panel_offsets_mm: tuple[Point | None, ...]
    figures: Mapping[str, Offsets]


def choose_windows(
    slots: Sequence[Slot],
    choices: Sequence[Choice],
    planes: Mapping[str, Plane],
    drawn: Mapping[str, Coordinate] = MappingProxyType({}),
    *,
    corner_radius_mm: float,
    variety: float,
    fields_with: Callable[[str, Plane], Fields] | None = None,
    remember: Remember = afresh,
) -> Windows:
    """Return a window for each slot that is filled with a pattern.

    Args:
        slots: the stickers.
        choices: their fills, in the same order.
        planes: by pattern name, not turned.
        drawn: coordinates by name, not turned.
        corner_radius_mm: of the cut lines.
        variety: 0 looks only for clean cuts, 1 only for copies that differ.
        fields_with: returns ``fields_of`` a plane, by its name; one that remembers is sooner done.
            Called from several threads at a time.
        remember: gives a pattern's windows; one that remembers is sooner done.
    """

    def fields_by(name: str) -> Fields:
        return fields_with(name, planes[name]) if fields_with else fields_of(planes[name])

    placed: dict[tuple[int, bool], Point] = {}
    figures: dict[str, Offsets] = {}
    copies = {name: _copies(choices, name) for name in planes}
    names = [name for name, shown in copies.items() if shown]
    with ThreadPoolExecutor(max(1, min(len(names), os.cpu_count() or 1, MOST_THREADS))) as pool:
        fields = pool.map(fields_by, names)
        for name, (mask, look) in zip(names, fields, strict=True):
            edges = tuple(
                _edges(slots[i], choices[i], corner_radius_mm, panel=panel)
                for i, panel in copies[name]
            )
            result = remember(choose_offsets, mask, look, edges, variety)
            figures[name] = result
            for (i, panel), offset in zip(copies[name], result.offsets_mm, strict=True):
                pin = _pin(slots[i], choices[i], panel=panel)
                placed[i, panel and _both(choices[i])] = (
                    pin if isinstance(pin, tuple) else _as_shown(offset, slots[i])
                )
    for name, coordinate in drawn.items():
        for i, panel in _copies(choices, name):
            own = _edges(slots[i], choices[i], corner_radius_mm, panel=panel)
            pin = _pin(slots[i], choices[i], panel=panel)
            placed[i, panel and _both(choices[i])] = (
                pin if isinstance(pin, tuple) else _middle(coordinate, own, slots[i])
            )
    return Windows(
        tuple(placed.get((i, False)) for i in range(len(slots))),
        tuple(placed.get((i, True)) for i in range(len(slots))),
        figures,
    )


def _copies(choices: Sequence[Choice], name: str) -> list[tuple[int, bool]]:
    """Return which slots show a pattern, and whether in the panel."""
    return [
        (i, panel)
        for i, choice in enumerate(choices)
        for panel, shown in ((False, choice.fill), (True, choice.panel))
        if shown == name
    ]


def _edges(slot: Slot, choice: Choice, radius_mm: float, *, panel: bool) -> Edges:
    """Where a sticker, or its panel alone, cuts the pattern that it shows."""
    box = Rect(0.0, 0.0, slot.width_mm, slot.height_mm)
    pin_wish = _pin(slot, choice, panel=panel)
    pin = pin_wish if isinstance(pin_wish, tuple) else None
    panels = slot.panels(box, radius_mm)
    outline = panels[0] if panel else slot.outline(box, radius_mm)
    cut = bounding_box(outline)
    return Edges(
        _back(outline, slot),
        () if panel else tuple(_back(one, slot) for one in panels),
        _point(pin, -slot.angle_deg, 1.0 / slot.scale) if pin else None,
        pin_wish == "centred",
        min(cut.width_mm, cut.height_mm) / slot.scale,
    )


def _back(outline: Contour, slot: Slot) -> Contour:
    """Return an outline of a sticker as it lies on its pattern at the pattern's own size."""
    turned = rotate(outline, -slot.angle_deg)
    return turned if slot.scale == 1.0 else resize(turned, 1.0 / slot.scale)


def _pin(slot: Slot, choice: Choice, *, panel: bool) -> Pin | None:
    """Return where the maker puts the window of a sticker, or of its panel."""
    return slot.panel_pin if panel and _both(choice) else slot.pin


def _middle(coordinate: Coordinate, edges: Edges, slot: Slot) -> Point:
    """Return the offset that lays a coordinate's middle on the sticker's."""
    shown = rotate(edges.outline, slot.angle_deg)
    x, y = bounding_box(shown if slot.scale == 1.0 else resize(shown, slot.scale)).centre_mm
    left, top = _as_shown(coordinate.figure.centre_mm, slot)
    return round(left - x, DECIMALS), round(top - y, DECIMALS)


def _both(choice: Choice) -> bool:
    """Tell whether sticker and panel show a pattern each."""
    return choice.panel_pattern is not None and choice.pattern == choice.fill


def _as_shown(point: Point, slot: Slot) -> Point:
    """A point of the plane as it lies once the plane is turned and sized for a sticker."""
    return _point(point, slot.angle_deg, slot.scale)


def _point(point: Point, degrees: float, scale: float) -> Point:
    """A point of the plane as it lies once the plane is turned clockwise about its corner, sized.

    Rounded, so that an offset kept in a lock is the very number that was drawn with.
    """
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    x, y = point[0] * cos - point[1] * sin, point[0] * sin + point[1] * cos
    return round(x * scale, DECIMALS), round(y * scale, DECIMALS)


def fields_of(plane: Plane) -> Fields:
    """Return motifs and colours (CIELAB) of a plane, as the grids that offsets are reckoned on."""
    small = _reduced(plane.pixels, plane.repeat_mm)
    size = plane.repeat_mm, plane.height_mm
    mask = periodic_field(motif_mask(small).astype(np.float64), *size, plane.lattice)
    colours = periodic_field(small, *size, plane.lattice)
    release_memory(plane.pixels)
    return mask, Field(srgb_to_lab(colours.values / 255.0), colours.pitch_mm)


def _reduced(pixels: Pixels, repeat_mm: float) -> Pixels:
    """The tile at about two pixels a cell of the grid; finer would not change a window."""
    step = int(pixels.shape[1] / (2.0 * CELLS_PER_MM * repeat_mm))
    step = max(1, min(step, min(pixels.shape[:2]) // 64))
    return pixels if step == 1 else reduce_blocks(pixels, step)
