"""Windows into artwork: pins kept, motifs in the middle, nothing left bare, by brute force."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.fills import Choice, choose_fills, choose_windows
from kit.fills.bareness import bareness
from kit.fills.centring import centre_contrast
from kit.fills.field import Field, periodic_field
from kit.fills.offsets import Edges, Offsets, choose_offsets, cut_costs, dissimilarity
from kit.fills.windows import fields_of
from kit.kinds import KINDS
from kit.shapes import Rect, circle, rounded_rectangle
from kit.stickers import Slot
from palette.space import hex_to_lab
from patterns.coordinates import Coordinate
from patterns.plane import HALF_DROP, STRAIGHT, Plane

PEAR = (196, 84, 60)
GROUND = (244, 238, 220)


def slot(width: float = 8.0, height: float = 8.0, **other) -> Slot:
    return Slot(KINDS["full box"], 0, width, height, "pods", **other)


def one_motif(lattice=STRAIGHT, repeat_mm: float = 16.0) -> Plane:
    """A disc of a tile's quarter width, a third across and two fifths down."""
    at = (np.arange(128) + 0.5) / 128
    away = np.hypot(at[None, :] - 1 / 3, at[:, None] - 0.4)
    tile = np.where((away < 0.125)[..., None], PEAR, GROUND).astype(np.uint8)
    return Plane(tile, repeat_mm, lattice)


def windows(slots, choices, planes=None, variety: float = 0.5):
    planes = planes or {"pods": one_motif(), "dots": one_motif(HALF_DROP)}
    return choose_windows(slots, choices, planes, corner_radius_mm=1.0, variety=variety)


# ---- all windows of a kit


def test_a_sticker_of_one_colour_has_no_window() -> None:
    made = windows([slot()], [Choice("#3b5b7a")])
    assert made.offsets_mm == made.panel_offsets_mm == (None,)
    assert made.figures == {}


@pytest.mark.parametrize("angle", [0.0, 90.0, 37.0])
def test_what_is_pinned_stays_where_it_is(angle: float) -> None:
    """The offset lies in the plane as it is turned, as it is drawn."""
    slots = [slot(pin=(5.0, 12.0), angle_deg=angle), slot(angle_deg=angle)]
    made = windows(slots, [Choice("pods"), Choice("pods")])
    assert made.offsets_mm[0] == pytest.approx((5.0, 12.0), abs=1e-8)
    assert made.offsets_mm[1] != made.offsets_mm[0]
    assert made.panel_offsets_mm == (None, None)


@pytest.mark.parametrize("lattice", [STRAIGHT, HALF_DROP], ids=lambda one: one.name)
@pytest.mark.parametrize(
    ("angle", "scale"),
    [(0.0, 1.0), (90.0, 1.0), (37.0, 1.0), (200.0, 1.0), (0.0, 0.8), (37.0, 1.6)],
)
def test_a_centred_motif_is_printed_in_the_middle(angle: float, scale: float, lattice) -> None:
    plane = one_motif(lattice, 16.0 / scale)
    size = (8.0, 10.0)
    wanted = slot(*size, pin="centred", angle_deg=angle, scale=scale)
    made = windows([wanted], [Choice("pods")], {"pods": plane})
    assert made.offsets_mm[0] is not None
    turned = Plane(plane.pixels, plane.repeat_mm * scale, lattice, angle)
    shown = turned.sample(*made.offsets_mm[0], *size, 254.0).astype(int)
    red = np.abs(shown - PEAR).max(axis=2) < 40
    y, x = np.nonzero(red)
    assert (x.mean() * 0.1, y.mean() * 0.1) == pytest.approx((4.0, 5.0), abs=0.3)
    assert red.sum() * 0.01 == pytest.approx(math.pi * 4.0, rel=0.1)  # one whole motif, and no more


