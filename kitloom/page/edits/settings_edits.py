"""Edits of any other key of the recipe: one part at a time, or the whole of it as text.

In: a form made from the description of the recipe's keys, with what it showed and what was typed.
Out: a change of the keys that differ. What cannot be used is refused beside its field, in the words
that the command would say it in.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from kit.kinds import KINDS
from kit.layout import check_places, sticker_area, usable_area
from kit.recipe import MAX_BYTES, Recipe, RecipeKey, idle_places, recipe_keys
from kit.stickers import slots_of
from kitloom.page.edits.earlier_palettes import SUFFIXES as PALETTE_SUFFIXES
from kitloom.page.edits.editing import Change, Edit, recipe_of
from kitloom.page.edits.forms import Form
from kitloom.page.edits.intake import Incoming, new_file
from kitloom.page.edits.not_artwork import ending_of, shown_name
from kitloom.page.edits.row_edits import MOST_IN_A_ROW, count_across
from kitloom.page.page_error import PageError
from kitloom.page.state import (
    BOXES,
    COLOURED,
    NEW,
    Bench,
    Place,
    id_of,
    names_of,
    offered,
    path_of,
    place_of,
    plain_stem,
    settings_of,
    shown_value,
    tables_of,
    text_mark,
    title_of,
    unused_stem,
    value_at,
    value_of,
    with_entry,
    with_key,
    without_entry,
)
from kitloom.page.state import recipe_text as rt
from palette.errors import KitloomError

TEXT_FIELD = "recipe-text"
MAX_OWN_FILE_BYTES = 16 * 1024 * 1024
MOST_TYPED = 20_000  # of one field
MOTIF_KEYS = ("from", "size", "border", "distance")  # asked of a new row of motifs, with its count
MOTIF_COUNT = "all-rows-new-count"
# what a key of a row makes of what its stickers were dealt -> what is open again
_OPENS: Mapping[str, tuple[str, ...]] = {
    "fill": ("fill", "offset"),
    "panel": ("panel", "panel_offset"),
    "size": ("offset", "panel_offset"),
    "offset": ("offset",),
    "turn": ("offset", "panel_offset"),
    "scale": ("offset", "panel_offset"),
    "outline": ("offset",),
    "picture": ("offset",),
    "distance": ("offset",),
}
_FOLDERS = {"letters.font": "fonts", "press.chart": "profiles", "palette.from": "palettes"}


def set_settings(bench: Bench, form: Form) -> Edit:
    """Set what was changed in the form of one part of the recipe."""
    recipe = recipe_of(bench)
    place = _place(bench, form)
    typed = _typed(form, place, recipe)
    was = _was(form)
    tables = tables_of(bench.workspace.text())
    changed = {}
    for key, shown in typed.items():
        # what was not touched here is left alone: another tab may have changed it
        same = shown == was.get(key.name, shown_value(tables, place, key, recipe))
        words = _with_hexes(bench, recipe, key, shown)
        if not same and value_of(key, words) != value_at(tables, path_of(place, key)):
            changed[key] = words
    return _edit(bench, place, changed)


def add_entry(bench: Bench, form: Form) -> Edit:
    """Add an entry to a list of parts, such as a mark of one's own."""
    recipe = recipe_of(bench)
    place = _place(bench, form)
    typed = {key: words for key, words in _typed(form, place, recipe).items() if words.strip()}
    values = {_inner(place, key): value_of(key, words) for key, words in typed.items()}

    def change(text: str) -> str:
        return with_entry(text, names_of(place), values)

    for key in settings_of(place):
        if key.needed and key not in typed:
            raise _beside(place, key, "is missing", "Type or choose it.", "")
    number = len(value_at(tables_of(bench.workspace.text()), names_of(place)) or [])
    _check(bench, place, (*names_of(place), number), typed, change)
    return Edit(f"added a {title_of(place).removeprefix('new ')}", change)


