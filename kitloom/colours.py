"""A palette judged for a press: its colours' shifts, its pairs, and what a maker should know."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from kitloom.findings import Finding
from kitloom.findings.colours import colour_findings, pair_findings
from kitloom.present.as_json import answer, colour_dicts, pair_dicts, palette_dicts
from palette.contrast import Pair, pairs
from palette.press import Press
from palette.proof import ColourAssessment, assess_colours
from palette.swatch import Palette


@dataclass(frozen=True)
class JudgedPalette:
    """A palette with everything measured on it.

    Attributes:
        palette: the colours.
        press: what they were judged for.
        pairs: the difference of each two, on screen and printed.
        colours: what printing does to each, in the palette's order.
        findings: what a maker should know of it.
    """

    palette: Palette
    press: Press
    pairs: tuple[Pair, ...]
    colours: tuple[ColourAssessment, ...]
    findings: tuple[Finding, ...]


def judge_palette(palette: Palette, press: Press) -> JudgedPalette:
    """Measure a palette against a press."""
    compared = pairs(palette, press)
    colours = assess_colours([swatch.hex for swatch in palette.swatches], press)
    found = (*pair_findings(compared), *colour_findings(colours, press))
    return JudgedPalette(palette, press, compared, colours, found)


def palette_answer(judged: JudgedPalette) -> dict[str, Any]:
    """Return the ``--json`` object of ``palette``, which is also the file ``palette.json``."""
    return answer(
        "palette",
        judged.findings,
        press=judged.press.name,
        palette=palette_dicts(judged.palette),
        pairs=pair_dicts(judged.pairs),
        colours=colour_dicts(judged.colours),
    )
