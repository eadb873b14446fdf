"""Forms for every key of a recipe that has no control of its own, and the recipe as text.

In: the description of the recipe's keys, the recipe, and what the address asks for. Out: for each
part its fields with label, help, choices and value. Nothing is written here about any single key.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from typing import Any

from kit.kinds import KINDS
from kit.recipe import TABLES, Recipe, RecipeKey, idle_in_row, recipe_keys
from kitloom.page.edits import MOST_TYPED, MOTIF_KEYS, TEXT_FIELD
from kitloom.page.page_error import PageError
from kitloom.page.state import (
    ANY,
    BOXES,
    COLOURED,
    NEW,
    Bench,
    Place,
    id_of,
    lists_on,
    names_of,
    offered,
    place_of,
    settings_of,
    shown_value,
    tables_of,
    tables_on,
    text_mark,
    title_of,
    title_of_list,
    value_at,
)
from palette.errors import KitloomError

_ACCEPTED = {
    "letters.font": ".ttf,.otf",
    "rows.outline": ".svg",
    "press.chart": ".toml",
}


def settings_view(
    bench: Bench, recipe: Recipe, slug: str, tile: int, query: Mapping[str, str]
) -> dict[str, Any]:
    """Return the forms of a step.

    Args:
        bench: the open kit.
        recipe: its recipe.
        slug: the step.
        tile: the tile that is chosen in it, by number.
        query: what the address asks for: a row's form is shown where it names the row.
    """
    tables = tables_of(bench.workspace.text())

    def part(place: Place) -> dict[str, Any]:
        return _part(tables, place, recipe)

    row = asked_row(recipe, query) if slug == "kit" else None
    parts = [part((name,)) for name in tables_on(slug)]
    files = {key.path[-1] for key in recipe_keys() if key.sort == "file" and key.path[0] == "rows"}
    if slug == "tiles":
        label = recipe.patterns[tile].label
        parts.append(part(("patterns", tile)) | {"title": f'tile "{label}"'})
    return {
        "settings": parts,
        "setting_lists": [_list(tables, path, recipe) for path in lists_on(slug)],
        "row_settings": None if row is None else _with_colours(part(("rows", row)), bench),
        "own_kinds": [
            {"name": kind.name, "means": kind.means}
            for kind in KINDS.values()
            if kind.source_key in files and slug == "kit"
        ],
        "motifs": _motifs(recipe) if slug == "kit" else [],
    }


def _with_colours(part: dict[str, Any], bench: Bench) -> dict[str, Any]:
    """Return a row's form; where it takes a colour, it offers those of the palette by name."""
    job = bench.drawing.job
    colours = tuple(one.name for one in job.verdict.palette.swatches) if job else ()
    return part | {
        name: [
            one | {"names": tuple(dict.fromkeys((*one["names"], *colours)))}
            if one["kind"] == "line" and f"rows.{one['name']}" in COLOURED
            else one
            for one in part[name]
        ]
        for name in ("fields", "idle")
    }


def _motifs(recipe: Recipe) -> list[dict[str, Any]]:
    """Return what is asked of a new row of motifs: first the tile, by the tiles that there are."""
    place: Place = ("rows", NEW)
    keys = {key.path[-1]: key for key in settings_of(place)}
    first, *more = (_field(place, keys[name], "", recipe) for name in MOTIF_KEYS)
    tiles = [(part.label, part.label, False) for part in recipe.patterns]
    return [first | {"kind": "choice", "options": tiles, "needed": True}, *more]


def asked_row(recipe: Recipe, query: Mapping[str, str]) -> int | None:
    """Return the number of the row whose form the address asks for; None where there is none."""
    said = query.get("row", "")
    number = int(said) if said.isascii() and said.isdigit() and len(said) < 6 else len(recipe.rows)
    return number if number < len(recipe.rows) else None


def text_view(
    bench: Bench, refusals: Sequence[KitloomError], sent: Mapping[str, str]
) -> dict[str, Any]:
    """Return the recipe's text, and what was typed into a form that was refused.

    Args:
        bench: the open kit.
        refusals: what was refused.
        sent: the fields of the form that was, by name.
    """
    text = bench.workspace.text()
    fields = {one.field for one in refusals if isinstance(one, PageError) and one.field}
    return {
        "faulty_by_hand": any(not one.startswith((ANY, TEXT_FIELD)) for one in fields),
        "recipe_text": text.replace("\r\n", "\n"),
        "recipe_mark": text_mark(text),
        "typed": _typed_in(sent)
        | {
            one.field: one.typed
            for one in refusals
            if isinstance(one, PageError) and one.field and one.typed is not None
        },
    }


def _typed_in(sent: Mapping[str, str]) -> dict[str, str]:
    """Return by its field on the page what a form of settings was sent with."""
    place = place_of(sent.get("part", ""))
    if place is None:
        return {}
    names = {name: words for name, words in sent.items() if name not in {"part", "of", "was"}}
    return {
        "-".join([id_of(place), *name.split(".")]): words.replace("\r\n", "\n")[:MOST_TYPED]
        for name, words in names.items()
    }


