"""Findings about a palette: colours hard to tell apart or to write on, artwork that is unlike it.

Pairs under CIEDE2000 5 warn, and fills side by side under 2.5 stop: common practice, no published
source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING

from kitloom.colours import PaletteVerdict
from kitloom.findings.codes import Finding, finding
from kitloom.findings.printing import colour_findings
from palette.choose import LEAST_SOURCE, Belonging, Fitness, Palette, Swatch, share_words
from palette.pairs import LostPair, Pair
from palette.space import TEXT_RATIO, de2000, hex_to_lab

if TYPE_CHECKING:
    from kitloom.inks import InkPlace

LEAST_REST = 0.05  # of all the area, or of one tile: less is not worth a sentence
CLOSE_DE2000 = 5.0
SAME_DE2000 = 2.5
_SIGHTS = {"protan": "red-green", "deutan": "red-green", "tritan": "blue-yellow"}
BELONGS_SHARE = 0.7  # less of the area near the palette's colours reads as another set


def palette_findings(
    verdict: PaletteVerdict, places: Mapping[str, Sequence[InkPlace]] = MappingProxyType({})
) -> tuple[Finding, ...]:
    """Say what a maker should know of a palette: pairs, shifts, pens, and other people's sight.

    Args:
        verdict: the palette and its measurements.
        places: by "#rrggbb", where on a kit's sheets each of its colours is printed plain.
    """
    pairs = [pair for pair in verdict.pairs if frozenset((pair.a, pair.b)) not in verdict.allowed]
    return (
        *pair_findings(pairs),
        *colour_findings(verdict.colours, verdict.press, places),
        *pen_findings(verdict.fitness),
        *sight_findings(verdict.lost),
        *ground_findings(verdict.palette),
        *apart_findings(verdict.palette),
    )


def pair_findings(pairs: Sequence[Pair]) -> list[Finding]:
    """Name the palette colours that are hard to tell apart, on screen or only once printed."""
    found = []
    for pair in pairs:
        printed = pair.de2000_printed
        subject = f"{pair.a} and {pair.b}"
        if pair.de2000 < CLOSE_DE2000:
            found.append(
                finding(
                    "pair-close",
                    subject,
                    what=f"They differ by only {pair.de2000:.1f} (CIEDE2000).",
                    why="Side by side on a sheet they look like one colour.",
                    remedy="Ask for fewer colours, or do not put them side by side.",
                    de2000=round(pair.de2000, 2),
                    de2000_printed=None if printed is None else round(printed, 2),
                )
            )
        elif printed is not None and printed < CLOSE_DE2000:
            found.append(
                finding(
                    "pair-merges",
                    subject,
                    what=f"They differ by {pair.de2000:.1f} on screen but only {printed:.1f} in "
                    "print (CIEDE2000).",
                    why="On paper they look like one colour.",
                    remedy="Use only one of them, or change one to a colour that prints.",
                    de2000=round(pair.de2000, 2),
                    de2000_printed=round(printed, 2),
                )
            )
    return found


def pen_findings(fits: Sequence[Fitness]) -> list[Finding]:
    """Name the colours on which none of the common pens reads well (WCAG 2.2, 4.5 to 1)."""
    return [
        finding(
            "pen-contrast",
            one.hex,
            what=f"The best of the common pens, {one.best_pen}, reaches a contrast of only "
            f"{one.best_pen_ratio:.2f} to 1 on it.",
            why="Under 4.5 to 1 small writing is hard to read (WCAG 2.2, 1.4.3).",
            remedy="Use it behind a white panel, or write on it with a white pen."
            if one.white_ratio >= TEXT_RATIO
            else "Use it only behind a white panel: white on it is no better, at "
            f"{one.white_ratio:.2f} to 1.",
            pen_ratio=round(one.best_pen_ratio, 2),
            white_ratio=round(one.white_ratio, 2),
        )
        for one in fits
        if one.best_pen_ratio < TEXT_RATIO
    ]


def sight_findings(lost: Sequence[LostPair]) -> list[Finding]:
    """Name the pairs that look the same without one kind of cone (Machado and others, 2009)."""
    return [
        finding(
            "sight",
            f"{pair.a} and {pair.b}",
            what=f"They differ by {pair.de2000:.1f}, but only by {pair.de2000_seen:.1f} with "
            f"{_SIGHTS[pair.sight]} colour blindness ({pair.sight}; CIEDE2000).",
            why="Some people cannot tell them apart.",
            remedy="Do not rely on these colours alone to tell things apart.",
            sight=str(pair.sight),
            de2000_seen=round(pair.de2000_seen, 2),
        )
        for pair in lost
    ]


def ground_findings(palette: Palette) -> list[Finding]:
    """Name the tiles whose ground no colour of the palette looks like."""
    return [
        finding(
            "ground-missing",
            ground.tile,
            what=f"Its ground, {ground.hex} ({ground.share:.0%} of it), looks like no colour of "
            f"the palette; the nearest, {palette.swatches[ground.nearest].name}, is "
            f"{ground.de2000:.1f} off (CIEDE2000).",
            why="Headers, dots and plain fills do not match it.",
            remedy=f"Pin {ground.hex}, or ask for more colours; or leave it so, if other fills "
            "suit this tile.",
            ground=ground.hex,
            share=round(ground.share, 4),
            de2000=round(ground.de2000, 2),
        )
        for ground in palette.grounds
        if ground.de2000 > CLOSE_DE2000
    ]


def apart_findings(palette: Palette) -> list[Finding]:
    """Ask about the tiles that are unlike all others and gave the palette colours of their own."""
    found = []
    for one in palette.apart:
        own = [swatch.hex for swatch in palette.swatches if _only_in(swatch, one.tile)]
        if not own:
            continue
        some = ", ".join(own[:4]) + (" and more" if len(own) > 4 else "")
        found.append(
            finding(
                "tile-apart",
                one.tile,
                what=f"{one.share:.0%} of it is far from every colour of the other tiles; it alone "
                f"gave {len(own)} of the palette's {len(palette)} colours: {some}.",
                why="Plain stickers in these colours may look like part of another kit.",
                remedy="Does it belong? If not, take the colours from the others: name those in "
                "palette.tiles of a recipe, or leave this file out of kitloom palette.",
                share=round(one.share, 4),
                colours=own,
            )
        )
    return found


def _only_in(swatch: Swatch, tile: str) -> bool:
    """Say whether a tile has a colour and no other tile has any of it to speak of."""
    own = swatch.sources.get(tile, 0.0)
    others = [share for name, share in swatch.sources.items() if name != tile]
    return own >= LEAST_SOURCE > max(others, default=0.0)


def belonging_findings(
    belongs: Mapping[str, Belonging],
    palette: Palette,
    becomes: Mapping[str, str],
    recoloured: Mapping[str, str] = MappingProxyType({}),
) -> list[Finding]:
    """Name the artwork that has many colours the palette lacks.

    Args:
        belongs: by the artwork's name, how well it goes with the palette.
        palette: the colours.
        becomes: by the same name, what its largest stranger becomes in the palette's colours.
        recoloured: by the same name, the file that this same run recolours it into, if it does.
    """
    found = []
    for name, one in belongs.items():
        if one.share_near >= BELONGS_SHARE:
            continue
        foreign = ", ".join(f"{s.hex} ({s.share:.0%})" for s in one.strangers[:3])
        told = _worn(one.strangers[0].hex, becomes[name], palette) if one.strangers else ""
        found.append(
            finding(
                "stranger",
                name,
                what=f"{one.share_near:.0%} of its area is near a colour of the palette; "
                f"it also has {foreign}.",
                why="Beside the rest of the kit it looks like part of another one.",
                remedy=f"Use {recoloured[name]}, which this run recoloured{told}."
                if name in recoloured
                else f"Recolour it with kitloom palette --from PALETTE --colourway FOLDER{told}.",
                share_near=round(one.share_near, 4),
                mean_de2000=round(one.mean_de2000, 2),
            )
        )
    return found


def foreign_findings(belongs: Mapping[str, Belonging], source: str, *, where: str) -> list[Finding]:
    """Say of a kit whose palette is a file's that most of its tiles have other colours.

    Nothing is said where few have: what is left of a palette's own artwork is far from it, too.

    Args:
        belongs: by the tile's name, how well it goes with the palette.
        source: the palette's file, as the recipe names it.
        where: what the finding is about.
    """
    foreign = [one for one in belongs.values() if one.share_near < BELONGS_SHARE]
    if 2 * len(foreign) <= len(belongs):
        return []
    mean = sum(one.share_near for one in belongs.values()) / len(belongs)
    which = "The tile has" if len(belongs) == 1 else f"{len(foreign)} of {len(belongs)} tiles have"
    return [
        finding(
            "stranger",
            where,
            what=f"{which} other colours than {source}: {mean:.0%} of the artwork is near one of "
            "its colours.",
            why="Plain stickers and coordinates look like part of another kit.",
            remedy="Take palette.from out, so that the colours come from these tiles; or recolour "
            f"them with kitloom palette --from {source} --colourway FOLDER.",
            share_near=round(mean, 4),
        )
    ]


def _worn(stranger: str, becomes: str, palette: Palette) -> str:
    """Say which of the palette's colours, or a tone of which, takes a stranger's place."""
    apart = de2000(palette.labs, hex_to_lab(becomes))
    near = palette.swatches[int(apart.argmin())].name
    tone = "" if apart.min() < CLOSE_DE2000 else f"{becomes}, a tone like "
    return f": {stranger} becomes {tone}{near}"


def rest_sentence(palette: Palette) -> str:
    """Say how much of the artwork is near none of the colours, and in which tile most.

    Empty where that is hardly any.
    """
    if not palette.rest:
        return ""
    mean = sum(share for _, share in palette.rest) / len(palette.rest)
    name, most = max(palette.rest, key=lambda one: one[1])
    if max(mean, most) < LEAST_REST:
        return ""
    return (
        f"{share_words(mean)} of the artwork is close to no palette colour (CIEDE2000 5 or more), "
        f"mostly in {name} ({most:.0%}): soft outlines, tones of washes, colours left out."
    )
