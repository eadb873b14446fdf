"""Edit a recipe's text, and leave what was not asked for as the maker wrote it, comments too.

In: TOML text and one wish. Out: the new text. It is only text that is edited here; whether it is a
recipe, ``kit.recipe`` says. Rows and patterns are counted from 0.

Lengths are written in millimetres with up to two decimals, which is what the page works with; what
stickers were dealt is written to all digits, because it must give the very same sheet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from pathlib import PurePosixPath
from typing import Any

import tomlkit

from kit.compose import Holding
from kit.draft import DraftTile, draft_pattern, drafted_rows, row_lines, rows_for
from kit.recipe import ANY_FILL, USUAL_IN_LISTS, HeldPart, OwnPlace, Recipe, RowPart
from kit.recipe_error import RecipeError
from kitloom.page.state import recipe_gaps as gaps
from kitloom.page.state.recipe_keys import document_of

Key = Sequence[str | int]
HeldEntry = Mapping[str, object]


_SHOWN = ("fill", "panel")  # what an entry of ``held`` says that a sticker shows


def millimetres(value: float) -> str:
    """Return a length as recipes write it."""
    return f"{round(value, 2):g}mm"


def pair(across: float, down: float) -> str:
    """Return a width and a height, or an offset, as recipes write them."""
    return f"{millimetres(across)} x {millimetres(down)}"


def with_value(text: str, table: str, key: str, value: object) -> str:
    """Return the text with ``key`` of ``[table]`` set; None takes the key out."""
    document = document_of(text)
    if value is None:
        if table in document:
            _table(document, table).pop(key, None)
        return tomlkit.dumps(document)
    if table not in document:
        gaps.close(document)
        document.add(table, tomlkit.table())
    gaps.put(_table(document, table), key, value)
    return tomlkit.dumps(document)


def with_pattern(text: str, tile: DraftTile) -> str:
    """Return the text with one more pattern after the others, written as a draft writes it."""
    document = document_of(text)
    entry = tomlkit.parse(draft_pattern(tile))["patterns"][0]
    gaps.append(document, "patterns", entry)
    return tomlkit.dumps(document)


def with_pattern_value(text: str, index: int, key: str, value: object) -> str:
    """Return the text with one key of a pattern set; None takes it out."""
    document = document_of(text)
    gaps.put(_at(document, "patterns", index), key, value)
    return tomlkit.dumps(document)


def without_pattern(text: str, index: int, label: str) -> str:
    """Return the text without a pattern; fills that named it are left to kitloom."""
    document = document_of(text)
    _at(document, "patterns", index)
    gaps.drop(document, "patterns", index)

    def freed(wish: str) -> str:
        return "patterns" if wish == label else wish

    _map_fills(document, freed)
    return tomlkit.dumps(document)


def with_patterns_exchanged(text: str, one: tuple[int, str], other: tuple[int, str]) -> str:
    """Return the text with two patterns, by number and label, each in the other's place.

    In the list and in all that names them; the windows of both are left open.
    """
    (index, label), (there, called) = one, other
    document = document_of(without_windows(without_windows(text, label), called))
    gaps.move(document, "patterns", index, there)
    return with_fills_renamed(tomlkit.dumps(document), {label: called, called: label})


def with_fills_renamed(text: str, names: Mapping[str, str]) -> str:
    """Return the text with other patterns where rows name a pattern; others stay."""
    document = document_of(text)
    _map_fills(document, lambda wish: names.get(wish, wish))

    def held(entry: HeldEntry) -> HeldEntry:
        shown = {key: names.get(str(entry[key]), entry[key]) for key in _SHOWN if key in entry}
        return {**entry, **shown}

    return with_held_mapped(tomlkit.dumps(document), held)


def with_motif(text: str, index: int, source: str | None, motif: int) -> str:
    """Return the text with an all-over that shows this motif, counted from 1, of this pattern."""
    document = document_of(text)
    table = _at(document, "coordinates", index)
    gaps.put(table, "from", source)
    gaps.put(table, "motif", motif if motif > 1 else None)
    return tomlkit.dumps(document)


def with_row(text: str, values: Mapping[str, object]) -> str:
    """Return the text with one more row of stickers after the others."""
    document = document_of(text)
    entry = tomlkit.table()
    for key, value in values.items():
        entry[key] = value
    gaps.append(document, "rows", entry)
    return tomlkit.dumps(document)


def with_row_value(text: str, index: int, key: str, value: object) -> str:
    """Return the text with one key of a row set; None takes it out."""
    document = document_of(text)
    gaps.put(_at(document, "rows", index), key, value)
    return tomlkit.dumps(document)


def without_row(text: str, index: int) -> str:
    """Return the text without a row.

    Raises:
        RecipeError: it is the only one.
    """
    document = document_of(text)
    if len(_list(document, "rows")) <= 1:
        raise RecipeError(
            "the kit has only this one row of stickers",
            where="rows",
            remedy="Add another row first, or change this one.",
        )
    _at(document, "rows", index)
    gaps.drop(document, "rows", index)
    if index == 0:  # the row that is first now has none before it to lie beside
        gaps.put(_at(document, "rows", 0), "beside", None)
    return tomlkit.dumps(document)


def with_drafted_rows(text: str, before: Recipe, after: Recipe) -> str:
    """Return the text with rows that still fill the sheet, if they are as a draft wrote them.

    Args:
        text: the recipe after a change.
        before: what it was read as before.
        after: what it is read as now.
    """
    tiles, rows = len(after.patterns), _unheld(after)
    if _unheld(before) != rows or rows != drafted_rows(before, len(before.patterns)):
        return text
    if drafted_rows(after, tiles) == rows:
        return text
    if rows != after.rows and _drafted_for(before) == _drafted_for(after):
        return text  # the maker has seen these stickers, and changed something else
    document = document_of(text)
    document["rows"] = tomlkit.parse(row_lines(rows_for(after, tiles).rows))["rows"]
    return tomlkit.dumps(document)


def _unheld(recipe: Recipe) -> tuple[RowPart, ...]:
    return tuple(row.model_copy(update={"held": ()}) for row in recipe.rows)


def _drafted_for(recipe: Recipe) -> tuple[object, ...]:
    return recipe.planner.box, recipe.sheet.paper, len(recipe.patterns)


def with_row_moved(text: str, index: int, step: int) -> str:
    """Return the text with a row moved up (-1) or down (+1); at the end it stays.

    Two that lie side by side stay so, in the other order.
    """
    document = document_of(text)
    count, there = len(_list(document, "rows")), index + step
    if 0 <= index < count and 0 <= there < count:
        gaps.move(document, "rows", index, there)
        upper, lower = (_at(document, "rows", place) for place in sorted((index, there)))
        if upper.get("beside") and not lower.get("beside"):
            gaps.put(upper, "beside", None)
            gaps.put(lower, "beside", value=True)
    return tomlkit.dumps(document)


def with_fill(text: str, row: int, fills: Sequence[str]) -> str:
    """Return the text with every sticker of a row filled by name; all alike become one word."""
    same = len(set(fills)) == 1
    return with_row_value(text, row, "fill", fills[0] if same else list(fills))


def with_held(text: str, holding: Holding) -> str:
    """Return the text with what its stickers were dealt, a line for each that keeps something.

    What is there for stickers beyond a row's count stays.
    """
    document = document_of(text)
    for index, kept in enumerate(holding.rows):
        row = _at(document, "rows", index)
        rest = list(row.get("held", []))[len(kept) :] if kept else []
        parts = [*map(_held_entry, kept), *rest]
        gaps.put(row, "held", _lines(parts) if parts else None)
    sheet = _table(document, "sheet")
    fillers = [list(one) for one in holding.top_up]
    gaps.put(sheet, "top_up_held", _lines(fillers) if any(fillers) else None)
    return tomlkit.dumps(document)


def with_held_mapped(text: str, change: Callable[[HeldEntry], HeldEntry]) -> str:
    """Return the text with each sticker's entry of ``held`` changed; {} lets it be dealt again."""
    document = document_of(text)
    for row in _list(document, "rows"):
        if "held" in row:
            was = [dict(one) for one in row["held"]]
            parts = [dict(change(one)) for one in was]
            if parts != was:
                gaps.put(row, "held", _lines(parts) if any(parts) else None)
    return tomlkit.dumps(document)


