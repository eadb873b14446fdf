"""How long is the lifted blade's way beside a good one, and how soon is it found?

Usage: python -m benchmarks.cut_order

Random sheets of each kind, cut from and to the sheet's corner. ``row order`` is the sheet's own,
each outline from its first vertex; ``good`` is the shortest way that a plain, slow search finds
which shares no code with ours (``good_way``). Printed: our way as a share of the row order, how
much longer it is than the good one, and the processor's time for it.

The good way: 2-opt and Or-opt over all pairs on the chosen starts, the starts again by dynamic
programming, and so on until neither helps; from the row order, from random orders and from random
exchanges of stretches, ``TRIES`` times. On sheets of over a hundred outlines it is not as short as
ours: there ``over`` is below 0.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from kit.cut.order import cut_tour, start_points, travel_mm
from kit.shapes import Contour, Point, Rect, circle, rounded_rectangle

SIZES_MM = ((42.0, 50.0), (42.0, 25.0), (7.0, 50.0))  # full box, half box, checklist
SHEETS, TRIES = 6, 120
HOME = (0.0, 0.0)
Stops = list[int]


def in_rows(count: int, seed: int) -> list[Contour]:
    """Return stickers row by row, left to right, 3 mm apart."""
    chance = random.Random(seed)
    x = y = 10.0
    deepest, made = 0.0, []
    for width, height in sorted(chance.choices(SIZES_MM, k=count), reverse=True):
        if x + width > 205.9:
            x, y, deepest = 10.0, y + deepest + 3.0, 0.0
        made.append(rounded_rectangle(Rect(x, y, width, height), 1.5))
        x, deepest = x + width + 3.0, max(deepest, height)
    return made


def strewn(count: int, seed: int) -> list[Contour]:
    """Return discs of several sizes that lie anywhere, apart from each other."""
    chance = random.Random(seed)
    discs: list[tuple[float, float, float]] = []
    while len(discs) < count:
        x, y = chance.uniform(16, 200), chance.uniform(16, 264)
        radius = chance.choice((3.0, 4.5, 6.0))
        if all(math.dist((x, y), other[:2]) > radius + other[2] + 1.0 for other in discs):
            discs.append((x, y, radius))
    return [circle(*disc) for disc in discs]


def good_way(starts: Sequence[Sequence[Point]], seed: int = 0) -> float:
    """Return the length of a good way over outlines, each from one of its starts, home to home."""
    chance = random.Random(seed)
    best, order = _local(starts, list(range(len(starts))))
    for attempt in range(TRIES):
        if attempt % 12 == 11:
            other = chance.sample(order, len(order))
        else:
            reach = min(len(order), chance.choice((12, 30, len(order))))
            first = chance.randint(0, len(order) - reach)
            a, b, c = sorted(chance.randint(first, first + reach) for _ in range(3))
            other = order[:a] + order[b:c] + order[a:b] + order[c:]
        length, other = _local(starts, other)
        if length <= best:
            best, order = length, other
    return best


def _local(starts: Sequence[Sequence[Point]], order: Stops) -> tuple[float, Stops]:
    """Return length and order once neither moves nor other starts help."""
    length, points = _chosen(starts, order)
    while True:
        shorter, moved = _chosen_after(starts, order, points)
        if shorter[0] >= length - 1e-6:
            return length, order
        (length, points), order = shorter, moved


def _chosen_after(
    starts: Sequence[Sequence[Point]], order: Stops, points: list[Point]
) -> tuple[tuple[float, list[Point]], Stops]:
    stops = np.array([HOME, *points, HOME])
    table = np.hypot(*(stops[:, None] - stops[None]).transpose(2, 0, 1)).tolist()
    moved = [order[k - 1] for k in _moved(table)[1:-1]]
    return _chosen(starts, moved), moved


def _chosen(starts: Sequence[Sequence[Point]], order: Stops) -> tuple[float, list[Point]]:
    """Return the length of the way in an order from its best starts, and these."""
    ways: dict[Point, tuple[float, list[Point]]] = {HOME: (0.0, [])}
    for stop in order:
        ways = {
            point: min(
                (
                    (done + math.dist(here, point), [*way, point])
                    for here, (done, way) in ways.items()
                ),
                key=lambda way: way[0],
            )
            for point in starts[stop]
        }
    return min(
        ((done + math.dist(here, HOME), way) for here, (done, way) in ways.items()),
        key=lambda way: way[0],
    )


def _moved(table: list[list[float]]) -> Stops:
    route, helped = list(range(len(table))), True
    while helped:
        helped = _two_opt(table, route) | _or_opt(table, route)
    return route


def _two_opt(table: list[list[float]], route: Stops) -> bool:
    helped = False
    for i in range(len(route) - 2):
        for j in range(i + 2, len(route) - 1):
            a, b, c, d = route[i], route[i + 1], route[j], route[j + 1]
            if table[a][b] + table[c][d] - table[a][c] - table[b][d] > 1e-9:
                route[i + 1 : j + 1] = route[i + 1 : j + 1][::-1]
                helped = True
    return helped


def _or_opt(table: list[list[float]], route: Stops) -> bool:
    helped = False
    for length in (1, 2, 3):
        for i in range(1, len(route) - length):
            part, rest = route[i : i + length], route[:i] + route[i + length :]
            was = (
                table[rest[i - 1]][part[0]] + table[part[-1]][rest[i]] - table[rest[i - 1]][rest[i]]
            )
            most, best = 1e-9, None
            for j, (left, right) in enumerate(pairwise(rest)):
                for one in (part, part[::-1]):
                    added = table[left][one[0]] + table[one[-1]][right] - table[left][right]
                    if was - added > most:
                        most, best = was - added, (j + 1, one)
            if best is not None:
                route[:] = rest[: best[0]] + best[1] + rest[best[0] :]
                helped = True
    return helped


def main() -> None:
    """Print the table."""
    print("sheet        row order mm  share of it  over a good way: mean  worst    ms mean  worst")
    kinds: tuple[tuple[str, Callable[[int, int], list[Contour]], int], ...] = (
        ("12 in rows", in_rows, 12),
        ("27 in rows", in_rows, 27),
        ("40 in rows", in_rows, 40),
        ("60 in rows", in_rows, 60),
        ("40 strewn", strewn, 40),
        ("100 strewn", strewn, 100),
        ("150 in rows", in_rows, 150),
    )
    for name, kind, count in kinds:
        rows, shares, over, spent = [], [], [], []
        for seed in range(SHEETS):
            contours = kind(count, seed)
            begun = time.process_time()
            tour = cut_tour(contours)
            spent.append(1e3 * (time.process_time() - begun))
            rows.append(travel_mm(contours))
            shares.append(tour.travel_mm / rows[-1])
            good = good_way([[point for _, point in start_points(one)] for one in contours])
            over.append(tour.travel_mm / good - 1.0)
        print(
            f"{name:12s} {sum(rows) / SHEETS:12.0f}  {sum(shares) / SHEETS:11.3f}  "
            f"{sum(over) / SHEETS:21.1%}  {max(over):5.1%}  {sum(spent) / SHEETS:8.0f}  "
            f"{max(spent):5.0f}",
            flush=True,
        )


if __name__ == "__main__":
    main()
