"""What the other process does for a kit: measures and shows tiles, chooses colours, writes DXF.

Each function stands for one that may as well be called at home. What later questions need is kept
here: the press, and the tiles that were measured here, with their pixels.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from kitloom.make.beside import WithPixels
from kitloom.make.memory import give_back
from kitloom.measure import TileStudy, UsedPattern, Wanted, lean_study, measure
from kitloom.report import tile_part
from palette.lean_import import load_ndimage
from palette.press import Press, open_press
from patterns.plane import Lattice, Plane
from patterns.seams import SeamCheck

Known = tuple[Lattice, SeamCheck] | None

_NOTHING = np.zeros((1, 1, 3), np.uint8)
_measured: dict[str, UsedPattern] = {}
_presses: list[tuple[Mapping[str, Any], Press]] = []


def _load_arrays() -> None:
    load_ndimage()
    import scipy.sparse  # noqa: F401


def _load_clustering() -> None:
    from palette.choose import preload

    preload()


def _load_drawings() -> None:
    import ezdxf  # noqa: F401


LOADED_BY_BOTH = _load_arrays  # besides what this module imports
LOADED_FIRST = _load_clustering
LOADED_LATER = _load_drawings  # while nothing is asked


def measured_there(wanted: Wanted, known: Known, press_words: Mapping[str, Any]) -> WithPixels:
    """Measure a pattern and keep it; return what ``rebuilt`` makes it of at home."""
    used = measure(wanted, _press(press_words), lambda one: lean_study(one, known, spill=False))
    give_back()
    there, file = used.study.artwork.pixels, None
    _measured[wanted.name] = _with_pixels(used, there)
    return WithPixels(_with_pixels(used, _NOTHING), there, file)


def rebuilt(answer: WithPixels) -> UsedPattern:
    """Return the pattern that was measured over there, its arrays read-only again."""
    used: UsedPattern = _with_pixels(answer.rest, answer.pixels)
    for axis in (used.study.check.x, used.study.check.y):
        axis.strength.setflags(write=False)
    return replace(used, study=replace(used.study, bins=replace(used.study.bins)))


def _with_pixels(used: UsedPattern, pixels: Any) -> UsedPattern:
    study: TileStudy = replace(used.study, artwork=replace(used.study.artwork, pixels=pixels))
    plane = Plane(pixels, used.plane.repeat_mm, used.plane.lattice)
    return replace(used, study=study, plane=plane)


def part_there(
    name: str, press_words: Mapping[str, Any], count: int, box_mm: tuple[float, float]
) -> dict[str, Any]:
    """Return what the report shows of a pattern that was measured here.

    Raises:
        KeyError: it was not.
    """
    part = tile_part(_measured[name], _press(press_words), count, box_mm)
    give_back()
    return part


def _press(words: Mapping[str, Any]) -> Press:
    """The press that is asked for, opened once."""
    for known, press in _presses:
        if known == words:
            return press
    _presses.append((words, open_press(**words)))
    return _presses[-1][1]
