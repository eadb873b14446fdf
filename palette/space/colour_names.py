"""What would a person call this colour?

Input: CIELAB (D50) colours (n, 3). Output: plain English words such as "deep teal" or "pale
butter", unique within one palette.

``names.csv`` holds well-known things and hues with their colour; each can also be met deeper,
paler, softer or brighter. The nearest in CIEDE2000 that no earlier colour of the palette has taken
is the name.

Source: words that CSS has too mean the colour that CSS gives them (CSS Color Module Level 4, W3C,
section 6.1). The others are chosen for kitloom, with values of their own; no table of names is
copied.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from functools import cache
from importlib.resources import files

import numpy as np

from palette.arrays import Floats
from palette.space.difference import nearest_first
from palette.space.lab import hex_to_lab

# Word, change of lightness, factor of chroma, and how much nearer it must be than the bare noun.
_SHADES = (
    ("", 0.0, 1.0, 0.0),
    ("deep", -13.0, 0.95, 1.5),
    ("dark", -22.0, 0.7, 2.5),
    ("pale", 11.0, 0.6, 1.5),
    ("soft", 2.0, 0.62, 1.5),
    ("bright", 3.0, 1.3, 1.5),
)
_GREYISH = 6.0  # chroma; a noun with less has no brighter or softer form


@cache
def vocabulary() -> tuple[tuple[str, ...], Floats, Floats]:
    """Return every name, its Lab (n, 3), and its handicap (n,) in CIEDE2000."""
    text = files("palette.space").joinpath("names.csv").read_text(encoding="utf-8")
    words, labs, handicaps = [], [], []
    for row in csv.DictReader(line for line in text.splitlines() if not line.startswith("#")):
        lab = hex_to_lab(row["hex"])
        for word, lightness, chroma, handicap in _SHADES:
            if _makes_sense(word, lab):
                words.append(f"{word} {row['name']}".strip())
                labs.append(lab * [1.0, chroma, chroma] + [lightness, 0.0, 0.0])
                handicaps.append(handicap)
    return tuple(words), np.array(labs), np.array(handicaps)


def _makes_sense(word: str, lab: Floats) -> bool:
    if word in {"soft", "bright"}:
        return bool(np.hypot(lab[1], lab[2]) > _GREYISH)
    if word == "pale":
        return bool(lab[0] < 85.0)
    return not word or bool(lab[0] > 25.0 and (word == "deep" or lab[0] > 40.0))


def names_for(labs: Floats, own: Sequence[str | None] = ()) -> tuple[str, ...]:
    """Return one name each; ours are all different, and earlier colours choose first.

    Args:
        labs: (n, 3) CIELAB (D50).
        own: for each the name that somebody gave it, which it keeps, or None; or nothing at all.
    """
    words, places, handicap = vocabulary()
    values = np.asarray(labs, dtype=np.float64).reshape(-1, 3)
    given = list(own) or [None] * len(values)
    taken = {name.lower() for name in given if name is not None}
    result: list[str] = []
    for lab, own_name in zip(values, given, strict=True):
        free = (words[i] for i in nearest_first(lab, places, handicap) if words[i] not in taken)
        name = own_name or next(free, f"colour {len(result) + 1}")
        taken.add(name)
        result.append(name)
    return tuple(result)
