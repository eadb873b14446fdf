"""How is an address of the page written? From a mapping, and escaped here alone.

In: a step or a kind of picture, what it is about, and the part of the page to go to. Out: the
address as plain text, which a template escapes for HTML as it does all text. Nothing else on the
page puts addresses together.
"""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import quote, urlencode


def step_address(slug: str, choices: Mapping[str, object] | None = None, part: str = "") -> str:
    """Return the address of a step.

    Args:
        slug: the step.
        choices: what is chosen in it, such as a tile; one that is empty is not named.
        part: the part of the page to go to.
    """
    return _address(f"/step/{slug}", choices, part)


def picture_address(kind: str, query: Mapping[str, object] | None = None) -> str:
    """Return the address of a picture, by what it shows; an empty key is not named."""
    return _address(f"/picture/{kind}", query)


def file_address(name: str, query: Mapping[str, object] | None = None) -> str:
    """Return the address of a file that was made."""
    return _address(f"/file/{quote(name)}", query)


def _address(path: str, query: Mapping[str, object] | None, part: str = "") -> str:
    named = {key: value for key, value in (query or {}).items() if value not in {"", None}}
    return path + (f"?{urlencode(named)}" if named else "") + (f"#{part}" if part else "")
