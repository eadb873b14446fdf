"""The plain rules around the seam verdict: each limit just inside and just outside.

What was measured, and what the trees make of it, is given; so each rule answers for itself alone.
A rule that slips costs a maker a sheet with a line through every sticker, or an afternoon spent on
mending a tile that was whole. All limits but one, which is named, are common practice, no
published source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
import pytest

from patterns.plane import HALF_BRICK, HALF_DROP, STRAIGHT
from patterns.seams import AxisCheck, SeamCheck, check, check_seams, verdict
from patterns.seams.figures import CONTEXT, Figures
from patterns.seams.joins import LEAST_PX, Joins, Stack
from patterns.seams.values import Fault, Verdict
from patterns.seams.verdict import (
    LOUD,
    apply_rules,
    classify,
    is_drift,
    judge,
    judge_small,
    likeliest_kinds,
)

KINDS = ("cut-motif", "crop", "doubled-line", "fringe", "drift", "rhythm", "clamped")
VISIBLE = ("step_short:de", "kink_short:de", "rest_short:de", "drift_all:de", "rhythm:de")


def chances(seam: float, line: float = 0.0, **kinds: float) -> dict[str, float]:
    """Return what the trees say: by default that the likeliest kind is a cut motif."""
    named = {f"kind:{kind}": 0.05 for kind in KINDS} | {"kind:cut-motif": 0.6}
    more = {f"kind:{kind.replace('_', '-')}": chance for kind, chance in kinds.items()}
    return {"seam": seam, "line": line, **named, **more}


def values(**changes: float) -> dict[str, float]:
    """Return figures of a join that is plain to see and louder than the tile: no rule applies."""
    plain = dict.fromkeys((*LOUD, *VISIBLE), 1.0) | {"step_short:de": 20.0}
    plain |= {"inside_flat": 0.8, "steady:de": 0.0, "drift_median:max": 0.0, "rhythm:max": 0.0}
    return plain | {name.replace("__", ":"): value for name, value in changes.items()}


def arrays(named: Mapping[str, float]) -> dict[str, np.ndarray]:
    return {name: np.array(value) for name, value in named.items()}


def rule(seam: float, figures: dict[str, float], **kinds: float) -> float:
    """Return the chance of a fault after the plain rules, of a file that loses no detail."""
    return float(apply_rules(arrays(chances(seam, **kinds)), arrays(figures)))


# ---- from chances to a verdict


@pytest.mark.parametrize(
    ("seam", "line", "rhythm", "number"),
    [
        (0.5, 0.0, 0.0, 0),
        (0.5001, 0.0, 0.0, 1),
        (0.7999, 0.0, 0.0, 1),
        (0.8, 0.0, 0.0, 2),
        (0.99, 0.33, 0.0, 2),
        (0.99, 0.3301, 0.0, 1),  # a line of the design: a person must say
        (0.6, 0.9, 0.0, 1),
        (0.2, 0.9, 0.0, 0),
        (0.0, 0.0, 0.3, 0),
        (0.0, 0.0, 0.3001, 2),  # a broken rhythm is a seam whatever the edge pixels say
        (0.6, 0.9, 0.3001, 2),
    ],
)
def test_a_verdict_changes_at_its_limits(
    seam: float, line: float, rhythm: float, number: int
) -> None:
    assert int(classify(np.array(seam), np.array(line), np.array(rhythm))) == number
    three = classify(np.array([0.1, seam, 0.9]), np.array([0, line, 0]), np.array([0, rhythm, 0]))
    assert three.tolist() == [0, number, 2]


# ---- the rules


@pytest.mark.parametrize(
    ("steady", "jump", "drifts"),
    [(3.0, 0.21, True), (2.99, 0.21, False), (3.0, 0.2, False), (9.0, 0.0, False)],
)
def test_a_drift_is_a_tone_that_runs_steadily_and_jumps_back(
    steady: float, jump: float, drifts: bool
) -> None:
    """About L* from edge to edge; a sky that only darkens, without a jump, is not a fault."""
    figures = values(steady__de=steady, drift_median__max=jump)
    assert bool(is_drift(arrays(figures))) is drifts
    assert rule(0.1, figures) == (0.9 if drifts else 0.1)
    assert rule(0.95, figures) == 0.95


@pytest.mark.parametrize("name", VISIBLE)
def test_what_nobody_sees_along_the_whole_edge_is_no_seam(name: str) -> None:
    """CIE76 2.3: the just noticeable difference after Mahy and others, 1994; lossy, half more."""
    unseen = values() | dict.fromkeys(VISIBLE, 0.0)
    given = arrays(chances(0.99))
    for lossy, limit in ((False, 2.3), (True, 3.45)):
        for off, after in ((-0.01, 0.0), (0.01, 0.99)):
            figures = arrays(unseen | {name: limit + off})
            assert apply_rules(given, figures, lossy=lossy) == after
    assert rule(0.99, unseen | {name: 2.31}) == 0.99
    assert rule(0.99, unseen | {name: 2.3}) == 0.0
    drifting = unseen | {"steady:de": 5.0, "drift_median:max": 1.0}
    assert rule(0.1, drifting) == 0.0  # a drift too


def quiet(**changes: float) -> dict[str, float]:
    """Return figures of a visible join of which no measure exceeds the interior's greatest."""
    figures = values()
    still = {name: 0.05 for name in figures if name.endswith(":max")}
    return figures | still | {name.replace("__", ":"): value for name, value in changes.items()}


