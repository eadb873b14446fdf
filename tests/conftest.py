"""Every test runs in a plain environment: no colour, no terminal width, no user settings."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

# As the command does, before numpy is loaded: OpenBLAS's threads turn in circles while they wait,
# and those of one test process take the cores from the other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
import pytest
from hypothesis import HealthCheck, settings
from numpy.typing import NDArray

# the same cases in every run, and no verdict by the clock
settings.register_profile(
    "kitloom",
    derandomize=True,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("kitloom")


@pytest.fixture(autouse=True)
def plain_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("COLUMNS", "FORCE_COLOR", "CLICOLOR_FORCE", "TTY_COMPATIBLE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("NO_COLOR", "1")


@pytest.fixture
def dots() -> NDArray[np.uint8]:
    """A seamless 240 px tile: two colours of discs on a plain ground, anti-aliased."""
    return dot_tile(240)


def dot_tile(size: int) -> NDArray[np.uint8]:
    big = size * 4
    y, x = np.mgrid[0:big, 0:big] / 4.0 + 0.125
    tile = np.empty((big, big, 3))
    tile[:] = (244, 238, 220)
    for cx, cy, radius, colour in (
        (0.1, 0.1, 0.12, (59, 91, 122)),
        (0.6, 0.35, 0.15, (196, 84, 60)),
        (0.3, 0.75, 0.1, (59, 91, 122)),
        (0.95, 0.7, 0.08, (106, 138, 74)),
    ):
        dx = (x - cx * size + size / 2) % size - size / 2
        dy = (y - cy * size + size / 2) % size - size / 2
        tile[np.hypot(dx, dy) < radius * size] = colour
    small = tile.reshape(size, 4, size, 4, 3).mean(axis=(1, 3))
    return np.rint(small).astype(np.uint8)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Callable[[int], Path]]:
    """Mount file systems of a size; needs root and mount, as in CI."""
    mounted = []

    def mount(kilobytes: int) -> Path:
        place = tmp_path / f"disk-{kilobytes}"
        place.mkdir()
        words = ["mount", "-t", "tmpfs", "-o", f"size={kilobytes}k", "tmpfs", str(place)]
        try:
            done = subprocess.run(words, capture_output=True, check=False)
        except FileNotFoundError:
            pytest.skip("this system has no mount")
        if done.returncode:
            pytest.skip("a file system cannot be mounted here")
        mounted.append(place)
        return place

    yield mount
    for place in mounted:
        subprocess.run(["umount", str(place)], check=True)
