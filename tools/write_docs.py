"""Write the reference pages of docs/ from the tables in the code, or say which are out of date.

Usage: python tools/write_docs.py             every page, with examples run again (some minutes)
       python tools/write_docs.py --tables    every page, with the examples that are there
       python tools/write_docs.py --check     write nothing; exit status 1 if a page is out of date

Needs no network. The check builds all tables again and keeps the examples' outputs as they are; an
example that is missing fails it.
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
DOCS = ROOT / "docs"
sys.path[:0] = [str(ROOT), str(ROOT / "tools")]

import draw_coordinates  # noqa: E402  beside this file
import draw_kinds  # noqa: E402  beside this file
from reference import commands, exchange, findings, presses, recipe, roads, writers  # noqa: E402

from kitloom.findings import CODES  # noqa: E402


def pages(*, rerun: bool) -> dict[Path, str]:
    """Return every page's text by its path."""
    before = {
        path.relative_to(DOCS).as_posix(): path.read_text("utf-8") for path in DOCS.rglob("*.md")
    }
    found = None
    if rerun:
        from reference.finding_examples import examples

        found = examples()
    made = {
        "findings.md": findings.page(found, before.get("findings.md", "")),
        "recipe.md": recipe.page(),
        "presses.md": presses.page(),
        "exchange.md": exchange.page(),
        "files.md": writers.page(),
        "coordinates.md": draw_coordinates.page(),
        "first-kit.md": roads.with_cautions(before.get("first-kit.md", "")),
        "print-and-cut.md": roads.page(before.get("print-and-cut.md", "")),
        **commands.pages(before, rerun=rerun),
    }
    front = ROOT / "README.md"
    return (
        {DOCS / name: text for name, text in made.items()}
        | draw_kinds.files()
        | {front: roads.with_cautions(front.read_text("utf-8"))}
    )


def faults(wanted: dict[Path, str]) -> list[str]:
    """Return what is out of date or missing, one line each."""
    said = [
        f"{path.relative_to(ROOT)} is out of date"
        for path, text in wanted.items()
        if path.name != "icon.svg"  # its pixels differ with the image library's version
        and (not path.exists() or path.read_text("utf-8") != text)
    ]
    kept = findings.kept_examples(wanted[DOCS / "findings.md"])
    said += [f"docs/findings.md has no example of {name}" for name in CODES if name not in kept]
    for path, text in wanted.items():
        if path.parent.name == "commands" and path.name != "README.md":
            if not commands.kept_output(text):
                said.append(f"docs/commands/{path.name} has no example")
            wanted_names = {f"{name}.md" for name in commands.COMMANDS} | {"README.md"}
    said += [
        f"docs/commands/{path.name} is about no command"
        for path in (DOCS / "commands").glob("*.md")
        if path.name not in wanted_names
    ]
    said += recipe.faults()
    return said


def main() -> int:
    """Write the pages, or check them."""
    if "--check" in sys.argv[1:]:
        said = faults(pages(rerun=False))
        for line in said:
            print(line)
        return int(bool(said))
    for path, text in pages(rerun="--tables" not in sys.argv[1:]).items():
        if path.exists() and path.read_text("utf-8") == text:
            continue
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
        print(f"written: {path.relative_to(ROOT)}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
