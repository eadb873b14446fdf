"""Set any key of a recipe's text, by its path; what was not asked for stays as the maker wrote it.

In: TOML text, a path such as ("rows", 0, "text") or ("sheet", "margin", "top"), and a value. Out:
the new text. Not done here: whether it is a recipe (``kit.recipe``), or what a value means
(``settings``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from hashlib import sha256
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, InlineTable

from kit.recipe_error import RecipeError
from kitloom.page.page_error import PageError
from kitloom.page.state import recipe_gaps as gaps
from palette.toml_text import parse_toml

Path = Sequence[str | int]


def document_of(text: str) -> tomlkit.TOMLDocument:
    """Return a recipe's text as it can be edited.

    Raises:
        RecipeError: it is not TOML.
    """
    try:
        parse_toml(text)  # which ends soon, whatever a stranger wrote
        return tomlkit.parse(text)
    except (ValueError, TOMLKitError) as error:
        raise RecipeError(
            "is not valid TOML",
            where="recipe",
            remedy="Mend that line in the recipe's text, or undo.",
        ) from error


def value_at(tables: Any, path: Path) -> Any:
    """Return what is at a path of a recipe's tables; None where nothing does."""
    for step in path:
        try:
            tables = tables[step]
        except (KeyError, IndexError, TypeError):
            return None
    return tables


def tables_of(text: str) -> dict[str, Any]:
    """Return a recipe's tables as they are written; none where it is not TOML."""
    try:
        return parse_toml(text)
    except ValueError:
        return {}


def text_mark(text: str) -> str:
    """Return by what a recipe's text is known again."""
    return sha256(text.encode()).hexdigest()[:16]


def with_key(
    text: str, path: Path, value: object, whole: Mapping[str, object] | None = None
) -> str:
    """Return the text with the key at a path set; None takes it out.

    Args:
        text: the recipe.
        path: tables that are not there yet are made; an entry of a list must be there.
        value: text, number, yes or no, or a list of such.
        whole: what the table that the key is of says so far, where one value stood for all of it.
    """
    document = document_of(text)
    *steps, last = path
    table: Any = document
    for depth, step in enumerate(steps):
        table = _step_into(document, table, step, first=depth == 0, whole=whole, made=value)
        if table is None:
            return text
    if isinstance(table, InlineTable):
        _put_inline(table, str(last), value)
    else:
        gaps.put(table, str(last), value)
    if len(steps) > 1 and isinstance(steps[-1], str) and not table:
        holder = value_at(document, steps[:-1])
        holder.pop(steps[-1], None)
    return tomlkit.dumps(document)


def with_entry(text: str, path: Path, values: Mapping[str, object]) -> str:
    """Return the text with one more entry in the list of tables at a path."""
    document = document_of(text)
    if len(path) == 1:
        entry = tomlkit.table()
        for key, value in values.items():
            entry[key] = value
        gaps.append(document, str(path[0]), entry)
        return tomlkit.dumps(document)
    *steps, last = path
    table = value_at(document, steps)
    entries = [dict(one) for one in table.get(last, [])] + [dict(values)]
    gaps.put(table, str(last), _inline_list(entries))
    return tomlkit.dumps(document)


def without_entry(text: str, path: Path, index: int) -> str:
    """Return the text without an entry of the list of tables at a path.

    Raises:
        PageError: it is not there any more.
    """
    document = document_of(text)
    *steps, last = path
    table: Any = value_at(document, steps)
    entries = value_at(document, path) or []
    if not 0 <= index < len(entries):
        raise PageError(
            "what you changed is no longer there",
            where=str(last),
            why="the kit has changed since, perhaps in another tab",
            remedy="Look at it as it is now, and change it again.",
        )
    if len(path) == 1 and isinstance(entries, AoT):
        gaps.drop(document, str(last), index)
        if not len(entries):
            document.pop(str(last), None)
        return tomlkit.dumps(document)
    rest = [dict(one) for number, one in enumerate(entries) if number != index]
    gaps.put(table, str(last), _inline_list(rest) if rest else None)
    return tomlkit.dumps(document)


def _step_into(
    document: tomlkit.TOMLDocument,
    table: Any,
    step: str | int,
    *,
    first: bool,
    whole: Mapping[str, object] | None,
    made: object,
) -> Any:
    """Return the table inside a table, made where it is missing; None where none is to be made."""
    inner = value_at(table, [step])
    if isinstance(inner, Mapping | list):
        return inner
    if made is None and inner is None:
        return None
    if first:
        gaps.close(document)
        document.add(str(step), tomlkit.table())
    else:
        fresh = tomlkit.inline_table()
        fresh.update(dict(whole or {}))
        gaps.put(table, str(step), fresh)
    return table[step]


def _put_inline(table: InlineTable, key: str, value: object) -> None:
    if value is None:
        table.pop(key, None)
    else:
        table[key] = value


def _inline_list(entries: Sequence[Mapping[str, object]]) -> Any:
    array = tomlkit.array()
    for one in entries:
        entry = tomlkit.inline_table()
        entry.update(one)
        array.append(entry)
    return array.multiline(multiline=len(entries) > 1)
