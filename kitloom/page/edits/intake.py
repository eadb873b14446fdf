"""Take in what was dropped: artwork, or a recipe made elsewhere.

In: a file's given name and its bytes. Artwork is measured in a worker before anything else is done
with it, then kept under a plain name of our own, and joins the recipe with a repeat and a lattice
that suit it. A recipe becomes this folder's recipe; its patterns are looked for here by
their file's name only, wherever it was written, and those missing are taken in when they come.

Raises ``KitloomError`` for whatever cannot be used.
"""

from __future__ import annotations

import uuid
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath

from kit.draft import DraftTile, draft_recipe, kit_name
from kit.recipe import MAX_BYTES as MAX_RECIPE_BYTES
from kit.recipe import Recipe, file_places
from kitloom.disk import replace_file, write_file
from kitloom.measure import Request, TileStudy
from kitloom.page.edits.not_artwork import NotArtworkError, shown_name, shows_patterns
from kitloom.page.page_error import PageError
from kitloom.page.state import (
    Bench,
    plain_stem,
    unused_stem,
    with_files_renamed,
    with_pattern,
    with_pattern_value,
    with_value,
)
from palette.errors import KitloomError
from patterns.artwork import SUFFIXES, find_artwork

MAX_FILE_BYTES = 64 * 1024 * 1024
MAX_PROFILE_BYTES = 16 * 1024 * 1024
MAX_PATTERNS = 60
OPENED = "opened the recipe"


@dataclass(frozen=True, slots=True)
class Incoming:
    """One dropped file.

    Attributes:
        name: as it came.
        content: its bytes.
        drop: the drop that it is undone with.
        along: the names of the artwork that was dropped with a recipe.
    """

    name: str
    content: bytes
    drop: str = ""
    along: tuple[str, ...] = ()


def measure_artwork(bench: Bench, file: Incoming) -> TileStudy:
    """Measure a dropped tile; nothing of it is kept yet.

    Raises:
        KitloomError: it is not artwork that can be used, or shows patterns and is not a tile.
    """
    shown = plain_stem(file.name)
    if len(file.content) > MAX_FILE_BYTES:
        raise PageError(
            f"is over {MAX_FILE_BYTES // 2**20} MiB",
            where=shown,
            remedy="Save a smaller copy of one tile.",
        )
    with incoming_file(bench, file.content, kept_suffix(file), shown) as path:
        study = _measured(bench, path, shown)
    if _missing(bench.recipe(), shown) is None:  # what the maker has named is taken
        _refuse_cover(file.name, study)
    return study


def keep_artwork(bench: Bench, file: Incoming, study: TileStudy) -> str:
    """Keep a measured tile and put it into the recipe; return what it is called here.

    Raises:
        KitloomError: there is no room for more.
    """
    with bench.lock:
        return _keep(bench, study, file, kept_suffix(file))


@contextmanager
def incoming_file(bench: Bench, content: bytes, suffix: str, shown: str) -> Iterator[Path]:
    """Have a file wait on disk until it has proved to be of use.

    Raises:
        KitloomError: as raised inside, but about the file by the name that it came with.
    """
    path = bench.workspace.incoming / f"{uuid.uuid4().hex}{suffix}"
    try:
        with _called(shown):
            replace_file(path, content)
            yield path
    finally:
        path.unlink(missing_ok=True)


@contextmanager
def new_file(place: Path, content: bytes) -> Iterator[None]:
    """Keep a file that the recipe is about to name, and only if it does.

    Raises:
        KitloomError: as raised inside, or the disk refuses.
    """
    write_file(place, [content], overwrite=False)
    try:
        yield
    except KitloomError:
        place.unlink(missing_ok=True)
        raise


@contextmanager
def _called(shown: str) -> Iterator[None]:
    try:
        yield
    except KitloomError as error:
        raise type(error)(error.what, where=shown, why=error.why, remedy=error.remedy) from error


def kept_suffix(file: Incoming) -> str:
    """Return the ending by which a file is kept: its own if it is known, else a neutral one."""
    ending = PurePosixPath(file.name.replace("\\", "/")).suffix.lower()
    return ending if ending in SUFFIXES else ".png"


