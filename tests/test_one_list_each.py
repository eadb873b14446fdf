"""One file and one line: then a new output, format, surface, kind or finding is everywhere.

Each is added to a copy of this house, its line made from a neighbour's in the same table, so that
the test knows no table's columns. Then the copy makes the sample kit, serves its page and writes
its docs.
"""

from __future__ import annotations

import ast
import json
import os
import re
import shutil
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.parse import urlsplit

import pytest

pytestmark = pytest.mark.slow
ROOT = Path(__file__).parents[1]
PACKAGES = ("palette", "patterns", "kit", "kitloom")
COPIED = (*PACKAGES, "samples", "tools", "docs", "README.md", "tests/standards/data")
HANGS_SECONDS = 300.0


@dataclass(frozen=True)
class Addition:
    """What is added, and the neighbour in its table that its line is made from.

    Attributes:
        table: the constant that holds the list.
        beside: the neighbour's key.
        words: what of the neighbour's line is another word in the new one, in this order.
        file: the new module, "" where a line is enough.
        code: what is in it.
    """

    table: str
    beside: str
    words: tuple[tuple[str, str], ...]
    file: str = ""
    code: str = ""


ADDITIONS = (
    Addition(
        "WRITERS",
        "svg",
        (
            ('"svg"', '"shout"'),
            ('".svg"', '".shout"'),
            ("kit.writers.svg:cut_svg", "kit.writers.shout:cut_shout"),
        ),
        "kit/writers/shout.py",
        "from kit.writers.svg import cut_svg as cut_shout\n",
    ),
    Addition(
        "FORMATS",
        "csv",
        (
            ('"csv"', '"shout"'),
            ('"CSV"', '"Shout"'),
            ("palette.csv", "palette.shout"),
            ("csv_table", "shout_table"),
        ),
        "palette/exchange/shout_table.py",
        "from palette.exchange.csv_table import read, write\n",
    ),
    Addition(
        "SURFACES",
        "matt",
        (
            ('"matt"', '"shiny"'),
            ("palette.press.builtin:builtin_press", "palette.press.shiny:shiny_press"),
        ),
        "palette/press/shiny.py",
        "from palette.press.builtin import builtin_press\n\n\n"
        "def shiny_press(surface):\n    return builtin_press('matt')\n",
    ),
    Addition("KINDS", "half box", (('"half box"', '"third box"'), ("0.5", "1.0 / 3.0"))),
    Addition(
        "CODES",
        "sheets",
        (
            ('"sheets"', '"shouted"'),
            ('"Sheets and paper"', '"Somebody shouts"'),
            ("sheets:paper_findings", "shouts:shout_findings"),
        ),
        "kitloom/findings/shouts.py",
        "from kitloom.findings.codes import finding\n\n\n"
        "def shout_findings(facts):\n"
        "    name = facts.recipe.file.name\n"
        "    return [finding('shouted', name, what='It is loud.', why='Ears.', remedy='Hush.')]\n",
    ),
)
RECIPE = """
[[rows]]
sticker = "third box"
count = 1
fill = "palette"
"""


def table_in(house: Path, name: str) -> tuple[Path, ast.expr]:
    """Return the module that binds a constant, and the value."""
    for package in PACKAGES:
        for path in sorted((house / package).rglob("*.py")):
            for node in ast.parse(path.read_text("utf-8")).body:
                targets = node.targets if isinstance(node, ast.Assign) else []
                targets = [node.target] if isinstance(node, ast.AnnAssign) else targets
                if any(isinstance(one, ast.Name) and one.id == name for one in targets):
                    assert isinstance(node, ast.Assign | ast.AnnAssign)
                    assert node.value is not None
                    return path, node.value
    raise AssertionError(f"no module binds {name}")