def with_held_entry(text: str, row: int, place: int, change: HeldEntry) -> str:
    """Return the text with some keys of a sticker's entry of ``held`` set; None takes one out."""
    document = document_of(text)
    table = _at(document, "rows", row)
    parts = [dict(one) for one in table.get("held", [])]
    if place < len(parts):
        entry = {**parts[place], **change}
        parts[place] = {key: value for key, value in entry.items() if value is not None}
        gaps.put(table, "held", _lines(parts) if any(parts) else None)
    return tomlkit.dumps(document)


def with_held_colours(text: str, new: Mapping[str, str]) -> str:
    """Return the text with stickers that were dealt a colour "#rrggbb" in another one."""

    def now(colour: object) -> str:
        return new.get(str(colour).lower(), str(colour))

    def other(entry: HeldEntry) -> HeldEntry:
        return {key: now(one) if key in {"fill", "panel"} else one for key, one in entry.items()}

    document = document_of(with_held_mapped(text, other))
    sheet = _table(document, "sheet")
    if "top_up_held" in sheet:
        fillers = [[now(colour) for colour in colours] for colours in sheet["top_up_held"]]
        gaps.put(sheet, "top_up_held", _lines(fillers))
    return tomlkit.dumps(document)


def without_windows(text: str, tile: str | None = None) -> str:
    """Return the text with the windows that stickers keep left open, of one tile or of all."""

    def open_(entry: HeldEntry) -> HeldEntry:
        shown = {"offset": "fill", "panel_offset": "panel"}
        if str(entry.get("fill", "")).startswith("#"):
            shown["offset"] = "panel"
        return {
            key: value
            for key, value in entry.items()
            if key not in shown or (tile is not None and entry.get(shown[key]) != tile)
        }

    return with_held_mapped(text, open_)


