"""Say a recipe's fault in one line: the file and line, the key, what is wrong and how to mend it.

In: where pydantic found a fault and its message. Out: a ``RecipeError``. Unknown keys are answered
with the nearest known one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from difflib import get_close_matches
from pathlib import Path
from tomllib import TOMLDecodeError
from types import MappingProxyType
from typing import Any, get_args

from pydantic import BaseModel

from kit.recipe.toml_lines import line_of
from kit.recipe_error import RecipeError

# pydantic's name for a fault: what we call it, and how to mend it; both may use its bounds
_PLAIN = {
    "missing": ("is missing", "Add it; kitloom draft writes a recipe with every key"),
    "finite_number": ("is not an ordinary number", "Write a number such as 4"),
    "bool_parsing": ("is neither true nor false", "Write true or false, without quotes"),
    "bool_type": ("is neither true nor false", "Write true or false, without quotes"),
    "dict_type": ("is not a table of keys", "Write key = value lines under its [header]"),
    "greater_than": ("must be more than {gt:g}", "Write a larger value"),
    "greater_than_equal": ("is less than {ge:g}", "Write at least {ge:g}"),
    "less_than_equal": ("is more than {le:g}", "Write at most {le:g}; check its unit"),
    "too_short": ("is empty", "Give at least one"),
    "too_long": ("holds too many", "Give at most {max_length}"),
    "string_too_long": ("is too long a text", "Use at most {max_length} characters"),
    "int_parsing": ("is not a whole number", "Write a number such as 4"),
    "int_from_float": ("is not a whole number", "Write a number such as 4"),
    "int_type": ("is not a whole number", "Write a number such as 4"),
    "float_type": ("is not a number", "Write a number such as 300"),
    "float_parsing": ("is not a number", "Write a number such as 300"),
    "string_type": ("is not a text in quotes", 'Write it like "this"'),
    "path_type": ("is not a file name in quotes", 'Write it like "tiles/pods.png"'),
    "string_pattern_mismatch": ('is not a colour like "#3b5b7a"', "Write six hex digits after #"),
    "literal_error": ("is not one of {expected}", "Write one of them"),
    "tuple_type": ("is not a list", 'Write it like ["one", "two"]'),
    "model_type": ("is not a table of keys", "Write key = value lines under its [header]"),
}


def recipe_error(
    text: str,
    path: Path,
    loc: Sequence[str | int],
    message: str,
    *,
    kind: str = "",
    bounds: Mapping[str, Any] = MappingProxyType({}),
    model: type[BaseModel] | None = None,
) -> RecipeError:
    """Return the error for one fault.

    Args:
        text: the whole recipe, to quote from.
        path: the recipe's file.
        loc: path of keys and indices to the value at fault.
        message: what pydantic or a validator said.
        kind: pydantic's name for the fault.
        bounds: pydantic's context of the fault: the limits that were passed.
        model: the recipe's model, to suggest known keys from.
    """
    key_path = key_of(loc)
    line = line_of(text, key_path)
    where = f"{path}, line {line}" if line else str(path)
    key = ".".join(f"{part + 1}" if isinstance(part, int) else str(part) for part in key_path)
    quoted = text.splitlines()[line - 1].strip() if line else ""
    why = f"line: {quoted}" if quoted else ""
    if kind == "extra_forbidden":
        return RecipeError(
            f'there is no key "{key}"', where=where, why=why, remedy=_suggest(model, key_path)
        )
    what, remedy = _sentence(kind, message, bounds)
    header = re.fullmatch(r"\[\s*([A-Za-z_-]+)\s*\]", quoted.split("#")[0].strip())
    if kind == "tuple_type" and header:
        what, remedy = "has one pair of brackets", f"Write [[{header[1]}]], once for each"
    plain = kind not in {"", "value_error"} or what.startswith(("is ", "has no effect"))
    subject = f"{key} {what}" if key and plain else f"{key}: {what}" if key else what
    ending = "" if remedy.endswith("?") else "."
    return RecipeError(subject, where=where, why=why, remedy=f"{remedy}{ending}")


_BACKSLASH = "a backslash is where none can be"
_CURLY = "“”„‟«»"


def not_toml(text: str, path: Path, error: ValueError) -> RecipeError:
    """Return the error for a text that is not TOML, with the line and what is likely wrong there.

    Args:
        text: the whole recipe.
        path: the recipe's file.
        error: what the parser said; it ends with the place.
    """
    place = re.search(r"\(at line (\d+), column \d+\)$", str(error))
    line = text.splitlines()[int(place[1]) - 1].strip() if place else ""
    where = f"{path}, line {place[1]}" if place else str(path)
    bare = re.match(r"([A-Za-z_]+)\s*=\s*([^\s\"'\[{#][^\"'#]*)(?=#|$)", line)
    remedy = "Compare that line with a recipe made by kitloom draft."
    if bare:
        remedy = f'Put words and lengths in quotation marks: {bare[1]} = "{bare[2].strip()}".'
    if any(mark in line for mark in _CURLY):
        straight = line.translate(dict.fromkeys(map(ord, _CURLY), '"'))
        remedy = f"Write straight quotation marks: {straight}"
    elif line.count('"') % 2:
        remedy = "A quotation mark is missing."
    why = _toml_fault(str(error), parsed=bool(place) or isinstance(error, TOMLDecodeError))
    if re.search(r'\\"\s*(#|$)', line):  # "C:\tiles\", whose end the last backslash hides
        why = _BACKSLASH
    if why == _BACKSLASH:
        remedy = "Write / in place of each backslash: " + line.replace("\\", "/")
    if "twice" in why:
        remedy = "Take one of them out."
    return RecipeError(
        "is not valid TOML",
        where=where,
        why="; ".join(part for part in (why, f"line: {line}" * bool(line)) if part),
        remedy=remedy,
    )


def _toml_fault(said: str, *, parsed: bool) -> str:
    """Return a parser's fault in plain words; "" where the line alone says as much."""
    if not parsed:  # our own words
        return said
    known = {
        "overwrite": "a key is there twice",
        "declare": "a [header] is there twice",
        "(at end of document)": "something is left open at the end",
        "escape": _BACKSLASH,
        "hex value": _BACKSLASH,  # "C:\Users" begins a character's number
    }
    return next((plain for mark, plain in known.items() if mark in said.lower()), "")


