"""One sheet: what is printed and cut where, from decisions that have been made.

In: the stickers with their fills and windows, and the spots of one sheet. Out: a ``Sheet``. A
sticker that a packed layout laid on its side is turned whole: cut line, artwork, panel and marks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kit.fills import Choice
from kit.kinds import CHECK_STROKE_MM, RULE_STROKE_MM
from kit.layout import (
    LABEL_MM,
    Spot,
    cut_move,
    mark_zones,
    ruler_box,
    ruler_down_box,
    ruler_down_mm,
    through_cuts,
    usable_area,
)
from kit.letters import INK
from kit.recipe import Recipe, SheetPart
from kit.registration import bleed_boxes, bleed_shape
from kit.shapes import CASING_MM, Contour, Rect, bounding_box, quarter_turn, translate
from kit.sheet import (
    PAPER,
    ColourFill,
    CutStyle,
    Fill,
    Mark,
    Panel,
    PatternFill,
    Placement,
    Sheet,
    frame_around,
    page_marks,
    plane_key,
)
from kit.stickers import Slot, dress, light_of, title_colour
from patterns.coordinates import AnyPlane

RULER_AWAY_MM = 0.5  # a line nearer to the ruler reads like one of its ticks
CAPTION = "print at 100 %, then lay a ruler here"


@dataclass(frozen=True)
class Stickers:
    """All stickers of a kit, decided.

    Attributes:
        slots: what they are.
        choices: their fills.
        offsets_mm: their windows; None for plain colours.
        panel_offsets_mm: their panels' own windows, where both show a pattern.
        planes: by ``PatternFill.plane``.
        ink: the colour that lines are drawn in, hex.
    """

    slots: Sequence[Slot]
    choices: Sequence[Choice]
    offsets_mm: Sequence[tuple[float, float] | None]
    panel_offsets_mm: Sequence[tuple[float, float] | None]
    planes: Mapping[str, AnyPlane]
    ink: str


def sheet_of(
    recipe: Recipe, stickers: Stickers, spots: Sequence[Spot], usable: Rect, number: int
) -> Sheet:
    """Return one sheet.

    Args:
        recipe: what was asked for.
        stickers: all of the kit's.
        spots: which of them lie on this sheet, and where.
        usable: what printer and cutter reach.
        number: the sheet's number, from 1.
    """
    part, paper = recipe.sheet, recipe.sheet.paper
    page = Rect(0.0, 0.0, paper.width_mm, paper.height_mm)
    boxes = [spot.box for spot in spots]
    bleeds = bleed_boxes(boxes, part.bleed, page)
    rows = [stickers.slots[spot.index].row for spot in spots]
    zones = mark_zones(recipe)
    ruler = ruler_box(usable, zones)
    frame = _frame([*bleeds, *zones], ruler, page) if part.frame else None
    through = through_cuts(
        boxes, rows, recipe.cut.through, part.gap, part.corner_radius, zones=zones
    )
    taken = [*bleeds, *map(bounding_box, through), *(_sides(bounding_box(frame)) if frame else ())]
    return Sheet(
        f"{recipe.kit.name or recipe.file.stem}, sheet {number}",
        paper.width_mm,
        paper.height_mm,
        part.dpi,
        tuple(
            _placement(stickers, spot, bleed, part)
            for spot, bleed in zip(spots, bleeds, strict=True)
        ),
        ruler,
        CAPTION,
        cut_style(recipe, through),
        machine_marks=page_marks(recipe.marks),
        frame=frame,
        print_scale=print_scale(recipe),
        ruler_down=ruler_down_box(usable, part.gap, taken, zones),
    )


def cut_style(recipe: Recipe, through: tuple[Contour, ...] = ()) -> CutStyle:
    """Return how sheets of a recipe are cut, with a sheet's own through cuts."""
    cut = recipe.cut
    return CutStyle(
        through, cut.hpgl_arcs, cut.overcut, cut.blade_offset, cut.spot, cut_move(recipe)
    )


def _frame(printed: Sequence[Rect], ruler: Rect, page: Rect) -> Contour:
    """Return the frame round what is printed: round the ruler too where it would run through it."""
    frame = frame_around(printed, page)
    # the figures behind the ruler's end belong to it
    band = Rect(ruler.x_mm, ruler.y_mm, ruler.width_mm + LABEL_MM, ruler.height_mm)
    sides = _sides(bounding_box(frame))
    if any(band.overlaps(side.grow(RULER_AWAY_MM)) for side in sides):
        return frame_around([*printed, band], page)
    return frame


