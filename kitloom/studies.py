"""Everything measured on one tile, and on many tiles at a time.

In: files. Out: one ``TileStudy`` a file: the artwork, its seam check, its smallest repeat and its
colours. Two or more tiles are studied at a time in threads, because decoding and array arithmetic
release the interpreter.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from palette.histogram import ColourBins, bins_of
from patterns.artwork import Artwork, open_artwork
from patterns.lattice import Lattice, lattice_named
from patterns.repeats import Repeat, find_lattice, find_repeat
from patterns.seams import SeamCheck, check_seams
from patterns.spill import let_go, spilled

Q = TypeVar("Q")
R = TypeVar("R")


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
    lattice = find_lattice(pixels) if request.lattice == "auto" else lattice_named(request.lattice)
    return TileStudy(
        request.subject or str(request.path),
        artwork,
        lattice,
        check_seams(pixels, lattice, lossy=artwork.lossy),
        find_repeat(pixels),
        bins_of(pixels),
    )


def lean_study(request: Request) -> TileStudy:
    """Measure one tile for a kit: no search for repeats inside it, and its pixels kept on disk.

    Raises:
        ArtworkError: the file cannot be used.
    """
    artwork = open_artwork(request.path)
    pixels = artwork.pixels
    lattice = find_lattice(pixels) if request.lattice == "auto" else lattice_named(request.lattice)
    check = check_seams(pixels, lattice, lossy=artwork.lossy)
    bins = bins_of(pixels)
    kept = replace(artwork, pixels=spilled(pixels))
    let_go(kept.pixels)
    return TileStudy(request.subject or str(request.path), kept, lattice, check, None, bins)


def study_all(
    requests: Sequence[Q], then: Callable[[Q], R], tick: Callable[[], None]
) -> Iterator[R]:
    """Yield ``then`` of each request in order, working on as many as there are cores."""
    workers = max(1, min(len(requests), os.cpu_count() or 1, 8))
    with ThreadPoolExecutor(workers) as pool:
        for result in pool.map(then, requests):
            tick()
            yield result


def bins_by_name(paths: Sequence[Path], tick: Callable[[], None]) -> dict[str, ColourBins]:
    """Return the colours of each file by its name without ending, or by its path where two clash.

    Raises:
        ArtworkError: a file cannot be used.
    """
    stems = [path.stem for path in paths]
    names = [
        stem if stems.count(stem) == 1 else str(path)
        for stem, path in zip(stems, paths, strict=True)
    ]
    requests = [Request(path) for path in paths]
    return dict(zip(names, study_all(requests, _colours_of, tick), strict=True))


def _colours_of(request: Request) -> ColourBins:
    return bins_of(open_artwork(request.path).pixels)