def _measured(bench: Bench, path: Path, shown: str) -> TileStudy:
    study = bench.cache.study(Request(path, "straight", shown))
    if study.check.seamless is not True:
        lattice, check = bench.reader.joins(Request(path, "auto", shown))
        # where no lattice closes, the plain one is what a maker expects
        if check.seamless is True:
            study = replace(study, lattice=lattice, check=check)
    return study


def _keep(bench: Bench, study: TileStudy, file: Incoming, suffix: str) -> str:
    recipe = bench.recipe()
    if recipe is not None and len(recipe.patterns) >= MAX_PATTERNS:
        raise PageError(
            f"the kit has {MAX_PATTERNS} tiles already",
            where="artwork",
            remedy="Remove one first, or start another kit in another folder.",
        )
    stem = plain_stem(file.name)
    waiting = _missing(recipe, stem)
    if recipe is not None and waiting is None:
        _refuse_twice(recipe, file)
    taken = {p.stem for p in bench.workspace.artwork.iterdir()}
    if recipe is not None and waiting is None:
        taken |= set(recipe.fill_names)
    here = bench.workspace.artwork / f"{stem}{suffix}"
    if waiting is not None and _holds(here, file.content):  # dropped once more, with its recipe
        bench.cache.keep(Request(here, study.lattice.name), study)
        return _supply(bench, recipe, waiting, here, file.drop)
    place = bench.workspace.artwork / f"{unused_stem(stem, taken)}{suffix}"
    with new_file(place, file.content):
        bench.cache.keep(Request(place, study.lattice.name), study)
        if waiting is not None:
            return _supply(bench, recipe, waiting, place, file.drop)
        add_pattern(bench, place, study, file.drop)
        return place.stem


def _refuse_cover(name: str, study: TileStudy) -> None:
    """Refuse a picture that shows patterns: a collage, a framed scan, a pattern with a title."""
    refused = shows_patterns(name, study.artwork.pixels)
    if refused is not None:
        raise refused


def _refuse_twice(recipe: Recipe, file: Incoming) -> None:
    """Refuse a picture that the kit has already, whatever it is called."""
    for part in recipe.patterns:
        if _holds(recipe.folder / part.file, file.content):
            raise NotArtworkError(
                f"is the same picture as {part.label}, which is in the kit",
                where=shown_name(file.name),
                remedy="Nothing to do: it is used once.",
            )


def _holds(place: Path, content: bytes) -> bool:
    same = place.is_file() and place.stat().st_size == len(content)
    return same and place.read_bytes() == content


def room_left(bench: Bench) -> int:
    """Return how many more tiles the kit has room for."""
    recipe = bench.recipe()
    return MAX_PATTERNS - (len(recipe.patterns) if recipe is not None else 0)


def _missing(recipe: Recipe | None, stem: str) -> int | None:
    """Return which pattern of the recipe waits for a file of this name, if one does."""
    if recipe is None:
        return None
    for index, part in enumerate(recipe.patterns):
        if (
            plain_stem(part.file.name).casefold() == stem.casefold()
            and not (recipe.folder / part.file).is_file()
        ):
            return index
    return None


def _supply(bench: Bench, recipe: Recipe | None, index: int, place: Path, drop: str) -> str:
    assert recipe is not None
    label = recipe.patterns[index].label
    relative = place.relative_to(bench.workspace.folder).as_posix()

    def change(text: str) -> str:
        named = with_pattern_value(text, index, "name", label) if place.stem != label else text
        return with_pattern_value(named, index, "file", relative)

    bench.edit(f"supplied {label}", change, drop)
    return label


def add_pattern(bench: Bench, place: Path, study: TileStudy, drop: str = "") -> None:
    """Put a kept tile into the recipe, or begin a recipe with it."""
    recipe = bench.recipe()
    asked = recipe or bench.parse(bench.before_artwork())
    box, dpi = asked.planner.box, asked.sheet.dpi
    repeat_mm = bench.cache.suggested_mm(study, box, dpi)
    tile = DraftTile(_relative(bench, place), repeat_mm, study.lattice.name)

    def change(text: str) -> str:
        if not text:
            name, file = _kit_name(bench), bench.workspace.recipe.name
            return bench.begun(draft_recipe(name, file, [tile]).text)
        return with_pattern(text, tile)

    bench.edit(f"added {place.stem}", change, drop)


