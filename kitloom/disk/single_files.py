"""The files of a set that are written once, beside those of sheets, strip and palette formats.

The one list of them: what a later run replaces, what the page says of each and what the docs say
are taken from here. Those of sheets are in ``kit.writers.WRITERS``, those of the palette in
``palette.exchange.FORMATS``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class SingleFile:
    """One file that a kit or its trial has once.

    Attributes:
        purpose: what it is for, as the page says it.
        holds: what is in it, as the docs say it; empty for a file of the trial.
        kind: whether it is to "print", to "show", or for anything "else".
    """

    purpose: str
    holds: str = ""
    kind: str = "else"


SINGLE_FILES: Mapping[str, SingleFile] = {
    "kit.pdf": SingleFile(
        "All sheets, to print in one go",
        "all sheets as pages, to print in one go at actual size",
        "print",
    ),
    "marks.csv": SingleFile(
        "Where your marks lie, in millimetres from the page's edges",
        "where your marks ([`[[marks]]`](recipe.md)) lie, in millimetres from the page's edges; "
        "only where there are some",
    ),
    "palette.json": SingleFile(
        "The palette with all its figures; kitloom reads it back",
        "the palette as `kitloom palette --json` prints it",
    ),
    "swatch-card.pdf": SingleFile(
        "A card of the colours, to print once", "a card of the palette to print and keep"
    ),
    "swatch-card.svg": SingleFile("The same card as a drawing", "the same card as a drawing"),
    "report.html": SingleFile(
        "All checks, with pictures",
        "tiles, colours, sheets and findings on one page that needs nothing else",
    ),
    "kit.lock.json": SingleFile(
        "The choices of this run, to reprint the same stickers",
        "palette, fills and positions of this run, for `kitloom make --keep`",
    ),
    "listing-page.png": SingleFile(
        "For a shop: the sheet on a planner's page",
        "for a shop's listing: the sheets on a planner's page with your day box; only with "
        "`kitloom make --listing`, or asked for on the page; a run without removes it",
        "show",
    ),
    "listing-stickers.png": SingleFile(
        "For a shop: the stickers apart",
        "for a shop's listing: one sticker of each look, with its cut shape; likewise",
        "show",
    ),
    "fit.pdf": SingleFile("The day box, to print on plain paper"),
    "trial.txt": SingleFile("What to do with the trial, step by step"),
}
