"""Which stickers does a recipe ask for? Its rows, one by one, each sticker with its size and wish.

In: a recipe. Out: one ``Slot`` for each sticker in the recipe's order, sizes in millimetres, and
what its row fills it with. Not decided here: the fill itself (``kit.fills.assignment``) and
the place (``kit.layout.ground``).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from kit.drawings import Drawing, OwnOutline, read_drawing, read_outline
from kit.kinds import (
    KINDS,
    LEAST_LIST_MM,
    Kind,
    LineList,
    below_title,
    check_marks,
    least_border_mm,
    rules,
    title_box,
)
from kit.recipe import LEAST_BOX_MM, OwnPlace, Pin, Recipe, RowPart, is_colour, near, place_in
from kit.recipe_error import RecipeError
from kit.registration import bleed_shape
from kit.shapes import (
    Contour,
    Rect,
    bounding_box,
    half_rounded,
    rect_between,
    rounded_rectangle,
    translate,
)
from kit.stickers.lifted import LiftedDrawing, lifted_drawings
from kit.stickers.list_room import Room, check_room
from kit.stickers.row_words import PANEL_MARGIN_MM, text_pt, words_area
from patterns.artwork import digest

Wish = str  # "patterns", "palette", a pattern's name, or a colour such as "#3b5b7a"
SMALLEST_PANEL_MM = 4.0
FRAME_MM = 2.0  # where nothing is said
BAND_SHARE = 0.3  # of the sticker's height, where nothing is said
UNDER_BAND_MM = 0.2


@dataclass(frozen=True, slots=True)
class Slot:
    """One sticker that is asked for.

    Attributes:
        kind: its kind.
        row: the 0-based number of its row in the recipe.
        width_mm: width of its cut line's box.
        height_mm: height of its cut line's box.
        wish: "patterns", "palette", a pattern's name or a hex colour.
        panel: "white", "ruled", a wish as above for a panel with a fill of its own, or None.
        border_mm: width of the filled border round its panel.
        frame: a pattern's name or a colour that its panel is framed in; "" for no frame.
        frame_mm: how broad that is.
        panel_line: whether its panel has a thin line; None where that is seen by its border.
        band: a pattern's name or a colour along its foot; "" for none.
        band_mm: how high that is.
        checks: how many marks to tick off; None for as many as fit.
        check_shape: "circle" or "square".
        pitch_mm: from one line or mark to the next; None for about 7 mm.
        is_list: whether its marks are beside lines on its panel, not in a column of their own.
        is_titled: whether its words are such a list's title, in a band along the panel's top. A
            sticker without words has none, whatever its row's others say.
        light: whether its lines to write on are light.
        line: which of its row's lines it is meant for, such as a week's.
        angle_deg: how far its artwork is turned clockwise.
        scale: how large its artwork is; 1 is the pattern's own repeat.
        pin: the offset in its pattern's plane that the maker wants, or "centred", or None.
        panel_pin: likewise for its panel, where both show a pattern.
        at: where on the sheet the maker put it; None where the layout places it.
        upright: whether a packed layout must leave it as it is.
        words: what is written on it.
        text_pt: the type's em in points.
        font: the file of the maker's own font; None for kitloom's.
        shape: its cut line where a file tells it, with its box at the origin; None where the kind
            does.
        drawing: the maker's picture and where it lies inside the box.
        clear_mm: how far what is printed inside should keep from the cut, so that opposite borders
            look even at its place; 0 while that is unknown (``kit.stickers.evenness``).
        made_from: SHA-256 of the file that gave shape or drawing; "" where none did.
        beside: what the file of its outline draws besides, such as ("2 circle", "1 text").
    """

    kind: Kind
    row: int
    width_mm: float
    height_mm: float
    wish: Wish
    panel: str | None = None
    border_mm: float = 0.0
    frame: Wish = ""
    frame_mm: float = 0.0
    panel_line: bool | None = None
    band: Wish = ""
    band_mm: float = 0.0
    checks: int | None = None
    check_shape: str = "circle"
    pitch_mm: float | None = None
    is_list: bool = False
    is_titled: bool = False
    light: bool = False
    line: int = 0
    angle_deg: float = 0.0
    scale: float = 1.0
    pin: Pin | None = None
    panel_pin: Pin | None = None
    at: OwnPlace | None = None
    upright: bool = False
    words: str = ""
    text_pt: float = 0.0
    font: Path | None = None
    shape: Contour | None = None
    drawing: Drawing | None = None
    clear_mm: float = 0.0
    made_from: str = ""
    beside: tuple[str, ...] = ()

    def outline(self, box: Rect, radius_mm: float) -> Contour:
        """Return the cut line for a place on the paper."""
        if self.shape is not None:
            return translate(self.shape, box.x_mm, box.y_mm)
        return self.kind.outline(box, radius_mm)

    def panels(self, box: Rect, radius_mm: float) -> tuple[Contour, ...]:
        """Return the panel's edge, if it has one."""
        if self.panel is None:
            return ()
        return (rounded_rectangle(box.grow(-self.border_mm), radius_mm),)

    def frame_edge(self, box: Rect, radius_mm: float) -> Contour | None:
        """Return the outer edge of its panel's frame, if it has one."""
        if not self.frame:
            return None
        return rounded_rectangle(box.grow(self.frame_mm - self.border_mm), radius_mm)

    def check_marks(self, box: Rect) -> tuple[Contour, ...]:
        """Return the marks to tick off."""
        if self.is_list:
            return self.lines(box).marks(self.check_shape)
        if not self.kind.checks:
            return ()
        return check_marks(box, self.checks, self.check_shape, self.clear_mm, self.pitch_mm)

    def rules(self, box: Rect) -> tuple[Contour, ...]:
        """Return the lines of a ruled panel."""
        if self.panel != "ruled":
            return ()
        if self.is_list:
            return self.lines(box).rules()
        return rules(box.grow(-self.border_mm), pitch_mm=self.pitch_mm)

    def lines(self, box: Rect) -> LineList:
        """Return the lines of its list, below its title."""
        panel = box.grow(-self.border_mm)
        area = below_title(panel, self.pitch_mm) if self.is_titled else panel
        return LineList(area, self.checks, self.pitch_mm)

    @property
    def room(self) -> Room:
        """What it has for lines and marks."""
        area = self.lines(Rect(0.0, 0.0, self.width_mm, self.height_mm)).area
        return Room(area.width_mm, area.height_mm, self.is_list)

    def title_band(self, box: Rect, radius_mm: float) -> Contour | None:
        """Return the band that its title is in, if it has one."""
        if not self.is_titled:
            return None
        return half_rounded(title_box(box.grow(-self.border_mm), self.pitch_mm), radius_mm)

    def written_on(self, box: Rect, radius_mm: float) -> tuple[Contour, ...]:
        """Return what is printed of its panel: all, or what a title's band leaves free.

        It begins a little above the band's lower edge, so that nothing shows between them.
        """
        if not self.is_titled:
            return self.panels(box, radius_mm)
        panel = box.grow(-self.border_mm)
        area = below_title(panel, self.pitch_mm)
        top = area.y_mm - UNDER_BAND_MM
        below = rect_between(panel.x_mm, top, panel.right_mm, panel.bottom_mm)
        return (half_rounded(below, radius_mm, at_top=False),)

    def words_area(self, box: Rect) -> Rect:
        """Return where its words go: on the panel where it has one, or in its title's band."""
        if self.is_titled:
            band = title_box(box.grow(-self.border_mm), self.pitch_mm)
            side = PANEL_MARGIN_MM
            return Rect(band.x_mm + side, band.y_mm, band.width_mm - 2 * side, band.height_mm)
        return words_area(self.kind, box, self.border_mm, self.clear_mm)


