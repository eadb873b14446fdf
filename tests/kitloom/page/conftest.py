"""A bench in a folder of its own, a client behind its door, a real browser and server."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient

from kitloom.page.app import page_app
from kitloom.page.bench import Bench
from kitloom.page.safety import Door
from kitloom.page.workspace import Workspace
from kitloom.studies import Request, TileStudy, study

ROOT = Path(__file__).parents[3]
ORIGIN = "http://127.0.0.1:8765"
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
)


class Unsheltered:
    """Studies in this very process: for tests that are about something else."""

    def study(self, request: Request) -> TileStudy:
        return study(request)

    def close(self) -> None:
        """Nothing to end."""


def tile_file(path: Path, seed: int = 1, size: int = 120) -> Path:
    """Write a small tile that joins up: waves of whole periods in a few colours."""
    y, x = np.mgrid[0:size, 0:size] / size * 2 * np.pi
    waves = np.sin((1 + seed % 3) * x + seed) + np.sin((2 + seed % 2) * y - seed)
    inks = np.array([[243, 233, 214], [15, 92, 92], [201, 92, 60], [88, 110, 70]], np.uint8)
    bands = np.digitize(waves, [-0.6, 0.3, 1.1])
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.fromarray(np.roll(inks, seed, axis=0)[bands]).save(path)
    return path


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    made = Bench(Workspace(tmp_path / "work"), Unsheltered())  # type: ignore[arg-type]
    yield made
    made.close()


@pytest.fixture
def door() -> Door:
    return Door.at({"127.0.0.1", "localhost"}, 8765)


@pytest.fixture
def client(bench: Bench, door: Door) -> Iterator[TestClient]:
    """A client that has come in through the one-time address, as the page's own tab."""
    with TestClient(
        page_app(bench, door), base_url=ORIGIN, headers={"origin": ORIGIN}, follow_redirects=False
    ) as made:
        assert made.get("/enter", params={"key": door.key}).status_code == 200
        yield made


class Served:
    """A page served by the command itself, in a process of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.start()

    def start(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "kitloom", "serve", str(self.folder), "--no-browser"],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUNBUFFERED": "1"},
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self.process.stdout is not None
        lines = iter(self.process.stdout.readline, "")
        self.url = next(line for line in lines if "/enter?key=" in line).split("Open: ")[1].strip()
        self.origin = self.url.split("/enter")[0]

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()
        self._close()

    def _close(self) -> None:
        assert self.process.stdout is not None
        self.process.stdout.close()

    def stop(self) -> None:
        self.process.terminate()
        try:
            self.process.wait(10)
            self._close()
        except subprocess.TimeoutExpired:
            self.kill()


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    made = Served(tmp_path / "My kit")
    yield made
    made.stop()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """Debian's Chromium through Playwright; CI must have it, elsewhere it is skipped visibly."""
    binary = shutil.which("chromium") or shutil.which("chromium-browser")
    if binary is None:
        if os.environ.get("CI") == "true":
            pytest.fail("CI has no chromium: apt-get install chromium")
        pytest.skip("no chromium on this machine: apt-get install chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=binary, args=list(FLAGS))
        yield browser
        browser.close()
