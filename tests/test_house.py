"""The house rules that a machine can check: which package may import which."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ALLOWED = {
    "palette": {"palette"},
    "patterns": {"patterns", "palette"},
    "kit": {"kit", "patterns", "palette"},
    "kitloom": {"kitloom", "kit", "patterns", "palette"},
}
# what patterns may take from palette: arithmetic and the base error, no judgement
PATTERNS_MAY = {"palette.lab", "palette.difference", "palette.errors"}


def imports_of(path: Path) -> set[str]:
    tree = ast.parse(path.read_text())
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            found.add(node.module)
    return found


@pytest.mark.parametrize("package", ALLOWED)
def test_imports_go_one_way(package: str) -> None:
    for path in (ROOT / package).rglob("*.py"):
        ours = {name for name in imports_of(path) if name.split(".")[0] in ALLOWED}
        wrong = {name for name in ours if name.split(".")[0] not in ALLOWED[package]}
        assert not wrong, f"{path.relative_to(ROOT)} imports {wrong}"
        if package == "patterns":
            taken = {name for name in ours if name.startswith("palette")}
            assert taken <= PATTERNS_MAY, f"{path.relative_to(ROOT)} imports {taken}"


def test_every_module_says_what_it_answers() -> None:
    for package in ALLOWED:
        for path in (ROOT / package).rglob("*.py"):
            assert ast.get_docstring(ast.parse(path.read_text())), path
