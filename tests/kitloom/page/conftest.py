"""A bench in a folder of its own, a client behind its door, a real browser and servers."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from threading import Timer
from threading import enumerate as enumerate_threads
from typing import Any, ClassVar, TypeVar

import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient

from kitloom.colours import read_palette_file, worn_colours
from kitloom.make import early
from kitloom.measure import Request, TileStudy, study
from kitloom.page.server.app import page_app
from kitloom.page.server.safety import Door
from kitloom.page.server.serving import WORKING
from kitloom.page.state import Bench
from kitloom.page.state.aside import Aside
from kitloom.page.state.shelter import Shelter
from kitloom.page.state.workspace import Workspace
from kitloom.page.work import chores

from .processes import of_session
from .waiting import HANGS_SECONDS, until

T = TypeVar("T")
ROOT = Path(__file__).parents[3]
ORIGIN = "http://127.0.0.1:8765"
LATE = (  # what functions of the four packages import when they are called
    "PIL.ImageChops",
    "PIL.ImageCms",
    "PIL.ImageDraw",
    "PIL.ImageFilter",
    "PIL.ImageFont",
    "PIL.ImageOps",
    "encodings.utf_8_sig",
    "fontTools.ttLib",
    "kit.cut.paths",
    "kit.render.flate",
    "kit.writers.layered_pdf",
    "kit.writers.pdf",
    "kit.writers.srgb",
    "kitloom.report.tile_parts",
    "lxml.etree",  # by pikepdf
    "palette.press.chart",
    "palette.press.icc",
    "patterns.motifs.scale",
    "patterns.mend.remedies.overlap",
    "patterns.seams.picture",
    "scipy.fft",
    "scipy.linalg",
    "scipy.optimize",
    "scipy.sparse.linalg",
    "scipy.spatial.distance",
)
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
)


class Unsheltered:
    """Studies in this very process, and the same tile once: for tests about something else."""

    _studies: ClassVar[dict[tuple[bytes, str], TileStudy]] = {}

    def study(self, request: Request) -> TileStudy:
        if not request.path.is_file():
            return study(request)  # which says so
        key = (request.path.read_bytes(), request.lattice)
        if key not in self._studies:
            self._studies[key] = study(request)
        found = self._studies[key]
        artwork = replace(found.artwork, path=request.path)
        return replace(found, subject=request.subject or str(request.path), artwork=artwork)

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


def cropped_tile(path: Path) -> Path:
    """Write a small tile with a seam: waves cut short on one side."""
    with Image.open(tile_file(path, 1, 200)) as image:
        image.crop((0, 0, 185, 200)).save(path)
    return path


def neon_tile(path: Path) -> Path:
    """Write a small tile that joins up and prints duller than it looks."""
    with Image.open(ROOT / "samples" / "allotment" / "faulty" / "neon.png") as image:
        image.resize((160, 160)).save(path)
    return path


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    made = Bench(Workspace(tmp_path / "work"), Unsheltered(), Beside())  # type: ignore[arg-type]
    yield made
    made.close()


@pytest.fixture(autouse=True)
def nothing_goes_on() -> Iterator[None]:
    """Wait for what a bench has begun: nothing draws or makes behind the next test."""
    yield
    for thread in enumerate_threads():
        if thread.name in {*WORKING, "chore"}:
            thread.join(HANGS_SECONDS)
            assert not thread.is_alive(), thread.name


@pytest.fixture(scope="session", autouse=True)
def all_is_imported() -> None:
    """Import now what a bench imports late.

    Its threads would do so while pytest rewrites and compiles modules in this one, and each can
    then find what the other has half done.
    """
    early._load()
    Image.init()
    for name in LATE:
        import_module(name)


@pytest.fixture
def door() -> Door:
    return Door.at({"127.0.0.1", "localhost"}, 8765)


@pytest.fixture
def client(bench: Bench, door: Door, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    """A client that has come in through the one-time address, as the page's own tab.

    What takes long is answered once it is done, however slow the machine.
    """
    monkeypatch.setattr(chores, "GRACE_SECONDS", HANGS_SECONDS)
    with TestClient(
        page_app(bench, door), base_url=ORIGIN, headers={"origin": ORIGIN}, follow_redirects=False
    ) as made:
        assert made.get("/enter", params={"key": door.key}).status_code == 200
        yield made


# A background shell has its children ignore Ctrl-C, and nohup the terminal's end; a maker's own
# terminal does neither. What is started in the end is the command itself, in the same process.
AS_IN_A_TERMINAL = """
import os, signal, sys
for name in ("SIGINT", "SIGHUP", "SIGTERM"):
    signal.signal(getattr(signal, name), signal.SIG_DFL)
os.execv(sys.executable, [sys.executable, *sys.argv[1:]])
"""


class Served:
    """A page served by the command itself, in a process and a session of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.start()

    def start(self) -> None:
        first = ["-c", AS_IN_A_TERMINAL] if os.name == "posix" else []
        command = ["-m", "kitloom", "serve", str(self.folder), "--no-browser"]
        self.process = subprocess.Popen(
            [sys.executable, *first, *command],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUNBUFFERED": "1"},
            stdout=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )
        hangs = Timer(HANGS_SECONDS, self.process.kill)
        hangs.start()
        assert self.process.stdout is not None
        said = iter(self.process.stdout.readline, "")
        way_in = next((line for line in said if "/enter?key=" in line), None)
        hangs.cancel()
        assert way_in is not None, "the server never said where it is"
        self.url = way_in.split("Open: ")[1].strip()
        self.origin = self.url.split("/enter")[0]

    def below(self) -> set[int]:
        """The processes that it has started."""
        return of_session(self.process.pid)

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
            self.process.wait(HANGS_SECONDS)
        finally:
            self.kill()


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
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
def tab(chromium: Any, served: Served) -> Iterator[Any]:
    """A tab on a fresh bench; anything the browser complains about fails the test."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
    page = context.new_page()
    page.set_default_timeout(HANGS_SECONDS * 1000)
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
    until(
        lambda: (
            page.locator(".card .mark").count() == expected
            and page.locator("#arriving li:not(.bad)").count() == 0
        )
    )


def drawn(page: Any, served: Served, step: str) -> None:
    page.goto(f"{served.origin}/step/{step}")
    until(lambda: page.inner_text("#part-status") == "The sheet is drawn.")


def command_makes(recipe: Path, out: Path) -> dict[str, bytes]:
    command = [sys.executable, "-m", "kitloom", "make", str(recipe), "--out", str(out), "--json"]
    subprocess.run(command, cwd=ROOT, capture_output=True, check=False)
    return {path.name: path.read_bytes() for path in out.iterdir()}
