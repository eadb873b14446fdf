"""The house rules that a machine can check: who may import whom, what is used, how long it is."""

from __future__ import annotations

import ast
import re
import tomllib
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


# distributions whose import has another name, and what is used without an import statement
IMPORTED_AS = {"fonttools": "fontTools", "pillow": "PIL", "scikit-learn": "sklearn"}
USED_OTHERWISE = {
    "dask": ("kitloom/library/cluster.py", 'backend="dask"'),
    "font-lato": ("kit/typeface.py", 'files("font_lato")'),
    "python-multipart": ("kitloom/page/app.py", "request.form("),  # starlette reads forms with it
}


def test_every_dependency_is_used() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    cluster = project["optional-dependencies"]["cluster"]
    modules = [path for package in ALLOWED for path in (ROOT / package).rglob("*.py")]
    imported = {name.split(".")[0] for path in modules for name in imports_of(path)}
    for line in [*project["dependencies"], *cluster]:
        name = re.split(r"[<>=~!]", line)[0]
        if name in USED_OTHERWISE:
            file, word = USED_OTHERWISE[name]
            assert word in (ROOT / file).read_text(), name
        else:
            assert IMPORTED_AS.get(name, name) in imported, f"nothing imports {name}"


def test_functions_and_files_stay_small_enough_to_read_in_one_go() -> None:
    for package in ALLOWED:
        for path in (ROOT / package).rglob("*.py"):
            text = path.read_text()
            assert text.count("\n") <= 400, path
            for node in ast.walk(ast.parse(text)):
                if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                    lines = (node.end_lineno or node.lineno) - node.lineno + 1
                    assert lines <= 60, f"{path.relative_to(ROOT)}: {node.name} has {lines} lines"
