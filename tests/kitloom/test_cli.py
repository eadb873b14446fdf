"""The front door: light to start, honest about its exit status, one clear line on bad input."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from kitloom.cli import COMMANDS, kitloom
from tests.kitloom.inside import called as run

HEAVY = ("numpy", "PIL", "sklearn", "scipy", "pikepdf", "pydantic", "rich", "ezdxf", "jinja2")


def fresh(code: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=300
    )
    return done.stdout


def alone(*words: object) -> subprocess.CompletedProcess[str]:
    """Run the command as a person would, in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "kitloom", *map(str, words)],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )


def test_help_loads_nothing_heavy() -> None:
    """One interpreter for all: what none of them has loaded, each has not."""
    asked = [["--help"], ["--version"], *([name, "-h"] for name in COMMANDS)]
    loaded = fresh(
        "import sys\nfrom kitloom.cli import kitloom\n"
        f"for words in {asked!r}:\n"
        "    try:\n        kitloom.main(words)\n    except SystemExit:\n        pass\n"
        f"    print('LOADED', words, [name for name in {HEAVY!r} if name in sys.modules])"
    )
    told = [line for line in loaded.splitlines() if line.startswith("LOADED")]
    assert told == [f"LOADED {words} []" for words in asked]


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_explains_itself(name: str) -> None:
    shown = CliRunner().invoke(kitloom, [name, "--help"])
    assert shown.exit_code == 0
    assert "--json" in shown.output or name == "serve"  # the page is its own answer
    assert len(shown.output.split("Options:")[0]) > 80


def test_check_says_where_and_exits_by_its_verdict(dots, tmp_path: Path) -> None:
    Image.fromarray(dots).save(tmp_path / "dots.png")
    Image.fromarray(dots[:, :200]).save(tmp_path / "cropped.png")
    good = alone("check", tmp_path / "dots.png", "--json")
    assert good.returncode == 0
    assert json.loads(good.stdout)["tiles"][0]["seamless"] is True
    bad = run("check", tmp_path, "--json")
    answer = json.loads(bad.stdout)
    assert bad.returncode == 1
    assert not answer["ok"]
    cropped = next(tile for tile in answer["tiles"] if tile["file"].endswith("cropped.png"))
    assert cropped["axes"]["x"]["verdict"] == "seam"
    assert cropped["axes"]["y"]["verdict"] == "seamless"
    assert cropped["axes"]["x"]["faults"][0]["to_px"] <= 240
    shown = run("check", tmp_path)
    lines = [line for line in shown.stdout.splitlines() if ".png" in line]
    assert "cropped.png" in lines[0]  # the worst first


def test_check_writes_pictures_of_joins_that_show(dots, tmp_path: Path) -> None:
    Image.fromarray(dots[:, :200]).save(tmp_path / "cropped.png")
    done = run("check", tmp_path / "cropped.png", "--pictures", tmp_path / "out")
    assert done.returncode == 1
    with Image.open(tmp_path / "out" / "cropped.seam.png") as picture:
        assert picture.width > 200


def test_palette_of_two_colours(dots, tmp_path: Path) -> None:
    Image.fromarray(dots).save(tmp_path / "dots.png")
    done = run(
        "palette", tmp_path / "dots.png", "--colours", "4", "--out", tmp_path / "p", "--json"
    )
    answer = json.loads(done.stdout)
    assert {one["hex"] for one in answer["palette"]} == {"#f4eedc", "#3b5b7a", "#c4543c", "#6a8a4a"}
    # what looks like none of them, here the blurred outlines, is told beside them
    (rest,) = answer["rest"].values()
    shares = sum(one["share"] for one in answer["palette"])
    assert shares + rest == pytest.approx(1.0, abs=1e-3)
    assert rest < 0.02
    assert len(answer["pairs"]) == 6
    assert json.loads((tmp_path / "p" / "palette.json").read_text()) == answer


def test_proof_grades_a_neon_and_spares_black_and_white() -> None:
    done = run("proof", "#00ff00", "#000000", "#ffffff", "--json")
    colours = json.loads(done.stdout)["colours"]
    assert [one["grade"] for one in colours] == ["will shift", "as seen", "as seen"]
    assert [one["in_gamut"] for one in colours] == [False, True, True]