def test_a_panel_of_its_own_pattern_has_its_own_window() -> None:
    panelled = {"panel": "dots", "border_mm": 4.0}
    slots = [
        slot(20.0, 20.0, **panelled, pin="centred", panel_pin=(3.0, 4.0)),
        slot(20.0, 20.0, **panelled, pin=(1.0, 2.0)),
        slot(20.0, 20.0, panel="white", border_mm=4.0),
        slot(20.0, 20.0, **panelled, pin="centred"),
    ]
    choices = [
        Choice("pods", "dots"),
        Choice("#3b5b7a", "dots"),
        Choice("pods"),
        Choice("pods", "#3b5b7a"),
    ]
    made = windows(slots, choices)
    assert made.panel_offsets_mm == ((3.0, 4.0), None, None, None)
    assert made.offsets_mm[1] == (1.0, 2.0)  # a panel's alone is pinned by the sticker's own pin
    assert all(offset is not None for offset in made.offsets_mm)
    assert {name: len(figure.cut_costs) for name, figure in made.figures.items()} == {
        "pods": 3,
        "dots": 2,
    }


def test_a_pattern_in_sticker_and_panel_counts_twice() -> None:
    made = windows([slot(20.0, 20.0, panel="pods", border_mm=4.0)], [Choice("pods", "pods")])
    assert made.offsets_mm[0] is not None
    assert made.panel_offsets_mm[0] is not None
    assert made.offsets_mm != made.panel_offsets_mm
    assert len(made.figures["pods"].offsets_mm) == 2
    assert list(made.figures) == ["pods"]


def test_a_whole_motif_is_shown_uncut_where_there_is_room() -> None:
    made = windows([slot(8.0, 8.0)], [Choice("pods")], variety=0.0)
    assert made.figures["pods"].cut_costs == pytest.approx((0.0,), abs=1e-9)
    assert made.figures["pods"].gains
    at = made.offsets_mm[0]
    assert at is not None
    shown = one_motif().sample(*at, 8.0, 8.0, 254.0).astype(int)
    red = np.abs(shown - PEAR).max(axis=2) < 40
    # at least 0.35 of the tile's mean is shown (our own limit), none of it at the edge
    assert red.mean() > 0.35 * math.pi / 64
    assert not red[0].any()
    assert not red[-1].any()
    assert not red[:, 0].any()
    assert not red[:, -1].any()


def test_variety_is_the_makers() -> None:
    slots, choices = [slot(6.0, 6.0)] * 3, [Choice("pods")] * 3
    clean = windows(slots, choices, variety=0.0).figures["pods"]
    varied = windows(slots, choices, variety=1.0).figures["pods"]
    assert clean.distance == 0.0  # the cleanest window thrice
    assert varied.distance > 0.2
    assert clean.cut_cost_ratio <= varied.cut_cost_ratio


def test_a_large_picture_gives_the_window_of_a_small_one() -> None:
    small = one_motif()
    large = Plane(np.kron(small.pixels, np.ones((8, 8, 1), np.uint8)), 16.0)
    a, b = (
        windows([slot(pin="centred")], [Choice("pods")], {"pods": plane}).offsets_mm[0]
        for plane in (small, large)
    )
    assert a == pytest.approx(b, abs=0.26)


class Spots:
    """A figure whose middle is at (3, 4) mm of a repeat of 6 x 8 mm."""

    size_mm, centre_mm, narrowest_mm = (6.0, 8.0), (3.0, 4.0), 1.0

    def light(self, across, down, inks):
        raise NotImplementedError


def drawn_at(wanted: Slot, choice: Choice):
    drawn = {"spots": Coordinate(Spots(), ("#ffffff", "#3b5b7a"))}
    return choose_windows(
        [slot(), wanted], [Choice("#3b5b7a"), choice], {}, drawn, corner_radius_mm=1.0, variety=0.5
    )


@pytest.mark.parametrize(
    ("more", "offset"),
    [
        ({}, (3 - 5, 4 - 10)),
        ({"angle_deg": 90.0}, (-4 - 5, 3 - 10)),  # it turns about its corner
        ({"scale": 2.0}, (6 - 5, 8 - 10)),
        ({"pin": (1.25, 2.5)}, (1.25, 2.5)),
        ({"pin": "centred"}, (3 - 5, 4 - 10)),
    ],
)
def test_a_coordinates_middle_lies_in_the_stickers_middle(more, offset) -> None:
    """By hand, on 10 x 20 mm. Else stripes end in half a stripe on one side."""
    made = drawn_at(slot(10.0, 20.0, **more), Choice("spots"))
    assert made.offsets_mm == (None, pytest.approx(offset))
    assert made.panel_offsets_mm == (None, None)
    assert made.figures == {}


