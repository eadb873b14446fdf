"""Make the kit's files in the background, with progress, and stop when asked.

In: a bench. The files are those that ``kitloom make`` writes of the same recipe, in the same place,
whole or not at all: a stopped run leaves what was there.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from threading import Lock, Thread
from typing import Literal

from kitloom.cache import inputs_digest
from kitloom.disk import write_set
from kitloom.make import kit_files
from kitloom.page.state import Bench, StoppedError
from palette.errors import KitloomError

State = Literal["idle", "working", "stopped", "failed", "done"]


@dataclass(frozen=True, slots=True)
class Making:
    """How far it is.

    Attributes:
        state: idle before the first run.
        revision: of the recipe that is made.
        done: steps done.
        of: steps in all.
        fault: why it failed.
        files: what was written.
    """

    state: State = "idle"
    revision: int = 0
    done: int = 0
    of: int = 1
    fault: KitloomError | None = None
    files: tuple[Path, ...] = ()


class Maker:
    """Makes one set of files at a time."""

    def __init__(self, bench: Bench) -> None:
        """Be ready; what an earlier start made is found again."""
        self._bench = bench
        self._lock = Lock()
        self._stop = False
        self.making = Making(files=earlier_files(bench))

    def start(self) -> None:
        """Begin, unless it is at work already."""
        with self._lock:
            if self.making.state == "working":
                return
            self._stop = False
            self.making = Making("working", self._bench.revision)
        Thread(target=self._run, name="making", daemon=True).start()

    def stop(self) -> None:
        """Ask the run to stop at its next step."""
        self._stop = True

    def _tick(self) -> None:
        if self._stop:
            raise StoppedError
        self._now(replace(self.making, done=self.making.done + 1))

    def _now(self, making: Making) -> None:
        self.making = making
        self._bench.tell("making")

    def _run(self) -> None:
        try:
            self._now(self._made())
        except StoppedError:
            self._now(Making("stopped", files=earlier_files(self._bench)))
        except KitloomError as error:
            self._now(Making("failed", fault=error, files=earlier_files(self._bench)))
        except Exception as error:  # whatever breaks here must be told, not end in a dead thread
            fault = KitloomError(
                "the kit could not be made",
                where="kit",
                why=str(error),
                remedy="The terminal shows more; undo your last change and try again.",
            )
            self._now(Making("failed", fault=fault, files=earlier_files(self._bench)))
            raise

    def _made(self) -> Making:
        bench = self._bench
        with bench.lock:
            recipe, revision = bench.recipe(), bench.revision
        if recipe is None:
            raise bench.fault() or KitloomError(
                "there is nothing to make yet", where="kit", remedy="Drop some artwork first."
            )
        self._now(Making("working", revision, 0, len(recipe.patterns) + 4))
        inputs = inputs_digest(recipe, None)  # before anything is read: what changes later is new
        files = kit_files(bench.make(recipe, self._tick), self._tick, inputs)
        if self._stop:
            raise StoppedError
        written = write_set(bench.workspace.made, files, overwrite=True)
        return Making("done", revision, 1, 1, files=tuple(sorted(written)))


def earlier_files(bench: Bench) -> tuple[Path, ...]:
    """Return the files that stand where kits go."""
    folder = bench.workspace.made
    if not folder.is_dir():
        return ()
    return tuple(sorted(p for p in folder.iterdir() if p.is_file() and p.name[0] != "."))
