"""Is the last line of this tile a fringe, left by a soft or transparent border? Draw it again.

In: a tile, (height, width, 3) sRGB uint8. Out: the tile with up to three columns at the join drawn
again, or None where no fringe explains the join. A fringe is a line that differs from both its
neighbours, while these would go well together.

Where the line is the artwork mixed with paper (a half transparent border), the mixture is undone.
Else it is drawn from the columns on either side: straight across where that rebuilds the places
inside the tile that look most like this one, and copied from the most alike of those places where
it does not. Not done here: rows (turn the tile).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Floats32, Indices, Pixels

MOST = 3  # columns of a fringe
SIDE = 2  # columns on either side that a place is known by
TALL = 2  # rows above and below, likewise
PLACES = 30_000  # places inside the tile that are looked at
INKED = 12.0  # of 255 off the paper: what a mixture can be read from
NEAREST = 12  # of them compared in full
STANDS_OUT = 1.5  # of 255, the least that is called a fringe
NEARER = 0.6  # of the difference from the neighbours that may be left when a mixture is undone
PALER = 6.0  # of 255, the least by which most of a mixed column is paler than it was
SAME_SHARE = 0.12  # by which the share of ink left may differ between channels
WHITE = 1.0  # mean ink of paper
ALL_ALONG = 0.95  # of the join
MOST_INK = 0.85  # left in a mixture; what has more is the artwork
STRIP_PX = 600_000  # of the tile that are looked at at once: a bound on memory
SCREENED = 64  # columns inside that are looked at first
PLAINLY = 3.0  # times what stands out inside: a fringe even where its neighbours do not match


def redraw_fringe(pixels: Pixels, drop_px: int = 0) -> tuple[Pixels, int] | None:
    """Return (tile, columns drawn again), or None.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
    """
    height, width = pixels.shape[:2]
    if width < 24 or height < 8:
        return None
    bad = find_fringe(pixels, drop_px)
    if bad is None:
        return None
    left, right = bad
    # the bad columns in the middle, sound ones on either side
    lowered = np.roll(pixels[:, : left + SIDE], drop_px, axis=0)
    strip = np.concatenate([pixels[:, width - right - SIDE :], lowered], axis=1).astype(np.float64)
    inside = pixels[:, left : width - right]
    drawn = _draw(strip, inside, left + right)
    out = pixels.copy()
    if right:
        out[:, width - right :] = drawn[:, :right]
    if left:
        out[:, :left] = np.roll(drawn[:, right:], -drop_px, axis=0)
    return out, left + right


def find_fringe(pixels: Pixels, drop_px: int) -> tuple[int, int] | None:
    """Return (bad columns on the left, on the right), or None."""
    width = pixels.shape[1]
    best, best_margin = None, 0.0
    for bad in range(1, MOST + 1):
        if not _may_stand_out(pixels, bad, drop_px):
            continue
        stands, beside = _all_along(pixels, bad, drop_px)
        inside = slice(MOST + 1, width - 2 * MOST - bad)
        usual = max(STANDS_OUT, 1.15 * float(stands[inside].max()))
        matching = max(1.0, float(np.percentile(beside[inside], 90)))
        for left in range(bad + 1):
            start = width - (bad - left)
            margin = stands[start] - usual
            plain = beside[start] <= matching or stands[start] > PLAINLY * usual
            if plain and margin > best_margin * 1.1:
                best, best_margin = (left, bad - left), margin
    return best


def _may_stand_out(pixels: Pixels, bad: int, drop_px: int) -> bool:
    """Tell whether columns at the join stand out of some inside: of most joins that tells all."""
    lowered = np.roll(pixels[:, : bad + 2], drop_px, axis=0)
    join = np.concatenate([pixels[:, -bad - 1 :], lowered], axis=1).astype(np.float32)
    middle = pixels.shape[1] // 2
    some = pixels[:, middle : middle + min(SCREENED, middle // 2)].astype(np.float32)
    usual = 1.15 * float(_stands_out(some, bad)[0].max())
    return bool(_stands_out(join, bad)[0][: bad + 2].max() > max(STANDS_OUT, usual))


def _all_along(pixels: Pixels, bad: int, drop_px: int) -> tuple[Floats, Floats]:
    """Return ``_stands_out`` of every start in the tile and on over the join, in strips."""
    height, width = pixels.shape[:2]
    lowered = np.roll(pixels[:, : 4 * MOST], drop_px, axis=0)
    reach, starts = bad + 2, width + 4 * MOST - bad - 1
    wide = max(4 * reach, STRIP_PX // height)
    strips = []
    for start in range(0, starts, wide):
        stop = min(start + wide, starts)
        strip = pixels[:, start : stop + reach]
        over = max(0, stop + reach - max(width, start))
        beyond = lowered[:, max(0, start - width) :][:, :over]
        values = np.concatenate([strip, beyond], axis=1).astype(np.float32)
        strips.append([part[1 : stop - start + 1] for part in _stands_out(values, bad)])
    stands, beside = (np.concatenate(parts) for parts in zip(*strips, strict=True))
    # no column is before the first one
    return np.concatenate([[0.0], stands]), np.concatenate([[0.0], beside])


def _stands_out(values: Floats32, bad: int) -> tuple[Floats, Floats]:
    """Return for each start of ``bad`` columns how they stand out, and how those beside differ."""
    from scipy.ndimage import uniform_filter1d

    def step(gap: int) -> Floats:
        return np.asarray(np.abs(values[:, gap:] - values[:, :-gap]).mean(axis=2))

    neighbours = step(bad + 1)
    count = values.shape[1] - bad - 1
    into, out_of = step(1)[:, :count], step(1)[:, bad : bad + count]
    margin = np.minimum(into, out_of) - neighbours
    runs = uniform_filter1d(margin, min(9, len(margin)), axis=0, mode="wrap")
    stands = np.maximum(runs.mean(axis=0), 0.5 * np.percentile(runs, 90, axis=0))
    return np.concatenate([[0.0], stands]), np.concatenate([[0.0], neighbours.mean(axis=0)])


def _draw(strip: Floats, inside: Pixels, bad: int) -> Floats:
    """Return (height, bad, 3) uint8 values for the middle columns of a strip."""
    straight = _draw_straight(strip[:, :SIDE], strip[:, -SIDE:], bad)
    alike, at_place, own, theirs = _most_alike(strip, inside)
    rebuilt = _draw_straight(alike[:, :SIDE], alike[:, -SIDE:], bad)
    trust = np.abs(rebuilt - at_place).mean(axis=(1, 2), keepdims=True)
    copied = at_place + (own - theirs)
    drawn = np.where(trust < 2.0, straight, copied)
    unmixed = _unmix(strip[:, SIDE:-SIDE], drawn)
    shown = drawn if unmixed is None else unmixed
    return np.asarray(np.rint(np.clip(shown, 0.0, 255.0)))


def _draw_straight(left: Floats, right: Floats, bad: int) -> Floats:
    t = (np.arange(1, bad + 1) / (bad + 1))[None, :, None]
    return np.asarray(left[:, -1:] * (1.0 - t) + right[:, :1] * t)


def _most_alike(strip: Floats, inside: Pixels) -> tuple[Floats, Floats, Floats, Floats]:
    """Find for each row of the strip the place inside whose surroundings are most alike.

    Returns:
        Those places' own strips, their middle columns, and the mean colour about each row of the
        strip and about its place.
    """
    from scipy.spatial import cKDTree

    wide = strip.shape[1]
    known = np.r_[0:SIDE, wide - SIDE : wide]
    across = inside.shape[1] - wide + 1
    every = max(1, int(np.ceil(len(inside) * across / PLACES)))
    rows, columns = np.divmod(np.arange(0, len(inside) * across, every), across)
    near = rows[:, None] + np.arange(-TALL, TALL + 1)
    about = inside[near[:, :, None] % len(inside), (columns[:, None] + known)[:, None, :]]
    about = about.astype(np.float64)
    own_rows = np.arange(len(strip))[:, None] + np.arange(-TALL, TALL + 1)
    surroundings = strip[own_rows[:, :, None] % len(strip), known[None, None, :]]
    places, queries = about.reshape(len(about), -1), surroundings.reshape(len(surroundings), -1)
    centre = places.mean(axis=0)
    basis = np.linalg.svd((places - centre)[:: max(1, len(places) // 2000)], full_matrices=False)[2]
    down = basis[:10].T
    _, near = cKDTree((places - centre) @ down).query((queries - centre) @ down, k=NEAREST)
    exact = np.square(places[near] - queries[:, None]).sum(axis=2)
    index = near[np.arange(len(near)), exact.argmin(axis=1)]
    best = inside[rows[index][:, None], columns[index][:, None] + np.arange(wide)]
    best = best.astype(np.float64)
    own = surroundings.mean(axis=(1, 2))[:, None, :]
    theirs = about[index].mean(axis=(1, 2))[:, None, :]
    return best, best[:, SIDE:-SIDE], own, theirs


def _unmix(seen: Floats, drawn: Floats) -> Floats | None:
    """Return the artwork in a line that is a mixture of it with white, or None if it is none."""
    paper = 255.0
    want, have = drawn - paper, seen - paper
    inked = np.abs(want) > INKED
    opacity = float(np.median(have[inked] / want[inked])) if inked.any() else 0.0
    if not 0.2 < opacity < 0.95:
        return None
    left = np.abs(have - opacity * want).mean() / opacity
    back = paper + have / opacity
    if left > 0.5 * np.abs(have - want).mean() or np.percentile(back, 1) < -12.0:
        return None
    return back


def unmix_edges(pixels: Pixels, drop_px: int = 0) -> list[Pixels]:
    """Return the tile with its last or its first column taken for a mixture with paper, and undone.

    How much paper is in it follows from its mean ink against its neighbours' own, which holds in a
    texture as well. It counts as a mixture where that brings most of it nearer to its neighbours.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
    """
    if pixels.shape[1] < 8:  # a tile of a few columns is all edge
        return []
    ink = {x: 255.0 - pixels[:, x].astype(np.float64) for x in (0, 1, -2, -1)}
    first, last = np.roll(ink[0], drop_px, axis=0), np.roll(ink[-1], -drop_px, axis=0)
    tiles = []
    for column, beside in ((-1, (ink[-2] + first) / 2.0), (0, (last + ink[1]) / 2.0)):
        opacity = float(ink[column].sum() / max(1.0, beside.sum()))
        back = 255.0 - ink[column] / max(opacity, 0.01)
        before = float(np.median(np.abs(ink[column] - beside)))
        after = float(np.median(np.abs(back - 255.0 + beside)))
        is_mixture = before > PALER and after < NEARER * before
        if 0.2 < opacity < 0.9 and np.percentile(back, 1) > -12.0 and is_mixture:
            out = pixels.copy()
            out[:, column] = np.rint(np.clip(back, 0.0, 255.0)).astype(np.uint8)
            tiles.append(out)
    return tiles


def is_paper(before: Pixels, after: Pixels) -> bool:
    """Tell whether what was redrawn was a mixture with paper, rather than a line of the artwork.

    A mixture is paler than the artwork all along and has lost the same share of its ink in every
    channel; and it is darker where the artwork is: a line of one colour is a line of the design,
    unless that colour is white. And undoing it makes no place of the line less like the artwork
    beside it.

    Args:
        before: (height, width, 3) sRGB uint8.
        after: the same with columns at the join drawn again.
    """
    if before.shape != after.shape:
        return False
    ends = np.r_[0 : MOST + 1, before.shape[1] - MOST - 1 : before.shape[1]]
    columns = ends[(before[:, ends] != after[:, ends]).any(axis=(0, 2))]
    if not columns.size:
        return False
    had = 255.0 - after[:, columns].astype(np.float64).reshape(-1, 3)
    has = 255.0 - before[:, columns].astype(np.float64).reshape(-1, 3)
    inked = had.sum(axis=0) > INKED * len(had)
    if not inked.any() or has.mean() < WHITE:
        return bool(has.mean() < WHITE)
    left = has[:, inked].sum(axis=0) / had[:, inked].sum(axis=0)
    alike = left.max() - left.min() < SAME_SHARE and left.max() < MOST_INK
    paler = np.mean((has <= had + PALER).all(axis=1)) > ALL_ALONG
    if not (alike and paler and has.std(axis=0).max() > PALER):
        return False
    return _farther(before, after, columns) < 1.0 - ALL_ALONG


def _farther(before: Pixels, after: Pixels, columns: Indices) -> float:
    """Return the share of the join where what was drawn again is less like what is beside it."""
    width, most = before.shape[1], 0.0
    for side in (columns[columns < width // 2], columns[columns >= width // 2]):
        if side.size:
            inner = side.max() + 1 if side[0] < width // 2 else side.min() - 1
            beside = before[:, inner, None].astype(np.float64)
            off = [np.abs(tile[:, side] - beside).mean(axis=2) for tile in (before, after)]
            most = max(most, float((off[1] > off[0] + PALER).mean()))
    return most
