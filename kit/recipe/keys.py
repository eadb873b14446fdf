"""Every key of a recipe described: what it is called, how it is written, and what it means.

In: the recipe's own models and ``kit.recipe.meanings``. Out: a ``RecipeKey`` for each key, in their
order. The reference and the page's forms are made from these, so that a new key is in both without
further work. Not done here: reading or writing values.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, Literal, Union

from annotated_types import Ge, Gt, Le
from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from kit.kinds import KINDS
from kit.letters import DAYS
from kit.recipe.fields import OneOf, Written
from kit.recipe.meanings import LABELS, MEANINGS
from kit.recipe.messages import part_in
from kit.recipe.model import Recipe
from kit.recipe.paper import Paper
from patterns.coordinates import COORDINATE_KINDS

Sort = Literal[
    "text", "texts", "number", "yes or no", "choice", "file", "pairs", "lists", "table", "tables"
]
_PLAIN = {
    str: "text",
    int: "whole number",
    float: "number",
    bool: "true or false",
    Path: "file name",
    Paper: "paper",
}
# names that only a validator knows: the kinds are listed with what they need
_NAMES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "rows.sticker": tuple(KINDS),
        "rows.week": tuple(DAYS),
        "coordinates.kind": tuple(COORDINATE_KINDS),
    }
)


@dataclass(frozen=True, slots=True)
class RecipeKey:
    """One key of a recipe.

    Attributes:
        path: where it stands, such as ("sheet", "margin", "top"); lists of tables have no place.
        label: what a form calls it.
        sort: what its value is; "texts" are a list, "tables" a list of tables.
        alone: whether one of a list may stand without the list.
        unit: what a bare number is meant in: "mm", "deg" or "".
        counted: whether a number may stand as one, without quotes.
        written: how it is written, in words.
        choices: all the values that it can have; empty where they are not to be listed.
        usual: what it is where it is left out, as TOML; empty where that is nothing.
        needed: whether it cannot be left out.
        meaning: a sentence, with links and code as Markdown.
    """

    path: tuple[str, ...]
    label: str
    sort: Sort
    alone: bool
    unit: str
    counted: bool
    written: str
    choices: tuple[str, ...]
    usual: str
    needed: bool
    meaning: str

    @property
    def name(self) -> str:
        """Its path as one word, "sheet.margin.top"."""
        return ".".join(self.path)


@cache
def recipe_keys() -> tuple[RecipeKey, ...]:
    """Return every key in the order of the recipe's parts, one that holds keys before these."""
    found: list[RecipeKey] = []
    for table, field in Recipe.model_fields.items():
        if not field.exclude:
            found += _keys_of((table,), part_in(field.annotation))
    return tuple(found)


@cache
def recipe_tables() -> Mapping[str, bool]:
    """Return every table's name, and whether it is one of a list of such."""
    fields = {name: one for name, one in Recipe.model_fields.items() if not one.exclude}
    return MappingProxyType(
        {name: typing.get_origin(one.annotation) is tuple for name, one in fields.items()}
    )


def _keys_of(path: tuple[str, ...], model: Any) -> list[RecipeKey]:
    found = []
    for name, field in model.model_fields.items():
        place = (*path, field.alias or name)
        found.append(_key(place, field))
        inner = part_in(field.annotation)
        found += _keys_of(place, inner) if inner is not None else []
    return found


def _key(path: tuple[str, ...], field: FieldInfo) -> RecipeKey:
    name = ".".join(path)
    written = _written_as(field.metadata) or _written_inside(field.annotation)
    unit = written.unit if written else ""
    return RecipeKey(
        path=path,
        label=LABELS.get(name) or ", ".join(path[1:]).replace("_", " ").capitalize(),
        sort=_sort(field.annotation, field.metadata),
        alone=_may_stand_alone(field.annotation),
        unit=unit,
        counted=bool({int, float} & set(_leaves(field.annotation))) and unit != "mm",
        written=_written(field),
        choices=_choices(field.annotation, field.metadata) or _NAMES.get(name, ()),
        usual=_usual(field, unit),
        needed=field.default is PydanticUndefined,
        meaning=MEANINGS.get(name, ""),  # the check of the docs fails for one that is missing
    )