def _list(tables: Any, path: tuple[str, ...], recipe: Recipe) -> dict[str, Any]:
    entries = value_at(tables, path) or []
    name = ".".join(path)
    return {
        "id": id_of(path),
        "title": title_of_list(path),
        "count": len(entries),
        "intro": _plain(TABLES.get(name, "")),
        "parts": [_part(tables, (*path, number), recipe) for number in range(len(entries))],
        "new": _part(tables, (*path, NEW), recipe),
    }


def _part(tables: Any, place: Place, recipe: Recipe) -> dict[str, Any]:
    keys = [key for key in settings_of(place) if _is_of_kind(key, place, recipe)]
    new = place[-1] == NEW
    values = {} if new else {key.name: shown_value(tables, place, key, recipe) for key in keys}
    beside = value_at(tables, place[:-1]) if isinstance(place[-1], int) else None
    name = ".".join(names_of(place))
    idle: frozenset[str] = frozenset()
    if place[0] == "rows" and isinstance(place[-1], int):
        idle = idle_in_row(recipe, place[-1])
    shown = [_field(place, key, values.get(key.name, ""), recipe) for key in keys]
    return {
        "id": id_of(place),
        "part": "-".join(map(str, place)),
        "title": title_of(place),
        "of": len(beside) if isinstance(beside, list) else "",
        "intro": "" if isinstance(place[-1], int) or new else _plain(TABLES.get(name, "")),
        "was": json.dumps(values, ensure_ascii=False),
        "fields": [one for one in shown if one["name"] not in idle],
        "idle": [one for one in shown if one["name"] in idle],
        "files": [
            {
                "id": f"{id_of(place, key)}-file",
                "key": key.name,
                "label": key.label,
                "accept": _ACCEPTED.get(key.name, ""),
            }
            for key in keys
            if key.sort == "file" and not new
        ],
    }


def _is_of_kind(key: RecipeKey, place: Place, recipe: Recipe) -> bool:
    """Whether it is not a file that only another kind of sticker is made from."""
    sources = {kind.source_key for kind in KINDS.values() if kind.source_key}
    if place[0] != "rows" or not isinstance(place[-1], int) or key.path[-1] not in sources:
        return True
    return KINDS[recipe.rows[place[-1]].sticker].source_key == key.path[-1]


def _field(place: Place, key: RecipeKey, value: str, recipe: Recipe) -> dict[str, Any]:
    inner = ".".join(key.path[len(names_of(place)) :])
    usual = key.usual.strip('"')
    names = offered(key, recipe)
    field: dict[str, Any] = {
        "id": id_of(place, key),
        "name": inner,
        "label": key.label,
        "needed": key.needed and place[-1] == NEW,
        "value": value,
        "help": _plain(key.meaning),
        "hint": "",
        "options": [],
        "names": (),
    }
    if key.sort == "yes or no":
        words = {"true": "yes", "false": "no"}
        return field | {"kind": "choice", "options": _options(words, value, words.get(usual, ""))}
    if key.choices:
        words = {one: one for one in key.choices}
        return field | {"kind": "choice", "options": _options(words, value, usual)}
    if key.name in BOXES:
        ticked = set(value.split("\n")) if value else set(names)
        return field | {"kind": "boxes", "options": [(one, one, one in ticked) for one in names]}
    if key.sort in {"texts", "pairs"}:
        one = "one, or one a line" if key.alone else "one a line"
        hint = "two with a comma between, one pair a line" if key.sort == "pairs" else one
        rows = min(12, max(2, value.count("\n") + 1))
        return field | {"kind": "lines", "rows": rows, "hint": _hint(hint, usual, names)}
    return field | {"kind": "line", "hint": _hint("", usual, ()), "names": names}


def _options(words: Mapping[str, str], value: str, usual: str) -> list[tuple[str, str, bool]]:
    left_out = f"usual: {usual}" if usual else "not set"
    own = {} if value in words or not value else {value: value}
    choices = {"": left_out, **words, **own}
    return [(one, said, one == value) for one, said in choices.items()]


def _hint(how: str, usual: str, names: Sequence[str]) -> str:
    known = f"such as {', '.join(names)}" if names else ""
    left_out = f"left empty, it is {usual}" if usual else ""
    said = "; ".join(part for part in (how, known, left_out) if part)
    return f"{said[0].upper()}{said[1:]}." if said else ""


def _plain(meaning: str) -> str:
    """Return a sentence of the reference without its links and marks of code."""
    meaning = re.sub(r":? see \[[^\]]+\]\([^)]*\)", "", meaning)
    return re.sub(r"\[([^\]]+)\]\([^)]*\)", r"\1", meaning).replace("`", "")