def entry_of(value: ast.expr, key: str) -> tuple[ast.expr, ast.expr]:
    """Return the first and last node of a table's entry: its key and value, or its one call."""
    for node in ast.walk(value):
        if isinstance(node, ast.Dict):
            for name, own in zip(node.keys, node.values, strict=True):
                if isinstance(name, ast.Constant) and name.value == key:
                    return name, own
        if isinstance(node, ast.Call) and node.args:
            first = node.args[0]
            if isinstance(first, ast.Constant) and first.value == key:
                return node, node
    raise AssertionError(f"no entry of {key}")


def place(text: str, line: int | None, column: int | None) -> int:
    """Return where a node begins or ends; its columns are counted in UTF-8."""
    assert line is not None
    assert column is not None
    lines = text.splitlines(keepends=True)
    before = lines[line - 1].encode()[:column].decode()
    return sum(map(len, lines[: line - 1])) + len(before)


def add(house: Path, one: Addition) -> None:
    """Write the file and the line."""
    path, value = table_in(house, one.table)
    text = path.read_text("utf-8")
    first, last = entry_of(value, one.beside)
    start = place(text, first.lineno, first.col_offset)
    end = place(text, last.end_lineno, last.end_col_offset)
    line = text[start:end]
    for old, new in one.words:
        line = line.replace(old, new)
    text = f"{text[:end]}, {line}{text[end:]}"
    if one.table == "FORMATS":  # a table may name functions themselves: then they are imported
        text = re.sub(r"(^from .*\bcsv_table\b)", r"\1, shout_table", text, flags=re.MULTILINE)
    path.write_text(text, "utf-8")
    if one.file:
        (house / one.file).write_text(f'"""New here."""\n\n{one.code}', "utf-8")


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The copy with everything added; its sample recipe uses the new kind."""
    copy = tmp_path_factory.mktemp("house")
    for name in COPIED:
        if (ROOT / name).is_dir():
            skipped = shutil.ignore_patterns("__pycache__", "kit-*")
            shutil.copytree(ROOT / name, copy / name, ignore=skipped)
        else:
            shutil.copyfile(ROOT / name, copy / name)
    for one in ADDITIONS:
        add(copy, one)
    recipe = copy / "samples" / "allotment" / "kit.toml"
    recipe.write_text(recipe.read_text("utf-8") + RECIPE, "utf-8")
    return copy


def run(house: Path, *words: str) -> str:
    """Run Python with the copy's packages, and return what it printed."""
    done = subprocess.run(
        [sys.executable, *words],
        cwd=house,
        env={**os.environ, "PYTHONPATH": str(house)},
        capture_output=True,
        text=True,
        timeout=HANGS_SECONDS,
        check=False,
    )
    assert done.returncode in {0, 1}, done.stderr
    assert "Traceback" not in done.stderr, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def kit(house: Path) -> Path:
    """The sample kit, made over an earlier, longer run's files and a maker's own."""
    folder = house / "samples" / "allotment" / "kit"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    for name in ("sheet-9.shout", "sheet-9.pdf", "notes.shout", "kit.lock.json"):
        (folder / name).write_text("earlier")
    answer = run(
        house, *("-m", "kitloom", "make", "samples/allotment/kit.toml"), "--overwrite", "--json"
    )
    (folder / "answer.txt").write_text(answer)
    return folder


def test_the_kit_holds_the_new_files_and_none_of_an_earlier_run(kit: Path) -> None:
    names = {path.name for path in kit.iterdir()}
    assert (kit / "sheet-1.shout").read_bytes() == (kit / "sheet-1.svg").read_bytes()
    assert (kit / "palette.shout").read_bytes() == (kit / "palette.csv").read_bytes()
    assert not names & {"sheet-9.shout", "sheet-9.pdf"}
    assert "notes.shout" in names  # the maker's own


def test_the_kit_has_the_new_kind_and_says_the_new_finding(kit: Path) -> None:
    answer = json.loads((kit / "answer.txt").read_text())
    assert "shouted" in {one["code"] for one in answer["findings"]}
    report = (kit / "report.html").read_text("utf-8")
    assert "It is loud." in report
    assert "third box" in json.dumps(answer["sheets"])


