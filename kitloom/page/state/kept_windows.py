"""Draw no window of a pattern twice: a sheet of which one sticker changed draws that one alone.

In: a kit and the files of its patterns. Out: its planes, which give the very same pixels; those of
a window that was asked for before are handed out again, and so are drawings at a sheet's pixels.
The longest unused ones go when they take more than ``MAX_BYTES``. Not done here: drawing the sheet
(``kit.render``).
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Any

from numpy.typing import NDArray

from kit.compose import Kit
from kit.render import PatternPlane, mix
from kit.shapes import Window
from kit.sheet import Picture, plane_key
from kitloom.page.state.study_cache import file_state
from palette.arrays import Floats32, Pixels
from patterns.plane import Plane

MAX_BYTES = 2**27
AnyArray = NDArray[Any]


class KeptWindows:
    """The windows that were drawn so far."""

    def __init__(self) -> None:
        """Have none yet."""
        self._lock = Lock()
        self._kept: OrderedDict[Hashable, tuple[AnyArray, ...]] = OrderedDict()
        self._bytes = 0

    def planes(self, kit: Kit, files: Mapping[str, Path]) -> dict[str, PatternPlane]:
        """Return a kit's planes by their keys.

        Args:
            kit: the kit.
            files: each pattern's own, by name; a changed one has other windows.
        """
        names = {name: name for name in kit.planes}
        for slot, choice in zip(kit.slots, kit.choices, strict=True):
            for name in (choice.pattern, choice.panel_pattern):
                if name is not None:
                    names[plane_key(name, slot.angle_deg, slot.scale)] = name
        found: dict[str, PatternPlane] = {}
        for key, plane in kit.planes.items():
            source: Hashable = plane  # a drawn pattern is all that it is made from
            if isinstance(plane, Plane):
                state = file_state(files[names[key]])
                source = (*state, plane.repeat_mm, plane.lattice.name, plane.turn_deg)
            found[key] = _KeptPlane(self, plane, source)
        return found

    def mixed(self, picture: Picture, window: Window, dpi: float) -> tuple[Floats32, Floats32]:
        """Return a drawing at a block's pixels, as ``kit.render.mix`` does."""
        # a drawing is known by its very arrays, which are kept as long as what was made of them
        own = picture.on_white, picture.alpha
        key = ("drawing", *map(id, own), picture.box, window, dpi)
        kept = self.kept(key)
        if kept is not None:
            return kept[0], kept[1]
        made = mix(picture, window, dpi)
        self.keep(key, (*made, *own))
        return made

    def kept(self, key: Hashable) -> tuple[AnyArray, ...] | None:
        """Return what was kept under a key."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
            return self._kept.get(key)

    def keep(self, key: Hashable, arrays: tuple[AnyArray, ...]) -> None:
        """Keep some arrays, and let the longest unused ones go where there are too many."""
        with self._lock:
            if key in self._kept:
                return
            self._kept[key] = arrays
            self._bytes += _bytes(arrays)
            while self._bytes > MAX_BYTES and len(self._kept) > 1:
                _, gone = self._kept.popitem(last=False)
                self._bytes -= _bytes(gone)


def _bytes(arrays: tuple[AnyArray, ...]) -> int:
    return sum(one.nbytes for one in arrays)


@dataclass(frozen=True)
class _KeptPlane:
    """A plane whose windows are kept."""

    windows: KeptWindows
    plane: PatternPlane
    source: Hashable

    def sample(
        self,
        x_mm: float,
        y_mm: float,
        width_mm: float,
        height_mm: float,
        dpi: float,
        *,
        shape: tuple[int, int] | None = None,
    ) -> Pixels:
        """Return the window at (x, y) as (rows, cols, 3) sRGB uint8, as the plane gives it."""
        key = (self.source, x_mm, y_mm, width_mm, height_mm, dpi, shape)
        kept = self.windows.kept(key)
        if kept is not None:
            return kept[0]
        pixels = self.plane.sample(x_mm, y_mm, width_mm, height_mm, dpi, shape=shape)
        self.windows.keep(key, (pixels,))
        return pixels
