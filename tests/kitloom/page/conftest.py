"""A bench in a folder of its own, a client behind its door, a real browser and servers."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from importlib import import_module
from pathlib import Path
from threading import Timer
from typing import IO, Any, ClassVar, TypeVar

import numpy as np
import pytest
from PIL import Image, ImageDraw
from starlette.testclient import TestClient

from kitloom.jobs import Job, Runner
from kitloom.measure import TileStudy, study
from kitloom.page.edits import Incoming, keep_artwork, measure_artwork
from kitloom.page.server.app import Handlers, page_app
from kitloom.page.server.safety import Door
from kitloom.page.state import Bench
from kitloom.page.state.workspace import Workspace
from kitloom.page.work import batch

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
    "ezdxf",
    "fontTools.ttLib",
    "kit.cut.paths",
    "kit.render.flate",
    "kit.writers.layered_pdf",
    "kit.writers.pdf",
    "kit.writers.srgb",
    "kitloom.report.tile_parts",
    "lxml.etree",  # by pikepdf
    "palette.press.chart_press",
    "palette.press.icc",
    "patterns.motifs.repeat_choice",
    "patterns.mend.remedies.overlap",
    "patterns.seams.illustration",
    "pikepdf",
    "scipy.fft",
    "scipy.linalg",
    "scipy.ndimage",
    "scipy.optimize",
    "scipy.sparse.linalg",
    "scipy.spatial.distance",
    "sklearn.cluster",
)
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
)


class Here(Runner):
    """Does its jobs in this very process, and measures the same tile once.

    For tests about something else.
    """

    _studies: ClassVar[dict[tuple[bytes, str], TileStudy]] = {}

    def submit(
        self,
        work: Callable[[], T],
        label: str = "",
        *,
        seconds: float | None = None,
        attempts: int = 1,
        changed: Callable[[Job[T]], None] | None = None,
    ) -> Job[T]:
        del seconds, attempts
        return self.coordinate(lambda _: self._result(work), label, changed=changed)

    def _result(self, work: Any) -> Any:
        request = work.args[0] if isinstance(work, partial) and work.func is study else None
        if request is None or not request.path.is_file():
            return work()
        key = (request.path.read_bytes(), request.lattice)
        if key not in self._studies:
            self._studies[key] = work()
        known = self._studies[key]
        artwork = replace(known.artwork, path=request.path)
        return replace(known, subject=request.subject or str(request.path), artwork=artwork)


class Lent(Runner):
    """Does its jobs in the workers of another runner, which outlive it."""

    def __init__(self, owner: Runner) -> None:
        super().__init__(1)
        self._owner = owner

    def submit(self, *args: Any, **options: Any) -> Job[Any]:
        return self._owner.submit(*args, **options)


def take_artwork(bench: Bench, file: Incoming) -> str:
    """Take a dropped tile in, and return what it is called there."""
    return keep_artwork(bench, file, measure_artwork(bench, file))


def draw(bench: Bench) -> None:
    """Have the sheet drawn as it is, and wait for it."""
    bench.draw().result(HANGS_SECONDS)


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


def lines_file(path: Path, line: str = "#3b5b7a") -> Path:
    """Write stripes of which one lies on the join: a fault or the design, only a person knows."""
    lines = Image.new("RGB", (240, 240), "#f4eedc")
    pen = ImageDraw.Draw(lines)
    for x in range(0, 240, 40):
        pen.line((x, 0, x, 239), fill=line, width=3)
    path.parent.mkdir(parents=True, exist_ok=True)
    lines.save(path)
    return path


def neon_tile(path: Path) -> Path:
    """Write a small tile that joins up and prints duller than it looks."""
    with Image.open(ROOT / "samples" / "allotment" / "faulty" / "neon.png") as image:
        image.resize((160, 160)).save(path)
    return path


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    made = Bench(Workspace(tmp_path / "work"), Here())
    yield made
    assert made.close(HANGS_SECONDS)


@pytest.fixture(scope="session", autouse=True)
def all_is_imported() -> None:
    """Import now what a bench imports late.

    Its threads would do so while pytest rewrites and compiles modules in this one, and each can
    then find what the other has half done.
    """
    Image.init()
    for name in LATE:
        import_module(name)


@pytest.fixture(scope="session", autouse=True)
def own_settings(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Have what is saved for all kits lie in a folder of the tests' own."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("settings")))
        yield


@pytest.fixture
def door() -> Door:
    return Door.at({"127.0.0.1", "localhost"}, 8765)


@pytest.fixture
def client(bench: Bench, door: Door, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    """A client that has come in through the one-time address, as the page's own tab.

    What takes long is answered once it is done, however slow the machine.
    """
    monkeypatch.setattr(batch, "GRACE_SECONDS", HANGS_SECONDS)
    with entered(bench, door) as made:
        yield made


@contextmanager
def entered(bench: Bench, door: Door) -> Iterator[TestClient]:
    """A client that has come in through the one-time address."""
    app = page_app(Handlers(bench), door)
    with TestClient(
        app, base_url=ORIGIN, headers={"origin": ORIGIN}, follow_redirects=False
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

    def __init__(
        self, folder: Path, errors: IO[str] | None = None, settings: Path | None = None
    ) -> None:
        self.folder, self.errors = folder, errors
        self.settings = settings or Path(os.environ["XDG_CONFIG_HOME"])
        self.start()

    def start(self) -> None:
        first = ["-c", AS_IN_A_TERMINAL] if os.name == "posix" else []
        command = ["-m", "kitloom", "serve", str(self.folder), "--no-browser"]
        self.process = subprocess.Popen(
            [sys.executable, *first, *command],
            cwd=ROOT,
            env={
                **os.environ,
                "PYTHONPATH": str(ROOT),
                "PYTHONUNBUFFERED": "1",
                "XDG_CONFIG_HOME": str(self.settings),
            },
            stdout=subprocess.PIPE,
            stderr=self.errors,
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


@pytest.fixture(scope="session")
def workers() -> Iterator[Runner]:
    """Workers for all tests that need some."""
    with Runner(1, loads=("kitloom.measure",)) as made:
        made.start()
        yield made


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
            and page.locator("#arriving li:not(.bad, .noted)").count() == 0
        )
    )


def answered(page: Any) -> None:
    """Wait until the answer to every edit is in and shown."""
    until(lambda: page.locator("body.sending").count() == 0)


def drawn(page: Any, served: Served, step: str) -> None:
    """Open a step once all edits are answered, and wait for its sheet."""
    answered(page)  # an edit that is on its way is lost with the page that sent it
    page.goto(f"{served.origin}/step/{step}")
    until(lambda: page.inner_text("#part-status") == "The sheet is drawn.")


def place_of(tab: Any, selector: str) -> dict[str, float]:
    """Where the first such element is shown, once it is."""
    boxes: list[Any] = [None]

    def shown() -> bool:  # a part that is swapped for a newer one is nowhere for a moment
        boxes.append(tab.locator(selector).first.bounding_box())
        return boxes[-1] is not None

    until(shown)
    return dict(boxes[-1])


def command_makes(recipe: Path, out: Path) -> dict[str, bytes]:
    command = [sys.executable, "-m", "kitloom", "make", str(recipe), "--out", str(out), "--json"]
    subprocess.run(command, cwd=ROOT, capture_output=True, check=False)
    return {path.name: path.read_bytes() for path in out.iterdir()}
