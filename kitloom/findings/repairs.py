"""Findings about tiles drawn into what prints: what the repair reached, and what it left."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kit.recipe import Recipe
from kitloom.colours import RepairResult
from kitloom.findings.codes import Finding, finding
from palette.press import Press
from palette.proof import AS_SEEN, repair_plain
from palette.space import de2000, hex_of, hex_to_lab, parse_hex

MOST_NAMED = 4  # colours in one sentence; --json has all
AS_NEAR = 0.3  # CIEDE2000: what the table of colours for pictures rounds by


def repair_findings(results: Sequence[RepairResult]) -> list[Finding]:
    """Say what a repair reached, and where joins came out worse."""
    return [
        finding(
            "repaired",
            one.file,
            severity="note" if one.joins_kept else "warn",
            what=(
                f"{one.before.share_out_of_gamut:.1%} of it shifted in print, now "
                f"{one.after.share_out_of_gamut:.1%} does"
                f"{'.' if one.joins_kept else '; a seam shows more than before.'} "
                + screen_distance_sentence(one.plain_off, one.repaired_off)
            ).strip(),
            why="The new tile prints true.",
            remedy="Compare the four pictures: the tile on screen and in print, the repaired one "
            "on screen and in print; keep the one whose print you like better.",
            share_before=round(one.before.share_out_of_gamut, 4),
            share_after=round(one.after.share_out_of_gamut, 4),
            plain_off=round(one.plain_off, 2),
            repaired_off=round(one.repaired_off, 2),
            kept_hue=one.kept_hue,
        )
        for one in results
    ]


def left_findings(
    recipes: Sequence[Recipe], press: Press, *, keep_hue: bool = False
) -> list[Finding]:
    """Name the colours of recipes' coordinates that a repair of their tiles does not reach.

    A colour that is named by the palette follows the repaired tiles; a hex stays what it is.
    """
    return [found for one in recipes for found in _left(one, press, keep_hue=keep_hue)]


def _left(recipe: Recipe, press: Press, *, keep_hue: bool) -> list[Finding]:
    fixed: dict[str, list[str]] = {}
    for part in recipe.coordinates:
        for text in part.colours:
            if text.startswith("#"):
                fixed.setdefault(hex_of(parse_hex(text)), []).append(part.label)
    plain = np.array([parse_hex(one) for one in fixed], dtype=np.uint8).reshape(-1, 3)
    drawn = [hex_of(one) for one in repair_plain(plain, press, keep_hue=keep_hue)]
    becomes = {
        one: new
        for one, new in zip(fixed, drawn, strict=True)
        if de2000(hex_to_lab(one), hex_to_lab(new)) >= AS_SEEN
    }
    if not becomes:
        return []
    names = list(dict.fromkeys(label for one in becomes for label in fixed[one]))
    swaps = [f"{new} for {one}" for one, new in becomes.items()]
    more = f" and {len(swaps) - MOST_NAMED} more" if len(swaps) > MOST_NAMED else ""
    named = ", ".join(names[:MOST_NAMED]) + (" and others" if len(names) > MOST_NAMED else "")
    return [
        finding(
            "repair-left",
            recipe.file.name,
            what=f"The repair leaves colours of its coordinates as they are: {named}.",
            why="They no longer match the repaired tiles.",
            remedy=f"Write {', '.join(swaps[:MOST_NAMED])}{more}.",
            becomes=becomes,
        )
    ]


def screen_distance_sentence(plain: float, repaired: float) -> str:
    """Say which print lies nearer to the tile's own screen colours (CIEDE2000, means).

    Nothing is said where the plain print moves so little that nobody sees it.
    """
    if plain < AS_SEEN:
        return ""
    figures = f"{repaired:.1f} off on average, unrepaired {plain:.1f} (CIEDE2000)"
    if repaired < plain + AS_NEAR:
        near = "closer to"
        if f"{repaired:.1f}" == f"{plain:.1f}" or repaired > plain:
            near = "about as close to"
        return f"It prints {near} your original: {figures}."
    return (
        f"It does not print closer to your original: {figures}. What you gain: tones that would "
        "merge stay apart, and hues stay what they are."
    )
