"""Make the kit's files in the background, with progress, and stop when asked.

In: a bench. The files are those that ``kitloom make`` writes of the same recipe, in the same place,
whole or not at all: a stopped run leaves what was there.
"""

from __future__ import annotations

from functools import partial
from pathlib import Path
from threading import Lock

from kit.recipe import Recipe, paths_of
from kitloom.cache import inputs_digest
from kitloom.disk import SINGLE_FILES, write_set
from kitloom.jobs import Job, Progress
from kitloom.make import kit_files
from kitloom.page.page_error import PageError, unforeseen_as
from kitloom.page.state import Bench

LISTING = tuple(name for name, one in SINGLE_FILES.items() if one.kind == "show")
MORE_STEPS = 4  # beside one for each tile: palette, layout and two of the files


class FileMaking:
    """Makes one set of files at a time.

    Attributes:
        files: those that are there now.
        revision: of the recipe that they were made from; 0 where that is not known.
    """

    def __init__(self, bench: Bench) -> None:
        """Be ready; what an earlier start made is found again."""
        self._bench = bench
        self._lock = Lock()
        self._job: Job[None] | None = None
        self.files = earlier_files(bench)
        self.revision = 0

    @property
    def progress(self) -> Progress | None:
        """How far it is; None before the first run."""
        with self._lock:
            return self._job.progress if self._job is not None else None

    @property
    def listing(self) -> bool:
        """Whether there are pictures for a shop's listing among the files."""
        return any(path.name in LISTING for path in self.files)

    def start(self, *, listing: bool = False) -> None:
        """Begin, unless it is at work already; with pictures for a shop's ``listing`` too."""
        bench = self._bench
        with self._lock:
            if self._job is not None and not self._job.progress.ended:
                return
            with bench.lock:
                recipe, revision = bench.recipe(), bench.revision
            steps = len(recipe.patterns) + MORE_STEPS if recipe is not None else 1
            work = partial(self._make, recipe, revision, listing)
            self._job = bench.runner.coordinate(work, "the kit", steps, changed=self._tell)

    def stop(self) -> None:
        """Have the run end at its next step."""
        with self._lock:
            if self._job is not None:
                self._job.stop()

    def _make(self, recipe: Recipe | None, revision: int, listing: bool, job: Job[None]) -> None:
        remedy = "The terminal shows more; undo your last change and try again."
        try:
            with unforeseen_as("the kit could not be made", where="kit", remedy=remedy):
                self.files = self._write(recipe, listing, job)
            self.revision = revision
        except BaseException:
            self.files, self.revision = earlier_files(self._bench), 0
            raise

    def _write(self, recipe: Recipe | None, listing: bool, job: Job[None]) -> tuple[Path, ...]:
        bench = self._bench
        if recipe is None:
            raise bench.fault() or PageError(
                "there is nothing to make yet", where="kit", remedy="Drop some artwork first."
            )
        # before anything is read: what changes later is new
        inputs = inputs_digest(recipe, None, listing=listing)
        make = partial(kit_files, listing=True) if listing else kit_files
        files = make(bench.make(recipe, job.step), job.step, inputs)
        job.check()
        return tuple(
            sorted(write_set(bench.workspace.made, files, reads=paths_of(recipe), overwrite=True))
        )

    def _tell(self, job: Job[None]) -> None:
        del job
        self._bench.tell("making")


def earlier_files(bench: Bench) -> tuple[Path, ...]:
    """Return the files that are where kits go."""
    folder = bench.workspace.made
    if not folder.is_dir():
        return ()
    return tuple(sorted(p for p in folder.iterdir() if p.is_file() and p.name[0] != "."))
