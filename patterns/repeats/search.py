"""How large is the smallest repeat in this picture, and how do its tiles lie?

In: a picture of repeated artwork, (height, width, 3) sRGB uint8. Out: a ``Repeat`` in pixels (not
rounded) with its lattice, or None where nothing repeats. Peaks of the picture's autocorrelation
that are as high and as sharp as the one at no shift are lattice vectors; the two shortest span the
cell; least squares over all of them, measured in full size, give its size to a fraction of a pixel.
A repeat must be seen more than once in each direction to be believed, and the picture must have
stopped being like itself on the way: the wobble of lines drawn by hand makes ripples, not repeats.

A half-drop of W x H and a half-brick of 2W x H/2 are one lattice; the name is chosen that gives
the tile nearest to a square. Background: Liu, Collins, Tsin, "A computational model for periodic
pattern perception based on frieze and wallpaper groups", IEEE TPAMI 26(3), 2004. Not done here:
pictures turned or taken aslant; lattices that no rectangle with a half step can tell.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Floats32, Pixels
from patterns.autocorrelation import Autocorrelation, autocorrelate
from patterns.lab32 import lab32
from patterns.plane import HALF_BRICK, HALF_DROP, STRAIGHT, Lattice, parse_lattice, reduce_by
from patterns.repeats.subpixel import measure_shift
from patterns.seams import SeamCheck, check_seams

WORK_PX = 640  # the picture's longer side while peaks are looked for
SCREEN_PX = 240  # and in the quick look whether anything repeats at all
LEAST_SEEN = 1.5
SURE_FROM = 0.5
# of what is lost on the way to a repeat, the share that comes back there: 0.8 or more in drawn
# tiles that repeat, 0.3 or less where lines wobble (value from own drawings, no published source)
COMES_BACK = 0.5
GRAIN_PX = 8  # JPEG's blocks: as far goes noise that was saved in one


@dataclass(frozen=True, slots=True)
class Repeat:
    """The smallest repeat that rebuilds a picture.

    Attributes:
        width_px, height_px: the tile's size in pixels of the picture, not rounded.
        lattice: "straight", "half-drop" or "half-brick".
        confidence: 0 to 1, how much as like itself the picture is there as at no shift.
        seen: how many repeats the picture holds along the direction in which it holds fewer.
    """

    width_px: float
    height_px: float
    lattice: str
    confidence: float
    seen: float


def find_repeat(pixels: Pixels, *, least_seen: float = LEAST_SEEN) -> Repeat | None:
    """Return the smallest repeat of a picture, or None where nothing repeats in it.

    Args:
        pixels: (height, width, 3) sRGB uint8, of 24 px or more either way.
        least_seen: how many repeats the picture must hold in each direction in which it changes,
            1.1 or more. Where the answer is None, asking again with 1.15 tells a picture that holds
            too little of a repeat from one in which nothing repeats; such an answer is a hint.

    Returns:
        The repeat, sub-pixel, or None.
    """
    if min(pixels.shape[:2]) < 24:
        return None
    most = min(0.9, 1.05 / least_seen)
    large = max(pixels.shape[:2]) > 2 * SCREEN_PX
    if large and not _may_repeat(lab32(_reduce(pixels, SCREEN_PX)), most):
        return None
    work = _reduce(pixels, WORK_PX)
    result = _find_cell(lab32(work), most, least_seen)
    if result is None or result[1] < SURE_FROM:
        return None
    cell, confidence = result
    across, down = pixels.shape[1] / work.shape[1], pixels.shape[0] / work.shape[0]
    cell = _refine(pixels, cell.scaled(across, down))
    return cell.repeat(pixels.shape[1], pixels.shape[0], confidence)


def find_lattice(pixels: Pixels) -> Lattice:
    """Return the lattice in which a lone tile shows no seam, or the one that shows it least.

    Straight goes first, then half-drop, then half-brick: where several will do, the plainest.
    """
    return _found(pixels)[0]


def lattice_of(pixels: Pixels, named: str) -> Lattice:
    """Return the lattice of that name; of "auto", the one that ``find_lattice`` finds.

    Raises:
        ArtworkError: there is no such lattice.
    """
    return find_lattice(pixels) if named == "auto" else parse_lattice(named)


def check_as(pixels: Pixels, named: str, *, lossy: bool = False) -> tuple[Lattice, SeamCheck]:
    """Return ``lattice_of`` a tile, and the check of its joins there, made once.

    Args:
        pixels: (height, width, 3) sRGB uint8, one tile.
        named: a lattice's name, or "auto".
        lossy: as of ``check_seams``.

    Raises:
        ArtworkError: there is no such lattice.
    """
    if named == "auto" and not lossy:
        return _found(pixels)
    lattice = lattice_of(pixels, named)
    return lattice, check_seams(pixels, lattice, lossy=lossy)


def _found(pixels: Pixels) -> tuple[Lattice, SeamCheck]:
    """Return the lattice of ``find_lattice`` with the check of its joins as kept exactly."""
    checks: dict[Lattice, SeamCheck] = {}
    for lattice in (STRAIGHT, HALF_DROP, HALF_BRICK):
        check = checks[lattice] = check_seams(pixels, lattice)
        if check.seamless:
            return lattice, check
    return min(checks.items(), key=lambda one: max(one[1].x.score, one[1].y.score))


@dataclass(frozen=True, slots=True)
class _Cell:
    """A rectangle and its lattice; None for a direction in which the picture does not change."""

    width: float | None
    height: float | None
    lattice: Lattice

    def scaled(self, across: float, down: float) -> _Cell:
        width = None if self.width is None else self.width * across
        height = None if self.height is None else self.height * down
        return _Cell(width, height, self.lattice)

    def repeat(self, width_px: int, height_px: int, confidence: float) -> Repeat:
        w = width_px if self.width is None else self.width
        h = height_px if self.height is None else self.height
        seen = round(self.seen(width_px, height_px), 3)
        return Repeat(float(w), float(h), self.lattice.name, confidence, seen)

    def seen(self, width_px: int, height_px: int) -> float:
        """Return how many cells the picture holds, along the direction that holds fewer."""
        sides = ((width_px, self.width), (height_px, self.height))
        return min(float(length / side) for length, side in sides if side)

    def vectors(self, down: int, right: int) -> list[tuple[float, float, float, float]]:
        """Return lattice vectors within reach as (down, right, heights in it, widths in it)."""
        w, h = self.width or 0.0, self.height or 0.0
        out = []
        for i in range(-8, 9):
            for j in range(-8, 9):
                v = (j + self.lattice.drop * i, i + self.lattice.slide * j)
                y, x = v[0] * h, v[1] * w
                if (
                    (y, x) > (0.0, 0.0)
                    and y <= down
                    and abs(x) <= right
                    and (w or not i)
                    and (h or not j)
                ):
                    out.append((y, x, *v))
        return out


def _reduce(pixels: Pixels, side_px: int) -> Pixels:
    factor = max(pixels.shape[:2]) / side_px
    return pixels if factor <= 1.25 else reduce_by(pixels, factor, least_px=16)


def _find_cell(lab: Floats32, most: float, least_seen: float) -> tuple[_Cell, float] | None:
    """Return the cell in pixels of ``lab`` and how sure it is, or None."""
    if float(lab.std(axis=(0, 1)).max()) < 0.5:
        return None
    like = autocorrelate(lab, int(most * lab.shape[0]), int(most * lab.shape[1]))
    ring = _ring(like)
    if ring is None:
        return None
    best: tuple[_Cell, float] | None = None
    for cell in _candidates(like, ring):
        if cell.seen(lab.shape[1], lab.shape[0]) < least_seen or not _comes_back(like, cell):
            continue
        sure = _confidence(like, ring, cell)
        if sure >= SURE_FROM:
            return cell, sure
        if best is None or sure > best[1]:
            best = cell, sure
    return best


def _may_repeat(lab: Floats32, most: float) -> bool:
    """Whether anything at all may repeat in a reduced picture: a quick look."""
    if float(lab.std(axis=(0, 1)).max()) < 0.5:
        return False
    like = autocorrelate(lab, int(most * lab.shape[0]), int(most * lab.shape[1]))
    ring = _ring(like)
    return ring is not None and (_one_way(like) is not None or len(_peaks(like, ring)) > 0)


def _candidates(like: Autocorrelation, ring: list[tuple[int, int]]) -> Iterator[_Cell]:
    """Yield cells to try: stripes, the two shortest peaks, the first peaks along both axes.

    Last come stripes again, where what is taken off along them may be noise of more than a pixel.
    """
    stripes = _one_way(like)
    if stripes is not None:
        yield stripes
        return
    peaks = _peaks(like, ring)
    if not len(peaks):
        return
    cell = _cell(peaks)
    if cell is not None:
        yield cell
    least = float(peaks[:, 2].min())
    width = _first_period(like.table[0, like.across :], least)
    height = _first_period(like.table[:, like.across], least)
    if width is not None and height is not None:
        yield _Cell(width, height, STRAIGHT)
    stripes = _one_way(like, GRAIN_PX)
    if stripes is not None:
        yield stripes


def _ring(like: Autocorrelation) -> list[tuple[int, int]] | None:
    """Return shifts all round at the distance where the picture is no longer like itself."""
    limit = min(like.table.shape[0], like.across) // 3
    for radius in range(2, max(3, limit)):
        angles = np.arange(16) * (np.pi / 8)
        ring = sorted({(round(radius * np.sin(a)), round(radius * np.cos(a))) for a in angles})
        if np.mean([like.at(d, r) for d, r in ring]) < 0.65:
            return ring
    return None


def _sharpness(like: Autocorrelation, ring: list[tuple[int, int]], down: int, right: int) -> float:
    """Return how much of the fall around no shift is seen around this one, at most about 1."""
    here = like.at(down, right)
    around = np.array([(like.at(down + d, right + r), like.at(d, r)) for d, r in ring])
    around = around[~np.isnan(around).any(axis=1)]
    if len(around) < len(ring) // 2:
        return 0.0
    fall = 1.0 - float(around[:, 1].mean())
    return (here - float(around[:, 0].mean())) / max(fall, 1e-3)


def _peaks(like: Autocorrelation, ring: list[tuple[int, int]]) -> Floats:
    """Return accepted peaks (down, right, R), sub-pixel, the shortest first."""
    table = like.table
    padded = np.pad(table, 1, mode="edge")
    padded[0, 1:-1] = table[1, ::-1] if len(table) > 1 else -1.0  # R(-d, -r) = R(d, r)
    top = np.ones(table.shape, dtype=bool)
    for d in range(3):
        for r in range(3):
            if (d, r) != (1, 1):
                top &= table >= padded[d : d + table.shape[0], r : r + table.shape[1]]
    top[-1] = top[:, 0] = top[:, -1] = False
    top[0, : like.across + 1] = False
    down, column = np.nonzero(top & (table > 0.3))
    right = column - like.across
    reach = max(max(abs(d), abs(r)) for d, r in ring)
    far = (down > reach) | (np.abs(right) > reach)
    down, right = down[far], right[far]
    order = np.argsort(-table[down, right + like.across], kind="stable")[:60]
    rows = [
        _subpixel(like, int(d), int(r))
        for d, r in zip(down[order], right[order], strict=True)
        if min(_sharpness(like, ring, int(d), int(r)), like.at(int(d), int(r))) >= 0.6 * SURE_FROM
    ]
    if not rows:
        return np.zeros((0, 3))
    peaks = np.array(rows)
    best = float(peaks[:, 2].max())
    peaks = peaks[peaks[:, 2] >= best - max(0.03, 0.4 * (1.0 - best))]
    by_length: Floats = peaks[np.argsort(np.hypot(peaks[:, 0], peaks[:, 1]), kind="stable")]
    return by_length


def _subpixel(like: Autocorrelation, down: int, right: int) -> tuple[float, float, float]:
    """Return a peak's place and height by parabolas along both directions."""
    here = like.at(down, right)
    gain = 0.0
    place = [float(down), float(right)]
    for axis, (d, r) in enumerate(((1, 0), (0, 1))):
        before, after = like.at(down - d, right - r), like.at(down + d, right + r)
        bend = before + after - 2.0 * here
        if not np.isnan(bend) and bend < -1e-6:
            off = float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5))
            place[axis] += off
            gain -= 0.5 * bend * off * off
    return place[0], place[1], here + gain


