"""The basic shapes of SVG (SVG 1.1, chapter 9) as path data.

In: an element's name and attributes. Out: the text of a path that runs where the shape's border
does, empty where the shape is not drawn (no size). Lengths are user units or have an absolute unit,
at 96 user units to the inch (CSS); shares of a page are refused, as the page does not matter.

fontTools' own builder of such paths rounds to three decimals and takes no units.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from kit.drawings.svg_path import NUMBER, PathError, check_number
from kit.shapes import Rect

SHAPES = ("rect", "circle", "ellipse", "polygon", "polyline", "line")
UNITS = {"": 1.0, "px": 1.0, "in": 96.0, "cm": 96 / 2.54, "mm": 96 / 25.4, "pt": 4 / 3, "pc": 16.0}
_RADII = (("rx", "ry"), ("ry", "rx"))
_LENGTH = re.compile(rf"\s*({NUMBER})\s*([a-z]*)\s*")


def shape_path(tag: str, attributes: Mapping[str, str]) -> str:
    """Return the path of a basic shape, one of ``SHAPES``; empty where nothing is drawn.

    Raises:
        PathError: a length that cannot be read, with the shape's and the attribute's name.
    """

    def length(name: str) -> float:
        return user_units(tag, name, attributes.get(name, "0"))

    if tag in {"polygon", "polyline"}:
        return _through(tag, attributes.get("points", ""))
    if tag == "line":
        return f"M{length('x1')!r} {length('y1')!r} L{length('x2')!r} {length('y2')!r}"
    if tag == "circle":
        r = length("r")
        return _ellipse(length("cx"), length("cy"), r, r)
    if tag == "ellipse":
        return _ellipse(length("cx"), length("cy"), length("rx"), length("ry"))
    if tag == "rect":
        # one radius stands for the other where that is not given
        rx, ry = (length(a if attributes.get(a, "auto") != "auto" else b) for a, b in _RADII)
        box = Rect(length("x"), length("y"), length("width"), length("height"))
        return _rectangle(box, rx, ry)
    raise ValueError(tag)


def user_units(tag: str, name: str, text: str) -> float:
    """Return a length in user units; ``tag`` and ``name`` say whose it is in errors.

    Raises:
        PathError: it cannot be read.
    """
    match = _LENGTH.fullmatch(text)
    if match is None or match[2] not in UNITS:
        raise PathError(f'has a {tag} whose {name} cannot be read, "{text[:20]}"')
    return float(check_number(match[1])) * UNITS[match[2]]


def _through(tag: str, points: str) -> str:
    letter = re.search(r"[^\d\s,.eE+-]", points)
    if letter:
        place = points[letter.start() :][:12]
        raise PathError(f'has a {tag} whose points cannot be read at "{place}"')
    return f"M{points}{'Z' if tag == 'polygon' else ''}" if points.strip() else ""


def _ellipse(x: float, y: float, rx: float, ry: float) -> str:
    if rx <= 0.0 or ry <= 0.0:
        return ""
    half = f"A{rx!r} {ry!r} 0 0 1"
    return f"M{x - rx!r} {y!r} {half} {x + rx!r} {y!r} {half} {x - rx!r} {y!r}Z"


def _rectangle(box: Rect, rx: float, ry: float) -> str:
    """Return a rectangle, its corners' radii at most half its sides."""
    if box.width_mm <= 0.0 or box.height_mm <= 0.0:
        return ""
    rx, ry = min(max(rx, 0.0), box.width_mm / 2.0), min(max(ry, 0.0), box.height_mm / 2.0)
    left, top, right, bottom = box.x_mm, box.y_mm, box.right_mm, box.bottom_mm
    if rx == 0.0 or ry == 0.0:
        return f"M{left!r} {top!r} H{right!r} V{bottom!r} H{left!r}Z"
    corner = f"A{rx!r} {ry!r} 0 0 1"
    return (
        f"M{left + rx!r} {top!r} H{right - rx!r} {corner} {right!r} {top + ry!r} "
        f"V{bottom - ry!r} {corner} {right - rx!r} {bottom!r} "
        f"H{left + rx!r} {corner} {left!r} {bottom - ry!r} V{top + ry!r} "
        f"{corner} {left + rx!r} {top!r}Z"
    )
