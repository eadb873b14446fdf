"""Edits of the whole sheet: surface, planner, paper, and what printer and cutter need."""

from __future__ import annotations

from kitloom.page.edits.editing import Edit, recipe_of
from kitloom.page.edits.forms import Form
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt

LONGEST_NAME = 120
SHEET_LENGTHS = {"gap": "gap", "bleed": "bleed", "corner_radius": "corner radius"}


def set_surface(bench: Bench, form: Form) -> Edit:
    """Set what the sheet is printed on."""
    del bench
    surface = form.text("surface")

    def change(text: str) -> str:
        for key in ("profile", "chart", "convert"):  # they would win over the surface
            text = rt.with_value(text, "press", key, None)
        return rt.with_value(text, "press", "surface", surface)

    return Edit(f"{surface} paper", change)


def set_name(bench: Bench, form: Form) -> Edit:
    """Name the kit."""
    del bench
    name = form.words("name", "Name of the kit", LONGEST_NAME)
    return Edit(f'named it "{name}"', lambda text: rt.with_value(text, "kit", "name", name))


def set_box(bench: Bench, form: Form) -> Edit:
    """Set the day box of the planner; stickers of another size get windows of their own."""
    del bench
    size = form.size("box-wide", "box-high", 5, 500)

    def change(text: str) -> str:
        after = rt.with_value(text, "planner", "box", size)
        return after if after == text else rt.without_windows(after)

    return Edit(f"day box {size}", change)


def set_paper(bench: Bench, form: Form) -> Edit:
    """Set the paper."""
    del bench
    paper = form.text("paper")
    if paper == "other":
        paper = form.size("paper-wide", "paper-high", 20, 1500)
    return Edit(f"paper {paper}", lambda text: rt.with_value(text, "sheet", "paper", paper))


def set_sheet(bench: Bench, form: Form) -> Edit:
    """Set one of the sheet's lengths or its layout."""
    del bench
    key = form.text("key")
    if key == "layout":
        layout = form.text("value")
        return Edit(f"layout {layout}", lambda text: rt.with_value(text, "sheet", key, layout))
    if key not in SHEET_LENGTHS:
        raise PageError(f'there is no "{key}"', where="sheet", remedy="Load the page again.")
    length = form.length("value", 0, 50, field=f"set-{key}")
    label = f"{SHEET_LENGTHS[key]} {length}"
    return Edit(label, lambda text: rt.with_value(text, "sheet", key, length))


def set_top_up(bench: Bench, form: Form) -> Edit:
    """Set the kind that fills what is left of the last sheet, or none."""
    del bench
    kind = form.text("kind")
    if kind == "as it is":  # several kinds, as the recipe names them
        return Edit("what fills the sheet", lambda text: text)
    label = f"the sheet filled up with {kind}" if kind else "the rest of the sheet left blank"
    kinds = [kind] if kind else None

    def change(text: str) -> str:
        text = rt.with_value(text, "sheet", "top_up_held", None)
        return rt.with_value(text, "sheet", "top_up", kinds)

    return Edit(label, change)


def set_margin(bench: Bench, form: Form) -> Edit:
    """Set the same margin on all four sides."""
    del bench
    length = form.length("value", 0, 100, field="set-margin")
    return Edit(f"margin {length}", lambda text: rt.with_value(text, "sheet", "margin", length))


def set_registration(bench: Bench, form: Form) -> Edit:
    """Set how far the cut may land from the print."""
    was = recipe_of(bench).sheet.registration
    value = {
        "shift": form.length("value", 0, 10, field="set-shift"),
        "turn": f"{was.turn:g}deg",
        "scale": f"{was.scale * 100:g}%",
    }

    def change(text: str) -> str:
        return rt.with_value(text, "sheet", "registration", value)

    return Edit(f"a cut may miss by {value['shift']}", change)


def set_variety(bench: Bench, form: Form) -> Edit:
    """Set whether windows look for clean cuts or for copies that differ."""
    del bench
    variety = form.share("variety")
    return Edit("fills' variety", lambda text: rt.with_value(text, "fills", "variety", variety))


def set_tolerance(bench: Bench, form: Form) -> Edit:
    """Set bleed and gap to what the registration needs, never narrower than they are."""
    sheet = recipe_of(bench).sheet
    bleed = max(sheet.bleed, form.length_mm("bleed", 0, 50))
    gap = max(sheet.gap, form.length_mm("gap", 0, 50))

    def change(text: str) -> str:
        text = rt.with_value(text, "sheet", "bleed", rt.millimetres(bleed))
        return rt.with_value(text, "sheet", "gap", rt.millimetres(gap))

    return Edit(f"bleed {bleed:g} mm, gap {gap:g} mm", change)