def slots_of(recipe: Recipe) -> tuple[Slot, ...]:
    """Return one slot a sticker.

    Raises:
        RecipeError: a fill that is neither a pattern's name nor a colour, or a panel that its
            sticker has no room for.
    """
    return tuple(slot for row in range(len(recipe.rows)) for slot in _row_slots(recipe, row))


def filler_slot(recipe: Recipe, kind_name: str, row: int) -> Slot:
    """Return a sticker of a kind that only fills what is left of a sheet, in a palette colour."""
    kind = KINDS[kind_name]
    width_mm, height_mm = kind.size_mm(recipe.planner.box)
    slot = Slot(kind, row, width_mm, height_mm, "palette", panel=kind.panel)
    return replace(slot, border_mm=_border(recipe, slot, None)) if slot.panel else slot


def _row_slots(recipe: Recipe, number: int) -> list[Slot]:
    row = recipe.rows[number]
    kind = KINDS[row.sticker]
    size_mm = row.size_mm(recipe.planner.box) or kind.size_mm(recipe.planner.box)
    own, drawing = _from_file(recipe, row, size_mm)
    if own is not None:
        box = bounding_box(own.contour)
        size_mm = (box.width_mm, box.height_mm)
    wishes, panel = row.wishes, row.panel_wish
    for wish in (*wishes, *((panel,) if panel else ())):
        _check_wish(recipe, number, wish, panel=panel == wish)
    for key in ("frame", "band"):
        if (ground := getattr(row, key)) is not None:
            _check_wish(recipe, number, ground, key)
    named = row.outline or row.picture
    slot = Slot(
        kind,
        number,
        *size_mm,
        wishes[0],
        panel=panel,
        checks=row.checks,
        check_shape=row.check or "circle",
        pitch_mm=row.pitch,
        light=row.rule == "light",
        font=None if recipe.letters.font is None else recipe.folder / recipe.letters.font,
        # letters and drawings stay the right way up
        upright=row.upright or not kind.may_turn or bool(row.words) or drawing is not None,
        shape=own.contour if own else None,
        beside=own.beside if own else (),
        drawing=drawing,
        made_from=digest(recipe.folder / named) if named else "",
    )
    if panel:
        slot = replace(slot, border_mm=_border(recipe, slot, row), panel_line=row.panel_line)
        slot = _framed(recipe, slot, row)
        room_mm = slot.width_mm - 2.0 * slot.border_mm
        is_list = row.is_marked and (not kind.checks or room_mm >= LEAST_LIST_MM)
        slot = replace(slot, is_list=is_list, is_titled=is_list and bool(row.words))
    if row.band is not None:
        slot = _banded(recipe, slot, row)
    check_room(recipe, number, slot.room)
    slot = replace(slot, text_pt=row_text_pt(recipe, slot, row))
    lifted = () if row.source is None else lifted_drawings(recipe, number, row, size_mm)
    return [
        replace(
            _of_motif(slot, lifted[i % len(lifted)]) if lifted else slot,
            wish=wishes[i % len(wishes)],
            words=(words := row.words[i % len(row.words)] if row.words else ""),
            is_titled=slot.is_titled and bool(words),
            angle_deg=row.turn_of(i) % 360.0,
            scale=row.scale_of(i),
            pin=row.pin_of(i),
            at=row.at_of(i),
            line=row.line_of(i),
        )
        for i in range(row.count)
    ]


