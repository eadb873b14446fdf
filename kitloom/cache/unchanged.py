"""Has this very kit been made already? Then its files stand, and only its answer is told again.

In: a recipe and the folder of an earlier run. Out: what that run told, if recipe, artwork, profile,
every other file named in the recipe and kitloom itself are the same (SHA-256), and if every file of
the set still lies in the folder as it was written. Anything else means None, and the kit is made.
The record stands in ``kit.lock.json``; a lock that was edited by hand no longer fits its seal.

Not looked at: newer versions of the libraries below kitloom. Delete the folder to make a kit anew.
"""

from __future__ import annotations

import base64
import hashlib
import json
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from kit.compose import Lock, lock_text, read_lock
from kit.recipe import Recipe
from kit.recipe_error import RecipeError
from kitloom import __version__
from kitloom.disk import own_files
from patterns.artwork import digest

LOCK_NAME = "kit.lock.json"
MOST_TOLD_BYTES = 50_000_000
_PACKAGES = ("kit", "kitloom", "palette", "patterns")
_SOURCES = {".py", ".csv", ".html", ".json", ".css", ".js", ".svg"}


def inputs_digest(recipe: Recipe, keep: Path | None) -> str:
    """Return one hash of all that a kit is made from.

    Args:
        recipe: with everything that options changed in it.
        keep: an earlier run's lock whose decisions are to stay.
    """
    named = {path: recipe.folder / path for path in _paths_in(recipe)}
    files = [recipe.file, *(named[path] for path in sorted(named)), *([keep] if keep else [])]
    parts = [
        own_digest(),
        recipe.file.stem,
        recipe.model_dump_json(),
        *(digest(path) if path.is_file() else "missing" for path in files),
    ]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()


def _paths_in(part: object) -> Iterator[Path]:
    """Find every file that a recipe names, at whatever depth."""
    if isinstance(part, Path):
        yield part
    elif isinstance(part, BaseModel):
        for name, field in type(part).model_fields.items():
            if not field.exclude:
                yield from _paths_in(getattr(part, name))
    elif isinstance(part, tuple | list):
        for one in part:
            yield from _paths_in(one)


@cache
def own_digest() -> str:
    """Return a hash of kitloom's own version and sources, the same wherever it is installed."""
    root = Path(__file__).resolve().parents[1]
    whole = hashlib.sha256(__version__.encode())
    for package in _PACKAGES:
        for path in sorted((root / package).rglob("*"), key=lambda one: one.as_posix()):
            if path.suffix in _SOURCES and "__pycache__" not in path.parts:
                whole.update(path.relative_to(root).as_posix().encode() + b"\0")
                whole.update(path.read_bytes())
    return whole.hexdigest()


def earlier_lock(folder: Path) -> Lock | None:
    """Return the lock of an earlier run of this very kitloom, if it is there and unedited."""
    try:
        lock = read_lock(folder / LOCK_NAME)
    except RecipeError:
        return None
    own = lock.code == own_digest() and lock.seal == _seal(lock)
    return lock if own else None


def sealed(lock: Lock, inputs: str, files: Mapping[str, bytes], told: Mapping[str, Any]) -> Lock:
    """Return the lock with all that a later run needs to find a kit unchanged."""
    whole = replace(
        lock,
        code=own_digest(),
        inputs=inputs,
        outputs={name: hashlib.sha256(content).hexdigest() for name, content in files.items()},
        told=packed(told),
    )
    return replace(whole, seal=_seal(whole))


def _seal(lock: Lock) -> str:
    return hashlib.sha256(lock_text(replace(lock, seal="")).encode()).hexdigest()


def told_before(folder: Path, lock: Lock | None, inputs: str) -> dict[str, Any] | None:
    """Return what the earlier run told, if nothing has changed since; its files stand then."""
    if lock is None or not lock.inputs or lock.inputs != inputs:
        return None
    standing = {path.name: path for path in own_files(folder)}
    standing.pop(LOCK_NAME, None)
    if standing.keys() != lock.outputs.keys():
        return None
    if any(digest(standing[name]) != there for name, there in lock.outputs.items()):
        return None
    told = unpacked(lock.told)
    return told if isinstance(told, dict) else None


def names_in(lock: Lock) -> list[str]:
    """Return the names of a whole set, in the order in which they are told."""
    return [*lock.outputs, LOCK_NAME]


def packed(content: object) -> str:
    """Return a JSON value as short printable text."""
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return base64.b64encode(zlib.compress(text.encode(), 9)).decode("ascii")


def unpacked(text: str) -> Any:
    """Return the JSON value of ``packed`` text, within the limit that no kit comes near."""
    return json.loads(zlib.decompressobj().decompress(base64.b64decode(text), MOST_TOLD_BYTES))
