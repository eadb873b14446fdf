"""From a recipe to sheets: every sticker with its fill, its place and its cut line.

In: a checked recipe, its patterns as planes, and the palette. Out: a ``Kit``: the sheets that the
writers draw, and what was measured on the way. The steps: which stickers (``kit.stickers.slots``),
where on paper (``kit.layout.arrangement``), which fill (``kit.fills.assignment``), where in the
pattern's plane (``kit.fills.windows``), what is printed and cut (``kit.compose.placing``), whether
bleed and gap are enough (``kit.registration.tolerance``).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from kit.compose.coordinates import coordinates_of
from kit.compose.held import with_held
from kit.compose.lock import Lock, with_decisions
from kit.compose.placing import Stickers, read_scale, sheet_of
from kit.fills import Choice, Fields, Windows, choose_fills, choose_windows
from kit.layout import (
    Advice,
    Layout,
    advice,
    arrange,
    check_fits,
    check_gap,
    check_marks,
    check_offset,
    check_places,
    check_reading,
    held_at,
    lay_out,
    neighbours,
    sticker_area,
    usable_area,
)
from kit.recipe import LEAST_REPEAT_MM, MOST_MM, Recipe, place_in
from kit.recipe_error import RecipeError
from kit.registration import Registration, Tolerance, largest_shift_mm, measure_tolerance
from kit.sheet import ColourFill, Sheet, plane_key
from kit.stickers import Slot, even_slots, slots_of
from palette.arrays import Floats
from palette.choose import Palette, Role
from palette.memory import Remember, afresh
from palette.space import srgb_to_lab
from patterns.coordinates import AnyPlane, Coordinate
from patterns.plane import Plane
from patterns.units import MM_PER_INCH

LOOK_PX = 48  # a side of one repeat, to see a coordinate's mean colour by


@dataclass(frozen=True)
class Pattern:
    """One pattern that fills may use: its name, its plane, and its mean colour (CIELAB, D50)."""

    name: str
    plane: Plane
    lab: Floats


@dataclass(frozen=True)
class Kit:
    """The sheets of a kit and how they came about.

    Attributes:
        sheets: what is printed and cut.
        planes: by ``PatternFill.plane``, every plane that a sticker shows, turned where it is.
        slots: the stickers: the recipe's in its order, then those that top a sheet up.
        wishes: what the recipe asked each to be filled with, before what it holds, or a lock, had
            its say.
        choices: the fill of each slot.
        windows: where each patterned slot's window sits, and what that costs.
        layout: which slot lies where on which sheet.
        own_layout: the same before any sheet was topped up; bound and advice are about it.
        advice: what would save a sheet; None where nothing can.
        used: for each sheet, its stickers' share of the area that stickers may lie in; their mean
            is the layout's ``share_of_usable``.
        tolerances: for each sheet, what its registration needs and what it has.
        misses_mm: for each slot, how far its cut may lie off its print.
        locked: the stickers, by number, that a lock decided.
        lost: those that cannot keep the fill that the recipe holds for them.
        coordinates: by name, the recipe's drawn patterns in their colours.
    """

    sheets: tuple[Sheet, ...]
    planes: Mapping[str, AnyPlane]
    slots: tuple[Slot, ...]
    wishes: tuple[str, ...]
    choices: tuple[Choice, ...]
    windows: Windows
    layout: Layout
    own_layout: Layout
    advice: Advice | None
    used: tuple[float, ...]
    tolerances: tuple[Tolerance, ...]
    misses_mm: tuple[float, ...]
    locked: tuple[int, ...] = ()
    lost: tuple[int, ...] = ()
    coordinates: Mapping[str, Coordinate] = field(default_factory=dict)


def compose(
    recipe: Recipe,
    patterns: Sequence[Pattern],
    palette: Palette,
    keep: Lock | None = None,
    *,
    fields_with: Callable[[str, Plane], Fields] | None = None,
    remember: Remember = afresh,
) -> Kit:
    """Return the kit.

    Args:
        recipe: what is asked for.
        patterns: the recipe's, in its order.
        palette: the colours to fill with.
        keep: an earlier run's record whose fills and offsets are to stay.
        fields_with: as of ``kit.fills.choose_windows``.
        remember: gives what rests on little of a kit: one pattern's windows, one sticker; one that
            remembers is sooner done.

    Raises:
        RecipeError: a sticker that fits nowhere, a fill that is unknown, a panel without room.
        PaletteError: a coordinate's colour that is none.
    """
    drawn = coordinates_of(recipe, palette)
    check_gap(recipe.cut.through, recipe.sheet.gap, where=str(recipe.file))
    usable = usable_area(recipe.sheet, where=str(recipe.file))
    check_marks(recipe)
    check_reading(recipe, usable)
    check_offset(recipe, usable)
    area = sticker_area(usable, recipe)
    listed = slots_of(recipe)
    check_fits(recipe, listed, area)
    check_places(recipe, listed, area)
    own = lay_out(recipe, listed, area, recipe.sheet.gap)
    slots, layout = arrange(recipe, listed, area, own)
    misses = _misses(recipe, layout, len(slots))
    slots = even_slots(recipe, slots, misses)
    wishes = tuple(slot.wish for slot in slots)
    holding = with_held(recipe, slots, palette)
    kept: tuple[int, ...] = ()
    if keep is not None:
        locked, kept = with_decisions(recipe, slots, keep)
        kept = tuple(i for i in kept if i not in holding.held)
        slots = tuple(locked[i] if i in kept else slot for i, slot in enumerate(holding.slots))
    else:
        slots = holding.slots
    choices = choose_fills(
        slots,
        {pattern.name: pattern.lab for pattern in patterns},
        {swatch.hex: np.array(swatch.lab) for swatch in palette.swatches},
        neighbours(layout, len(slots), recipe.sheet.gap),
        {name: remember(mean_lab, one) for name, one in drawn.items()},
    )
    planes = {pattern.name: pattern.plane for pattern in patterns}
    windows = choose_windows(
        slots,
        choices,
        planes,
        drawn,
        corner_radius_mm=recipe.sheet.corner_radius,
        variety=recipe.fills.variety,
        fields_with=fields_with,
        remember=remember,
    )
    in_use = _planes_in_use(recipe, slots, choices, {**planes, **drawn}, remember)
    offsets = windows.offsets_mm, windows.panel_offsets_mm
    stickers = Stickers(slots, choices, *offsets, in_use, _deepest(palette))
    sheets = tuple(
        sheet_of(
            recipe, stickers, spots, usable, number, sheets=len(layout.sheets), remember=remember
        )
        for number, spots in enumerate(layout.sheets, start=1)
    )
    return Kit(
        sheets,
        in_use,
        slots,
        wishes,
        choices,
        windows,
        layout,
        own,
        advice(recipe, listed, area, own),
        tuple(_share_used(sheet, area.area_mm2) for sheet in sheets),
        tuple(_tolerance(recipe, sheet, remember) for sheet in sheets),
        misses,
        kept,
        tuple(i for i in holding.lost if i not in kept),
        drawn,
    )


def mean_lab(coordinate: Coordinate) -> Floats:
    """Return a coordinate's mean colour, CIELAB (D50), (3,)."""
    mean: Floats = srgb_to_lab(coordinate.one_tile(LOOK_PX, LOOK_PX)).mean(axis=(0, 1))
    return mean


