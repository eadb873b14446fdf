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
]

MM_PER_POINT = MM_PER_INCH / 72.0
MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "in": MM_PER_INCH, "pt": MM_PER_POINT}

_LENGTH = re.compile(r"\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+))\s*(mm|cm|in|pt|\"|)\s*", re.ASCII)


class LengthError(KitloomError):
    """A text is not a length with a unit."""


def parse_length(text: str, *, where: str = "length") -> float:
    """Return the millimetres of a length such as "0.75in", "40mm", "1.2 cm" or "6pt".

    Raises:
        LengthError: no number, or no unit among mm, cm, in, pt.
    """
    match = _LENGTH.fullmatch(text)
    if match is None:
        remedy = 'Write it like "40mm" or "1.6in".'
        if _LENGTH.fullmatch(text.replace(",", ".", 1)):
            remedy = f'Use a point: "{text.strip().replace(",", ".")}".'
        raise LengthError(f'"{text}" is not a length', where=where, remedy=remedy)
    unit = "in" if match[2] == '"' else match[2]
    if not unit:
        raise LengthError(
            f'"{text}" has no unit',
            where=where,
            remedy=f'Write "{match[1]}mm" or "{match[1]}in".',
        )
    return float(match[1]) * MM_PER_UNIT[unit]


def parse_size(text: str, *, where: str = "size") -> tuple[float, float]:
    """Return the millimetres of a "width x height" such as "40mm x 52mm" or "1.5 x 2in".

    A unit given only once, at the end, holds for both.

    Raises:
        LengthError: not two lengths with an "x" between them.
    """
    parts = re.split(r"\s*[x×]\s*", text.strip())
    if len(parts) != 2:
        raise LengthError(
            f'"{text}" is not a width and a height',
            where=where,
            remedy='Write it like "40mm x 52mm".',
        )
    height_mm = parse_length(parts[1], where=where)
    unit = re.search(r"(mm|cm|in|pt|\")\s*$", parts[1])
    first = parts[0]
    if re.fullmatch(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)", first) and unit:
        first += unit[1]
    return parse_length(first, where=where), height_mm
