"""Bad calls: one line each, exit 2, nothing written, and nothing of the maker's touched."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from hashlib import sha256
from pathlib import Path

import pytest
from PIL import Image

from kitloom.disk import OutputError, check_apart, write_all_into, write_into
from tests.kitloom.inside import called

SAMPLES = Path(__file__).parents[2] / "samples" / "allotment"
RECIPE = """\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A5"
dpi = 100
[palette]
colours = 4
[[patterns]]
file = "art/dots.png"
[[rows]]
sticker = "half box"
count = 2
"""
SVG = '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0H9V9H0Z"/></svg>'
OWN = 'from = "old/palette.json"'


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A maker's folder: artwork, an earlier set with drawings of hers in it, links, noise."""
    monkeypatch.chdir(tmp_path)
    for name in ("art", "old"):
        (tmp_path / name).mkdir()
    for name in ("art/dots.png", "art/seam.png", "old/sheet-1.png"):
        Image.new("RGB", (60, 60), "#8fb0a0").save(tmp_path / name)
    (tmp_path / "old/palette.json").write_text("{}")
    (tmp_path / "old/sheet-1.svg").write_text(SVG)
    (tmp_path / "old/kit.lock.json").write_text("{}")
    (tmp_path / "palette.json").write_text("a journal")
    (tmp_path / "card.csv").write_text("name,hex\nnight,#283c5a\n")
    (tmp_path / "noise.bin").write_bytes(bytes(range(256)) * 9)
    (tmp_path / "kit.toml").write_text(RECIPE)
    (tmp_path / "empty.toml").write_text("\n")
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "link.png").symlink_to("art/dots.png")
    (tmp_path / "hard.png").hardlink_to(tmp_path / "art/dots.png")
    return tmp_path


def state(folder: Path) -> dict[str, str]:
    """Everything that is in a folder, with its content."""
    return {
        str(path.relative_to(folder)): sha256(path.read_bytes()).hexdigest()
        if path.is_file()
        else "a link or folder"
        for path in folder.rglob("*")
    }


def line_of(folder: Path, words: str, *, recipe: str = RECIPE) -> str:
    """The one line that a call is refused with."""
    (folder / "kit.toml").write_text(recipe)
    before = state(folder)
    done = called(*words.split(" "))
    assert done.returncode == 2, done.stdout
    assert done.stdout == ""
    assert len(done.stderr.splitlines()) == 1, done.stderr
    assert len(done.stderr.strip()) <= 300
    assert state(folder) == before, "a refused call wrote or took away something"
    return done.stderr


# the call, the file that would be lost, where else to write
LOSSES = [
    ("mend art/seam.png --out art --overwrite", "art/seam.png", "art-new"),
    ("mend art/seam.png --out art", "art/seam.png", "art-new"),
    ("rescale art --repeat 10mm --out art --overwrite", "art/dots.png", "art-new"),
    ("rescale art/dots.png --repeat 10mm --out old/../art --overwrite", "art/dots.png", "art-new"),
    ("rescale hard.png --repeat 10mm --out . --overwrite", "hard.png", '"new"'),
    ("rescale link.png --repeat 10mm --out . --overwrite", "link.png", '"new"'),
    ("proof art/dots.png --repair art --overwrite", "art/dots.png", "art-new"),
    ("palette art --from card.csv --colourway art --overwrite", "art/dots.png", "art-new"),
    ("palette art --from card.csv --colourway new --out . --resume palette.json --overwrite",
     "palette.json", '"new"'),
    ("draft art --out art/dots.png --overwrite", "art/dots.png", "art-new"),
    ("check art --csv art/dots.png --overwrite", "art/dots.png", "art-new"),
    ("make kit.toml --keep old/kit.lock.json --out old --overwrite", "old/kit.lock.json",
     "old-new"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "lost", "other"), LOSSES, ids=[loss[0] for loss in LOSSES])
def test_nothing_that_a_run_reads_is_replaced(
    words: str, lost: str, other: str, folder: Path
) -> None:
    told = line_of(folder, words)
    assert f"{lost}: would be replaced" in told
    assert other in told


