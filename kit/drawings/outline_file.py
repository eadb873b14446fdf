"""The maker's own cut line: the one closed path or shape of an SVG file, fitted to a stated size.

In: the file and the largest width and height in millimetres. Out: a ``Contour`` of lines and true
arcs within 0.01 mm of the path, its box's top left corner at the origin, proportions kept, wherever
in its file it lies. It is read where browsers draw it; the file's own units and page do not matter.
What cannot be cut is refused by name, with its remedy: no path, several paths, open, crossing
itself, hostile or huge files.

Entities are never expanded: a file that declares any is refused before it is read further. This
module reads files. Not done here: text (convert it to paths), colours, clipping.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from kit.recipe_error import RecipeError
from kit.shapes import (
    Contour,
    CurvedPath,
    Run,
    Vertex,
    bounding_box,
    extent,
    first_crossing,
    fit_arcs,
    flatten_path,
    signed_area,
)
from palette.file_bytes import read_bytes

if TYPE_CHECKING:
    from kit.drawings.svg_file import Drawn

MAX_BYTES = 2_000_000
MAX_POINTS = 6_000
CURVE_MM, FIT_MM = 0.002, 0.004  # within 0.01 mm in all: the fit may shift the box as well
CROSSING_MM = 0.01  # polylines for the test of crossing
DECIMALS = 7  # of a millimetre: what is lost far from the origin must not steer the fit
FARTHEST = 1e9  # of any unit; squares of more lose all that an outline is
NEARLY_CLOSED = 1e-3  # of the size: ends this near are meant to meet


@dataclass(frozen=True, slots=True)
class OwnOutline:
    """A maker's own cut line.

    Attributes:
        contour: the cut line, its box's top left corner at the origin.
        beside: what its file draws besides, such as ("2 circle", "1 text").
    """

    contour: Contour
    beside: tuple[str, ...] = ()


def read_outline(path: Path, size_mm: tuple[float, float]) -> OwnOutline:
    """Return the cut line that a file holds, as large as fits into a width and a height.

    Raises:
        RecipeError: the file cannot be read, or holds no path that can be cut.
    """
    data = read_bytes(path, MAX_BYTES, RecipeError, noun="outline")
    return outline_of(data, size_mm, path)


def outline_of(data: bytes, size_mm: tuple[float, float], path: Path) -> OwnOutline:
    """Return the cut line of an SVG file's bytes; ``path`` names it in errors.

    Raises:
        RecipeError: as ``read_outline``.
    """
    drawn = _drawn(data, path)
    run = _only_run(drawn.runs, path)
    x, y = run.start  # near the origin numbers keep all their digits
    near = run.map(lambda point: (point[0] - x, point[1] - y))
    curves = CurvedPath(near.start, tuple(near.pieces))
    left, top, right, bottom = extent([curves], _coarse(curves))
    if not (right > left and bottom > top and math.isfinite(right - left + bottom - top)):
        raise _refusal(path, "encloses nothing", "Draw an outline round an area.")
    scale = min(size_mm[0] / (right - left), size_mm[1] / (bottom - top))
    path_mm = curves.scale(scale, -left * scale, -top * scale).rounded(DECIMALS)
    _check(path_mm, max(size_mm), path)
    contour = _to_size(fit_arcs(flatten_path(path_mm, CURVE_MM), FIT_MM), size_mm)
    return OwnOutline(contour, drawn.beside)


def _to_size(contour: Contour, size_mm: tuple[float, float]) -> Contour:
    """Return an outline at the origin and in the stated size, which the fit may miss by its own."""
    box = bounding_box(contour)
    scale = min(size_mm[0] / box.width_mm, size_mm[1] / box.height_mm)
    return Contour(
        tuple(
            Vertex((v.x_mm - box.x_mm) * scale, (v.y_mm - box.y_mm) * scale, v.bulge)
            for v in contour.vertices
        )
    )


def _coarse(curves: CurvedPath) -> float:
    """Return a tolerance of a hundred-thousandth of the path's reach, before its size is known."""
    points = [point for piece in curves.pieces for point in piece]
    xs, ys = zip(*points, strict=True)
    reach: float = max(max(xs) - min(xs), max(ys) - min(ys), 1e-9)
    return reach * 1e-5


def _drawn(data: bytes, path: Path) -> Drawn:
    """Return what the file draws."""
    from kit.drawings.svg_file import drawn_in
    from kit.drawings.svg_path import PathError

    try:
        return drawn_in(data)
    except PathError as error:
        raise _refusal(path, str(error), "Save it again as plain SVG.") from error


def _only_run(runs: list[Run], path: Path) -> Run:
    """Return the one closed sub-path of the file."""
    if sum(len(run.pieces) for run in runs) > MAX_POINTS:
        raise _refusal(path, f"has over {MAX_POINTS} corners", "Simplify the path.")
    if not runs:
        raise _refusal(path, "has no path in it", "Convert its shape to a path and save again.")
    if len(runs) > 1:
        raise _refusal(
            path,
            f"has {len(runs)} outlines, and needs one",
            "Unite them into one outline without holes, or keep one.",
        )
    run = runs[0]
    numbers = [*run.start, *(v for piece in run.pieces for point in piece for v in point)]
    if not all(abs(v) < FARTHEST for v in numbers):  # not a number fails here too
        raise _refusal(path, "reaches too far out", "Draw it nearer to the origin.")
    gap = math.dist(run.start, run.end)
    reach = max(math.dist(run.start, piece[2]) for piece in run.pieces)
    if not run.closed and gap > NEARLY_CLOSED * reach:
        raise _refusal(path, "is open: its end does not meet its start", "Close the path.")
    if run.end != run.start:
        run.pieces.append((run.end, run.start, run.start))
    return run


def _check(path_mm: CurvedPath, size_mm: float, path: Path) -> None:
    """Refuse a fitted outline that has too many corners, no area, or crosses itself."""
    ring = flatten_path(path_mm, CROSSING_MM)
    if len(ring) > MAX_POINTS:
        raise _refusal(path, f"has over {MAX_POINTS} corners", "Simplify the path.")
    where = first_crossing(ring) if len(ring) > 2 else None
    if where is not None:
        raise _refusal(
            path,
            f"crosses or touches itself near {where[0]:.1f} mm from its left and "
            f"{where[1]:.1f} mm from its top",
            "Unite the path with itself, or move its corners apart.",
        )
    if len(ring) < 3 or abs(signed_area(ring)) < 1e-3 * size_mm:
        raise _refusal(path, "encloses next to nothing", "Draw an outline round an area.")


def _refusal(path: Path, what: str, remedy: str) -> RecipeError:
    return RecipeError(what, where=str(path), remedy=remedy)