def _of_motif(slot: Slot, lifted: LiftedDrawing) -> Slot:
    """Return a sticker that shows a motif, as large as its cut line."""
    outline = lifted.drawing.outline
    box = bounding_box(outline)
    return replace(
        slot,
        width_mm=box.width_mm,
        height_mm=box.height_mm,
        upright=True,
        shape=outline,
        drawing=lifted.drawing,
        made_from=lifted.made_from,
    )


def row_text_pt(recipe: Recipe, slot: Slot, row: RowPart) -> float:
    """Return the size of a row's type, or refuse it where lines to write on are in its way.

    0 where it has no words.
    """
    if not row.words or (slot.is_list and not slot.is_titled):
        return 0.0
    name = f"rows.{slot.row + 1}"
    where = partial(place_in, recipe, "rows", slot.row)
    if slot.panel == "ruled" and not slot.is_titled:
        raise RecipeError(
            f"{name}.text: a ruled panel has no room for words",
            where=where("text"),
            remedy='Set panel = "white", or take the text out.',
        )
    size_mm = (slot.width_mm, slot.height_mm)
    return text_pt(
        row,
        size_mm,
        slot.border_mm,
        slot.words_area(Rect(0.0, 0.0, *size_mm)),
        where=where,
        name=name,
        clear_mm=slot.clear_mm,
        font=slot.font,
    )