def test_a_join_like_the_tiles_own_interior_is_seamless() -> None:
    """A gingham's own edges are as loud as its join: half the chance, so never a seam."""
    assert rule(0.99, quiet()) == pytest.approx(0.495)
    assert rule(0.99, quiet(steady__de=1.99)) == pytest.approx(0.495)
    assert rule(0.99, quiet(steady__de=2.0)) == 0.99


@pytest.mark.parametrize("name", [*LOUD, "rhythm:max", "drift_median:max", "anything:max"])
def test_one_louder_measure_is_enough_to_look_closer(name: str) -> None:
    assert rule(0.99, quiet() | {name: 0.051}) == 0.99


@pytest.mark.parametrize(
    "name", ["over_share_long:max", "over_share:max", "still_all:max", "still_all:z", "any:de"]
)
def test_what_is_no_evidence_does_not_count(name: str) -> None:
    """A line on the join is another question, and what kind of artwork it is proves nothing."""
    assert name in CONTEXT or name.startswith("over_share") or not name.endswith(":max")
    assert rule(0.99, quiet() | {name: 5.0}) == pytest.approx(0.495)


def grain(**changes: float) -> dict[str, float]:
    """Return figures of a join in grain that is no louder than the grain."""
    figures = values(inside_flat=0.29) | dict.fromkeys(LOUD, 0.149)
    return figures | {name.replace("__", ":"): value for name, value in changes.items()}


@pytest.mark.parametrize(
    ("seam", "figures", "crop", "after"),
    [
        (0.94, grain(), 0.7, 0.7999),  # unsure: a person must say
        (0.6, grain(), 0.7, 0.6),
        (0.95, grain(), 0.7, 0.95),  # sure enough
        (0.94, grain(inside_flat=0.3), 0.7, 0.94),  # not grain all over
        (0.94, grain(step_long__max=0.15), 0.7, 0.94),  # louder than the grain
        (0.94, grain(), 0.1, 0.94),  # of another kind: a cut motif
    ],
)
def test_a_crop_in_grain_must_be_surer(
    seam: float, figures: dict[str, float], crop: float, after: float
) -> None:
    """In paper or felt the eye has nothing to go on: better asked than mended for nothing."""
    assert rule(seam, figures, crop=crop) == pytest.approx(after, abs=1e-9)


@pytest.mark.parametrize("name", LOUD)
def test_any_loud_measure_takes_a_join_out_of_the_grain(name: str) -> None:
    assert rule(0.9, grain() | {name: 0.16}, crop=0.7) == 0.9


