"""Which picture is asked for? The page's pictures by their address, made when they are asked for.

In: a kind of picture and the address's query. Out: JPEG bytes. Made pictures are kept for a while,
because a page that is drawn again asks for them again.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable, Mapping
from threading import Lock

from kit.recipe import PatternPart, Recipe
from kitloom.jobs import StoppedError
from kitloom.kits import press_opener
from kitloom.measure import TileStudy
from kitloom.page.edits import Form, recipe_of
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench, study_state
from kitloom.page.views import tile_pictures as previews
from kitloom.page.views.tiles_view import MOST_SHOWN_MM
from kitloom.page.work import (
    Previews,
    plan_mend,
    plan_recolour,
    plan_redress,
    plan_repair,
)
from patterns.plane import Plane

_KEPT = 240


class Pictures:
    """The pictures of one bench."""

    def __init__(self, bench: Bench, previews: Previews) -> None:
        """Make pictures of this bench and of its previews."""
        self._bench = bench
        self._previews = previews
        self._lock = Lock()
        self._made: OrderedDict[Hashable, bytes] = OrderedDict()

    def sheet(self, number: int) -> bytes:
        """Return a sheet as it is drawn now, or was when there were more of them.

        Raises:
            PageError: there is no such sheet.
        """
        drawing = self._bench.drawing
        pictures = (*drawing.pictures, *drawing.more)
        if not 1 <= number <= len(pictures):
            raise _gone(f"sheet {number}")
        return pictures[number - 1]

    def tile(self, kind: str, query: Mapping[str, str]) -> bytes:
        """Return a picture of a tile.

        Raises:
            KitloomError: no such picture, or no such tile.
        """
        recipe = recipe_of(self._bench)
        part = next((p for p in recipe.patterns if p.label == query.get("tile")), None)
        if part is None:
            raise _gone("tile")
        study = self._bench.cache.study(self._bench.request(recipe, part))
        if kind == "true-size":
            return self._true_size(study, Form(query))
        if kind == "printed":
            return self._printed(recipe, part, study)
        if kind.startswith("tried-"):
            return self._preview(recipe, part, kind.removeprefix("tried-"), Form(query))
        if kind not in _OF_TILES:
            raise _gone(kind)
        return self._once((kind, *study_state(study)), lambda: _OF_TILES[kind](study))

    def _preview(self, recipe: Recipe, part: PatternPart, kind: str, form: Form) -> bytes:
        """Return a preview, repeated two by two; of a repaired one, as it will print."""
        if kind == "mend":
            plan = plan_mend(self._bench, recipe, part)
        elif kind == "repair":
            plan = plan_repair(self._bench, recipe, part)
        elif kind == "redress":
            plan = plan_redress(self._bench, recipe, part, form.text("wear"))
        else:
            plan = plan_recolour(
                self._bench, recipe, part, form.colour("colour"), form.colour("to")
            )
        try:
            preview = self._previews.result(*plan)
        except StoppedError:
            raise _gone(kind) from None
        if preview.pixels is None or preview.lattice is None:
            raise _gone(kind)
        study = self._bench.cache.study(self._bench.request(recipe, part))
        return previews.as_large_as(study, preview.pixels, preview.lattice)

    def _printed(self, recipe: Recipe, part: PatternPart, study: TileStudy) -> bytes:
        paper, press = recipe.press, press_opener(recipe)()
        named = (paper.surface, str(paper.profile), str(paper.chart))
        key = ("printed", part.label, *named, *study_state(study))
        return self._once(key, lambda: previews.in_print(study, press))

    def _true_size(self, study: TileStudy, form: Form) -> bytes:
        repeat = form.length_mm("repeat", 1.0, 500.0)
        most = float(MOST_SHOWN_MM)
        wide, high = form.length_mm("wide", 1.0, most), form.length_mm("high", 1.0, most)
        dpi = float(form.whole("dpi", 48, 300))

        def make() -> bytes:
            plane = Plane(study.artwork.pixels, repeat, study.lattice)
            return previews.true_size(plane, wide, high, dpi)

        return self._once(("true", *study_state(study), repeat, wide, high, dpi), make)

    def _once(self, key: Hashable, make: Callable[[], bytes]) -> bytes:
        with self._lock:
            if key in self._made:
                self._made.move_to_end(key)
                return self._made[key]
        made = make()
        with self._lock:
            self._made[key] = made
            while len(self._made) > _KEPT:
                self._made.popitem(last=False)
        return made


def _gone(what: str) -> PageError:
    return PageError(f'there is no picture of "{what}"', where="page", remedy="Load it again.")


_OF_TILES: dict[str, Callable[[TileStudy], bytes]] = {
    "thumb": previews.thumb,
    "two-by-two": previews.two_by_two,
    "seam": previews.seam,
    "whole": previews.whole,
    "cell": previews.cell,
}
