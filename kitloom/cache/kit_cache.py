"""What the lock of an earlier run remembers: its whole answer, and the verdict on each tile.

In: the folder of an earlier run. Out: that run's summary where nothing has changed since, and tile
studies that take a verdict over. Everything is kept under its inputs: the summary under the hash of
all that the kit is made from, a verdict under the tile's bytes and how it repeats, and both under
the code (``kitloom.cache.keys``). A lock that was edited by hand no longer fits its seal, and
nothing is taken from it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import Any

from kit.compose import Lock, lock_text, read_lock
from kit.recipe_error import RecipeError
from kitloom.cache.encoding import pack, unpack
from kitloom.cache.keys import code_digest
from kitloom.cache.verdicts import Verdict, verdicts_in
from kitloom.disk import own_files
from kitloom.measure import Request, TileStudy, lean_study
from patterns.artwork import digest

LOCK_NAME = "kit.lock.json"


class KitCache:
    """What the lock in one folder remembers; nothing where there is none that can be trusted."""

    def __init__(self, folder: Path) -> None:
        """Read the folder's lock."""
        self._folder = folder
        self._lock = _trusted_lock(folder / LOCK_NAME)

    def summary(self, inputs: str) -> dict[str, Any] | None:
        """Return what the earlier run said, if the kit in the folder is the one that is asked for.

        Args:
            inputs: ``inputs_digest`` of what is asked for.

        Returns:
            its summary; None where anything has changed, in what goes in or in what lies there.
        """
        lock = self._lock
        if lock is None or not lock.inputs or lock.inputs != inputs:
            return None
        standing = {path.name: path for path in own_files(self._folder)}
        standing.pop(LOCK_NAME, None)
        if standing.keys() != lock.outputs.keys():
            return None
        if any(digest(standing[name]) != there for name, there in lock.outputs.items()):
            return None
        summary = unpack(lock.told)
        return summary if isinstance(summary, dict) else None

    @property
    def files(self) -> list[Path]:
        """The files of the earlier run, in the order in which they are listed."""
        names = [*self._lock.outputs, LOCK_NAME] if self._lock is not None else []
        return [self._folder / name for name in names]

    def verdict(self, request: Request) -> Verdict | None:
        """Return a tile's lattice and the verdict on its joins, if they are remembered."""
        if not self._verdicts or not request.path.is_file():
            return None
        return self._verdicts.get((digest(request.path), request.lattice))

    def study(self, request: Request) -> TileStudy:
        """Study a tile for a kit, but for what is remembered of it.

        Raises:
            ArtworkError: the file cannot be used.
        """
        return lean_study(request, self.verdict(request))

    @cached_property
    def _verdicts(self) -> Mapping[tuple[str, str], Verdict]:
        return verdicts_in(self._lock) if self._lock is not None else {}


def _trusted_lock(path: Path) -> Lock | None:
    """Return a lock of this very code that nobody has edited."""
    try:
        lock = read_lock(path)
    except RecipeError:
        return None
    return lock if lock.code == code_digest() and lock.seal == _seal(lock) else None


def with_seal(
    lock: Lock, inputs: str, files: Mapping[str, bytes], summary: Mapping[str, Any]
) -> Lock:
    """Return the lock with all that a later run needs to find a kit unchanged.

    Args:
        lock: what a kit was made from and what was decided.
        inputs: ``inputs_digest`` of what was asked for.
        files: the other files of the kit, by name.
        summary: what is said of the kit, plain values.
    """
    whole = replace(
        lock,
        code=code_digest(),
        inputs=inputs,
        outputs={name: hashlib.sha256(content).hexdigest() for name, content in files.items()},
        told=pack(summary),
    )
    return replace(whole, seal=_seal(whole))


def _seal(lock: Lock) -> str:
    return hashlib.sha256(lock_text(replace(lock, seal="")).encode()).hexdigest()
