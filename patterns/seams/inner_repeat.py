"""Does a tile that holds its repeat several times over obey it across the join too? Then it closes.

In: the lines of a tile across one axis, and how far the lattice moves the neighbour along the edge.
Out: whether the join is proven: around it the picture is what it is one inner repeat further on,
inside the tile, where nothing was cut. A tartan of two setts, a gingham or a patchwork has hard
lines everywhere, and its edge may lie on one: measures of what stands out cannot tell such a join
from a fault, its own repetition can.

Compared are means over small windows, so that noise and a weave say little, with two bounds: what
the same comparison gives away from the join, and what nobody sees. A tone that drifts differs by
the same amount everywhere, but with opposite signs on the two sides of the join: so the mean along
the whole edge must vanish on either side. No published source.

Not done here: repeats that are not a whole number of pixels, and finding the smallest repeat
(``patterns.repeats``).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.arrays import Floats32, Pixels
from patterns.lab32 import lab32

MOST_REPEATS = 24
LEAST_REPEAT_PX = 16
LIKENESS_FROM = 0.9  # correlation of a tile with itself, one inner repeat further on
SIDE_PX = 48  # lines looked at on either side of the join, half a repeat at most
WINDOWS = ((1, 64), (8, 16))  # lines across and pixels along: a pale line, a cut motif
UNSEEN_DE = 1.5  # CIE76 of a window's mean
LEVEL_DE = 0.75  # CIE76 of the mean along the whole edge, on either side
SLACK = 1.25  # over the greatest that the tile's own interior gives,
MOST_DE = 5.0  # up to this: a repeat drawn by hand differs from itself, and proves nothing
SAMPLE = 4  # each fourth pixel tells whether a repeat is worth a look


def obeys_inner_repeat(pixels: Pixels, axis: int, shift: float = 0.0) -> bool:
    """Tell whether a tile repeats inside, and across its join as inside.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        axis: 0 where the right edge meets the left, 1 where the bottom meets the top.
        shift: how far the neighbour is moved along the edge, a share of it.
    """
    lines = pixels.transpose(1, 0, 2) if axis == 0 else pixels
    step = round(shift * lines.shape[1])
    return any(_closes(lines, step, repeat) for repeat in inner_repeats(lines))


def inner_repeats(lines: Pixels) -> list[int]:
    """Return the repeats, in lines, that go into a tile several times, the likeliest first.

    Args:
        lines: (count, along, 3) uint8, the first axis runs across the join.
    """
    count = lines.shape[0]
    tone = lines[:, ::SAMPLE, 1].astype(np.float32)
    tone -= tone.mean(axis=0)
    found = []
    for times in range(2, min(MOST_REPEATS, count // LEAST_REPEAT_PX) + 1):
        if count % times:
            continue
        repeat = count // times
        first, second = tone[:-repeat], tone[repeat:]
        scale = float(np.sqrt((first**2).sum() * (second**2).sum()))
        likeness = float((first * second).sum()) / scale if scale > 0.0 else 0.0
        if likeness >= LIKENESS_FROM:
            found.append((likeness, repeat))
    return [repeat for _, repeat in sorted(found, reverse=True)]


def _closes(lines: Pixels, step: int, repeat: int) -> bool:
    """Tell whether the picture about the join is that about the same place of an inner repeat."""
    side = min(repeat // 2, SIDE_PX)
    join = np.concatenate([lines[-side:], np.roll(lines[:side], step, axis=1)])
    inside = lines[repeat - side : repeat + side]
    off = _difference(join, inside)
    if max(_level(off[:side]), _level(off[side:])) > LEVEL_DE:
        return False
    away = [_difference(lines[side : repeat - side], lines[repeat + side : 2 * repeat - side])]
    if len(lines) >= 3 * repeat:
        away.append(_difference(inside, lines[2 * repeat - side : 2 * repeat + side]))
    return all(_unseen(off, away, side, window) for window in WINDOWS)


def _difference(one: Pixels, other: Pixels) -> Floats32:
    difference: Floats32 = lab32(one) - lab32(other)
    return difference


def _level(off: Floats32) -> float:
    return float(np.linalg.norm(off.mean(axis=(0, 1))))


def _unseen(off: Floats32, away: Sequence[Floats32], side: int, window: tuple[int, int]) -> bool:
    """Tell whether no window at the join differs visibly more than windows elsewhere do."""
    elsewhere = max(_most(one, window) for one in away)
    at_join = max(_most(off[:side], window), _most(off[side:], window))
    return at_join <= max(UNSEEN_DE, min(MOST_DE, SLACK * elsewhere))


def _most(off: Floats32, window: tuple[int, int]) -> float:
    """Return the greatest CIE76 of a window's mean; 0 where there is no room for one."""
    high, wide = window
    rows, cols = off.shape[0] // high, max(1, off.shape[1] // wide)
    if not rows:
        return 0.0
    wide = min(wide, off.shape[1])
    blocks = off[: rows * high, : cols * wide].reshape(rows, high, cols, wide, 3)
    return float(np.linalg.norm(blocks.mean(axis=(1, 3)), axis=-1).max())
