"""What a check of a tile's joins says: the values, without how they are reached.

Faults and verdicts are about one axis each: x is the right edge that meets the left one, y the
bottom that meets the top, as the lattice places them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from palette.arrays import Floats

Verdict = Literal["seamless", "seam", "unsure"]


@dataclass(frozen=True, slots=True)
class Fault:
    """One stretch of a join that shows.

    Attributes:
        kind: "cut-motif", "crop", "doubled-line", "fringe", "drift", "rhythm", "clamped",
            "border", "edge-line", or "join" where the cause is not known.
        from_px, to_px: where it lies along the edge, from the top or from the left, half-open.
        shift_de2000: mean CIEDE2000 between what meets there and what would go on unseen.
        lines_px: for "edge-line", how wide a line of one colour lies at the left or top and at the
            right or bottom; what is to be cropped.
    """

    kind: str
    from_px: int
    to_px: int
    shift_de2000: float
    lines_px: tuple[int, int] = (0, 0)


@dataclass(frozen=True, slots=True)
class AxisCheck:
    """The verdict on one axis.

    Attributes:
        verdict: "seamless", "seam" or "unsure".
        score: 0 to 1, the higher the surer that a seam shows; thresholds in
            ``patterns.seams.verdict``.
        faults: what shows, the worst first; empty unless the verdict is "seam" or "unsure".
        strength: (n,) visible difference along the edge, one item per pixel, CIEDE2000, read-only.
        question: where unsure, a code for what a person should answer, else None.
    """

    verdict: Verdict
    score: float
    faults: tuple[Fault, ...]
    strength: Floats
    question: str | None


@dataclass(frozen=True, slots=True)
class SeamCheck:
    """The verdict on a tile.

    Attributes:
        x: the right edge meets the left edge, as the lattice places it.
        y: the bottom edge meets the top edge, as the lattice places it.
        lattice: the lattice's name.
    """

    x: AxisCheck
    y: AxisCheck
    lattice: str

    @property
    def seamless(self) -> bool | None:
        """True where both axes are, False where one is a seam, None where a person must say."""
        verdicts = (self.x.verdict, self.y.verdict)
        if "seam" in verdicts:
            return False
        return None if "unsure" in verdicts else True
