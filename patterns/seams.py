"""When this tile repeats, will anybody see where it meets itself?

In: a tile, (height, width, 3) sRGB uint8, and its lattice. Out: a ``SeamCheck``: for each axis a
verdict, how sure it is, and for each fault its kind, where it lies along the edge in pixels, and
how far the colours are apart (CIEDE2000). The join is judged against the tile's own interior,
because what would be a seam in a watercolour is the pattern itself in a stripe.

Published beside this: TexTile (Rodriguez-Pardo, Casas, Garces, Lopez-Moreno, "TexTile: a
differentiable metric for texture tileability", CVPR 2024), a learned score for the whole tile. It
answers how well a texture repeats altogether, conspicuous single features included, and can drive
an optimiser; it names no axis, no place and no kind of fault, and needs its own network. This
module answers those three and nothing about how restful the repeat looks.

Not done here: mending, finding the repeat (``patterns.repeats``), sentences for people.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from patterns.lattice import STRAIGHT, Lattice

Pixels = NDArray[np.uint8]
Floats = NDArray[np.float64]
Verdict = Literal["seamless", "seam", "unsure"]


@dataclass(frozen=True, slots=True)
class Fault:
    """One stretch of a join that shows.

    Attributes:
        kind: "cut-motif", "crop", "doubled-line", "fringe", "drift", "rhythm", "clamped", or
            "join" where the cause is not known.
        from_px, to_px: where it lies along the edge, from the top or from the left, half-open.
        shift_de2000: mean CIEDE2000 between what meets there and what would go on unseen.
    """

    kind: str
    from_px: int
    to_px: int
    shift_de2000: float


@dataclass(frozen=True, slots=True)
class AxisCheck:
    """The verdict on one axis.

    Attributes:
        verdict: "seamless", "seam" or "unsure".
        score: 0 to 1, the higher the surer that a seam shows; thresholds in ``patterns.verdict``.
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


def check_seams(pixels: Pixels, lattice: Lattice = STRAIGHT, *, lossy: bool = False) -> SeamCheck:
    """Judge both joins of a tile.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        lattice: how the tiles sit beside each other.
        lossy: whether the file format loses detail; its artefacts are then not held against it.

    Returns:
        The verdict, the same for the same pixels whatever the number of threads.

    Raises:
        ValueError: ``pixels`` is not of that shape and type.
    """
    if pixels.ndim != 3 or pixels.shape[2] != 3 or pixels.dtype != np.uint8 or not pixels.size:
        raise ValueError("check_seams needs (height, width, 3) sRGB uint8")
    from patterns.joins import LEAST_PX, joins_of
    from patterns.verdict import judged, too_small

    if min(pixels.shape[:2]) < LEAST_PX:
        return SeamCheck(
            too_small(pixels, 0, lattice.drop), too_small(pixels, 1, lattice.slide), lattice.name
        )
    x, y = joins_of(pixels, lattice)
    return SeamCheck(judged(x, lossy=lossy), judged(y, lossy=lossy), lattice.name)
