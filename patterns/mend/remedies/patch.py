"""Is a motif cut off at one place of the join? Cover it with what the tile shows elsewhere.

In: a tile, (height, width, 3) sRGB uint8, whose join runs down its left and right edges. Out: the
tile of the same size with a few places at the join covered. Each cover is one piece of the tile,
from its interior or from where the join does not show, set in as it is: the piece is the one whose
rim is most like the rim of the place (weighted squared difference for all shifts by FFT), and it is
parted from the old picture along the cheapest closed path around the place, so that a motif is
shown whole or not at all.

Patch placement and closed cuts after Kwatra and others, "Graphcut textures", SIGGRAPH 2003, section
on hiding visible seams; the path is found by dynamic programming in offset-ellipse coordinates
(angle, distance from the place). Not done here: joins that are strange all along, rows (turn it).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Indices, Mask, Pixels
from patterns.lab32 import lab32
from patterns.mend.remedies.boundary_cut import Cut, find_cuts
from patterns.mend.score import ALONG, SHOWN, Interior, join_excess_de

MOST_PATCHES = 10
MOST_SHARE = 0.6  # of the join that may be covered in one piece
REACHES = (0.05, 0.09, 0.14, 0.2, 0.28)  # of the tile's shorter side, from the place to the rim
SHIFTS = 10  # pieces tried for each reach
MOST_PX = 36_000_000  # of a tile: a bound on memory
FINE_PX = 100.0  # a way to the rim up to which every piece is parted in full size
SEARCH_PX = 256  # longer side of the tile while pieces are looked for
MOST_CUT_DE = 12.0  # a cover that would show more than this along its cut is not used
ACROSS_PX = 2.0  # half width of the place itself
AREA_DE = 4.0  # what a cover over the whole tile would count for, in CIE76


@dataclass(frozen=True, slots=True)
class Place:
    """A stretch of the join: its middle row, half its length, and the way to the rim, in pixels."""

    row: float
    half_px: float
    reach_px: float


@dataclass(frozen=True, slots=True)
class Strange:
    """A stretch of the join that shows.

    Attributes:
        row: its middle.
        half_px: half its length.
        top: by how much it shows; over 1 a person sees it.
        bad: (height,) rows of the whole join that show.
    """

    row: float
    half_px: float
    top: float
    bad: Mask


@dataclass(frozen=True, slots=True)
class Cover:
    """A piece to set in: (down, across) from the place to where it is taken, and its cut."""

    shift: tuple[int, int]
    mask: Mask
    corner: tuple[int, int]
    worst_de: float


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece as it is found: its cut as a distance (column) for each angle; the less the better.

    Attributes:
        place: what it covers.
        shift: (down, across) from the place to where it is taken.
        theta: (angles,) radians.
        cut: distance from the place, in pixels, for each angle.
        score: what shows along the cut, and how much it covers.
    """

    place: Place
    shift: tuple[int, int]
    theta: Floats
    cut: Cut
    score: float


def patch_join(tile: Pixels, interior: Interior) -> tuple[Pixels, int, float] | None:
    """Return (tile, columns covered on either side at most, worst CIE76 along the cuts), or None.

    Args:
        tile: (height, width, 3) sRGB uint8.
        interior: what it contains away from its join.
    """
    height, width = tile.shape[:2]
    if min(height, width) < 32 or height * width > MOST_PX:
        return None
    middle = width // 2
    widest, worst = 0, 0.0
    given_up: list[float] = []
    for _ in range(MOST_PATCHES):
        place = _find_strangest(tile, interior, given_up)
        if place is None:
            break
        # the place in the middle of the picture, so that nothing is cut by its edges
        down = height // 2 - round(place.row)
        centred = np.roll(tile, (down, middle), axis=(0, 1))
        cover = _best_cover(centred, place.half_px, (np.flatnonzero(place.bad) + down) % height)
        if cover is None or cover.worst_de > cut_limit_de(interior):
            if place.top > SHOWN:  # that place stays: the others need no cover
                return None
            given_up.append(place.row)
            continue
        tile = np.roll(_set_in(centred, cover), (-down, -middle), axis=(0, 1))
        columns = np.flatnonzero(cover.mask.any(axis=0)) + cover.corner[1] - middle
        widest = max(widest, int(np.abs(columns).max()) + 1) if columns.size else widest
        worst = max(worst, cover.worst_de)
    return (tile, widest, worst) if widest else None