def test_a_coordinate_on_sticker_and_panel_has_a_window_in_each() -> None:
    both = slot(10.0, 20.0, panel="spots", border_mm=3.0, panel_pin=(0.5, 0.75))
    made = drawn_at(both, Choice("spots", "spots"))
    assert made.offsets_mm[1] == pytest.approx((-2, -6))
    assert made.panel_offsets_mm == (None, (0.5, 0.75))
    alone = drawn_at(slot(10.0, 20.0, panel="spots", border_mm=3.0), Choice("#3b5b7a", "spots"))
    assert alone.offsets_mm[1] == pytest.approx((-2, -6))


def test_one_that_remembers_motifs_is_asked_by_the_patterns_name() -> None:
    asked = []

    def remembered(name: str, plane: Plane):
        asked.append(name)
        return fields_of(plane)

    planes = {"pods": one_motif(), "dots": one_motif(HALF_DROP)}
    slots, choices = [slot(), slot()], [Choice("dots"), Choice("#3b5b7a")]
    more = choose_windows(
        slots, choices, planes, corner_radius_mm=1.0, variety=0.5, fields_with=remembered
    )
    assert asked == ["dots"]
    assert more == windows(slots, choices, planes)


# ---- one pattern's offsets


def motifs(rows: int = 40, cols: int = 48) -> Field:
    source = np.random.default_rng(5)
    smooth = np.fft.irfft2(
        np.fft.rfft2(source.random((rows, cols))) * _low(rows, cols), (rows, cols)
    )
    return Field((smooth > np.quantile(smooth, 0.7)).astype(float), (0.25, 0.25))


def _low(rows: int, cols: int):
    fy, fx = np.fft.fftfreq(rows)[:, None], np.fft.rfftfreq(cols)[None, :]
    return np.exp(-60.0 * (fx**2 + fy**2))


BOX = Edges(rounded_rectangle(Rect(0, 0, 4.0, 3.0)))


def at_cell(offset, mask):
    return round(offset[1] / mask.pitch_mm[1]), round(offset[0] / mask.pitch_mm[0])


def wish(mask: Field, edges: Edges):
    """What a window costs by itself: cut over the mean cut, and how bare it is."""
    cost = cut_costs(mask, edges)
    return cost / cost.mean() + bareness(mask, edges.outline, edges.panels)


def test_a_single_window_is_the_best_of_all() -> None:
    mask = motifs()
    found = choose_offsets(mask, mask, [BOX])
    cost = wish(mask, BOX)
    cell = at_cell(found.offsets_mm[0], mask)
    assert cost[cell] == pytest.approx(cost.min(), abs=1e-8)
    cuts = cut_costs(mask, BOX)
    assert found.cut_costs == pytest.approx((cuts[cell],))
    assert found.cut_cost_ratio == pytest.approx(cuts[cell] / cuts.mean())
    assert found.distance == math.inf


@pytest.mark.parametrize("lean", [0.3, 0.5, 0.8])
@pytest.mark.parametrize("pin", [None, (1.5, 2.25)])
def test_the_next_window_is_the_best_beside_the_first(lean: float, pin) -> None:
    """Brute force over all places: clean edges against being unlike the other."""
    mask = motifs()
    pair = [Edges(BOX.outline, pin=pin), BOX]
    found = choose_offsets(mask, mask, pair, lean)
    first, second = (at_cell(offset, mask) for offset in found.offsets_mm)
    unlike = dissimilarity(mask)
    score = lean * np.roll(unlike, first, (0, 1)) - (1 - lean) * wish(mask, BOX)
    assert score[second] == pytest.approx(score.max(), abs=1e-8)
    away = unlike[(second[0] - first[0]) % 40, (second[1] - first[1]) % 48]
    assert found.distance == pytest.approx(away)
    if pin:
        assert found.offsets_mm[0] == pin
    else:  # the first chose again, now that there was another
        score = lean * np.roll(unlike, second, (0, 1)) - (1 - lean) * wish(mask, BOX)
        assert score[first] == pytest.approx(score.max(), abs=0.05)


