"""What a growth depends on, as digests: sources, public tiles, versions of libraries.

In: this repository, and the folder that the public tiles lie in. Out: SHA-256 digests, of which the
first 16 hexadecimal digits are kept. A source counts as Python reads it: comments, docstrings and
layout may change, and the digest stays. Public tiles count by name and decoded pixels, so a file
packed anew stays the same input.
"""

from __future__ import annotations

import ast
import json
import platform
from collections.abc import Iterable
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path

from learning.tiles import Tile

ROOT = Path(__file__).resolve().parent.parent
MANIFEST = Path(__file__).with_name("manifest.json")
# the modules of hands are not among them: nothing is learnt from those
DRAWN_BY = (
    *("learning/drawings/plain.py", "learning/drawings/more.py"),
    *("learning/tiles.py", "learning/faults.py", "learning/joins.py"),
)
MEASURED_BY = (
    *(f"patterns/seams/{name}.py" for name in ("figures", "foresight", "joins", "prediction")),
    *(f"patterns/seams/{name}.py" for name in ("rhythm", "step_measures")),
    *(f"patterns/plane/{name}.py" for name in ("lattice", "linear_light", "reduction", "resample")),
    *("patterns/autocorrelation.py", "patterns/lab32.py", "palette/space/lab.py"),
)
GROWN_BY = ("learning/boosters.py",)
LIBRARIES = ("numpy", "scipy", "pillow", "scikit-learn", "treelite")


def source_digest(places: Iterable[str]) -> str:
    """Return the digest of Python sources: files, or folders with all that is in them."""
    digest = sha256()
    for place in places:
        path = ROOT / place
        for file in sorted(path.rglob("*.py")) if path.is_dir() else [path]:
            digest.update(file.relative_to(ROOT).as_posix().encode() + b"\n")
            digest.update(without_words(file.read_text(encoding="utf-8")).encode() + b"\n")
    return digest.hexdigest()[:16]


def without_words(source: str) -> str:
    """Return Python code without comments and docstrings, laid out one way."""
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and ast.get_docstring(
            node
        ):
            node.body = node.body[1:] or [ast.Pass()]
    return ast.unparse(tree)


def tile_digest(tile: Tile) -> str:
    """Return the digest of one tile's pixels."""
    return sha256(repr(tile.pixels.shape).encode() + tile.pixels.tobytes()).hexdigest()[:16]


def tiles_digest(tiles: Iterable[Tile]) -> str:
    """Return the digest of all these tiles, with their names."""
    lines = [f"{tile.family}/{tile.name} {tile_digest(tile)}" for tile in tiles]
    return sha256("\n".join(sorted(lines)).encode()).hexdigest()[:16]


def versions() -> dict[str, str]:
    """Return the versions of Python and of the libraries that a growth uses."""
    return {"python": platform.python_version(), **{name: version(name) for name in LIBRARIES}}


def read_manifest() -> dict[str, dict[str, str]]:
    """Return the public tiles that the table was grown from: of each family, digests by name."""
    found: dict[str, dict[str, str]] = json.loads(MANIFEST.read_text(encoding="utf-8"))["tiles"]
    return found


def differing(tiles: Iterable[Tile], manifest: dict[str, dict[str, str]]) -> list[str]:
    """Return the names of public tiles that are missing, new or other than the manifest says."""
    here = {f"{tile.family}/{tile.name}": tile_digest(tile) for tile in tiles}
    wanted = {f"{k}/{name}": digest for k, of in manifest.items() for name, digest in of.items()}
    return sorted(k for k in here.keys() | wanted.keys() if here.get(k) != wanted.get(k))
