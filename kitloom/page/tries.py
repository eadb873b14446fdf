"""Try it first: a tile mended, repaired for print, or in another colour, before it is used.

In: a tile's study and what is wanted. Out: the new tile with a sentence on what was reached, made
in the background and kept, so that looking again costs nothing. Using it writes a new file beside
the old one and names it in the recipe; the old file is never touched, and undo goes back to it.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from threading import Lock, Thread
from typing import Literal

from kit.recipe import PatternPart, Recipe
from kitloom.files import replace_file
from kitloom.findings.mending import mend_findings
from kitloom.page.bench import Bench
from kitloom.page.errors import PageError
from kitloom.page.names import unused
from kitloom.page.recipe_text import millimetres, with_pattern_value
from kitloom.pictures import png_bytes
from kitloom.studies import TileStudy
from palette.errors import KitloomError
from palette.histogram import bins_of
from palette.lab import hex_to_lab
from palette.press import Press
from palette.proof import assess_fill
from palette.recolour import recolour
from palette.repair import repair_pixels
from patterns.lattice import Lattice
from patterns.light import Pixels
from patterns.mend import mend
from patterns.seams import check_seams


@dataclass(frozen=True)
class Try:
    """A tile as it could be.

    Attributes:
        state: "working" until it is made.
        said: what was done and reached.
        good: whether it reached what it is for.
        pixels: the new tile; None while working, or where nothing could be done.
        lattice: how it repeats.
    """

    state: Literal["working", "made"] = "working"
    said: str = ""
    good: bool = False
    pixels: Pixels | None = None
    lattice: Lattice | None = None


class Tries:
    """The tries of one bench."""

    def __init__(self, bench: Bench) -> None:
        """Have tried nothing yet."""
        self._bench = bench
        self._lock = Lock()
        self._made: dict[Hashable, Try] = {}

    def now(self, key: Hashable, make: Callable[[], Try]) -> Try:
        """Return a try, made now and kept, or as it was made before."""
        known = self._made.get(key)
        if known is None or known.state == "working":
            known = make()
            with self._lock:
                self._made[key] = known
                while len(self._made) > 24:
                    self._made.pop(next(iter(self._made)))
        return known

    def soon(self, key: Hashable, make: Callable[[], Try]) -> Try:
        """Return a try if it is made, else begin it; the tabs are told when it is."""
        with self._lock:
            known = self._made.get(key)
            if known is not None:
                return known
            self._made[key] = Try()
        Thread(target=self._later, args=(key, make), name="trying", daemon=True).start()
        return Try()

    def _later(self, key: Hashable, make: Callable[[], Try]) -> None:
        try:
            self.now(key, make)
        except Exception as error:  # a thread's fault must be told on the page
            said = error.line() if isinstance(error, KitloomError) else str(error)
            self._made[key] = Try("made", said)
        self._bench.tell("tried")


def mended(study: TileStudy) -> Try:
    """Return the tile with its joins mended, checked again."""
    art = study.artwork
    made = mend(art.pixels, study.check, study.lattice, study.repeat, lossy=art.lossy)
    size_px = study.artwork.width_px, study.artwork.height_px
    found = mend_findings(study.subject, study.check, made, size_px)
    said = f"{found[0].what} {found[0].why}" if found else "There was nothing to mend."
    return Try("made", said, made.mended, made.pixels if made.steps else None, made.lattice)


def repaired(study: TileStudy, press: Press) -> Try:
    """Return the tile drawn into what the press can print."""
    new = repair_pixels(study.artwork.pixels, press)
    before, after = assess_fill(study.bins, press), assess_fill(bins_of(new), press)
    said = (
        f"{before.share_out_of_gamut:.0%} of it looked different in print, now "
        f"{after.share_out_of_gamut:.0%} does: the new tile prints as it looks on screen."
    )
    return Try("made", said, after.share_out_of_gamut < 0.05, new, study.lattice)


def recoloured(study: TileStudy, shown: Sequence[str], old: str, new: str) -> Try:
    """Return the tile with one of the palette's colours changed, all others kept."""
    pairs = [(hex_to_lab(one), hex_to_lab(new if one == old else one)) for one in shown]
    pixels = recolour(study.artwork.pixels, pairs)
    check = check_seams(pixels, study.lattice, lossy=study.artwork.lossy)
    sound = study.check.seamless is not True or check.seamless is True
    said = "It joins up as before." if sound else "Its joins show in the new colour."
    return Try("made", said, sound, pixels, study.lattice)


def use(bench: Bench, label: str, word: str, made: Sequence[tuple[PatternPart, Try]]) -> None:
    """Write new tiles beside the old ones and have the recipe use them.

    Args:
        bench: whose recipe it is.
        label: what was done, for undo.
        word: what the new files' names end in.
        made: patterns with their tries.

    Raises:
        PageError: nothing was made that could be used.
    """
    usable = [(part, one) for part, one in made if one.pixels is not None]
    if not usable:
        raise PageError(
            "there is nothing new to use", where=label, remedy="Mend the artwork itself."
        )
    with bench.lock:
        recipe = bench.recipe()
        assert recipe is not None
        files = [_written(bench, recipe, part, one, word) for part, one in usable]

        def change(text: str) -> str:
            for (part, one), file in zip(usable, files, strict=True):
                text = _named(bench, text, part, one, file)
            return text

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
    text = with_pattern_value(text, index, "lattice", one.lattice.name)
    if part.repeat != "auto":  # the motifs keep their size on paper
        old = bench.memory.study(bench.request(recipe, part)).artwork.width_px
        if one.pixels.shape[1] != old:
            repeat = millimetres(part.repeat * one.pixels.shape[1] / old)
            text = with_pattern_value(text, index, "repeat", repeat)
    return text