def test_a_pin_late_in_the_row_is_known_from_the_first() -> None:
    """Else the first might take the very window that the last one is pinned to."""
    mask = motifs()
    best = choose_offsets(mask, mask, [BOX]).offsets_mm[0]
    found = choose_offsets(mask, mask, [BOX, Edges(BOX.outline, pin=best)], 0.7)
    assert found.offsets_mm[1] == best
    assert found.distance > 0.3


def test_a_pin_beyond_the_tile_is_the_same_place_again() -> None:
    mask = motifs()  # 12 x 10 mm
    near = choose_offsets(mask, mask, [Edges(BOX.outline, pin=(1.5, 2.25)), BOX], 0.7)
    far = choose_offsets(mask, mask, [Edges(BOX.outline, pin=(37.5, 22.25)), BOX], 0.7)
    assert far.offsets_mm[0] == (37.5, 22.25)
    assert far.offsets_mm[1] == near.offsets_mm[1]
    assert far.cut_costs == near.cut_costs


def test_a_centred_window_beats_any_clean_edge() -> None:
    mask = motifs()
    found = choose_offsets(mask, mask, [Edges(BOX.outline, centred=True)])
    cost = wish(mask, BOX) - 6.0 * centre_contrast(mask, BOX.outline)
    assert cost[at_cell(found.offsets_mm[0], mask)] == pytest.approx(cost.min(), abs=1e-8)


@pytest.mark.parametrize(("ratio", "gains"), [(0.89, True), (0.9, False), (0.91, False)])
def test_nine_tenths_of_chance_is_no_gain(ratio: float, *, gains: bool) -> None:
    assert Offsets(((0.0, 0.0),), ratio, (0.1,), 1.0).gains == gains


def test_bare_windows_by_brute_force() -> None:
    """What a window shows of motifs over the tile's mean, 0.35 of it and more is enough."""
    mask = motifs()
    outline = rounded_rectangle(Rect(0.5, 0.25, 4.0, 3.0))
    panel = rounded_rectangle(Rect(1.5, 1.0, 2.0, 1.5))
    visible = np.zeros((40, 48))
    visible[1:13, 2:18] = 1.0
    visible[4:10, 6:14] = 0.0
    found = bareness(mask, outline, [panel])
    brute = np.empty_like(found)
    for i in range(40):
        for j in range(48):
            window = np.roll(mask.values, (-i, -j), (0, 1))
            shown = (window * visible).sum() / visible.sum() / mask.values.mean()
            brute[i, j] = min(max(1.0 - shown / 0.35, 0.0), 1.0)
    assert 0.0 < brute.mean() < 0.5
    assert np.abs(found - brute).max() < 1e-9
    assert bareness(mask, outline, [outline]).max() == 0.0  # all of it under its panel


@pytest.mark.parametrize(("across", "down"), [(-8, -12), (8, 12), (-2, 3), (5, -1)])
def test_an_outline_that_is_moved_shows_what_lies_there(across: int, down: int) -> None:
    """Artwork that is turned puts a sticker's edges on any side of its corner."""
    mask, box = motifs(), Rect(0.5, 0.25, 4.0, 3.0)
    here = bareness(mask, rounded_rectangle(box, 0.5))
    there = bareness(mask, rounded_rectangle(box.shift(across * 0.25, down * 0.25), 0.5))
    assert np.abs(there - np.roll(here, (-down, -across), (0, 1))).max() < 1e-9


