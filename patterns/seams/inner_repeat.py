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

A file that loses detail keeps its light finely and its colour coarsely, and mixes the colours of
two sides at a line inside, but not at its own edge (ITU-T T.81, chroma at half size): there thin
windows compare light alone, and wide ones colours that are softened across the join alike.

The other way round, a tile that repeats inside, but holds no whole number of its repeats, breaks
them at its join, however well its edges agree. That is sure where a line of the design is seen
three times at equal distances, or where the tile holds the same repeat whole the other way. Where
a sett is seen but twice, it may be: of a pair of lines, or a plaid of two setts, the second
distance may be meant to be another one. What broke may be the repeat beside the join, which then
spoils the tile's likeness to itself: so repeats are looked for in the middle as well. And where
all is the same one repeat further on but for what lies about the join, that is a question too: a
pale line, or the border of a print.

Not done here: finding the smallest repeat (``patterns.repeats``).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from palette.arrays import Floats32, Pixels
from patterns.lab32 import lab32
from patterns.seams.step_measures import along_mean
from patterns.seams.stripes import SLOW_DE, slow_change

MOST_REPEATS = 24
LEAST_REPEAT_PX = 16
LIKENESS_FROM = 0.9  # correlation of a tile with itself, one inner repeat further on
SIDE_PX = 48  # lines looked at on either side of the join, half a repeat at most
WINDOWS = ((1, 64), (8, 16))  # lines across and pixels along: a pale line, a cut motif
UNSEEN_DE = 1.5  # CIE76 of a window's mean
LEVEL_DE = 0.75  # CIE76 of the mean along the whole edge, on either side
SLACK = (1.25, 2.0)  # over the greatest that the inside gives, exactly kept or in a lossy file
NOTICED_DE = 2.3  # CIE76: the just noticeable difference after Mahy and others, 1994
NO_WORSE, NO_WORSE_DE = 1.05, 0.1  # a share, and CIE76: noise
MOST_DE = 5.0  # up to this: a repeat drawn by hand differs from itself, and proves nothing
SAMPLE = 4  # each fourth pixel tells whether a repeat is worth a look
COLUMNS = 32  # of a tile, in which repeats that do not go into it are looked for
MOST_PEAKS = 4
MOST_SHARE = 0.6  # of a tile: the longest repeat
MIDDLE = 8  # without an eighth of a tile at either edge
MARKED = 0.5  # of the most marked line: a line that shows a rhythm
LINE_FROM = 0.2  # of it: a line of a sett
LINES_OF_SETT = 3  # that must agree where they are seen twice: of a pair of lines there are two
ALONG_PX = 64  # lines are looked at as means over so much of the edge
SOFT_PX = 5  # of a lossy file's colour, across the join
LUMA = (0.299, 0.587, 0.114)  # of sRGB values: ITU-R BT.601, as JPEG has it
COLOUR_GAIN = 1.5  # so that a step in colour weighs about what it does in CIELAB


def obeys_inner_repeat(
    pixels: Pixels, axis: int, shift: float = 0.0, *, lossy: bool = False
) -> bool:
    """Tell whether a tile repeats inside, and across its join as inside.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        axis: 0 where the right edge meets the left, 1 where the bottom meets the top.
        shift: how far the neighbour is moved along the edge, a share of it.
        lossy: whether the file format loses detail.
    """
    lines = pixels.transpose(1, 0, 2) if axis == 0 else pixels
    step = round(shift * lines.shape[1])
    if any(_closes(lines, step, repeat, lossy=lossy) for repeat in inner_repeats(lines)):
        return True
    return any(_closes_between(lines, step, times) for times in _uneven_times(lines))


