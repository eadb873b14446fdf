"""What does the chart say that needs no colorimeter? Merges, clipping, and missing chroma.

In: a ``ChartRecord``. Out: ``ChartFacts``, measurements that compare patches of one print with each
other, so that a scanner's own colours hardly touch them: which colours that differ on screen are
one in print, from which grey on the ramp is only black (or only paper), and how much of the chroma
asked for is reached, hue by hue.

Limits (10 apart on screen, 2.5 in print; 1 for the ramp) are kitloom's choice: common practice, no
published source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.arrays import Floats, Pixels
from palette.press import ChartRecord, black_of, with_black
from palette.space import de2000, hex_of, srgb_to_lab

APART_DE2000, MERGED_DE2000 = 10.0, 2.5
RAMP_DE2000 = 1.0
HUES = {
    "red": (255, 0, 0),
    "yellow": (255, 255, 0),
    "green": (0, 255, 0),
    "cyan": (0, 255, 255),
    "blue": (0, 0, 255),
    "magenta": (255, 0, 255),
}


@dataclass(frozen=True, slots=True)
class Merge:
    """Two colours that are one in print: as sent, and how far apart on screen."""

    a: str
    b: str
    screen_de2000: float


@dataclass(frozen=True, slots=True)
class ChartFacts:
    """What a chart says of its printer.

    Attributes:
        merges: pairs that look the same, the farthest apart on screen first.
        black_up_to: the lightest grey sent (0 to 255) that prints as black does.
        white_down_to: the darkest grey sent that prints as paper.
        chroma_reached: by hue, printed over asked chroma (CIELAB), of the fullest patch.
    """

    merges: tuple[Merge, ...]
    black_up_to: int
    white_down_to: int
    chroma_reached: dict[str, float]


def facts_of(record: ChartRecord) -> ChartFacts:
    """Return what a printer's chart says."""
    sent, first = np.unique(record.rgb, axis=0, return_index=True)
    lab = record.lab[first]
    grey = (sent == sent[:, :1]).all(axis=1)
    levels, ramp = sent[grey][:, 0].astype(int), lab[grey]
    order = np.argsort(levels)
    levels, ramp = levels[order], ramp[order]
    return ChartFacts(
        merges=_merges(sent, with_black(lab, black_of(record))),
        black_up_to=_reach(levels, ramp),
        white_down_to=_reach(levels[::-1], ramp[::-1]),
        chroma_reached=_chroma(sent, lab),
    )


def _reach(levels: NDArray[np.int_], ramp: Floats) -> int:
    """Return the last level of a run, from the ramp's first, that looks like the first."""
    same = de2000(ramp, ramp[0]) < RAMP_DE2000
    run = len(same) if same.all() else int(np.argmin(same))
    return int(levels[max(run - 1, 0)])


def _merges(sent: Pixels, lab: Floats) -> tuple[Merge, ...]:
    """Return the pairs that are one on the paper, where black is no deeper than it prints.

    ``lab`` is relative to the paper and not compensated, as colours of a palette are compared.
    """
    request = srgb_to_lab(sent)
    i, j = np.triu_indices(len(sent), 1)
    screen, printed = de2000(request[i], request[j]), de2000(lab[i], lab[j])
    pairs = np.flatnonzero((screen > APART_DE2000) & (printed < MERGED_DE2000))
    ranked = sorted(pairs.tolist(), key=lambda k: (-screen[k], k))
    return tuple(Merge(hex_of(sent[i[k]]), hex_of(sent[j[k]]), float(screen[k])) for k in ranked)


def _chroma(sent: Pixels, lab: Floats) -> dict[str, float]:
    reached = {}
    for name, rgb in HUES.items():
        at = np.flatnonzero((sent == np.array(rgb)).all(axis=1))
        if len(at):
            request = srgb_to_lab(sent[at[0]])
            reached[name] = float(np.hypot(*lab[at[0], 1:]) / np.hypot(*request[1:]))
    return reached
