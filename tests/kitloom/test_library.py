"""An audit of a library: nothing lost, nothing twice, whoever is killed; the same whoever works."""

from __future__ import annotations

import csv
import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from kitloom.library.audit import audit_tile, empty_row, unreadable_row
from kitloom.library.journal import Journal, JournalError
from kitloom.library.run import Task, audit
from kitloom.measure import Request
from tests.kitloom.deadly import broken_row, killing_work
from tests.kitloom.inside import called

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]


@pytest.fixture
def library(tmp_path: Path, dots: np.ndarray) -> Path:
    """Fifteen tiles: dots moved and recoloured, dots cropped, plain bands, one broken file."""
    folder = tmp_path / "library"
    folder.mkdir()
    for i in range(6):
        tile = np.roll(dots, 17 * i, axis=i % 2)
        Image.fromarray(np.roll(tile, i, axis=2)).save(folder / f"dots-{i}.png")
    for i in range(4):
        Image.fromarray(dots[:, : 200 - i]).save(folder / f"cropped-{i}.png")
    for i in range(4):
        bands = np.full((96, 96 * (i + 1), 3), 30 * i, np.uint8)
        bands[: 24 + 8 * i] = 250 - 20 * i
        Image.fromarray(bands).save(folder / f"bands-{i}.png")
    (folder / "broken.png").write_bytes(b"\x89PNG\r\n\x1a\n nothing")
    return folder


def run(*words: object) -> subprocess.CompletedProcess[str]:
    return called("check", *words)


