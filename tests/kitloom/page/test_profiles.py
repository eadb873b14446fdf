"""A printer's own profile at the page: a good one is judged by, every other one is refused.

The good one is FOGRA39L_coated.icc of tests/standards/data; what is wrong with the others is said
by ICC.1:2022, section 7.2 (header) and 7.3 (tag table).
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import ImageCms
from starlette.testclient import TestClient

from kitloom.jobs import Runner
from kitloom.page.server.safety import Door
from kitloom.page.state import Bench, with_value
from kitloom.page.state.workspace import Workspace
from palette.chart import chart_colours, grey_ramp
from palette.press import ChartRecord, fit_chart, to_toml
from palette.space import srgb_to_lab

from .conftest import ROOT, Lent, draw, entered, tile_file

pytestmark = pytest.mark.slow

GOOD = (ROOT / "tests" / "standards" / "data" / "FOGRA39L_coated.icc").read_bytes()
SCREEN = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
BAD = {
    "a screen's": SCREEN,
    "a scanner's": GOOD[:12] + b"scnr" + GOOD[16:],
    "cut short": GOOD[:60_000],
    "of a billion tags": GOOD[:128] + struct.pack(">I", 1_000_000_000) + GOOD[132:],
    "of tags beyond its end": GOOD[:136] + struct.pack(">I", 2**31) + GOOD[140:],
    "an image": b"\x89PNG\r\n\x1a\n" + bytes(500),
    "empty": b"",
    "too large": GOOD + bytes(17 * 2**20),
}


@pytest.fixture
def bench(tmp_path: Path, workers: Runner) -> Iterator[Bench]:
    made = Bench(Workspace(tmp_path / "work"), Lent(workers))
    yield made
    made.close()


@pytest.fixture
def behind(bench: Bench, door: Door, tmp_path: Path) -> Iterator[TestClient]:
    with entered(bench, door) as made:
        content = tile_file(tmp_path / "pods.png").read_bytes()
        assert made.post("/upload", files={"files": ("pods.png", content)}).status_code == 303
        yield made


def give(client: TestClient, name: str, content: bytes) -> tuple[int, str]:
    answer = client.post("/upload", files={"files": (name, content)}, data={"back": "/step/print"})
    return answer.status_code, answer.text


def test_a_printers_profile_is_kept_and_judged_by(behind: TestClient, bench: Bench) -> None:
    assert give(behind, "../my inkjet.icc", GOOD)[0] == 303
    assert 'profile = "profiles/my inkjet.icc"' in bench.workspace.text()
    draw(bench)
    page = behind.get("/step/print").text
    assert "my inkjet.icc" in page
    printed = behind.get("/picture/printed", params={"tile": "pods"})
    assert printed.headers["content-type"] == "image/jpeg"
    behind.post("/edit/surface", data={"surface": "matt", "back": "/step/print"})
    assert "profile =" not in bench.workspace.text().replace("# profile =", "")
    draw(bench)
    built_in = behind.get("/picture/printed", params={"tile": "pods"})
    assert built_in.content != printed.content
    behind.post("/edit/undo", data={})
    assert 'profile = "profiles/my inkjet.icc"' in bench.workspace.text()


@pytest.mark.parametrize("kind", BAD)
def test_any_other_file_is_refused_and_changes_nothing(
    behind: TestClient, bench: Bench, kind: str
) -> None:
    before = bench.workspace.text()
    status, text = give(behind, "mine.icc", BAD[kind])
    assert status == 422
    assert 'class="said stop"' in text
    assert bench.workspace.text() == before
    assert not (bench.workspace.folder / "profiles").exists()
    assert not any(bench.workspace.incoming.glob("*"))
    assert behind.get("/step/print").status_code == 200


def test_a_chart_in_the_recipe_is_what_the_page_judges_by(behind: TestClient, bench: Bench) -> None:
    """It wins over profile and surface, as in ``kitloom make``; either of them sets it aside."""
    draw(bench)
    built_in = behind.get("/picture/printed", params={"tile": "pods"})
    (bench.workspace.folder / "mine.toml").write_bytes(to_toml(dull_printer()))
    bench.edit("a chart", lambda text: with_value(text, "press", "chart", "mine.toml"))
    draw(bench)
    assert "your printer, measured: mine.toml" in behind.get("/step/print").text
    measured = behind.get("/picture/printed", params={"tile": "pods"})
    assert measured.headers["content-type"] == "image/jpeg"
    assert measured.content != built_in.content
    behind.post("/edit/surface", data={"surface": "matt", "back": "/step/print"})
    assert "chart =" not in bench.workspace.text()
    behind.post("/edit/undo", data={})
    assert give(behind, "inkjet.icc", GOOD)[0] == 303
    assert "chart =" not in bench.workspace.text()
    assert "profiles/inkjet.icc" in bench.workspace.text()


def dull_printer() -> ChartRecord:
    """A chart read from a press that prints everything at 0.6 of its chroma."""
    rgb = np.concatenate([grey_ramp(), chart_colours()])
    lab = srgb_to_lab(rgb / 255.0) * (1.0, 0.6, 0.6)
    fit = fit_chart(rgb, lab)
    return ChartRecord("0a1b2c", "scan", rgb, lab, fit.choice, fit.error, 2.0)