def test_the_measures_that_tell_grain_are_these() -> None:
    short = {"step_short", "step_long", "kink_short", "rest_short", "excess_short", "match_short"}
    assert set(LOUD) == {f"{n}:max" for n in short | {"ends_short", "strange_long", "ground_long"}}


def test_rules_hold_for_many_joins_at_once() -> None:
    """The benchmark judges thousands together; each is judged as it is alone."""
    unseen = values() | dict.fromkeys(VISIBLE, 0.0)
    rows = [values(), quiet(), grain(), values(steady__de=4.0, drift_median__max=1.0), unseen]
    every = sorted(set().union(*rows))
    rows = [dict.fromkeys(every, 0.05) | row for row in rows]
    together = {name: np.array([row[name] for row in rows]) for name in every}
    given = arrays(chances(0.9, crop=0.7))
    many = {name: np.full(len(rows), value) for name, value in given.items()}
    alone = [float(apply_rules(given, arrays(row))) for row in rows]
    np.testing.assert_array_equal(apply_rules(many, together), alone)
    np.testing.assert_array_equal(likeliest_kinds(many), ["crop"] * 5)


def test_the_likeliest_kind_is_of_kinds_alone() -> None:
    assert str(likeliest_kinds(arrays(chances(1.0, 1.0)))) == "cut-motif"
    assert str(likeliest_kinds(arrays(chances(1.0, 1.0, doubled_line=0.61)))) == "doubled-line"


# ---- one axis, from figures to what a maker is told


def joins(after: tuple[float, float] = (60.0, 70.0), items: int = 40, pixels: int = 40) -> Joins:
    """Return the join of a plain tile, L* 50: then a line of one lightness, then of another."""
    lines = np.zeros((16, items, 3), dtype=np.float32)
    lines[..., 0] = 50.0
    lines[6, :, 0] = 40.0  # what lies further off is not what meets
    lines[8, :, 0], lines[9, :, 0] = after
    stack = Stack(lines, 8, np.arange(2, 6), 4, 0)
    return Joins(stack, stack, pixels)


Judge = Callable[..., AxisCheck]


@pytest.fixture
def judged(monkeypatch: pytest.MonkeyPatch) -> Judge:
    """Return a judge of joins whose figures, and what the trees make of them, are given."""

    def look(
        given: dict[str, float],
        figures: dict[str, float],
        rest: np.ndarray | None = None,
        *,
        of: Joins | None = None,
        px_per_item: float = 1.0,
        has_rhythm: bool = True,
        **how: bool,
    ) -> AxisCheck:
        left = np.zeros(40, dtype=np.float32) if rest is None else rest

        class Trees:
            def chances(self, rounded: Mapping[str, float]) -> dict[str, float]:
                assert rounded == {name: round(value, 4) for name, value in figures.items()}
                return dict(given)

        monkeypatch.setattr(
            verdict, "measure_joins", lambda _: Figures(figures, left, px_per_item, has_rhythm)
        )
        monkeypatch.setattr(verdict, "forest", Trees)
        return judge(of or joins(), **how)

    return look


def told(found: AxisCheck) -> tuple[Verdict, float, str | None]:
    return found.verdict, found.score, found.question


def test_an_axis_is_told_by_name_score_and_question(judged: Judge) -> None:
    assert told(judged(chances(0.3), values())) == ("seamless", 0.3, None)
    assert told(judged(chances(0.65), values())) == ("unsure", 0.65, "faint-join")
    assert told(judged(chances(0.93456), values())) == ("seam", 0.9346, None)


def test_a_line_on_the_boundary_is_a_question_of_its_own(judged: Judge) -> None:
    """The score stays within what "unsure" stands for, however sure the trees are."""
    asked = ("unsure", 0.8, "line-part-of-design")
    assert told(judged(chances(0.97, 0.34), values())) == asked
    assert told(judged(chances(0.65, 0.33), values())) == ("unsure", 0.65, "faint-join")
    assert told(judged(chances(0.2, 0.9), values())) == ("seamless", 0.2, None)
    assert told(judged(chances(0.97, 0.33), values())) == ("seam", 0.97, None)