def remove_entry(bench: Bench, form: Form) -> Edit:
    """Take an entry out of a list of parts."""
    place = _place(bench, form)
    if not isinstance(place[-1], int):
        raise _gone()
    path, index = names_of(place), place[-1]
    return Edit(f"removed {title_of(place)}", lambda text: without_entry(text, path, index))


def set_text(bench: Bench, form: Form) -> None:
    """Make what was written in the recipe's text the recipe.

    Raises:
        KitloomError: it is none, or the recipe is not the one that the text was written from.
    """
    now = bench.workspace.text()
    typed = form.raw("text").replace("\r\n", "\n")
    kept = typed.replace("\n", "\r\n") if "\r\n" in now else typed
    try:
        if form.text("was") != text_mark(now):
            raise PageError(
                "the kit has changed since, perhaps in another tab",
                where="Text of the recipe",
                remedy="Your text is still here. Save again to replace that change with it, or "
                "undo and look.",
            )
        if len(kept.encode()) > MAX_BYTES:
            raise PageError("is too large for a recipe", where="recipe", remedy="Write less.")
        bench.rewrite(kept, "edited the recipe's text")
    except KitloomError as error:
        _, at, line = error.where.rpartition(", line ")
        raise PageError(
            f"line {line}: {error.what}" if at else error.what,
            where="Text of the recipe",
            why=error.why,
            remedy=error.remedy,
            field=TEXT_FIELD,
            typed=typed,
        ) from error


def take_setting_file(bench: Bench, file: Incoming, said: str, name: str) -> None:
    """Keep a file, and have a key of a part name it.

    Raises:
        KitloomError: it cannot be used there.
    """
    with bench.lock:
        recipe_of(bench)
        place = _there(bench, place_of(said), None)
        key = next((one for one in settings_of(place) if one.name == name), None)
        if key is None or key.sort != "file":
            raise _gone()
        if not file.content:
            raise _beside(place, key, "no file was chosen", "Choose one first.", None)
        where = _unused_place(bench, file, key)
        named = where.relative_to(bench.workspace.folder).as_posix()
        with new_file(where, file.content), _refused_at(id_of(place, key)):
            edit = _edit(bench, place, {key: named})
            bench.edit(edit.label, edit.change, holds=True)


def take_own_row(bench: Bench, file: Incoming, kind: str) -> None:
    """Keep a drawing, and add a row of stickers that are made from it.

    Raises:
        KitloomError: it is not a drawing that can be cut.
    """
    with bench.lock:
        recipe = recipe_of(bench)
        own = KINDS.get(kind)
        source = own.source_key if own else None
        key = next((one for one in recipe_keys() if one.name == f"rows.{source}"), None)
        if own is None or key is None:
            raise PageError(f'there is no kind "{kind}"', where="sticker", remedy="Choose another.")
        place: Place = ("rows", NEW)
        if not file.content:
            raise PageError(
                "no drawing was chosen",
                where="Row from a drawing",
                remedy="Choose one first.",
                field=id_of(place),
            )
        where = _unused_place(bench, file, key)
        named = where.relative_to(bench.workspace.folder).as_posix()
        row = {"sticker": kind, "count": count_across(recipe, kind), key.path[-1]: named}
        row |= {"fill": "patterns" if own.may_turn else "palette"}
        with new_file(where, file.content), _refused_at(id_of(place)):
            number = len(recipe.rows)

            def change(text: str) -> str:
                return rt.with_row(text, row)

            _check(bench, place, ("rows", number), {key: named}, change)
            bench.edit(f"added {row['count']} {kind}", change, holds=True)


