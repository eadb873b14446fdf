"""What is a file called? Names from outside become plain words, never paths; places read short."""

from __future__ import annotations

import shlex
import unicodedata
from collections.abc import Collection
from pathlib import Path

from kitloom.system import shell_knows_home

_RESERVED = {"con", "prn", "aux", "nul", *(f"{d}{i}" for d in ("com", "lpt") for i in range(1, 10))}
LONGEST = 60
ALLOWED = " -_()&!+"  # beside letters and digits: no system and no address reads anything into them


def plain_stem(given: str, fallback: str = "tile") -> str:
    """Return a name of letters, digits, spaces and ``ALLOWED``, without folder, ending or dots."""
    last = given.replace("\\", "/").rsplit("/", 1)[-1]
    stem = unicodedata.normalize("NFC", last.rsplit(".", 1)[0] if "." in last[1:] else last)
    letters = "".join(c if c.isalnum() or c in ALLOWED else "-" for c in stem)
    plain = letters.strip(" -_")[:LONGEST].strip(" -_")
    if not plain or plain.lower() in _RESERVED:
        return fallback if not plain else f"{fallback}-{plain}"
    return plain


def unused_stem(stem: str, taken: Collection[str]) -> str:
    """Return the stem, with a number behind it if it is taken (whatever its capitals)."""
    known = {one.casefold() for one in taken}
    if stem.casefold() not in known:
        return stem
    number = 2
    while f"{stem}-{number}".casefold() in known:
        number += 1
    return f"{stem}-{number}"


def place_words(place: Path) -> str:
    """Return a place as a person says it: in the own home folder, it begins with "~"."""
    within = _within_home(place)
    return str(place) if within is None else f"~/{within}"


def parse_place(place: Path) -> str:
    """Return a place as it is typed in a terminal."""
    within = _within_home(place)
    return shlex.quote(str(place)) if within is None else f"~/{shlex.quote(within)}"


def _within_home(place: Path) -> str | None:
    """The way from the home folder; None where it leads elsewhere, or the shell knows no "~"."""
    if not shell_knows_home():
        return None
    home = Path("~").expanduser()
    inside = place.is_relative_to(home) and place != home and home != Path(home.anchor)
    return place.relative_to(home).as_posix() if inside else None
