"""Heaviness of fills, compared rather than measured."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from palette.press import open_press
from palette.proof import coverage, mean_coverage, share_heavy, share_of_black
from palette.space import hex_to_lab

PROFILE = Path(__file__).parents[1] / "standards" / "data" / "FOGRA39L_coated.icc"


@dataclass(frozen=True)
class Bins:
    lab: np.ndarray
    weight: np.ndarray


def labs(*texts: str) -> np.ndarray:
    return np.stack([hex_to_lab(t) for t in texts])


@pytest.mark.parametrize("profile", [None, PROFILE])
def test_darker_and_fuller_colours_take_more_ink(profile: Path | None) -> None:
    press = open_press(profile=profile)
    white, pale, mid, deep = coverage(labs("#ffffff", "#d8e4e8", "#5b7a8a", "#12202a"), press)
    assert white == pytest.approx(0.0, abs=0.01)
    assert white < pale < mid < deep <= 4.0


def test_estimate_keeps_the_order_of_a_profile() -> None:
    colours = np.random.default_rng(4).uniform([20, -40, -40], [95, 40, 40], (300, 3))
    ours, theirs = (coverage(colours, open_press(profile=p)) for p in (None, PROFILE))
    rank = np.corrcoef(np.argsort(np.argsort(ours)), np.argsort(np.argsort(theirs)))[0, 1]
    assert rank > 0.9


def test_a_fill_is_weighed_by_area() -> None:
    fill = Bins(labs("#ffffff", "#000000"), np.array([0.75, 0.25]))
    press = open_press()
    black = float(coverage(labs("#000000"), press)[0])
    assert mean_coverage(fill, press) == pytest.approx(0.25 * black, abs=0.01)
    assert share_heavy(fill, press, limit=1.0) == pytest.approx(0.25)


@pytest.mark.parametrize("profile", [None, PROFILE])
def test_heaviness_is_told_beside_plain_black(profile: Path | None) -> None:
    press = open_press(profile=profile)
    white, mid, black = coverage(labs("#ffffff", "#7a8894", "#000000"), press)
    assert share_of_black(float(black), press) == pytest.approx(1.0)
    assert share_of_black(float(white), press) == pytest.approx(0.0, abs=0.01)
    assert 0.1 < share_of_black(float(mid), press) < 0.9