def test_a_broken_rhythm_is_scored_by_how_badly_it_is_broken(judged: Judge) -> None:
    """A logistic curve about the limit, slope 10; never less than a seam's least."""
    assert told(judged(chances(0.1), values(rhythm__max=0.5))) == ("seam", 0.8808, None)
    assert told(judged(chances(0.1), values(rhythm__max=0.31))) == ("seam", 0.8, None)
    assert told(judged(chances(0.95), values(rhythm__max=0.5))) == ("seam", 0.95, None)
    assert told(judged(chances(0.1), values(rhythm__max=0.3))) == ("seamless", 0.1, None)
    assert told(judged(chances(0.6), values(rhythm__max=0.3))) == ("unsure", 0.6, "faint-join")


def test_a_rhythm_that_is_seen_but_twice_is_no_rhythm(judged: Judge) -> None:
    """A pair of lines may be meant to stand nearer to each other than to the next pair."""
    twice = judged(chances(0.1), values(rhythm__max=0.5), has_rhythm=False)
    assert told(twice) == ("seamless", 0.1, None)


def test_the_last_bits_of_a_figure_never_decide(judged: Judge) -> None:
    """They differ with the number of threads: figures are rounded to four decimals first."""
    assert judged(chances(0.1), values(rhythm__max=0.30004)).verdict == "seamless"
    assert judged(chances(0.1), values(rhythm__max=0.30006)).verdict == "seam"


def test_a_lossy_file_needs_a_little_more(judged: Judge) -> None:
    faint = values() | dict.fromkeys(VISIBLE, 3.0)
    assert judged(chances(0.9), faint).verdict == "seam"
    assert judged(chances(0.9), faint, lossy=True).verdict == "seamless"


@pytest.mark.parametrize(
    ("given", "figures", "kind"),
    [
        (chances(0.9, cut_motif=0.3), values(), "cut-motif"),
        (chances(0.9, cut_motif=0.29), values(), "join"),  # none is likely: a join, no more
        (chances(0.9), values(rhythm__max=0.31), "rhythm"),
        (chances(0.9), values(rhythm__max=0.3), "cut-motif"),
        (chances(0.9, drift=0.7), values(rhythm__max=0.31), "drift"),  # throws rhythm off as well
        (chances(0.9, drift=0.29, cut_motif=0.1), values(rhythm__max=0.31), "rhythm"),
        (chances(0.1), values(steady__de=3.0, drift_median__max=0.3), "drift"),
    ],
)
def test_a_fault_is_named(
    judged: Judge, given: dict[str, float], figures: dict[str, float], kind: str
) -> None:
    """By a wrong name the wrong remedy is tried."""
    found = judged(given, figures)
    assert found.verdict == "seam"
    assert {fault.kind for fault in found.faults} == {kind}


def test_the_strength_is_what_meets_at_the_join(judged: Judge) -> None:
    """CIEDE2000 of greys from their lightness alone: dL over S_L (Sharma and others, 2005)."""
    found = judged(chances(0.9), values())
    middle = (55.0 - 50.0) ** 2
    off = 10.0 / (1.0 + 0.015 * middle / np.sqrt(20.0 + middle))
    np.testing.assert_allclose(found.strength, np.full(40, off), rtol=1e-5)
    (fault,) = found.faults
    assert (fault.from_px, fault.to_px, fault.shift_de2000) == (0, 40, round(off, 2))
    with pytest.raises(ValueError, match="read-only"):
        found.strength[0] = 1.0


def test_of_a_doubled_line_the_strength_is_one_line_further_on(judged: Judge) -> None:
    """Where a line is duplicated there is no jump; what should have come next is beyond it."""
    same = joins(after=(50.0, 70.0))
    doubled = judged(chances(0.9, doubled_line=0.9), values(), of=same)
    assert doubled.strength.min() > 10.0
    assert judged(chances(0.9), values(), of=same).strength.max() == 0.0
    assert judged(chances(0.1, doubled_line=0.9), values(), of=same).strength.max() == 0.0


