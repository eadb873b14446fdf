"""What stickers were dealt and keep: the recipe's own record of it, ``held`` of its rows.

In: a recipe, its slots and the palette; or a kit as it came out. Out: the slots with what they
keep; or what the kit's recipe must hold for the same kit to come of it. A sticker keeps what it was
dealt as long as its row leaves that open: of a fill that the recipe names, only the window is kept.
A colour that is no longer in the palette gives way to the nearest that is, a pattern that is gone
is dealt again.

Not done here: dealing (``kit.fills``), places, and the recipe's text.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from kit.compose.lock import places_in_rows
from kit.fills import Choice, plain_colours
from kit.recipe import ANY_FILL, HeldPart, Recipe
from kit.stickers import Slot, is_colour
from palette.choose import Palette
from palette.space import de2000, hex_to_lab


@dataclass(frozen=True)
class HeldSlots:
    """Slots with what they keep.

    Attributes:
        slots: all of the kit's.
        held: those that keep a fill or a window, by number.
        lost: those that cannot keep the fill that the recipe holds for them, by number.
    """

    slots: tuple[Slot, ...]
    held: frozenset[int]
    lost: tuple[int, ...]


@dataclass(frozen=True)
class Holding:
    """What a recipe must hold, so that each sticker stays as it is.

    Attributes:
        rows: for each of its rows what its stickers keep, in their order.
        top_up: for each kind that tops a sheet up, the colours of its stickers.
    """

    rows: tuple[tuple[HeldPart, ...], ...]
    top_up: tuple[tuple[str, ...], ...]


def with_held(recipe: Recipe, slots: Sequence[Slot], palette: Palette) -> HeldSlots:
    """Return the slots with what the recipe holds for them."""
    names = {part.label for part in recipe.patterns}
    plain = plain_colours(palette)
    result, held, lost = [], set(), []

    def kept(wish: str | None, record: str | None) -> tuple[str | None, bool]:
        """Return what is kept of a record, and whether that is all of it."""
        if wish not in ANY_FILL or not record or is_colour(record) is not (wish == "palette"):
            return wish, True
        if wish == "patterns":
            return (record, True) if record in names else (wish, False)
        near = _nearest(record.lower(), palette, plain)
        return near, near == record.lower()

    for number, (slot, place) in enumerate(zip(slots, places_in_rows(slots), strict=True)):
        part = _record(recipe, slot.row, place)
        fill, whole = kept(slot.wish, part.fill)
        panel, whole_panel = kept(slot.panel, part.panel)
        new = replace(slot, wish=fill or slot.wish, panel=panel)
        if part.offset is not None and _pattern(part.fill, part.panel) == _pattern(fill, panel):
            new = replace(new, pin=slot.pin if isinstance(slot.pin, tuple) else part.offset)
        if part.panel_offset is not None and panel == part.panel and not is_colour(new.wish):
            new = replace(new, panel_pin=part.panel_offset)
        result.append(new)
        if new != slot:
            held.add(number)
        if not (whole and whole_panel):
            lost.append(number)
    return HeldSlots(tuple(result), frozenset(held), tuple(lost))


def holding_of(
    recipe: Recipe,
    slots: Sequence[Slot],
    choices: Sequence[Choice],
    offsets_mm: Sequence[tuple[float, float] | None],
    panel_offsets_mm: Sequence[tuple[float, float] | None],
) -> Holding:
    """Return what a recipe must hold for each of its stickers to stay as it came out.

    Args:
        recipe: the recipe.
        slots: its kit's stickers.
        choices: their fills.
        offsets_mm: their windows; None where none is to be kept.
        panel_offsets_mm: their panels' windows, likewise.
    """
    drawn = {part.label for part in recipe.coordinates}
    rows: list[list[HeldPart]] = [[] for _ in recipe.rows]
    fillers: list[list[str]] = [[] for _ in recipe.sheet.top_up]
    for slot, choice, offset, panel_offset in zip(
        slots, choices, offsets_mm, panel_offsets_mm, strict=True
    ):
        if slot.row >= len(rows):
            fillers[slot.row - len(rows)].append(choice.fill)
            continue
        row = recipe.rows[slot.row]
        wish = row.wish_of(len(rows[slot.row]))
        panel = choice.panel if row.panel_wish in ANY_FILL or choice.panel_pattern else None
        window = offset if choice.pattern not in drawn else None
        if wish not in ANY_FILL and window is None and panel is None:
            rows[slot.row].append(HeldPart())
            continue
        panel_window = panel_offset if choice.panel_pattern not in drawn else None
        rows[slot.row].append(
            HeldPart(fill=choice.fill, offset=window, panel=panel, panel_offset=panel_window)
        )
    kept = [tuple(row) if any(one != HeldPart() for one in row) else () for row in rows]
    return Holding(tuple(kept), tuple(map(tuple, fillers)))


def _record(recipe: Recipe, row: int, place: int) -> HeldPart:
    if row < len(recipe.rows):
        return recipe.rows[row].held_at(place)
    fillers = recipe.sheet.top_up_held
    own = fillers[row - len(recipe.rows)] if row - len(recipe.rows) < len(fillers) else ()
    return HeldPart(fill=own[place]) if place < len(own) else HeldPart()


def _pattern(fill: str | None, panel: str | None) -> str | None:
    """Return the pattern whose window it is: the sticker's, else its panel's."""
    return panel if fill is None or is_colour(fill) else fill


def _nearest(colour: str, palette: Palette, plain: Sequence[str]) -> str:
    if any(one.hex == colour for one in palette.swatches):
        return colour
    lab = hex_to_lab(colour)
    return min(plain, key=lambda one: float(de2000(lab, hex_to_lab(one))))
