"""Findings about coordinates: can their colours be told apart on paper?"""

from __future__ import annotations

from itertools import combinations

from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts
from kitloom.findings.palettes import CLOSE_DE2000
from palette.pairs import Pair, colour_pairs
from palette.space import hex_of, parse_hex


def merging_findings(facts: KitFacts) -> list[Finding]:
    """Say which coordinates have two colours that look the same once printed."""
    names = list(facts.kit.coordinates)
    return [
        told
        for number, name in enumerate(names, start=1)
        for told in _merging(facts, name, f"coordinates.{number}.colours")
    ]


def _merging(facts: KitFacts, name: str, key: str) -> list[Finding]:
    """Return the finding about a coordinate's two most alike colours, if they merge."""
    colours = [hex_of(parse_hex(one)) for one in facts.kit.coordinates[name].colours]
    if len(colours) < 2:
        return []
    twice = next((a for a, b in combinations(colours, 2) if a == b), None)
    if twice is not None:
        a, b, apart, printed = twice, twice, 0.0, 0.0
    else:
        nearest = min(colour_pairs(colours, facts.press), key=_printed)
        a, b, apart, printed = nearest.a, nearest.b, nearest.de2000, _printed(nearest)
    if printed >= CLOSE_DE2000:
        return []
    return [
        finding(
            "coordinate-merges",
            name,
            what=f"Its colours {a} and {b} differ by only {printed:.1f} in print (CIEDE2000).",
            why="On paper they look like one colour, and you hardly see the pattern.",
            remedy=f"Name colours in {key} that are farther apart: 12 is plain to see, 5 to 12 is "
            "tone on tone.",
            de2000=round(apart, 2),
            de2000_printed=round(printed, 2),
            colours=[a, b],
        )
    ]


def _printed(pair: Pair) -> float:
    return pair.de2000 if pair.de2000_printed is None else pair.de2000_printed
