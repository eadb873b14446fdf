"""How the work of one kit is shared out: between threads here, and with the process beside.

In: what ``make_kit`` and ``kit_files`` ask for. Out: the same values and bytes, whoever made them.
Tiles go to whoever is free. Clustering and DXF, whose libraries take longest to load, go to the
process beside, which has them loaded by then; while it chooses the palette, the report's pictures
are begun here. Where there is no such process, or it is lost, all is done here.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any, Literal

from kit.recipe import Recipe
from kit.render import CutPage
from kit.writers import Writer
from kitloom.kits import press_words
from kitloom.make.beside import Beside, LostError
from kitloom.make.beside_work import Known, measured_there, part_there, rebuilt
from kitloom.make.memory import give_back
from kitloom.measure import Request, UsedPattern, Wanted, lean_study, measure
from kitloom.report import tile_part
from palette.choose import ColourBins, Palette, choose
from palette.press import Press

MOST_THREADS = 8

Part = dict[str, Any]


class Sharing:
    """One kit's work; a context whose end ends its threads."""

    def __init__(
        self,
        recipe: Recipe,
        beside: Beside | None = None,
        known: Callable[[Request], Known] = lambda _: None,
    ) -> None:
        """Share out a recipe's work; ``known`` tells of tiles that were measured before."""
        cores = min(MOST_THREADS, os.cpu_count() or 1)
        self.pool = ThreadPoolExecutor(cores)
        self._own = ThreadPoolExecutor(max(1, cores - 1) if beside else cores)
        self._line = ThreadPoolExecutor(1)
        self._recipe = recipe
        self._beside = beside
        self._known = known
        self._words = press_words(recipe)
        self._here: list[tuple[UsedPattern, Press]] = []
        self._there: list[tuple[UsedPattern, Press]] = []
        self._parts: dict[str, Future[Part]] = {}

    def __enter__(self) -> Sharing:
        return self

    def __exit__(self, *_: object) -> None:
        for pool in (self.pool, self._own, self._line):
            pool.shutdown(cancel_futures=True)

    def measure(self, wanted: Wanted, press: Press) -> UsedPattern:
        """Measure one pattern, over there if nothing else is being done there."""
        known = self._known(wanted.request)
        if self._beside is not None:
            try:
                found = self._beside.ask(measured_there, wanted, known, self._words, wait=False)
            except LostError:
                pass
            else:
                self._there.append((rebuilt(found), press))
                return self._there[-1][0]
        used = measure(wanted, press, lambda request: lean_study(request, known))
        self._here.append((used, press))
        return used

    def choose(
        self,
        bins: Mapping[str, ColourBins],
        colours: int | Literal["auto"] = "auto",
        pinned: Sequence[str] = (),
    ) -> Palette:
        """Choose the palette over there, and begin the report's pictures meanwhile."""
        give_back()
        if self._beside is None:
            return choose(bins, colours, pinned)
        for used, press in self._here:
            self._begin(used, press)
        try:
            chosen = self._beside.ask(choose, bins, colours, pinned)
        except LostError:
            chosen = choose(bins, colours, pinned)
        for used, press in self._there:
            self._parts[used.name] = self._line.submit(self._part_beside, used, press)
        return chosen

    def parts(self, patterns: Sequence[UsedPattern], press: Press) -> list[Future[Part]]:
        """Return what the report shows of each pattern, begun if it was not."""
        return [self._parts.get(used.name) or self._begin(used, press) for used in patterns]

    def _begin(self, used: UsedPattern, press: Press) -> Future[Part]:
        self._parts[used.name] = self._own.submit(tile_part, used, press, *self._shown)
        return self._parts[used.name]

    @property
    def _shown(self) -> tuple[int, tuple[float, float]]:
        return len(self._recipe.patterns), self._recipe.planner.box

    def _part_beside(self, used: UsedPattern, press: Press) -> Part:
        assert self._beside is not None
        try:
            return self._beside.ask(part_there, used.name, self._words, *self._shown)
        except LostError:
            return tile_part(used, press, *self._shown)

    def cut_file(self, writer: Writer, page: CutPage) -> Future[bytes]:
        """Return a file of a sheet's cuts, begun."""
        if self._beside is None or not writer.heavy:
            return self.pool.submit(writer.write, page)
        return self._line.submit(self._cut_beside, writer, page)

    def _cut_beside(self, writer: Writer, page: CutPage) -> bytes:
        assert self._beside is not None
        try:
            return self._beside.ask(writer.write, page)
        except LostError:
            return writer.write(page)

    def ask_no_more(self) -> None:
        """Let the other process end as soon as it has answered what was begun: it holds memory."""
        if self._beside is not None:
            self._line.submit(self._beside.close)
