"""What a press can print: the protocol that every press keeps, and the register of presses.

A press turns the colour asked for into the colour that would stand on paper. Everything is CIELAB
(D50), relative to the paper's white and with black point compensation on both sides, so that plain
white and plain black are never flagged: paper white is asked for as L* 100 and printed as L* 100.

A new press is a module beside this one with a class that keeps ``Press``, and one line in
``_SURFACES`` or a branch of ``open_press``.
"""

from __future__ import annotations

from typing import Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@runtime_checkable
class Press(Protocol):
    """Whatever prints, as three questions about colours; arrays are (n, 3) CIELAB (D50)."""

    @property
    def name(self) -> str:
        """What a person calls this press."""

    @property
    def limits(self) -> str:
        """What this prediction is worth, in one sentence shown beside every verdict."""

    def to_print(self, lab: Floats) -> Floats:
        """Return the colours that would stand on paper for the colours asked for."""

    def shift(self, lab: Floats) -> Floats:
        """Return, shape (n,), how far in CIEDE2000 each colour moves by printing."""

    def nearest(self, lab: Floats) -> Floats:
        """Return the nearest colours that print as they are seen and keep their hue."""
