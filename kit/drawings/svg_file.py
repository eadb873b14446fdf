"""The paths of an SVG file, where the transforms of the groups around them put them.

In: the file's bytes. Out: sub-paths as cubic Bézier curves in the file's own units, y down (SVG
1.1, 7.6 and 8). Paths in definitions, clips, masks, symbols and patterns are left out, because they
are not drawn. Entities are never expanded: a file that declares any is refused there and then.

Not done here: styles, visibility, shapes that are not paths.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from xml.parsers import expat

from kit.drawings.svg_path import PathError, Run, read_path
from kit.shapes.arcs import Point

MAX_DEPTH = 100
UNDRAWN = {"defs", "clipPath", "mask", "symbol", "pattern", "marker"}

Matrix = tuple[float, float, float, float, float, float]
IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
_TRANSFORM = re.compile(r"[\s,]*(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^()]*)\)")


def runs_in(data: bytes) -> list[Run]:
    """Return every drawn sub-path of an SVG file.

    Raises:
        PathError: not XML, hostile, or with a path or transform that cannot be read.
    """
    try:
        return [run for found in _paths(data) for run in _moved(found)]
    except expat.ExpatError as error:
        raise PathError(f"is no SVG file ({error})") from error


@dataclass(frozen=True, slots=True)
class _Found:
    """A path's data and the transform of all groups around it."""

    data: str
    matrix: Matrix


def _paths(data: bytes) -> list[_Found]:
    """Return every path element of an SVG file, those of definitions left out."""
    found: list[_Found] = []
    matrices: list[Matrix] = [IDENTITY]
    hidden: list[bool] = [False]

    def begin(name: str, attributes: dict[str, str]) -> None:
        if len(matrices) > MAX_DEPTH:
            raise PathError(f"is nested over {MAX_DEPTH} deep")
        tag = name.rpartition(":")[2]
        matrices.append(_times(matrices[-1], _matrix(attributes.get("transform", ""))))
        hidden.append(hidden[-1] or tag in UNDRAWN)
        if tag == "path" and not hidden[-1]:
            found.append(_Found(attributes.get("d", ""), matrices[-1]))

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
    return found


def _moved(found: _Found) -> list[Run]:
    """Return a path's runs where its groups' transforms put them."""
    a, b, c, d, e, f = found.matrix

    def at(point: Point) -> Point:
        return a * point[0] + c * point[1] + e, b * point[0] + d * point[1] + f

    runs = read_path(found.data)
    return [
        Run(at(run.start), [(at(p), at(q), at(r)) for p, q, r in run.pieces], run.closed)
        for run in runs
    ]


def _matrix(text: str) -> Matrix:
    """Return the matrix of a transform attribute (SVG 1.1, 7.6)."""
    made, place = IDENTITY, 0
    while place < len(text.rstrip()):
        found = _TRANSFORM.match(text, place)
        if found is None:
            raise PathError(f'has a transform that cannot be read, "{text[:30]}"')
        try:
            numbers = [float(word) for word in re.split(r"[\s,]+", found[2].strip())]
            made = _times(made, _one(found[1], numbers))
        except (ValueError, IndexError) as error:
            raise PathError(f'has a transform that cannot be read, "{text[:30]}"') from error
        place = found.end()
    return made


def _one(name: str, n: list[float]) -> Matrix:
    if name == "matrix":
        return (n[0], n[1], n[2], n[3], n[4], n[5])
    if name == "translate":
        return (1.0, 0.0, 0.0, 1.0, n[0], n[1] if len(n) > 1 else 0.0)
    if name == "scale":
        return (n[0], 0.0, 0.0, n[1] if len(n) > 1 else n[0], 0.0, 0.0)
    if name == "skewX":
        return (1.0, 0.0, math.tan(math.radians(n[0])), 1.0, 0.0, 0.0)
    if name == "skewY":
        return (1.0, math.tan(math.radians(n[0])), 0.0, 1.0, 0.0, 0.0)
    cos, sin = math.cos(math.radians(n[0])), math.sin(math.radians(n[0]))
    about = (n[1], n[2]) if len(n) > 2 else (0.0, 0.0)
    x = about[0] - cos * about[0] + sin * about[1]
    return (cos, sin, -sin, cos, x, about[1] - sin * about[0] - cos * about[1])


def _times(p: Matrix, q: Matrix) -> Matrix:
    """Return the matrix that does ``q`` first, then ``p``."""
    return (
        p[0] * q[0] + p[2] * q[1],
        p[1] * q[0] + p[3] * q[1],
        p[0] * q[2] + p[2] * q[3],
        p[1] * q[2] + p[3] * q[3],
        p[0] * q[4] + p[2] * q[5] + p[4],
        p[1] * q[4] + p[3] * q[5] + p[5],
    )
