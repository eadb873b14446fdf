"""How does the sheet lie in the picture? Corner targets become a map from millimetres to pixels.

In: the targets found and the ``ChartList``. Out: a ``Frame``: a projective map (any rotation,
perspective, mirror) that makes the row of cells read as this chart's number. Four corners can be
named in eight ways; the number is read in each, and only one way gives it.

Source: the direct linear transform for a homography (Hartley and Zisserman, "Multiple View
Geometry", 2nd edition, 4.1). Not done here: lens distortion; paper that is not flat is refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from palette.arrays import Floats, Floats32
from palette.chart import ChartList
from palette.scan.code import CELLS, read_code
from palette.scan.refusals import ScanError
from palette.scan.targets import FoundTargets

_MOST_TARGETS = 8  # more than this and the picture is full of something else


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """How the sheet lies.

    Attributes:
        to_px: (3, 3) projective map from millimetres on the sheet to pixels of the picture.
        targets_px: (4, 2) the corner targets: top left, top right, bottom right, bottom left.
        mirrored: whether the picture shows the sheet as in a mirror.
        turn_deg: how far the sheet is turned clockwise in the picture, -180 to 180.
        px_per_mm: mean scale.
        leaning: how far opposite sides differ in length, as a share: 0 for a flatbed.
    """

    to_px: Floats
    targets_px: Floats
    mirrored: bool
    turn_deg: float
    px_per_mm: float
    leaning: float

    def __post_init__(self) -> None:
        self.to_px.setflags(write=False)
        self.targets_px.setflags(write=False)


def find_frame(grey: Floats32, targets: FoundTargets, chart: ChartList, where: str) -> Frame:
    """Return how the sheet lies.

    Raises:
        ScanError: another chart, or no way to read this one's number.
    """
    other = ""
    for four in combinations(range(min(len(targets.radii_px), _MOST_TARGETS)), 4):
        radii = targets.radii_px[list(four)]
        if radii.max() > 1.8 * radii.min():
            continue
        for corners in _namings(targets.centres_px[list(four)]):
            to_px = projective(chart.targets_mm, corners)
            number = read_code(_code_levels(grey, to_px, chart))
            if number == chart.chart_id:
                return _frame(to_px, corners, chart)
            other = other or number or _number_nearby(grey, corners, float(radii.mean()), chart)
    if other:
        raise ScanError(
            "another chart",
            f"shows chart {other}, and the list is of chart {chart.chart_id}",
            where=where,
        )
    raise ScanError(
        "no chart",
        "the row of cells with the chart's number cannot be read",
        where=where,
        why="it is covered, smeared, or not on this sheet",
    )


def _namings(corners: Floats) -> list[Floats]:
    """Return the eight ways to go round four points, starting from each, in both senses."""
    away = corners - corners.mean(axis=0)
    ring = corners[np.argsort(np.arctan2(away[:, 1], away[:, 0]))]
    rounds = [np.roll(ring, -start, axis=0) for start in range(4)]
    return rounds + [np.roll(ring[::-1], -start, axis=0) for start in range(4)]


def projective(source: Floats, target: Floats) -> Floats:
    """Return the (3, 3) map that takes (n, 2) source points to target points, n at least 4."""
    shift_s, shift_t = _centring(source), _centring(target)
    s, t = apply(shift_s, source), apply(shift_t, target)
    rows = np.zeros((2 * len(s), 9))
    rows[0::2, 0:2], rows[0::2, 2] = s, 1.0
    rows[1::2, 3:5], rows[1::2, 5] = s, 1.0
    rows[0::2, 6:8], rows[0::2, 8] = -t[:, :1] * s, -t[:, 0]
    rows[1::2, 6:8], rows[1::2, 8] = -t[:, 1:] * s, -t[:, 1]
    centred = np.linalg.svd(rows)[2][-1].reshape(3, 3)
    full = np.linalg.inv(shift_t) @ centred @ shift_s
    matrix: Floats = full / full[2, 2]
    return matrix


def _centring(points: Floats) -> Floats:
    """Return the map that brings points about the origin at distance 1: for good numbers."""
    middle = points.mean(axis=0)
    size = np.hypot(*(points - middle).T).mean() or 1.0
    x, y = -middle / size
    return np.array([[1.0 / size, 0.0, x], [0.0, 1.0 / size, y], [0.0, 0.0, 1.0]])


def apply(matrix: Floats, points: Floats) -> Floats:
    """Return (n, 2) points under a projective map."""
    full = points @ matrix[:, :2].T + matrix[:, 2]
    moved: Floats = full[:, :2] / full[:, 2:]
    return moved


def _code_levels(grey: Floats32, to_px: Floats, chart: ChartList) -> Floats:
    """Return the grey of each cell: the mean of 5 x 5 points inside it, 0 outside the picture."""
    left, top, wide, tall = chart.code_mm
    inner = np.linspace(0.3, 0.7, 5)
    xs = left + (np.arange(CELLS)[:, None, None] + inner[None, :, None]) * (wide / CELLS)
    ys = top + inner[None, None, :] * tall
    xs, ys = np.broadcast_arrays(xs, ys)
    at = np.floor(apply(to_px, np.stack([xs.ravel(), ys.ravel()], axis=1))).astype(np.intp)
    rows, cols = grey.shape
    inside = (at[:, 0] >= 0) & (at[:, 0] < cols) & (at[:, 1] >= 0) & (at[:, 1] < rows)
    levels = np.zeros(len(at))
    levels[inside] = grey[at[inside, 1], at[inside, 0]]
    means: Floats = levels.reshape(CELLS, -1).mean(axis=1)
    return means


def _number_nearby(grey: Floats32, corners: Floats, radius_px: float, chart: ChartList) -> str:
    """Return the number on a sheet of another size, or "": its row is as far from its corner."""
    across, down = corners[1] - corners[0], corners[3] - corners[0]
    across, down = across / np.hypot(*across), down / np.hypot(*down)
    for stretch in np.linspace(0.92, 1.08, 33):
        per_mm = radius_px / chart.target_radius_mm * stretch
        to_px = np.eye(3)
        to_px[:2, 0], to_px[:2, 1] = across * per_mm, down * per_mm
        to_px[:2, 2] = corners[0] - to_px[:2, :2] @ chart.targets_mm[0]
        number = read_code(_code_levels(grey, to_px, chart))
        if number not in (None, chart.chart_id):
            return str(number)
    return ""


def _frame(to_px: Floats, corners: Floats, chart: ChartList) -> Frame:
    across, down = side_lengths(corners)
    nominal_x, nominal_y = (s.mean() for s in side_lengths(chart.targets_mm))
    first = corners[1] - corners[0]
    mirrored = bool(np.linalg.det(to_px[:2, :2]) < 0.0)
    return Frame(
        to_px=to_px,
        targets_px=np.array(corners),
        mirrored=mirrored,
        turn_deg=float(np.degrees(np.arctan2(first[1], first[0]))),
        px_per_mm=float((across.mean() / nominal_x + down.mean() / nominal_y) / 2.0),
        leaning=float(max(np.ptp(across) / across.mean(), np.ptp(down) / down.mean())),
    )


def side_lengths(corners: Floats) -> tuple[Floats, Floats]:
    """Return the lengths of the two sides across and of the two down."""
    sides = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    return sides[[0, 2]], sides[[1, 3]]
