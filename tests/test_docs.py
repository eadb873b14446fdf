"""Are the docs true of the code? Pages are current, every table has its entry, links lead."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from itertools import pairwise
from pathlib import Path
from textwrap import dedent

import numpy as np
import pytest
from PIL import Image

from kit.kinds import KINDS
from kit.writers import WRITERS
from kitloom.cli import COMMANDS
from kitloom.findings import CODES
from palette.chart import chart_colours, grey_ramp
from palette.exchange import FORMATS
from palette.press import ChartRecord, fit_chart, open_press, to_toml
from palette.press.chart_fit import FitError
from palette.space import srgb_to_lab
from palette.surfaces import SURFACES
from patterns.coordinates import COORDINATE_KINDS as COORDINATES
from tests.conftest import dot_tile
from tests.kitloom.inside import called

ROOT = Path(__file__).parents[1]
DOCS = ROOT / "docs"
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted(DOCS.rglob("*.md"))]
MOST_BYTES = 200 * 1024
SLOW = ((), pytest.mark.slow)


def page(name: str) -> str:
    return (DOCS / name).read_text("utf-8")


def test_reference_pages_are_current():
    done = subprocess.run(
        [sys.executable, ROOT / "tools" / "write_docs.py", "--check"],
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert (done.returncode, done.stdout + done.stderr) == (0, "")


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_its_page_and_example(name: str):
    text = page(f"commands/{name}.md")
    assert re.search(rf"```console\n\$ kitloom {name} [^\n]+\n\S", text)
    assert f"({name}.md)" in page("commands/README.md")


@pytest.mark.parametrize("code", CODES)
def test_every_finding_has_its_entry_and_example(code: str):
    entry = re.search(
        rf"^## {code}\n(.*?)(?=^## |\Z)", page("findings.md"), re.DOTALL | re.MULTILINE
    )
    assert entry is not None
    assert CODES[code].means in entry.group(1)
    assert re.search(r"^> → \S", entry.group(1), re.MULTILINE)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_its_entry(kind: str):
    assert f"| `{kind}` | ![{kind}](kinds/" in page("stickers.md")


@pytest.mark.parametrize("kind", COORDINATES)
def test_every_kind_of_coordinate_has_its_entry_and_picture(kind: str):
    text = page("coordinates.md")
    assert f"### {kind}\n\n{COORDINATES[kind].means}" in text
    for style in COORDINATES[kind].style_names:
        assert f"<br>`{kind}`, `{style}`, " in text
    assert re.search(rf"\(coordinates/{kind}[\w-]*\.png\)", text)


@pytest.mark.parametrize("surface", SURFACES)
def test_every_surface_has_its_entry(surface: str):
    assert re.search(rf"^## {surface}$", page("presses.md"), re.MULTILINE)


@pytest.mark.parametrize("writer", WRITERS.values(), ids=lambda one: one.name)
def test_every_output_has_its_entry(writer):
    assert f"| `sheet-1{writer.suffix}` |" in page("files.md")


@pytest.mark.parametrize("name", FORMATS)
def test_every_exchange_format_has_its_entry_and_file(name: str):
    assert re.search(rf"^## {name}$", page("exchange.md"), re.MULTILINE)
    assert f"`{FORMATS[name].file_name}`" in page("files.md")


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_links_lead_somewhere(path: Path):
    text = re.sub(r"```.*?```", "", path.read_text("utf-8"), flags=re.DOTALL)
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        if "://" in target:
            continue
        name, _, anchor = target.partition("#")
        to = (path.parent / name).resolve() if name else path
        assert to.exists(), target
        if anchor:
            assert anchor in anchors(to), target


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_tables_have_as_many_cells_in_each_row(path: Path):
    rows = [
        len(re.findall(r"(?<!\\)\|", line)) if line.startswith("|") else 0
        for line in path.read_text("utf-8").splitlines()
    ]
    for number, (one, following) in enumerate(pairwise(rows), start=1):
        assert one == following or 0 in {one, following}, f"line {number}"


def anchors(path: Path) -> set[str]:
    """The anchors of a page's headings, as GitHub makes them."""
    heads = re.findall(r"^#+ (.+)$", path.read_text("utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


def test_every_page_is_in_the_index():
    index = page("README.md")
    for path in DOCS.glob("*.md"):
        assert path.name == "README.md" or f"({path.name}" in index, path.name


def test_gallery_pictures_are_small():
    pictures = list((DOCS / "gallery").iterdir())
    assert pictures
    assert all(picture.stat().st_size <= MOST_BYTES for picture in pictures)


def test_every_picture_is_shown_by_a_document():
    shown = "".join(path.read_text("utf-8") for path in PAGES)
    for path in [*DOCS.rglob("*.jpg"), *DOCS.rglob("*.png"), *DOCS.rglob("*.svg")]:
        assert f"/{path.name})" in shown, path.relative_to(DOCS)


def test_recipes_in_the_docs_have_only_known_keys():
    """Every key that is before a "=" in a TOML block is a key of a recipe."""
    known = set(re.findall(r"^\| `(?:\w+\.)*(\w+)` \|", page("recipe.md"), re.MULTILINE))
    for path in DOCS.rglob("*.md"):
        for block in re.findall(r"```toml\n(.*?)```", path.read_text("utf-8"), re.DOTALL):
            keys = set(re.findall(r"^#? ?(\w+) =", block, re.MULTILINE))
            assert keys <= known, (path.name, keys - known)


# a recipe that is whole without the docs' few lines, table by table
WHOLE = {
    "planner": '[planner]\nbox = "42mm x 50mm"\n',
    "sheet": '[sheet]\npaper = "Letter"\ndpi = 72\n',
    "patterns": '[[patterns]]\nfile = "tiles/pods.png"\nrepeat = "20mm"\n',
    "rows": '[[rows]]\nsticker = "full box"\ncount = 1\nfill = "pods"\n',
}
EXAMPLES = [
    pytest.param(
        dedent(block), id=f"{path.stem}-{number}", marks=SLOW[path.stem != "print-and-cut"]
    )
    for path in [ROOT / "README.md", *sorted(DOCS.glob("*.md"))]
    for number, block in enumerate(
        re.findall(r"```toml\n(.*?)```", path.read_text("utf-8"), re.DOTALL), start=1
    )
]


def completed(block: str) -> str:
    """A block of the docs with the tables and keys that it leaves out."""
    for table in WHOLE.values():
        head, *lines = table.splitlines()
        if head not in block:
            block += table
        elif not head.startswith("[["):
            missing = [
                one for one in lines if not re.search(rf"^{one.split()[0]} =", block, re.MULTILINE)
            ]
            block = block.replace(head, "\n".join([head, *missing]))
    return block


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with what the docs' recipes name."""
    folder = tmp_path_factory.mktemp("desk")
    (folder / "tiles").mkdir()
    Image.fromarray(dot_tile(96)).save(folder / "tiles" / "pods.png")
    bee = Image.new("RGBA", (60, 60))
    bee.paste((90, 60, 20, 255), (15, 15, 45, 45))
    bee.save(folder / "bee.png")
    leaf = '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 5 L10 0 L20 5 L10 10 Z"/></svg>'
    (folder / "leaf.svg").write_text(leaf)
    (folder / "my-printer.toml").write_bytes(to_toml(measured_printer()))
    return folder


def measured_printer() -> ChartRecord:
    """A printer that prints as the built-in matt press does, as its chart would tell it."""
    sent = np.concatenate([chart_colours(), grey_ramp()]).astype(np.uint8)
    lab = open_press("matt").to_print(srgb_to_lab(sent))
    choice = fit_chart(sent, lab).choice
    return ChartRecord("example", "scan", sent, lab, choice, FitError(1.1, 2.6), 2.0)


@pytest.mark.parametrize("block", EXAMPLES)
def test_recipes_in_the_docs_make_a_kit(block: str, desk: Path, tmp_path: Path):
    shutil.copytree(desk, tmp_path, dirs_exist_ok=True)
    if "palette.json" in block:
        (tmp_path / "first.toml").write_text(completed(""))
        assert called("make", tmp_path / "first.toml", "--out", tmp_path / "spring").stderr == ""
    (tmp_path / "kit.toml").write_text(completed(block))
    done = called("make", tmp_path / "kit.toml")
    assert done.returncode in {0, 1}, done.stderr  # 1: the kit is made, and has something to mend
    assert (tmp_path / "kit" / "sheet-1.pdf").is_file()


def test_commands_in_the_docs_use_options_that_exist():
    """Every option of a ``kitloom`` line in a block is on that command's page."""
    for path in PAGES:
        for name, rest in re.findall(
            r"^ *(?:\$ |\.venv/bin/)?kitloom (\w+)(.*)$", path.read_text("utf-8"), re.MULTILINE
        ):
            if name not in COMMANDS:
                continue
            for option in re.findall(r"(?<!\S)--[a-z-]+", rest):
                assert f"`{option}`" in page(f"commands/{name}.md"), (path.name, name, option)


@pytest.mark.parametrize("package", ["palette", "patterns", "kit", "kitloom"])
def test_the_map_for_developers_names_every_room(package: str):
    (floors,) = re.findall(
        r"```\n(palette/ .*?)```", (ROOT / "DEVELOPERS.md").read_text(), re.DOTALL
    )
    (floor,) = re.findall(rf"^{package}/ .*?(?=^\w|\Z)", floors, re.DOTALL | re.MULTILINE)
    named = re.findall(r"^ +(\w+)/ +\S", floor, re.MULTILINE)
    rooms = [path.parent.name for path in (ROOT / package).glob("*/**/__init__.py")]
    assert set(rooms) <= set(named)


def test_the_diffs_for_developers_fit_the_code():
    """What a diff leaves or takes away is in the file that it names."""
    shown = 0
    for block in re.findall(
        r"```diff\n(.*?)```", (ROOT / "DEVELOPERS.md").read_text("utf-8"), re.DOTALL
    ):
        code = ""
        for line in block.splitlines():
            if line.startswith("--- a/"):
                code = (ROOT / line.removeprefix("--- a/")).read_text("utf-8")
            elif line.startswith("@@ "):
                assert line.removeprefix("@@ ") in code, line
            elif line[:1] in {" ", "-"} and line[1:].strip():
                assert line[1:] in code, line
                shown += 1
    assert shown > 5
