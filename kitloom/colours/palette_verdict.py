"""A palette judged for a press: its colours' shifts, its pairs, and what each is fit for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from palette.choose import ColourBins, Fitness, Palette, fitness
from palette.errors import PaletteError
from palette.pairs import LostPair, Pair, lost_pairs, pairs
from palette.press import Press
from palette.proof import ColourAssessment, assess_colours
from palette.space import colour_of, de2000, hex_of, hex_to_lab, lab_to_srgb8, suggestion

# two colours this far apart are never taken for one (common practice, no published source)
MOST_OFF_DE2000 = 10.0
Allowed = frozenset[frozenset[str]]


@dataclass(frozen=True)
class PaletteVerdict:
    """A palette with everything measured on it.

    Attributes:
        palette: the colours.
        press: what they were judged for.
        pairs: the difference of each two, on screen and printed.
        colours: what printing does to each, in the palette's order.
        fitness: what each may be used for, in the palette's order.
        lost: pairs that look the same for some people's sight.
        allowed: pairs of hex colours that the maker wants as close as they are.
    """

    palette: Palette
    press: Press
    pairs: tuple[Pair, ...]
    colours: tuple[ColourAssessment, ...]
    fitness: tuple[Fitness, ...]
    lost: tuple[LostPair, ...]
    allowed: Allowed


def judge_palette(palette: Palette, press: Press, allowed: Allowed = frozenset()) -> PaletteVerdict:
    """Measure a palette against a press.

    Args:
        palette: the colours.
        press: what prints them.
        allowed: pairs of hex colours that the maker wants as close as they are.
    """
    compared = pairs(palette, press)
    colours = assess_colours([swatch.hex for swatch in palette.swatches], press)
    fit = fitness(palette.labs)
    lost = lost_pairs(palette)
    return PaletteVerdict(palette, press, compared, colours, fit, lost, allowed)


def parse_allowed(texts: Sequence[str], palette: Palette) -> Allowed:
    """Return pairs of hex colours from texts such as "fern,pine" or "#5d8a55,#25443a".

    Raises:
        PaletteError: not two colours, or one that the palette does not hold.
    """
    return frozenset(frozenset(_hex_in(palette, part) for part in _two(text)) for text in texts)


def _two(text: str) -> tuple[str, str]:
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != 2 or not all(parts):
        raise PaletteError(
            f'"{text}" is not two colours', where="allow", remedy='Write it like "fern,pine".'
        )
    return parts[0], parts[1]


def _hex_in(palette: Palette, part: str) -> str:
    for swatch in palette.swatches:
        if part.lower() in {swatch.name.lower(), swatch.hex}:
            return swatch.hex
    raise PaletteError(
        f'"{part}" is not a colour of the palette',
        where="allow",
        remedy=suggestion(part, {swatch.name: swatch.hex for swatch in palette.swatches})
        or f"Choose from {', '.join(swatch.name for swatch in palette.swatches)}.",
    )


def check_pairs(pairs: Sequence[tuple[str, str]], bins: Iterable[ColourBins]) -> None:
    """Refuse pairs whose old colour no tile has, for they would change nothing.

    Args:
        pairs: old and new hex colours.
        bins: the colours of each tile.

    Raises:
        PaletteError: an old colour lies over ``MOST_OFF_DE2000`` from all that is in the tiles.
    """
    seen = np.concatenate([one.lab for one in bins])
    for old, _ in pairs:
        off = de2000(hex_to_lab(old), seen)
        if off.min() > MOST_OFF_DE2000:
            nearest = hex_of(lab_to_srgb8(seen[int(off.argmin())]))
            raise PaletteError(
                f"{old} is in none of the tiles, so nothing would become of it",
                where="--pair",
                remedy=f"The nearest that is in them is {nearest}.",
            )


def parse_pairs(texts: Sequence[str], new_names: Mapping[str, str]) -> list[tuple[str, str]]:
    """Return old and new hex colours from texts such as "#5d8a55=#3b5b7a" or "teal=dusk".

    Args:
        texts: what was typed.
        new_names: hex by name, of the palette that the new colours come from.

    Raises:
        PaletteError: not two colours with a "=" between them.
    """
    made = []
    for text in texts:
        old, sign, new = text.partition("=")
        if not sign:
            raise PaletteError(
                f'"{text}" is not a pair', where="--pair", remedy='Write it like "#5d8a55=#3b5b7a".'
            )
        made.append((colour_of(old, where="--pair"), colour_of(new, new_names, where="--pair")))
    return made
