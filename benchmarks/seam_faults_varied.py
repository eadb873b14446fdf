"""The same faults as other programs and other hands would leave them, to learn from.

Nothing here is counted by ``benchmarks.seams``. As in ``seam_faults`` every fault is made at the
right edge, in and out (height, width, 3) sRGB uint8 with the visible difference in CIE76.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from benchmarks.seam_drawings import SCALE, blob, turned
from benchmarks.seam_faults import _cropped, _foreign_colour, drift, worst_run_de
from benchmarks.seam_motifs import leaf, petals

Pixels = NDArray[np.uint8]
Generator = np.random.Generator


def crop_any(tile: Pixels, rng: Generator) -> tuple[Pixels, float]:
    """Some columns lost, from a few to nearly half of the tile."""
    return _cropped(tile, float(np.exp(rng.uniform(np.log(0.01), np.log(0.45)))))


def part_fringe(tile: Pixels, rng: Generator) -> tuple[Pixels, float]:
    """The last column, now and then the last two, from a quarter to four fifths transparent."""
    wide, share = int(rng.integers(1, 3)), rng.uniform(0.25, 0.8)
    paper = 255.0 if rng.random() < 0.85 else 0.0
    out = tile.copy()
    out[:, -wide:] = np.rint(tile[:, -wide:] * (1 - share) + paper * share).astype(np.uint8)
    return out, worst_run_de(out[:, -1], tile[:, -1])


def doubled_first(tile: Pixels, _: Generator) -> tuple[Pixels, float]:
    """The first column twice."""
    out = np.concatenate([tile[:, :1], tile], axis=1)
    return out, worst_run_de(tile[:, 0], tile[:, -1])


def drift_any(tile: Pixels, rng: Generator) -> tuple[Pixels, float]:
    """A tone that runs over 6 to 14 L* from edge to edge."""
    return drift(tile, rng, rng.uniform(6.0, 14.0))


def cut_shape(tile: Pixels, rng: Generator) -> tuple[Pixels, float]:
    """One to three motifs (leaf, flower, blot) over the right edge that do not go on at the left.

    Some reach over the edge only by a tip.
    """
    height, width = tile.shape[:2]
    mask = np.zeros((height, width, 1))
    for _ in range(int(rng.integers(1, 4))):
        size = float(np.clip(rng.uniform(0.05, 0.16) * min(height, width), 5, 220))
        way = int(rng.integers(3))
        shapes = [leaf(size * 2, rng.uniform(0.15, 0.4), rng.normal(0, 0.3))]
        if way == 0:
            shapes = [blob(rng, size, int(rng.integers(2, 7)), 0.35)]
        elif way == 1:
            shapes = petals(int(rng.integers(4, 9)), size, 0.35)
        angle = rng.uniform(0, 6.28)
        at = np.array((width - size * rng.uniform(-0.6, 0.9), rng.uniform(size, height - size)))
        part = Image.new("L", (width * SCALE, height * SCALE), 0)
        from PIL import ImageDraw

        draw = ImageDraw.Draw(part)
        for shape in shapes:
            draw.polygon([tuple(p) for p in (turned(shape, angle) + at) * SCALE], fill=255)
        mask = np.maximum(mask, np.asarray(part.reduce(SCALE))[..., None] / 255.0)
    painted = tile * (1.0 - mask) + _foreign_colour(tile, rng) * mask
    out = np.rint(painted).astype(np.uint8)
    return out, worst_run_de(out[:, -1], tile[:, -1])


VARIED = {
    "crop any": crop_any,
    "part fringe": part_fringe,
    "first doubled": doubled_first,
    "drift any": drift_any,
    "shape cut off": cut_shape,
}
