"""A press fitted to a chart forecasts the press that printed it, from an instrument's file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from benchmarks.chart_prints import KnownPress, fogra39, swop, tinted, unmanaged
from palette.chart import COLOURS, chart_colours, facts_of, grey_ramp
from palette.chart.measurement import relative_to_print
from palette.chart.patches import GREYS
from palette.errors import ProfileError
from palette.press import ChartRecord, Press, builtin_press, fit_chart, open_press, to_toml
from palette.press.chart_file import read_record
from palette.press.chart_press import ChartPress, open_chart
from palette.space import de2000, hex_of, lab_to_srgb, srgb_to_lab

FRESH = np.random.default_rng(41).random((500, 3))
ASKED = srgb_to_lab(FRESH)


def known_swop() -> KnownPress:
    press = swop()
    if press is None:
        pytest.skip("Debian's libgs-common (default_cmyk.icc) is not installed")
    return press


def record_of(press: KnownPress, seed: int = 5) -> ChartRecord:
    """An instrument's reading of the chart, off by 0.3 a coordinate (common practice)."""
    rgb = np.concatenate([grey_ramp(), chart_colours(), np.full((20, 3), 255, np.uint8)])
    noise = np.random.default_rng(seed).normal(0.0, 0.3, (len(rgb), 3))
    table = relative_to_print(rgb, press.absolute(rgb / 255.0) + noise, len(rgb), "test")
    fit = fit_chart(table.rgb, table.lab)
    return ChartRecord(
        "0a1b2c", "instrument", table.rgb, table.lab, fit.choice, fit.error, 0.3,
        table.paper_lab, table.black_lab, (0.001, -0.002), {"top": 3.0},
    )  # fmt: skip


@cache
def sound_file() -> str:
    return to_toml(record_of(fogra39())).decode()


def unmanaged_press() -> KnownPress:
    return unmanaged()


@pytest.mark.parametrize("make", [fogra39, known_swop, unmanaged_press])
def test_fresh_colours_and_verdicts(make: Callable[[], KnownPress]) -> None:
    known = make()
    press = ChartPress(record_of(known), "mine")
    truth = known.relative(FRESH)
    off = de2000(press.to_print(ASKED), truth)
    assert off.mean() <= 2.0
    same = (press.shift(ASKED) >= 3.0) == (de2000(ASKED, truth) >= 3.0)
    assert same.mean() >= 0.95
    # the error that the file states is that of colours it has not seen, give or take a half
    assert 0.6 * off.mean() <= press.record.error.mean_de2000 <= 3.0 * off.mean()


def test_a_driver_s_tint_is_forecast_where_built_in_presses_miss_it() -> None:
    known = tinted(fogra39())
    truth = known.relative(FRESH)
    own = de2000(ChartPress(record_of(known), "mine").to_print(ASKED), truth).mean()
    built_in = de2000(builtin_press("glossy").to_print(ASKED), truth).mean()
    assert own < 0.4 * built_in


def test_more_patches_forecast_better() -> None:
    errors = []
    for count in (16, 60, COLOURS):
        rgb = np.concatenate([grey_ramp(), chart_colours(count)])
        table = relative_to_print(rgb, unmanaged().absolute(rgb / 255.0), len(rgb), "test")
        fit = fit_chart(table.rgb, table.lab)
        errors.append(de2000(fit.predict(FRESH), unmanaged().relative(FRESH)).mean())
    assert errors[0] > 2.0 * errors[1] > 2.5 * errors[2]


def test_far_from_all_patches_the_built_in_press_decides() -> None:
    rgb = np.concatenate([grey_ramp(), chart_colours(8)])
    lab = builtin_press("matt").to_print(srgb_to_lab(rgb)) + np.array([3.0, 0.0, 0.0])
    fit = fit_chart(rgb, lab)
    assert fit.choice.like == "matt"
    # a correction of 3 at the patches never grows between them
    added = fit.predict(FRESH)[:, 0] - builtin_press("matt").to_print(ASKED)[:, 0]
    assert added.max() < 4.0
    assert added.min() > -1.0


def test_patches_are_nested_distinct_and_hold_the_corners() -> None:
    colours = chart_colours()
    assert len(np.unique(colours, axis=0)) == COLOURS
    assert (chart_colours(60) == colours[:60]).all()
    assert np.isin(colours[:6], (0, 255)).all()
    assert len(grey_ramp()) == GREYS
    with pytest.raises(ValueError, match="at most"):
        chart_colours(5000)