def test_the_strength_has_an_item_for_each_pixel(judged: Judge) -> None:
    """Of a large tile fewer lines are measured than its edge has pixels, or as many."""
    stack = joins().whole
    lines = stack.lines.copy()
    lines[8, :20, 0] = 50.0  # nothing to see on the first half
    lines[8, 39, 0] = 90.0
    half = Stack(lines, 8, stack.interior, 4, 0)
    for pixels in (40, 100, 99, 1):
        found = judged(chances(0.9), values(), of=Joins(half, half, pixels))
        assert found.strength.shape == (pixels,)
        assert (found.strength[-1] > 30.0) == (pixels > 1)  # the last is the last one's
        assert np.count_nonzero(found.strength == 0.0) == pytest.approx(pixels / 2, abs=0.6)


def rest(*loud: tuple[int, int, float], items: int = 120) -> np.ndarray:
    """Return what is left unforeseen along an edge: nothing but for stretches."""
    left = np.zeros(items, dtype=np.float32)
    for start, end, value in loud:
        left[start:end] = value
    return left


def stretches(found: AxisCheck) -> list[tuple[int, int]]:
    return [(fault.from_px, fault.to_px) for fault in found.faults]


LONG = joins(items=120, pixels=120)


@pytest.mark.parametrize("kind", ["fringe", "drift", "rhythm", "doubled-line"])
def test_some_faults_are_of_the_whole_edge(judged: Judge, kind: str) -> None:
    found = judged(chances(0.9, **{kind: 0.9}), values(), rest((40, 60, 30.0)), of=LONG)
    assert stretches(found) == [(0, 120)]


def test_other_faults_are_placed_where_they_are_loud(judged: Judge) -> None:
    """A mean over nine pixels, over 0.3 of its greatest: a maker looks there and nowhere else."""
    found = judged(chances(0.9), values(), rest((40, 60, 30.0)), of=LONG)
    # three of nine pixels are over 0.3 of the greatest, two are not
    assert stretches(found) == [(38, 62)]
    assert stretches(judged(chances(0.9), values(), rest(), of=LONG)) == [(0, 120)]


def test_a_stretch_may_begin_or_end_with_the_edge(judged: Judge) -> None:
    found = judged(chances(0.9), values(), rest((0, 20, 30.0), (100, 120, 40.0)), of=LONG)
    assert sorted(stretches(found)) == [(0, 21), (98, 120)]
    faint = judged(chances(0.9), values(), rest((0, 20, 2.4), (100, 120, 2.4)), of=LONG)
    assert sorted(stretches(faint)) == [(0, 16), (104, 120)]  # nothing faint lies beyond the edge


@pytest.mark.parametrize(("value", "placed"), [(2.2, False), (2.4, True)])
def test_what_is_under_one_just_noticeable_difference_is_not_placed(
    judged: Judge, value: float, placed: bool
) -> None:
    found = judged(chances(0.9), values(), rest((40, 70, value)), of=LONG)
    assert (stretches(found) != [(0, 120)]) == placed


@pytest.mark.parametrize(("gap", "number"), [(15, 1), (16, 2)])
def test_a_gap_under_twelve_is_no_gap_to_the_eye(judged: Judge, gap: int, number: int) -> None:
    """The mean reaches two pixels beyond each stretch, so 16 between them are 12."""
    left = rest((20, 40, 30.0), (40 + gap, 60 + gap, 30.0))
    found = judged(chances(0.9), values(), left, of=LONG)
    assert len(found.faults) == number
    if number == 1:
        assert stretches(found) == [(18, 62 + gap)]


@pytest.mark.parametrize(("gap", "number"), [(15, 1), (16, 2)])
def test_a_gap_is_measured_where_the_picture_was_reduced(
    judged: Judge, gap: int, number: int
) -> None:
    """The eye sees the reduced picture's gap, whatever it measures in pixels of the tile."""
    left = rest((20, 40, 30.0), (40 + gap, 60 + gap, 30.0))
    for scale in (0.5, 4.0):
        of = joins(items=120, pixels=round(120 * scale))
        found = judged(chances(0.9), values(), left, of=of, px_per_item=scale)
        assert len(found.faults) == number


