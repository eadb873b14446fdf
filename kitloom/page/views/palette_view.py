"""Step 3: the palette's colours with shares, roles, contrasts and printed look, and one to swap."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from kit.recipe import Recipe
from kitloom.findings import GRADE_WORDS, nudge_or_leave, rest_sentence, worth_offering
from kitloom.kits import JudgedKit
from kitloom.measure import UsedPattern
from kitloom.page.state import Bench
from kitloom.page.views.tiles_view import chosen_index, plain_strip
from palette.choose import ColourBins, share_words
from palette.proof import ColourAssessment
from palette.space import hex_of, names_for

OFFERED = 12
NEAR_DE2000 = 20.0  # further apart, nobody takes one for the other
_APART_DE76 = 12.0


def palette_view(
    bench: Bench, recipe: Recipe, job: JudgedKit, query: Mapping[str, str]
) -> dict[str, Any]:
    """Return the swatches, the contrasts, and what may take the place of the chosen colour."""
    pinned = recipe.palette.pins
    verdict = job.verdict
    swatches = [
        {
            "name": swatch.name,
            "hex": swatch.hex,
            "role": str(swatch.role),
            "share": share_words(swatch.share),
            "source": swatch.main_source or "",
            "printed": colour.printed_hex,
            "grade": colour.grade,
            "grade_words": GRADE_WORDS[colour.grade],
            "shift": f"{colour.shift_de2000:.1f}",
            "nearest": colour.nearest_hex if colour.grade == "will shift" else "",
            "nearest_off": f"{colour.nearest_de2000:.1f}",
            "same_hue": _same_hue(colour),
            "same_hue_off": f"{colour.same_hue_de2000:.1f}",
            "advice": nudge_or_leave(colour),
            "kept": swatch.hex in pinned,
        }
        for swatch, colour in zip(verdict.palette.swatches, verdict.colours, strict=True)
    ]
    swap_hex = query.get("swap", "")
    swap = next((one for one in swatches if one["hex"] == swap_hex), None)
    return {
        "swatches": swatches,
        "colours": recipe.palette.colours,
        "rest": rest_sentence(verdict.palette),
        "left_out": recipe.palette.left_out,
        "table": _table(job),
        "swap": swap,
        "asked_tile": query.get("tile", ""),
        "strip": plain_strip(bench, recipe, chosen_index(recipe, query)) if swap else [],
        "source": _offers(job, recipe.patterns[chosen_index(recipe, query)].label)
        if swap
        else None,
    }


def _same_hue(colour: ColourAssessment) -> str:
    """The nearest colour of its own hue, where it shifts and that is another than the nearest."""
    if colour.grade != "will shift" or colour.same_hue_hex == colour.nearest_hex:
        return ""
    offered = worth_offering(colour, colour.same_hue_hex, colour.same_hue_de2000)
    return colour.same_hue_hex if offered else ""


def _offers(job: JudgedKit, name: str) -> dict[str, Any] | None:
    """Return a tile's own main colours, for those who do not click in a picture."""
    used = next((one for one in job.patterns if one.name == name), None)
    if used is None:
        return None
    labs, colours = _main_colours(used.study.bins)
    words = names_for(labs)
    offers = [{"hex": one, "name": word} for one, word in zip(colours, words, strict=True)]
    return {"name": name, "offers": offers, **_click_size(used)}


def _click_size(used: UsedPattern) -> dict[str, int]:
    """The size at which the tile is shown to be clicked in."""
    height, width = used.study.artwork.pixels.shape[:2]
    wide = min(420, width)
    return {"wide": wide, "high": max(1, round(wide * height / width))}


def _main_colours(bins: ColourBins) -> tuple[Any, list[str]]:
    """The most frequent colours that are plainly apart from each other."""
    order = np.argsort(-bins.weight, kind="stable")
    picks: list[int] = []
    for i in order[:4000]:
        near = [np.linalg.norm(bins.lab[i] - bins.lab[j]) < _APART_DE76 for j in picks]
        if not any(near):
            picks.append(int(i))
        if len(picks) == OFFERED:
            break
    return bins.lab[picks], [hex_of(bins.rgb8[i]) for i in picks]


def _table(job: JudgedKit) -> list[dict[str, Any]]:
    """Each two colours' difference, on screen and printed, closest first."""
    pairs = sorted(job.verdict.pairs, key=lambda pair: pair.de2000)[:6]
    pairs = [pair for pair in pairs if min(pair.de2000, pair.de2000_printed or 99.0) < NEAR_DE2000]
    names = {swatch.hex: swatch.name for swatch in job.verdict.palette.swatches}
    return [
        {
            "a": pair.a,
            "b": pair.b,
            "names": f"{names[pair.a]} and {names[pair.b]}",
            "apart": f"{pair.de2000:.1f}",
            "printed": "" if pair.de2000_printed is None else f"{pair.de2000_printed:.1f}",
        }
        for pair in pairs
    ]