def test_the_new_surface_is_asked_for_and_prints(house: Path) -> None:
    words = ("-m", "kitloom", "proof", "#ff3ea5", "--json", "--surface")
    assert run(house, *words, "shiny") == run(house, *words, "matt")
    recipe = (house / "samples" / "allotment" / "kit.toml").read_text("utf-8")
    shiny = re.sub(r'surface = "\w+"', 'surface = "shiny"', recipe)
    assert shiny != recipe
    (house / "samples" / "allotment" / "shiny.toml").write_text(shiny, "utf-8")
    run(house, "-m", "kitloom", "make", "samples/allotment/shiny.toml", "--json")


def test_the_docs_list_all_of_them(house: Path) -> None:
    run(house, "tools/write_docs.py", "--tables")
    run(house, "tools/draw_kinds.py")

    def page(name: str) -> str:
        return (house / "docs" / name).read_text("utf-8")

    assert re.search(r"^\| `sheet-1\.shout` \|.* \| \S.* \|$", page("files.md"), re.MULTILINE)
    assert "`palette.shout`" in page("files.md")
    assert re.search(r"^## shout\n\n\S", page("exchange.md"), re.MULTILINE)
    assert re.search(r"^## shiny$", page("presses.md"), re.MULTILINE)
    assert "`shiny`" in page("recipe.md") or '"shiny"' in page("recipe.md")
    assert "shiny" in page("commands/proof.md")
    assert re.search(r"^## shouted\n\n\*\*Somebody shouts\*\*", page("findings.md"), re.MULTILINE)
    assert "| `third box` | ![third box](kinds/" in page("stickers.md")


class Tab:
    """A browser's tab as the server sees it."""

    def __init__(self, way_in: str) -> None:
        """Come in by the address that the command printed."""
        self.origin = "{0.scheme}://{0.netloc}".format(urlsplit(way_in))
        self._opener = urllib.request.build_opener(
            urllib.request.HTTPCookieProcessor(CookieJar()), urllib.request.ProxyHandler({})
        )
        self.ask(way_in.removeprefix(self.origin))

    def ask(self, path: str, data: bytes | None = None) -> str:
        request = urllib.request.Request(self.origin + path, data, {"Origin": self.origin})  # noqa: S310
        with self._opener.open(request, timeout=HANGS_SECONDS) as answer:
            return str(answer.read().decode())

    def until(self, path: str, words: str) -> str:
        """Ask for a page until it says these words."""
        end = time.monotonic() + HANGS_SECONDS
        while words not in (page := self.ask(path)):
            assert time.monotonic() < end, f"{path} never said {words}"
            time.sleep(0.2)
        return page


@pytest.fixture
def tab(house: Path, kit: Path) -> Iterator[Tab]:
    """The page of the sample kit, served by the copy."""
    assert kit.is_dir()  # which the command has made before the page reads the recipe
    process = subprocess.Popen(
        [sys.executable, "-m", "kitloom", "serve", "samples/allotment/kit.toml", "--no-browser"],
        cwd=house,
        env={**os.environ, "PYTHONPATH": str(house), "PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    try:
        way_in = next(line for line in process.stdout if "/enter?key=" in line)
        yield Tab(way_in.split("Open: ")[1].strip())
    finally:
        process.terminate()
        process.wait(HANGS_SECONDS)
        process.stdout.close()


def test_the_page_offers_and_shows_all_of_them(tab: Tab) -> None:
    assert "third box" in tab.ask("/step/kit")
    assert "shiny" in tab.ask("/step/print")
    tab.until("/step/sheet", "It is loud.")
    tab.ask("/making", b"do=start")
    made = tab.until("/step/home", "sheet-1.shout")
    assert "palette.shout" in made
    for name in ("sheet-1.shout", "palette.shout"):
        assert re.search(rf'{re.escape(name)}</a> <span class="soft">[^<]+<', made), name
