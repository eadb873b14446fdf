"""What can be set on the page beside its own controls: every other key of a recipe.

In: the description of the recipe's keys (``kit.recipe.keys``), and a recipe. Out: the keys of one
of its parts as settings, their values as a form shows them, and a form's words as the values that a
recipe writes. A new key is here without further work; where the page has it by hand, a line in
``BY_HAND`` keeps it from being there twice.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from kit.kinds import KINDS
from kit.letters import WORD_LISTS
from kit.recipe import ANY_FILL, Recipe, RecipeKey, recipe_keys, recipe_tables
from kitloom.page.state.recipe_keys import value_at
from patterns.units import LengthError, parse_size

Place = tuple[str | int, ...]  # of a part of the recipe: ("sheet",), ("rows", 0), ("marks", "new")
ANY = "all"  # what the names of the forms and fields begin with
NEW = "new"  # stands for the number of an entry that is to be added

# keys that the page has a control of its own for -> the edit that it makes
BY_HAND: Mapping[str, str] = MappingProxyType(
    {
        "kit.name": "name",
        "planner.box": "box",
        "sheet.paper": "paper",
        "sheet.gap": "sheet",
        "sheet.layout": "sheet",
        "sheet.bleed": "sheet",
        "sheet.corner_radius": "sheet",
        "sheet.registration.shift": "registration",
        "press.surface": "surface",
        "palette.colours": "colours",
        "fills.variety": "variety",
        "patterns.repeat": "repeat",
        "patterns.lattice": "lattice",
        "patterns.looked": "looked",
        "rows.sticker": "row",
        "rows.count": "row",
    }
)
# keys that no form asks for -> why not, and what reaches them
NOT_ASKED: Mapping[str, str] = MappingProxyType(
    {
        "kit.format": "only one is known, and another would be refused",
        "patterns.file": "a tile is dropped, exchanged or taken out as a whole",
        "press.profile": "a profile is given as a file, and goes when a surface is chosen",
        "sheet.top_up_held": "the page's own record; dealing anew lets go of it",
        "rows.held": "the page's own record of each sticker; dealing anew lets go of it",
    }
)
# the step that a table's form is on; all others are on the kit's
STEP_OF: Mapping[str, str] = MappingProxyType(
    {"patterns": "tiles", "palette": "palette", "coordinates": "palette", "press": "print"}
)
KIT = "kit"
_WITH_A_PART = ("rows", "patterns")  # their forms are at each row and at each tile
_TITLES = {
    "press": "print",
    "fills": "windows",
    "letters": "words",
    "sheet.keep_out": "bands to keep free",
}
_ONE = {
    "sheet.keep_out": "band to keep free",
    "marks": "mark",
    "coordinates": "coordinate",
    "rows": "row",
    "patterns": "tile",
}


def names_of(place: Place) -> tuple[str, ...]:
    """Return a place without the numbers of entries."""
    return tuple(step for step in place if isinstance(step, str) and step != NEW)


def settings_of(place: Place) -> tuple[RecipeKey, ...]:
    """Return the keys that the form of a part of the recipe asks for."""
    names = names_of(place)
    deep = len(names)
    apart = [key.path for key in recipe_keys() if key.sort == "tables" and len(key.path) > deep]
    return tuple(
        key
        for key in recipe_keys()
        if key.path[:deep] == names
        and len(key.path) > deep
        and key.sort not in {"table", "tables"}
        and not _is_elsewhere(key)
        and not any(key.path[: len(path)] == path for path in apart)
    )


def tables_on(step: str) -> list[str]:
    """Return the tables, such as "sheet", whose forms are on a step."""
    return [
        name
        for name, many in recipe_tables().items()
        if not many and STEP_OF.get(name, KIT) == step and settings_of((name,))
    ]


def lists_on(step: str) -> list[tuple[str, ...]]:
    """Return the paths of the lists of tables to which a step adds entries."""
    tables = [(name,) for name, many in recipe_tables().items() if many]
    inside = [key.path for key in recipe_keys() if key.sort == "tables" and not _is_elsewhere(key)]
    return [
        path
        for path in (*tables, *inside)
        if STEP_OF.get(path[0], KIT) == step and path[0] not in _WITH_A_PART
    ]


def _is_elsewhere(key: RecipeKey) -> bool:
    paths = (".".join(key.path[: depth + 1]) for depth in range(len(key.path)))
    return any(path in BY_HAND or path in NOT_ASKED for path in paths)


def id_of(place: Place, key: RecipeKey | None = None) -> str:
    """Return what a part's form, or one of its fields, is called on the page."""
    inner = key.path[len(names_of(place)) :] if key else ()
    return "-".join([ANY, *map(str, place), *inner])


