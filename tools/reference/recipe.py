"""docs/recipe.md: every key of a recipe with its type and default, from the recipe's own models."""

from __future__ import annotations

import types
import typing
from pathlib import Path
from typing import Any, Literal, Union

from annotated_types import Ge, Gt, Le
from pydantic import BaseModel, BeforeValidator
from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from kit.recipe import Paper, Recipe
from kit.recipe.fields import OneOf
from reference.recipe_meanings import MEANINGS, TABLES

_HEAD = """\
# A recipe, key by key

A recipe is a TOML text. `kitloom draft` writes one for a folder of artwork; this page says what
else it can hold. Nothing that it says of stickers is an absolute place on paper, so the same recipe
serves another pattern set, another planner and another paper.

Lengths are texts with a unit: `"40mm"`, `"4cm"`, `"1.6in"` or `"9pt"`; `"1,6 inch"` is read too.
Sizes are width by height: `"40mm x 52mm"` or `"40 x 52 mm"`. File names start from the recipe's
folder. A key that is not on this page is refused, with its line and the nearest key that is.

The smallest recipe that works:

```toml
[planner]
box = "40mm x 52mm"

[sheet]
paper = "Letter"

[[patterns]]
file = "tiles/pods.png"

[[rows]]
sticker = "full box"
count = 4
```
"""

# how values are written, by the function that reads them
_READ = {
    "_length": "length",
    "_repeat": 'length or "auto"',
    "_size": "width x height",
    "_box": "width x height",
    "_reading": "length, or width x height",
    "_paper": "paper",
    "_row_size": "width x height, or shares of the box",
    "_pins": "offset, or a list of them",
    "_held_offset": "offset",
    "_turns": "angle, or a list of them",
    "_scales": "number, or a list of them",
    "_move": "two lengths, x y",
    "_angle": "angle",
    "_share": "share",
}
_PLAIN = {
    str: "text",
    int: "whole number",
    float: "number",
    bool: "true or false",
    Path: "file name",
    Paper: "paper",
}
_UNITS = {"length": "mm", "angle": "deg", "angle, or a list of them": "deg"}


def page() -> str:
    """Return the page."""
    return "\n".join([_HEAD, *(_table(key, field) for key, field in _parts())])


def keys() -> list[str]:
    """Return every key that has a meaning, as ``table.key``."""
    found = []
    for key, field in _parts():
        for name, one in _model(field).model_fields.items():
            path = f"{key}.{one.alias or name}"
            found.append(path)
            inner = _model(one)
            if inner is not None:
                found += [f"{path}.{deep}" for deep in inner.model_fields]
    return found


def _parts() -> list[tuple[str, FieldInfo]]:
    return [(key, one) for key, one in Recipe.model_fields.items() if not one.exclude]


def _model(field: FieldInfo) -> Any:
    """The part of a recipe that a key holds, one or a list of them; None for a value."""
    inner = [field.annotation, *typing.get_args(field.annotation)]
    return next((x for x in inner if isinstance(x, type) and issubclass(x, BaseModel)), None)


def _table(key: str, field: FieldInfo) -> str:
    many = typing.get_origin(field.annotation) is tuple
    rows = [f"## {'[[' if many else '['}{key}{']]' if many else ']'}\n", f"{TABLES[key]}\n"]
    rows += ["| key | written as | default | meaning |", "|---|---|---|---|"]
    for name, one in _model(field).model_fields.items():
        path = f"{key}.{one.alias or name}"
        rows.append(_row(path, one.alias or name, one))
        if _model(one) is not None:
            rows += [
                _row(f"{path}.{deep}", f"{name}.{deep}", inner)
                for deep, inner in _model(one).model_fields.items()
            ]
    return "\n".join(rows) + "\n"


def _row(path: str, name: str, field: FieldInfo) -> str:
    written = _written(field)
    cells = (f"`{name}`", written, _default(path, field, written), MEANINGS[path])
    return f"| {' | '.join(cell.replace('|', ' or ') for cell in cells)} |"


def _written(field: FieldInfo) -> str:
    said = spoken(field.annotation, field.metadata)
    ends = [m for m in field.metadata if isinstance(m, Ge | Gt | Le)]
    least = next((m.ge for m in ends if isinstance(m, Ge)), None)
    most = next((m.le for m in ends if isinstance(m, Le)), None)
    if said in {"number", "whole number"} and least is not None and most is not None:
        return f"{said}, {least:g} to {most:g}"
    return said


def spoken(annotation: Any, metadata: typing.Sequence[Any] = ()) -> str:
    """Return how a value of this type is written in a recipe."""
    reader = next((one for one in metadata if isinstance(one, BeforeValidator)), None)
    if reader is not None and reader.func.__name__ in _READ:
        return _READ[reader.func.__name__]
    names = next((one.names for one in metadata if isinstance(one, OneOf)), None)
    if names is not None:
        return ", ".join(f'"{one}"' for one in names)
    origin, inner = typing.get_origin(annotation), typing.get_args(annotation)
    if origin is typing.Annotated:
        return spoken(inner[0], inner[1:])
    if origin is Literal:
        return ", ".join(f'"{one}"' for one in inner)
    if origin in {Union, types.UnionType}:
        words = [spoken(one) for one in inner if one is not type(None)]
        return " or ".join(dict.fromkeys(words))
    return _of_many(inner[0]) if origin is tuple else _plain(annotation)


def _of_many(annotation: Any) -> str:
    if _is_part(annotation):
        return "a list of tables"
    if typing.get_origin(annotation) is tuple:
        return "a list of lists" if ... in typing.get_args(annotation) else "a list of pairs"
    return "a list of texts"


def _plain(annotation: Any) -> str:
    return "a table" if _is_part(annotation) else _PLAIN[annotation]


def _is_part(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def _default(path: str, field: FieldInfo, written: str) -> str:
    value = field.default
    if path == "rows.count":
        return "needed, or one for each text"
    if value is PydanticUndefined:
        return "needed"
    if value is None or value in {(), ""} or _is_part(type(value)):
        return "–"
    if isinstance(value, bool):
        return f"`{str(value).lower()}`"
    if isinstance(value, str | tuple):
        text = value if isinstance(value, str) else " ".join(f"{one:g}mm" for one in value)
        return f'`"{text}"`'
    unit = _UNITS.get(written, "")
    return f'`"{value:g}{unit}"`' if unit else f"`{value:g}`"
