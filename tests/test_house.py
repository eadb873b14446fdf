"""The house rules that a machine can check beside ``.importlinter``: what is said, what is used."""

from __future__ import annotations

import ast
import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[1]
PACKAGES = ("palette", "patterns", "kit", "kitloom")


def imports_of(path: Path) -> set[str]:
    tree = ast.parse(path.read_text())
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            found.add(node.module)
    return found


def test_every_module_says_what_it_answers() -> None:
    for package in PACKAGES:
        for path in (ROOT / package).rglob("*.py"):
            assert ast.get_docstring(ast.parse(path.read_text())), path


# each there on some systems only, or a way round the language
OF_THE_SYSTEM = {"ctypes", "fcntl", "gc", "msvcrt", "resource", "winreg"}


def test_one_module_alone_depends_on_the_system() -> None:
    for package in PACKAGES:
        for path in (ROOT / package).rglob("*.py"):
            if path != ROOT / "kitloom" / "system.py":
                assert not imports_of(path) & OF_THE_SYSTEM, path


# distributions whose import has another name, and what is used without an import statement
IMPORTED_AS = {"fonttools": "fontTools", "pillow": "PIL", "scikit-learn": "sklearn"}
USED_OTHERWISE = {
    "dask": ("kitloom/library/cluster.py", 'backend="dask"'),
    "python-multipart": (
        "kitloom/page/server/app.py",
        "request.form(",
    ),  # starlette reads forms with it
}


def test_every_dependency_is_used() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    cluster = project["optional-dependencies"]["cluster"]
    modules = [path for package in PACKAGES for path in (ROOT / package).rglob("*.py")]
    imported = {name.split(".")[0] for path in modules for name in imports_of(path)}
    for line in [*project["dependencies"], *cluster]:
        name = re.split(r"[<>=~!]", line)[0]
        if name in USED_OTHERWISE:
            file, word = USED_OTHERWISE[name]
            assert word in (ROOT / file).read_text(), name
        else:
            assert IMPORTED_AS.get(name, name) in imported, f"nothing imports {name}"
