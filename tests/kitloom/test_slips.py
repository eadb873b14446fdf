"""``draft``, ``make`` and the page say that a size may be a slip of the point, and go on."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result
from PIL import Image

from kitloom.cli import kitloom

ROW = '[[rows]]\nsticker = "{}"\ncount = 2\nfill = "palette"\n'
RECIPE = (
    '[planner]\nbox = "{}"\n[sheet]\npaper = "A5"\ndpi = 100\n[palette]\ncolours = 3\n'
    '[[patterns]]\nfile = "art/dots.png"\nrepeat = "10mm"\n'
)


@pytest.fixture
def folder(dots: np.ndarray, tmp_path: Path) -> Path:
    (tmp_path / "art").mkdir()
    Image.fromarray(np.kron(dots, np.ones((3, 3, 1), np.uint8))).save(tmp_path / "art/dots.png")
    return tmp_path


def run(*words: object) -> Result:
    done = CliRunner().invoke(kitloom, [str(word) for word in words], standalone_mode=False)
    assert done.exception is None, done.exception
    return done


def told(done: Result) -> list[tuple[str, str, str]]:
    found = json.loads(done.stdout)["findings"]
    return [
        (one["severity"], one["subject"], one["measures"]["key"])
        for one in found
        if one["code"] == "small-size"
    ]


def test_draft_says_it_of_its_box(folder: Path) -> None:
    words = ("draft", folder / "art", "--out", folder / "kit.toml", "--overwrite")
    small = (*words, "--box", "4.2mm x 50mm")
    assert told(run(*small, "--json")) == [("warn", "--box", "planner.box")]
    assert 'write "42mm x 50mm"' in " ".join(run(*small).stdout.split())
    assert told(run(*words, "--box", "1.5in x 2in", "--json")) == []


def test_make_says_it_of_box_and_rows_and_makes_the_kit(folder: Path) -> None:
    recipe = folder / "kit.toml"
    recipe.write_text(
        RECIPE.format("38mm x 52mm")
        + ROW.format("full box")
        + f'{ROW.format("label")}size = "3.8mm x 2mm"\n'
    )
    done = run("make", recipe, "--json")
    assert told(done) == [("warn", "kit.toml", "rows.2.size")]
    assert done.return_value == 0
    assert (folder / "kit" / "sheet-1.pdf").exists()
    small = run("make", recipe, "--box", "38mm x 5.2mm", "--overwrite", "--json")
    assert [key for _, _, key in told(small)] == ["planner.box", "rows.2.size"]
    strict = run("make", recipe, "--overwrite", "--strict")
    assert strict.return_value == 1
    assert "rows.2.size" in strict.stdout
    assert "rows.2.size" in (folder / "kit" / "report.html").read_text()
