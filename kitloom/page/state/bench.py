"""The bench: the maker's recipe, what was measured on it, and the sheet as it is.

In: a workspace, and the runners in which all that takes longer is done. Every edit goes through
``edit``, which checks the new recipe before it is saved; a job then measures and draws the sheet
again, coarse first, and tells the tabs. One lock keeps edits of two tabs apart; each edit changes
only what it is about, so neither undoes the other's.

Previews have a runner of their own: a mend may take minutes, and dropped files must not wait for
it.

Not done here: what an edit does to the text (``edits``), and what is shown (``views``).
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import zip_longest
from pathlib import Path
from threading import RLock

import numpy as np

from kit.compose import Kit, Misplaced, holding_of, misplaced_in_rows
from kit.recipe import PatternPart, Recipe, idle_places, parse_recipe
from kit.render import render_page
from kit.sheet import Placement
from kitloom.findings import bare_findings
from kitloom.jobs import Job, Runner, StoppedError
from kitloom.kits import JudgedKit, make_kit
from kitloom.measure import Request, TileStudy, look_at, round_check
from kitloom.page.page_error import unforeseen_as
from kitloom.page.state.kept_results import KeptResults
from kitloom.page.state.kept_windows import KeptWindows
from kitloom.page.state.pieces import every_piece, recipe_before_artwork, with_piece
from kitloom.page.state.reading import Reader
from kitloom.page.state.recipe_text import with_drafted_rows, with_held, with_places, without_keys
from kitloom.page.state.signals import Signals
from kitloom.page.state.study_cache import StudyCache
from kitloom.page.state.workspace import Workspace
from kitloom.present import plural
from kitloom.report import jpeg_bytes
from palette.errors import KitloomError

COARSE_DPI, FINE_DPI = 50.0, 144.0
MOST_CHANGED = 12  # stickers that are drawn as soon in the fine picture as all in the coarse one
WORKERS = 2  # as many files as a tab sends at once


class SupersededError(StoppedError):
    """The recipe changed while its sheet was drawn."""


@dataclass(frozen=True)
class DrawnKit:
    """What became of one state of the recipe.

    Attributes:
        revision: of which state.
        job: everything measured and decided; of an earlier state where this one has a fault.
        pictures: each sheet as JPEG, coarse or fine; of that state too: a tab may still show it.
        more: of an earlier state with more sheets, those that this one has not: likewise.
        fine: whether the pictures are the fine ones.
        fault: why there is no sheet, or None.
        earlier: what was shown before this state; None at first.
    """

    revision: int
    job: JudgedKit | None = None
    pictures: tuple[bytes, ...] = ()
    more: tuple[bytes, ...] = ()
    fine: bool = False
    fault: KitloomError | None = None
    earlier: JudgedKit | None = None


class Bench:
    """One open kit."""

    def __init__(
        self, workspace: Workspace, runner: Runner, preview_runner: Runner | None = None
    ) -> None:
        """Open a workspace; ``start`` begins to measure it.

        Args:
            workspace: the maker's folder.
            runner: does what takes longer; the bench ends it.
            preview_runner: makes previews, and is ended likewise; the same one where None.
        """
        self.workspace = workspace
        self.runner = runner
        self.preview_runner = preview_runner or runner
        self.reader = Reader(runner)
        self.cache = StudyCache(self.reader.study)
        self.windows = KeptWindows()
        self.results = KeptResults()
        self.signals = Signals()
        self.lock = RLock()
        self.drawing = DrawnKit(0)
        self._revision = 1
        self._restored = 0  # the last state that undo or redo led to
        self._live = False
        self._drawing_job: Job[None] | None = None
        self._parsed: tuple[str, Recipe] | None = None

    @property
    def revision(self) -> int:
        """Counts every change since the start."""
        return self._revision

    @property
    def stuck(self) -> KitloomError | None:
        """Why the kit as it is has no sheet; None while it is drawn, and where it has one."""
        return self.drawing.fault if self.drawing.revision == self.revision else None

    def start(self) -> None:
        """Have the sheet drawn now, and again with every change."""
        self._live = True
        self.draw()

    def close(self, seconds: float | None = None) -> bool:
        """Stop the drawing, the measuring and the previews.

        Args:
            seconds: how long to wait for each runner's end; None for as long as it takes.

        Returns:
            Whether nothing of them is left.
        """
        self._live = False
        return all([self.preview_runner.close(seconds), self.runner.close(seconds)])

    def parse(self, text: str) -> Recipe:
        """Check a recipe's text as the command does.

        Raises:
            RecipeError: it is none.
        """
        known = self._parsed
        if known is not None and known[0] == text:
            return known[1]
        recipe = parse_recipe(text, self.workspace.recipe)
        self._parsed = text, recipe
        return recipe

    def tidied(self, text: str) -> str:
        """Return a recipe's text without keys that have no effect where they are.

        An edit may leave one behind, such as the border when a panel goes.

        Raises:
            RecipeError: it is not a recipe, these keys aside.
        """
        idle = idle_places(text, self.workspace.recipe)
        return without_keys(text, idle) if idle else text

    def recipe(self) -> Recipe | None:
        """Return the recipe as it is; None where there is none, or a broken one."""
        text = self.workspace.text()
        try:
            return self.parse(text) if text else None
        except KitloomError:
            return None

    def fault(self) -> KitloomError | None:
        """Say why the recipe's text cannot be read, if it cannot."""
        text = self.workspace.text()
        try:
            if text:
                self.parse(text)
        except KitloomError as error:
            return error
        return None

    def edit(
        self, label: str, change: Callable[[str], str], drop: str = "", *, holds: bool = False
    ) -> None:
        """Change the recipe's text and save it, if it still is a recipe and if it changed.

        Edits of one ``drop`` that follow each other are undone together. One that ``holds`` leaves
        every sticker as it is shown, as far as the change is not about it; so does each edit after
        one that did.

        Raises:
            KitloomError: the change cannot be made, or would spoil the recipe.
        """
        with self.lock:
            before = self.workspace.text()
            after = change(before)
            if after != before:
                held = self._held(before, begin=holds)
                after = after if held == before else change(held)
                after = self.tidied(after)
            if after == before:
                return
            after = self._still_full(before, after)
            after, left = self._without_misplaced(after)
            self.parse(after)
            self.workspace.save(after, f"{label}{left}", drop)
            self.changed()

    def rewrite(self, text: str, label: str) -> None:
        """Make a text that was written by hand the recipe, to the letter.

        Raises:
            KitloomError: it is not a recipe, or the disk refuses.
        """
        with self.lock:
            if text == self.workspace.text():
                return
            self.parse(text)
            self.workspace.save(text, label)
            self.changed()

    def before_artwork(self) -> str:
        """Return a recipe for a tile that is not there yet, with what was asked already.

        Where that can no longer be read, what any draft begins with.
        """
        with suppress(KitloomError):
            return recipe_before_artwork(self.workspace.beginning())
        return recipe_before_artwork("")

    def begin_with(self, change: Callable[[str], str]) -> None:
        """Keep a change for the recipe that the first artwork begins.

        Raises:
            KitloomError: it would spoil a recipe.
        """
        with self.lock:
            after = change(self.before_artwork())
            self.parse(after)
            self.workspace.keep_beginning(every_piece(after))
        self.tell("changed")

    def begun(self, draft: str) -> str:
        """Return a draft with what was asked before it, its rows filling that sheet."""
        piece = self.workspace.beginning()
        if not piece:
            return draft
        with suppress(KitloomError):  # what can no longer be used is asked again
            after = with_piece(draft, piece)
            return with_drafted_rows(after, self.parse(draft), self.parse(after))
        return draft

    def _held(self, text: str, *, begin: bool) -> str:
        """Return the recipe's text with what its stickers are shown with.

        Where nothing is held yet and nothing is to ``begin``, and where the sheet is not drawn as
        the text stands, it stays as it is.
        """
        job = self.shown_kit()
        recipe = self.recipe()
        if job is None or recipe is None:
            return text
        if not begin and not recipe.holds:
            return text
        kit = job.kit
        windows = kit.windows.offsets_mm, kit.windows.panel_offsets_mm
        return with_held(text, holding_of(recipe, kit.slots, kit.choices, *windows))

    def shown_kit(self) -> JudgedKit | None:
        """Return the kit of the recipe as it is; None while it is drawn, or cannot be."""
        drawing = self.drawing
        if drawing.fault is not None or drawing.revision != self.revision:
            return None
        return drawing.job

    def _still_full(self, before: str, after: str) -> str:
        """Let rows that are still as drafted fill the sheet of another box, paper or set."""
        read = self.parse(after)
        try:
            return with_drafted_rows(after, self.parse(before), read)
        except KitloomError:  # there was no recipe yet, or none that could be read
            return after

    def _without_misplaced(self, text: str) -> tuple[str, str]:
        """Let stickers be placed anew that can no longer lie where the maker put them.

        Also returns words on them, for undo; where they cannot be told, all stays as it is.
        """
        recipe = self.parse(text)
        gone: Misplaced = {}
        with suppress(KitloomError):
            gone = misplaced_in_rows(recipe)
        for row, places in gone.items():
            text = with_places(text, row, dict.fromkeys(places), recipe.rows[row])
        count = sum(map(len, gone.values()))
        return text, f"; {plural(count, 'placed sticker')} did not fit any more" if count else ""

    def undo(self) -> None:
        """Take the last change back."""
        with self.lock:
            if self.workspace.undo() is not None:
                self._restored = self._revision + 1
                self.changed()

    def redo(self) -> None:
        """Make the change again that was taken back."""
        with self.lock:
            if self.workspace.redo() is not None:
                self._restored = self._revision + 1
                self.changed()

    def changed(self) -> None:
        """Have the sheet drawn again and tell the tabs."""
        with self.lock:
            self._revision += 1
            if self._live:
                self.draw()
        self.tell("changed")

    def tell(self, what: str) -> None:
        """Tell the tabs that something happened."""
        self.signals.send(what)

    def request(self, recipe: Recipe, part: PatternPart) -> Request:
        """Return how a pattern's tile is asked for."""
        return Request(recipe.folder / part.file, part.lattice, part.subject)

    def known(self, recipe: Recipe, part: PatternPart) -> TileStudy | None:
        """Return the study of a pattern's tile, if it has been measured."""
        return self.cache.known(self.request(recipe, part))

    def accepted(self, part: PatternPart, study: TileStudy) -> bool:
        """Tell whether a tile's joins are in doubt and the maker found them good."""
        return look_at(part.looked, study, self.cache.mark) == "accepted"

    def make(self, recipe: Recipe, tick: Callable[[], None]) -> JudgedKit:
        """Return the whole job of a recipe, exactly as the command makes it."""

        def studied(request: Request) -> TileStudy:
            return self.results(_rounded, self.cache.study(request))

        paths = _files(recipe)
        return make_kit(
            recipe,
            [],
            tick,
            study_with=studied,
            choose_with=self.cache.choose,
            thin_with=self.cache.thin,
            fields_with=lambda name, plane: self.cache.fields(paths[name], plane),
            remember=self.results,
        )

    def draw(self) -> Job[None]:
        """Have the sheet drawn as it is; a later change replaces it.

        Returns:
            The job, which ends once nothing newer is left to draw.
        """
        with self.lock:
            if self._drawing_job is None:
                self._drawing_job = self.runner.coordinate(self._draw_newest, "the sheet")
            return self._drawing_job

    def wait_drawn(self, seconds: float) -> None:
        """Wait until the sheet is drawn as it is, but no longer than so many seconds."""
        job = self._drawing_job
        if job is not None:
            with suppress(TimeoutError, StoppedError):
                job.result(seconds)

    def _draw_newest(self, job: Job[None]) -> None:
        remedy = "Undo your last change; the terminal shows more."
        while True:
            revision = self._revision
            try:
                with unforeseen_as("cannot be drawn", where="the sheet", remedy=remedy):
                    self._draw(revision, job)
            except SupersededError:
                pass
            except KitloomError as error:  # of an earlier state whatever there is is shown
                self._show(replace(self.drawing, revision=revision, fault=error))
            with self.lock:
                if self._revision == revision:
                    self._drawing_job = None
                    return

    def _draw(self, revision: int, job: Job[None]) -> None:
        def check() -> None:
            job.check()
            if self._revision != revision:
                raise SupersededError

        recipe = self.recipe()
        if recipe is None:
            self._show(DrawnKit(revision))
            return
        # a page that asks in between for nothing new makes the drawing wait
        news = any(self.known(recipe, part) is None for part in recipe.patterns)

        def tick() -> None:
            check()
            if news:
                self.tell("measured")

        self.results.begin()
        kit = self.make(recipe, tick)
        earlier = self.drawing.job
        planes = self.windows.planes(kit.kit, _files(recipe))
        quick = earlier is not None and _changed(earlier.kit, kit.kit) <= MOST_CHANGED
        for dpi in (FINE_DPI,) if quick else (COARSE_DPI, FINE_DPI):
            drawn = [replace(sheet, dpi=dpi) for sheet in kit.kit.sheets]
            pages = [
                render_page(one, planes, mixed=self.windows.mixed, remember=self.results)
                for one in drawn
            ]
            pictures = tuple(jpeg_bytes(page.printed, quality=92) for page in pages)
            check()
            bare = [page.unprinted for page in pages]
            told = kit.with_findings(bare_findings(kit.kit.sheets, bare))
            fine = dpi == FINE_DPI
            # what is only taken back was seen before, and nothing made room for it
            before = None if revision == self._restored else earlier
            self._show(DrawnKit(revision, told, pictures, fine=fine, earlier=before))

    def _show(self, drawing: DrawnKit) -> None:
        before = self.drawing
        more = (*before.pictures, *before.more)[len(drawing.pictures) :]
        self.drawing = replace(drawing, more=more)
        self.tell("drawn")


