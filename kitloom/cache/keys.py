"""What a remembered result depends on, as hashes: the code and all that goes in.

In: a recipe. Out: SHA-256 texts. The code is kitloom's own sources and the versions of the
libraries that decide what comes of an input: after an upgrade of one of them nothing that was
remembered before is taken over.
"""

from __future__ import annotations

import hashlib
from functools import cache
from importlib import metadata
from pathlib import Path

from kit.recipe import Recipe, files_of
from kitloom import __version__
from patterns.artwork import digest

LIBRARIES = ("numpy", "scipy", "pillow", "scikit-learn", "pikepdf", "ezdxf", "fonttools")
_ROOT = Path(__file__).resolve().parents[2]
_PACKAGES = ("kit", "kitloom", "palette", "patterns")
_SOURCES = {".py", ".csv", ".html", ".json", ".css", ".js", ".svg"}


@cache
def code_digest() -> str:
    """Return a hash of kitloom's version and sources and of its libraries' versions.

    The same wherever they are installed.
    """
    whole = hashlib.sha256(__version__.encode())
    for name in LIBRARIES:
        whole.update(f"{name} {_version(name)}\0".encode())
    for path in source_files():
        whole.update(path.relative_to(_ROOT).as_posix().encode() + b"\0")
        whole.update(path.read_bytes())
    return whole.hexdigest()


def source_files() -> list[Path]:
    """Return the files that kitloom consists of, in an order that is the same everywhere."""
    return [
        path
        for package in _PACKAGES
        for path in sorted((_ROOT / package).rglob("*"), key=lambda one: one.as_posix())
        if path.suffix in _SOURCES and "__pycache__" not in path.parts
    ]


def _version(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:  # bundled by somebody without its record
        return "unknown"


def inputs_digest(recipe: Recipe, keep: Path | None, *, listing: bool = False) -> str:
    """Return one hash of all that a kit is made from.

    Args:
        recipe: with everything that options changed in it.
        keep: an earlier run's lock whose decisions are to stay.
        listing: whether pictures for a shop's listing are made too.
    """
    named = sorted({path for _, path in files_of(recipe)})
    files = [recipe.file, *(recipe.folder / path for path in named), *([keep] if keep else [])]
    parts = [
        code_digest(),
        recipe.file.stem,
        recipe.model_dump_json(),
        *(digest(path) if path.is_file() else "missing" for path in files),
        *(["listing"] if listing else []),
    ]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()
