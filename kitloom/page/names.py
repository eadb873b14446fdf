"""What may a dropped file be called here? Names from outside become plain words, never paths."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection

_RESERVED = {"con", "prn", "aux", "nul", *(f"{d}{i}" for d in ("com", "lpt") for i in range(1, 10))}
LONGEST = 60


def plain_stem(given: str, fallback: str = "tile") -> str:
    """Return a name of letters, digits, spaces, "-" and "_", without folder, ending or dots."""
    last = given.replace("\\", "/").rsplit("/", 1)[-1]
    stem = unicodedata.normalize("NFC", last.rsplit(".", 1)[0] if "." in last[1:] else last)
    kept = "".join(c if c.isalnum() or c in " -_" else "-" for c in stem)
    plain = kept.strip(" -_")[:LONGEST].strip(" -_")
    if not plain or plain.lower() in _RESERVED:
        return fallback if not plain else f"{fallback}-{plain}"
    return plain


def unused(stem: str, taken: Collection[str]) -> str:
    """Return the stem, with a number behind it if it is taken (whatever its capitals)."""
    known = {one.casefold() for one in taken}
    if stem.casefold() not in known:
        return stem
    number = 2
    while f"{stem}-{number}".casefold() in known:
        number += 1
    return f"{stem}-{number}"