def test_contrast_of_the_middle_by_brute_force() -> None:
    mask = motifs()
    outline = circle(3.1, 2.6, 2.0)
    y, x = np.mgrid[0:40, 0:48]
    away = np.hypot((x + 0.5) * 0.25 - 3.1, (y + 0.5) * 0.25 - 2.6)
    disc, ring = away <= 1.0, (away > 1.0) & (away <= 2.0)
    found = centre_contrast(mask, outline)
    for i, j in ((0, 0), (3, 5), (20, 40), (39, 47)):
        window = np.roll(mask.values, (-i, -j), (0, 1))
        assert found[i, j] == pytest.approx(window[disc].mean() - window[ring].mean())


# ---- the grid


@pytest.mark.parametrize(
    ("side", "cells"),
    [(0.2, 4), (1.0, 4), (1.1, 6), (9.3, 40), (10.0, 40), (128.0, 512), (300, 512)],
)
def test_a_quarter_of_a_millimetre_a_cell(side: float, cells: int) -> None:
    """An even number without a prime factor over 5; 512 at the most."""
    made = periodic_field(np.zeros((8, 8)), side, 10.0)
    assert made.values.shape == (40, cells)
    assert made.pitch_mm == pytest.approx((side / cells, 0.25))
    assert periodic_field(np.zeros((8, 8)), 10.0, side).values.shape == (cells, 40)


def test_cells_are_exact_means_of_the_pixels_under_them() -> None:
    """Six pixels over four cells: one and a half each."""
    tile = np.array([[1.0, 5.0, 9.0, 2.0, 4.0, 7.0]] * 4) * [[1.0], [2.0], [3.0], [4.0]]
    across = [(1 + 2.5) / 1.5, (2.5 + 9) / 1.5, (2 + 2) / 1.5, (2 + 7) / 1.5]
    made = periodic_field(tile, 1.0, 1.0)
    assert made.values == pytest.approx(np.outer([1, 2, 3, 4], across))
    colours = np.stack([tile, 2 * tile], axis=-1)
    made = periodic_field(colours.transpose(1, 0, 2), 1.0, 1.0)
    assert made.values[..., 1] == pytest.approx(2 * np.outer(across, [1, 2, 3, 4]))


# ---- fills


def slots_wishing(*wishes: str, rows=None, panel: str | None = None) -> list[Slot]:
    numbers = rows or [0] * len(wishes)
    return [
        Slot(KINDS["full box"], row, 40, 52, one, panel=panel)
        for one, row in zip(wishes, numbers, strict=True)
    ]


BLUE, PINK, SKY = "#3b5b7a", "#f4c7bd", "#45658a"
PALETTE = {colour: hex_to_lab(colour) for colour in (BLUE, PINK, SKY)}
TILES = {"a": hex_to_lab(BLUE), "b": hex_to_lab(SKY), "c": hex_to_lab(PINK)}


def test_what_a_choice_shows() -> None:
    assert (Choice("pods").pattern, Choice("pods").panel_pattern) == ("pods", None)
    assert (Choice("pods", "dots").pattern, Choice("pods", "dots").panel_pattern) == (
        "pods",
        "dots",
    )
    assert (Choice(BLUE, "dots").pattern, Choice(BLUE, PINK).pattern) == ("dots", None)
    assert Choice("pods", BLUE).panel_pattern is None


def fills(slots, near=None, patterns=TILES, colours=PALETTE):
    return choose_fills(slots, patterns, colours, near or [[] for _ in slots])


def test_among_equals_the_farthest_colour_from_its_neighbours_comes_first() -> None:
    chosen = fills(slots_wishing("a", "patterns", rows=[0, 1]), [[1], [0]])
    assert chosen[1].fill == "c"  # pink beside blue, not sky blue
    alone = fills(slots_wishing("a", "patterns", rows=[0, 1]))
    assert alone[1].fill == "b"  # nothing beside it: the next in order that is less used


def test_a_colour_is_the_same_in_capitals() -> None:
    chosen = fills(slots_wishing(BLUE.upper(), "palette", "palette", rows=[0, 0, 0]))
    assert [one.fill for one in chosen] == [BLUE, PINK, SKY]


def test_the_whole_kit_uses_each_as_often_where_rows_leave_it_open() -> None:
    chosen = fills(slots_wishing("a", "a", "b", "patterns", rows=[0, 1, 2, 3]))
    assert chosen[3].fill == "c"
    chosen = fills(slots_wishing("patterns", "a", "c", rows=[0, 1, 2]))
    assert chosen[0].fill == "b"  # what later rows name is known already


