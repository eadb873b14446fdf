"""Where transforms and viewports put an SVG's shapes, as browsers do.

In: the text of ``transform`` (as an attribute: SVG 1.1, 7.6; as a style: CSS Transforms 1),
``transform-origin``, ``viewBox`` and ``preserveAspectRatio`` (SVG 1.1, 7.7 and 7.8). Out: matrices.
Lengths are user units or absolute, at 96 user units to the inch. What cannot be read is refused.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from fontTools.misc.transform import Identity, Transform

from kit.drawings.svg_path import NUMBER, PathError, check_number
from kit.drawings.svg_shape import UNITS

COUNTS = {
    "matrix": {6},
    "translate": {1, 2},
    "scale": {1, 2},
    "rotate": {1, 3},
    "skewX": {1},
    "skewY": {1},
}
CSS_COUNTS = {
    **COUNTS,
    "rotate": {1},
    "skew": {1, 2},
    "translateX": {1},
    "translateY": {1},
    "scaleX": {1},
    "scaleY": {1},
}
DEGREES = {"deg": 1.0, "grad": 0.9, "rad": 180.0 / math.pi, "turn": 360.0}
LENGTHS = {"translate", "translateX", "translateY"}
ANGLES = {"rotate", "skew", "skewX", "skewY"}
_TRANSFORM = re.compile(r"[\s,]*(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^()]*)\)")
_CSS_TRANSFORM = re.compile(r"\s*([A-Za-z0-9]+)\(([^()]*)\)")
_CSS_NUMBER = re.compile(rf"\s*({NUMBER})([a-zA-Z%]*)\s*")
_ALIGN = re.compile(r"\s*(none|x(Min|Mid|Max)Y(Min|Mid|Max))(?:\s+(meet|slice))?\s*")
_SHARES = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}

Size = tuple[float, float]


def attribute_matrix(text: str) -> Transform:
    """Return the matrix of a ``transform`` attribute.

    Raises:
        PathError: it cannot be read, or leaves the plane.
    """
    whole, place = Identity, 0
    while place < len(text.rstrip()):
        match = _TRANSFORM.match(text, place)
        try:
            if match is None:
                raise ValueError("no transform")
            words = re.split(r"[\s,]+", match[2].strip())
            numbers = [float(check_number(word)) for word in words]
            if len(numbers) not in COUNTS[match[1]]:
                raise ValueError("numbers missing or too many")
        except ValueError as error:
            raise PathError(f'has a transform that cannot be read, "{text[:30]}"') from error
        whole = _then(whole, match[1], numbers)
        place = match.end()
    return whole


def style_matrix(text: str) -> Transform:
    """Return the matrix of a ``transform`` style.

    Raises:
        PathError: it cannot be read, or leaves the plane.
    """
    if text.strip() in {"none", ""}:
        return Identity
    whole, place = Identity, 0
    names = {name.lower(): name for name in CSS_COUNTS}
    while place < len(text.rstrip()):
        match = _CSS_TRANSFORM.match(text, place)
        name = names.get(match[1].lower()) if match else None
        values = match[2].split(",") if match else []
        if match is None or name is None or len(values) not in CSS_COUNTS[name]:
            raise PathError(f'has a transform that cannot be read, "{text[:30]}"')
        whole = _then(whole, name, [_css_number(name, value, text) for value in values])
        place = match.end()
    return whole


def _css_number(name: str, value: str, text: str) -> float:
    """Return an argument in user units, degrees or as a bare number."""
    match = _CSS_NUMBER.fullmatch(value)
    units = UNITS if name in LENGTHS else DEGREES if name in ANGLES else {}
    number = float(check_number(match[1])) if match else 0.0
    unit = match[2].lower() if match else "?"
    if match and unit and unit in units:
        return number * units[unit]
    if match and not unit and (name not in LENGTHS | ANGLES or number == 0.0):
        return number
    raise PathError(f'has a transform that cannot be read, "{text[:30]}"')


def about_origin(matrix: Transform, text: str) -> Transform:
    """Return a matrix applied about a ``transform-origin`` ("" for none).

    Raises:
        PathError: it depends on the size of a box, or cannot be read.
    """
    words = text.split()
    if not words or matrix == Identity:
        return matrix
    if set(words) == {"left", "top"}:
        return matrix
    try:
        x, y, *_ = [_css_number("translate", _with_unit(word), word) for word in [*words, "0"]]
    except PathError as error:
        raise PathError(f'is turned about "{text[:30]}", which is not followed') from error
    return Identity.translate(x, y).transform(matrix).translate(-x, -y)


def _with_unit(word: str) -> str:
    """Return a length's word; a bare number is one of user units, as browsers take it."""
    return f"{word}px" if re.fullmatch(NUMBER, word) else word


def _then(whole: Transform, name: str, n: Sequence[float]) -> Transform:
    """Return a matrix with one more transform inside it; missing numbers as SVG and CSS say."""
    first, second = n[0], n[1] if len(n) > 1 else 0.0
    if name == "matrix":
        return whole.transform(tuple(n))
    if name in LENGTHS:
        return whole.translate(*((0.0, first) if name == "translateY" else (first, second)))
    if name in {"scale", "scaleX", "scaleY"}:
        across = 1.0 if name == "scaleY" else first
        down = 1.0 if name == "scaleX" else (n[1] if len(n) > 1 else first)
        return whole.scale(across, down)
    if name == "rotate":
        x, y = n[1:] or (0.0, 0.0)
        return whole.translate(x, y).rotate(math.radians(first)).translate(-x, -y)
    if name == "skewY":
        return whole.skew(0.0, math.radians(first))
    return whole.skew(math.radians(first), math.radians(second))


def view_box(text: str) -> tuple[float, float, float, float] | None:
    """Return left, top, width and height of a ``viewBox``; None where there is none.

    Raises:
        PathError: it cannot be read, or shows nothing.
    """
    words = re.split(r"[\s,]+", text.strip()) if text.strip() else []
    if not words:
        return None
    numbers = [float(check_number(word)) for word in words if re.fullmatch(NUMBER, word)]
    if len(numbers) != 4 or len(words) != 4 or min(numbers[2:]) <= 0.0:
        raise PathError(f'has a viewBox that cannot be read, "{text[:30]}"')
    left, top, width, height = numbers
    return left, top, width, height


def into_viewport(box: tuple[float, float, float, float], aspect: str, size: Size) -> Transform:
    """Return the matrix from a ``viewBox`` to a viewport of this size at the origin.

    Args:
        box: left, top, width and height.
        aspect: ``preserveAspectRatio``; "" for the usual one.
        size: the viewport's width and height in user units.

    Raises:
        PathError: the aspect cannot be read.
    """
    match = _ALIGN.fullmatch(aspect.removeprefix("defer") or "xMidYMid meet")
    if match is None:
        raise PathError(f'has a preserveAspectRatio that cannot be read, "{aspect[:30]}"')
    left, top, width, height = box
    across, down = size[0] / width, size[1] / height
    if match[1] == "none":
        return Identity.scale(across, down).translate(-left, -top)
    scale = max(across, down) if match[4] == "slice" else min(across, down)
    x = (size[0] - width * scale) * _SHARES[match[2]]
    y = (size[1] - height * scale) * _SHARES[match[3]]
    return Identity.translate(x, y).scale(scale, scale).translate(-left, -top)
