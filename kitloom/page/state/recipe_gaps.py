"""What is between a recipe's tables stays there: blank lines, and comments about what follows.

In: tomlkit's tables. TOML has no place for a comment between two tables, so it belongs to the one
before it; where a table is added, taken out or moved, its *tail*, from the first blank line after
its last key on, must not go with it. A comment right under a key is the table's own.
"""

from __future__ import annotations

from typing import Any

import tomlkit
from tomlkit.items import AoT, Table, Whitespace

Tail = list[tuple[Any, Any]]


def take_tail(table: Any) -> Tail:
    """Take what is between a table and the next one off it, and return it."""
    body = table.value.body
    start = _after_keys(table)
    while start < len(body) and not isinstance(body[start][1], Whitespace):
        start += 1
    tail = body[start:]
    del body[start:]
    return list(tail)


def give_tail(table: Any, tail: Tail) -> None:
    """Put this between a table and the next one."""
    table.value.body.extend(tail)


def put(table: Any, key: str, value: object) -> None:
    """Set a key, and keep the comment at the end of its line in its column; None takes it out."""
    if value is None:
        table.pop(key, None)
        return
    item = tomlkit.item(value)
    if key not in table:
        start = _after_keys(table)
        rest = table.value.body[start:]
        del table.value.body[start:]
        table[key] = item
        give_tail(table, rest)
        return
    old = table[key]
    if hasattr(old, "trivia") and not isinstance(item, AoT | Table):
        longer = len(item.as_string()) - len(old.as_string())
        space = max(1, len(old.trivia.comment_ws) - longer)
        item.trivia.comment_ws = " " * space if old.trivia.comment else old.trivia.comment_ws
        item.trivia.comment = old.trivia.comment
    table[key] = item


def append(document: tomlkit.TOMLDocument, name: str, entry: Any) -> None:
    """Add an entry after the others of a list of tables, a blank line before it."""
    if name not in document:
        close(document)
        document.add(name, tomlkit.aot())
    entries: Any = document[name]
    if not isinstance(entries, AoT):  # written by hand in one line
        entries.append(_inline(entry))
        return
    tail = take_tail(entries[-1]) if entries else []
    if entries:
        give_tail(entries[-1], _blank())
    give_tail(entry, tail)
    entries.append(entry)


def drop(document: tomlkit.TOMLDocument, name: str, index: int) -> None:
    """Take an entry out of a list of tables; comments about others stay."""
    entries: Any = document[name]
    tail = take_tail(entries[index]) if isinstance(entries, AoT) else None
    del entries[index]
    if tail is None:
        return
    before = entries[index - 1] if index else _before(document, name)
    if before is None:
        return
    rest = take_tail(before)
    while rest and isinstance(rest[-1][1], Whitespace):
        rest.pop()
    give_tail(before, [*rest, *(tail or (_blank() if index < len(entries) else []))])


def move(document: tomlkit.TOMLDocument, name: str, index: int, there: int) -> None:
    """Let two entries of a list of tables change places; what is between them stays."""
    given: Any = document[name]
    if not isinstance(given, AoT):
        moved = [_inline(entry) for entry in given]
        moved[index], moved[there] = moved[there], moved[index]
        given.clear()
        given.extend(moved)
        return
    entries = given.body
    tails = [take_tail(entry) for entry in entries]
    entries[index], entries[there] = entries[there], entries[index]
    for entry, tail in zip(entries, tails, strict=True):
        give_tail(entry, tail)


def close(document: tomlkit.TOMLDocument) -> None:
    """End with a blank line, before one more table is added."""
    last = _last_table(document.body)
    if last is not None and not _ends_blank(last):
        give_tail(last, _blank())


def _ends_blank(table: Any) -> bool:
    """Tell whether a table ends in a blank line."""
    body = table.value.body
    return bool(body) and isinstance(body[-1][1], Whitespace)


def _before(document: tomlkit.TOMLDocument, name: str) -> Any:
    places = [i for i, (key, _) in enumerate(document.body) if key is not None and key.key == name]
    return _last_table(document.body[: places[0]]) if places else None


def _last_table(body: Tail) -> Any:
    for _, item in reversed(body):
        if isinstance(item, AoT) and len(item):
            return item[-1]
        if isinstance(item, Table):
            return item
    return None


def _after_keys(table: Any) -> int:
    """Return where, in a table, the lines after its last key begin."""
    body = table.value.body
    return max((i + 1 for i, (key, _) in enumerate(body) if key is not None), default=0)


def _blank() -> Tail:
    return [(None, tomlkit.nl())]


def _inline(entry: Any) -> Any:
    fresh = tomlkit.inline_table()
    fresh.update(entry.unwrap())
    return fresh