def run_alone(
    *words: object, env: dict[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """Run an audit in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "kitloom", "check", *map(str, words)],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env=env,
    )


_AT_ROW = """
import os, signal, sys
from kitloom.cli import main
from kitloom.library.journal import Journal
add, rows = Journal.add, []
def noted(journal, row):
    add(journal, row)
    rows.append(row)
    if len(rows) == {row}:
        {deed}
Journal.add = noted
main()
"""


def run_until(row: int, deed: str, *words: object) -> int:
    """Run an audit that does a deed once that many rows are in its journal; return its status."""
    code = _AT_ROW.format(row=row, deed=deed)
    process = subprocess.Popen(
        [sys.executable, "-c", code, "check", *map(str, words)],
        stdout=subprocess.DEVNULL,
        start_new_session=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    return process.wait(timeout=300)


def test_a_damaged_file_of_a_folder_is_a_finding(library: Path) -> None:
    done = run(library, "--json")
    assert done.returncode == 1, done.stderr
    answer = json.loads(done.stdout)
    assert len(answer["tiles"]) == 14
    (bad,) = [one for one in answer["findings"] if one["code"] == "unreadable"]
    assert (bad["severity"], Path(bad["subject"]).name) == ("stop", "broken.png")


def test_a_damaged_file_that_was_named_is_an_error(library: Path) -> None:
    done = run(library / "broken.png")
    assert done.returncode == 2
    assert "broken.png" in done.stderr


@pytest.mark.slow
def test_exports_agree_and_do_not_depend_on_the_workers(library: Path, tmp_path: Path) -> None:
    words = ["--csv", "--jsonl", "--page"]
    for workers, seed in ((1, "1"), (2, "2")):
        outs = [tmp_path / f"{workers}.{word[2:]}" for word in words]
        pairs = [one for pair in zip(words, outs, strict=True) for one in pair]
        env = {**os.environ, "PYTHONHASHSEED": seed}
        assert run_alone(library, "--workers", workers, *pairs, env=env).returncode == 1
    for word in words:
        first, second = (tmp_path / f"{workers}.{word[2:]}" for workers in (1, 2))
        assert first.read_bytes() == second.read_bytes()
    with (tmp_path / "1.csv").open(newline="") as file:
        table = list(csv.DictReader(file))
    lines = [json.loads(line) for line in (tmp_path / "1.jsonl").read_text().splitlines()]
    assert [row["file"] for row in table] == [line["file"] for line in lines]
    assert [row["verdict"] for row in table] == [line["verdict"] for line in lines]
    assert {Path(row["file"]).name: row["verdict"] for row in table}["broken.png"] == "unreadable"
    page = (tmp_path / "1.page").read_text()
    shown = re.findall(r'<span class="tag (\w+)">', page)
    assert len(shown) == 15
    order = ["unreadable", "seam", "unsure", "seamless"]
    assert shown == sorted(shown, key=order.index)


def test_the_page_names_each_tile_once_and_the_folder_above_them(tmp_path: Path) -> None:
    folder = tmp_path / "spring & summer"
    (folder / "late").mkdir(parents=True)
    cut = np.zeros((96, 96, 3), np.uint8)
    cut[:, :30] = 200
    for name in ("pea-pods_blue.png", "late/pea <pods>.png"):
        Image.fromarray(cut).save(folder / name)
    out = tmp_path / "page.html"
    run(folder, folder / "late", "--page", out)
    page = out.read_text()
    assert "<h1>spring &amp; summer</h1>" in page
    assert page.count("summer") == 2  # in the heading and in the window's title
    assert "<h2>pea-<wbr>pods_<wbr>blue.png</h2>" in page
    assert "<small>late/</small>pea <wbr>&lt;pods&gt;.png</h2>" in page


def test_pixels_of_a_place_stay_together_on_the_page(tmp_path: Path, dots: np.ndarray) -> None:
    Image.fromarray(dots[:, :199]).save(tmp_path / "cropped.png")
    out = tmp_path / "page.html"
    run(tmp_path / "cropped.png", "--page", out)
    assert re.search(r"left and right: [a-z ]+, \d+\u2060–\u2060\d+\u00a0px", out.read_text())


def test_the_same_artwork_is_found_across_the_library(library: Path, tmp_path: Path) -> None:
    run(library, "--workers", "1", "--csv", tmp_path / "out.csv")
    with (tmp_path / "out.csv").open(newline="") as file:
        same = {
            Path(row["file"]).name: Path(row["same_artwork_as"]).name
            for row in csv.DictReader(file)
            if row["same_artwork_as"]
        }
    assert {f"dots-{i}.png" for i in range(1, 6)} <= same.keys()
    assert {same[f"dots-{i}.png"] for i in range(1, 6)} <= {"dots-0.png", "cropped-0.png"}
    assert not any(name.startswith("bands") and same[name].startswith("dots") for name in same)


def rows_of(journal: Path) -> list[dict[str, object]]:
    return [json.loads(line) for line in journal.read_text().splitlines()[1:]]


@pytest.mark.slow
def test_a_killed_audit_goes_on_and_a_changed_tile_is_done_again(
    library: Path, tmp_path: Path, dots: np.ndarray
) -> None:
    """The audit kills itself and its workers once six tiles are done."""
    journal, whole = tmp_path / "audit.jsonl", tmp_path / "whole.csv"
    words = [library, "--workers", "2", "--resume", journal]
    assert run_until(6, "os.killpg(0, signal.SIGKILL)", *words) == -signal.SIGKILL
    before = rows_of(journal)
    assert len(before) == 6
    with journal.open("ab") as file:
        file.write(b'{"file": "cut sho')  # as a kill in the middle of a line leaves it
    Image.fromarray(dots[:150]).save(library / "bands-0.png")  # changed while it was down
    assert run_alone(*words, "--csv", tmp_path / "resumed.csv").returncode == 1
    after = rows_of(journal)
    assert after[:6] == before
    seen = [row["file"] for row in after]
    twice = {file for file in seen if seen.count(file) > 1}
    assert twice <= {str(library / "bands-0.png")}
    assert len(set(seen)) == 15
    assert run(library, "--workers", "1", "--csv", whole).returncode == 1
    assert (tmp_path / "resumed.csv").read_bytes() == whole.read_bytes()


def test_a_foreign_or_busy_journal_is_refused(library: Path, tmp_path: Path) -> None:
    mine = tmp_path / "notes.txt"
    mine.write_text("my own notes\nand more\n")
    done = run(library, "--resume", mine)
    assert done.returncode == 2
    assert "is not the file of such a run" in done.stderr
    assert mine.read_text() == "my own notes\nand more\n"
    with (
        Journal(tmp_path / "one.jsonl", "check"),
        pytest.raises(JournalError, match="is in use"),
    ):
        Journal(tmp_path / "one.jsonl", "check")


@pytest.mark.parametrize("once", [4, 7])
def test_a_worker_that_dies_costs_nobody_their_result(once: int, tmp_path: Path) -> None:
    """The one that dies once may be in hand when another dies, and begun only when it is alone."""
    names = [f"tile {i}" for i in range(12)]
    names[3], names[once] = "deadly", "once"
    requests = [Request(tmp_path / "mark", subject=name) for name in names]
    rows: list[dict[str, str]] = []
    with Journal(None, "test") as journal:
        audit(requests, journal, rows.append, Task(killing_work, broken_row, ""), workers=2)
    assert sorted(row["file"] for row in rows) == sorted(
        "broken deadly" if n == "deadly" else n for n in names
    )


def test_a_row_says_why_a_file_was_refused(library: Path) -> None:
    row = audit_tile(Request(library / "broken.png", subject="broken"))
    assert row["tile"] is None
    assert row["sha256"]
    refused = unreadable_row(empty_row(Request(Path("x"))), "is gone", "")
    assert refused["findings"][0]["what"] == "The file is gone."


@contextmanager
def dask_of_two(folder: Path) -> Iterator[tuple[str, int]]:
    """Start a scheduler and two workers; give its address and the process of one of them."""
    told = folder / "scheduler.json"  # Dask writes it as a whole, and those who come early wait
    server = ["scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard"]
    worker = ["worker", "--nthreads", "1", "--no-nanny", "--no-dashboard"]
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    with ExitStack() as stack:
        started = []
        for words in (server, worker, worker):
            call = [sys.executable, "-m", f"distributed.cli.dask_{words[0]}", *words[1:]]
            process = subprocess.Popen(
                [*call, "--scheduler-file", str(told)], env=env, stderr=subprocess.DEVNULL
            )
            stack.callback(process.wait, timeout=300)
            stack.callback(process.kill)
            started.append(process)
        from distributed import Client

        with Client(scheduler_file=str(told), timeout=300) as client:
            client.wait_for_workers(2, timeout=300)
            address = client.scheduler.address
        yield address, started[1].pid


@pytest.mark.slow
def test_a_cluster_gives_the_same_and_survives_a_killed_worker(
    library: Path, tmp_path: Path, dots: np.ndarray
) -> None:
    """Dask's scheduler and two workers on loopback; one dies once the first batch is told."""
    for i in range(60):
        Image.fromarray(np.roll(dots, i, axis=0)).save(library / f"more-{i:02}.png")
    assert run(library, "--csv", tmp_path / "here.csv").returncode == 1
    journal = tmp_path / "audit.jsonl"
    with dask_of_two(tmp_path) as (address, victim):
        words = [library, "--cluster", address, "--resume", journal]
        words += ["--csv", tmp_path / "there.csv"]
        assert run_until(2, f"os.kill({victim}, signal.SIGKILL)", *words) == 1
    seen = [row["file"] for row in rows_of(journal)]
    assert len(seen) == len(set(seen)) == 75
    assert (tmp_path / "there.csv").read_bytes() == (tmp_path / "here.csv").read_bytes()


@pytest.mark.slow
def test_a_cluster_that_is_not_there_is_one_clear_line(library: Path) -> None:
    done = run(library, "--cluster", "nonsense://nowhere")
    assert done.returncode == 2
    assert "nonsense://nowhere" in done.stderr


def test_a_cluster_without_its_extra_is_one_clear_line(library: Path, tmp_path: Path) -> None:
    hidden = tmp_path / "hidden"
    hidden.mkdir()
    (hidden / "distributed.py").write_text("raise ImportError('not installed')\n")
    path = os.pathsep.join([str(hidden), str(ROOT)])
    env = {**os.environ, "PYTHONPATH": path}
    done = run_alone(library, "--cluster", "tcp://127.0.0.1:8786", env=env)
    assert done.returncode == 2
    assert done.stderr.splitlines()[-1].startswith("kitloom: --cluster: needs Dask")
    assert 'pip install "kitloom[cluster]"' in done.stderr
    assert run_alone(library / "bands-0.png", "--workers", "1", env=env).returncode in {0, 1}
