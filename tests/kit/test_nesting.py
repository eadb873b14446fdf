"""What lies inside what is cut first, or it comes loose before it is cut: against drawn masks.

Outside truth: Pillow fills each outline on a fine raster; one lies inside another where all its
pixels do.
"""

from __future__ import annotations

import cmath
import itertools
import math
import random

import numpy as np
import pytest
from PIL import Image, ImageDraw

from kit.cut.order import cut_tour, start_points, travel_mm
from kit.cut.paths import KISS, THROUGH, CutPath, cut_plan
from kit.shapes import (
    Contour,
    Rect,
    Vertex,
    circle,
    flatten_contour,
    reverse,
    rounded_rectangle,
    signed_area,
)
from kit.sheet import ColourFill, CutStyle, Placement, Sheet

FINE = 5  # pixels a millimetre


def mask(contour: Contour):
    points = []
    for a, b in contour.sides():
        here, there = complex(a.x_mm, a.y_mm), complex(b.x_mm, b.y_mm)
        angle = 4.0 * math.atan(a.bulge)
        if angle == 0.0:
            points.append(here)
            continue
        middle = (there - cmath.exp(1j * angle) * here) / (1.0 - cmath.exp(1j * angle))
        points += [middle + (here - middle) * cmath.exp(1j * angle * k / 32) for k in range(32)]
    picture = Image.new("1", (120 * FINE, 120 * FINE))
    ImageDraw.Draw(picture).polygon([(p.real * FINE, p.imag * FINE) for p in points], fill=1)
    return np.asarray(picture)


def bay(x: float, y: float, size: float, turn: int) -> Contour:
    """A C whose bay takes half of its box."""
    w = size / 4
    points = [(0, 0), (size, 0), (size, w), (w, w), (w, 3 * w), (size, 3 * w), (size, size),
              (0, size)]  # fmt: skip
    half = size / 2
    spun = [
        (complex(a - half, b - half) * 1j**turn + complex(x + half, y + half)) for a, b in points
    ]
    return Contour(tuple(Vertex(p.real, p.imag) for p in spun))


def moon(x: float, y: float, size: float, bulge: float) -> Contour:
    """A crescent: two arcs between the same points; its hollow is not a part of it."""
    return Contour((Vertex(x, y + size, 1.0), Vertex(x + size, y + size, -bulge)))


def some(seed: int) -> list[Contour]:
    """Hosts with bays, and small ones in their bodies, in their bays and beside them."""
    chance = random.Random(seed)
    made: list[Contour] = []
    for i, j in itertools.product(range(2), range(2)):
        x, y = 5 + 58 * i, 5 + 58 * j
        host = chance.choice(("bay", "moon", "disc", "box"))
        if host == "bay":
            made.append(bay(x, y, 48, chance.randrange(4)))
        elif host == "moon":
            made.append(moon(x, y, 48, chance.choice((0.2, 0.5))))
        elif host == "disc":
            made.append(circle(x + 24, y + 24, 24))
        else:
            made.append(rounded_rectangle(Rect(x, y, 48, 48), 6))
        for _ in range(3):
            small = circle(x + chance.uniform(5, 43), y + chance.uniform(5, 43), 2.5)
            if not any(touch(small, other) for other in made):
                made.append(small)
    return made


def touch(a: Contour, b: Contour) -> bool:
    """Whether one is neither wholly in nor wholly outside the other, or too near to tell."""
    one, other = mask(a), mask(b)
    shared = (one & other).sum()
    return 0 < shared < min(one.sum(), other.sum())


@pytest.mark.parametrize("seed", range(3))
def test_inner_outlines_are_cut_first_and_only_those(seed: int) -> None:
    outlines = some(seed)
    chance = random.Random(seed)
    chance.shuffle(outlines)
    masks = [mask(outline) for outline in outlines]
    tour = cut_tour(outlines)
    assert sorted(tour.order) == list(range(len(outlines)))
    place = {number: at for at, number in enumerate(tour.order)}
    nested = 0
    for inner, outer in itertools.permutations(range(len(outlines)), 2):
        if (masks[inner] & ~masks[outer]).sum() == 0:
            nested += 1
            assert place[inner] < place[outer], "cut loose before it is cut out"
    assert nested > 0


def test_a_sticker_in_a_bay_does_not_have_to_wait_nor_go_first() -> None:
    """In the bay of a C it is free: the way decides, and here the C lies nearer to home."""
    disc = circle(36, 29, 4)
    assert cut_tour([bay(5, 5, 48, 0), disc], home=(0, 29)).order == (0, 1)
    assert cut_tour([circle(29, 29, 24), disc], home=(0, 29)).order == (1, 0)


@pytest.mark.parametrize("inner", [Rect(5, 15, 10, 10), Rect(15, 5, 10, 10), Rect(35, 15, 10, 10),
                                   Rect(15, 35, 10, 10)])  # fmt: skip
def test_an_outline_that_shares_a_side_with_its_outer_goes_first(inner: Rect) -> None:
    outer = rounded_rectangle(Rect(5, 5, 40, 40))
    assert cut_tour([outer, rounded_rectangle(inner)], home=(0, 0)).order == (1, 0)


# ---- the way


def test_the_way_starts_and_ends_where_the_blade_rests() -> None:
    tour = cut_tour([rounded_rectangle(Rect(30, 40, 20, 10))], home=(40, 100))
    first = tour.contours[0].vertices[0]
    assert (first.x_mm, first.y_mm) == (40, 50)  # the middle of the side nearest to it
    assert tour.travel_mm == pytest.approx(100)
    assert travel_mm(tour.contours, (40, 100)) == pytest.approx(100)
    assert travel_mm(tour.contours) == pytest.approx(2 * math.hypot(40, 50))
    assert travel_mm([], (3, 4)) == 0.0


