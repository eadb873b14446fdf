"""On which line of a recipe is a key? So that an error can quote the line it means.

``tomllib`` reads values without their places. This looks a key's path up in the text instead: a
table header or a key at the start of a line. It is a finder for messages, not a second parser:
where the key cannot be found it answers with the nearest thing around it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

_HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(#.*)?$")
_KEY = re.compile(r"\s*([A-Za-z0-9_-]+|\"[^\"]*\"|'[^']*')\s*[.=]")


def line_of(text: str, path: Sequence[str | int]) -> int | None:
    """Return the 1-based line of ``path``, such as ("rows", 2, "fill"), or of what holds it.

    Args:
        text: the whole recipe.
        path: table and key names, with the 0-based index behind an array of tables.
    """
    parts = [str(part) for part in path]
    best: tuple[int, int] | None = None
    for number, place in _places(text):
        depth = _common_depth(place, parts)
        whole = depth == len(place)
        if whole and depth and (best is None or depth > best[0]):
            best = (depth, number)
    return best[1] if best else None


def _places(text: str) -> list[tuple[int, list[str]]]:
    """Every header and key with its line number and its full path."""
    places: list[tuple[int, list[str]]] = []
    table: list[str] = []
    counts: Counter[str] = Counter()
    for number, line in enumerate(text.splitlines(), start=1):
        if header := _HEADER.match(line):
            name = header[2].strip().strip("\"'")
            table = [part.strip().strip("\"'") for part in name.split(".")]
            if header[1] == "[[":
                table.append(str(counts[name]))
                counts[name] += 1
            places.append((number, list(table)))
        elif key := _KEY.match(line):
            places.append((number, [*table, key[1].strip("\"'")]))
    return places


def _common_depth(place: list[str], parts: list[str]) -> int:
    depth = 0
    while depth < min(len(place), len(parts)) and place[depth] == parts[depth]:
        depth += 1
    return depth