def inner_repeats(lines: Pixels) -> list[int]:
    """Return the repeats, in lines, that go into a tile several times, the likeliest first.

    Args:
        lines: (count, along, 3) uint8, the first axis runs across the join.
    """
    count = lines.shape[0]
    even = [times for times in _times(count) if count % times == 0]
    return [count // times for times in _likely(lines, even)]


def _uneven_times(lines: Pixels) -> list[int]:
    """Return how often a repeat that is no whole number of lines goes into a tile, likeliest first.

    A program that draws motifs smoothly, anywhere between two pixels, makes such tiles.
    """
    count = lines.shape[0]
    return _likely(lines, [times for times in _times(count) if count % times])


def _times(count: int) -> range:
    return range(2, min(MOST_REPEATS, count // LEAST_REPEAT_PX) + 1)


def _likely(lines: Pixels, all_times: Sequence[int]) -> list[int]:
    """Return those numbers of repeats at which a tile is like itself, the likeliest first."""
    tone = lines[:, ::SAMPLE, 1].astype(np.float32)
    tone -= tone.mean(axis=0)
    found = []
    for times in all_times:
        repeat = round(lines.shape[0] / times)
        first, second = tone[:-repeat], tone[repeat:]
        scale = float(np.sqrt((first**2).sum() * (second**2).sum()))
        likeness = float((first * second).sum()) / scale if scale > 0.0 else 0.0
        if likeness >= LIKENESS_FROM:
            found.append((likeness, times))
    return [times for _, times in sorted(found, reverse=True)]


def breaks_inner_repeat(
    pixels: Pixels, axis: int, shift: float = 0.0, *, lossy: bool = False
) -> float:
    """Return how sure it is that a tile repeats inside and breaks that at its join: 0, 0.5 or 1.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        axis: 0 where the right edge meets the left, 1 where the bottom meets the top.
        shift: how far the neighbour is moved along the edge, a share of it.
        lossy: whether the file format loses detail.
    """
    lines = pixels.transpose(1, 0, 2) if axis == 0 else pixels
    count, step = lines.shape[0], round(shift * lines.shape[1])
    repeats = _likely_repeats(lines)
    obeyed = {
        repeat: differs
        for repeat in repeats
        if (differs := _differs_inside(lines, repeat, lossy=lossy)) <= MOST_DE
    }
    if any(_goes_in(count, repeat, obeyed) for repeat in obeyed or repeats):
        exact = [repeat for repeat in repeats if count % repeat == 0]
        return 0.5 if _stands_alone(lines, step, exact, lossy=lossy) else 0.0
    evidence = _evidence_of_break(lines, step, obeyed, lossy=lossy)
    if evidence:
        return evidence
    cut = count // MIDDLE
    obeyed = {
        repeat: differs
        for repeat in _likely_repeats(lines[cut : count - cut])
        if (differs := _differs_inside(lines, repeat, half=True, lossy=lossy)) <= MOST_DE
    }
    if any(_goes_in(count, repeat, obeyed) for repeat in obeyed):
        return 0.0
    return _evidence_of_break(lines, step, obeyed, lossy=lossy)


def _evidence_of_break(
    lines: Pixels, step: int, obeyed: Mapping[int, float], *, lossy: bool
) -> float:
    """Return how sure it is that a join breaks repeats that the inside obeys to within so much."""
    count = lines.shape[0]
    broken = [
        _worst(_off(np.roll(lines[:repeat], step, axis=1), lines[count - repeat :], lossy), lossy)
        > max(MOST_DE, 2.0 * differs)
        for repeat, differs in obeyed.items()
    ]
    if not all(broken):
        return 0.0
    # with half a repeat left, motifs go on, but two of one colour meet: that may be meant
    most = 0.5 if any(_goes_in(2 * count, repeat, obeyed) for repeat in obeyed) else 1.0
    if any(_is_seen_thrice(lines, repeat) for repeat in obeyed):
        return most
    across = lines.transpose(1, 0, 2)
    twice = {repeat: _count_twice(lines, repeat) for repeat in obeyed}
    if any(n and _holds_whole(across, repeat, lossy=lossy) for repeat, n in twice.items()):
        return most
    return 0.5 if max(twice.values(), default=0) >= LINES_OF_SETT else 0.0


def runs_through_repeats(pixels: Pixels, axis: int, *, lossy: bool = False) -> bool:
    """Tell whether a tile's repeats are alike but for one slow tone that runs over all of them.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        axis: 0 where the right edge meets the left, 1 where the bottom meets the top.
        lossy: whether the file format loses detail.
    """
    lines = pixels.transpose(1, 0, 2) if axis == 0 else pixels
    count = lines.shape[0]
    even = [repeat for repeat in _likely_repeats(lines) if count % repeat == 0]
    return (
        any(_differs_evenly(lines, repeat, lossy=lossy) for repeat in even)
        and slow_change(lab32(lines[:, ::SAMPLE])) >= SLOW_DE
    )


def _differs_evenly(lines: Pixels, repeat: int, *, lossy: bool) -> bool:
    off = _off(lines[repeat:], lines[:-repeat], lossy)
    total = _level(off) * len(lines) / repeat
    return total >= SLOW_DE and _worst(off - off.mean(axis=(0, 1)), lossy) <= NOTICED_DE


def _stands_alone(lines: Pixels, step: int, repeats: Sequence[int], *, lossy: bool) -> bool:
    """Tell whether what lies at the join is not there one repeat on, though all else is."""
    for repeat in repeats:
        side = min(repeat // 2, SIDE_PX)
        join = np.concatenate([lines[-side:], np.roll(lines[:side], step, axis=1)])
        if _worst(_off(join, lines[repeat - side : repeat + side], lossy), lossy) <= MOST_DE:
            return False
    return any(_differs_inside(lines, one, lossy=lossy) <= UNSEEN_DE for one in repeats)


def _holds_whole(lines: Pixels, repeat: int, *, lossy: bool) -> bool:
    """Tell whether a tile closes with a repeat of this length, to within a line."""
    return any(
        abs(own - repeat) <= 1 and _closes(lines, 0, own, lossy=lossy)
        for own in inner_repeats(lines)
    )


def _likely_repeats(lines: Pixels) -> list[int]:
    """Return the likeliest repeats, in lines, whether they go into the tile or not."""
    from scipy.fft import irfft, next_fast_len, rfft

    count = lines.shape[0]
    most = int(MOST_SHARE * count)
    tone = lines[:, :: max(1, lines.shape[1] // COLUMNS), 1].astype(np.float32)
    tone -= tone.mean(axis=0)
    size = next_fast_len(count + most + 1, real=True)
    spectrum = rfft(tone, size, axis=0)
    product = irfft(np.square(np.abs(spectrum)).sum(axis=1), size)[: most + 1]
    energy = np.concatenate([[0.0], np.cumsum(np.square(tone, dtype=np.float64).sum(axis=1))])
    shifts = np.arange(most + 1)
    both = energy[count - shifts] + energy[-1] - energy[shifts]
    like = np.append(2.0 * product / (both + 1.0), -1.0)
    peaks = [
        int(shift)
        for shift in range(LEAST_REPEAT_PX, most + 1)
        if like[shift] >= max(LIKENESS_FROM, like[shift - 1], like[shift + 1])
    ]
    return sorted(peaks, key=lambda shift: -like[shift])[:MOST_PEAKS]


def _goes_in(count: int, repeat: int, obeyed: Iterable[int]) -> bool:
    """Tell whether a tile holds a whole number of repeats, but for rounding.

    A repeat need not be a whole number of lines: the longest of its multiples that the tile obeys
    as well tells it most finely.
    """
    times, exact = 1, float(repeat)
    for longer in obeyed:
        number = round(longer / repeat)
        if number > times and abs(longer - number * repeat) <= (number + 1) // 2:
            times, exact = number, longer / number
    number = max(1, round(count / exact))
    return abs(count - number * exact) <= 1 + number // (2 * times)


def _differs_inside(lines: Pixels, repeat: int, *, half: bool = False, lossy: bool) -> float:
    """Return the most by which lines differ from those one repeat on, away from the join.

    That is by a quarter of a repeat, or by ``half`` of one.
    """
    count = lines.shape[0]
    edge = repeat // 2 if half else min(repeat // 4, SIDE_PX)
    edge = min(edge, (count - repeat) // 4)
    inner = lines[edge : count - repeat - edge]
    return _worst(_off(inner, lines[edge + repeat : count - edge], lossy), lossy)


def _is_seen_thrice(lines: Pixels, repeat: int) -> bool:
    """Tell whether a marked line has its like one and two repeats further on, to within a line."""
    step = _steps(lines)
    room = len(step) - 2 * repeat
    if room <= 0:
        return False
    marked = step >= MARKED * step.max()
    near = np.convolve(marked, np.ones(3), "same") > 0
    return bool((marked[:room] & near[repeat : repeat + room] & near[2 * repeat :]).any())


def _count_twice(lines: Pixels, repeat: int) -> int:
    """Return how many lines of a sett stand in the part that is there again one repeat further."""
    step = _steps(lines)
    fine = step[: lines.shape[0] - repeat] >= LINE_FROM * step.max()
    return int(fine[0]) + int((fine[1:] & ~fine[:-1]).sum())


def _steps(lines: Pixels) -> Floats32:
    """Return how much each line differs from the next, as means along the edge."""
    starts = np.arange(0, lines.shape[1], ALONG_PX)
    sums = np.add.reduceat(lines, starts, axis=1, dtype=np.float32)
    widths = np.diff(np.append(starts, lines.shape[1])).astype(np.float32)
    steps: Floats32 = np.abs(np.diff(sums / widths[:, None], axis=0)).mean(axis=(1, 2))
    return steps


def _closes(lines: Pixels, step: int, repeat: int, *, lossy: bool) -> bool:
    """Tell whether the picture about the join is that about the same place of an inner repeat."""
    side = min(repeat // 2, SIDE_PX)
    join = np.concatenate([lines[-side:], np.roll(lines[:side], step, axis=1)])
    inside = lines[repeat - side : repeat + side]
    off = _off(join, inside, lossy)
    if max(_level(off[:side]), _level(off[side:])) > LEVEL_DE:
        return False
    away = [_off(lines[side : repeat - side], lines[repeat + side : 2 * repeat - side], lossy)]
    if len(lines) >= 3 * repeat:
        away.append(_off(inside, lines[2 * repeat - side : 2 * repeat + side], lossy))
    return all(_unseen(off, away, side, window, lossy=lossy) for window in WINDOWS)


def _closes_between(lines: Pixels, step: int, times: int) -> bool:
    """Tell the same of a repeat that is no whole number of lines, by what lies between two lines.

    Only where nothing is noticed at the join, and the inside alone, away from the join, agrees with
    it no worse than with the repeat of a tile one line longer or shorter: a line too many would
    else be spread over all repeats, and excused.
    """
    count = len(lines)
    repeat = count / times
    side = min(int(repeat) // 4, SIDE_PX)
    lab = lab32(lines[: math.ceil(2.0 * repeat)])

    def off_inside(shift: float) -> Floats32:
        inner: Floats32 = lab[side : int(repeat) - side]
        return inner - _between(lab, side + shift, len(inner))

    own, *others = (_most(off_inside(repeat + off / times), WINDOWS[0]) for off in (0.0, -1.0, 1.0))
    if own > NO_WORSE * min(others) + NO_WORSE_DE:
        return False
    before = lab32(lines[-side:]) - _between(lab, repeat - side, side)
    after = np.roll(lab[:side], step, axis=1) - _between(lab, repeat, side)
    return (
        max(_level(before), _level(after)) <= LEVEL_DE
        and max(_worst(before, lossy=False), _worst(after, lossy=False)) <= NOTICED_DE
    )


def _between(lab: Floats32, first: float, count: int) -> Floats32:
    """Return so many lines from a place between two lines on."""
    low = math.floor(first)
    share = np.float32(first - low)
    return lab[low : low + count] * (1 - share) + lab[low + 1 : low + count + 1] * share


def _off(one: Pixels, other: Pixels, lossy: bool) -> Floats32:
    """Return by what lines differ, (count, along, 3): light first, then colour."""
    off: Floats32 = _soft(one) - _soft(other) if lossy else lab32(one) - lab32(other)
    return off


def _soft(lines: Pixels) -> Floats32:
    """Return light, 0 to 100, and colour softened across the join, as a lossy file holds them."""
    from scipy.ndimage import uniform_filter1d

    rgb = lines.astype(np.float32) / np.float32(2.55)
    light = rgb @ np.array(LUMA, np.float32)
    colour = (rgb[..., [2, 0]] - light[..., None]) * np.array([0.564, 0.713], np.float32)
    soft = uniform_filter1d(colour, SOFT_PX, axis=0, mode="nearest") if len(lines) else colour
    return np.concatenate([light[..., None], COLOUR_GAIN * soft], axis=-1)


def _part(off: Floats32, window: tuple[int, int], lossy: bool) -> Floats32:
    """Return what a window looks at: in a thin one of a lossy file, light alone."""
    return off[..., :1] if lossy and window[0] == 1 else off


def _worst(off: Floats32, lossy: bool) -> float:
    return max(_most(_part(off, window, lossy), window) for window in WINDOWS)


def _level(off: Floats32) -> float:
    return float(np.linalg.norm(off.mean(axis=(0, 1))))


def _unseen(
    off: Floats32, away: Sequence[Floats32], side: int, window: tuple[int, int], *, lossy: bool
) -> bool:
    """Tell whether no window at the join differs visibly more than windows elsewhere do."""
    elsewhere = max(_most(_part(one, window, lossy), window) for one in away)
    join = _part(off, window, lossy)
    at_join = max(_most(join[:side], window), _most(join[side:], window))
    return at_join <= max(UNSEEN_DE, min(MOST_DE, SLACK[lossy] * elsewhere))


def _most(off: Floats32, window: tuple[int, int]) -> float:
    """Return the greatest CIE76 of a window's mean; 0 where there is no room for one."""
    high, wide = window
    rows, cols = off.shape[0] // high, max(1, off.shape[1] // wide)
    if not rows:
        return 0.0
    wide = min(wide, off.shape[1])
    lines = off[: rows * high, : cols * wide].reshape(rows, high, -1).sum(axis=1)
    means = along_mean(lines.reshape(rows * cols, wide, -1)) / np.float32(high)
    return float(np.linalg.norm(means, axis=-1).max())
