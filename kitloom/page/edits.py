"""What can be changed on the page: one table of edits, each from a form to a new recipe text.

An edit gets the bench and the form, and returns what was done in the maker's words and a change of
the text; the bench checks, saves and draws. ``EDITS`` is the whole list of them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kit.recipe import Recipe
from kit.recipe_rows import RowPart
from kit.stickers import KINDS
from kitloom.page import recipe_text as rt
from kitloom.page.bench import Bench
from kitloom.page.errors import PageError
from kitloom.page.forms import Form
from kitloom.page.previews import colour_at
from patterns.lattice import LATTICES

Change = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Edit:
    """One edit.

    Attributes:
        label: what was done, for undo.
        change: from the old recipe text to the new.
    """

    label: str
    change: Change


def apply(bench: Bench, name: str, form: Form) -> None:
    """Make an edit by its name.

    Raises:
        KitloomError: no such edit, or one that cannot be made.
    """
    if name not in EDITS:
        raise PageError(f'there is no edit "{name}"', where="page", remedy="Load the page again.")
    with bench.lock:
        edit = EDITS[name](bench, form)
        bench.edit(edit.label, edit.change)


def recipe_of(bench: Bench) -> Recipe:
    """Return the recipe.

    Raises:
        KitloomError: there is none, or it is broken.
    """
    recipe = bench.recipe()
    if recipe is None:
        raise bench.fault() or PageError(
            "there is no kit yet", where="kit", remedy="Drop some artwork first."
        )
    return recipe


def _pattern_index(recipe: Recipe, form: Form) -> int:
    label = form.text("tile")
    for index, part in enumerate(recipe.patterns):
        if part.label == label:
            return index
    raise PageError(
        f'there is no tile "{label}" any more', where="tile", remedy="Choose another tile."
    )


def remove_tile(bench: Bench, form: Form) -> Edit:
    """Take a tile out of the kit; its file stays."""
    recipe = recipe_of(bench)
    index = _pattern_index(recipe, form)
    if len(recipe.patterns) == 1:
        raise PageError(
            "a kit needs at least one tile", where="tile", remedy="Drop another tile first."
        )
    label = recipe.patterns[index].label
    return Edit(f"took out {label}", lambda text: rt.without_pattern(text, index, label))


def set_repeat(bench: Bench, form: Form) -> Edit:
    """Set how wide one tile is on paper."""
    recipe = recipe_of(bench)
    index = _pattern_index(recipe, form)
    length = form.length("repeat", 1.0, 500.0)
    label = f"repeat of {recipe.patterns[index].label} to {length}"
    return Edit(label, lambda text: rt.with_pattern_value(text, index, "repeat", length))


def set_lattice(bench: Bench, form: Form) -> Edit:
    """Set how a tile repeats."""
    recipe = recipe_of(bench)
    index = _pattern_index(recipe, form)
    lattice = form.text("lattice")
    if lattice not in LATTICES:
        raise PageError(f'"{lattice}" is no lattice', where="lattice", remedy="Choose another.")
    label = f"{recipe.patterns[index].label} as {lattice}"
    return Edit(label, lambda text: rt.with_pattern_value(text, index, "lattice", lattice))


def set_colours(bench: Bench, form: Form) -> Edit:
    """Set how many colours the palette has."""
    del bench
    text = form.text("colours")
    count: int | str = "auto" if text in {"", "auto"} else form.whole("colours", 1, 24)
    said = "as many as the artwork needs" if count == "auto" else str(count)
    return Edit(f"colours: {said}", lambda text: rt.with_value(text, "palette", "colours", count))


def pin_colour(bench: Bench, form: Form) -> Edit:
    """Keep a colour in the palette whatever else changes, or let it go."""
    colour, pinned = form.colour("colour"), list(recipe_of(bench).palette.pinned)
    if form.text("keep") == "yes":
        wanted = [*pinned, *([colour] if colour not in pinned else [])]
        return Edit(f"kept {colour}", lambda text: _pinned(text, wanted))
    wanted = [one for one in pinned if one.lower() != colour]
    return Edit(f"let {colour} go", lambda text: _pinned(text, wanted))


def swap_colour(bench: Bench, form: Form) -> Edit:
    """Put another colour in a palette colour's place; all the others stay as they are."""
    old = form.colour("colour")
    new = form.colour("other") if form.has("other") else _clicked(bench, form)
    job = bench.drawn.job
    shown = [swatch.hex for swatch in job.judged.palette.swatches] if job else []
    if old not in shown:
        raise PageError(f"{old} is not in the palette now", where="palette", remedy="Look again.")
    wanted = list(dict.fromkeys(new if one == old else one for one in shown))

    def change(text: str) -> str:
        return rt.with_value(_pinned(text, wanted), "palette", "colours", len(wanted))

    return Edit(f"{new} instead of {old}", change)


