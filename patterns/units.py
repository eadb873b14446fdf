"""Lengths with their unit: everything inside is millimetres, everything outside names its unit.

1 inch is exactly 25.4 mm (international yard and pound agreement, 1959); 1 point is 1/72 inch
(PostScript and PDF, ISO 32000-1).
"""

from __future__ import annotations

import re

from palette.errors import KitloomError
from palette.inch import MM_PER_INCH

__all__ = [
    "MM_PER_INCH",
    "MM_PER_POINT",
    "MM_PER_UNIT",
    "LengthError",
    "parse_length",
    "parse_size",
    "read_length",
]

MM_PER_POINT = MM_PER_INCH / 72.0
MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "in": MM_PER_INCH, "pt": MM_PER_POINT}


_UNITS = {"": "", '"': "in", "″": "in", "inch": "in", "inches": "in"}
_NUMBER = r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)"
_UNIT = r"mm|cm|inches|inch|in|pt|\"|″"
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*({_UNIT}|)\s*", re.ASCII)
# a comma before three digits may separate thousands; after a 0 it cannot
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")
_EXAMPLES = 'Write it like "40mm" or "1.6in".'


class LengthError(KitloomError):
    """A text is not a length with a unit."""


def read_length(text: str, *, where: str = "length") -> tuple[str, str]:
    """Return a length's number, with a point, and its unit, "" where none is written.

    Understood are "40mm", "1.2 cm", "0.75in", "1,5 inch" and "6pt"; a decimal comma is a point.

    Raises:
        LengthError: no number, another unit, or a comma that may part thousands.
    """
    match = _LENGTH.fullmatch(text)
    if match is None:
        raise LengthError(f'"{text}" is not a length', where=where, remedy=_EXAMPLES)
    number, unit = match[1], _UNITS.get(match[2], match[2])
    if _THOUSANDS.fullmatch(number):
        whole, _, rest = number.partition(",")
        raise LengthError(
            f'"{text}" can be read in two ways',
            where=where,
            remedy=f'Write "{whole}.{rest}{unit}" or "{whole}{rest}{unit}".',
        )
    return number.replace(",", "."), unit


def parse_length(text: str, *, where: str = "length", bare: str = "") -> float:
    """Return the millimetres of a length such as "0.75in", "1,5 inch", "40mm", "1.2 cm" or "6pt".

    Args:
        text: the length.
        where: what it is, for a message.
        bare: the unit of a number that stands alone; with "" it must have one.

    Raises:
        LengthError: no number, or no unit among mm, cm, in, pt.
    """
    number, unit = read_length(text, where=where)
    if not (unit or bare):
        raise LengthError(
            f'"{text}" has no unit',
            where=where,
            remedy=f'Write "{number}mm" or "{number}in".',
        )
    return float(number) * MM_PER_UNIT[unit or bare]


def parse_size(text: str, *, where: str = "size", bare: str = "") -> tuple[float, float]:
    """Return the millimetres of a "width x height" such as "40 x 52 mm" or "1.5 x 2in".

    A unit given only once, at the end, holds for both; ``bare`` is as in ``parse_length``.

    Raises:
        LengthError: not two lengths with an "x" between them.
    """
    parts = re.split(r"\s*[xX×]\s*", text.strip())
    if len(parts) != 2:
        raise LengthError(
            f'"{text}" is not a width and a height',
            where=where,
            remedy='Write it like "40mm x 52mm".',
        )
    height_mm = parse_length(parts[1], where=where, bare=bare)
    _, unit = read_length(parts[1], where=where)
    return parse_length(parts[0], where=where, bare=unit or bare), height_mm