def with_row_opened(text: str, row: int, keys: Iterable[str]) -> str:
    """Return the text with these keys of what a row's stickers were dealt left open again."""
    document = document_of(text)
    table = _at(document, "rows", row)
    gone = set(keys)
    was = [dict(one) for one in table.get("held", [])]
    parts = [{key: one[key] for key in one if key not in gone} for one in was]
    if parts != was:
        gaps.put(table, "held", _lines(parts) if any(parts) else None)
    return tomlkit.dumps(document)


def _held_entry(part: HeldPart) -> HeldEntry:
    values = {
        "fill": part.fill or None,
        "offset": part.offset and exact_pair(*part.offset),
        "panel": part.panel,
        "panel_offset": part.panel_offset and exact_pair(*part.panel_offset),
    }
    return {key: value for key, value in values.items() if value is not None}


def exact_pair(across: float, down: float) -> str:
    """Return an offset to all its digits, so that the very same window comes of it."""
    return f"{_digits(across)}mm x {_digits(down)}mm"


def _digits(value: float) -> str:
    """Return a number as Python reads it back, without an exponent."""
    return f"{Decimal(repr(value)):f}".removesuffix(".0")


def _lines(parts: Sequence[Mapping[str, object] | Sequence[str]]) -> Any:
    """Return a list of one line each."""
    array = tomlkit.array()
    for part in parts:
        if isinstance(part, Mapping):
            entry = tomlkit.inline_table()
            entry.update(part)
            array.append(entry)
        else:
            array.append(list(part))
    return array.multiline(multiline=True)


def with_pin(text: str, row: int, place: int, was: RowPart, offset: str) -> str:
    """Return the text with one sticker's offset: "5mm x 12mm", "centred" or "auto".

    Args:
        text: the recipe.
        row: the sticker's row.
        place: its place in that row, from 0.
        was: the row as it was read.
        offset: the new one.
    """
    pins = [_pin_text(was.pin_of(i)) for i in range(was.count)]
    pins[place] = offset
    if all(pin == "auto" for pin in pins):
        return with_row_value(text, row, "offset", None)
    return with_row_value(text, row, "offset", pins)


Look = Mapping[str, object]  # of a sticker: any of "fill", "offset", "turn" and "scale"