def cut_limit_de(interior: Interior) -> float:
    """Return what a cover may show along its cut, in CIE76: what the artwork does itself."""
    return max(MOST_CUT_DE, min(interior.limit_de, interior.step_limit_de))


def _find_strangest(tile: Pixels, interior: Interior, given_up: list[float]) -> Strange | None:
    """Return the strangest stretch of the join that was not given up, or None."""
    rows = _evidence(tile, interior)
    # a texture, or a line of the design on the join, is strange all along: what stands out there?
    usual = float(np.median(rows))
    bad = rows > max(0.6, 1.3 * usual)
    if rows.max() <= max(1.0, 1.5 * usual) or bad.mean() > MOST_SHARE:
        return None
    start = int(np.flatnonzero(~bad)[0])
    from_start, values = np.roll(bad, -start), np.roll(rows, -start)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], from_start.astype(int), [0]])))
    best: Strange | None = None
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        top = float(values[first:last].max())
        row = (first + last) / 2.0 + start
        if any(
            abs((row - old + len(tile) / 2) % len(tile) - len(tile) / 2) < 4 for old in given_up
        ):
            continue
        if top > max(1.0, 1.5 * usual) and (best is None or top > best.top):
            best = Strange(row % len(tile), max(2.0, (last - first) / 2.0), top, bad)
    return best


def _evidence(tile: Pixels, interior: Interior) -> Floats:
    """Return (height,): how much shows in each row of the join; over 1 a person sees it."""
    step = join_excess_de(tile) / interior.step_limit_de
    strange = interior.strange(tile, 0).max(axis=1) / interior.limit_de
    places = (np.arange(len(step)) + 0.5) * len(strange) / len(step) - ALONG / 2.0
    at = np.round(places).astype(int) % len(strange)
    return np.asarray(np.maximum(step, strange[at]))


def _best_cover(centred: Pixels, half_px: float, spoilt: Indices) -> Cover | None:
    height, width = centred.shape[:2]
    middle = width // 2
    best: Piece | None = None
    for share in REACHES:
        place = Place(height / 2.0, half_px, max(5.0, share * min(height, width)))
        if 2.0 * (place.half_px + place.reach_px) > 0.95 * height:
            break
        shifts = _likeliest_shifts(centred, middle, place, spoilt)
        every = int(np.ceil(place.reach_px / FINE_PX))
        if every > 1 and shifts:  # of a wide rim only the best piece is parted in full size
            coarse = _cut_pieces(centred, middle, place, shifts, every)
            shifts = [min(coarse, key=lambda each: each.score).shift]
        for piece in _cut_pieces(centred, middle, place, shifts):
            if best is None or piece.score < best.score:
                best = piece
        if best is not None and best.cut.worst_de < 0.5:
            break
    if best is None:
        return None
    rows, columns = _window(best.place, middle, centred.shape[:2])
    distance, angle = _distance((rows, columns), best.place, middle)
    border = np.interp(angle, best.theta, best.cut.column.astype(float), period=2.0 * np.pi)
    corner = rows.start, columns.start
    return Cover(best.shift, distance < border - 0.5, corner, best.cut.worst_de)


def _window(place: Place, middle: int, shape: tuple[int, ...]) -> tuple[slice, slice]:
    tall = int(place.half_px + place.reach_px) + 1
    wide = int(ACROSS_PX + place.reach_px) + 1
    row = int(place.row)
    return slice(max(0, row - tall), min(shape[0], row + tall)), slice(middle - wide, middle + wide)


def _distance(
    window: tuple[slice, slice], place: Place, middle: int, every: int = 1
) -> tuple[Floats, Floats]:
    """Return (distance from the place, angle) for each pixel, in offset-ellipse coordinates."""
    signed_y = (np.arange(window[0].start, window[0].stop, every) + 0.5 - place.row)[:, None]
    signed_x = (np.arange(window[1].start, window[1].stop, every) + 0.5 - middle)[None, :]
    low = np.zeros((len(signed_y), signed_x.shape[1])) - min(ACROSS_PX, place.half_px) + 0.01
    high = np.full_like(low, place.reach_px + 64.0)
    for _ in range(14):
        at = (low + high) / 2.0
        across, along = signed_x / (ACROSS_PX + at), signed_y / (place.half_px + at)
        outside = across**2 + along**2 > 1.0
        low, high = np.where(outside, at, low), np.where(outside, high, at)
    return at, np.arctan2(along, across)