@pytest.mark.parametrize("command", ["make", "trial"])
@pytest.mark.parametrize(
    ("old", "new", "lost"),
    [
        ("colours = 4", OWN, "old/palette.json"),
        ('"half box"', '"custom"\noutline = "old/sheet-1.svg"', "old/sheet-1.svg"),
        ('"half box"', '"icon"\npicture = "old/sheet-1.png"', "old/sheet-1.png"),
    ],
)
def test_nothing_that_a_recipe_names_is_replaced(
    command: str, old: str, new: str, lost: str, folder: Path
) -> None:
    recipe = RECIPE.replace(old, new)
    told = line_of(folder, f"{command} kit.toml --out old --overwrite", recipe=recipe)
    assert f"{lost}: would be replaced" in told


def test_a_folder_whose_name_differs_in_capitals_alone_is_the_same(folder: Path) -> None:
    if not (folder / "ART").exists():
        pytest.skip("this file system tells capitals apart")
    with pytest.raises(OutputError):
        check_apart([folder / "ART" / "dots.png"], [folder / "art" / "dots.png"])


CALLS = [
    ("make .", "is a folder, not a recipe"),
    ("make /", "is a folder, not a recipe"),
    ("make ", "is a folder, not a recipe"),
    ("trial .", "is a folder, not a recipe"),
    ("make empty.toml", "is an empty recipe"),
    ("make noise.bin", "is not a text file"),
    ("make kit.toml --out /", "holds where you work"),
    ("make kit.toml --out .", "is the folder that you work in"),
    ("make kit.toml --out loop", "is a link that leads to itself"),
    ("trial kit.toml --out loop", "is a link that leads to itself"),
    ("palette art/dots.png --out loop", "is a link that leads to itself"),
    ("draft art --out loop/kit.toml", "is a link that leads to itself"),
    ("check loop", "no such file"),
    ("make loop", "a link in its path leads to itself"),
    ("make kit.toml --out", "--out needs a value after it"),
    ("rescale art --repeat 20mm --dpi nan --out new", "not a number from 36 to 2400"),
    ("rescale art --repeat 0.001mm --out new", "less than 0.5 mm"),
    ("rescale art --repeat nan --out new", "not a length"),
    ("make kit.toml --box 1mmx3mm", "no planner has a day box"),
    ("trial kit.toml --edges nan", "something other than numbers"),
    ("trial kit.toml --combs 1,2,3,4", "4 numbers for 6 combs"),
    ("trial kit.toml --combs -9,9,-9,9,-9,9", "these numbers contradict each other"),
    (
        "trial kit.toml --combs 6,6,0,0,6,0 --combs -6,-6,0,0,-6,0",
        "strips 1 and 2 contradict each other: 6 and -6 on the left across comb",
    ),
    ("draft art --out art", "is a folder"),
    ("draft --samples noise.bin", "is a file, not a folder"),
    ("check art --csv a.txt --jsonl a.txt --workers 1", "would be written twice"),
    ("palette art --pair #00ff00=#112233", "--pair needs --colourway"),
    ("palette art --from card.csv --colourway new --pair #00ff00=#112233", "none of the tiles"),
    ("palette art --surface matt --printer noise.bin", "leave one out"),
    ("proof art --intent absolute", "no effect without --profile"),
    ("proof art --out x.toml", "no effect without --chart-read"),
    ("proof art --printer noise.bin", "is not a measured printer"),
    ("make kit.toml --keep empty.toml", "is not a lock file"),
    (f"check {'x' * 6000}.png", "its name is too long"),
    (f"make kit.toml --out {'x' * 6000}", "its name is too long"),
]


@pytest.mark.parametrize(("words", "said"), CALLS, ids=[call[0][:60] for call in CALLS])
def test_a_bad_call_is_one_line(words: str, said: str, folder: Path) -> None:
    assert said in line_of(folder, words)


@pytest.mark.parametrize("ruler", ["1mm", "7mm", "2.75mm", "65mm", "75mm"])
def test_a_slipped_reading_of_the_ruler_prints_nothing(ruler: str, folder: Path) -> None:
    """Enlarged ten times, a sheet would run off its paper."""
    recipe = RECIPE.replace("dpi = 100", f'ruler_reads = "{ruler}"\ncorrect_scale = true')
    told = line_of(folder, "make kit.toml", recipe=recipe)
    assert "cannot be the printed ruler" in told
    assert "did you mean" in told