def _is_part(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def _kinds(annotation: Any) -> list[Any]:
    """The types that a value may have, None aside."""
    if typing.get_origin(annotation) is typing.Annotated:
        return _kinds(typing.get_args(annotation)[0])
    if typing.get_origin(annotation) in {Union, types.UnionType}:
        return [kind for one in typing.get_args(annotation) for kind in _kinds(one)]
    return [] if annotation is type(None) else [annotation]


def _leaves(annotation: Any) -> list[Any]:
    """The types of a value, or of what a list holds."""
    leaves = [
        _kinds(typing.get_args(one)[0]) if _is_list(one) else [one] for one in _kinds(annotation)
    ]
    return [one for some in leaves for one in some]


def _sort(annotation: Any, metadata: Sequence[Any]) -> Sort:
    if part_in(annotation) is not None:
        return "table" if _is_part(annotation) else "tables"
    if _choices(annotation, metadata):
        return "choice"
    written = bool(_written_inside(annotation) or _written_as(metadata))
    kinds = _kinds(annotation)
    if kinds in ([bool], [Path]):
        return "yes or no" if kinds == [bool] else "file"
    many = next((typing.get_args(one)[0] for one in kinds if _is_list(one)), None)
    if many is not None:
        return "texts" if written else _sort_of_list(many)
    return "number" if not written and {int, float} & set(kinds) else "text"


def _sort_of_list(item: Any) -> Sort:
    inner = next((one for one in _kinds(item) if typing.get_origin(one) is tuple), None)
    if inner is None:
        return "texts"
    return "lists" if _is_list(inner) else "pairs"


def _is_list(annotation: Any) -> bool:
    return typing.get_origin(annotation) is tuple and ... in typing.get_args(annotation)


def _may_stand_alone(annotation: Any) -> bool:
    kinds = _kinds(annotation)
    many = sum(_is_list(one) for one in kinds)
    return 0 < many < len(kinds)


def _written_as(metadata: Sequence[Any]) -> Written | None:
    return next((one for one in metadata if isinstance(one, Written)), None)


def _written_inside(annotation: Any) -> Written | None:
    """How one of the types that a value may have is written."""
    if typing.get_origin(annotation) is typing.Annotated:
        return _written_as(typing.get_args(annotation)[1:])
    if typing.get_origin(annotation) in {Union, types.UnionType}:
        inside = (_written_inside(one) for one in typing.get_args(annotation))
        return next((one for one in inside if one), None)
    return None


def _choices(annotation: Any, metadata: Sequence[Any]) -> tuple[str, ...]:
    """The values of a key that has nothing but these."""
    names = next((one.names for one in metadata if isinstance(one, OneOf)), None)
    if names is not None:
        return tuple(names)
    kinds = _kinds(annotation)
    if len(kinds) == 1 and typing.get_origin(kinds[0]) is Literal:
        return typing.get_args(kinds[0])
    return ()


def _written(field: FieldInfo) -> str:
    said = _spoken(field.annotation, field.metadata)
    ends = [m for m in field.metadata if isinstance(m, Ge | Gt | Le)]
    least = next((m.ge for m in ends if isinstance(m, Ge)), None)
    most = next((m.le for m in ends if isinstance(m, Le)), None)
    if said in {"number", "whole number"} and least is not None and most is not None:
        return f"{said}, {least:g} to {most:g}"
    return said


def _spoken(annotation: Any, metadata: Sequence[Any] = ()) -> str:
    """Return how a value of this type is written in a recipe."""
    written = _written_as(metadata)
    if written is not None:
        return written.words
    names = next((one.names for one in metadata if isinstance(one, OneOf)), None)
    origin, inner = typing.get_origin(annotation), typing.get_args(annotation)
    if names is not None or origin is Literal:
        return ", ".join(f'"{one}"' for one in names or inner)
    if origin is typing.Annotated:
        return _spoken(inner[0], inner[1:])
    if origin in {Union, types.UnionType}:
        words = [_spoken(one) for one in inner if one is not type(None)]
        return " or ".join(dict.fromkeys(words))
    if origin is tuple:
        return _of_many(inner[0])
    return "a table" if _is_part(annotation) else _PLAIN[annotation]


def _of_many(annotation: Any) -> str:
    if _is_part(annotation):
        return "a list of tables"
    if typing.get_origin(annotation) is tuple:
        return "a list of lists" if ... in typing.get_args(annotation) else "a list of pairs"
    return "a list of texts"


def _usual(field: FieldInfo, unit: str) -> str:
    value = field.default
    if value is PydanticUndefined or value is None or value in {(), ""} or _is_part(type(value)):
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str | tuple):
        text = value if isinstance(value, str) else " ".join(f"{one:g}{unit}" for one in value)
        return f'"{text}"'
    return f'"{value:g}{unit}"' if unit else f"{value:g}"
