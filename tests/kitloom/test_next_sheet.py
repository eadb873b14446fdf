"""From strips to the next sheet: what the recipe then allows is missed in 1 of 100 cases at most.

Machines are simulated over the family that ``benchmarks/registration.py`` states; no printer or
cutter was measured. The recipe's lines are read back as a recipe reads them.
"""

from __future__ import annotations

import pytest

from benchmarks.registration import HELD, SPREADS, simulate


def test_the_next_sheet_keeps_what_five_strips_declare() -> None:
    told = simulate(SPREADS["shift and turn"], HELD["corner"], strips=5, trials=100, seed=1)
    assert told.missed <= 0.01, "a maker would find white slivers that nothing has told of"
    assert told.declared_mm < 2.5 * told.kept_mm, "a maker would give up far more paper than needed"


def test_one_strip_does_not_keep_it() -> None:
    """So it is told as one only: a sheet in twenty or so misses by more."""
    told = simulate(SPREADS["down alone"], HELD["middle"], strips=1, trials=200, seed=1)
    assert told.missed > 0.03


@pytest.mark.slow
@pytest.mark.parametrize("strips", [3, 4, 5])
@pytest.mark.parametrize("held", HELD)
@pytest.mark.parametrize("spread", SPREADS)
def test_the_next_sheet_keeps_what_is_declared(spread: str, held: str, strips: int) -> None:
    told = simulate(SPREADS[spread], HELD[held], strips, trials=500, seed=strips)
    assert told.missed <= 0.01, "a maker would find white slivers that nothing has told of"
    assert told.refused < 0.1