def nudge_all(bench: Bench, form: Form) -> Edit:
    """Put the nearest printing colour in the place of each that prints duller."""
    del form
    job = bench.drawn.job
    if job is None:
        raise PageError("is not chosen yet", where="the palette", remedy="Wait a moment.")
    colours = job.judged.colours
    wanted = [one.nearest_hex if one.grade == "will shift" else one.hex for one in colours]
    wanted = list(dict.fromkeys(wanted))

    def change(text: str) -> str:
        return rt.with_value(_pinned(text, wanted), "palette", "colours", len(wanted))

    return Edit("all colours into print", change)


def _clicked(bench: Bench, form: Form) -> str:
    """The colour of the tile where it was clicked; the picture's own size comes with the form."""
    recipe = recipe_of(bench)
    part = recipe.patterns[_pattern_index(recipe, form)]
    study = bench.memory.study(bench.request(recipe, part))
    across = form.whole("at.x") / form.whole("wide", 1)
    return colour_at(study, across, form.whole("at.y") / form.whole("high", 1))


def _pinned(text: str, wanted: list[str]) -> str:
    return rt.with_value(text, "palette", "pinned", wanted or None)


def set_surface(bench: Bench, form: Form) -> Edit:
    """Set what the sheet is printed on."""
    del bench
    surface = form.text("surface")

    def change(text: str) -> str:
        plain = rt.with_value(text, "press", "profile", None)
        return rt.with_value(plain, "press", "surface", surface)

    return Edit(f"{surface} paper", change)


def set_name(bench: Bench, form: Form) -> Edit:
    """Name the kit."""
    del bench
    name = form.text("name")
    return Edit(f'named it "{name}"', lambda text: rt.with_value(text, "kit", "name", name))


def set_box(bench: Bench, form: Form) -> Edit:
    """Set the day box of the planner."""
    del bench
    size = f"{form.length('box-wide', 5, 500)} x {form.length('box-high', 5, 500)}"
    return Edit(f"planner box {size}", lambda text: rt.with_value(text, "planner", "box", size))


def set_paper(bench: Bench, form: Form) -> Edit:
    """Set the paper."""
    del bench
    paper = form.text("paper")
    if paper == "other":
        paper = f"{form.length('paper-wide', 20, 1500)} x {form.length('paper-high', 20, 1500)}"
    return Edit(f"paper {paper}", lambda text: rt.with_value(text, "sheet", "paper", paper))


SHEET_LENGTHS = {"gap": "gap", "bleed": "bleed", "corner_radius": "corner radius"}


def set_sheet(bench: Bench, form: Form) -> Edit:
    """Set one of the sheet's lengths or its layout."""
    del bench
    key = form.text("key")
    if key == "layout":
        layout = form.text("value")
        return Edit(f"layout {layout}", lambda text: rt.with_value(text, "sheet", key, layout))
    if key not in SHEET_LENGTHS:
        raise PageError(f'there is no "{key}"', where="sheet", remedy="Load the page again.")
    length = form.length("value", 0, 50)
    said = f"{SHEET_LENGTHS[key]} {length}"
    return Edit(said, lambda text: rt.with_value(text, "sheet", key, length))


