"""Pieces of a recipe that hold for more than one kit: the planner's box, the paper, the machine.

In: a recipe's text. Out: a piece of it as TOML text, with the recipe's own tables and keys; and the
recipe's text with another piece in its place. Saved by name, a piece is a plain file in the
user's configuration folder. What holds before there is artwork is a piece of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomlkit
from click import get_app_dir
from tomlkit.exceptions import TOMLKitError

from kit.draft import DraftTile, draft_recipe
from kitloom.disk import write_file
from kitloom.page.page_error import PageError
from kitloom.page.state.file_names import place_words, plain_stem
from kitloom.page.state.recipe_text import with_value
from palette.errors import reason_of

MAX_BYTES = 64 * 1024
# sort -> (what it is called, its folder, its keys by table)
_MACHINE: tuple[tuple[str, str], ...] = (
    ("sheet", "margin"),
    ("sheet", "registration"),
    ("sheet", "held"),
    ("cut", "offset"),
    ("cut", "turn"),
    ("cut", "overcut"),
    ("cut", "blade_offset"),
    ("press", "surface"),
    ("press", "profile"),
    ("press", "chart"),
    ("press", "intent"),
    ("press", "black_point_compensation"),
    ("press", "convert"),
)
SORTS: Mapping[str, tuple[str, str, tuple[tuple[str, str], ...]]] = {
    "planner": ("planner", "planners", (("planner", "box"),)),
    "paper": ("paper", "papers", (("sheet", "paper"),)),
    "machine": ("printer and cutter", "machines", _MACHINE),
}
_FILES = {("press", "profile"), ("press", "chart")}
_EVERY = tuple(key for _, _, keys in SORTS.values() for key in keys)


def saved_in(sort: str) -> Path:
    """Return the folder of one sort's files, in the user's configuration folder."""
    return Path(get_app_dir("kitloom")) / SORTS[sort][1]


def saved_names(sort: str) -> list[str]:
    """Return what was saved of a sort, by name."""
    try:
        found = [path.stem for path in saved_in(sort).iterdir() if path.suffix == ".toml"]
    except OSError:
        return []
    return sorted(found, key=str.casefold)


def save_piece(sort: str, name: str, text: str, folder: Path) -> Path:
    """Save a piece of a recipe by name.

    Args:
        sort: one of ``SORTS``.
        name: what it is called.
        text: the recipe's text.
        folder: where the recipe's relative file names start.

    Raises:
        KitloomError: no name, another piece of that name, or the disk refuses.
    """
    field = f"save-{sort}"
    # a point in a name begins no ending, and a slash parts no folders
    stem = plain_stem(name.translate(str.maketrans("./\\", "---")), "")
    if not stem:
        raise PageError(
            "has no name",
            where=f"Your own {SORTS[sort][0]}",
            remedy="Type a name to find it by.",
            field=field,
        )
    piece = _with_whole_paths(_piece_of(text, SORTS[sort][2]), folder)
    place = saved_in(sort) / f"{stem}.toml"
    if place.is_file() and _read(place) == piece:
        return place
    if any(one.casefold() == stem.casefold() for one in saved_names(sort)):
        raise PageError(
            f'"{stem}" is saved already, and is another one',
            where=f"Your own {SORTS[sort][0]}",
            remedy=f"Choose another name, or delete {place_words(place)} first.",
            field=field,
        )
    place.parent.mkdir(parents=True, exist_ok=True)
    write_file(place, [piece.encode()], overwrite=False)
    return place


def saved_as(sort: str, text: str, folder: Path) -> str:
    """Return the name under which a recipe's own piece is saved; empty where it is not.

    Arguments are as of ``save_piece``.
    """
    piece = _with_whole_paths(_piece_of(text, SORTS[sort][2]), folder)
    for name in saved_names(sort):
        try:
            if _read(saved_in(sort) / f"{name}.toml") == piece:
                return name
        except PageError:  # choosing it says why
            continue
    return ""


def with_saved(sort: str, name: str, text: str) -> str:
    """Return the recipe's text with a saved piece in the place of its own.

    Raises:
        PageError: nothing of that name, or it is not such a piece.
    """
    if name not in saved_names(sort):
        raise PageError(
            f'there is no saved "{name}" any more',
            where=f"Your own {SORTS[sort][0]}",
            remedy="Choose another.",
        )
    place = saved_in(sort) / f"{name}.toml"
    return with_piece(text, _read(place), SORTS[sort][2], where=place_words(place))


def with_piece(
    text: str, piece: str, keys: tuple[tuple[str, str], ...] = _EVERY, *, where: str = "the piece"
) -> str:
    """Return the recipe's text with these keys as the piece has them, or without them.

    ``where`` is where the piece stands, for a message.

    Raises:
        PageError: the piece holds something else.
    """
    values = _values(piece, where)
    for table, key in values:
        if (table, key) not in keys:
            raise PageError(
                f'holds "{table}.{key}", which does not belong there',
                where=where,
                remedy="Take that line out of the file, or choose another.",
            )
    for table, key in keys:
        text = with_value(text, table, key, values.get((table, key)))
    return text


def every_piece(text: str) -> str:
    """Return all pieces of a recipe's text as one."""
    return _piece_of(text, _EVERY)


def recipe_before_artwork(piece: str) -> str:
    """Return a recipe for a tile that is not there yet, with a piece in it.

    Raises:
        KitloomError: the piece is none.
    """
    draft = draft_recipe("A new kit", "kit.toml", [DraftTile("tile.png", 40.0, "straight")])
    return with_piece(draft.text, piece) if piece else draft.text


def _piece_of(text: str, keys: tuple[tuple[str, str], ...]) -> str:
    document, piece = tomlkit.parse(text), tomlkit.document()
    for table, key in keys:
        value: Any = document.get(table, {}).get(key)
        if value is not None:
            if table not in piece:
                piece.add(table, tomlkit.table())
            piece[table][key] = value.unwrap()
    return tomlkit.dumps(piece)


def _with_whole_paths(piece: str, folder: Path) -> str:
    """Return a piece whose files are found from any kit's folder."""
    for table, key in _FILES & set(_values(piece)):
        given = str(_values(piece)[table, key])
        piece = with_value(piece, table, key, (folder / given).resolve().as_posix())
    return piece


def _values(piece: str, where: str = "the piece") -> dict[tuple[str, str], Any]:
    try:
        document = tomlkit.parse(piece).unwrap()
    except TOMLKitError as error:
        raise PageError(
            "is not valid TOML",
            where=where,
            why=str(error),
            remedy="Mend it in a text editor, or choose another.",
        ) from error
    found = {}
    for table, entries in document.items():
        for key, value in entries.items() if isinstance(entries, dict) else [("", entries)]:
            found[table, key] = value
    return found


def _read(place: Path) -> str:
    try:
        with place.open("rb") as file:
            return file.read(MAX_BYTES).decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        why = reason_of(error) if isinstance(error, OSError) else "it is not a text"
        raise PageError(
            "cannot be read", where=place_words(place), why=why, remedy="Choose another."
        ) from error
