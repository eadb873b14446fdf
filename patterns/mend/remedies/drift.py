"""Does the ground get lighter from one edge to the other? Level it.

In: a tile, (height, width, 3) sRGB uint8. Out: the tile with a ramp taken away that runs from edge
to edge in CIELAB (D50), or None where no drift explains the step at the join.

The step is the commonest one among all pairs of places on either side of the join, row by row:
where both show the same thing it is the drift, and where they show different things no value is
common. A picture that was cut off has no common step but 0. Where the step changes slowly
along the edge, as in a vignette, the ramp follows. Not done here: rows (turn the tile).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Pixels
from palette.space import lab_to_srgb8, srgb_to_lab

LEAST_DE = 1.2  # a smaller step is not worth touching every pixel for
MOST_DE = 20.0
BAND = 4  # columns compared on either side
ALIKE_DE = 2.0  # steps this near to the commonest are the same step
ROWS = 512  # at least, of a tall tile, tell the tone of a column
STRETCHES = 8  # of the edge, each a sixth long and with a step of its own
AGREE = 0.2  # share of pairs that must make that step; different things hardly ever do


def level_drift(pixels: Pixels, drop_px: int = 0) -> Pixels | None:
    """Return the tile without its drift from left to right, or None.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
    """
    if min(pixels.shape[:2]) < 16:
        return None
    steps = _steps(pixels, drop_px)
    step = _commonest_step(steps.reshape(-1, 3))
    size = float(np.linalg.norm(step))
    near = np.linalg.norm(steps - step, axis=2) < ALIKE_DE
    still = np.linalg.norm(steps, axis=2) < min(ALIKE_DE, 0.5 * size)
    if LEAST_DE < size < MOST_DE and near.mean() >= max(AGREE, 2.0 * still.mean()):
        return _level(pixels, _along_the_edge(steps, step), drop_px)
    tone = _step_of_tone(pixels)
    return None if tone is None else _level(pixels, np.tile(tone, (len(pixels), 1)), drop_px)


def _step_of_tone(pixels: Pixels) -> Floats | None:
    """Return the step of the middle colour at the join, if nothing inside has its like.

    In a texture hardly two places show the same, but its middle colour is the same everywhere, and
    a motif cut off at the join does not move it.
    """
    width = pixels.shape[1]
    band = max(3, width // 12)
    some = pixels[:: max(1, len(pixels) // ROWS)]
    tones = np.stack([np.median(srgb_to_lab(some[:, x]), axis=0) for x in range(width)])
    sums = np.cumsum(np.concatenate([np.zeros((1, 3)), tones, tones[: 2 * band]]), axis=0)
    bands = (sums[band:] - sums[:-band]) / band
    steps = bands[band:] - bands[:-band]  # into the band that starts at column i + band
    join, inside = steps[width - band], steps[: width - 2 * band + 1]
    size = float(np.linalg.norm(join))
    usual = float(np.linalg.norm(inside, axis=1).max())
    return join if max(LEAST_DE, 1.4 * usual) < size < MOST_DE else None


def _steps(pixels: Pixels, drop_px: int) -> Floats:
    """Return (height, pairs, 3): by how much CIELAB changes from each place to each beyond."""
    after = srgb_to_lab(np.roll(pixels[:, :BAND], drop_px, axis=0))
    before = srgb_to_lab(pixels[:, -BAND:])
    return np.asarray(after[:, None] - before[:, :, None]).reshape(len(pixels), -1, 3)


def _commonest_step(steps: Floats) -> Floats:
    """Return the step about which most others lie, by mean shift from a histogram's peak."""
    cells = np.round(steps / ALIKE_DE).astype(np.int64)
    _, index, count = np.unique(
        cells @ np.array([1, 1000, 1000000]), return_inverse=True, return_counts=True
    )
    centre = np.median(steps[index == np.argmax(count)], axis=0)
    for _ in range(8):
        centre = steps[np.linalg.norm(steps - centre, axis=1) < 1.5 * ALIKE_DE].mean(axis=0)
    return np.asarray(centre)


def _along_the_edge(steps: Floats, step: Floats) -> Floats:
    """Return (height, 3): the common step of each stretch of the edge, going over smoothly."""
    rows = len(steps)
    places = (np.arange(STRETCHES) + 0.5) * rows / STRETCHES
    commonest = []
    for place in places:
        stretch = steps[np.arange(int(place - rows / 12), int(place + rows / 12) + 1) % rows]
        own = _commonest_step(stretch.reshape(-1, 3))
        agrees = (np.linalg.norm(stretch - own, axis=2) < ALIKE_DE).mean() >= AGREE
        same = float(own @ step) > 0.0 and np.linalg.norm(own) < 4.0 * np.linalg.norm(step)
        commonest.append(own if agrees and same else step)
    values = np.stack(commonest)
    where = np.arange(rows) + 0.5
    return np.stack([np.interp(where, places, c, period=rows) for c in values.T], axis=1)


def _level(pixels: Pixels, step: Floats, drop_px: int) -> Pixels:
    width = pixels.shape[1]
    ramp = ((np.arange(width) + 0.5) / width - 0.5)[:, None]
    out = np.empty_like(pixels)
    # the left edge takes half the step as it meets the right edge, lowered
    left = np.roll(step, -drop_px, axis=0)
    for start in range(0, len(pixels), 64):
        rows = slice(start, start + 64)
        mean = np.where(ramp > 0.0, step[rows, None], left[rows, None])
        out[rows] = lab_to_srgb8(srgb_to_lab(pixels[rows]) + mean * ramp)
    return out
