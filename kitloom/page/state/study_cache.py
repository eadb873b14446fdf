"""Measure nothing twice: tiles and palettes that were measured before are handed out again.

A tile is known by its file's place, size and time of change, a palette by its tiles' colours. The
longest unused tiles go when their pixels take more than ``MAX_BYTES``. An edit of one sticker
changes nothing of what its tile was measured with at one repeat: its thin lines, and the fields
that windows are chosen on, which take most of an edit's time; of fields ``FIELD_BYTES`` are kept.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from threading import Lock
from typing import Literal

from kit.fills import Fields, fields_of
from kitloom.findings import few_repeats_findings
from kitloom.measure import Request, TileStudy, mark_of, suiting_repeat, thin_lines
from palette.choose import ColourBins, Palette, choose
from palette.proof import ThinStroke
from patterns.motifs import AutoRepeat
from patterns.plane import Plane

MAX_BYTES, FIELD_BYTES = 2**30, 2**26
_PALETTES = 64


class StudyCache:
    """What was measured so far."""

    def __init__(self, study: Callable[[Request], TileStudy]) -> None:
        """Have nothing yet; tiles are measured in this way."""
        self._study = study
        self._lock = Lock()
        self._tiles: OrderedDict[Hashable, TileStudy] = OrderedDict()
        self._palettes: OrderedDict[Hashable, Palette] = OrderedDict()
        self._repeats: dict[Hashable, AutoRepeat] = {}
        self._marks: dict[Hashable, str] = {}
        self._thin: dict[Hashable, tuple[ThinStroke, ...]] = {}
        self._too_little: dict[Hashable, str] = {}
        self._fields: OrderedDict[Hashable, Fields] = OrderedDict()

    def study(self, request: Request) -> TileStudy:
        """Return the study of a tile, measured now if it was not before.

        Raises:
            ArtworkError: the file cannot be used.
        """
        known = self.known(request)
        if known is not None:
            return known
        made = self._study(request)
        self.keep(request, made)
        return made

    def known(self, request: Request) -> TileStudy | None:
        """Return the study of a tile if there is one."""
        with self._lock:
            key = _key(request)
            known = self._tiles.get(key)
            if known is None:
                return None
            self._tiles.move_to_end(key)
            subject = request.subject or str(request.path)
            if known.subject != subject or known.artwork.path != request.path:
                artwork = replace(known.artwork, path=request.path)
                known = self._tiles[key] = replace(known, subject=subject, artwork=artwork)
        return known

    def keep(self, request: Request, made: TileStudy) -> None:
        """Cache a study under a request, which may name another place than it was made at."""
        with self._lock:
            self._tiles[_key(request)] = made
            if request.lattice == "auto":
                self._tiles[_key(replace(request, lattice=made.lattice.name))] = made
            while len(self._tiles) > 1 and self._bytes() > MAX_BYTES:
                self._tiles.popitem(last=False)

    def choose(
        self,
        bins: Mapping[str, ColourBins],
        colours: int | Literal["auto"],
        pinned: Sequence[str],
        *,
        names: Mapping[str, str],
        without: Sequence[str],
    ) -> Palette:
        """Return the palette that ``palette.choose.choose`` chooses."""
        prints = tuple((name, _print(one)) for name, one in bins.items())
        key = (prints, colours, tuple(pinned), tuple(names.items()), tuple(without))
        with self._lock:
            if key in self._palettes:
                return self._palettes[key]
        made = choose(bins, colours, pinned, names=names, without=without)
        with self._lock:
            self._palettes[key] = made
            while len(self._palettes) > _PALETTES:
                self._palettes.popitem(last=False)
        return made

    def suggested_mm(self, study: TileStudy, box_mm: tuple[float, float], dpi: float) -> float:
        """Return the repeat at which a tile suits a half box of the planner and prints crisply."""
        return self.sizes(study, box_mm, dpi).repeat_mm

    def sizes(self, study: TileStudy, box_mm: tuple[float, float], dpi: float) -> AutoRepeat:
        """Return that repeat with the sizes beside it."""
        key = (*file_state(study.artwork.path), box_mm, dpi)
        if key not in self._repeats:
            half_box_mm = box_mm[0], box_mm[1] / 2.0
            self._repeats[key] = suiting_repeat(study.artwork.pixels, half_box_mm, dpi)
        return self._repeats[key]

    def thin(self, study: TileStudy, dpi: float) -> tuple[ThinStroke, ...]:
        """Return a tile's thin lines at so many pixels an inch (``thin_lines``)."""
        key = (*file_state(study.artwork.path), dpi)
        if key not in self._thin:
            self._thin[key] = thin_lines(study, dpi)
        return self._thin[key]

    def too_little(self, study: TileStudy) -> str:
        """Return that a picture holds under one and a half repeats; "" where it does not."""
        key = study_state(study)
        if key not in self._too_little:
            found = few_repeats_findings(study.subject, study.artwork.pixels, study.check, None)
            self._too_little[key] = " ".join(one.what for one in found)
        return self._too_little[key]

    def fields(self, path: Path, plane: Plane) -> Fields:
        """Return the fields of a file's plane (``fields_of``)."""
        key = (*file_state(path), plane.repeat_mm, plane.lattice.name)
        with self._lock:
            if key in self._fields:
                self._fields.move_to_end(key)
                return self._fields[key]
        made = fields_of(plane)
        with self._lock:
            self._fields[key] = made
            while len(self._fields) > 1 and self._field_bytes() > FIELD_BYTES:
                self._fields.popitem(last=False)
        return made

    def _field_bytes(self) -> int:
        return sum(one.values.nbytes for pair in self._fields.values() for one in pair)

    def mark(self, path: Path) -> str:
        """Return what a recipe writes of a file that was looked at."""
        key = file_state(path)
        if key not in self._marks:
            self._marks[key] = mark_of(path)
        return self._marks[key]

    def _bytes(self) -> int:
        return sum({id(s): s.artwork.pixels.nbytes for s in self._tiles.values()}.values())


def _key(request: Request) -> Hashable:
    return (*file_state(request.path), request.lattice)


def file_state(path: Path) -> tuple[str, int, int]:
    """Return what tells a file from the same one changed: its place, size and time of change."""
    try:
        status = path.stat()
    except OSError:
        return str(path), 0, 0
    return str(path), status.st_size, status.st_mtime_ns


def study_state(study: TileStudy) -> tuple[Hashable, ...]:
    """Return what tells a study from that of another file or lattice, or of the file changed."""
    return *file_state(study.artwork.path), study.lattice.name


def _print(bins: ColourBins) -> bytes:
    return hashlib.sha256(bins.rgb8.tobytes() + bins.weight.tobytes()).digest()
