"""How far apart do the motifs of some artwork stand on paper, at the repeats that suit a sticker?

In: files, or the repeats chosen for them. Out: millimetres. Coordinates are drawn clearly smaller
or larger than that.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np

from kitloom.measure import Request, study_all, suiting_repeat
from patterns.artwork import open_artwork
from patterns.artwork_error import ArtworkError
from patterns.motifs import AutoRepeat

HALF_BOX_MM = (40.0, 26.0)  # of a usual planner; what repeats are chosen for until a recipe says
DPI = 300.0
MOST_FILES = 24  # of a library; more would not move the middle


def artwork_spacing_mm(files: Sequence[Path]) -> float:
    """Return the middle distance from motif to motif over some artwork, evenly picked of much.

    Files that cannot be used are left out.
    """
    step = max(1, -(-len(files) // MOST_FILES))
    requests = [Request(path) for path in files[::step]]
    return middle_spacing_mm(study_all(requests, _spacing_mm, lambda: None), HALF_BOX_MM)


def middle_spacing_mm(spacings: Iterable[float | None], half_box_mm: tuple[float, float]) -> float:
    """Return the middle one of ``motif_spacing_mm``; without any, of three motifs to a half box."""
    found = [one for one in spacings if one is not None]
    return float(np.median(found)) if found else min(half_box_mm) / 3.0


def motif_spacing_mm(sizes: AutoRepeat, half_box_mm: tuple[float, float]) -> float | None:
    """Return how far apart a tile's motifs stand at the repeat chosen for a half box.

    None for a surface, which has no motifs.
    """
    across = sizes.chosen.motifs_across
    return min(half_box_mm) / across if across else None


def _spacing_mm(request: Request) -> float | None:
    try:
        pixels = open_artwork(request.path).pixels
    except ArtworkError:
        return None
    return motif_spacing_mm(suiting_repeat(pixels, HALF_BOX_MM, DPI), HALF_BOX_MM)
