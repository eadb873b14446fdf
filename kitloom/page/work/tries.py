"""Try it first: a tile mended, repaired for print, or in other colours, before it is used.

In: which try (``remakes``) and the function that makes it (``remade``). Out: the try, made aside,
where it can be stopped, and kept, so that looking again costs nothing. Using it writes a new file
beside the old one and names it in the recipe; the old file is never touched, and undo goes back to
it.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from concurrent.futures import Future
from dataclasses import dataclass, field
from threading import Lock, Thread

from kit.recipe import PatternPart, Recipe
from kitloom.disk import replace_file
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench, StoppedError, millimetres, unused, with_pattern_value
from kitloom.page.work.remade import Try
from kitloom.report import png_bytes
from palette.errors import KitloomError

_KEPT = 24


@dataclass(frozen=True)
class _Run:
    """One try: its number, and what becomes of it."""

    number: int
    coming: Future[Try] = field(default_factory=Future)


class Tries:
    """The tries of one bench."""

    def __init__(self, bench: Bench) -> None:
        """Have tried nothing yet."""
        self._bench = bench
        self._lock = Lock()
        self._runs: dict[Hashable, _Run] = {}

    def now(self, key: Hashable, make: Callable[[], Try]) -> Try:
        """Return a try, waited for, or as it was made before.

        Raises:
            KitloomError: it cannot be made.
            StoppedError: it was stopped.
        """
        return self._run(key, make).coming.result()

    def soon(self, key: Hashable, make: Callable[[], Try]) -> Try:
        """Return a try if it is made, else begin it; the tabs are told when it is.

        One that was stopped stays so until ``again``: another tab may show it too.
        """
        run = self._run(key, make)
        if not run.coming.done():
            return Try(number=run.number)
        try:
            return run.coming.result()
        except StoppedError:
            return Try("stopped", number=run.number)
        except KitloomError as error:
            return Try("made", error.line())
        except Exception as error:  # a thread's fault must be told on the page
            return Try("made", str(error))

    def stop(self, number: int) -> None:
        """Stop a try that is being made."""
        self._bench.aside.stop(number)

    def again(self, number: int) -> None:
        """Let a stopped try be made anew when it is asked for next."""
        with self._lock:
            for key, run in list(self._runs.items()):
                if run.number == number and run.coming.done():
                    del self._runs[key]

    def number_of(self, key: Hashable, make: Callable[[], Try]) -> int:
        """Return the number by which a try can be stopped, and begin it if it was stopped once."""
        with self._lock:
            run = self._runs.get(key)
            if run and run.coming.done() and run.coming.exception() is not None:
                del self._runs[key]
        return self._run(key, make).number

    def _run(self, key: Hashable, make: Callable[[], Try]) -> _Run:
        with self._lock:
            run = self._runs.get(key)
            if run is not None:
                return run
            run = self._runs[key] = _Run(self._bench.aside.number())
            done = [key for key, one in self._runs.items() if one.coming.done()]
            for old in done[: max(0, len(self._runs) - _KEPT)]:
                del self._runs[old]
        Thread(target=self._make, args=(run, make), name="trying", daemon=True).start()
        return run

    def _make(self, run: _Run, make: Callable[[], Try]) -> None:
        try:
            run.coming.set_result(self._bench.aside.run(run.number, make))
        except Exception as error:  # whoever asked for it is told
            run.coming.set_exception(error)
        self._bench.tell("tried")


def use(bench: Bench, label: str, word: str, made: Sequence[tuple[PatternPart, Try]]) -> None:
    """Write new tiles beside the old ones and have the recipe use them.

    Args:
        bench: whose recipe it is.
        label: what was done, for undo.
        word: what the new files' names end in.
        made: patterns with their tries.

    Raises:
        PageError: nothing was made that could be used, or the tiles were changed meanwhile.
    """
    use_and(bench, label, word, made, lambda text: text)


def use_and(
    bench: Bench,
    label: str,
    word: str,
    made: Sequence[tuple[PatternPart, Try]],
    change_more: Callable[[str], str],
) -> None:
    """Use new tiles as ``use`` does, and change the recipe's text further in the same step."""
    usable = [(part, one) for part, one in made if one.pixels is not None]
    if not usable:
        raise PageError(
            "there is nothing new to use", where=label, remedy="Mend the artwork itself."
        )
    with bench.lock:
        recipe = bench.recipe()
        now = {part.label: part.file for part in recipe.patterns} if recipe else {}
        if recipe is None or any(now.get(part.label) != part.file for part, _ in usable):
            raise PageError(
                "the tiles were changed meanwhile", where=label, remedy="Look, and try it again."
            )
        files = [_written(bench, recipe, part, one, word) for part, one in usable]

        def change(text: str) -> str:
            for (part, one), file in zip(usable, files, strict=True):
                text = _named(bench, text, part, one, file)
            return change_more(text)

        bench.edit(label, change)


def _written(bench: Bench, recipe: Recipe, part: PatternPart, one: Try, word: str) -> str:
    assert one.pixels is not None
    study = bench.memory.study(bench.request(recipe, part))
    dpi = (study.artwork.dpi, study.artwork.dpi) if study.artwork.dpi else None
    taken = {path.stem for path in bench.workspace.artwork.iterdir()}
    place = bench.workspace.artwork / f"{unused(f'{part.file.stem}-{word}', taken)}.png"
    replace_file(place, png_bytes(one.pixels, dpi=dpi))
    return place.relative_to(bench.workspace.folder).as_posix()


def _named(bench: Bench, text: str, part: PatternPart, one: Try, file: str) -> str:
    recipe = bench.parsed(text)
    labels = [other.label for other in recipe.patterns]
    index = labels.index(part.label)
    assert one.pixels is not None
    assert one.lattice is not None
    text = with_pattern_value(text, index, "name", part.label)
    text = with_pattern_value(text, index, "file", file)
    text = with_pattern_value(text, index, "looked", None)  # it was said of the old file
    text = with_pattern_value(text, index, "lattice", one.lattice.name)
    if part.repeat != "auto":  # the motifs keep their size on paper
        old = bench.memory.study(bench.request(recipe, part)).artwork.width_px
        if one.pixels.shape[1] != old:
            repeat = millimetres(part.repeat * one.pixels.shape[1] / old)
            text = with_pattern_value(text, index, "repeat", repeat)
    return text