def add_motifs(bench: Bench, form: Form) -> Edit:
    """Add a row of motifs lifted from a tile."""
    recipe = recipe_of(bench)
    place: Place = ("rows", NEW)
    keys = {key.path[-1]: key for key in settings_of(place)}
    typed = {keys[name]: form.raw(name) for name in MOTIF_KEYS if form.raw(name).strip()}
    for key, words in typed.items():
        if len(words) > MOST_TYPED:
            raise _beside(place, key, "is too long", "Write less.", words[:MOST_TYPED])
    if keys["from"] not in typed:
        raise _beside(place, keys["from"], "no tile was chosen", "Choose one.", None)
    border = typed.get(keys["border"], "white").strip()
    if border != "white" and not re.fullmatch("#[0-9a-fA-F]{6}", border):
        remedy = 'Write "white" or a colour like "#3b5b7a"; how wide it is, the last field says.'
        raise _beside(place, keys["border"], f'"{border}" is not a colour', remedy, border)
    count = form.whole("count", 1, MOST_IN_A_ROW, field=MOTIF_COUNT)
    row = {"sticker": "motif", "count": count}
    row |= {key.path[-1]: value_of(key, words) for key, words in typed.items()}

    def change(text: str) -> str:
        return rt.with_row(text, row)

    _check(bench, place, ("rows", len(recipe.rows)), typed, change)
    return Edit(f"added {count} motif", change)


@contextmanager
def _refused_at(field: str) -> Iterator[None]:
    """Have a file that is refused be refused beside this field, where nothing was typed."""
    try:
        yield
    except PageError as error:
        error.typed, error.field = None, field
        raise


def settings_place(bench: Bench, form: Form) -> tuple[dict[str, str], str] | None:
    """Return which tile a form is about now, as the address names it, and the form's place there.

    Its name may have changed. None where the form is about no tile.
    """
    place, recipe = place_of(form.text("part")), bench.recipe()
    if recipe is None or place is None or place[0] != "patterns" or not isinstance(place[-1], int):
        return None
    if place[-1] >= len(recipe.patterns):
        return None
    return {"tile": recipe.patterns[place[-1]].label}, id_of(place)


def _edit(bench: Bench, place: Place, changed: Mapping[RecipeKey, str]) -> Edit:
    recipe = recipe_of(bench)
    tables = tables_of(bench.workspace.text())
    label = title_of(place)
    words = [key.label.lower() for key in changed]
    more = f" and {len(words) - 1} more" if len(words) > 1 else ""
    label = f"{label}: {words[0]}{more}" if words else "nothing"

    def change(text: str) -> str:
        for key, typed in changed.items():
            whole = _whole(tables, place, key, recipe)
            text = with_key(text, path_of(place, key), value_of(key, typed), whole)
        return _with_what_follows(text, place, changed, recipe)

    _check(bench, place, place, changed, change)
    return Edit(label, change)


def _with_what_follows(
    text: str, place: Place, changed: Mapping[RecipeKey, str], recipe: Recipe
) -> str:
    """Return the text with what a change brings along: other names, windows and counts."""
    names = {key.path[-1]: words for key, words in changed.items()}
    index = place[-1]
    if not isinstance(index, int):
        return text
    if place[0] == "rows":
        opened = {one for name in names for one in _OPENS.get(name, ())}
        text = rt.with_row_opened(text, index, opened) if opened else text
        text = _with_count(text, index, names, recipe)
    if place[0] in {"patterns", "coordinates"} and names.keys() & {"name", "kind", "file"}:
        part: Any = getattr(recipe, str(place[0]))[index]
        written = value_at(tables_of(text), place)
        new = str(written.get("name") or written.get("kind") or Path(written["file"]).stem)
        text = rt.with_fills_renamed(text, {part.label: new})
        if part.label in recipe.palette.tiles:
            tiles = [new if one == part.label else one for one in recipe.palette.tiles]
            text = rt.with_value(text, "palette", "tiles", tiles)
    return text


def _with_count(text: str, index: int, names: Mapping[str, str], recipe: Recipe) -> str:
    """Return the text with one sticker for each of a row's new words, or as many as there were."""
    row = value_at(tables_of(text), ("rows", index))
    words = row.get("text")
    each = isinstance(words, list) or words in {"days", "dates"} or "month" in row
    if {"text", "month"} & names.keys() and each:
        return rt.with_row_value(text, index, "count", None)
    if "count" not in row and words is None and "month" not in row:
        return rt.with_row_value(text, index, "count", recipe.rows[index].count)
    return text