def _cell(peaks: Floats) -> _Cell | None:
    """Return the smallest rectangle with its lattice that the two shortest peaks span."""
    first = peaks[0, :2]
    crosses = np.abs(peaks[:, 0] * first[1] - peaks[:, 1] * first[0])
    lengths = np.hypot(peaks[:, 0], peaks[:, 1])
    other = np.flatnonzero(crosses > 0.25 * lengths * lengths[0])
    if not len(other):
        return None
    second = peaks[other[0], :2]
    vectors = [
        i * first + j * second for i in range(-6, 7) for j in range(-6, 7) if (i, j) != (0, 0)
    ]
    across = [abs(v[1]) for v in vectors if abs(v[0]) < 1.2 + 0.015 * abs(v[1])]
    down = [abs(v[0]) for v in vectors if abs(v[1]) < 1.2 + 0.015 * abs(v[0])]
    across = [w for w in across if w > 2.5]
    down = [h for h in down if h > 2.5]
    if not across or not down:
        return None
    w, h = float(min(across)), float(min(down))
    area = abs(float(first[0] * second[1] - first[1] * second[0]))
    return _name_cell(w, h, w * h / area)


def _name_cell(w: float, h: float, share: float) -> _Cell:
    """Return the rectangle w x h, or its half where the lattice has a point in its middle."""
    if abs(share - 2.0) < 0.35:
        return _Cell(w / 2.0, h, HALF_DROP) if w >= h else _Cell(w, h / 2.0, HALF_BRICK)
    return _Cell(w, h, STRAIGHT)