def _planes_in_use(
    recipe: Recipe,
    slots: Sequence[Slot],
    choices: Sequence[Choice],
    planes: Mapping[str, AnyPlane],
    remember: Remember,
) -> dict[str, AnyPlane]:
    """Every plane in use by its key, turned and sized once for all stickers that show it so."""
    in_use = dict(planes)
    for slot, choice in zip(slots, choices, strict=True):
        for name in (choice.pattern, choice.panel_pattern):
            if name is not None:
                key = plane_key(name, slot.angle_deg, slot.scale)
                if key not in in_use:
                    plane = planes[name]
                    _check_scale(recipe, slot, name, plane)
                    in_use[key] = remember(_as_shown, plane, slot.scale, slot.angle_deg)
    return in_use


def _check_scale(recipe: Recipe, slot: Slot, name: str, plane: AnyPlane) -> None:
    """Refuse a plane that would be too fine or too large as its sticker shows it."""
    if slot.scale == 1.0:
        return
    wide_mm = plane.repeat_mm * slot.scale
    why = ""
    if isinstance(plane, Coordinate):
        from palette.proof import POSITIVE_MM

        line_mm = plane.figure.narrowest_mm * slot.scale
        if line_mm < POSITIVE_MM:
            why = f"its finest line would be {line_mm:.2g} mm, and printers hold {POSITIVE_MM:g} mm"
    if not LEAST_REPEAT_MM <= wide_mm <= MOST_MM:
        why = why or f"a repeat is from {LEAST_REPEAT_MM:g} to {MOST_MM:g} mm wide"
    if why:
        raise RecipeError(
            f"rows.{slot.row + 1}.scale: {slot.scale:g} makes one repeat of {name} "
            f"{wide_mm:.3g} mm wide",
            where=place_in(recipe, "rows", slot.row, "scale"),
            why=why,
            remedy="Write a scale nearer to 1.",
        )


