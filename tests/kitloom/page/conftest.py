"""A bench in a folder of its own, a client behind its door, a real browser and servers."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Thread
from typing import Any, TypeVar

import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient

from kitloom.page.app import page_app
from kitloom.page.aside import Aside
from kitloom.page.bench import Bench
from kitloom.page.safety import Door
from kitloom.page.serve import LOOPBACK, listening, server_of
from kitloom.page.shelter import Shelter
from kitloom.page.workspace import Workspace
from kitloom.palette_files import read_palette_file, worn_colours
from kitloom.studies import Request, TileStudy, study

T = TypeVar("T")
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

    def check_palette(self, path: Path) -> None:
        worn_colours(read_palette_file(path), where=path.name)

    def close(self) -> None:
        """Nothing to end."""


class Beside(Aside):
    """Makes tries in this very process: for tests that are about something else."""

    def run(self, number: int, work: Callable[[], T]) -> T:
        del number
        return work()


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
    made = Bench(Workspace(tmp_path / "work"), Unsheltered(), Beside())  # type: ignore[arg-type]
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
def killable(tmp_path: Path) -> Iterator[Served]:
    made = Served(tmp_path / "My kit")
    yield made
    made.stop()


class Lent(Shelter):
    """The processes that measure, started once for all tests; no bench ends them."""

    def close(self) -> None:
        """Leave them to the next test."""


@pytest.fixture(scope="session")
def shelter() -> Iterator[Lent]:
    made = Lent()
    made.warm()
    yield made
    Shelter.close(made)


class Near:
    """A page served as the command serves it, by a thread of this process: starts at once."""

    def __init__(self, folder: Path, shelter: Shelter, aside: Aside) -> None:
        self.folder = folder
        self.bench = Bench(Workspace(folder), shelter, aside)
        self._socket = listening("127.0.0.1", 0)
        port = self._socket.getsockname()[1]
        door = Door.at(LOOPBACK, port)
        self.origin = f"http://127.0.0.1:{port}"
        self.url = f"{self.origin}/enter?key={door.key}"
        self._server = server_of(page_app(self.bench, door))
        self._thread = Thread(target=self._server.run, kwargs={"sockets": [self._socket]})
        self.bench.start()
        self._thread.start()

    def stop(self) -> None:
        self._server.should_exit = self._server.force_exit = True
        self._thread.join(30)
        self._socket.close()
        self.bench.close()


@pytest.fixture
def served(tmp_path: Path, shelter: Lent, aside: LentAside) -> Iterator[Near]:
    made = Near(tmp_path / "My kit", shelter, aside)
    yield made
    made.stop()


class LentAside(Aside):
    """The processes that make tries, started once for all tests; no bench ends them."""

    def close(self) -> None:
        """Leave them to the next test."""


@pytest.fixture(scope="session")
def aside() -> Iterator[LentAside]:
    made = LentAside()
    yield made
    Aside.close(made)


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


@pytest.fixture
def tab(chromium: Any, served: Near) -> Iterator[Any]:
    """A tab on a fresh bench."""
    yield from opened(chromium, served)


@pytest.fixture
def tab_on_killable(chromium: Any, killable: Served) -> Iterator[Any]:
    """A tab on a bench whose server is a process of its own."""
    yield from opened(chromium, killable)


def opened(chromium: Any, served: Near | Served) -> Iterator[Any]:
    """Open a tab; anything the browser complains about fails the test."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
    page = context.new_page()
    page.set_default_timeout(60_000)
    complaints: list[str] = []
    page.complaints = complaints
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda m: complaints.append(m.text) if m.type == "error" else None)
    page.on("request", lambda r: complaints.append(r.url) if served.origin not in r.url else None)
    page.goto(served.url)
    page.wait_for_url("**/step/*")
    yield page
    context.close()
    assert [one for one in complaints if "422" not in one] == []


def drop(page: Any, paths: list[Path], expected: int) -> None:
    page.set_input_files("#files", [str(path) for path in paths])
    until(lambda: page.locator(".card .mark").count() == expected)


def until(true: Callable[[], bool], seconds: float = 120.0) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it never came about"
        time.sleep(0.05)


def drawn(page: Any, served: Near | Served, step: str) -> None:
    page.goto(f"{served.origin}/step/{step}")
    until(lambda: page.inner_text("#part-status") == "The sheet is drawn.")


def command_makes(recipe: Path, out: Path) -> dict[str, bytes]:
    command = [sys.executable, "-m", "kitloom", "make", str(recipe), "--out", str(out), "--json"]
    subprocess.run(command, cwd=ROOT, capture_output=True, check=False)
    return {path.name: path.read_bytes() for path in out.iterdir()}