def _one_way(like: Autocorrelation, grain_px: int = 1) -> _Cell | None:
    """Return a cell for stripes: the picture does not change along one direction.

    Args:
        like: the picture's likeness to itself.
        grain_px: the size of the grains of noise, at most.
    """
    table, middle = like.table, like.across
    still_across = float(np.percentile(table[0, middle:], 10))
    still_down = float(np.percentile(table[:, middle], 10))
    # noise alone lowers it, by as much one grain away as at any distance
    step = float(
        table[0, middle + grain_px] if still_across > still_down else table[grain_px, middle]
    )
    if 1.0 - max(still_across, still_down) > 1.7 * (1.0 - step) + 0.003:
        return None
    if min(still_across, still_down) > 0.9 or step < 0.7:
        return None
    profile = table[:, middle] if still_across > still_down else table[0, middle:]
    period = _first_period(profile)
    if period is None:
        return None
    if still_across > still_down:
        return _Cell(None, period, STRAIGHT)
    return _Cell(period, None, STRAIGHT)


def _first_period(profile: Floats32, least: float = 0.5) -> float | None:
    """Return the first shift, sub-pixel, at which a profile comes back to its height."""
    inner = profile[1:-1]
    peaks = np.flatnonzero((inner >= profile[:-2]) & (inner >= profile[2:])) + 1
    peaks = peaks[(profile[peaks] >= least) & (peaks > 2)]
    if not len(peaks):
        return None
    best = float(profile[peaks].max())
    k = int(peaks[profile[peaks] >= best - max(0.03, 0.4 * (1.0 - best))][0])
    if k and float(profile[k] - profile[:k].min()) < 0.1:
        return None  # a ripple on what hardly changes
    bend = float(profile[k - 1] + profile[k + 1] - 2.0 * profile[k])
    return k + (0.5 * float(profile[k - 1] - profile[k + 1]) / bend if bend < -1e-6 else 0.0)