def _whole(
    tables: Mapping[str, Any], place: Place, key: RecipeKey, recipe: Recipe
) -> dict[str, object] | None:
    """Return what a table says so far, where one value stands for all of it."""
    path = path_of(place, key)
    holder = value_at(tables, path[:-1])
    if len(path) <= len(place) + 1 or holder is None or isinstance(holder, Mapping):
        return None
    beside = [one for one in recipe_keys() if one.path[:-1] == key.path[:-1]]
    return {one.path[-1]: value_of(one, shown_value(tables, place, one, recipe)) for one in beside}


def _check(
    bench: Bench, place: Place, there: Place, changed: Mapping[RecipeKey, str], change: Change
) -> None:
    """Refuse a change beside its field, where the recipe's own check or its stickers would.

    Args:
        bench: the open kit.
        place: the part, as the form names it.
        there: where it stands once it is changed.
        changed: the settings, with what was typed.
        change: the change.
    """
    text = change(bench.workspace.text())
    try:
        _check_used(bench, place, there, changed, text)
        after = bench.parse(bench.tidied(text))
    except PageError:
        raise
    except KitloomError as error:
        raise _at_its_field(place, there, changed, error) from error
    for key, typed in changed.items():
        if key.sort == "file" and typed:
            _check_file(bench, place, key, typed)
    try:
        slots = slots_of(after)
        if any(key.name == "rows.at" for key in changed):
            check_places(after, slots, sticker_area(usable_area(after.sheet), after))
    except KitloomError as error:
        if changed and _can_be_made(recipe_of(bench)):
            raise _at_its_field(place, there, changed, error) from error


def _check_used(
    bench: Bench, place: Place, there: Place, changed: Mapping[RecipeKey, str], text: str
) -> None:
    """Refuse a key that would have no effect there; others that lose theirs are taken out."""
    idle = idle_places(text, bench.workspace.recipe)
    paths = {(*there, *path_of(place, key)[len(place) :]): key for key in changed}
    if not any(one[: len(path)] == path for one in idle for path in paths):
        return
    try:
        bench.parse(text)
    except KitloomError as error:
        for one in (error, *error.also):
            if _key_of(there, changed, one) is not None:
                raise _at_its_field(place, there, changed, one) from error


def _check_file(bench: Bench, place: Place, key: RecipeKey, typed: str) -> None:
    path = bench.workspace.folder / typed
    try:
        if not path.is_file():
            remedy = "Choose a file, or check the name; it starts from the recipe's own folder."
            raise _beside(place, key, f'there is no file "{typed}"', remedy, typed)
        if key.name == "press.chart":
            bench.reader.check_chart(path)
        if key.name == "palette.from":
            bench.reader.check_palette(path)
    except PageError:
        raise
    except (OSError, ValueError):
        raise _beside(place, key, "is not a file name", "Choose a file.", typed) from None
    except KitloomError as error:
        raise _beside(place, key, error.what, error.remedy, typed) from error


def _can_be_made(recipe: Recipe) -> bool:
    try:
        slots_of(recipe)
    except KitloomError:
        return False
    return True


def _at_its_field(
    place: Place, there: Place, changed: Mapping[RecipeKey, str], error: KitloomError
) -> KitloomError:
    """Return a recipe's fault as one of the field it is about, else of the first that changed."""
    for one in (error, *error.also):
        key = _key_of(there, changed, one)
        if key is not None:
            what = one.what.removeprefix(_dotted(there, key)).removeprefix(":").strip()
            return _beside(place, key, what, one.remedy, changed[key])
    key = next(iter(changed), None)
    if key is None:
        return error
    what = error.what.removeprefix(_dotted(there)).removeprefix(":").strip()
    return _beside(place, key, what, error.remedy, changed[key])


def _key_of(
    there: Place, changed: Mapping[RecipeKey, str], error: KitloomError
) -> RecipeKey | None:
    """Return which of the changed keys a recipe's fault names."""
    for key in changed:
        dotted = _dotted(there, key)
        if error.what.startswith(tuple(f"{dotted}{end}" for end in (":", " ", "."))):
            return key
    return None


