"""The errors a maker can cause and mend, as values with four parts.

They are in ``palette`` because it is the package that every other one may import::

    KitloomError              what, where, why, remedy
    ├── ArtworkError          (patterns.artwork_error) an image that cannot be used
    ├── ProfileError          a printer profile or chart that cannot be used
    ├── PaletteError          a palette, colour or colour-exchange file that cannot be used
    └── RecipeError           (kit.recipe_error) a recipe or output folder that cannot be used

Faults *of the artwork* (a seam, a dull colour) are not errors: they are measurements, which the
front door turns into findings.
"""

from __future__ import annotations

import errno
import re
import unicodedata
from typing import Any

MOST_CHARACTERS = 300  # of a message
MOST_OF_A_NAME = 60  # of these, where the message is too long otherwise
_BIDI = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")  # turn text round
_UNSHOWN = {"Cc", "Cs", "Zl", "Zp"}  # control, half a character, line and paragraph ends


class KitloomError(Exception):
    """An input that cannot be used, said in one line.

    Args:
        what: what is wrong, in a few words.
        where: the file, key or option it is about.
        why: why that stops the work; empty where ``what`` says it.
        remedy: what the maker can do about it.
    """

    def __init__(self, what: str, *, where: str, why: str = "", remedy: str) -> None:
        self.what = what
        self.where = where
        self.why = why
        self.remedy = remedy
        self.also: tuple[KitloomError, ...] = ()  # further faults of the same input
        super().__init__(self.line())

    def __reduce__(self) -> tuple[Any, ...]:
        """Let the error cross to another process as what it is, with all its parts."""
        parts = {"where": self.where, "why": self.why, "remedy": self.remedy}
        return _rebuilt, (type(self), self.what, parts, self.also)

    def line(self) -> str:
        """Return the whole error as one line of ``MOST_CHARACTERS`` at most.

        It says where, what, why and how to mend. Too long a line has its names shortened, then
        what it quotes, then whatever is longest.
        """
        parts = [shown(" ".join(p.split())) for p in (self.where, self.what, self.why, self.remedy)]
        if len(_joined(parts)) > MOST_CHARACTERS:
            where, _, line = parts[0].rpartition(", line ")
            parts[0] = short(where, MOST_OF_A_NAME) + f", line {line}" if where else short(line)
            parts[1:] = [with_short_names(part) for part in parts[1:]]
            parts[2] = short(parts[2])
        while (over := len(_joined(parts)) - MOST_CHARACTERS) > 0:
            longest = max(range(len(parts)), key=lambda i: len(parts[i]))
            parts[longest] = short(parts[longest], len(parts[longest]) - over)
        return _joined(parts)


def _joined(parts: list[str]) -> str:
    where, what, why, remedy = parts
    return f"{where}: {what}{f' ({why})' if why else ''}. {remedy}"


def short(text: str, most: int = MOST_OF_A_NAME) -> str:
    """Return a text with its middle left out where it is longer than that many characters."""
    if len(text) <= most:
        return text
    head = most // 2
    return f"{text[:head]}…{text[len(text) - (most - head - 1) :]}"


def with_short_names(text: str) -> str:
    """Return a sentence in which whatever is quoted, and every word, is of a sensible length."""
    quoted = re.sub(r"(?<=\")[^\"]+(?=\")|(?<=')[^']+(?=')", lambda one: short(one[0]), text)
    return " ".join(short(word) for word in quoted.split(" "))


def short_line(text: str) -> str:
    """Return a message of ``MOST_CHARACTERS`` at most, its names shortened where it is too long."""
    if len(text) <= MOST_CHARACTERS:
        return text
    return short(with_short_names(text), MOST_CHARACTERS)


def _rebuilt(
    kind: type[KitloomError], what: str, parts: dict[str, str], also: tuple[KitloomError, ...]
) -> KitloomError:
    error = kind(what, **parts)
    error.also = also
    return error


class ProfileError(KitloomError):
    """A printer profile or a measured chart cannot be used."""


class PaletteError(KitloomError):
    """A palette, a colour or a colour-exchange file cannot be used."""


def shown(text: str) -> str:
    r"""Return a text from a stranger's file or file name so that a terminal can show it.

    Control characters, which could steer the terminal, marks that turn the direction of writing,
    and what is not a character at all are written as escapes such as ``\x1b``.
    """
    if text.isprintable():
        return text
    return "".join(_escape(c) if is_unshown(c) else c for c in text)


def is_unshown(character: str) -> bool:
    """Whether ``shown`` writes this character as an escape."""
    return unicodedata.category(character) in _UNSHOWN or character in _BIDI


def _escape(character: str) -> str:
    # half a character is how Python keeps a byte of a file name that is not UTF-8
    code = ord(character)
    byte = code - 0xDC00 if 0xDC80 <= code <= 0xDCFF else code
    return f"\\x{byte:02x}" if byte < 0x100 else f"\\u{byte:04x}"


def reason_of(error: OSError) -> str:
    """Return why the system cannot read or write a file, in plain words where they are known."""
    return _REASONS.get(error.errno or 0) or error.strerror or "the system refuses"


_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is used up",
    errno.EFBIG: "the file would be larger than is allowed here",
    errno.EACCES: "its permissions do not allow it",
    errno.EPERM: "the system does not allow it",
    errno.EROFS: "it can only be read from",
    errno.ENOTDIR: "a part of its path is a file, not a folder",
    errno.ENAMETOOLONG: "its name is too long",
    errno.ELOOP: "a link in its path leads to itself",
    errno.EIO: "the disk does not answer as it should",
}