def _from_file(
    recipe: Recipe, row: RowPart, size_mm: tuple[float, float]
) -> tuple[OwnOutline | None, Drawing | None]:
    """Return the cut line that a row's file tells, and its drawing, for kinds made from files."""
    if row.outline is not None:
        return read_outline(recipe.folder / row.outline, size_mm), None
    if row.picture is not None:
        drawing = read_drawing(recipe.folder / row.picture, size_mm, row.distance)
        return OwnOutline(drawing.outline), drawing
    return None, None


def _border(recipe: Recipe, slot: Slot, row: RowPart | None) -> float:
    border_mm = row.border if row else None
    if border_mm is None:
        framed_mm = (row.frame_width or FRAME_MM) if row and row.frame else 0.0
        border_mm = least_border_mm(recipe.sheet.registration.shift) + framed_mm
    shorter_mm = min(slot.width_mm, slot.height_mm)
    if shorter_mm - 2 * border_mm < SMALLEST_PANEL_MM:
        box_mm = recipe.planner.box
        by_box = min(box_mm) < LEAST_BOX_MM and not (row and row.size)
        raise RecipeError(
            f"rows.{slot.row + 1}: a {slot.kind.name} only {shorter_mm:.1f} mm across has no room "
            f"for a panel inside a border of {border_mm:.1f} mm",
            where=place_in(recipe, "rows", slot.row, "panel"),
            why=f"the day box is only {box_mm[0]:.3g} mm x {box_mm[1]:.3g} mm" if by_box else "",
            remedy=("Is the decimal point or the unit wrong in planner.box? " if by_box else "")
            + 'Use a larger sticker, set panel = "none", or set border = "..." narrower.',
        )
    return border_mm


def _framed(recipe: Recipe, slot: Slot, row: RowPart) -> Slot:
    """Return a slot with the frame of its panel, which leaves some of the border to be cut in."""
    if row.frame is None:
        return slot
    frame_mm = row.frame_width or FRAME_MM
    if frame_mm >= slot.border_mm:
        raise RecipeError(
            f"rows.{slot.row + 1}.frame_width: a frame of {frame_mm:.1f} mm leaves nothing of the "
            f"border of {slot.border_mm:.1f} mm, so the cut would run into it",
            where=place_in(recipe, "rows", slot.row, "frame_width"),
            remedy="Write a narrower frame_width, or a wider border.",
        )
    return replace(slot, frame=row.frame, frame_mm=frame_mm)


def _banded(recipe: Recipe, slot: Slot, row: RowPart) -> Slot:
    """Return a slot with the band along its foot."""
    name, where = f"rows.{slot.row + 1}", place_in(recipe, "rows", slot.row, "band")
    box = Rect(0.0, 0.0, slot.width_mm, slot.height_mm)
    bleed_mm = recipe.sheet.bleed
    if bleed_shape(slot.outline(box, recipe.sheet.corner_radius), bleed_mm) is not None:
        raise RecipeError(
            f"{name}.band: a {slot.kind.name} of this outline has no straight foot for a band",
            where=where,
            remedy="Take it out, or choose a kind that fills its box.",
        )
    band_mm = row.band_height or BAND_SHARE * slot.height_mm
    if band_mm >= slot.height_mm:
        raise RecipeError(
            f"{name}.band_height: a band of {band_mm:.1f} mm covers the whole {slot.kind.name}, "
            f"which is {slot.height_mm:.1f} mm high",
            where=place_in(recipe, "rows", slot.row, "band_height"),
            remedy="Write less, or use it as the fill.",
        )
    return replace(slot, band=row.band or "", band_mm=band_mm)


def _check_wish(
    recipe: Recipe, number: int, wish: Wish, key: str = "", *, panel: bool = False
) -> None:
    names = recipe.fill_names
    dealt = () if key else ("patterns", "palette")
    known = {*dealt, *names, *(("white", "ruled") if panel else ())}
    if wish in known or is_colour(wish):
        return
    extra = '"white", "ruled", ' if panel else ""
    extra += '"patterns", "palette", ' if dealt else ""
    key = key or ("panel" if panel else "fill")
    raise RecipeError(
        f'rows.{number + 1}.{key}: "{wish}" is neither a pattern of this recipe nor a colour',
        where=place_in(recipe, "rows", number, key),
        remedy=f'{near(wish, sorted(known))}Use {extra}a colour like "#3b5b7a", or one of '
        f"{', '.join(names)}.",
    )
