"""The paths and shapes of an SVG file, where the transforms of the groups around them put them.

In: the file's bytes. Out: sub-paths as cubic Bézier curves in the file's own units, y down (SVG
1.1, 7.6, 8 and 9). Paths in definitions, clips, masks, symbols and patterns are left out, because
they are not drawn. Entities are never expanded: a file that declares any is refused there and then.

Not done here: styles, visibility, text.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from xml.parsers import expat

from fontTools.misc.transform import Identity, Transform

from kit.drawings.svg_path import PathError, read_path
from kit.drawings.svg_shape import SHAPES, shape_path
from kit.shapes import Run

MAX_DEPTH = 100
UNDRAWN = {"defs", "clipPath", "mask", "symbol", "pattern", "marker"}

COUNTS = {
    "matrix": {6},
    "translate": {1, 2},
    "scale": {1, 2},
    "rotate": {1, 3},
    "skewX": {1},
    "skewY": {1},
}
_TRANSFORM = re.compile(r"[\s,]*(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^()]*)\)")


def runs_in(data: bytes) -> list[Run]:
    """Return every drawn sub-path of an SVG file; those of basic shapes where no path is drawn.

    Raises:
        PathError: not XML, hostile, or with a path, shape or transform that cannot be read.
    """
    try:
        elements = _elements(data)
    except expat.ExpatError as error:
        raise PathError(f"is no SVG file (line {error.lineno} does not fit together)") from error
    paths = [run for one in elements if one.tag == "path" for run in one.runs()]
    # beside a path, a rectangle is mostly the drawing program's page
    return paths or [run for one in elements if one.tag != "path" for run in one.runs()]


@dataclass(frozen=True, slots=True)
class _Element:
    """A path or shape and the transform of itself and all groups around it."""

    tag: str
    attributes: dict[str, str]
    matrix: Transform

    def runs(self) -> list[Run]:
        """Return its runs where the transforms put them."""
        is_path = self.tag == "path"
        data = self.attributes.get("d", "") if is_path else shape_path(self.tag, self.attributes)
        return [run.map(self.matrix.transformPoint) for run in read_path(data)]


def _elements(data: bytes) -> list[_Element]:
    """Return every path and shape of an SVG file, those of definitions left out."""
    elements: list[_Element] = []
    matrices: list[Transform] = [Identity]
    hidden: list[bool] = [False]

    def begin(name: str, attributes: dict[str, str]) -> None:
        if len(matrices) > MAX_DEPTH:
            raise PathError(f"is nested over {MAX_DEPTH} deep")
        tag = name.rpartition(":")[2]
        matrices.append(matrices[-1].transform(_matrix(attributes.get("transform", ""))))
        hidden.append(hidden[-1] or tag in UNDRAWN)
        if not hidden[-1] and (tag == "path" or tag in SHAPES):
            elements.append(_Element(tag, attributes, matrices[-1]))

    def end(_: str) -> None:
        matrices.pop()
        hidden.pop()

    def refuse(*_: object) -> None:
        raise PathError("declares entities, which no outline needs")

    def doctype(_name: str, _system: object, _public: object, has_subset: int) -> None:
        if has_subset:  # old drawing programs name SVG's own type, which is never fetched
            raise PathError(
                "declares entities or a document type of its own, which no outline needs"
            )

    parser = expat.ParserCreate()
    parser.StartElementHandler, parser.EndElementHandler = begin, end
    parser.EntityDeclHandler, parser.StartDoctypeDeclHandler = refuse, doctype
    parser.Parse(data, True)  # noqa: FBT003  its only form
    return elements


def _matrix(text: str) -> Transform:
    """Return the matrix of a transform attribute (SVG 1.1, 7.6)."""
    whole, place = Identity, 0
    while place < len(text.rstrip()):
        match = _TRANSFORM.match(text, place)
        try:
            if match is None:
                raise ValueError("no transform")
            numbers = [float(word) for word in re.split(r"[\s,]+", match[2].strip())]
            whole = _then(whole, match[1], numbers)
        except ValueError as error:
            raise PathError(f'has a transform that cannot be read, "{text[:30]}"') from error
        place = match.end()
    return whole


def _then(whole: Transform, name: str, n: list[float]) -> Transform:
    """Return a matrix with one more transform inside it."""
    if len(n) not in COUNTS[name]:
        raise ValueError("numbers missing or too many")
    if name == "matrix":
        return whole.transform(n)
    if name == "translate":
        return whole.translate(*n)
    if name == "scale":
        return whole.scale(*n)
    if name == "rotate":
        x, y = n[1:] or (0.0, 0.0)
        return whole.translate(x, y).rotate(math.radians(n[0])).translate(-x, -y)
    angle = math.radians(n[0])
    return whole.skew(angle) if name == "skewX" else whole.skew(0.0, angle)
