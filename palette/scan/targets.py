"""Where are the chart's corners in the picture? Ring targets: a disc inside a ring.

In: (rows, cols) grey, 0 to 255. Out: centres in pixels, (n, 2), x and y, and the rings' radii.
A target is two dark shapes with one middle, whose sizes are in the right proportion; print, text
and patches have none. Centres are then refined as the middle of the ink, to a few hundredths of a
pixel: a circle's middle does not move under blur, and hardly under perspective.

Source: concentric contrast targets as in close-range photogrammetry (Gatrell, Hoff, Sklair, "Robust
image features: concentric contrasting circles", SPIE 1612, 1991). Not done here: which corner is
which.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.arrays import Floats, Floats32

# proportions of a target, as shares of its outer radius
RING_INSIDE = 0.70
DISC = 0.36
_SEARCH_PX = 1500  # long side of the picture in which targets are looked for


@dataclass(frozen=True, slots=True, eq=False)
class FoundTargets:
    """Targets in a picture.

    Attributes:
        centres_px: (n, 2) x and y.
        radii_px: (n,) of the rings' outer edge.
    """

    centres_px: Floats
    radii_px: Floats

    def __post_init__(self) -> None:
        self.centres_px.setflags(write=False)
        self.radii_px.setflags(write=False)


def find_targets(grey: Floats32) -> FoundTargets:
    """Return every target in a picture, the best formed first."""
    from scipy import ndimage

    step = max(1, int(np.ceil(max(grey.shape) / _SEARCH_PX)))
    small = _reduce(grey, step)
    reach = max(15, max(small.shape) // 16)
    # the paper's light near each pixel: the brightest around, without single bright dots
    paper = ndimage.maximum_filter(ndimage.uniform_filter(small, 3), size=reach)
    paper = ndimage.uniform_filter(paper, size=reach)
    labels, count = ndimage.label(small < 0.6 * paper, structure=np.ones((3, 3)))
    if count == 0:
        return FoundTargets(np.empty((0, 2)), np.empty(0))
    shapes = _shapes(labels)
    rings = _concentric(shapes, max(small.shape))
    centres = [_refine(grey, paper, (x * step, y * step, r * step), step) for x, y, r in rings]
    return FoundTargets(
        np.array(centres, dtype=np.float64).reshape(-1, 2),
        np.array([r * step for *_, r in rings], dtype=np.float64),
    )


def _reduce(grey: Floats32, step: int) -> Floats32:
    rows, cols = grey.shape[0] // step, grey.shape[1] // step
    blocks = grey[: rows * step, : cols * step].reshape(rows, step, cols, step)
    small: Floats32 = blocks.mean(axis=(1, 3), dtype=np.float32)
    return small


def _shapes(labels: NDArray[np.int32]) -> Floats:
    """Return (n, 5) of the dark shapes: middle x and y, width, height, filled pixels."""
    from scipy import ndimage

    boxes = ndimage.find_objects(labels)
    areas = np.bincount(labels.ravel())[1:]
    rows = [
        (
            (cols.start + cols.stop) / 2.0,
            (rows.start + rows.stop) / 2.0,
            cols.stop - cols.start,
            rows.stop - rows.start,
            area,
        )
        for (rows, cols), area in zip(boxes, areas, strict=True)
    ]
    return np.array(rows, dtype=np.float64)


def _concentric(shapes: Floats, long_side: int) -> list[tuple[float, float, float]]:
    """Return x, y and outer radius of each ring with its disc, the best formed first."""
    x, y, wide, tall, area = shapes.T
    fill = area / (wide * tall)
    square = np.minimum(wide, tall) / np.maximum(wide, tall)
    size = (wide + tall) / 2.0
    sized = (size > 0.011 * long_side) & (size < 0.12 * long_side) & (square > 0.6)
    ring_fill = np.pi / 4.0 * (1.0 - RING_INSIDE**2)
    rings = np.flatnonzero(sized & (np.abs(fill - ring_fill) < 0.17))
    ranked = []
    for ring in rings:
        near = np.hypot(x - x[ring], y - y[ring]) < 0.12 * size[ring]
        ratio = size / size[ring]
        inside = near & (np.abs(ratio - DISC) < 0.15) & (fill > 0.6) & (square > 0.6)
        if inside.any():
            wrong = float(np.abs(fill[ring] - ring_fill) + np.abs(ratio[inside] - DISC).min())
            ranked.append((wrong, (float(x[ring]), float(y[ring]), float(size[ring] / 2.0))))
    return [place for _, place in sorted(ranked)]


def _refine(
    grey: Floats32, paper: Floats32, ring: tuple[float, float, float], step: int
) -> tuple[float, float]:
    """Return the middle of the ink within a little more than the ring, at full resolution."""
    x, y, radius = ring
    light = float(paper[min(int(y / step), len(paper) - 1), min(int(x / step), paper.shape[1] - 1)])
    reach = radius * 1.18
    for _ in range(3):
        left, top = max(int(x - reach), 0), max(int(y - reach), 0)
        block = grey[top : int(y + reach) + 2, left : int(x + reach) + 2]
        ys, xs = np.mgrid[: block.shape[0], : block.shape[1]] + 0.5
        xs, ys = xs + left, ys + top
        ink = np.clip(0.85 * light - block, 0.0, None) * (np.hypot(xs - x, ys - y) < reach)
        total = float(ink.sum())
        if total <= 0.0:
            break
        x, y = float((ink * xs).sum() / total), float((ink * ys).sum() / total)
    return x, y