def set_margin(bench: Bench, form: Form) -> Edit:
    """Set the same margin on all four sides."""
    del bench
    length = form.length("value", 0, 100)
    return Edit(f"margin {length}", lambda text: rt.with_value(text, "sheet", "margin", length))


def set_registration(bench: Bench, form: Form) -> Edit:
    """Set how far the cut may land from the print."""
    was = recipe_of(bench).sheet.registration
    value = {
        "shift": form.length("value", 0, 10),
        "turn": f"{was.turn:g}deg",
        "scale": f"{was.scale * 100:g}%",
    }

    def change(text: str) -> str:
        return rt.with_value(text, "sheet", "registration", value)

    return Edit(f"a cut may miss by {value['shift']}", change)


def add_row(bench: Bench, form: Form) -> Edit:
    """Add a row of stickers."""
    recipe = recipe_of(bench)
    kind = form.text("sticker")
    if kind not in KINDS:
        raise PageError(f'there is no kind "{kind}"', where="sticker", remedy="Choose another.")
    width_mm = KINDS[kind].size_mm(recipe.planner.box)[0]
    margin = recipe.sheet.margin
    room = recipe.sheet.paper.width_mm - margin.left - margin.right + recipe.sheet.gap
    count = max(1, int(room // (width_mm + recipe.sheet.gap)))
    fill = "palette" if KINDS[kind].panel or KINDS[kind].checks else "patterns"
    row = {"sticker": kind, "count": min(count, 40), "fill": fill}
    return Edit(f"added {count} {kind}", lambda text: rt.with_row(text, row))


def _row(bench: Bench, form: Form) -> tuple[int, RowPart]:
    recipe = recipe_of(bench)
    index = form.whole("row")
    if index >= len(recipe.rows) or form.whole("of", 1) != len(recipe.rows):
        raise PageError(
            "that row is not where it was",
            where="rows",
            why="the kit was changed meanwhile, perhaps in another tab",
            remedy="Look at the rows as they stand now, and change it again.",
        )
    return index, recipe.rows[index]


def remove_row(bench: Bench, form: Form) -> Edit:
    """Take a row of stickers out."""
    index, row = _row(bench, form)
    return Edit(f"took out {row.count} {row.sticker}", lambda text: rt.without_row(text, index))


def move_row(bench: Bench, form: Form) -> Edit:
    """Move a row of stickers up or down."""
    index, row = _row(bench, form)
    step = -1 if form.text("to") == "up" else 1
    said = f"moved {row.sticker} {'up' if step < 0 else 'down'}"
    return Edit(said, lambda text: rt.with_row_moved(text, index, step))


def set_row(bench: Bench, form: Form) -> Edit:
    """Set what a row holds: its kind, count, fill and panel, as far as they changed."""
    index, row = _row(bench, form)
    wanted: dict[str, object] = {}
    kind, count = form.text("sticker"), form.whole("count", 1, 500)
    if kind != row.sticker:
        wanted |= {"sticker": kind, "panel": None, "size": None}
    if count != row.count:
        wanted["count"] = count
    fill, panel = form.text("fill"), form.text("panel")
    if fill not in {"as it is", row.fill}:
        wanted["fill"] = fill
    usual = KINDS[row.sticker].panel or "none"
    if kind == row.sticker and panel and panel != (row.panel or usual):
        wanted["panel"] = None if panel == usual else panel

    def change(text: str) -> str:
        for key, value in wanted.items():
            text = rt.with_row_value(text, index, key, value)
        return text

    return Edit(f"{count} {kind}", change)


def set_variety(bench: Bench, form: Form) -> Edit:
    """Set whether windows look for clean cuts or for copies that differ."""
    del bench
    variety = form.share("variety")
    return Edit("fills' variety", lambda text: rt.with_value(text, "fills", "variety", variety))


def set_fill(bench: Bench, form: Form) -> Edit:
    """Fill one sticker; the others of its row stay as they are shown."""
    index, row, place = _sticker(bench, form)
    wish = form.colour("colour") if form.text("fill") == "colour" else form.text("fill")
    shown = _shown_fills(bench, index, row)
    shown[place] = wish
    said = f"{row.sticker} {place + 1} in {wish}"
    return Edit(said, lambda text: rt.with_fill(text, index, shown))


def pin_offset(bench: Bench, form: Form) -> Edit:
    """Set where in its pattern one sticker lies, or leave it to kitloom again."""
    index, row, place = _sticker(bench, form)
    how = form.text("how")
    if how in {"auto", "centred"}:
        offset = how
    else:
        offset = rt.pair(form.length_mm("across", -999, 999), form.length_mm("down", -999, 999))
    said = {"auto": f"freed {row.sticker} {place + 1}", "centred": f"centred {row.sticker}"}.get(
        how, f"moved the fill of {row.sticker} {place + 1}"
    )
    return Edit(said, lambda text: rt.with_pin(text, index, place, row, offset))


def _sticker(bench: Bench, form: Form) -> tuple[int, RowPart, int]:
    """Return the row, and the place in it, of a sticker."""
    index, row = _row(bench, form)
    place = form.whole("place")
    if place >= row.count:
        raise PageError("that sticker is gone", where="sheet", remedy="Choose another sticker.")
    return index, row, place


def _shown_fills(bench: Bench, index: int, row: RowPart) -> list[str]:
    """Return what each sticker of a row is filled with on the sheet as it is shown."""
    drawn = bench.drawn
    if drawn.job is None or drawn.fault is not None or drawn.revision != bench.revision:
        wishes = (row.fill,) if isinstance(row.fill, str) else row.fill
        return [wishes[i % len(wishes)] for i in range(row.count)]
    kit = drawn.job.kit
    pairs = zip(kit.slots, kit.choices, strict=True)
    return [choice.fill for slot, choice in pairs if slot.row == index][: row.count]


def set_tolerance(bench: Bench, form: Form) -> Edit:
    """Set bleed and gap to what the registration needs, never narrower than they are."""
    sheet = recipe_of(bench).sheet
    bleed = max(sheet.bleed, form.length_mm("bleed", 0, 50))
    gap = max(sheet.gap, form.length_mm("gap", 0, 50))

    def change(text: str) -> str:
        text = rt.with_value(text, "sheet", "bleed", rt.millimetres(bleed))
        return rt.with_value(text, "sheet", "gap", rt.millimetres(gap))

    return Edit(f"bleed {bleed:g} mm, gap {gap:g} mm", change)


def set_border(bench: Bench, form: Form) -> Edit:
    """Set the border round the panels of all stickers of a kind."""
    recipe, kind = recipe_of(bench), form.text("kind")
    border = form.length("border", 0.1, 100)
    rows = [i for i, row in enumerate(recipe.rows) if row.sticker == kind]

    def change(text: str) -> str:
        for index in rows:
            text = rt.with_row_value(text, index, "border", border)
        return text

    return Edit(f"border of each {kind} {border}", change)


EDITS: dict[str, Callable[[Bench, Form], Edit]] = {
    "remove-tile": remove_tile,
    "repeat": set_repeat,
    "lattice": set_lattice,
    "colours": set_colours,
    "pin": pin_colour,
    "swap": swap_colour,
    "nudge-all": nudge_all,
    "surface": set_surface,
    "name": set_name,
    "box": set_box,
    "paper": set_paper,
    "sheet": set_sheet,
    "margin": set_margin,
    "registration": set_registration,
    "add-row": add_row,
    "remove-row": remove_row,
    "move-row": move_row,
    "row": set_row,
    "variety": set_variety,
    "fill": set_fill,
    "offset": pin_offset,
    "tolerance": set_tolerance,
    "border": set_border,
}
