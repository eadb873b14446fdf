"""Every area of ink on a kit's sheets, by its colour: what is it, on which kind, in which row?

In: a recipe and the kit that was composed of it. Out: ``SheetInks``: each colour once with all its
places, each drawing once with all of its, the coordinates and the stickers. Of coordinates the
colours that they are drawn in count; patterns are left out, they are measured as tiles. The paper's
white is not ink.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace

from kit.compose import Kit
from kit.drawings import Drawing as FileDrawing
from kit.kinds import CHECK_STROKE_MM, RULE_STROKE_MM
from kit.recipe import Recipe
from kit.render import FRAME_INK, RULER_LEVEL
from kit.sheet import PAPER, ColourFill, Fill, Mark, PatternFill, Placement, Sheet
from kit.stickers import Slot
from kitloom.inks.drawn_ink import DrawnInk, drawn_ink
from palette.arrays import Pixels
from palette.choose import ColourBins, bins_of
from palette.memory import Remember, afresh
from patterns.coordinates import Coordinate

RULER_INK = f"#{RULER_LEVEL:02x}{RULER_LEVEL:02x}{RULER_LEVEL:02x}"
COLOURS_PX = 240  # the longer side of one repeat of a coordinate: its shares are right to 0.5 %
FROM_PALETTE = "palette.pinned"
# each sort of line on a sticker has a width of its own; the third are stitches
_LINES = {CHECK_STROKE_MM: "check marks", RULE_STROKE_MM: "rules"}


@dataclass(frozen=True, slots=True)
class InkPlace:
    """One place where a colour is printed.

    Attributes:
        use: what it is there: "fill", "border", "panel", "words", "check marks", "drawing" …
        kind: of which sticker; "" on the page itself.
        row: the recipe's row, from 1; None on the page itself and for stickers that top it up.
        key: where the recipe decides it, such as "rows.2.fill"; "" where it does not.
    """

    use: str
    kind: str
    row: int | None
    key: str


@dataclass(frozen=True, eq=False)
class Drawing:
    """One drawing of the maker's own, however often it is printed.

    Attributes:
        file: as the recipe names it.
        on_white: its pixels, laid on white.
        ink: its visible colours.
        places: where it is printed.
    """

    file: str
    on_white: Pixels = field(repr=False)
    ink: DrawnInk
    places: tuple[InkPlace, ...] = ()


@dataclass(frozen=True)
class Sticker:
    """One sticker as it takes ink.

    Attributes:
        name: its kind and what it is filled with, such as "full box, pods".
        placed: what is printed where.
        drawn: the ink of its drawing, if it has one.
    """

    name: str
    placed: Placement
    drawn: DrawnInk | None = None


@dataclass(frozen=True)
class SheetInks:
    """All ink of a kit.

    Attributes:
        colours: by "#rrggbb", the places where each is printed plain.
        drawings: each once.
        stickers: all of the kit's.
        coordinates: the colours of each that a sticker shows, by its name.
    """

    colours: Mapping[str, tuple[InkPlace, ...]]
    drawings: tuple[Drawing, ...]
    stickers: tuple[Sticker, ...]
    coordinates: Mapping[str, ColourBins] = field(default_factory=dict)


def inks_on(recipe: Recipe, kit: Kit, remember: Remember = afresh) -> SheetInks:
    """Return all ink of a kit.

    Args:
        recipe: what the kit was composed of.
        kit: its sheets, stickers and layout.
        remember: gives the colours of a coordinate, and of a drawing.
    """
    colours: dict[str, dict[InkPlace, None]] = {}
    drawn: dict[str, Drawing] = {}
    drawn_at: dict[str, dict[InkPlace, None]] = {}
    stickers = []
    keys = {one.label: f"coordinates.{n}.colours" for n, one in enumerate(recipe.coordinates, 1)}
    shown: dict[str, None] = {}
    for index, placed in _in_order_of_recipe(kit):
        slot = kit.slots[index]
        row = slot.row + 1 if slot.row < len(recipe.rows) else None
        for colour, use, key in _on_sticker(placed, slot, kit.wishes[index], row):
            place = InkPlace(use, placed.kind, row, key)
            colours.setdefault(colour.lower(), {})[place] = None
        for name, use in _coordinates_on(placed, keys):
            shown[name] = None
            place = InkPlace(f"coordinate {name} as {use}", placed.kind, row, keys[name])
            for colour in kit.coordinates[name].colours:
                colours.setdefault(colour, {})[place] = None
        own = None
        if slot.drawing is not None:
            key = slot.made_from
            if key not in drawn:
                drawn[key] = remember(_drawing, recipe.rows[slot.row].made_of, slot.drawing)
            own = drawn[key]
            place = InkPlace("drawing", placed.kind, row, f"rows.{row}.{slot.kind.source_key}")
            drawn_at.setdefault(key, {})[place] = None
        stickers.append(_sticker(placed, own))
    for sheet in kit.sheets:
        for colour, use in _on_page(sheet):
            colours.setdefault(colour.lower(), {})[InkPlace(use, "", None, "")] = None
    colours.pop(PAPER, None)
    return SheetInks(
        {colour: tuple(places) for colour, places in colours.items()},
        tuple(replace(one, places=tuple(drawn_at[key])) for key, one in drawn.items()),
        tuple(stickers),
        {name: remember(_colours_of, kit.coordinates[name]) for name in shown},
    )


def _coordinates_on(placed: Placement, names: Collection[str]) -> Iterator[tuple[str, str]]:
    """Yield each coordinate on a sticker, and what it is there."""
    fills = [(placed.fill, "fill"), *((panel.fill, "panel") for panel in placed.panels)]
    for fill, use in (*fills, *_grounds(placed)):
        if isinstance(fill, PatternFill) and fill.pattern in names:
            yield fill.pattern, use


def _grounds(placed: Placement) -> list[tuple[Fill, str]]:
    """Return what lies between a sticker's fill and its panel, each with what it is."""
    parts = ((placed.band, "band"), (placed.frame, "frame"))
    return [(one.fill, use) for one, use in parts if one is not None]


