"""Do the built-in presses print what was measured, and warn where a real profile would move?

Sources: Fogra characterisation data and two printer profiles of FOGRA39L, see data/README.md. Truth
is what was printed, and sRGB through either profile and back, relative colorimetric, black point
compensation on both sides, in LittleCMS with doubles: one profile alone would reward copying how it
rounds, and the two agree with each other no better than ours does with each. Limits are what the
model reaches, with a little room; CIEDE2000 of 3 and 6, where a colour shifts slightly and where it
prints duller, are our own choice (docs/verdicts.md).
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from palette.press import builtin_press
from palette.press.builtin import BuiltinPress
from palette.press.conditions import GLOSSY, MATT
from palette.press.icc import open_profile
from palette.press.neugebauer import (
    PrintCondition,
    black_lightness,
    paper_relative,
    print_lab,
    without_black,
)
from palette.space import de2000, lab_to_srgb, srgb_to_lab

DATA = Path(__file__).parent / "data"
CONDITIONS = [GLOSSY, MATT]


def table(name: str) -> tuple[np.ndarray, np.ndarray]:
    lines = (DATA / f"{name}.csv").read_text().splitlines()
    rows = list(csv.reader(t for t in lines if not t.startswith("#")))[1:]
    values = np.array(rows, dtype=float)
    return values[:, :4] / 100.0, values[:, 4:]


def srgb_grid(side: int) -> np.ndarray:
    steps = np.linspace(0.0, 1.0, side)
    return np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 3)


@pytest.mark.parametrize("condition", CONDITIONS, ids=lambda c: c.name)
def test_primaries_are_the_published_ones(condition: PrintCondition) -> None:
    inks, lab = table(condition.name)
    for row, primary in enumerate(condition.primaries_lab):
        solid = [(row >> ink) & 1 for ink in range(4)]
        published = lab[np.abs(inks - solid).max(axis=1) < 1e-9]
        assert len(published)
        np.testing.assert_allclose(primary, published.mean(axis=0), atol=0.0051)


@pytest.mark.parametrize("condition", CONDITIONS, ids=lambda c: c.name)
def test_every_published_patch_is_predicted(condition: PrintCondition) -> None:
    inks, lab = table(condition.name)
    assert len(inks) == 1617
    off = de2000(print_lab(condition, inks), lab)
    assert off.mean() <= 0.3
    assert np.percentile(off, 95) <= 0.65
    assert off.max() <= 2.0


@pytest.mark.parametrize("condition", CONDITIONS, ids=lambda c: c.name)
def test_the_solids_are_exact(condition: PrintCondition) -> None:
    solids = np.array([[(i >> ink) & 1 for ink in range(4)] for i in range(16)], dtype=float)
    np.testing.assert_allclose(print_lab(condition, solids), condition.primaries_lab, atol=1e-9)


@pytest.mark.parametrize("condition", CONDITIONS, ids=lambda c: c.name)
def test_more_ink_is_never_lighter(condition: PrintCondition) -> None:
    """Fitted tone curves must not bend back; on bare paper and over every other ink."""
    ramp = np.linspace(0.0, 1.0, 101)
    for ink in range(4):
        for under in range(4):
            inks = np.zeros((101, 4))
            inks[:, under] = 1.0
            inks[:, ink] = ramp
            light = print_lab(condition, inks)[:, 0]
            slack = 0.35  # Fogra's own tables rise by as much where yellow covers black
            assert np.diff(light).max() <= slack / 20, (ink, under)


PROFILES = ("FOGRA39L_coated", "ISOcoated_v2_300_bas")


@cache
def model_and_profile(name: str) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The model from the table of one condition, the profile from measurements of the same."""
    lab = srgb_to_lab(srgb_grid(17))
    truth = np.loadtxt(DATA / f"{name}-17.csv", delimiter=",", skiprows=2)
    return lab, truth, builtin_press("glossy").to_print(lab)


@pytest.mark.parametrize("name", PROFILES)
def test_verdicts_against_a_profile(name: str) -> None:
    """Else vivid colours go to print unwarned, or ones that print are greyed for nothing."""
    lab, truth, model = model_and_profile(name)
    moved, said = de2000(lab, truth), de2000(lab, model)
    assert ((moved >= 3) == (said >= 3)).mean() >= 0.965
    assert ((moved >= 3) & (said < 3)).mean() <= 0.015
    assert not ((moved > 6) & (said < 3)).any()
    assert np.abs(moved - said).mean() <= 0.5


def test_pastels_against_two_profiles() -> None:
    """A coarse table, such as the first profile's, calls a twentieth of printable pastels lost."""
    rows = np.loadtxt(DATA / "pastels.csv", delimiter=",", skiprows=2)
    lab = srgb_to_lab(rows[:, :3].astype(np.uint8))
    assert lab[:, 0].min() > 88.0
    said = builtin_press("glossy").shift(lab) >= 3
    coarse, fine = (de2000(lab, rows[:, at : at + 3]) >= 3 for at in (3, 6))
    assert (said == fine).mean() >= 0.98
    assert (said == coarse).mean() >= (fine == coarse).mean()
    assert (fine & ~said).mean() <= 0.005


@pytest.mark.parametrize(
    ("name", "mean", "most"), [(PROFILES[0], 1.1, 3.0), (PROFILES[1], 1.4, 4.6)]
)
def test_printed_colours_against_a_profile(name: str, mean: float, most: float) -> None:
    """Where a colour goes that does not print is a profile's own choice: the two are 1.7 apart."""
    _, truth, model = model_and_profile(name)
    off = de2000(truth, model)
    assert off.mean() <= mean
    assert np.percentile(off, 95) <= most


def test_a_profile_through_pillow_against_doubles() -> None:
    lab, truth, _ = model_and_profile(PROFILES[0])
    read = open_profile(DATA / "FOGRA39L_coated.icc").to_print(lab)
    off = de2000(read, truth)
    assert off.mean() <= 0.3
    assert np.percentile(off, 99) <= 0.9
    assert ((de2000(lab, read) >= 3) == (de2000(lab, truth) >= 3)).mean() >= 0.99


@pytest.mark.parametrize("condition", CONDITIONS, ids=lambda c: c.name)
@pytest.mark.parametrize("band", [(0, 15), (15, 30), (30, 50), (50, 70), (70, 85), (85, 101)])
def test_what_was_printed_can_be_printed(condition: PrintCondition, band: tuple[int, int]) -> None:
    """Every published patch, asked for as a colour, from pastels to deep darks.

    Left out are those beyond the ink limit, and those that no sRGB pixel asks for.
    """
    inks, lab = table(condition.name)
    press = BuiltinPress(condition, "", "")
    relative = paper_relative(condition, lab[inks.sum(axis=1) <= condition.ink_limit + 1e-9])
    seen = without_black(relative, press.black_l)
    seen = seen[de2000(seen, srgb_to_lab(lab_to_srgb(seen))) < 0.01]
    own = seen[(seen[:, 0] >= band[0]) & (seen[:, 0] < band[1])]
    assert len(own) >= 15
    shift = press.shift(own)
    assert (shift >= 3).mean() <= 0.01
    assert shift.mean() <= 0.2


def test_black_is_where_a_profile_of_the_condition_finds_it() -> None:
    """L* 9.55: LittleCMS 2.14, cmsDetectDestinationBlackPoint of the profile, relative."""
    assert black_lightness(GLOSSY) == pytest.approx(9.55, abs=0.3)