def test_the_file_says_the_same_press_again(tmp_path: Path) -> None:
    record = record_of(fogra39())
    file = tmp_path / "my-printer.toml"
    file.write_bytes(to_toml(record))
    press = open_press(chart=file)
    assert isinstance(press, Press)
    assert isinstance(press, ChartPress)
    assert press.name == "my-printer, measured by instrument"
    assert f"{record.error.mean_de2000:.1f}" in press.limits
    direct = ChartPress(record, "x").to_print(ASKED)
    assert de2000(press.to_print(ASKED), direct).max() < 0.05  # two decimals in the file
    again = press.record
    assert again.scale_error == pytest.approx((0.001, -0.002))
    assert again.margins_mm == {"top": 3.0}
    assert again.paper_lab == pytest.approx(record.paper_lab, abs=0.01)
    assert to_toml(read_record(file)) == file.read_bytes()


def test_nearest_prints_as_seen_and_keeps_its_hue() -> None:
    known = fogra39()
    press = ChartPress(record_of(known), "mine")
    vivid = ASKED[press.shift(ASKED) > 5.0][:60]
    near = press.nearest_of_hue(vivid)
    truly = de2000(near, known.relative(lab_to_srgb(near)))
    assert np.percentile(truly, 90.0) < 2.5
    prints = ASKED[press.shift(ASKED) < 1.0]
    assert (press.nearest(prints) == prints).all()
    assert (press.nearest_of_hue(prints) == prints).all()
    of_all = press.nearest(vivid)
    assert np.percentile(press.shift(of_all), 90.0) <= 1.5
    assert de2000(vivid, of_all).mean() < de2000(vivid, near).mean()
    # CIELAB bends hue lines, the blues' most: so the bulk of the hues is judged
    turn = np.angle(
        np.exp(1j * (np.arctan2(near[:, 2], near[:, 1]) - np.arctan2(*vivid.T[2:0:-1])))
    )
    assert np.degrees(np.median(np.abs(turn))) < 6.0


def test_facts_name_what_merges_and_where_greys_end() -> None:
    rgb = np.concatenate([grey_ramp(), chart_colours()])
    lab = srgb_to_lab(np.maximum(rgb, 60))  # a printer that cannot go darker, or more vivid
    fit = fit_chart(rgb, lab)
    facts = facts_of(ChartRecord("", "scan", rgb, lab, fit.choice, fit.error, 2.0))
    assert facts.black_up_to == 51
    assert facts.white_down_to == 255
    assert ("#003300", "#330033") in {(one.a, one.b) for one in facts.merges}
    assert all(share < 1.0 for share in facts.chroma_reached.values())
    assert set(facts.chroma_reached) == {"red", "yellow", "green", "cyan", "blue", "magenta"}


def test_darks_merge_as_they_lie_on_the_paper() -> None:
    """On paper whose black is a dark grey, darks look the same that compensation holds apart."""
    known = fogra39()
    record = record_of(known)
    deep = replace(record, black_lab=(4.0, 0.0, 0.0))
    pale = replace(record, black_lab=(32.0, 0.0, 0.0))
    merged = {(one.a, one.b) for one in facts_of(pale).merges}
    assert {(one.a, one.b) for one in facts_of(deep).merges} < merged
    where = {hex_of(rgb): i for i, rgb in enumerate(record.rgb)}
    compensated = [float(de2000(*(record.lab[where[at]] for at in pair))) for pair in merged]
    assert max(compensated) > 2.5  # the limit: compensated, such a pair was not a merge


@pytest.mark.parametrize(
    ("change", "by"),
    [
        ("like = ", "like = 1 #"),
        ('like = "glossy"', 'like = "silk"'),
        ("length = ", "length = -"),
        ('source = "instrument"', 'source = "guess"'),
        ("[255, 255, 255,", "[256, 255, 255,"),
        ("[255, 255, 255,", "[nan, 255, 255,"),
        ("[255, 255, 255,", "[255, 255,"),
        ("[patches]", "[patches"),
        ("[error]", "[errors]"),
    ],
)
def test_a_spoilt_file_is_refused(tmp_path: Path, change: str, by: str) -> None:
    text = sound_file()
    assert change in text
    file = tmp_path / "mine.toml"
    file.write_text(text.replace(change, by, 1))
    with pytest.raises(ProfileError, match="measured printer"):
        open_chart(file)


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(ProfileError, match="no such measured printer"):
        open_chart(tmp_path / "none.toml")