def _dotted(there: Place, key: RecipeKey | None = None) -> str:
    """Return a place as faults name it: entries are counted from 1."""
    inner = key.path[len(names_of(there)) :] if key else ()
    steps = [str(step + 1) if isinstance(step, int) else step for step in (*there, *inner)]
    return ".".join(steps)


def _beside(place: Place, key: RecipeKey, what: str, remedy: str, typed: str | None) -> PageError:
    title = title_of(place)
    return PageError(
        what,
        where=f"{title[0].upper()}{title[1:]}, {key.label.lower()}",
        remedy=remedy,
        field=id_of(place, key),
        typed=typed,
    )


def _typed(form: Form, place: Place, recipe: Recipe) -> dict[RecipeKey, str]:
    """Return what the form holds, by the settings that it shows."""
    typed = {}
    for key in settings_of(place):
        inner = ".".join(key.path[len(names_of(place)) :])
        if key.name in BOXES and form.has(f"{inner}:"):
            ticked = [one for one in offered(key, recipe) if form.has(f"{inner}:{one}")]
            everything = len(ticked) == len(offered(key, recipe))
            typed[key] = "" if everything else "\n".join(ticked)
        elif form.has(inner):
            typed[key] = form.raw(inner)
            if len(typed[key]) > MOST_TYPED:
                raise _beside(place, key, "is too long", "Write less.", typed[key][:MOST_TYPED])
    return typed


def _with_hexes(bench: Bench, recipe: Recipe, key: RecipeKey, words: str) -> str:
    """Return what was typed with the names that step 3 gives to colours as the recipe holds them.

    A word of the recipe's own or a pattern's name means that.
    """
    job = bench.drawing.job
    if job is None or key.name not in COLOURED:
        return words
    known = {"white", *offered(key, recipe), *recipe.fill_names}
    hexes = {one.name: one.hex for one in job.verdict.palette.swatches if one.name not in known}
    return "\n".join(hexes.get(line.strip().lower(), line) for line in words.split("\n"))


def _was(form: Form) -> dict[str, str]:
    """Return what the form showed before anything was typed, by the names of the keys."""
    try:
        was = json.loads(form.raw("was") or "{}")
    except ValueError:
        return {}
    return {str(key): str(one) for key, one in was.items()} if isinstance(was, dict) else {}


def _inner(place: Place, key: RecipeKey) -> str:
    return key.path[len(names_of(place))]


def _place(bench: Bench, form: Form) -> Place:
    return _there(bench, place_of(form.text("part")), form.text("of"))


def _there(bench: Bench, place: Place | None, of: str | None) -> Place:
    """Return a place if it is there, and if as many are beside it as the form was made for."""
    if place is None:
        raise _gone()
    if not isinstance(place[-1], int):
        return place
    entries = value_at(tables_of(bench.workspace.text()), place[:-1]) or []
    if place[-1] >= len(entries) or of not in {None, str(len(entries))}:
        raise _gone()
    return place


def _gone() -> PageError:
    return PageError(
        "what you changed is not where it was",
        where="recipe",
        why="the kit has changed since, perhaps in another tab",
        remedy="Look at the kit as it is now, then change it again.",
    )


def _unused_place(bench: Bench, file: Incoming, key: RecipeKey) -> Path:
    if len(file.content) > MAX_OWN_FILE_BYTES:
        raise PageError(
            f"is over {MAX_OWN_FILE_BYTES // 2**20} MiB",
            where=shown_name(file.name),
            remedy="Give a smaller file.",
        )
    lower = file.name.lower()
    suffix = next((end for end in PALETTE_SUFFIXES if lower.endswith(end)), ending_of(lower))
    suffix = "".join(c for c in suffix if c.isascii() and (c.isalnum() or c == "."))[:16]
    folder = bench.workspace.folder / _FOLDERS.get(key.name, "drawings")
    taken = {path.name.split(".")[0] for path in folder.glob("*")}
    stem = plain_stem(file.name[: len(file.name) - len(suffix)] + ".x", "file")
    return folder / f"{unused_stem(stem, taken)}{suffix}"