def _kit_name(bench: Bench) -> str:
    return kit_name(bench.workspace.folder.name)


def _relative(bench: Bench, place: Path) -> str:
    return place.relative_to(bench.workspace.folder).as_posix()


def begin_with_folder(bench: Bench) -> list[KitloomError]:
    """Put the artwork that lies in the folder already into a recipe, if there is none yet.

    Returns:
        For each file that cannot be used, why.
    """
    refused: list[KitloomError] = []
    if bench.workspace.text():
        return refused
    artwork = find_artwork(bench.workspace.folder) or find_artwork(bench.workspace.artwork)
    drop = uuid.uuid4().hex
    for place in artwork[:MAX_PATTERNS]:
        try:
            with _called(place.stem):
                study = _measured(bench, place, place.stem)
            _refuse_cover(place.name, study)
            bench.cache.keep(Request(place, study.lattice.name), study)
            add_pattern(bench, place, study, drop)
        except KitloomError as error:
            refused.append(error)
    return refused


def take_recipe(bench: Bench, file: Incoming) -> None:
    """Make a recipe from elsewhere this folder's recipe.

    Raises:
        RecipeError: it is none.
    """
    text = recipe_text(file.content, file.name)
    along = {plain_stem(name).casefold() for name in file.along}
    try:
        keys = file_places(text, bench.workspace.recipe)
        text = with_files_renamed(text, keys, lambda given: _place_here(bench, given, along))
    except RecursionError as error:
        raise PageError(
            "is nested too deeply", where=file.name, remedy="Give a recipe made by kitloom."
        ) from error
    bench.edit(f"{OPENED} {plain_stem(file.name)}", lambda _: text, file.drop)


def recipe_text(content: bytes, name: str) -> str:
    """Return a dropped recipe's text.

    Raises:
        PageError: it is too large for one, or no text.
    """
    if len(content) > MAX_RECIPE_BYTES:
        raise PageError("is too large for a recipe", where=name, remedy="Give a kit.toml.")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise PageError(
            "is not a text file", where=name, remedy="Save the recipe as UTF-8 text."
        ) from error


def take_profile(bench: Bench, file: Incoming) -> None:
    """Keep a printer's own ICC profile and judge by it.

    Raises:
        KitloomError: it is none that can be used.
    """
    if len(file.content) > MAX_PROFILE_BYTES:
        raise PageError("is too large for a profile", where="profile", remedy="Give an ICC file.")
    stem = plain_stem(file.name, "profile")
    with incoming_file(bench, file.content, ".icc", stem) as path:
        bench.reader.check_profile(path)
    folder = bench.workspace.folder / "profiles"
    taken = {path.stem for path in folder.glob("*")}
    place = folder / f"{unused_stem(stem, taken)}.icc"
    name = _relative(bench, place)

    def change(text: str) -> str:
        for key in ("chart", "convert"):  # a chart would win over the profile
            text = with_value(text, "press", key, None)
        return with_value(text, "press", "profile", name)

    with new_file(place, file.content):
        bench.edit(f"the profile {stem}", change)


def _place_here(bench: Bench, given: str, along: Collection[str]) -> str:
    """Return where a pattern's file is in this folder, or where it will be once it is dropped.

    One that comes ``along`` waits for its own file, whatever is called the same here.
    """
    name = PurePosixPath(given.replace("\\", "/")).name
    stem = plain_stem(name)
    folder = bench.workspace.folder
    suffix = PurePosixPath(name).suffix.lower()
    kept = f"{stem}{suffix if suffix in SUFFIXES else '.png'}"
    if stem.casefold() in along:
        there = {path.name for path in bench.workspace.artwork.iterdir()}
        within = f"{unused_stem('set', there)}/" if kept in there else ""
        return f"artwork/{within}{kept}"
    plain = PurePosixPath(given)
    inside = (folder / plain).resolve()
    if not plain.is_absolute() and inside.is_file() and inside.is_relative_to(folder.resolve()):
        return plain.as_posix()
    for place in (bench.workspace.artwork, folder):
        for path in find_artwork(place):
            if path.stem.casefold() == stem.casefold():
                return path.relative_to(folder).as_posix()
    return f"artwork/{kept}"
