"""One sheet: what is printed and cut where, from decisions that have been made.

In: the stickers with their fills and windows, and the spots of one sheet. Out: a ``Sheet``. A
sticker that a packed layout laid on its side is turned whole: cut line, artwork, panel and marks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

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
from kit.shapes import (
    CASING_MM,
    Contour,
    Rect,
    bounding_box,
    quarter_turn,
    rect_between,
    rounded_rectangle,
    translate,
)
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
from palette.memory import Remember, afresh
from palette.space import de2000, parse_hex, srgb_to_lab
from patterns.coordinates import AnyPlane, Coordinate
from patterns.units import MM_PER_INCH

FRAME_CLEAR_MM = 0.5  # a line nearer to the ruler reads like one of its ticks
PANEL_LINE_MM = 0.25
# a panel's edge is lost where so much of what lies round it looks like the panel (under CIEDE2000
# 10, one colour at a glance; both: common practice, no published source)
MOST_HIDDEN, LEAST_APART = 0.5, 10.0
RING_MM, LOOK_DPI = 1.0, 60.0
CAPTION = "print at 100%, then lay a ruler here"


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

    def only(self, index: int) -> _Only:
        """Return one of them, with the planes that it shows."""
        slot, choice = self.slots[index], self.choices[index]
        shown = [
            plane_key(one, slot.angle_deg, slot.scale) for one in (choice.fill, choice.panel or "")
        ]
        return _Only(
            slot,
            choice,
            self.offsets_mm[index],
            self.panel_offsets_mm[index],
            tuple(
                (key, self.planes[key])
                for key in dict.fromkeys((*shown, slot.frame, slot.band))
                if key in self.planes
            ),
            self.ink,
        )


@dataclass(frozen=True)
class _Only:
    """One sticker of a kit, decided: what its placement rests on."""

    slot: Slot
    choice: Choice
    offset_mm: tuple[float, float] | None
    panel_offset_mm: tuple[float, float] | None
    planes: tuple[tuple[str, AnyPlane], ...]
    ink: str


def sheet_of(
    recipe: Recipe,
    stickers: Stickers,
    spots: Sequence[Spot],
    usable: Rect,
    number: int,
    *,
    sheets: int,
    remember: Remember = afresh,
) -> Sheet:
    """Return one sheet.

    Args:
        recipe: what was asked for.
        stickers: all of the kit's.
        spots: which of them lie on this sheet, and where.
        usable: what printer and cutter reach.
        number: the sheet's number, from 1.
        sheets: how many there are; each says which it is, to be cut by its own lines.
        remember: gives a sticker as it is placed; one that remembers is sooner done.
    """
    part, paper = recipe.sheet, recipe.sheet.paper
    page = Rect(0.0, 0.0, paper.width_mm, paper.height_mm)
    boxes = [spot.box for spot in spots]
    bleeds = remember(bleed_boxes, tuple(boxes), part.bleed, page)
    # what the maker put somewhere is no longer among its row, and has a group of its own
    slots = [stickers.slots[spot.index] for spot in spots]
    rows = [slot.row if slot.at is None else -1 - i for i, slot in enumerate(slots)]
    zones = mark_zones(recipe)
    ruler = ruler_box(usable, zones)
    frame = _frame(bleeds, [*zones, _ruler_with_figures(ruler)], page) if part.frame else None
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
            _remembered(remember, stickers.only(spot.index), spot, bleed, part)
            for spot, bleed in zip(spots, bleeds, strict=True)
        ),
        ruler,
        CAPTION if sheets == 1 else f"sheet {number} of {sheets}: {CAPTION}",
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


def _frame(bleeds: Sequence[Rect], others: Sequence[Rect], page: Rect) -> Contour:
    """Return the frame round all stickers, and round what else it would run through.

    No wider than that: marks and the ruler lie nearer to the edge, where printers end.
    """
    inside, outside = list(bleeds), list(others)
    while True:
        frame = frame_around(inside, page)
        sides = [side.grow(FRAME_CLEAR_MM) for side in _sides(bounding_box(frame))]
        met = [one for one in outside if any(one.overlaps(side) for side in sides)]
        if not met:
            return frame
        inside += met
        outside = [one for one in outside if one not in met]


def _ruler_with_figures(ruler: Rect) -> Rect:
    return Rect(ruler.x_mm, ruler.y_mm, ruler.width_mm + LABEL_MM, ruler.height_mm)


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


def _remembered(
    remember: Remember, only: _Only, spot: Spot, bleed: Rect, part: SheetPart
) -> Placement:
    if only.slot.font is not None:  # its file may have changed
        remember = afresh
    own = replace(spot, index=0)
    return remember(_placement, only, own, bleed, part.corner_radius, part.bleed)


def _placement(
    only: _Only, spot: Spot, bleed: Rect, radius_mm: float, bleed_mm: float
) -> Placement:
    slot, choice = only.slot, only.choice
    stickers = Stickers(
        (slot,),
        (choice,),
        (only.offset_mm,),
        (only.panel_offset_mm,),
        dict(only.planes),
        only.ink,
    )
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
    ink = bleed_shape(slot.outline(at_origin, radius_mm), bleed_mm)
    grounds = _Grounds(stickers, spot, upright, turn_deg)
    frame = grounds.frame(radius_mm)
    edge = grounds.edge(radius_mm, fill if frame is None else frame.fill, inner)
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
        band=grounds.band(bleed, bleed_mm),
        frame=frame,
        edge=edge,
    )


@dataclass(frozen=True)
class _Grounds:
    """What one sticker shows between its fill and its panel, as it lies on the sheet."""

    stickers: Stickers
    spot: Spot
    upright: Rect
    turn_deg: int

    @property
    def slot(self) -> Slot:
        return self.stickers.slots[self.spot.index]

    def band(self, bleed: Rect, bleed_mm: float) -> Panel | None:
        """Return the band along its foot, printed as far as its bleed."""
        slot, box = self.slot, self.upright
        if not slot.band:
            return None
        foot = Rect(box.x_mm, box.bottom_mm - slot.band_mm, box.width_mm, slot.band_mm)
        out = rect_between(
            foot.x_mm - bleed_mm, foot.y_mm, foot.right_mm + bleed_mm, foot.bottom_mm + bleed_mm
        )
        lies = bounding_box(self._laid(rounded_rectangle(out)))
        inside = rect_between(
            max(lies.x_mm, bleed.x_mm),
            max(lies.y_mm, bleed.y_mm),
            min(lies.right_mm, bleed.right_mm),
            min(lies.bottom_mm, bleed.bottom_mm),
        )
        return Panel(rounded_rectangle(inside), self._fill(slot.band, foot))

    def frame(self, radius_mm: float) -> Panel | None:
        """Return the frame of its panel, which the panel lies on."""
        edge = self.slot.frame_edge(self.upright, radius_mm)
        if edge is None:
            return None
        return Panel(self._laid(edge), self._fill(self.slot.frame, bounding_box(edge)))

    def edge(self, radius_mm: float, around: Fill, inner: Fill) -> Mark | None:
        """Return the line round its panel: as asked for, else where most of its edge is hidden."""
        slot = self.slot
        if slot.panel is None or slot.panel_line is False:
            return None
        hidden = isinstance(inner, ColourFill) and self._likeness(around, inner) > MOST_HIDDEN
        if not (slot.panel_line or hidden):
            return None
        panel = slot.panels(self.upright, radius_mm)[0]
        return Mark(self._laid(panel), PANEL_LINE_MM, light_of(self.stickers.ink), None)

    def _likeness(self, around: Fill, inner: ColourFill) -> float:
        """Return of which share of a ring round the panel the colour looks like the panel's."""
        panel = srgb_to_lab(parse_hex(inner.colour))
        if isinstance(around, ColourFill):
            ring = parse_hex(around.colour)[None]
        else:
            slot, dpi = self.slot, LOOK_DPI
            plane = self.stickers.planes[around.plane]
            seen = plane.sample(*around.offset_mm, slot.width_mm, slot.height_mm, dpi)
            per_mm = dpi / MM_PER_INCH
            inside = round(slot.border_mm * per_mm)
            outside = max(0, inside - max(1, round(RING_MM * per_mm)))
            within = np.zeros(seen.shape[:2], dtype=bool)
            within[outside : len(seen) - outside, outside : seen.shape[1] - outside] = True
            within[inside : len(seen) - inside, inside : seen.shape[1] - inside] = False
            ring = seen[within]
        alike = de2000(srgb_to_lab(ring), panel) < LEAST_APART
        return float(alike.mean())

    def _fill(self, label: str, area: Rect) -> Fill:
        """Return the fill of an area: a coordinate with its middle in the area's."""
        plane = self.stickers.planes.get(label)
        if plane is None:
            return ColourFill(label)
        offset = self.stickers.offsets_mm[self.spot.index] or (0.0, 0.0)
        if isinstance(plane, Coordinate):
            middle, (x, y) = plane.figure.centre_mm, area.centre_mm
            offset = middle[0] - (x - self.upright.x_mm), middle[1] - (y - self.upright.y_mm)
        repeat = plane.repeat_mm, plane.height_mm
        return PatternFill(label, offset, repeat, plane.lattice.name, self.turn_deg)

    def _laid(self, contour: Contour) -> Contour:
        return quarter_turn(contour, self.upright) if self.turn_deg else contour


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
