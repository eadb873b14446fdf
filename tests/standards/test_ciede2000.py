"""CIEDE2000 against the 34 pairs of its authors and against two general-purpose libraries.

Source of the pairs: the head of ciede2000_pairs.csv. The tolerance is absolute, half of the last
published digit: a relative one of 1 % cannot see a wrong hue branch (7.1792 against 7.2195).
"""

from __future__ import annotations

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

import palette
from kitloom.cli import kitloom
from palette.space import de2000, de2000_table, hex_to_lab, nearest_first

_FILE = Path(__file__).with_name("ciede2000_pairs.csv")
_ON_THE_BRANCH = {14: (4.8045, 4.7461)}


def _pairs() -> list[tuple[int, list[float], list[float], float]]:
    lines = [line for line in _FILE.read_text().splitlines() if not line.startswith("#")]
    return [
        (
            int(row["pair"]),
            [float(row[key]) for key in ("L1", "a1", "b1")],
            [float(row[key]) for key in ("L2", "a2", "b2")],
            float(row["de2000"]),
        )
        for row in csv.DictReader(lines)
    ]


PAIRS = _pairs()


def test_all_34_pairs_are_here() -> None:
    assert [pair[0] for pair in PAIRS] == list(range(1, 35))


@pytest.mark.parametrize(("number", "a", "b", "published"), PAIRS)
@pytest.mark.parametrize("form", ["elementwise", "table"])
def test_published_pair(
    form: str, number: int, a: list[float], b: list[float], published: float
) -> None:
    found = float(de2000(a, b)) if form == "elementwise" else float(de2000_table([a, b])[0, 1])
    allowed = _ON_THE_BRANCH.get(number, (published,))
    assert min(abs(found - value) for value in allowed) <= 5e-5 + 1e-9


@pytest.mark.parametrize(("number", "a", "b"), [pair[:3] for pair in PAIRS])
def test_symmetric(number: int, a: list[float], b: list[float]) -> None:
    if number not in _ON_THE_BRANCH:
        assert abs(float(de2000(a, b)) - float(de2000(b, a))) < 1e-9
        table = de2000_table([a, b])
        assert abs(table[0, 1] - table[1, 0]) < 1e-9


def _random_labs() -> tuple[np.ndarray, np.ndarray]:
    random = np.random.default_rng(5)
    a = random.uniform([0, -90, -90], [100, 90, 90], (4000, 3))
    b = a + random.normal(0, 6, a.shape)
    b[::2] = random.uniform([0, -90, -90], [100, 90, 90], (2000, 3))
    a[::50, 1:] = 0.0  # neutrals have no hue
    return a, b


def test_agrees_with_colormath() -> None:
    """Which ranks where this gives the figures; the two must not tell two stories."""
    from colormath.color_diff_matrix import delta_e_cie2000

    a, b = _random_labs()
    theirs = np.array([delta_e_cie2000(one, b[:200]) for one in a[:200]])
    ours = de2000(a[:200, None], b[None, :200])
    assert np.abs(ours - theirs).max() < 2e-4
    for one, row in zip(a[:200], ours, strict=True):
        assert np.diff(row[nearest_first(one, b[:200])]).min() > -4e-4


def test_one_report_has_one_formula() -> None:
    """Two implementations differ in the last digits; a report that mixes them contradicts itself.

    ``colormath`` ranks, where no figure is shown; nobody else in the house computes a difference.
    """
    house = Path(palette.__file__).parents[1]
    others = ("delta_e", "deltaE", "delta_E", "ciede2000", "colormath")
    found = {
        path.relative_to(house).as_posix()
        for room in ("palette", "patterns", "kit", "kitloom")
        for path in (house / room).rglob("*.py")
        if any(f"{word}" in path.read_text(encoding="utf-8") for word in others)
    }
    assert found == {"palette/space/difference.py"}


def test_the_same_two_colours_are_as_far_apart_wherever_a_report_says_so(
    tmp_path: Path, dots: np.ndarray
) -> None:
    """Shift, pair, ground and belonging, each against the one formula, to its last shown digit."""
    Image.fromarray(dots).save(tmp_path / "dots.png")
    words = [
        "palette",
        str(tmp_path / "dots.png"),
        "--pin",
        "#ff00c8",
        "--pin",
        "#f300c0",
        "--json",
    ]
    told = json.loads(CliRunner().invoke(kitloom, words, standalone_mode=False).stdout)
    for pair in told["pairs"]:
        two = [hex_to_lab(pair[key]) for key in ("a", "b")]
        assert pair["de2000"] == round(float(de2000(*two)), 2)
    for one in told["findings"]:
        if one["code"] == "colour-shift":
            asked = hex_to_lab(one["subject"])
            for key in ("nearest", "same_hue"):
                other = hex_to_lab(one["measures"][f"{key}_hex"])
                shown = one["measures"][f"{key}_de2000"]
                assert shown == pytest.approx(float(de2000(asked, other)), abs=0.0051)


def test_agrees_with_coloraide() -> None:
    """Told that these are of D65, where it needs no adaptation."""
    from coloraide import Color

    a, b = _random_labs()
    theirs = [
        Color("lab-d65", list(one)).delta_e(Color("lab-d65", list(other)), method="2000")
        for one, other in zip(a[:600], b[:600], strict=True)
    ]
    assert np.abs(de2000(a[:600], b[:600]) - np.array(theirs)).max() < 1e-9


@pytest.mark.slow
def test_agrees_with_scikit_image() -> None:
    from skimage.color import deltaE_ciede2000

    a, b = _random_labs()
    assert np.abs(de2000(a, b) - deltaE_ciede2000(a, b)).max() < 1e-9


@pytest.mark.slow
def test_agrees_with_colour_science() -> None:
    import colour

    a, b = _random_labs()
    assert np.abs(de2000(a, b) - colour.delta_E(a, b, method="CIE 2000")).max() < 1e-9