def test_the_worst_fault_comes_first(judged: Judge) -> None:
    """By how far the colours are apart times how long it is."""
    lines = LONG.whole.lines.copy()
    lines[8, 80:, 0] = 52.0  # a fifth of the jump there
    stack = Stack(lines, 8, LONG.whole.interior, 4, 0)
    far = Joins(stack, stack, 120)
    left = rest((10, 30, 30.0), (80, 112, 30.0))
    found = judged(chances(0.9), values(), left, of=far)
    assert stretches(found) == [(8, 32), (78, 114)]
    assert found.faults[0].shift_de2000 > found.faults[1].shift_de2000 > 0.0
    longer = judged(chances(0.9), values(), left, of=LONG)
    assert stretches(longer) == [(78, 114), (8, 32)]


def test_places_are_in_pixels_of_the_tile(judged: Judge) -> None:
    """Of a reduced tile each item stands for some pixels; no place lies beyond the edge."""
    of = joins(items=120, pixels=300)
    found = judged(chances(0.9), values(), rest((40, 60, 30.0)), of=of, px_per_item=2.5)
    assert stretches(found) == [(95, 155)]
    end = judged(chances(0.9), values(), rest((100, 120, 30.0)), of=of, px_per_item=2.51)
    assert stretches(end) == [(245, 300)]
    beyond = judged(
        chances(0.9), values(), rest((20, 40, 9.0), (77, 97, 9.0)), of=of, px_per_item=4.0
    )
    assert stretches(beyond) == [(72, 168)]  # what would begin at pixel 300 of 300 is left out


def test_a_seamless_axis_has_no_faults(judged: Judge) -> None:
    assert judged(chances(0.5), values(), rest((40, 60, 30.0)), of=LONG).faults == ()
    assert judged(chances(0.51), values(), rest((40, 60, 30.0)), of=LONG).faults != ()


# ---- tiles too small for an interior


def test_a_small_tile_is_seamless_only_where_nothing_changes_across() -> None:
    stripes = np.repeat(np.arange(0, 200, 10, dtype=np.uint8)[:, None, None], 12, axis=1)
    tile = np.repeat(stripes, 3, axis=2)  # 20 high, 12 wide: each row of one colour
    for axis, name, length in ((0, "seamless", 20), (1, "unsure", 12)):
        found = judge_small(tile, axis)
        assert found.verdict == name
        assert found.score == (0.0 if name == "seamless" else 0.5)
        assert found.question == (None if name == "seamless" else "too-small-to-judge")
        assert found.faults == ()
        assert found.strength.tolist() == [0.0] * length
        with pytest.raises(ValueError, match="read-only"):
            found.strength[0] = 1.0
    assert judge_small(tile[:, :1], 0).verdict == "seamless"  # one pixel wide
    assert judge_small(tile[:, :1], 0, 0.5).verdict == "unsure"
    assert judge_small(tile, 0, 0.5).verdict == "unsure"  # its neighbour stands lower
    twice = np.concatenate([tile, tile])
    assert judge_small(twice, 0, 0.5).verdict == "seamless"  # by just one repeat
    assert judge_small(twice, 0, 0.25).verdict == "unsure"
    spot = tile.copy()
    spot[3, 5, 2] += 1
    assert judge_small(spot, 0).verdict == "unsure"


# ---- the tile


@pytest.mark.parametrize(
    ("x", "y", "seamless"),
    [
        ("seamless", "seamless", True),
        ("seam", "seamless", False),
        ("unsure", "seam", False),
        ("seam", "unsure", False),
        ("unsure", "seamless", None),
        ("seamless", "unsure", None),
    ],
)
def test_a_tile_is_as_good_as_its_worse_axis(x: Verdict, y: Verdict, seamless: bool | None) -> None:
    sides, ends = (AxisCheck(name, 0.5, (), np.zeros(1), None) for name in (x, y))
    assert SeamCheck(sides, ends, "straight").seamless is seamless