def near(word: str, known: Iterable[str]) -> str:
    """Return 'Did you mean "…"? ' for a word that is nearly a known one, otherwise nothing."""
    by_letters = {re.sub(r"[\s_-]", "", one).lower(): one for one in known}
    plain = re.sub(r"[\s_-]", "", word).lower()
    close = get_close_matches(plain, list(by_letters), n=1)
    return f'Did you mean "{by_letters[close[0]]}"? ' if close else ""


def key_of(loc: Sequence[str | int]) -> tuple[str | int, ...]:
    """Return the path of a fault as the recipe shows it, without pydantic's union branches."""
    return tuple(part for part in loc if not _is_branch(part))


def _is_branch(part: str | int) -> bool:
    """Whether this is pydantic's name for one branch of a union, which no recipe shows."""
    return isinstance(part, str) and (
        part.startswith(("constrained-", "literal[", "tuple[", "function-", "nullable", "list["))
        or part in {"str", "int", "float", "is-instance[Path]"}
    )


def _sentence(kind: str, message: str, bounds: Mapping[str, Any]) -> tuple[str, str]:
    """Split a message into what is wrong and how to mend it."""
    if kind in _PLAIN:
        what, remedy = _PLAIN[kind]
        return what.format(**bounds), remedy.format(**bounds)
    if kind not in {"", "value_error"}:  # what no key of ours is known to give
        return "cannot be here", "Look it up in docs/recipe.md"
    what, _, remedy = message.removeprefix("Value error, ").partition(". ")
    return what, remedy.rstrip(".") or "Change that line"


def _suggest(model: type[BaseModel] | None, key_path: Sequence[str | int]) -> str:
    known = _keys_at(model, key_path[:-1]) if model else []
    close = get_close_matches(str(key_path[-1]), known, n=1)
    if close:
        return f'Did you mean "{close[0]}"?'
    return f"Known here: {', '.join(known)}." if known else "Take it out."


def _keys_at(model: type[BaseModel], key_path: Sequence[str | int]) -> list[str]:
    """The keys that may be in the table at ``key_path``."""
    part: type[BaseModel] = model
    for name in key_path:
        if isinstance(name, int):
            continue
        field = part.model_fields.get(str(name))
        inner = part_in(field.annotation) if field else None
        if inner is None:
            return []
        part = inner
    return [name for name, field in part.model_fields.items() if not field.exclude]


def part_in(annotation: Any) -> type[BaseModel] | None:
    """Return the part that a key of this type holds, one or a list of them; None for a value."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((part for one in get_args(annotation) if (part := part_in(one))), None)
