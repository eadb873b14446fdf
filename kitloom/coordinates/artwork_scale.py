"""How far apart do the motifs of some artwork stand on paper, at the repeats that suit a sticker?

In: files. Out: millimetres. Coordinates are drawn clearly smaller or larger than that.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from kitloom.measure import Request, study_all, suiting_repeat
from patterns.artwork import open_artwork
from patterns.artwork_error import ArtworkError

HALF_BOX_MM = (40.0, 26.0)  # of a usual planner; what repeats are chosen for until a recipe says
DPI = 300.0
MOST_FILES = 24  # of a library; more would not move the middle


def artwork_spacing_mm(files: Sequence[Path]) -> float:
    """Return the middle distance from motif to motif over some artwork, evenly picked of much.

    Files that cannot be used are left out; without any, it is that of three motifs to a half box.
    """
    step = max(1, -(-len(files) // MOST_FILES))
    requests = [Request(path) for path in files[::step]]
    found = [one for one in study_all(requests, _spacing_mm, lambda: None) if one is not None]
    return float(np.median(found)) if found else min(HALF_BOX_MM) / 3.0


def _spacing_mm(request: Request) -> float | None:
    try:
        pixels = open_artwork(request.path).pixels
    except ArtworkError:
        return None
    across = suiting_repeat(pixels, HALF_BOX_MM, DPI).chosen.motifs_across
    return min(HALF_BOX_MM) / across if across else None  # a surface has no motifs