def _sides(box: Rect) -> list[Rect]:
    """Return a box's four sides, each as wide as nothing."""
    return [
        Rect(box.x_mm, box.y_mm, box.width_mm, 0.0),
        Rect(box.x_mm, box.bottom_mm, box.width_mm, 0.0),
        Rect(box.x_mm, box.y_mm, 0.0, box.height_mm),
        Rect(box.right_mm, box.y_mm, 0.0, box.height_mm),
    ]


def read_scale(recipe: Recipe) -> tuple[float, float]:
    """Return how wide and high the print came out for what was meant, by the rulers' readings.

    Where only the ruler across was read, both ways are taken to be as it says; 1, 1 for none.
    """
    part = recipe.sheet
    reads = part.ruler_reads
    if reads is None:
        return 1.0, 1.0
    usable, zones = usable_area(part, where=str(recipe.file)), mark_zones(recipe)
    across = reads.across_mm / ruler_box(usable, zones).width_mm
    if reads.down_mm is None:
        return across, across
    return across, reads.down_mm / ruler_down_mm(usable, part.gap, zones)


def print_scale(recipe: Recipe) -> tuple[float, float]:
    """Return how much wider and higher to print, so that the printed rulers read their length."""
    across, down = read_scale(recipe) if recipe.sheet.correct_scale else (1.0, 1.0)
    return 1.0 / across, 1.0 / down


def _placement(stickers: Stickers, spot: Spot, bleed: Rect, part: SheetPart) -> Placement:
    slot, choice = stickers.slots[spot.index], stickers.choices[spot.index]
    radius_mm = part.corner_radius
    upright = Rect(spot.box.x_mm, spot.box.y_mm, slot.width_mm, slot.height_mm)

    def laid(contour: Contour) -> Contour:
        return quarter_turn(contour, upright) if spot.on_its_side else contour

    turn_deg = 90 if spot.on_its_side else 0
    fill = _fill(stickers, choice.fill, spot.index, turn_deg)
    paper = ColourFill(PAPER)
    inner: Fill = paper
    if choice.panel:
        inner = _fill(stickers, choice.panel, spot.index, turn_deg, panel=True)
    checks = [Mark(laid(one), CHECK_STROKE_MM, stickers.ink) for one in slot.check_marks(upright)]
    line = light_of(stickers.ink) if slot.light else stickers.ink
    rules = [Mark(laid(one), RULE_STROKE_MM, line, None) for one in slot.rules(upright)]
    behind = inner if slot.panel else fill
    ground = behind.colour if isinstance(behind, ColourFill) else None
    band = title_colour(stickers.ink, fill.colour if isinstance(fill, ColourFill) else None)
    on_it = dress(slot, upright, radius_mm, ground, band)
    casing_mm = 0.0 if ground else CASING_MM  # a dark edge keeps threads visible on any artwork
    threads = [Mark(laid(one), casing_mm, INK, on_it.thread) for one in on_it.threads]
    panels = [Panel(laid(panel), inner) for panel in slot.written_on(upright, radius_mm)]
    title = slot.title_band(upright, radius_mm)
    if title is not None:
        panels.append(Panel(laid(title), ColourFill(band)))
    if on_it.band is not None:
        panels.append(Panel(on_it.band, paper))
    at_origin = Rect(0.0, 0.0, slot.width_mm, slot.height_mm)
    ink = bleed_shape(slot.outline(at_origin, radius_mm), part.bleed)
    return Placement(
        slot.kind.name,
        spot.box,
        laid(slot.outline(upright, radius_mm)),
        fill,
        bleed,
        tuple(panels),
        (*checks, *rules, *threads),
        on_it.picture,
        on_it.lettering,
        laid(translate(ink, upright.x_mm, upright.y_mm)) if ink else None,
    )


def _fill(
    stickers: Stickers, label: str, index: int, turn_deg: int, *, panel: bool = False
) -> Fill:
    """A fill by its label: a pattern's name or a hex colour."""
    slot = stickers.slots[index]
    plane = stickers.planes.get(plane_key(label, slot.angle_deg, slot.scale))
    if plane is None:
        return ColourFill(label)
    own = stickers.panel_offsets_mm[index] if panel else None
    return PatternFill(
        label,
        own or stickers.offsets_mm[index] or (0.0, 0.0),
        (plane.repeat_mm, plane.height_mm),
        plane.lattice.name,
        turn_deg,
        slot.angle_deg,
        slot.scale,
    )