def _comes_back(like: Autocorrelation, cell: _Cell) -> bool:
    """Whether on the way to each of the cell's vectors likeness is lost, and comes back there."""
    for down, right in _tops(like, cell):
        steps = np.arange(1, max(down, abs(right)) + 1) / max(down, abs(right))
        rows, columns = np.rint(down * steps), np.rint(right * steps) + like.across
        way = like.table[rows.astype(np.intp), columns.astype(np.intp)]
        # noise lowers it at the first step already
        if way[-1] - way.min() < COMES_BACK * (way[0] - way.min()):
            return False
    return True


def _confidence(like: Autocorrelation, ring: list[tuple[int, int]], cell: _Cell) -> float:
    """Return the least height and sharpness of the peaks at the cell's own vectors within reach."""
    scores = [
        min(np.nan_to_num(like.at(d, r), nan=0.0), _sharpness(like, ring, d, r))
        for d, r in _tops(like, cell)
    ]
    return round(float(np.clip(min(scores), 0.0, 1.0)), 4) if scores else 0.0


def _tops(like: Autocorrelation, cell: _Cell) -> list[tuple[int, int]]:
    """Return the places (down, right) of the peaks at the cell's six shortest vectors in reach."""
    vectors = cell.vectors(like.table.shape[0] - 1, like.across)
    tops = []
    for y, x, _, _ in sorted(vectors, key=lambda v: v[0] ** 2 + v[1] ** 2)[:6]:
        near = [(round(y) + d, round(x) + r) for d in (-1, 0, 1) for r in (-1, 0, 1)]
        tops.append(max(near, key=lambda p: np.nan_to_num(like.at(*p), nan=-1.0)))
    return tops


def _refine(pixels: Pixels, cell: _Cell) -> _Cell:
    """Return the cell with width and height by least squares over its vectors in full size."""
    height, width = pixels.shape[:2]
    vectors = cell.vectors(int(0.75 * height), int(0.75 * width))
    vectors = sorted(vectors, key=lambda v: -(v[0] ** 2 + v[1] ** 2))[:8]
    sums = np.zeros((2, 2))  # per direction: weighted products of count with place and with count
    for y, x, heights, widths in vectors:
        measured = measure_shift(pixels, round(y), round(x))
        for axis, (place, weight, count) in enumerate(
            zip(*measured, (heights, widths), strict=True)
        ):
            sums[axis] += weight * count * np.array([place, count])
    h = sums[0, 0] / sums[0, 1] if cell.height and sums[0, 1] > 0 else cell.height
    w = sums[1, 0] / sums[1, 1] if cell.width and sums[1, 1] > 0 else cell.width
    return _Cell(w, h, cell.lattice)
