"""Edit a recipe's text, and leave what was not asked for as the maker wrote it, comments too.

In: TOML text and one wish. Out: the new text. It is only text that is edited here; whether it is a
recipe, ``kit.recipe`` says. Rows and patterns are counted from 0.

Lengths are written in millimetres with up to two decimals, which is what the page works with.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import PurePosixPath
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from kit.draft import DraftTile, draft_pattern, drafted_rows, row_lines, rows_for
from kit.recipe import USUAL_IN_LISTS, Recipe, RowPart
from kit.recipe_error import RecipeError
from kitloom.page.state import recipe_gaps as gaps

Key = Sequence[str | int]


def millimetres(value: float) -> str:
    """Return a length as recipes write it."""
    return f"{round(value, 2):g}mm"


def pair(across: float, down: float) -> str:
    """Return a width and a height, or an offset, as recipes write them."""
    return f"{millimetres(across)} x {millimetres(down)}"


def _parsed(text: str) -> tomlkit.TOMLDocument:
    try:
        return tomlkit.parse(text)
    except TOMLKitError as error:
        raise RecipeError(
            "is not valid TOML",
            where="recipe",
            remedy="Open the recipe in a text editor and mend that line, or undo.",
        ) from error


def with_value(text: str, table: str, key: str, value: object) -> str:
    """Return the text with ``key`` of ``[table]`` set; None takes the key out."""
    document = _parsed(text)
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
    document = _parsed(text)
    entry = tomlkit.parse(draft_pattern(tile))["patterns"][0]
    gaps.append(document, "patterns", entry)
    return tomlkit.dumps(document)


def with_pattern_value(text: str, index: int, key: str, value: object) -> str:
    """Return the text with one key of a pattern set; None takes it out."""
    document = _parsed(text)
    gaps.put(_at(document, "patterns", index), key, value)
    return tomlkit.dumps(document)


def without_pattern(text: str, index: int, label: str) -> str:
    """Return the text without a pattern; fills that named it are left to kitloom."""
    document = _parsed(text)
    _at(document, "patterns", index)
    gaps.drop(document, "patterns", index)

    def freed(wish: str) -> str:
        return "patterns" if wish == label else wish

    _map_fills(document, freed)
    return tomlkit.dumps(document)


def with_row(text: str, values: Mapping[str, object]) -> str:
    """Return the text with one more row of stickers after the others."""
    document = _parsed(text)
    entry = tomlkit.table()
    for key, value in values.items():
        entry[key] = value
    gaps.append(document, "rows", entry)
    return tomlkit.dumps(document)


def with_row_value(text: str, index: int, key: str, value: object) -> str:
    """Return the text with one key of a row set; None takes it out."""
    document = _parsed(text)
    gaps.put(_at(document, "rows", index), key, value)
    return tomlkit.dumps(document)


def without_row(text: str, index: int) -> str:
    """Return the text without a row.

    Raises:
        RecipeError: it is the only one.
    """
    document = _parsed(text)
    if len(_list(document, "rows")) <= 1:
        raise RecipeError(
            "the kit has only this one row of stickers",
            where="rows",
            remedy="Add another row first, or change this one.",
        )
    _at(document, "rows", index)
    gaps.drop(document, "rows", index)
    return tomlkit.dumps(document)


def with_drafted_rows(text: str, before: Recipe, after: Recipe) -> str:
    """Return the text with rows that still fill the sheet, if they are as a draft wrote them.

    Args:
        text: the recipe after a change.
        before: what it was read as before.
        after: what it is read as now.
    """
    tiles = len(after.patterns)
    if before.rows != after.rows or before.rows != drafted_rows(before, len(before.patterns)):
        return text
    if drafted_rows(after, tiles) == after.rows:
        return text
    document = _parsed(text)
    document["rows"] = tomlkit.parse(row_lines(rows_for(after, tiles).rows))["rows"]
    return tomlkit.dumps(document)


def with_row_moved(text: str, index: int, step: int) -> str:
    """Return the text with a row moved up (-1) or down (+1); at the end it stays."""
    document = _parsed(text)
    count, there = len(_list(document, "rows")), index + step
    if 0 <= index < count and 0 <= there < count:
        gaps.move(document, "rows", index, there)
    return tomlkit.dumps(document)


def with_fill(text: str, row: int, fills: Sequence[str]) -> str:
    """Return the text with every sticker of a row filled by name; all alike become one word."""
    same = len(set(fills)) == 1
    return with_row_value(text, row, "fill", fills[0] if same else list(fills))


def with_pin(text: str, row: int, place: int, was: RowPart, offset: str) -> str:
    """Return the text with one sticker's offset: "5mm x 12mm", "centred" or "auto".

    Args:
        text: the recipe.
        row: the sticker's row.
        place: its place in that row, from 0.
        was: the row as it was read.
        offset: what is wanted.
    """
    pins = [_pin_text(was.pin_of(i)) for i in range(was.count)]
    pins[place] = offset
    if all(pin == "auto" for pin in pins):
        return with_row_value(text, row, "offset", None)
    return with_row_value(text, row, "offset", pins)


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
    document = _parsed(text)
    for *place, last in sorted(keys, key=str, reverse=True):
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


def with_files_renamed(text: str, keys: Iterable[Key], rename: Callable[[str], str]) -> str:
    """Return the text with every file named anew, as for a recipe made elsewhere.

    Files that are neither artwork nor drawings (a profile, a chart, a palette) are left out.

    Args:
        text: the recipe.
        keys: of every file that it names (``kit.recipe.files_of``).
        rename: what a file is called here.
    """
    document = _parsed(text)
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
            why="the kit was changed meanwhile, perhaps in another tab",
            remedy="Look at it as it stands now, and change it again.",
        )
    return entries[index]


def _map_fills(document: tomlkit.TOMLDocument, change: Callable[[str], str]) -> None:
    for row in _list(document, "rows"):
        fill = row.get("fill")
        if isinstance(fill, str) and change(fill) != fill:
            row["fill"] = change(fill)
        elif isinstance(fill, list):
            changed = [change(str(one)) for one in fill]
            if changed != list(fill):
                row["fill"] = changed
        panel = row.get("panel")
        if isinstance(panel, str) and change(panel) != panel:
            row["panel"] = change(panel)
