"""The maker's folder outlives a process killed at any moment: all that was answered is there.

A process drops tiles and makes edits as fast as it can and says after each that it is done; it is
killed (SIGKILL, which cannot be caught) at a random moment, and the folder is opened again.
"""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from kitloom.page.state import Bench
from kitloom.page.state.workspace import Workspace

from .conftest import ROOT, Here

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        not hasattr(signal, "SIGKILL"),
        reason="processes are killed by signals only on POSIX systems",
    ),
]
KILLS = int(os.environ.get("KITLOOM_KILLS", "4"))

WORKER = """
import json, sys
from pathlib import Path
from kitloom.page.state.bench import Bench
from kitloom.page.edits.table import apply
from kitloom.page.edits.forms import Form
from kitloom.page.edits.intake import Incoming
from kitloom.page.state.workspace import Workspace
from tests.kitloom.page.conftest import Here, take_artwork, tile_file

folder, round = Path(sys.argv[1]), int(sys.argv[2])
bench = Bench(Workspace(folder), Here())
content = tile_file(folder.parent / "art" / "tile.png", round, 64).read_bytes()
print(json.dumps(["ready"]), flush=True)
step = 0
while True:
    step += 1
    if step % 6 == 1 and len(list(bench.workspace.artwork.iterdir())) < 50:
        name = take_artwork(bench, Incoming(f"t{round}.png", content))
        print(json.dumps(["tile", name]), flush=True)
    elif step % 6 == 4:
        bench.undo(); bench.redo()
    wide = 30 + step % 20
    apply(bench, "box", Form({"box-wide": str(wide), "box-high": "52"}))
    print(json.dumps(["box", wide]), flush=True)
"""


@pytest.mark.parametrize("number", range(KILLS))
def test_all_that_was_answered_is_there_again(tmp_path: Path, number: int) -> None:
    chance = random.Random(number)
    folder = tmp_path / "kit"
    for life in range(2):  # the second one works on in what the first one left
        answers, more = chance.randrange(60), chance.uniform(0.0, 0.03)
        said = lived_and_killed(folder, 2 * number + life, answers, more)
        with closing(Bench(Workspace(folder), Here())) as bench:
            if said:
                as_it_was_answered(bench, said)


def as_it_was_answered(bench: Bench, said: list[list[object]]) -> None:
    recipe = bench.recipe()
    assert recipe is not None
    assert bench.fault() is None
    boxes = [value for what, value in said if what == "box"]
    if boxes:  # the answered edit, or what was under way: the next one, or undo before redo
        last = boxes[-1]
        assert recipe.planner.box[0] in {last, 30 + (last - 29) % 20, 30 + (last - 31) % 20}
    labels = {part.label for part in recipe.patterns}
    assert labels >= {value for what, value in said if what == "tile"}
    for part in recipe.patterns:
        assert (recipe.folder / part.file).stat().st_size > 0
    steps = [bench.workspace.step(bench.workspace.position - back) for back in (0, 1)]
    assert steps[0] is not None
    assert steps[0].text == bench.workspace.text()
    assert steps[1] is not None  # undo goes on across the kill
    before = bench.workspace.text()
    bench.undo()
    bench.redo()
    assert bench.workspace.text() == before


def lived_and_killed(folder: Path, number: int, answers: int, more: float) -> list[list[object]]:
    """Let a process work, kill it so long after so many answers, and return what it answered."""
    process = subprocess.Popen(
        [sys.executable, "-c", WORKER, str(folder), str(number)],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    lines = [process.stdout.readline() for _ in range(1 + answers)]
    assert json.loads(lines.pop(0)) == ["ready"]
    time.sleep(more)  # to be anywhere in its work; nothing is expected to have happened by then
    process.kill()
    lines += process.stdout.read().splitlines(keepends=True)
    process.stdout.close()
    process.wait()
    return [json.loads(line) for line in lines if line.endswith("\n")]
