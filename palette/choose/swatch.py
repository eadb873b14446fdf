"""What is a palette? A handful of colours of the artwork, each with name, role and share.

Only the values; ``palette.choose.choice`` finds them. Shares are 0 to 1, Lab is CIELAB (D50), hex
is sRGB.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from math import hypot
from types import MappingProxyType

import numpy as np

from palette.arrays import Floats

LEAST_SOURCE = 0.002  # of a tile; fewer pixels are a blur's


class Role(StrEnum):
    """What a colour does in the artwork, from its measured share, lightness and chroma."""

    GROUND = "ground"  # the colour that covers most: what the motifs lie on
    DEEP = "deep"  # dark enough to read on white
    MID = "mid"  # neither dark nor light: motifs
    LIGHT = "light"  # light enough to read black on
    ACCENT = "accent"  # little of the area, strong colour: what the eye goes to first
    NEUTRAL = "neutral"  # white, grey, black, or so near that no hue is seen


def _far_from(role: Role, swatch: Swatch) -> float:
    """How badly a colour would do what a role does; only the order counts."""
    lightness, a, b = swatch.lab
    return {
        Role.GROUND: -swatch.share,
        Role.DEEP: lightness,
        Role.MID: abs(lightness - 58.0),  # between the limits of deep and light
        Role.LIGHT: -lightness,
        Role.ACCENT: -hypot(a, b),
        Role.NEUTRAL: hypot(a, b),
    }[role]


def share_words(share: float) -> str:
    """Return a share, 0 to 1, as "12.3%", as "under 0.1%" where that would read 0.0%, or "none"."""
    if share <= 0:
        return "none"
    percent = f"{share:.1%}"
    return "under 0.1%" if percent == "0.0%" else percent


@dataclass(frozen=True)
class Swatch:
    """One colour of a palette.

    Attributes:
        name: plain words, unique within its palette.
        hex: sRGB "#rrggbb"; the colour of pixels in the artwork, unless ``pinned``.
        lab: CIELAB (D50) of ``hex``.
        share: mean over the tiles of the share of area that is near this colour (CIEDE2000 under 5)
            and nearest to it.
        role: what it does in the artwork.
        sources: for each tile its own share of this colour.
        pinned: the maker asked for this very colour.
    """

    name: str
    hex: str
    lab: tuple[float, float, float]
    share: float
    role: Role
    sources: Mapping[str, float]
    pinned: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "sources", MappingProxyType(dict(self.sources)))

    @property
    def main_source(self) -> str | None:
        """The tile that has most of it; None where no tile has it, as of a pinned colour."""
        most = max(self.sources, key=lambda name: self.sources[name], default=None)
        return most if most is not None and self.sources[most] >= LEAST_SOURCE else None

    def __reduce__(self) -> tuple[type[Swatch], tuple[object, ...]]:
        """Let palettes travel between processes, which a read-only mapping alone would forbid."""
        values = [getattr(self, field.name) for field in fields(self)]
        return Swatch, tuple(dict(v) if isinstance(v, MappingProxyType) else v for v in values)


@dataclass(frozen=True)
class Ground:
    """The colour that covers most of a tile, and what the palette has for it.

    Attributes:
        tile: its name.
        hex: sRGB.
        share: of the tile's area, blurs apart, that looks like it, 0 to 1.
        nearest: place in the palette of the nearest colour.
        de2000: how far away that is.
    """

    tile: str
    hex: str
    share: float
    nearest: int
    de2000: float


@dataclass(frozen=True)
class ApartTile:
    """A tile unlike all others.

    Attributes:
        tile: its name.
        share: of its area that is far from every colour of the others, 0 to 1.
        colours: those colours as sRGB hex, largest first.
    """

    tile: str
    share: float
    colours: tuple[str, ...]


@dataclass(frozen=True)
class Palette:
    """The colours of a set of tiles, largest share first.

    Attributes:
        swatches: the colours.
        curve: (k, loss) for 1, 2, 3 … colours: the mean squared Lab distance of the artwork to the
            k best k-means centres. Where it stops falling steeply, more colours add little.
        rest: for each tile, by name, the share of its area that is near none of the colours: blurs
            along outlines, tones of a wash, and colours that were left out.
        grounds: each tile's ground, except those that were left out, by the tiles' names.
        apart: tiles whose colours lie far from those of all others.
    """

    swatches: tuple[Swatch, ...]
    curve: tuple[tuple[int, float], ...] = ()
    rest: tuple[tuple[str, float], ...] = ()
    grounds: tuple[Ground, ...] = ()
    apart: tuple[ApartTile, ...] = ()

    def __len__(self) -> int:
        return len(self.swatches)

    @property
    def role_colours(self) -> dict[str, str]:
        """By role the largest colour that has it, as "#rrggbb"; by "mid 2" the next of a role."""
        found: dict[str, str] = {}
        seen: Counter[Role] = Counter()
        for swatch in self.swatches:
            seen[swatch.role] += 1
            place = f" {seen[swatch.role]}" if seen[swatch.role] > 1 else ""
            found[f"{swatch.role}{place}"] = swatch.hex
        return found

    def stand_in(self, role: Role, besides: Collection[str]) -> str | None:
        """Return the colour that comes nearest to a role which no colour has, as "#rrggbb".

        The darkest for a deep, the lightest for a light, the one of middle lightness for a mid, the
        strongest for an accent, the greyest for a neutral, the largest for a ground.

        Args:
            role: what the colour is to do.
            besides: colours that it may not be, as "#rrggbb".

        Returns:
            None where there is no other colour.
        """
        free = [one for one in self.swatches if one.hex not in besides]
        return min(free, key=lambda one: _far_from(role, one)).hex if free else None

    @property
    def labs(self) -> Floats:
        """All colours as an (n, 3) array of CIELAB (D50)."""
        return np.array([swatch.lab for swatch in self.swatches], dtype=np.float64).reshape(-1, 3)
