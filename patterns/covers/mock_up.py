"""Does a picture show one thing that lies on plain ground, with artwork on it, as a mock-up does?

In: a picture as CIELAB, (height, width, 3) float32. Out: where the thing is, or None. A page, a
cover, a frame, a cushion or a mug stands free of the edges, is large, and has four sides, nearly
straight, in whatever perspective. A tile may hold one such motif as well, so more must be seen:
that artwork is cut off along its sides, as in no motif; that it throws a soft shadow; or that the
light falls off from one edge to the opposite one, where the ground of a tile would meet itself.
The ground is what one gets to from the edges in steps too small to see: shadow and light are part
of it.

The bounds are chosen by looking at drawn mock-ups and at drawn and public tiles; no published
source. Not done here: things on wood, cloth or stone, several things, things cut off by the edge.
"""

from __future__ import annotations

import math

import numpy as np

from palette.arrays import Floats, Floats32, Mask
from patterns.lab32 import norm

SMOOTH_PX = 3
STEP_DE = 2.0  # from one pixel of the ground to the next, smoothed
GROUND_EDGE = 0.9  # of the picture's edge that is ground
LEAST_SHARE = 0.16  # of the picture: the thing
LONE = 0.75  # of all that is not ground
FOUR_SIDED, ROUNDED = 0.93, 0.76  # of the thing's hull: the largest four-sided figure in it
FILLED = 0.84  # of its hull: it has no deep bays
INSET_PX = 5
ENDS = 0.12  # of a side, left out at either corner
VARIED_DE = 5.0  # standard deviation along a side at which artwork is cut off
SECTORS = 8  # of the ground about the thing
LEAST_PX = 20  # in one
NEAR_PX, FAR_PX = (4, 9), (14, 32)
SHADOW_L = 2.0  # by which ground is darker beside the thing than a little farther off
FALL_OFF_L = 3.0  # between opposite edges

Box = tuple[int, int, int, int]


def find_thing(lab: Floats32) -> Box | None:
    """Return (x, y, width, height) of the one thing that a picture shows, None for a tile."""
    from scipy.ndimage import binary_fill_holes, find_objects, label

    ground = _ground(lab)
    if ground is None:
        return None
    marks, count = label(binary_fill_holes(~ground))
    sizes = np.bincount(marks.ravel(), minlength=count + 1)[1:]
    if not count or sizes.max() < max(LEAST_SHARE * ground.size, LONE * sizes.sum()):
        return None
    number = int(np.argmax(sizes)) + 1
    thing = marks == number
    corners, four_sided, filled = _figure(thing)
    if four_sided < ROUNDED or filled < FILLED:
        return None
    cut_off = _sides_cut_off(lab, corners) >= 3
    lit = _throws_shadow(lab[..., 0], ground, thing) or _falls_off(lab[..., 0], ground)
    if not (cut_off and lit) and (four_sided < FOUR_SIDED or not (cut_off or lit)):
        return None
    rows, columns = find_objects(marks)[number - 1]
    return columns.start, rows.start, columns.stop - columns.start, rows.stop - rows.start


def _ground(lab: Floats32) -> Mask | None:
    """Return the ground that lies along nearly the whole edge of a picture; None without one."""
    from scipy.ndimage import label, uniform_filter

    smooth = uniform_filter(lab, (SMOOTH_PX, SMOOTH_PX, 1), mode="nearest")
    still = np.ones(lab.shape[:2], dtype=bool)
    still[1:] &= norm(np.diff(smooth, axis=0)) < STEP_DE
    still[:, 1:] &= norm(np.diff(smooth, axis=1)) < STEP_DE
    marks, _ = label(still)
    edge = np.concatenate([marks[0], marks[-1], marks[:, 0], marks[:, -1]])
    number = int(np.argmax(np.bincount(edge)[1:], axis=0)) + 1 if edge.any() else 0
    if not number or float((edge == number).mean()) < GROUND_EDGE:
        return None
    return np.asarray(marks == number)


def _figure(thing: Mask) -> tuple[Floats, float, float]:
    """Return the largest four-sided figure in a thing's hull, and how full it and the thing are.

    Returns:
        its corners (4, 2) as x and y, in order; the shares of the hull that it and the thing cover.
    """
    from scipy.spatial import ConvexHull

    rows, columns = np.nonzero(thing)
    ends = np.flatnonzero(np.diff(rows, prepend=-1))  # the first pixel of each row
    last = np.append(ends[1:], len(rows)) - 1
    outline = np.stack([columns[np.r_[ends, last]], rows[np.r_[ends, last]]], axis=1)
    hull = ConvexHull(outline.astype(np.float64))
    points: Floats = hull.points[hull.vertices]
    best, corners = 0.0, points[:4]
    for i, one in enumerate(points):
        for j in range(i + 2, len(points)):
            along = points[j] - one
            off = along[0] * (points[:, 1] - one[1]) - along[1] * (points[:, 0] - one[0])
            area = (off.max() - off.min()) / 2.0
            if area > best:
                best = float(area)
                corners = points[[i, int(off.argmin()), j, int(off.argmax())]]
    return corners, best / hull.volume, float(thing.sum()) / hull.volume


def _sides_cut_off(lab: Floats32, corners: Floats) -> int:
    """Return along how many of the four sides, just inside, artwork varies."""
    middle = corners.mean(axis=0)
    found = 0
    for one, other in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        steps = np.linspace(ENDS, 1.0 - ENDS, max(2, int(math.dist(one, other))))[:, None]
        line = one + steps * (other - one)
        inward = middle - line
        line = line + INSET_PX * inward / np.linalg.norm(inward, axis=1, keepdims=True)
        x, y = np.rint(line).astype(np.intp).T
        found += bool(np.sqrt(lab[y, x].var(axis=0).sum()) >= VARIED_DE)
    return found


def _throws_shadow(light: Floats32, ground: Mask, thing: Mask) -> bool:
    """Whether the ground beside a thing is softly darker on some side of it."""
    from scipy.ndimage import distance_transform_edt

    away = distance_transform_edt(~thing)
    rows, columns = np.nonzero(thing)
    y, x = np.indices(thing.shape)
    turn = np.arctan2(y - rows.mean(), x - columns.mean()) / (2.0 * np.pi) * SECTORS
    sector = np.floor(turn).astype(np.intp) % SECTORS
    near, far = (ground & (away >= low) & (away < high) for low, high in (NEAR_PX, FAR_PX))
    for number in range(SECTORS):
        beside, beyond = light[near & (sector == number)], light[far & (sector == number)]
        if min(len(beside), len(beyond)) >= LEAST_PX:
            dip = float(np.median(beyond) - np.median(beside))
            if dip >= SHADOW_L:
                return True
    return False


def _falls_off(light: Floats32, ground: Mask) -> bool:
    """Whether the ground is lighter along one edge than along the opposite one."""
    for lines, seen in ((light, ground), (light.T, ground.T)):
        first, last = lines[:2][seen[:2]], lines[-2:][seen[-2:]]
        if len(first) and len(last) and abs(np.median(first) - np.median(last)) >= FALL_OFF_L:
            return True
    return False
