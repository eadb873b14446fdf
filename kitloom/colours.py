"""A palette judged for a press: its colours' shifts, its pairs, and what a maker should know."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kitloom.findings import Finding
from kitloom.findings.colours import (
    colour_findings,
    pair_findings,
    pen_findings,
    sight_findings,
)
from kitloom.present.as_json import (
    answer,
    belonging_dicts,
    colour_dicts,
    pair_dicts,
    palette_dicts,
    sight_dicts,
)
from palette.belong import Belonging
from palette.contrast import Pair, pairs
from palette.cvd import LostPair, lost_pairs
from palette.errors import PaletteError
from palette.named import colour_of, suggestion
from palette.press.protocol import Press
from palette.proof import ColourAssessment, assess_colours
from palette.roles import Fitness, fitness
from palette.swatch import Palette, told_share

Allowed = frozenset[frozenset[str]]
LEAST_TOLD_REST = 0.05  # of all the area, or of one tile


@dataclass(frozen=True)
class JudgedPalette:
    """A palette with everything measured on it.

    Attributes:
        palette: the colours.
        press: what they were judged for.
        pairs: the difference of each two, on screen and printed.
        colours: what printing does to each, in the palette's order.
        fitness: what each may be used for, in the palette's order.
        lost: pairs that fall together for some people's sight.
        findings: what a maker should know of it.
    """

    palette: Palette
    press: Press
    pairs: tuple[Pair, ...]
    colours: tuple[ColourAssessment, ...]
    fitness: tuple[Fitness, ...]
    lost: tuple[LostPair, ...]
    findings: tuple[Finding, ...]


def judge_palette(palette: Palette, press: Press, allowed: Allowed = frozenset()) -> JudgedPalette:
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
    wanted = [pair for pair in compared if frozenset((pair.a, pair.b)) not in allowed]
    found = (
        *pair_findings(wanted),
        *colour_findings(colours, press),
        *pen_findings(fit),
        *sight_findings(lost),
    )
    return JudgedPalette(palette, press, compared, colours, fit, lost, found)


def palette_answer(
    judged: JudgedPalette,
    findings: Sequence[Finding] | None = None,
    belongs: Mapping[str, Belonging] | None = None,
) -> dict[str, Any]:
    """Return the ``--json`` object of ``palette``, which is also the file ``palette.json``."""
    return answer(
        "palette",
        judged.findings if findings is None else findings,
        press=judged.press.name,
        palette=palette_dicts(judged.palette, judged.fitness),
        pairs=pair_dicts(judged.pairs),
        colours=colour_dicts(judged.colours),
        sight=sight_dicts(judged.lost),
        rest={name: round(share, 5) for name, share in judged.palette.rest},
        curve=[[count, round(loss, 4)] for count, loss in judged.palette.curve],
        belonging=belonging_dicts(belongs or {}),
    )


def rest_told(palette: Palette) -> str:
    """Say how much of the artwork is near none of the colours, and in which tile most.

    Empty where that is hardly any.
    """
    if not palette.rest:
        return ""
    mean = sum(share for _, share in palette.rest) / len(palette.rest)
    name, most = max(palette.rest, key=lambda one: one[1])
    if max(mean, most) < LEAST_TOLD_REST:
        return ""
    return (
        f"{told_share(mean)} of the area is near none of them (CIEDE2000 5 or more), most in "
        f"{name}, {most:.0%}: blurs along outlines, tones of washes, colours left out."
    )


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