@pytest.mark.parametrize(
    "wrong",
    [
        np.zeros((40, 40), dtype=np.uint8),
        np.zeros((40, 40, 4), dtype=np.uint8),
        np.zeros((40, 40, 3, 3), dtype=np.uint8),
        np.zeros((40, 40, 3), dtype=np.float64),
        np.zeros((0, 40, 3), dtype=np.uint8),
    ],
)
def test_what_is_no_tile_is_refused(wrong: np.ndarray) -> None:
    with pytest.raises(ValueError, match=r"^check_seams needs \(height, width, 3\) sRGB uint8$"):
        check_seams(wrong)


def test_a_tile_of_32_pixels_is_judged_and_one_of_31_asked_about() -> None:
    noise = np.random.default_rng(1).integers(0, 255, (64, 64, 3)).astype(np.uint8)
    assert LEAST_PX == 32
    for size in ((31, 64), (64, 31)):
        small = check_seams(noise[: size[0], : size[1]], HALF_DROP)
        assert (small.x.question, small.y.question) == ("too-small-to-judge",) * 2
        assert (len(small.x.strength), len(small.y.strength)) == size
        assert small.lattice == HALF_DROP.name
    judged_ = check_seams(noise[:32, :32])
    assert "too-small-to-judge" not in (judged_.x.question, judged_.y.question)


def test_a_small_tiles_neighbours_stand_where_the_lattice_puts_them() -> None:
    """Rows of one colour: a half-drop moves the sides against each other, a half-brick the ends."""
    rows = np.repeat(np.arange(20, dtype=np.uint8)[:, None, None], 3, axis=2).repeat(20, axis=1)
    columns = np.ascontiguousarray(rows.transpose(1, 0, 2))
    for lattice, sides, ends in (
        (STRAIGHT, "seamless", "seamless"),
        (HALF_DROP, "unsure", "seamless"),
        (HALF_BRICK, "seamless", "unsure"),
    ):
        assert check_seams(rows, lattice).x.verdict == sides
        assert check_seams(columns, lattice).y.verdict == ends


def test_both_axes_are_judged_as_lossy_where_the_file_is(monkeypatch: pytest.MonkeyPatch) -> None:
    heard = []

    def listen(of: Joins, *, lossy: bool = False) -> AxisCheck:
        heard.append((of.length_px, lossy))
        return AxisCheck("seamless", 0.0, (), np.zeros(of.length_px), None)

    monkeypatch.setattr(check, "judge", listen)
    found = check_seams(np.zeros((40, 50, 3), dtype=np.uint8), HALF_BRICK, lossy=True)
    assert heard == [(40, True), (50, True)]
    assert (len(found.x.strength), len(found.y.strength), found.lattice) == (40, 50, "half-brick")
    heard.clear()
    check_seams(np.zeros((40, 50, 3), dtype=np.uint8))
    assert heard == [(40, False), (50, False)]


# ---- plain stripes of the design


def striped(across: float) -> Joins:
    """Return the join of a plain tile that is as much lighter on one side of it."""
    lines = np.zeros((16, 40, 3), dtype=np.float32)
    lines[..., 0] = 50.0
    lines[8:, :, 0] += across
    stack = Stack(lines, 8, np.arange(2, 6), 4, 0)
    return Joins(stack, stack, 40)


def test_a_join_inside_a_plain_stripe_is_seamless(judged: Judge) -> None:
    """Both lines that meet are the same, whatever the trees make of what stands farther on."""
    assert told(judged(chances(0.99), values(), of=striped(2.2))) == ("seamless", 0.0, None)
    assert told(judged(chances(0.99), values(), of=striped(2.4))) == ("seam", 0.99, None)
    lossy = judged(
        chances(0.99), values() | dict.fromkeys(VISIBLE, 4.0), of=striped(3.4), lossy=True
    )
    assert told(lossy) == ("seamless", 0.0, None)
    broken = judged(chances(0.99), values(rhythm__max=0.31), of=striped(0.0))
    assert (broken.verdict, broken.faults[0].kind) == ("seam", "rhythm")


