"""Many large tiles, and little memory: pixels that lie on disk between two uses.

``spill_to_disk`` returns the same pixels as an array over a temporary file; it reads as any array
does, and the system takes its memory back where it is short of it, on every system that Python runs
on. ``release_memory`` gives it back at once where the system can be told so. The file goes with the
last array over it, so nothing is left behind. It lies where Python puts temporary files: where that
is memory, ``TMPDIR`` names a place on disk. Where the disk refuses, the pixels simply stay in
memory.
"""

from __future__ import annotations

import mmap
import tempfile

import numpy as np

from palette.arrays import Pixels

LEAST_BYTES = 2 * 1024 * 1024


def spill_to_disk(pixels: Pixels) -> Pixels:
    """Return equal pixels that lie in a temporary file, read-only; small tiles as they are."""
    if pixels.nbytes < LEAST_BYTES:
        return pixels
    try:
        with tempfile.TemporaryFile() as file:
            file.write(np.ascontiguousarray(pixels).data)
            file.flush()
            return np.memmap(file, dtype=np.uint8, mode="r", shape=pixels.shape).view(np.ndarray)
    except OSError:
        return pixels


def release_memory(pixels: Pixels) -> None:
    """Give back the memory of pixels on disk until they are touched again; others are kept."""
    base: object = pixels
    while isinstance(base, np.ndarray):
        base = base.base
    if isinstance(base, mmap.mmap) and hasattr(base, "madvise"):
        base.madvise(mmap.MADV_DONTNEED)