def with_look(text: str, index: int, place: int, was: RowPart, look: Look) -> str:
    """Return the text with what one sticker of a row shows, and how; the others stay.

    Args:
        text: the recipe.
        index: the sticker's row.
        place: its place in that row, from 0.
        was: the row as it was read.
        look: what to change: a fill, an offset in mm (None to leave it to kitloom), a turn in
            degrees, a scale.
    """
    document = document_of(text)
    table = _at(document, "rows", index)
    for key, value in look.items():
        each = _each(was, key)
        each[place] = _pin_text(value) if key == "offset" else value
        _put_each(table, key, each)
    held = table.get("held", [])
    if place < len(held):  # the new wish replaces what was dealt before
        for key in {"fill", "offset"} & look.keys():
            held[place].pop(key, None)
    return tomlkit.dumps(document)


def with_words(text: str, index: int, place: int, was: RowPart, words: str) -> str:
    """Return the text with other words on one sticker of a row; "" for none."""
    document = document_of(text)
    table = _at(document, "rows", index)
    each = [str(one) for one in _each(was, "text")] or [""] * was.count
    each[place] = words
    gaps.put(table, "text", each if any(each) else None)
    if not any(each):
        gaps.put(table, "count", was.count)
    return tomlkit.dumps(document)


def without_stickers(text: str, index: int, places: Sequence[int], was: RowPart) -> str:
    """Return the text with stickers of a row taken out, and what was said of each."""
    return _with_counts(text, index, dict.fromkeys(places), was)


def with_doubled(text: str, index: int, fills: Mapping[int, str], was: RowPart) -> str:
    """Return the text with one more sticker after each of some of a row, like it.

    ``fills`` says by place what each new one is filled with.
    """
    return _with_counts(text, index, fills, was)


def _with_counts(text: str, index: int, fills: Mapping[int, str | None], was: RowPart) -> str:
    """Return the text with stickers doubled in these fills, taken out where there is none."""
    document = document_of(text)
    table = _at(document, "rows", index)
    places = sorted(fills, reverse=True)  # so that those before keep their places
    for key in ("fill", "offset", "turn", "scale", "text", "at"):
        each = _each(was, key)
        for place in places if each else ():
            new = fills[place]
            if new is None:
                del each[place]
            else:  # no two can lie in one place
                other = {"fill": new, "at": "auto"}
                each.insert(place + 1, other.get(key, each[place]))
        if each:
            _put_each(table, key, each)
    held = table.get("held", [])
    for place in places:
        if place >= len(held):
            continue
        if fills[place] is None:
            held.pop(place)
        else:
            held.insert(place + 1, tomlkit.inline_table())
    if "count" in table or "text" not in table or isinstance(table["text"], str):
        steps = sum(-1 if fill is None else 1 for fill in fills.values())
        gaps.put(table, "count", was.count + steps)
    return tomlkit.dumps(document)


def _each(row: RowPart, key: str) -> list[object]:
    """Return what a row says of each of its stickers; nothing where it has no words."""
    places = range(row.count)
    if key == "fill":
        return [row.wish_of(i) for i in places]
    if key == "offset":
        return [_pin_text(row.pin_of(i)) for i in places]
    if key == "at":
        return [place_text(row.at_of(i)) for i in places]
    if key == "text":
        return [row.words[i % len(row.words)] for i in places] if row.words else []
    return [row.turn_of(i) if key == "turn" else row.scale_of(i) for i in places]


def _put_each(table: Any, key: str, each: Sequence[object]) -> None:
    """Write what is said of each sticker: one value where all are alike, none where it is usual."""
    alike = len(set(each)) == 1
    short = [int(one) if isinstance(one, float) and one.is_integer() else one for one in each]
    usual = USUAL_IN_LISTS.get(key)
    if alike and each[0] == usual:
        gaps.put(table, key, None)
    elif key == "at":  # a place is one sticker's
        last = max(i for i, one in enumerate(each) if one != usual)
        gaps.put(table, key, list(each[: last + 1]))
    elif alike:
        gaps.put(table, key, short[0])
    else:
        gaps.put(table, key, short)


def place_text(at: OwnPlace | None) -> str:
    """Return a place on the sheet as recipes write it; "auto" for none."""
    if at is None:
        return "auto"
    sheet = f" on sheet {at.sheet}" if at.sheet > 1 else ""
    return f"{pair(at.x_mm, at.y_mm)}{sheet}{' on its side' if at.on_its_side else ''}"


