"""The bench: the maker's recipe, what was measured on it, and the sheet as it stands.

In: a workspace. Every edit goes through ``edit``, which checks the new recipe before it is saved;
a thread then measures and draws the sheet anew, coarse first, and tells the tabs. One lock keeps
edits of two tabs apart; each edit changes only what it is about, so neither undoes the other's.

Not done here: what an edit does to the text (``edits``), and what is shown (``views``).
"""

from __future__ import annotations

import traceback
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from threading import Condition, RLock, Thread

from kit.recipe import PatternPart, Recipe, parse_recipe
from kit.render import render_sheet
from kitloom.kits import Job, make_kit
from kitloom.measure import Request, TileStudy, UsedPattern, Wanted, looked_at, measure, rounded
from kitloom.page.state.aside import Aside
from kitloom.page.state.cache import Memory
from kitloom.page.state.shelter import Shelter
from kitloom.page.state.signals import Signals
from kitloom.page.state.turns import Turns
from kitloom.page.state.workspace import Workspace
from kitloom.report import jpeg_bytes
from palette.errors import KitloomError
from palette.press import Press

COARSE_DPI, FINE_DPI = 50.0, 144.0


class SupersededError(Exception):
    """The recipe changed while its sheet was drawn."""


@dataclass(frozen=True)
class Drawn:
    """What became of one state of the recipe.

    Attributes:
        revision: of which state.
        job: everything measured and decided; of an earlier state where this one has a fault.
        pictures: each sheet as JPEG, coarse or fine.
        fine: whether the pictures are the fine ones.
        fault: why there is no sheet, or None.
    """

    revision: int
    job: Job | None = None
    pictures: tuple[bytes, ...] = ()
    fine: bool = False
    fault: KitloomError | None = None


class Bench:
    """One open kit."""

    def __init__(self, workspace: Workspace, shelter: Shelter, aside: Aside | None = None) -> None:
        """Open a workspace; ``start`` begins to measure it."""
        self.workspace = workspace
        self.shelter = shelter
        self.aside = aside or Aside()
        self.memory = Memory(shelter.study)
        self.signals = Signals()
        self.turns = Turns()
        self.lock = RLock()
        self.drawn = Drawn(0)
        self._revision = 1
        self._changed = Condition(self.lock)
        self._open = True

    @property
    def revision(self) -> int:
        """Counts every change since the start."""
        return self._revision

    def start(self) -> None:
        """Begin to measure and draw."""
        Thread(target=self._draw_for_ever, name="drawing", daemon=True).start()

    def close(self) -> None:
        """End the drawing, the measuring and the tries."""
        with self._changed:
            self._open = False
            self._changed.notify_all()
        self.aside.close()
        self.shelter.close()

    def parsed(self, text: str) -> Recipe:
        """Check a recipe's text as the command does.

        Raises:
            RecipeError: it is none.
        """
        return parse_recipe(text, self.workspace.recipe)

    def recipe(self) -> Recipe | None:
        """Return the recipe as it stands; None where there is none, or a broken one."""
        text = self.workspace.text()
        try:
            return self.parsed(text) if text else None
        except KitloomError:
            return None

    def fault(self) -> KitloomError | None:
        """Say why the recipe's text cannot be read, if it cannot."""
        text = self.workspace.text()
        try:
            if text:
                self.parsed(text)
        except KitloomError as error:
            return error
        return None

    def edit(self, label: str, change: Callable[[str], str], drop: str = "") -> None:
        """Change the recipe's text and save it, if it still is a recipe and if it changed.

        Edits of one ``drop`` that follow each other are undone together.

        Raises:
            KitloomError: the change cannot be made, or would spoil the recipe.
        """
        with self.lock:
            before = self.workspace.text()
            after = change(before)
            if after == before:
                return
            self.parsed(after)
            self.workspace.save(after, label, drop)
            self.changed()

    def undo(self) -> None:
        """Take the last change back."""
        with self.lock:
            if self.workspace.undo() is not None:
                self.changed()

    def redo(self) -> None:
        """Make the change again that was taken back."""
        with self.lock:
            if self.workspace.redo() is not None:
                self.changed()

    def changed(self) -> None:
        """Have the sheet drawn anew and tell the tabs."""
        with self._changed:
            self._revision += 1
            self._changed.notify_all()
        self.tell("changed")

    def tell(self, what: str) -> None:
        """Tell the tabs that something happened."""
        self.signals.send(what)

    def request(self, recipe: Recipe, part: PatternPart) -> Request:
        """Return how a pattern's tile is asked for."""
        return Request(recipe.folder / part.file, part.lattice, part.subject)

    def known(self, recipe: Recipe, part: PatternPart) -> TileStudy | None:
        """Return the study of a pattern's tile, if it has been measured."""
        return self.memory.known(self.request(recipe, part))

    def looked(self, part: PatternPart, study: TileStudy) -> bool:
        """Tell whether a tile is unsure and the maker looked at it and found it good."""
        return looked_at(part.looked, study, self.memory.mark)

    def make(self, recipe: Recipe, tick: Callable[[], None]) -> Job:
        """Return the whole job of a recipe, exactly as the command makes it."""

        def studied(request: Request) -> TileStudy:
            found = self.memory.study(request)
            return replace(found, check=rounded(found.check))

        def measured(wanted: Wanted, press: Press) -> UsedPattern:
            return measure(wanted, press, studied)

        return make_kit(recipe, [], tick, measure_with=measured, choose_with=self.memory.choose)

    def _draw_for_ever(self) -> None:
        done = 0
        while True:
            with self._changed:
                while self._revision == done and self._open:
                    self._changed.wait()
                if not self._open:
                    return
                done = self._revision
            try:
                self._draw(done)
            except SupersededError:
                continue
            except Exception as error:  # the thread must live on, and the tabs must be told
                traceback.print_exc()
                fault = KitloomError(
                    "cannot be drawn",
                    where="the sheet",
                    why=str(error),
                    remedy="Undo your last change; the terminal shows more.",
                )
                self._show(Drawn(done, self.drawn.job, fault=fault))

    def _draw(self, revision: int) -> None:
        def tick() -> None:
            if self._revision != revision or not self._open:
                raise SupersededError
            self.tell("measured")

        recipe = self.recipe()
        if recipe is None:
            self._show(Drawn(revision))
            return
        try:
            job = self.make(recipe, tick)
        except KitloomError as error:
            self._show(Drawn(revision, self.drawn.job, fault=error))
            return
        for dpi in (COARSE_DPI, FINE_DPI):
            pictures = tuple(
                jpeg_bytes(render_sheet(sheet, job.kit.planes, dpi), quality=92)
                for sheet in job.kit.sheets
            )
            if self._revision != revision:
                raise SupersededError
            self._show(Drawn(revision, job, pictures, fine=dpi == FINE_DPI))

    def _show(self, drawn: Drawn) -> None:
        self.drawn = drawn
        self.tell("drawn")


def open_bench(given: Path, shelter: Shelter | None = None) -> Bench:
    """Open a folder or a recipe as a bench."""
    return Bench(Workspace(given), shelter or Shelter())
