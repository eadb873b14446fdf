"""Findings about tiles in other colours: joins that show now, and the licence that decides."""

from __future__ import annotations

from collections.abc import Sequence

from kitloom.colours import Colourway
from kitloom.findings.codes import Finding, finding
from patterns.seams import SeamCheck


def colourway_findings(made: Sequence[Colourway]) -> list[Finding]:
    """Say which joins came out worse, and once that a licence may forbid altering artwork."""
    found = [new_seam(str(one.path), one.after) for one in made if not one.joins_kept]
    licence = finding(
        "licence",
        "colourways",
        what="These tiles are altered copies.",
        why="The licence of bought artwork decides whether you may alter it, and sell it so.",
        remedy="Read its terms before you print or sell.",
    )
    return [*found, licence]


def new_seam(subject: str, after: SeamCheck) -> Finding:
    """Say that a tile's joins came out worse in other colours, as ``after`` measured them."""
    return finding(
        "colourway-seam",
        subject,
        what="It shows a seam in the new colours, though it did not in the old ones."
        if after.seamless is False
        else "Whether it shows a seam in the new colours cannot be measured.",
        why="Colours that were close together now stand apart where the tile meets itself.",
        remedy="Look where it repeats: kitloom check --pictures. If it shows, choose pairs "
        "of your own, or choose another palette for it.",
    )
