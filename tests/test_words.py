"""What people read speaks plainly, and calls one thing by one name.

The words come from DEVELOPERS.md alone: the tables "One name for one thing" and "Words not used".
Common practice, no published source. A maker who meets three names looks for three things.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import click
import pytest

from kitloom.cli import kitloom
from kitloom.findings import CODES

ROOT = Path(__file__).parents[1]
Texts = tuple[tuple[str, str], ...]
PACKAGES = ("palette", "patterns", "kit", "kitloom")
# words that are drawn into print files, whose bytes stay what they are
DRAWN = {"kit/compose/placing.py", "kit/writers/table.py"}


def table(heading: str) -> list[list[str]]:
    """Return the rows of the table under a heading of DEVELOPERS.md, each as its cells."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8").split(f"\n### {heading}\n")[1]
    lines = re.search(r"(?:^\|.*\n)+", text, re.MULTILINE)
    assert lines, heading
    rows = lines.group().splitlines()[2:]
    return [[cell.strip() for cell in row.strip("|").split("|")] for row in rows]


def not_used() -> dict[str, str]:
    """Return each word that no text uses, and what is said instead."""
    names = {word: row[1] for row in table("One name for one thing") for word in quoted(row[2])}
    return names | {word: row[1] for row in table("Words not used") for word in quoted(row[0])}


def quoted(cell: str) -> list[str]:
    return re.findall(r"“(.+?)”", cell)


def prose(markdown: str) -> str:
    """Return a document's sentences: no code, no addresses, no comments."""
    text = re.sub(r"^```.*?^```", "", markdown, flags=re.MULTILINE | re.DOTALL)
    text = re.sub(r"<!--.*?-->", "", text, flags=re.DOTALL)
    return re.sub(r"`[^`\n]*`|\]\([^)]*\)|\[`[^\]]*\]", " ", text)


def shown(template: str) -> str:
    """Return what a template shows or has read aloud: text, labels and descriptions."""
    text = re.sub(r"<style.*?</style>|{#.*?#}", " ", template, flags=re.DOTALL)
    said = re.findall(r'"([A-Z][^"{}]* [^"{}]*)"', " ".join(re.findall(r"{[{%].*?[}%]}", text)))
    text = re.sub(r"{[{%].*?[}%]}", " ", text, flags=re.DOTALL)
    said += re.findall(r'(?:aria-label|alt|title)="([^"]*)"', text)
    return re.sub(r"<[^>]*>", " ", text) + "\n" + "\n".join(said)


def sentences(code: str) -> Iterator[str]:
    """Yield the texts of a module, f-strings whole; its documentation is for developers."""
    tree = ast.parse(code)
    documented = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    parts: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            parts |= {id(value) for value in node.values}
            yield "".join(
                value.value if isinstance(value, ast.Constant) else "0" for value in node.values
            )
        elif (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in documented | parts
            and " " in node.value
        ):
            yield node.value


def helps(command: click.Command, name: str) -> Iterator[tuple[str, str]]:
    yield f"{name} --help", command.help or ""
    for option in command.params:
        yield f"{name} --help", getattr(option, "help", None) or ""
    if isinstance(command, click.Group):
        context = click.Context(command)
        for one in command.list_commands(context):
            found = command.get_command(context, one)
            assert found is not None
            yield from helps(found, f"{name} {one}")


@cache
def pages() -> tuple[tuple[str, str], ...]:
    """Return docs, templates, help and what findings are called, each with where it is."""
    found = [
        (str(path.relative_to(ROOT)), prose(path.read_text("utf-8")))
        for path in [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
    ]
    found += [
        (str(path.relative_to(ROOT)), shown(path.read_text("utf-8")))
        for path in sorted((ROOT / "kitloom" / "templates").rglob("*.html"))
    ]
    found += helps(kitloom, "kitloom")
    found += [(code, f"{one.title}. {one.means} {one.many}") for code, one in CODES.items()]
    return tuple(found)


@cache
def notes() -> tuple[tuple[str, str], ...]:
    """Return what is measured, with the words that say how."""
    found = [ROOT / "benchmarks" / "README.md", ROOT / "fuzz" / "README.md"]
    return tuple((str(one.relative_to(ROOT)), prose(one.read_text("utf-8"))) for one in found)


@cache
def messages() -> tuple[tuple[str, str], ...]:
    """Return the texts in all modules, each with where it is."""
    paths = [path for one in PACKAGES for path in sorted((ROOT / one).rglob("*.py"))]
    return tuple(
        (str(path.relative_to(ROOT)), said)
        for path in paths
        for said in sentences(path.read_text("utf-8"))
    )


def uses(word: str, texts: Texts) -> list[str]:
    """Return where a word is used, each with some of its sentence."""
    pattern = re.compile(
        r"(?<![\w-])" + r"\s+".join(map(re.escape, word.split())) + r"(?![\w-])", re.IGNORECASE
    )
    return [
        f"{where}: … {' '.join(text[max(0, m.start() - 30) : m.end() + 30].split())} …"
        for where, text in texts
        for m in pattern.finditer(text)
    ]


SLOW = pytest.param(messages, marks=pytest.mark.slow)


@pytest.mark.parametrize("source", [pages, notes, SLOW])
def test_no_text_uses_another_word(source: Callable[[], Texts]) -> None:
    found = [
        f"say {instead} instead of “{word}”: {use}"
        for word, instead in not_used().items()
        for use in uses(word, source())
    ]
    assert not found, "\n".join(found)


@pytest.mark.parametrize("source", [pages, SLOW])
def test_per_cent_and_pixels_are_written_in_one_way(source: Callable[[], Texts]) -> None:
    """39%, 900 × 720 px; with a space or an x the same figure looks like another one."""
    wrong = re.compile(r"\d %(?!\w)|\d x \d+(?:\.\d+)? px")
    found = [(where, m.group()) for where, text in source() for m in wrong.finditer(text)]
    assert not [one for one in found if one[0] not in DRAWN]


def test_texts_are_found() -> None:
    """Were none collected, the tests above could not fail."""
    assert uses("sticker paper", pages())
    assert {"README.md", "docs/first-kit.md", "kitloom make --help", "seam"} <= dict(pages()).keys()
    assert any(where.startswith("kitloom/templates/page/") for where, _ in pages())


@pytest.mark.slow
def test_messages_are_found() -> None:
    assert uses("is still being drawn", messages())
    assert uses("passes the same check", messages())
