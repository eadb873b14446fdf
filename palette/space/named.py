"""Which colour does a person mean who types "#3b5b7a", "moss" or "rebeccapurple"?

Input: a text. Output: sRGB "#rrggbb". A hex is itself; a name is looked for among the names that
the caller knows, such as a palette's own, and then among the 148 of CSS.

Source: the named colours of CSS Color Module Level 4, section 6.1, as Pillow holds them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType

from palette.errors import PaletteError
from palette.space.lab import hex_of, parse_hex


@cache
def css_names() -> Mapping[str, str]:
    """Return the named colours of CSS, hex by name."""
    from PIL import ImageColor

    return MappingProxyType(
        {name: hex_of(ImageColor.getrgb(name)[:3]) for name in ImageColor.colormap}
    )


def colour_of(text: str, own: Mapping[str, str] | None = None, *, where: str = "colour") -> str:
    """Return "#rrggbb" of a hex or a name; upper and lower case, spaces and hyphens are alike.

    Args:
        text: what was typed.
        own: hex by name, of colours that go before those of CSS.
        where: for the error.

    Raises:
        PaletteError: neither a hex nor a known name; it names the nearest known one.
    """
    if text.strip().startswith("#"):
        return hex_of(parse_hex(text, where=where))
    known = {_plain(name): (name, value) for name, value in css_names().items()}
    known |= {_plain(name): (name, value) for name, value in (own or {}).items()}
    if _plain(text) in known:
        return known[_plain(text)][1]
    try:
        return hex_of(parse_hex(text, where=where))
    except PaletteError:
        raise PaletteError(
            f'"{text}" is not a colour', where=where, remedy=_advice(text, known)
        ) from None


def named_colours(
    texts: Sequence[str], own: Mapping[str, str] | None = None, *, where: str = "colour"
) -> dict[str, str]:
    """Return "#rrggbb" of each text as ``colour_of`` does, with the name typed; "" for a hex.

    A name of the caller's own is spelt as the caller has it.

    Raises:
        PaletteError: neither a hex nor a known name.
    """
    spelt = {_plain(name): name for name in own or ()}
    found: dict[str, str] = {}
    for text in texts:
        colour = colour_of(text, own, where=where)
        named = not text.strip().startswith("#") and _plain(text) != colour[1:]
        found[colour] = found.get(colour) or (spelt.get(_plain(text), text.strip()) * named)
    return found


def suggestion(text: str, names: Mapping[str, str]) -> str:
    """Return 'Did you mean "moss" (#7a7c3e)?' of the nearest name, or nothing.

    Args:
        text: what was typed.
        names: hex by name.
    """
    return _nearest(text, {_plain(name): (name, value) for name, value in names.items()})


def _plain(name: str) -> str:
    return "".join(name.lower().replace("-", " ").split())


def _nearest(text: str, known: Mapping[str, tuple[str, str]]) -> str:
    close = get_close_matches(_plain(text), known, n=1)
    return 'Did you mean "{}" ({})?'.format(*known[close[0]]) if close else ""


def _advice(text: str, known: Mapping[str, tuple[str, str]]) -> str:
    shape = 'Write it like "#3b5b7a", or by its name in CSS or in the palette.'
    return _nearest(text, known) or shape
