"""From a recipe to sheets: every sticker with its fill, its place and its cut line.

In: a checked recipe, its patterns as planes, and the palette. Out: a ``Kit``: the sheets that the
writers draw, and what was measured on the way. The steps: which stickers (``kit.slots``), which
fill (``kit.fills``), where on paper (``kit.rows``), where in the pattern's plane (``kit.windows``),
what is printed on them (``kit.stickers``), how far they bleed (``kit.bleed``), whether that is
enough (``kit.tolerance``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kit.bleed import bleed_boxes
from kit.fills import Choice, choose_fills
from kit.geometry import Rect
from kit.layout import Item, Layout, Spot
from kit.place import check_fits, ruler_box, sticker_area, usable_area
from kit.recipe import Recipe
from kit.rows import rows
from kit.sheet import ColourFill, Fill, Mark, Panel, PatternFill, Placement, Sheet
from kit.slots import Slot, slots_of
from kit.stickers import CHECK_STROKE_MM
from kit.tolerance import Registration, Tolerance, measure_tolerance
from kit.windows import Windows, choose_windows
from palette.swatch import Palette, Role
from patterns.plane import Plane
from patterns.units import MM_PER_INCH

Lab = NDArray[np.float64]


@dataclass(frozen=True)
class Pattern:
    """One pattern that fills may use: its name, its plane, and its mean colour (CIELAB, D50)."""

    name: str
    plane: Plane
    lab: Lab


@dataclass(frozen=True)
class Kit:
    """The sheets of a kit and how they came about.

    Attributes:
        sheets: what is printed and cut.
        slots: the stickers that were asked for, in the recipe's order.
        choices: the fill of each slot.
        windows: where each patterned slot's window sits, and what that costs.
        layout: which slot lies where on which sheet.
        used: for each sheet, its stickers' share of the usable area.
        tolerances: for each sheet, what its registration needs and what it has.
    """

    sheets: tuple[Sheet, ...]
    slots: tuple[Slot, ...]
    choices: tuple[Choice, ...]
    windows: Windows
    layout: Layout
    used: tuple[float, ...]
    tolerances: tuple[Tolerance, ...]


def compose(recipe: Recipe, patterns: Sequence[Pattern], palette: Palette) -> Kit:
    """Return the kit.

    Raises:
        RecipeError: a sticker that fits nowhere, a fill that is unknown, a panel without room.
    """
    slots = slots_of(recipe)
    usable = usable_area(recipe.sheet, where=str(recipe.file))
    area = sticker_area(usable, recipe.sheet.gap)
    check_fits(recipe, slots, area)
    choices = choose_fills(
        slots,
        {pattern.name: pattern.lab for pattern in patterns},
        {swatch.hex: np.array(swatch.lab) for swatch in palette.swatches},
    )
    planes = {pattern.name: pattern.plane for pattern in patterns}
    windows = choose_windows(
        slots,
        choices,
        planes,
        corner_radius_mm=recipe.sheet.corner_radius,
        variety=recipe.fills.variety,
    )
    items = [Item(slot.width_mm, slot.height_mm, slot.row) for slot in slots]
    layout = rows(items, area, recipe.sheet.gap)
    fills = [
        _fill(choice, offset, planes)
        for choice, offset in zip(choices, windows.offsets_mm, strict=True)
    ]
    ink = _deepest(palette)
    sheets = tuple(
        _sheet(
            recipe,
            slots,
            fills,
            spots=spots,
            ruler=ruler_box(usable),
            ink=ink,
            number=number,
        )
        for number, spots in enumerate(layout.sheets, start=1)
    )
    return Kit(
        sheets,
        slots,
        choices,
        windows,
        layout,
        tuple(_used(sheet, usable) for sheet in sheets),
        tuple(_tolerance(recipe, sheet) for sheet in sheets),
    )


def _fill(choice: Choice, offset_mm: tuple[float, float] | None, planes: dict[str, Plane]) -> Fill:
    if choice.pattern is None or offset_mm is None:
        return ColourFill(choice.label)
    plane = planes[choice.pattern]
    return PatternFill(
        choice.pattern,
        offset_mm,
        (plane.repeat_mm, plane.height_mm),
        plane.lattice.name,
    )


def _deepest(palette: Palette) -> str:
    """The colour that lines are drawn in: the palette's own deep, or its darkest."""
    deep = [swatch for swatch in palette.swatches if swatch.role is Role.DEEP]
    return min(deep or palette.swatches, key=lambda swatch: swatch.lab[0]).hex


def _sheet(
    recipe: Recipe,
    slots: Sequence[Slot],
    fills: Sequence[Fill],
    *,
    spots: Sequence[Spot],
    ruler: Rect,
    ink: str,
    number: int,
) -> Sheet:
    paper = recipe.sheet.paper
    page = Rect(0.0, 0.0, paper.width_mm, paper.height_mm)
    bleeds = bleed_boxes([spot.box for spot in spots], recipe.sheet.bleed, page)
    placed = tuple(
        _placement(
            slots[spot.index],
            fills[spot.index],
            box=spot.box,
            bleed=bleed,
            radius_mm=recipe.sheet.corner_radius,
            ink=ink,
        )
        for spot, bleed in zip(spots, bleeds, strict=True)
    )
    title = recipe.kit.name or recipe.file.stem
    return Sheet(
        f"{title}, sheet {number}",
        paper.width_mm,
        paper.height_mm,
        recipe.sheet.dpi,
        placed,
        ruler,
        "print at 100 %, then lay a ruler here",
    )


def _placement(
    slot: Slot, fill: Fill, *, box: Rect, bleed: Rect, radius_mm: float, ink: str
) -> Placement:
    return Placement(
        slot.kind.name,
        box,
        slot.outline(box, radius_mm),
        fill,
        bleed,
        tuple(Panel(panel) for panel in slot.panels(box, radius_mm)),
        tuple(Mark(check, CHECK_STROKE_MM, ink) for check in slot.kind.checks(box)),
    )


def _used(sheet: Sheet, usable: Rect) -> float:
    return sum(placed.box.area_mm2 for placed in sheet.placements) / usable.area_mm2


def _tolerance(recipe: Recipe, sheet: Sheet) -> Tolerance:
    wanted = recipe.sheet.registration
    return measure_tolerance(
        Registration(wanted.shift, wanted.turn, wanted.scale),
        [placed.box for placed in sheet.placements],
        [placed.bleed for placed in sheet.placements],
        (sheet.width_mm / 2.0, sheet.height_mm / 2.0),
        raster_mm=MM_PER_INCH / sheet.dpi / 2.0,
    )
