"""A second run: nothing is made that is there already, and nothing stays that has changed."""

from __future__ import annotations

import json
from importlib import metadata
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

import kit
import kitloom.measure.studies
import palette
import patterns
from kitloom.cache import LIBRARIES, code_digest, source_files
from kitloom.cli import kitloom as command

pytestmark = pytest.mark.slow

RECIPE = """\
[planner]
box = "30mm x 40mm"
[sheet]
paper = "6in x 8in"
dpi = 150
bleed = "1.1mm"
[palette]
colours = 4
[[patterns]]
file = "dots.png"
repeat = "20mm"
[[patterns]]
file = "stripes.png"
repeat = "12mm"
lattice = "auto"
[[rows]]
sticker = "full box"
count = 3
fill = "patterns"
"""


@pytest.fixture
def folder(tmp_path: Path, dots: np.ndarray) -> Path:
    Image.fromarray(dots).save(tmp_path / "dots.png")
    stripes = np.full((96, 190, 3), (244, 238, 220), np.uint8)
    stripes[:, (np.arange(190) // 12) % 2 == 1] = (196, 84, 60)  # the join shows
    Image.fromarray(stripes).save(tmp_path / "stripes.png")
    (tmp_path / "kit.toml").write_text(RECIPE)
    return tmp_path


@pytest.fixture
def checked(monkeypatch: pytest.MonkeyPatch) -> list[tuple[int, ...]]:
    """Sizes of the tiles whose joins were measured."""
    sizes: list[tuple[int, ...]] = []
    measure = kitloom.measure.studies.check_as

    def noted(pixels: np.ndarray, *rest: object, **named: object) -> object:
        sizes.append(pixels.shape[:2])
        return measure(pixels, *rest, **named)

    monkeypatch.setattr(kitloom.measure.studies, "check_as", noted)
    return sizes


def run(*words: object) -> dict[str, object]:
    done = CliRunner().invoke(command, ["make", *map(str, words), "--json"], standalone_mode=False)
    assert done.exception is None, done.exception
    answer: dict[str, object] = json.loads(done.stdout)
    return answer


def content(out: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in out.iterdir()}


def test_an_unchanged_kit_stands_and_is_told_the_same(folder: Path, checked: list) -> None:
    first = run(folder / "kit.toml")
    before, times = content(folder / "kit"), {p: p.stat().st_mtime_ns for p in folder.glob("kit/*")}
    assert len(checked) == 2
    again = run(folder / "kit.toml", "--overwrite")
    assert len(checked) == 2
    assert content(folder / "kit") == before
    assert {p: p.stat().st_mtime_ns for p in folder.glob("kit/*")} == times
    assert (first.pop("unchanged"), again.pop("unchanged")) == (False, True)
    assert again == first


def test_taken_over_verdicts_give_the_bytes_of_a_fresh_run(folder: Path, checked: list) -> None:
    run(folder / "kit.toml")
    (folder / "kit.toml").write_text(RECIPE.replace("count = 3", "count = 2"))
    run(folder / "kit.toml", "--overwrite")
    assert len(checked) == 2  # none of them again
    run(folder / "kit.toml", "--out", folder / "fresh")
    assert len(checked) == 4
    assert content(folder / "kit") == content(folder / "fresh")


def test_a_changed_tile_is_measured_again_and_no_other(
    folder: Path, checked: list, dots: np.ndarray
) -> None:
    run(folder / "kit.toml")
    del checked[:]
    Image.fromarray(dots[:, ::-1].copy()).save(folder / "dots.png")
    answer = run(folder / "kit.toml", "--overwrite")
    assert checked == [dots.shape[:2]]
    assert answer["unchanged"] is False
    run(folder / "kit.toml", "--out", folder / "fresh")
    assert content(folder / "kit") == content(folder / "fresh")


@pytest.mark.parametrize("what", ["edited", "missing", "added", "lock edited", "another lattice"])
def test_whatever_no_longer_fits_is_made_anew(folder: Path, what: str) -> None:
    run(folder / "kit.toml")
    kit = folder / "kit"
    before = content(kit)
    if what == "edited":
        (kit / "sheet-1.svg").write_text("<svg/>")
    elif what == "missing":
        (kit / "sheet-1.pdf").unlink()
    elif what == "added":
        (kit / "sheet-7.pdf").write_bytes(b"of a longer run")
    elif what == "lock edited":
        lock = kit / "kit.lock.json"
        lock.write_text(lock.read_text().replace('"full box"', '"half box"', 1))
    else:
        (folder / "kit.toml").write_text(RECIPE.replace('"auto"', '"half-drop"'))
    answer = run(folder / "kit.toml", "--overwrite")
    assert answer["unchanged"] is False
    assert (content(kit) == before) is (what != "another lattice")


def test_options_count_as_changes(folder: Path) -> None:
    run(folder / "kit.toml")
    assert run(folder / "kit.toml", "--overwrite", "--box", "28mm x 40mm")["unchanged"] is False
    assert run(folder / "kit.toml", "--overwrite", "--box", "28mm x 40mm")["unchanged"] is True
    assert run(folder / "kit.toml", "--overwrite")["unchanged"] is False


@pytest.mark.parametrize("library", LIBRARIES)
def test_a_kit_is_made_anew_after_a_library_was_changed(
    folder: Path, checked: list, monkeypatch: pytest.MonkeyPatch, library: str
) -> None:
    run(folder / "kit.toml")
    read = metadata.version
    monkeypatch.setattr(metadata, "version", lambda name: read(name) + ".1" * (name == library))
    code_digest.cache_clear()
    try:
        answer = run(folder / "kit.toml", "--overwrite")
        assert run(folder / "kit.toml", "--overwrite")["unchanged"] is True
    finally:
        code_digest.cache_clear()
    assert answer["unchanged"] is False
    assert len(checked) == 4  # not even a verdict is taken over


def test_every_package_of_kitloom_counts_as_its_code() -> None:
    for module in (kit, kitloom, palette, patterns):
        assert Path(str(module.__file__)).resolve() in source_files(), module
    assert any(path.suffix == ".csv" for path in source_files())


def test_the_lock_of_another_kitloom_is_kept_and_not_believed(folder: Path) -> None:
    run(folder / "kit.toml")
    lock = folder / "kit" / "kit.lock.json"
    content = json.loads(lock.read_text())
    old = {"lock", "kitloom", "recipe_sha256", "patterns", "palette", "stickers"}
    lock.write_text(json.dumps({key: content[key] for key in old}))
    answer = run(folder / "kit.toml", "--keep", lock, "--out", folder / "next")
    assert [one["code"] for one in answer["findings"]].count("kept") == 1
    assert run(folder / "kit.toml", "--overwrite")["unchanged"] is False


def test_a_folder_without_overwrite_is_still_refused(folder: Path) -> None:
    run(folder / "kit.toml")
    done = CliRunner().invoke(command, ["make", str(folder / "kit.toml")], standalone_mode=False)
    assert "already holds files" in str(done.exception)
