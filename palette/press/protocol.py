"""What every press answers: how its colours print, how far they move, what is nearest.

Everything is CIELAB (D50), relative to the paper's white and with black point compensation on both
sides, so that plain white and plain black are never flagged: paper white is asked for as L* 100
and printed as L* 100. That is the scale for "does it look as on screen". How far apart two printed
colours look is asked of them as they lie ``on_paper``, where weak black is a dark grey.
"""

from __future__ import annotations

from typing import Literal, Protocol, runtime_checkable

from palette.arrays import Floats, Pixels
from palette.press.gamut import Gamut
from palette.press.neugebauer import with_black

AS_SEEN = 1.5  # CIEDE2000: a colour that moves by less looks the same in print
Intent = Literal["perceptual", "relative", "saturation", "absolute"]


@runtime_checkable
class Press(Protocol):
    """Whatever prints, as three questions about colours; arrays are (n, 3) CIELAB (D50).

    Each press is equal to itself alone: what is worked out from it is cached by its hash.
    """

    def __hash__(self) -> int:
        """As of any object."""

    @property
    def name(self) -> str:
        """What a person calls this press."""

    @property
    def limits(self) -> str:
        """What this prediction is worth, in one sentence shown beside every verdict."""

    @property
    def gamut(self) -> Gamut:
        """The outer bound of what it prints."""

    @property
    def black_l(self) -> float:
        """L* of its black beside the paper's 100, which ``to_print`` calls 0; 0 if it does not."""

    def to_print(self, lab: Floats) -> Floats:
        """Return the colours that would be on paper for the colours asked for."""

    def shift(self, lab: Floats) -> Floats:
        """Return, shape (n,), how far in CIEDE2000 each colour moves by printing."""

    def nearest(self, lab: Floats) -> Floats:
        """Return the nearest colours of all that print as they are seen."""

    def nearest_of_hue(self, lab: Floats) -> Floats:
        """Return the nearest colours that print as they are seen and keep their hue."""


@runtime_checkable
class InkPress(Press, Protocol):
    """A press that also knows which inks it lays down."""

    def inks(self, lab: Floats) -> Floats:
        """Return ink shares 0 to 1, (n, 4), C M Y K, that print the colours asked for."""


@runtime_checkable
class SendingPress(Press, Protocol):
    """A press for which a print can be drawn in the printer's own numbers."""

    def sent(self, pixels: Pixels) -> Pixels:
        """Return the printer's own numbers for (rows, cols, 3) sRGB uint8, the same shape."""


def on_paper(press: Press, lab: Floats) -> Floats:
    """Return the colours that would be on paper, relative to it, without compensating black.

    Colours asked for and returned are (n, 3) CIELAB (D50).
    """
    return with_black(press.to_print(lab), press.black_l)
