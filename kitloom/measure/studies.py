"""Everything measured on one tile, and on many tiles at a time.

In: files. Out: one ``TileStudy`` a file: the artwork, its seam check, its smallest repeat and its
colours. Two or more tiles are studied at a time in threads, because decoding and array arithmetic
release the interpreter.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from kitloom.system import cores
from palette.choose import ColourBins, bins_of
from patterns.artwork import Artwork, open_artwork
from patterns.plane import Lattice, release_memory, spill_to_disk
from patterns.repeats import Repeat, check_as, find_repeat
from patterns.seams import AxisCheck, SeamCheck

Q = TypeVar("Q")
R = TypeVar("R")

STRENGTH_STEPS = 100.0  # a CIEDE2000


@dataclass(frozen=True)
class Request:
    """One tile to study.

    Attributes:
        path: its file.
        lattice: how it repeats: a lattice's name, or "auto" to find out.
        subject: what findings call it.
    """

    path: Path
    lattice: str = "straight"
    subject: str = ""


@dataclass(frozen=True)
class TileStudy:
    """What is known of one tile.

    Attributes:
        subject: what findings call it.
        artwork: the opened file.
        lattice: how it repeats.
        check: whether its joins show.
        repeat: the smallest repeat inside it, or None where there is none or nobody looked.
        bins: its colours.
    """

    subject: str
    artwork: Artwork
    lattice: Lattice
    check: SeamCheck
    repeat: Repeat | None
    bins: ColourBins


def study(request: Request) -> TileStudy:
    """Open and measure one tile.

    Raises:
        ArtworkError: the file cannot be used.
    """
    artwork = open_artwork(request.path)
    pixels = artwork.pixels
    lattice, check = _joins(request, artwork)
    return TileStudy(
        request.subject or str(request.path),
        artwork,
        lattice,
        check,
        find_repeat(pixels),
        bins_of(pixels),
    )


def kit_study(request: Request, known: tuple[Lattice, SeamCheck] | None = None) -> TileStudy:
    """Measure one tile for a kit: no search for repeats inside it.

    Args:
        request: the tile.
        known: its lattice and the verdict on its joins, where they were measured before; what is
            measured now has the strength along the edge rounded as it can be kept.

    Raises:
        ArtworkError: the file cannot be used.
    """
    artwork = open_artwork(request.path)
    pixels = artwork.pixels
    lattice, check = known or _joins(request, artwork)
    check = check if known else round_check(check)
    subject = request.subject or str(request.path)
    return TileStudy(subject, artwork, lattice, check, None, bins_of(pixels))


def lean_study(request: Request, known: tuple[Lattice, SeamCheck] | None = None) -> TileStudy:
    """Return ``kit_study`` of a tile with its pixels on disk."""
    return on_disk(kit_study(request, known))


def on_disk(study: TileStudy) -> TileStudy:
    """Return a study whose pixels lie on disk, so that those of many tiles take no memory."""
    pixels = spill_to_disk(study.artwork.pixels)
    release_memory(pixels)
    return replace(study, artwork=replace(study.artwork, pixels=pixels))


def joins_of(request: Request) -> tuple[Lattice, SeamCheck]:
    """Open one tile and check its joins, and nothing else of it.

    Raises:
        ArtworkError: the file cannot be used.
    """
    return _joins(request, open_artwork(request.path))


def _joins(request: Request, artwork: Artwork) -> tuple[Lattice, SeamCheck]:
    return check_as(artwork.pixels, request.lattice, lossy=artwork.lossy)


def round_check(check: SeamCheck) -> SeamCheck:
    """Return a check with the strength along its edges to a hundredth, as it can be kept."""
    return replace(check, x=_rounded(check.x), y=_rounded(check.y))


def _rounded(axis: AxisCheck) -> AxisCheck:
    strength = strength_codes(axis) / STRENGTH_STEPS
    strength.setflags(write=False)
    return replace(axis, strength=strength)


def strength_codes(axis: AxisCheck) -> NDArray[np.uint16]:
    """Return the strength along an edge in hundredths, (n,) little-endian."""
    return np.clip(np.rint(np.asarray(axis.strength) * STRENGTH_STEPS), 0, 65_535).astype("<u2")


def study_all(
    requests: Sequence[Q], then: Callable[[Q], R], tick: Callable[[], None]
) -> Iterator[R]:
    """Yield ``then`` of each request in order, working in threads on as many as there are cores."""
    import scipy.ndimage
    import scipy.sparse  # noqa: F401  before several threads ask for them at a time

    with ThreadPoolExecutor(max(1, min(len(requests), cores(), 8))) as pool:
        for result in pool.map(then, requests):
            tick()
            yield result


def unique_names(paths: Sequence[Path]) -> list[str]:
    """Return each file's name without ending, or its path where two clash."""
    stems = Counter(path.stem for path in paths)
    return [path.stem if stems[path.stem] == 1 else str(path) for path in paths]


def bins_by_name(paths: Sequence[Path], tick: Callable[[], None]) -> dict[str, ColourBins]:
    """Return the colours of each file by its name without ending, or by its path where two clash.

    Raises:
        ArtworkError: a file cannot be used.
    """
    names = unique_names(paths)
    requests = [Request(path) for path in paths]
    return dict(zip(names, study_all(requests, _colours_of, tick), strict=True))


def _colours_of(request: Request) -> ColourBins:
    return bins_of(open_artwork(request.path).pixels)