@pytest.mark.parametrize("command", ["make", "trial"])
def test_cut_lines_are_not_moved_off_the_paper(command: str, folder: Path) -> None:
    """A cutter would stop at the paper's edge, or cut its mat."""
    recipe = RECIPE + '[cut]\noffset = "0mm 11mm"\n'
    told = line_of(folder, f"{command} kit.toml", recipe=recipe)
    assert "kit.toml, line 14: cut.offset is larger than the margin" in told
    assert "1.00 mm past the paper's bottom edge" in told


def test_marks_over_each_other_are_one_line(folder: Path) -> None:
    mark = '[[marks]]\nshape = "disc"\nat = "20mm x {}mm"\nsize = "5mm"\n'
    recipe = RECIPE + mark.format(20) + mark.format(22)
    assert "marks.2 lies within 2 mm of marks.1" in line_of(folder, "make kit.toml", recipe=recipe)


def test_a_page_that_cannot_listen_makes_no_folder(folder: Path) -> None:
    told = line_of(folder, "serve new/work --no-browser --address 203.0.113.7")  # RFC 5737
    assert "cannot listen there" in told


def test_faults_by_the_hundred_are_not_a_flood(folder: Path) -> None:
    more = "".join(f'[[patterns]]\nfile = "gone-{i}.png"\n' for i in range(100))
    (folder / "kit.toml").write_text(RECIPE + more)
    done = called("make", "kit.toml")
    assert done.returncode == 2
    assert done.stderr.count("there is no file") == 20
    assert done.stderr.endswith("and 80 more like these.\n")


def test_names_beyond_ascii_are_printed_where_only_ascii_is_known(folder: Path) -> None:
    shutil.copy(folder / "art/dots.png", folder / "Blüte.png")
    done = called("check", "Blüte.png", encoding="ascii")
    assert done.returncode == 0, done.stderr
    assert "Bl\\u00fcte.png" in done.stdout
    shutil.copy(folder / "art/dots.png", folder / "花.png")
    answer = json.loads(called("check", "花.png", "--json", encoding="cp1252").stdout)
    assert answer["tiles"][0]["file"] == "花.png"


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="other systems' file names know all letters")
@pytest.mark.parametrize("words", [("check", "Blüte.png"), ("make", "kit.toml")])
def test_a_system_set_to_ascii_says_how_to_set_it(words: tuple[str, str], folder: Path) -> None:
    shutil.copy(folder / "art/dots.png", folder / "Blüte.png")
    (folder / "kit.toml").write_text(RECIPE.replace("art/dots.png", "Blüte.png"))
    plain = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    done = subprocess.run(
        [sys.executable, "-m", "kitloom", *words],
        env={**os.environ, **plain, "PYTHONPATH": str(SAMPLES.parents[1])},
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert "PYTHONUTF8=1" in done.stderr


class Full(Mapping[str, bytes]):
    """Files of which the last finds no room."""

    def __getitem__(self, name: str) -> bytes:
        if name == "last.png":
            raise OSError(28, "No space left on device")
        return b"new"

    def __iter__(self) -> Iterator[str]:
        return iter(("dots.png", "last.png"))

    def __len__(self) -> int:
        return 2


def test_a_full_disk_leaves_no_folder_behind(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="the disk is full"):
        write_into(tmp_path / "a" / "b" / "c", Full(), reads=(), overwrite=False)
    assert not list(tmp_path.iterdir())


def test_of_several_folders_all_are_written_or_none(tmp_path: Path) -> None:
    (tmp_path / "old").mkdir()
    (tmp_path / "old" / "dots.png").write_bytes(b"old")
    sets = [(tmp_path / "old", {"dots.png": b"new"}), (tmp_path / "new", Full())]
    with pytest.raises(OutputError, match="the disk is full"):
        write_all_into(sets, reads=(), overwrite=True)
    assert (tmp_path / "old" / "dots.png").read_bytes() == b"old"
    assert {path.name for path in tmp_path.rglob("*")} == {"old", "dots.png"}
