"""How vivid can a colour of this lightness and hue be in print? The outer bound of a press.

A ``Gamut`` is a table of the greatest printable chroma over lightness (rows) and hue (columns) in
OKLab times 100. It is made from a closed skin of triangles, the faces of a press's ink
cube: each is cut at every lightness of the table, and the cut's crossing with every hue ray is kept
if it lies farther out than those before it.

Source: the gamut boundary descriptor of Morovič and Luo, "Calculating medium and image gamut
boundaries for gamut mapping", Color Research and Application 25(6), 2000, with exact crossings in
place of segment maxima. Not done here: hollows behind a fold, which a single chroma cannot hold.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from palette.arrays import Floats, Indices, Mask

LEVELS = 97  # rows: lightness 0 to 100
HUES = 120  # columns: every 3 degrees, periodic
_STEPS = 12  # cells along an edge of a two-ink face
_DARK = 20.0  # OKLab lightness, CIELAB L* 7, under which the bound runs straight to black
_TURN = 2.0 * np.pi


@dataclass(frozen=True, slots=True, eq=False)
class Gamut:
    """The greatest printable chroma, (LEVELS, HUES), over OKLab lightness 0 to 100 and hue."""

    chroma: Floats

    def __post_init__(self) -> None:
        self.chroma.setflags(write=False)

    def limit(self, light: Floats, hue: Floats) -> Floats:
        """Return the greatest chroma at lightness (0 to 100) and hue (radians), any shape."""
        row = np.clip(light * ((LEVELS - 1) / 100.0), 0.0, LEVELS - 1.000001)
        column = (hue * (HUES / _TURN)) % HUES
        r, c = row.astype(np.intp), column.astype(np.intp) % HUES
        down, along = row - r, column - np.floor(column)
        at = r * HUES + c
        next_hue = at + np.where(c == HUES - 1, 1 - HUES, 1)
        flat = self.chroma.reshape(-1)
        upper = flat[at] + along * (flat[next_hue] - flat[at])
        lower = flat[at + HUES] + along * (flat[next_hue + HUES] - flat[at + HUES])
        bound: Floats = upper + down * (lower - upper)
        return bound

    def holds(self, lch: Floats, slack: float = 0.0) -> Mask:
        """Return which of the (n, 3) lightness, chroma, hue lie inside or within ``slack``."""
        light, chroma, hue = lch.T
        inside: Mask = (
            (chroma <= self.limit(light, hue) + slack)
            & (light >= -slack)
            & (light <= 100.0 + slack)
        )
        return inside


def device_faces(channels: int) -> Floats:
    """Return the faces of the device cube along which two channels vary, the others at an end.

    Shape (faces, cells + 1, cells + 1, channels): 24 faces for CMYK, 6 for RGB, none for grey.
    """
    run = np.linspace(0.0, 1.0, _STEPS + 1)
    first, second = np.meshgrid(run, run, indexing="ij")
    faces = []
    for free in combinations(range(channels), 2):
        held = [ink for ink in range(channels) if ink not in free]
        for ends in product((0.0, 1.0), repeat=channels - 2):
            face = np.empty((*first.shape, channels))
            face[..., free[0]], face[..., free[1]] = first, second
            face[..., held] = ends
            faces.append(face)
    return np.stack(faces) if faces else np.empty((0, _STEPS + 1, _STEPS + 1, channels))


def _black_slice() -> Floats:
    """Return the six faces of the cyan, magenta and yellow cube at three quarters of black.

    On uncoated paper more black does not print much darker there, and the skin bulges between the
    cube's own faces.
    """
    cube = device_faces(3)
    return np.concatenate([cube, np.full((*cube.shape[:3], 1), 0.75)], axis=-1)


def gamut_of(oklab_of_inks: Callable[[Floats], Floats], channels: int = 4) -> Gamut:
    """Return the bound of a press.

    Args:
        oklab_of_inks: from device shares (n, channels) to OKLab times 100, (n, 3), paper-relative.
        channels: 4 for CMYK, 3 for RGB, 1 for grey, which has no chroma to bound.
    """
    faces = device_faces(channels)
    if len(faces) == 0:
        return Gamut(np.zeros((LEVELS, HUES)))
    if channels == 4:
        faces = np.concatenate([faces, _black_slice()])
    nodes = oklab_of_inks(faces.reshape(-1, channels)).reshape(*faces.shape[:3], 3)
    a, b, c, d = nodes[:, :-1, :-1], nodes[:, :-1, 1:], nodes[:, 1:, :-1], nodes[:, 1:, 1:]
    corners = [np.stack(t, axis=-2).reshape(-1, 3, 3) for t in ((a, b, c), (b, c, d))]
    table = np.zeros((LEVELS, HUES))
    row, start, end = _cuts(np.concatenate(corners))
    _spread(table, row, start, end)
    return Gamut(_closed_at_black(table))


def _closed_at_black(table: Floats) -> Floats:
    """Draw the bound to a point at black, in a straight line.

    Overprints of solid black are deeper than the deepest neutral, so black point compensation sends
    them below black and leaves the bound open there, or shut where they lean to another hue: no use
    to any colour that can be asked for.
    """
    levels = np.linspace(0.0, 100.0, LEVELS)[:, None]
    first = round(_DARK / 100.0 * (LEVELS - 1))
    cone = table[first] * levels[:first] / levels[first]
    return np.concatenate([cone, table[first:]])


def _cuts(triangles: Floats) -> tuple[Indices, Floats, Floats]:
    """Cut (n, 3, 3) triangles at every level: rows of the table and both ends of each cut."""
    order = np.argsort(triangles[:, :, 0], axis=1)
    ranked = np.take_along_axis(triangles, order[:, :, None], axis=1)
    levels = np.linspace(0.0, 100.0, LEVELS)
    low, high = ranked[:, 0, 0], ranked[:, 2, 0]
    # the paper's own level is a point, reached only through rounding
    which, row = np.nonzero((low[:, None] <= levels) & (levels < high[:, None]))
    level = levels[row]
    bottom, middle, top = ranked[which, 0], ranked[which, 1], ranked[which, 2]
    lower = level < middle[:, 0]
    near = np.where(lower[:, None], bottom, middle)
    far = np.where(lower[:, None], middle, top)
    return row, _crossing(bottom, top, level), _crossing(near, far, level)


def _crossing(low: Floats, high: Floats, level: Floats) -> Floats:
    """Return the (n, 2) a, b where the edges from low to high pass a lightness."""
    rise = np.maximum(high[:, 0] - low[:, 0], 1e-12)
    share = np.clip((level - low[:, 0]) / rise, 0.0, 1.0)[:, None]
    point: Floats = low[:, 1:] + share * (high[:, 1:] - low[:, 1:])
    return point


def _spread(table: Floats, row: Indices, start: Floats, end: Floats) -> None:
    """Raise the table to where cuts from start to end cross the hue rays."""
    hue = np.arctan2(start[:, 1], start[:, 0])
    area = start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]
    turn = np.arctan2(area, (start * end).sum(axis=1))
    first = np.minimum(hue, hue + turn) * (HUES / _TURN)
    span = np.abs(turn) * (HUES / _TURN)
    begin = np.ceil(first)
    count = np.maximum(np.floor(first + span) - begin + 1, 0).astype(np.intp)
    which = np.repeat(np.arange(len(row)), count)
    step = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    column = begin[which] + step
    ray = column * (_TURN / HUES)
    run = end[which] - start[which]
    across = np.cos(ray) * run[:, 1] - np.sin(ray) * run[:, 0]
    safe = np.abs(across) > 1e-12
    radius = np.where(safe, area[which] / np.where(safe, across, 1.0), 0.0)
    np.maximum.at(table, (row[which], column.astype(np.intp) % HUES), np.maximum(radius, 0.0))
