"""Where on the sheets is a colour printed? Its places as words, and the keys that decide them.

In: ``InkPlace``s. Out: short texts for findings. Not done here: the findings themselves
(``kitloom.findings.printing``, ``kitloom.findings.sheet_colours``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:  # without a kit there is no need to load what makes one
    from kitloom.inks import InkPlace

MOST_CHARACTERS = 110  # of places in one line; the measures hold all of them
MOST_OF_KEYS = 36  # likewise of keys
MOST_LISTED = 5  # kinds, or rows of one kind


def where_words(places: Sequence[InkPlace]) -> str:
    """Return "fill of full box (row 2) and dot (row 6), panel of half box (rows 3 and 5)"."""
    uses: dict[str, dict[str, list[int | None]]] = {}
    for one in places:
        uses.setdefault(one.use, {}).setdefault(one.kind, []).append(one.row)
    return _short([f"{use} {_stickers(kinds)}" for use, kinds in uses.items()], MOST_CHARACTERS)


def key_words(places: Sequence[InkPlace]) -> str:
    """Return "rows.2.fill, rows.3.panel": where the recipe decides it; "" where it does not."""
    return _short(list(dict.fromkeys(one.key for one in places if one.key)), MOST_OF_KEYS)


def place_dicts(places: Sequence[InkPlace]) -> list[dict[str, Any]]:
    """Return the places as ``--json`` shows them."""
    return [{"use": p.use, "kind": p.kind, "row": p.row, "key": p.key} for p in places]


def _stickers(kinds: Mapping[str, Sequence[int | None]]) -> str:
    if "" in kinds:
        return "on the page"
    return f"of {_listed([f'{kind} ({_rows(rows)})' for kind, rows in kinds.items()])}"


def _rows(rows: Sequence[int | None]) -> str:
    numbers = [str(row) for row in dict.fromkeys(rows) if row is not None]
    top_up = ["top-up"] if None in rows else []
    if not numbers:
        return "top-up"
    return f"row{'s' if len(numbers) > 1 else ''} {_listed([*numbers, *top_up])}"


def _listed(words: Sequence[str]) -> str:
    more = len(words) - MOST_LISTED
    *first, last = words if more <= 1 else [*words[:MOST_LISTED], f"{more} more"]
    return f"{', '.join(first)} and {last}" if first else last


def _short(parts: Sequence[str], most: int) -> str:
    """Return the parts in one line, at least one; the rest of a long list as a number."""
    count = len(parts)
    while count > 1 and len(", ".join(parts[:count])) > most:
        count -= 1
    told = ", ".join(parts[:count])
    return told if count == len(parts) else f"{told} and {len(parts) - count} more"
