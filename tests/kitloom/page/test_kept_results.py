"""What an edit leaves as it was is not worked out again, and what it changes is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kitloom.page.state.kept_results import DRAWINGS, KeptResults
from palette.arrays import Floats


@dataclass(frozen=True)
class Grid:
    values: Floats


@dataclass(frozen=True)
class Total:
    value: float
    grid: Grid


def test_equal_values_are_worked_out_once_and_arrays_by_themselves() -> None:
    """Else a sticker shows what it showed before its change, or each edit draws all of them."""
    done: list[float] = []

    def total(grid: Grid, times: float) -> Total:
        done.append(times)
        return Total(float(grid.values.sum() * times), grid)

    def doubled(one: Total) -> float:
        done.append(one.value)
        return one.value * 2.0

    kept, grid = KeptResults(), Grid(np.ones(3))
    first = kept(total, grid, 2.0)
    assert kept(total, grid, 2.0) is first
    assert kept(total, Grid(np.zeros(3)), 2.0).value == 0.0  # another array
    assert kept(total, grid, 3.0).value == 9.0
    assert [kept(doubled, first), kept(doubled, first)] == [12.0, 12.0]
    assert done == [2.0, 2.0, 3.0, 6.0]


def test_what_drawings_no_longer_ask_for_goes() -> None:
    """Else a page that is open for a day fills the memory."""
    kept, done = KeptResults(), []

    def work(number: int) -> int:
        done.append(number)
        return number

    for _ in range(DRAWINGS + 2):
        kept.begin()
        kept(work, 1)
    assert done == [1]
    for _ in range(DRAWINGS + 1):
        kept.begin()
    kept(work, 1)
    assert done == [1, 1]
