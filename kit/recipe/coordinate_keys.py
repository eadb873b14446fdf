"""One coordinate of a recipe: a pattern that is drawn in colours, to go with the bought ones.

In: TOML values. Out: a ``CoordinatePart`` with its size in millimetres, and what is wrong with it:
a style that its kind has not, too few colours, a sett that cannot be read, lines too fine to print.
Its colours may be named, so what they are is known once there is a palette
(``kit.compose.coordinates``).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Annotated

from pydantic import Field, field_validator, model_validator

from kit.recipe.fields import Length, Part, Positive, Whole
from kit.recipe.messages import near
from patterns.artwork_error import ArtworkError
from patterns.coordinates import (
    ALL_OVER,
    COORDINATE_KINDS,
    Figure,
    check_kind,
    draw_figure,
)

LEAST_MOTIF_MM = 2.0  # smaller, nobody sees what it shows
SPACED = 0.05  # of an all-over's size is ground between motifs, where nothing else is asked for


class CoordinatePart(Part):
    """One of ``[[coordinates]]``: a drawn pattern; ``size`` is one repeat's width in mm.

    ``colours`` are hex, names of the palette's colours, roles in it or names of CSS, the ground
    first; ``sett`` is a tartan's thread counts. ``source`` ("from") is the pattern that an
    all-over's motif is lifted from, ``motif`` which one of it, from 1; its ``size`` is the step
    from one copy to the next, of which ``spacing`` (mm) is ground at least.
    """

    kind: str
    name: str = Field(default="", max_length=80)
    style: str = ""
    colours: tuple[Annotated[str, Field(min_length=1, max_length=120)], ...]
    size: Positive
    sett: str = Field(default="", max_length=1_000)
    source: str | None = Field(default=None, alias="from")
    motif: Whole = Field(default=1, ge=1, le=100)
    spacing: Length | None = None

    @property
    def label(self) -> str:
        """What fills call it: its name, or its kind."""
        return self.name or self.kind

    def figure(self) -> Figure:
        """Return what is drawn, unless it is an all-over.

        Raises:
            ArtworkError: its style, colours or sett do not make one.
        """
        return draw_figure(self.kind, self.size, len(self.colours), self.style, self.sett)

    @property
    def spacing_mm(self) -> float:
        """How much ground lies between the motifs of an all-over."""
        return SPACED * self.size if self.spacing is None else self.spacing

    @model_validator(mode="after")
    def _motif_is_named(self) -> CoordinatePart:
        if self.kind == ALL_OVER and self.source is None:
            raise ValueError(f'kind = "{ALL_OVER}" needs from = "pods", a pattern. Add it')
        return self

    @field_validator("kind")
    @classmethod
    def _known_kind(cls, value: str) -> str:
        if value not in COORDINATE_KINDS:
            raise ValueError(
                f'"{value}" is not a kind of coordinate. {near(value, COORDINATE_KINDS)}The kinds: '
                f"{', '.join(COORDINATE_KINDS)}"
            )
        return value


def coordinate_faults(
    parts: Iterable[CoordinatePart],
) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Yield the key of each fault of a recipe's coordinates, and what is said of it."""
    from palette.proof import POSITIVE_MM

    for number, part in enumerate(parts):
        try:
            check_kind(part.kind, len(part.colours), part.style)
            if part.kind == ALL_OVER:
                finest_mm = part.size - part.spacing_mm
            else:
                finest_mm = part.figure().narrowest_mm
        except ArtworkError as error:
            yield ("coordinates", number, error.where), f"{error.what}. {error.remedy}"
            continue
        if part.kind == ALL_OVER and finest_mm < LEAST_MOTIF_MM:
            yield (
                ("coordinates", number, "size" if part.spacing is None else "spacing"),
                f"leaves {max(0.0, finest_mm):.2g} mm for the motif. Write a size of at least "
                f"{LEAST_MOTIF_MM:g} mm more than the spacing",
            )
        elif finest_mm < POSITIVE_MM:
            least_mm = math.ceil(part.size * POSITIVE_MM / finest_mm * 10.0 - 1e-6) / 10.0
            yield (
                ("coordinates", number, "size"),
                f"is too small: its finest line would be {finest_mm:.2g} mm, and printers hold "
                f"{POSITIVE_MM:g} mm. Write at least {least_mm:g} mm",
            )
