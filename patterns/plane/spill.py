"""Many large tiles, and little memory: pixels that lie on disk between two uses.

``spilled`` returns the same pixels as an array over an unnamed temporary file; it reads as any
array does. After ``let_go`` its pages no longer count as this process's memory and are read back
when they are touched, mostly from the system's own cache. The file has no name, so nothing is left
behind even by a killed run. Where the disk refuses, the pixels simply stay in memory.
"""

from __future__ import annotations

import math
import mmap
import tempfile
from pathlib import Path
from typing import IO

import numpy as np

from palette.arrays import Pixels

LEAST_BYTES = 2 * 1024 * 1024
_DISK = "/var/tmp"  # noqa: S108  on disk where /tmp may be memory; the file never has a name there


def spilled(pixels: Pixels) -> Pixels:
    """Return equal pixels that lie in a temporary file, read-only; small tiles as they are."""
    file = spill_file(pixels)
    if file is None:
        return pixels
    try:
        with file:
            return mapped(file.fileno(), pixels.shape)
    except OSError:
        return pixels


def spill_file(pixels: Pixels) -> IO[bytes] | None:
    """Return an unnamed file of pixels, to be closed; None for small tiles or where none can be."""
    if pixels.nbytes < LEAST_BYTES or not hasattr(mmap, "MADV_DONTNEED"):
        return None
    try:
        file = tempfile.TemporaryFile(dir=spill_folder(), buffering=0)  # noqa: SIM115  for the caller
    except OSError:
        return None
    try:
        if file.write(np.ascontiguousarray(pixels).data) == pixels.nbytes:
            return file
    except OSError:
        pass
    file.close()
    return None


def spill_folder() -> str | None:
    """Return where unnamed files are to lie; None for wherever the system puts them."""
    return _DISK if Path(_DISK).is_dir() else None


def mapped(handle: int, shape: tuple[int, ...]) -> Pixels:
    """Return the pixels of such a file by its handle, which may be closed then.

    Raises:
        OSError: the system refuses.
    """
    whole = mmap.mmap(handle, math.prod(shape), access=mmap.ACCESS_READ)
    return np.frombuffer(whole, dtype=np.uint8).reshape(shape)


def let_go(pixels: Pixels) -> None:
    """Give back the memory of spilled pixels until they are touched again; others are kept."""
    base: object = pixels
    while isinstance(base, np.ndarray):
        base = base.base
    if isinstance(base, memoryview):
        base = base.obj
    if isinstance(base, mmap.mmap):
        base.madvise(mmap.MADV_DONTNEED)