def _likeliest_shifts(
    centred: Pixels, middle: int, place: Place, spoilt: Indices
) -> list[tuple[int, int]]:
    """Return the shifts to unspoilt pieces whose rims are most like the place's."""
    from scipy.fft import irfft2, rfft2
    from scipy.ndimage import maximum_filter

    every = max(1, int(np.ceil(max(centred.shape[:2]) / SEARCH_PX)))
    small = lab32(centred[::every, ::every]).astype(np.float64)
    whole = slice(0, centred.shape[0]), slice(0, centred.shape[1])
    distance = _distance(whole, place, middle, every)[0]
    rim = ((distance > 0.5 * place.reach_px) & (distance <= place.reach_px)).astype(np.float64)
    if not rim.any():
        return []
    shape = rim.shape
    weights = np.conj(rfft2(rim))
    total = np.zeros(shape)
    for channel in np.moveaxis(small, 2, 0):
        image = rfft2(channel)
        total += irfft2(weights * rfft2(channel**2), shape)
        total -= 2.0 * irfft2(np.conj(rfft2(rim * channel)) * image, shape)
        total += float((rim * channel**2).sum())
    holds = np.zeros(shape, dtype=bool)
    holds[spoilt // every, middle // every] = True
    tall, wide = (
        2 * int((half_px + place.reach_px) / every) + 3 for half_px in (place.half_px, ACROSS_PX)
    )
    holds = maximum_filter(holds, (min(tall, shape[0]), min(wide, shape[1])), mode="wrap")
    down, across = -(int(place.row) // every), -(middle // every)
    total[np.roll(holds, (down, across), axis=(0, 1))] = np.inf
    shifts = []
    apart = max(2, int(0.25 * place.reach_px / every))
    for _ in range(SHIFTS):
        at = int(np.argmin(total))
        dy, dx = divmod(at, shape[1])
        if not np.isfinite(total[dy, dx]):
            break
        shifts.append((dy * every, dx * every))
        rows = np.arange(dy - apart, dy + apart + 1) % shape[0]
        total[np.ix_(rows, np.arange(dx - apart, dx + apart + 1) % shape[1])] = np.inf
    return shifts


def _cut_pieces(
    centred: Pixels, middle: int, place: Place, shifts: list[tuple[int, int]], every: int = 1
) -> list[Piece]:
    """Part each piece from the picture along the cheapest closed path around the place."""
    height, width = centred.shape[:2]
    radii = np.arange(0.0, place.reach_px, every)
    around = 2.2 * np.pi * (place.half_px / 2 + place.reach_px / 2)
    angles = int(np.clip(around, 48, 260)) // every
    theta = (np.arange(angles) / angles * 2.0 - 1.0) * np.pi
    y = place.row + np.sin(theta)[:, None] * (place.half_px + radii)[None]
    x = middle + np.cos(theta)[:, None] * (ACROSS_PX + radii)[None]
    rows, columns = np.floor(y).astype(int), np.floor(x).astype(int)
    old = lab32(centred[rows % height, columns % width])
    colours = [
        lab32(centred[(rows + down) % height, (columns + across) % width])
        for down, across in shifts
    ]
    cuts = find_cuts([(there, old) for there in colours], ALONG)
    pieces = []
    for shift, cut in zip(shifts, cuts, strict=True):
        border = np.maximum(cut.column - 0.5, 0.0) * every
        tall, wide = np.sin(theta) * (place.half_px + border), np.cos(theta) * (ACROSS_PX + border)
        area = 0.5 * abs(float((wide * np.roll(tall, -1) - tall * np.roll(wide, -1)).sum()))
        score = cut.worst_de + AREA_DE * area / (height * width)
        pieces.append(Piece(place, shift, theta, cut, score))
    return pieces


def _set_in(rolled: Pixels, cover: Cover) -> Pixels:
    rows, columns = np.nonzero(cover.mask)
    height, width = rolled.shape[:2]
    rows, columns = rows + cover.corner[0], columns + cover.corner[1]
    out = rolled.copy()
    out[rows % height, columns % width] = rolled[
        (rows + cover.shift[0]) % height, (columns + cover.shift[1]) % width
    ]
    return out
