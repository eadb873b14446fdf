"""The palette as design tokens, and colours out of such a file.

Source: Design Tokens Community Group, Format Module and Color Module 2025.10 (final reports of
28 October 2025). A colour is an object with ``colorSpace`` and ``components``; the older form, a
hex string, is refused with a hint. Read are groups to any sensible depth, inherited ``$type``,
aliases in braces, and the colour spaces srgb, lab and lch (both D50, as in CSS); any other space is
taken by its ``hex`` where it has one. Not read: JSON pointers, group ``$extends``, transparency.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from typing import Any, NoReturn

from palette.choose import Palette, Swatch, share_words
from palette.errors import PaletteError
from palette.exchange.colour import NamedColour, check_count, decode, from_hex, from_lab
from palette.space import hex_of, parse_hex

_SCHEMA = "https://www.designtokens.org/schemas/2025.10/format.json"
_KEYS = {"colorSpace", "components", "alpha", "hex"}
_DEEPEST = 40
_ALIAS = re.compile(r"\{([^{}]+)\}")

_Token = tuple[str, Any]


def write(palette: Palette) -> bytes:
    """Return a token file with one group "palette", UTF-8 JSON."""
    group: dict[str, Any] = {"$type": "color"}
    for swatch in palette.swatches:
        group[re.sub(r"[${}.]", "", swatch.name)] = _token(swatch)
    document = {"$schema": _SCHEMA, "palette": group}
    return (json.dumps(document, indent=2, ensure_ascii=False) + "\n").encode()


def _token(swatch: Swatch) -> dict[str, Any]:
    components = [round(int(code) / 255, 5) for code in parse_hex(swatch.hex)]
    return {
        "$value": {
            "colorSpace": "srgb",
            "components": components,
            "alpha": 1,
            "hex": swatch.hex,
        },
        "$description": f"{swatch.role.value}, {share_words(swatch.share)} of the artwork",
    }


def read(data: bytes, where: str) -> tuple[NamedColour, ...]:
    """Return the colour tokens of a file, in the file's order.

    Raises:
        PaletteError: no JSON, no colours, or a token that breaks the format; names the token.
    """
    text = decode(data, where)
    try:
        document = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        place = f"line {error.lineno}" if isinstance(error, json.JSONDecodeError) else "something"
        raise PaletteError(
            "not a JSON file",
            where=where,
            why=f"{place} does not fit together",
            remedy="Export it again.",
        ) from error
    if not isinstance(document, dict):
        raise PaletteError(
            "not a token file", where=where, remedy="Its outermost part is an object in braces."
        )
    tokens = dict(_walk(document, (), None, where))
    colours = (_colour(path, value, tokens, where) for path, value in tokens.items())
    return check_count(colours, where)


def _no_constant(name: str) -> NoReturn:
    message = f"{name} is not a JSON number"
    raise ValueError(message)


def _walk(group: dict[str, Any], path: tuple[str, ...], kind: Any, where: str) -> Iterator[_Token]:
    """Yield the dotted path and value of each colour token below a group."""
    if len(path) > _DEEPEST:
        raise PaletteError(
            "groups are nested too deep", where=where, remedy=f"At most {_DEEPEST} levels are read."
        )
    kind = group.get("$type", kind)
    if "$value" in group:
        if kind == "color":
            yield ".".join(path), group["$value"]
        return
    for name, part in group.items():
        if isinstance(part, dict) and (not name.startswith("$") or name == "$root"):
            yield from _walk(part, (*path, name), kind, where)


def _colour(path: str, value: Any, tokens: dict[str, Any], where: str) -> NamedColour:
    seen = {path}
    while isinstance(value, str) and (alias := _ALIAS.fullmatch(value)):
        target = alias[1]
        if target in seen or target not in tokens:
            why = "it leads in a circle" if target in seen else "there is no such colour"
            raise _broken(path, where, f"its alias {value[:60]} leads nowhere", why)
        seen.add(target)
        value = tokens[target]
    name = path.rpartition(".")[2] or path
    if isinstance(value, str):
        raise PaletteError(
            f'"{path}" is given as the text "{value[:40]}"',
            where=where,
            why="since 2025.10 a colour is an object",
            remedy=f"Write it as {_as_object(value)}.",
        )
    return _from_value(name, path, _check(path, value, where), where)


def _as_object(text: str) -> str:
    """Return the text of today's form for an old hex colour, or an example."""
    try:
        rgb8 = parse_hex(text[:7])
    except PaletteError:
        rgb8 = parse_hex("#2663eb")
    components = [round(int(code) / 255, 4) for code in rgb8]
    return json.dumps({"colorSpace": "srgb", "components": components, "hex": hex_of(rgb8)})


def _check(path: str, value: Any, where: str) -> dict[str, Any]:
    """Return the value of a token if its shape is that of a colour."""
    if not isinstance(value, dict):
        raise _broken(path, where, "its value is not an object")
    if not {"colorSpace", "components"} <= set(value):
        raise _broken(path, where, "it lacks colorSpace or components")
    if unknown := sorted(set(value) - _KEYS):
        raise _broken(path, where, f'it has an unknown key "{unknown[0][:40]}"')
    hex_text = value.get("hex", "#000000")
    if not isinstance(hex_text, str) or not re.fullmatch(r"#[0-9a-fA-F]{6}", hex_text):
        raise _broken(path, where, "its hex is not # and six digits")
    alpha = value.get("alpha", 1)
    if not _is_number(alpha) or not 0 <= alpha <= 1:
        raise _broken(path, where, "its alpha is not between 0 and 1")
    if alpha != 1:
        raise _broken(path, where, "it is partly transparent", "paper is not")
    return value


def _from_value(name: str, path: str, value: dict[str, Any], where: str) -> NamedColour:
    space = value["colorSpace"]
    if space not in ("srgb", "lab", "lch"):
        if "hex" in value:
            return from_hex(name, value["hex"], where)
        raise _broken(path, where, f'the colour space "{str(space)[:40]}" is not read without hex')
    first, second, third = _components(path, value["components"], where)
    if space == "srgb":
        if not all(0 <= part <= 1 for part in (first, second, third)):
            raise _broken(path, where, "its srgb components are not between 0 and 1")
        return from_hex(name, hex_of([round(255 * part) for part in (first, second, third)]), where)
    if space == "lch":
        second, third = (
            second * math.cos(math.radians(third)),
            second * math.sin(math.radians(third)),
        )
    return from_lab(name, (first, second, third), where)


def _components(path: str, components: Any, where: str) -> tuple[float, float, float]:
    if not isinstance(components, list) or len(components) != 3:
        raise _broken(path, where, "it does not have three components")
    if not all(part == "none" or _is_number(part) for part in components):
        raise _broken(path, where, 'a component is neither a number nor "none"')
    first, second, third = (0.0 if part == "none" else float(part) for part in components)
    return first, second, third


def _is_number(value: Any) -> bool:
    plain = isinstance(value, (int, float)) and not isinstance(value, bool)
    return plain and abs(value) < 1e6


def _broken(path: str, where: str, what: str, why: str = "") -> PaletteError:
    return PaletteError(
        f'the colour "{path[:80]}" cannot be used: {what}',
        where=where,
        why=why,
        remedy='Write it like {"colorSpace": "srgb", "components": [0.15, 0.39, 0.92]}.',
    )