def place_of(said: str) -> Place | None:
    """Return the place that a form names, such as "rows-0"; None where there is no such part."""
    steps = said.split("-")
    place: Place = tuple(int(step) if step.isascii() and step.isdigit() else step for step in steps)
    names = names_of(place)
    many: set[tuple[str, ...]] = {(name,) for name, is_many in recipe_tables().items() if is_many}
    many |= {key.path for key in recipe_keys() if key.sort == "tables"}
    ends = isinstance(place[-1], int) or place[-1] == NEW
    single = {(name,) for name, is_many in recipe_tables().items() if not is_many}
    known = names in (many if ends else single)
    straight = place[:-1] == names if ends else place == names
    return place if known and straight and len(said) < 200 else None


def title_of(place: Place) -> str:
    """Return what a part is called: "row 2", "sheet"."""
    name = ".".join(names_of(place))
    last = place[-1]
    if isinstance(last, int):
        return f"{_ONE.get(name, name)} {last + 1}"
    return f"new {_ONE.get(name, name)}" if last == NEW else _TITLES.get(name, name)


def title_of_list(path: Sequence[str]) -> str:
    """Return what a list of parts is called: "marks"."""
    name = ".".join(path)
    return _TITLES.get(name, name)


def path_of(place: Place, key: RecipeKey) -> tuple[str | int, ...]:
    """Return where a setting of a part is in the recipe's text."""
    return (*place, *key.path[len(names_of(place)) :])


def shown_value(tables: Any, place: Place, key: RecipeKey, recipe: Recipe) -> str:
    """Return a setting's value as a form shows it; empty where the recipe leaves it out.

    Args:
        tables: the recipe's tables as they are written.
        place: the part.
        key: one of its settings.
        recipe: the recipe, which says what one value for a whole table means.
    """
    path = path_of(place, key)
    holder = value_at(tables, path[:-1])
    if len(path) > len(place) + 1 and holder is not None and not isinstance(holder, Mapping):
        return _read_value(recipe, path, key)
    return text_of(key, value_at(tables, path))


def _read_value(recipe: Any, path: Sequence[str | int], key: RecipeKey) -> str:
    for step in path:
        recipe = recipe[step] if isinstance(step, int) else getattr(recipe, step)
    return f"{recipe:g}{key.unit}"


def text_of(key: RecipeKey, value: object) -> str:
    """Return a value of a recipe as a form shows it: a list has a line for each."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        if key.sort == "pairs":
            return "\n".join(", ".join(map(str, one)) for one in value)
        return "\n".join(_line(one) for one in value)
    return _line(value) if key.sort == "texts" else str(value)


def _line(value: object) -> str:
    return str(value).replace("\n", "\\n")


def value_of(key: RecipeKey, typed: str) -> object:
    """Return the value that a recipe writes for what was typed; None where nothing was.

    Whether it is one that the key can have, the recipe's own check says.
    """
    typed = typed.replace("\r\n", "\n")
    if not typed.strip():
        return None
    if key.sort in {"texts", "pairs"}:
        lines = [line.strip() for line in typed.strip().split("\n")]
        if key.sort == "pairs":
            return [[one.strip() for one in line.split(",")] for line in lines if line]
        values = [_value(key, line.replace("\\n", "\n")) for line in lines]
        return values[0] if key.alone and len(values) == 1 else values
    if key.sort == "yes or no":
        return {"true": True, "false": False}.get(typed.strip(), typed.strip())
    return _value(key, typed.strip())


def _value(key: RecipeKey, typed: str) -> object:
    point = re.sub(r"^([+-]?\d+),(\d+)$", r"\1.\2", typed)
    bare = re.fullmatch(r"[+-]?(\d{1,9}(\.\d{0,9})?|\.\d{1,9})", point)
    if key.counted:
        return (float(point) if "." in point else int(point)) if bare else typed
    if key.unit != "mm":
        return typed
    if bare:
        return f"{point}mm"
    try:  # two bare numbers are millimetres, as they are in the page's own fields
        parse_size(typed, bare="mm")
        return typed if re.search(r"[a-z\"]", re.sub(r"[xX×]", "", typed)) else f"{typed} mm"
    except LengthError:
        return typed


def offered(key: RecipeKey, recipe: Recipe) -> tuple[str, ...]:
    """Return words that a key knows among others; some are names in this recipe."""
    names = recipe.fill_names
    known: dict[str, tuple[str, ...]] = {
        "sheet.top_up": tuple(kind.name for kind in KINDS.values() if not kind.source_key),
        "palette.tiles": tuple(part.label for part in recipe.patterns),
        "coordinates.from": tuple(part.label for part in recipe.patterns),
        "rows.fill": (*ANY_FILL, *names),
        "rows.panel": ("white", "ruled", "none", *ANY_FILL, *names),
        "rows.frame": names,
        "rows.band": names,
        "rows.at": ("auto",),
        "rows.offset": ("auto", "centred"),
        "rows.text": tuple(WORD_LISTS),
    }
    return known.get(key.name, ())


# lists whose order means nothing: a box to tick for each name that there is
BOXES = frozenset({"palette.tiles"})
# settings of a row that take a colour among other words: there the names of the palette are known
COLOURED = frozenset({"rows.fill", "rows.panel", "rows.frame", "rows.band", "rows.border"})
