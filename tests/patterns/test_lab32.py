"""Is CIELAB in float32 the exact one to what a comparison needs, and CIE76 its distance?"""

from __future__ import annotations

import numpy as np
import pytest

from palette.space import srgb_to_lab
from patterns.lab32 import de76, lab32
from patterns.seams.prediction import subtract_prediction


def test_every_colour_is_exact_to_a_fiftieth() -> None:
    steps = np.arange(0, 256, 5, dtype=np.uint8)
    colours = np.stack(np.meshgrid(steps, steps, steps), axis=-1).reshape(-1, 3)
    values = lab32(colours)
    assert values.dtype == np.float32
    assert np.abs(values - srgb_to_lab(colours)).max() < 0.02


def test_de76_is_the_distance_and_broadcasts() -> None:
    rng = np.random.default_rng(4)
    one, other = rng.normal(size=(2, 7, 5, 3)).astype(np.float32)
    by_hand = np.linalg.norm(one[:, None] - other[None], axis=-1)
    assert de76(one[:, None], other[None]) == pytest.approx(by_hand, rel=1e-5)


def test_a_linear_law_learnt_inside_leaves_nothing_but_the_penalty() -> None:
    """And what breaks the law outside the rows that were fitted is left whole."""
    rng = np.random.default_rng(5)
    terms = [rng.normal(size=(20, 50, 3)).astype(np.float32) for _ in range(3)]
    target = 0.5 * terms[0] - 2.0 * terms[2]
    target[0] += 7.0
    left = subtract_prediction(target, terms, slice(1, None), 1e-6)
    assert np.abs(left[1:]).max() < 1e-3
    assert left[0] == pytest.approx(np.full((50, 3), 7.0), abs=1e-3)
    shy = subtract_prediction(target, terms, slice(1, None), 1.0)
    assert np.abs(shy[1:]).max() > 0.1  # a large penalty keeps the weights small