def _colours_of(coordinate: Coordinate) -> ColourBins:
    wide, high = coordinate.repeat_mm, coordinate.height_mm
    across_px = max(1, round(COLOURS_PX * min(1.0, wide / high)))
    down_px = max(1, round(COLOURS_PX * min(1.0, high / wide)))
    return bins_of(coordinate.one_tile(down_px, across_px))


def _in_order_of_recipe(kit: Kit) -> list[tuple[int, Placement]]:
    """Return every sticker with its number, however the sheets are laid out."""
    laid = zip(kit.sheets, kit.layout.sheets, strict=True)
    found = [
        (spot.index, placed)
        for sheet, spots in laid
        for spot, placed in zip(spots, sheet.placements, strict=True)
    ]
    return sorted(found, key=lambda one: one[0])


def _drawing(file: str, drawn: FileDrawing) -> Drawing:
    return Drawing(file, drawn.on_white, drawn_ink(drawn.on_white, drawn.alpha), ())


def _sticker(placed: Placement, drawing: Drawing | None) -> Sticker:
    fill = placed.fill
    if drawing is not None:
        return Sticker(f"{placed.kind}, {drawing.file}", placed, drawing.ink)
    shown = fill.colour if isinstance(fill, ColourFill) else fill.pattern
    return Sticker(f"{placed.kind}, {shown}", placed)


def _on_sticker(
    placed: Placement, slot: Slot, wish: str, row: int | None
) -> Iterator[tuple[str, str, str]]:
    """Yield each plain colour on a sticker, what it is there, and the key that decides it."""
    panel = placed.panels[0] if slot.panel is not None and placed.panels else None
    behind = " behind words" if placed.lettering else ""
    if isinstance(placed.fill, ColourFill):
        use = f"fill{behind}" if panel is None else "border"
        yield placed.fill.colour, use, _key(row, "fill", wish)
    for ground, use in _grounds(placed):
        if isinstance(ground, ColourFill):
            yield ground.colour, use, _key(row, use, use)
    if placed.edge is not None:
        yield placed.edge.colour, "panel's line", FROM_PALETTE
    if panel is not None and isinstance(panel.fill, ColourFill):
        above = "" if slot.is_titled else behind
        yield panel.fill.colour, f"panel{above}", _key(row, "panel", slot.panel or "")
    for band in placed.panels[1:] if slot.is_titled else ():
        if isinstance(band.fill, ColourFill):
            yield band.fill.colour, f"title band{behind}", FROM_PALETTE
    for mark in placed.marks:
        yield from _of_line(mark)
    for words in placed.lettering:
        yield words.colour, "words", ""


def _key(row: int | None, name: str, wish: str) -> str:
    """Return where a fill is decided: in its row, unless that leaves it to the palette."""
    return FROM_PALETTE if wish == "palette" or row is None else f"rows.{row}.{name}"


def _of_line(mark: Mark) -> Iterator[tuple[str, str, str]]:
    use = _LINES.get(mark.stroke_mm, "")
    if mark.stroke_mm > 0.0:
        yield mark.colour, use or "stitches", FROM_PALETTE if use else ""
    if mark.inside is not None:
        yield mark.inside, use or "stitches", ""


def _on_page(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Yield each colour that is printed on the page itself, and what it is there."""
    for mark in (*sheet.marks, *sheet.machine_marks):
        yield mark.colour, "marks"
    if sheet.frame is not None:
        yield FRAME_INK, "frame"
    if sheet.ruler is not None:
        yield RULER_INK, "ruler"