def test_a_join_between_two_stripes_is_asked_about_where_it_is_no_louder(judged: Judge) -> None:
    """Whether the line is drawn nobody can say by its looks."""
    still = dict.fromkeys(LOUD, 0.149)
    asked = ("unsure", 0.7999, "line-part-of-design")
    assert told(judged(chances(0.99), values() | still, of=striped(9.0))) == asked
    assert told(judged(chances(0.6), values() | still, of=striped(9.0))) == (
        "unsure", 0.6, "line-part-of-design"
    )  # fmt: skip
    assert told(judged(chances(0.3), values() | still, of=striped(9.0))) == ("seamless", 0.3, None)
    assert judged(chances(0.99), values() | still).verdict == "seam"  # no stripes
    for name in LOUD:
        louder = values() | still | {name: 0.151}
        assert judged(chances(0.99), louder, of=striped(9.0)).verdict == "seam"
    drifting = values(steady__de=3.0, drift_median__max=0.3) | still
    assert judged(chances(0.99), drifting, of=striped(9.0)).faults[0].kind == "drift"


# ---- what the tile's own repeat proves or disproves


def axis(verdict_: Verdict, score: float, *kinds: str, question: str | None = None) -> AxisCheck:
    faults = tuple(Fault(kind, 3, 9, 2.0) for kind in kinds)
    strength = np.array([1.0, 2.5, 4.0])
    return AxisCheck(verdict_, score, faults, strength, question)


UNSURE = axis("unsure", 0.65, "join", question="faint-join")
SEAM = axis("seam", 0.9, "cut-motif")
RHYTHM = ("rhythm", 0, 3, 2.5)


@pytest.mark.parametrize(
    ("judged_", "obeys", "breaks", "becomes"),
    [
        (SEAM, True, 0.0, ("seamless", 0.5, None, None)),
        (UNSURE, True, 0.0, ("seamless", 0.5, None, None)),
        (UNSURE, True, 1.0, ("seam", 0.8, RHYTHM, None)),
        (axis("seam", 0.9, "clamped"), True, None, ("seam", 0.9, "clamped", None)),
        (SEAM, False, None, ("seam", 0.9, "cut-motif", None)),
        (axis("seamless", 0.2), None, 0.0, ("seamless", 0.2, None, None)),
        (axis("seamless", 0.2), None, 1.0, ("seam", 0.8, RHYTHM, None)),
        (axis("seamless", 0.2), None, 0.5, ("unsure", 0.65, RHYTHM, "faint-join")),
        (UNSURE, False, 0.0, ("unsure", 0.65, "join", "faint-join")),
        (UNSURE, False, 0.5, ("unsure", 0.65, "join", "faint-join")),
        (UNSURE, False, 1.0, ("seam", 0.8, RHYTHM, None)),
        (axis("unsure", 0.85, "join"), False, 1.0, ("seam", 0.85, RHYTHM, None)),
    ],
)
def test_a_tiles_own_repeat_has_the_last_word(
    monkeypatch: pytest.MonkeyPatch, judged_, obeys, breaks, becomes
) -> None:
    """What is proven is no fault, and what is broken is one, whatever the join looks like.

    None stands for what must not be asked.
    """
    asked = []

    def answer(name: str, value: bool | float | None) -> None:
        def told_(_pixels, number: int, shift: float = 0.0, **_how: object):
            assert value is not None
            asked.append((number, shift))
            return value

        monkeypatch.setattr(check, name, told_)

    monkeypatch.setattr(check, "judge", lambda *_, **__: judged_)
    answer("obeys_inner_repeat", obeys)
    answer("breaks_inner_repeat", breaks)
    found = check_seams(np.zeros((40, 40, 3), np.uint8), HALF_DROP)
    for one in (found.x, found.y):
        fault = one.faults[0] if one.faults else None
        kind = becomes[2]
        if isinstance(kind, tuple):
            assert fault is not None
            assert (fault.kind, fault.from_px, fault.to_px, fault.shift_de2000) == kind
        else:
            assert (fault.kind if fault else None) == kind
        assert len(one.faults) <= 1
        assert (one.verdict, one.score, one.question) == (becomes[0], becomes[1], becomes[3])
        assert one.strength is judged_.strength
    assert set(asked) <= {(0, 0.5), (1, 0.0)}