def best_way(groups, home) -> float:
    """All orders inside each group, and all starts, by brute force."""
    best = math.inf
    for orders in itertools.product(*(itertools.permutations(group) for group in groups)):
        reach = {home: 0.0}
        for contour in itertools.chain(*orders):
            places = [point for _, point in start_points(contour)]
            reach = {p: min(w + math.dist(q, p) for q, w in reach.items()) for p in places}
        best = min(best, *(w + math.dist(p, home) for p, w in reach.items()))
    return best


@pytest.mark.parametrize("seed", range(4))
def test_two_depths_of_cut_are_as_short_as_trying_every_order(seed: int) -> None:
    """Within a tenth; the first depth may end wherever the second begins best."""
    chance = random.Random(seed)
    groups = [
        [circle(chance.uniform(10, 190), chance.uniform(10, 190), 5) for _ in range(4)]
        for _ in range(2)
    ]
    home = (chance.uniform(0, 200), 200.0)
    tour = cut_tour([*groups[0], *groups[1]], [0] * 4 + [1] * 4, home)
    assert sorted(tour.order[:4]) == [0, 1, 2, 3]
    assert tour.travel_mm == pytest.approx(travel_mm(tour.contours, home))
    assert tour.travel_mm <= 1.1 * best_way(groups, home)


# ---- what a sheet cuts


def sheet_of(boxes, through=()) -> Sheet:
    placements = tuple(
        Placement("dot", box, rounded_rectangle(box, 1.0), ColourFill("#3b5b7a"), box.grow(1.0))
        for box in boxes
    )
    return Sheet("", 100.0, 150.0, 300.0, placements, cut=CutStyle(through=tuple(through)))


def test_a_sheet_is_cut_from_its_bottom_left_and_through_cuts_come_last() -> None:
    """A piece cut through moves: what is cut after it lands beside its place."""
    boxes = [Rect(60, 10, 20, 20), Rect(10, 100, 20, 20), Rect(60, 100, 20, 20)]
    near_home = rounded_rectangle(Rect(5, 125, 20, 20), 2.0)  # nothing in it
    plan = cut_plan(sheet_of(boxes, [near_home]))
    assert [path.cut for path in plan.paths] == [KISS, KISS, KISS, THROUGH]
    assert {path.number for path in plan.paths[:3]} == {0, 1, 2}
    assert plan.paths[3].number == 0
    assert plan.travel_mm == pytest.approx(travel_mm([p.contour for p in plan.paths], (0, 150)))
    for path in plan.paths:
        box = boxes[path.number] if path.cut is KISS else Rect(5, 125, 20, 20)
        xs = [v.x_mm for v in path.contour.vertices]
        ys = [v.y_mm for v in path.contour.vertices]
        assert (min(xs), min(ys), max(xs), max(ys)) == pytest.approx(
            (box.x_mm, box.y_mm, box.right_mm, box.bottom_mm)
        )
    (one,) = cut_plan(sheet_of([Rect(10, 100, 20, 20)])).paths
    first = one.contour.vertices[0]
    assert (first.x_mm, first.y_mm) in {(10, 110), (20, 120)}  # its sides nearest to home
    nothing = cut_plan(sheet_of([]))
    assert (nothing.paths, nothing.travel_mm) == ((), 0.0)


def test_what_files_call_each_cut() -> None:
    outline = circle(5, 5, 4)
    assert CutPath(outline, KISS, 2).label == "sticker-3"
    assert CutPath(outline, THROUGH, 0).label == "through-cut-1"
    assert (KISS.name, THROUGH.name) == ("Kiss cut", "Through cut")
    assert (KISS.pen, THROUGH.pen) == (1, 2)
    # processing steps by ISO 19593-1
    assert (KISS.process, THROUGH.process) == ("PartialCutting", "Cutting")
    assert KISS.layer < THROUGH.layer


@pytest.mark.parametrize("sides", [6, 8, 9, 14])
def test_a_cut_may_begin_on_up_to_eight_of_the_longest_sides(sides: int) -> None:
    """Trying more costs time on sheets of many icons and saves next to nothing."""
    ring = []
    for k in range(sides):
        radius = 20.0 + 7.0 * (k % 2)
        angle = 2 * math.pi * k / sides
        ring.append(Vertex(30 + radius * math.cos(angle), 30 + 0.8 * radius * math.sin(angle)))
    contour = Contour(tuple(ring))
    lengths = [math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm)) for a, b in contour.sides()]
    places = start_points(contour)
    assert len(places) == min(sides, 8)
    chosen = {side for side, _ in places}
    left = [lengths[i] for i in range(sides) if i not in chosen]
    assert max(left, default=0.0) <= min(lengths[i] for i in chosen) + 1e-9
    for side, (x, y) in places:
        a, b = list(contour.sides())[side]
        assert (x, y) == pytest.approx(((a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2))


def test_all_outlines_are_cut_clockwise_however_they_were_drawn() -> None:
    """One file, one way round: as a bay, an arc, and a circle that was drawn backwards."""
    shapes = [bay(10, 10, 20, 0), moon(50, 10, 20, 0.3), circle(20, 70, 8)]
    backwards = [reverse(shape) for shape in shapes]
    for given in (shapes, backwards):
        for cut in cut_tour(given).contours:
            assert signed_area(flatten_contour(cut, 0.01)) > 0.0
    for shape, turned in zip(shapes, backwards, strict=True):
        assert (mask(shape) == mask(turned)).mean() > 0.999
        assert reverse(turned) == shape