def _rounded(study: TileStudy) -> TileStudy:
    return replace(study, check=round_check(study.check))


def _files(recipe: Recipe) -> dict[str, Path]:
    return {part.label: recipe.folder / part.file for part in recipe.patterns}


def _changed(earlier: Kit, now: Kit) -> int:
    """Return how many stickers look or lie other than before, place by place on the sheets."""
    pairs = zip_longest(earlier.sheets, now.sheets)
    return sum(
        not _alike(one, other)
        for before, after in pairs
        for one, other in zip_longest(
            before.placements if before else (), after.placements if after else ()
        )
    )


def _alike(one: Placement | None, other: Placement | None) -> bool:
    if one is other:
        return True
    if one is None or other is None:
        return False
    pictures = [place.picture for place in (one, other) if place.picture is not None]
    if len(pictures) == 2:
        before, after = pictures
        if not np.array_equal(before.alpha, after.alpha) or before.box != after.box:
            return False
        if not np.array_equal(before.on_white, after.on_white):
            return False
    elif pictures:
        return False
    return replace(one, picture=None) == replace(other, picture=None)


def open_bench(given: Path) -> Bench:
    """Open a folder or a recipe as a bench with runners of its own.

    Keys without effect, for which the recipe would be refused, go in a step that can be undone.
    """
    workspace = Workspace(given)
    bench = Bench(workspace, Runner(WORKERS, loads=("kitloom.measure",)), Runner(WORKERS))
    with suppress(KitloomError):  # what is wrong with it is shown on the page
        bench.edit("removed what had no effect", bench.tidied)
    return bench