def test_a_panel_differs_from_its_sticker_and_is_spread_too() -> None:
    chosen = fills(slots_wishing("a", "a", "a", panel="patterns"))
    assert [one.panel for one in chosen] == ["c", "b", "c"]
    named = fills(slots_wishing("a", panel=PINK.upper()))
    assert named[0].panel == PINK
    for blank in ("white", "ruled", None):
        assert fills(slots_wishing("a", panel=blank))[0].panel is None
    plain = fills(slots_wishing("a", panel="palette"))
    assert plain[0].panel == PINK  # farthest from the blue tile


def test_a_single_fill_is_used_for_all() -> None:
    one = {"a": TILES["a"]}
    assert [c.fill for c in fills(slots_wishing("patterns", "patterns"), [[1], [0]], one)] == [
        "a"
    ] * 2


def lightness_at(distance: float) -> float:
    """The L at which a grey is so far from white; CIEDE2000 by coloraide."""
    from coloraide import Color

    low, high = 50.0, 100.0
    white = Color("lab", [100, 0, 0])
    for _ in range(50):
        middle = (low + high) / 2
        if Color("lab", [middle, 0, 0]).delta_e(white, method="2000") > distance:
            low = middle
        else:
            high = middle
    return low


@pytest.mark.parametrize(("distance", "offered"), [(4.95, False), (5.05, True)])
def test_five_de2000_from_paper_white_is_the_palest_fill(distance: float, *, offered: bool) -> None:
    """A plain sticker paler than that looks as if it had not been printed; our own limit."""
    colours = {"#eeeeee": np.array([lightness_at(distance), 0.0, 0.0]), BLUE: PALETTE[BLUE]}
    chosen = {one.fill for one in fills(slots_wishing("palette", "palette"), colours=colours)}
    assert ("#eeeeee" in chosen) == offered
    only = {"#eeeeee": np.array([99.0, 0.0, 0.0])}
    assert fills(slots_wishing("palette"), colours=only)[0].fill == "#eeeeee"


def test_the_last_of_a_row_is_kept_from_its_like_whatever_lies_between() -> None:
    """Looking ahead: the row's other stickers leave "a" free of the one place beside an "a"."""
    slots = slots_wishing("a", "b", "patterns", "patterns", "patterns", rows=[0, 1, 2, 2, 2])
    near = [[4], [3], [], [1], [0]]
    chosen = [one.fill for one in fills(slots, near)]
    assert sorted(chosen[2:]) == ["a", "b", "c"]
    assert chosen[3] != "b"
    assert chosen[4] != "a"
    swapped = [one.fill for one in fills(slots, [[2, 3], [4], [0], [0], [1]])]
    assert sorted(swapped[2:]) == ["a", "b", "c"]
    assert swapped[4] == "a"
    # a row of its own wish does not take part
    other = slots_wishing("a", "patterns", "palette", rows=[0, 1, 1])
    assert fills(other, [[1], [0], []])[1].fill == "c"


def test_what_is_named_counts_in_its_row_though_the_kit_has_little_of_it() -> None:
    """In a row each is used before one is used twice, whatever other rows hold."""
    wishes = ("b", "b", "c", "c", "a", "patterns", "patterns")
    chosen = fills(slots_wishing(*wishes, rows=[0, 0, 0, 0, 1, 1, 1]))
    assert sorted(one.fill for one in chosen[5:]) == ["b", "c"]


def test_a_named_panel_counts_as_used() -> None:
    slots = [*slots_wishing("a", panel="b"), *slots_wishing("patterns", rows=[1])]
    assert fills(slots)[1].fill == "c"


def test_a_tile_without_motifs_is_cut_nowhere() -> None:
    blank = Field(np.zeros((40, 48)), (0.25, 0.25))
    found = choose_offsets(blank, blank, [BOX, BOX])
    assert (found.cut_cost_ratio, found.gains, found.cut_costs) == (1.0, False, (0.0, 0.0))
