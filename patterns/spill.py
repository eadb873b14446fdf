"""Many large tiles, and little memory: pixels that lie on disk between two uses.

``spilled`` returns the same pixels as an array over an unnamed temporary file; it reads as any
array does. After ``let_go`` its pages no longer count as this process's memory and are read back
when they are touched, mostly from the system's own cache. The file has no name, so nothing is left
behind even by a killed run. Where the disk refuses, the pixels simply stay in memory.
"""

from __future__ import annotations

import mmap
import tempfile
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]

LEAST_BYTES = 2 * 1024 * 1024
_DISK = "/var/tmp"  # noqa: S108  on disk where /tmp may be memory; the file never has a name there


def spilled(pixels: Pixels) -> Pixels:
    """Return equal pixels that lie in a temporary file, read-only; small tiles as they are."""
    if pixels.nbytes < LEAST_BYTES or not hasattr(mmap, "MADV_DONTNEED"):
        return pixels
    try:
        with tempfile.TemporaryFile(dir=_DISK if Path(_DISK).is_dir() else None) as file:
            file.write(np.ascontiguousarray(pixels).data)
            file.flush()
            mapped = mmap.mmap(file.fileno(), pixels.nbytes, access=mmap.ACCESS_READ)
    except OSError:
        return pixels
    return np.frombuffer(mapped, dtype=np.uint8).reshape(pixels.shape)


def let_go(pixels: Pixels) -> None:
    """Give back the memory of spilled pixels until they are touched again; others are kept."""
    base: object = pixels
    while isinstance(base, np.ndarray):
        base = base.base
    if isinstance(base, memoryview):
        base = base.obj
    if isinstance(base, mmap.mmap):
        base.madvise(mmap.MADV_DONTNEED)