def with_places(text: str, index: int, places: Mapping[int, OwnPlace | None], was: RowPart) -> str:
    """Return the text with places on the sheet for some of a row's stickers; None takes one back.

    Args:
        text: the recipe.
        index: the stickers' row.
        places: by the sticker's place in that row, from 0.
        was: the row as it was read.
    """
    document = document_of(text)
    each = _each(was, "at")
    for place, at in places.items():
        each[place] = place_text(at)
    _put_each(_at(document, "rows", index), "at", each)
    return tomlkit.dumps(document)


def _pin_text(pin: object) -> str:
    if pin is None:
        return "auto"
    return pin if isinstance(pin, str) else pair(*pin)  # type: ignore[misc]


def without_keys(text: str, keys: Iterable[Key]) -> str:
    """Return the text without these keys; of a list, an entry becomes the usual, or the list ends.

    Args:
        text: the recipe.
        keys: paths as in TOML; one that ends in a number is a place in a list that a row has.
    """
    document = document_of(text)
    for *place, last in sorted(keys, key=_last_first, reverse=True):
        part: Any = document
        for step in place:
            part = part[step]
        if isinstance(last, str):
            part.pop(last, None)
            if not part and len(place) == 1:
                document.pop(place[0])
        elif last == len(part) - 1:
            part.pop(last)
        else:
            part[last] = USUAL_IN_LISTS[str(place[-1])]
    return tomlkit.dumps(document)


def _last_first(key: Key) -> tuple[tuple[int, str], ...]:
    """Order keys so that, reversed, the end of a list comes before what is in front of it."""
    return tuple((step, "") if isinstance(step, int) else (-1, step) for step in key)


def with_files_renamed(text: str, keys: Iterable[Key], rename: Callable[[str], str]) -> str:
    """Return the text with every file named again, as for a recipe made elsewhere.

    Files that are neither artwork nor drawings (a profile, a chart, a palette) are left out.

    Args:
        text: the recipe.
        keys: of every file that it names (``kit.recipe.files_of``).
        rename: what a file is called here.
    """
    document = document_of(text)
    for *place, key in keys:
        part: Any = document
        for step in place:
            part = part[step]
        if place[0] not in {"patterns", "rows"}:
            part.pop(key)
            if place[0] == "press":
                part.pop("convert", None)  # there is nothing left to draw the print through
            continue
        given = str(part[key])
        part[key] = rename(given)
        stem = PurePosixPath(given.replace("\\", "/")).stem
        other = PurePosixPath(str(part[key])).stem != stem
        if place[0] == "patterns" and other and not part.get("name"):
            part["name"] = stem  # rows go on calling it by its old file's name
    return tomlkit.dumps(document)


def _table(document: tomlkit.TOMLDocument, name: str) -> Any:
    value = document[name]
    if not isinstance(value, dict):
        raise RecipeError(f"[{name}] is not a table", where="recipe", remedy="Undo this step.")
    return value


def _list(document: tomlkit.TOMLDocument, name: str) -> Any:
    if name not in document:
        document.add(name, tomlkit.aot())
    return document[name]


def _at(document: tomlkit.TOMLDocument, name: str, index: int) -> Any:
    entries = _list(document, name)
    if not 0 <= index < len(entries):
        raise RecipeError(
            "what you changed is no longer there",
            where=name,
            why="the kit was changed since, perhaps in another tab",
            remedy="Look at it as it is now, and change it again.",
        )
    return entries[index]


def _map_fills(document: tomlkit.TOMLDocument, change: Callable[[str], str]) -> None:
    for drawn in _list(document, "coordinates") if "coordinates" in document else ():
        source = drawn.get("from")
        if isinstance(source, str) and change(source) not in {source, *ANY_FILL}:
            drawn["from"] = change(source)
    for row in _list(document, "rows"):
        fill = row.get("fill")
        if isinstance(fill, str) and change(fill) != fill:
            row["fill"] = change(fill)
        elif isinstance(fill, list):
            changed = [change(str(one)) for one in fill]
            if changed != list(fill):
                row["fill"] = changed
        for key in ("panel", "frame", "band", "from"):
            wish = row.get(key)
            if not isinstance(wish, str) or change(wish) == wish:
                continue
            if key in {"frame", "band"} and change(wish) in ANY_FILL:
                del row[key]  # they take one fill, so without it there is none
            else:
                row[key] = change(wish)