def test_rescale_writes_the_physical_size(dots, tmp_path: Path) -> None:
    Image.fromarray(dots).save(tmp_path / "dots.png")
    done = run(
        "rescale",
        tmp_path / "dots.png",
        "--repeat",
        "10mm",
        "--dpi",
        "254",
        "--out",
        tmp_path / "o",
    )
    assert done.returncode == 0
    with Image.open(tmp_path / "o" / "dots.png") as tile:
        assert tile.size == (100, 100)
        assert tile.info["dpi"][0] == pytest.approx(254, abs=0.1)
    coarse = run(
        "rescale",
        tmp_path / "dots.png",
        "--repeat",
        "60mm",
        "--dpi",
        "300",
        "--out",
        tmp_path / "p",
    )
    assert coarse.returncode == 1
    assert "102 pixels per inch" in coarse.stdout


def unusable(tmp_path: Path) -> dict[str, tuple[list[object], str]]:
    """Each bad input with the words its one line must hold."""
    (tmp_path / "words.png").write_text("not an image at all")
    whole = tmp_path / "whole.png"
    Image.effect_noise((200, 200), 60).convert("RGB").save(whole)
    (tmp_path / "short.png").write_bytes(whole.read_bytes()[:3000])
    (tmp_path / "empty").mkdir()
    for month in ("May", "June"):
        (tmp_path / "sets" / month).mkdir(parents=True)
        (tmp_path / "sets" / month / "whole.png").write_bytes(whole.read_bytes())
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "whole.png").write_bytes(b"mine")
    bomb = Image.new("L", (1, 1))
    bomb.save(tmp_path / "bomb.png")
    content = bytearray((tmp_path / "bomb.png").read_bytes())
    content[16:24] = (60_000).to_bytes(4, "big") * 2
    import zlib

    content[29:33] = zlib.crc32(bytes(content[12:29])).to_bytes(4, "big")
    (tmp_path / "bomb.png").write_bytes(bytes(content))
    return {
        "missing": (["check", tmp_path / "none.png"], "no such file"),
        "no image": (["check", tmp_path / "words.png"], "not an image"),
        "truncated": (["check", tmp_path / "short.png"], "damaged or cut short"),
        "bomb": (["check", tmp_path / "bomb.png"], "more than the limit of"),
        "empty folder": (["palette", tmp_path / "empty"], "holds no artwork"),
        "folder of sets": (["check", tmp_path / "sets"], "only folders with artwork in them"),
        "no length": (
            ["rescale", whole, "--repeat", "wide", "--out", tmp_path / "o"],
            "not a length",
        ),
        "negative": (
            ["rescale", whole, "--repeat", "-1in", "--out", tmp_path / "o"],
            "more than 0",
        ),
        "taken": (
            ["rescale", whole, "--repeat", "9mm", "--out", tmp_path / "full"],
            "exists already",
        ),
        "no colour": (["proof", "#12345"], "not a colour"),
        "no recipe": (["make", tmp_path / "kit.toml"], "no such recipe"),
        "no profile": (["proof", "#123456", "--profile", whole], "profile"),
    }


CASES = (
    "missing",
    "no image",
    "truncated",
    "bomb",
    "empty folder",
    "folder of sets",
    "no length",
    "negative",
    "taken",
    "no colour",
    "no recipe",
    "no profile",
)


@pytest.mark.parametrize("case", CASES)
def test_bad_input_gets_one_clear_line(case: str, tmp_path: Path) -> None:
    words, expected = unusable(tmp_path)[case]
    before = sorted(tmp_path.rglob("*"))
    done = alone(*words) if case == "truncated" else run(*words)
    assert done.returncode == 2
    assert done.stdout == ""
    assert len(done.stderr.strip().splitlines()) == 1
    assert expected in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize("command", ["check", "make", "proof", "palette"])
def test_a_name_beyond_all_length_is_one_line(command: str) -> None:
    result = run(command, "a" * 300 + ".png")
    assert result.returncode == 2
    assert len(result.stderr.strip().splitlines()) == 1
    assert "too long" in result.stderr
    assert len(result.stderr) < 300


def test_a_reader_that_leaves_early_sees_no_traceback() -> None:
    command = (
        f'"{sys.executable}" -m kitloom check samples/allotment/tiles/gingham.png --json | true'
    )
    root = Path(__file__).parents[2]
    result = subprocess.run(
        ["bash", "-c", command], cwd=root, capture_output=True, text=True, check=False
    )
    assert "Traceback" not in result.stderr