def _as_shown(plane: AnyPlane, scale: float, angle_deg: float) -> AnyPlane:
    """Return a plane as large as a sticker shows it, and turned."""
    if scale != 1.0 and isinstance(plane, Coordinate):
        plane = replace(plane, scale=scale)
    elif scale != 1.0 and isinstance(plane, Plane):
        plane = replace(plane, repeat_mm=plane.repeat_mm * scale)
    return replace(plane, turn_deg=angle_deg)


def _deepest(palette: Palette) -> str:
    """The colour that lines are drawn in: the palette's own deep, or its darkest."""
    deep = [swatch for swatch in palette.swatches if swatch.role is Role.DEEP]
    return min(deep or palette.swatches, key=lambda swatch: swatch.lab[0]).hex


def _share_used(sheet: Sheet, usable_mm2: float) -> float:
    return sum(placed.box.area_mm2 for placed in sheet.placements) / usable_mm2


def scale_error(recipe: Recipe) -> tuple[float, float]:
    """Return the shares by which the printer was found to print wider and higher than meant.

    0, 0 where that is corrected, or nobody has looked.
    """
    if recipe.sheet.correct_scale:
        return 0.0, 0.0
    across, down = read_scale(recipe)
    return across - 1.0, down - 1.0


def registration_of(recipe: Recipe) -> Registration:
    """Return how far the cut may lie off the print, the printer's own error counted in."""
    part = recipe.sheet.registration
    return Registration(part.shift, part.turn, part.scale + max(map(abs, scale_error(recipe))))


def _misses(recipe: Recipe, layout: Layout, count: int) -> tuple[float, ...]:
    """Return for each sticker how far its cut may lie off its print, mm."""
    registration, held = registration_of(recipe), held_at(recipe)
    misses = [0.0] * count
    for spot in (spot for spots in layout.sheets for spot in spots):
        misses[spot.index] = largest_shift_mm(registration, [spot.box], held)
    return tuple(misses)


def _tolerance(recipe: Recipe, sheet: Sheet, remember: Remember) -> Tolerance:
    return remember(
        measure_tolerance,
        registration_of(recipe),
        tuple(placed.box for placed in sheet.placements),
        tuple(placed.bleed for placed in sheet.placements),
        held_at(recipe),
        raster_mm=MM_PER_INCH / sheet.dpi / 2.0,
        inks=tuple(  # no two windows of a pattern are alike
            placed.fill if isinstance(placed.fill, ColourFill) and placed.band is None else i
            for i, placed in enumerate(sheet.placements)
        ),
    )
