"""Edits of step 3: how many colours, which are kept, swapped or nudged into print.

A swapped colour pins the whole palette as it is shown, so that all the others stay as they are;
stickers that were dealt it take the new one.
"""

from __future__ import annotations

import numpy as np

from kitloom.measure import TileStudy
from kitloom.page.edits.editing import Edit, pattern_index, recipe_of
from kitloom.page.edits.forms import Form
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt
from palette.space import colour_of


def set_colours(bench: Bench, form: Form) -> Edit:
    """Set how many colours the palette has."""
    del bench
    text = form.text("colours")
    count: int | str = "auto" if text in {"", "auto"} else form.whole("colours", 1, 24)
    label = "as many as the artwork needs" if count == "auto" else str(count)
    return Edit(f"colours: {label}", lambda text: rt.with_value(text, "palette", "colours", count))


def pin_colour(bench: Bench, form: Form) -> Edit:
    """Keep a colour in the palette whatever else changes, or let it go."""
    colour, palette = form.colour("colour"), recipe_of(bench).palette
    others = [one for one in palette.pinned if colour_of(one) != colour]
    if form.text("keep") == "yes":
        pins = list(palette.pinned) if colour in palette.pins else [*others, colour]
        return Edit(f"kept {colour}", lambda text: _with_pins(text, pins))
    return Edit(f"let {colour} go", lambda text: _with_pins(text, others))


def leave_out(bench: Bench, form: Form) -> Edit:
    """Leave a colour out of the palette, or let it in again."""
    colour, palette = form.colour("colour"), recipe_of(bench).palette
    others = [one for one in palette.without if colour_of(one) != colour]
    if form.text("leave") != "yes":
        return Edit(f"let {colour} in again", lambda text: _with_left_out(text, others))
    pins = [one for one in palette.pinned if colour_of(one) != colour]

    def change(text: str) -> str:
        without_pin = _with_pins(text, pins) if colour in palette.pins else text
        return _with_left_out(without_pin, [*others, colour])

    return Edit(f"left {colour} out", change)


def take_no_colours_from(bench: Bench, form: Form) -> Edit:
    """Choose the palette from the other tiles alone."""
    recipe, name = recipe_of(bench), form.text("tile")
    names = recipe.palette.tiles or [part.label for part in recipe.patterns]
    others = [one for one in names if one != name]
    if not others or len(others) == len(names):
        raise PageError(f"{name} gives no colours now", where="palette", remedy="Look again.")

    def change(text: str) -> str:
        return rt.with_value(text, "palette", "tiles", others)

    return Edit(f"no colours from {name}", change)


def swap_colour(bench: Bench, form: Form) -> Edit:
    """Put another colour in a palette colour's place; all the others stay as they are."""
    old = form.colour("colour")
    new = form.colour("other") if form.has("other") else _clicked_colour(bench, form)
    job = bench.drawing.job
    shown = [swatch.hex for swatch in job.verdict.palette.swatches] if job else []
    if old not in shown:
        raise PageError(f"{old} is not in the palette now", where="palette", remedy="Look again.")
    pins = list(dict.fromkeys(new if one == old else one for one in shown))

    def change(text: str) -> str:
        text = rt.with_held_colours(text, {old: new})
        return rt.with_value(_with_pins(text, pins), "palette", "colours", len(pins))

    return Edit(f"{new} instead of {old}", change)


def nudge_all(bench: Bench, form: Form) -> Edit:
    """Put the nearest printing colour in the place of each that prints duller."""
    del form
    job = bench.drawing.job
    if job is None:
        raise PageError("is not chosen yet", where="the palette", remedy="Wait a moment.")
    colours = job.verdict.colours
    nudged = {one.hex: one.nearest_hex if one.grade == "will shift" else one.hex for one in colours}
    pins = list(dict.fromkeys(nudged.values()))

    def change(text: str) -> str:
        text = rt.with_held_colours(text, nudged)
        return rt.with_value(_with_pins(text, pins), "palette", "colours", len(pins))

    return Edit("all colours into print", change)


def _colour_at(study: TileStudy, across: float, down: float) -> str:
    """Return the colour of the tile at a place given as shares of its width and height.

    It is the median of a few pixels around, so that a click beside an outline still means the
    colour that the eye was on.
    """
    pixels = study.artwork.pixels
    height, width = pixels.shape[:2]
    y = min(height - 1, max(0, int(down * height)))
    x = min(width - 1, max(0, int(across * width)))
    reach = max(1, width // 300)
    near = pixels[max(0, y - reach) : y + reach + 1, max(0, x - reach) : x + reach + 1]
    flat = near.reshape(-1, 3).astype(np.int64)
    # the pixel itself that lies nearest to all others: a colour of the artwork, not a mixture
    apart = np.abs(flat[:, None] - flat[None]).sum(axis=(1, 2))
    red, green, blue = flat[int(apart.argmin())]
    return f"#{red:02x}{green:02x}{blue:02x}"


def _clicked_colour(bench: Bench, form: Form) -> str:
    """The colour of the tile where it was clicked; the picture's own size comes with the form."""
    recipe = recipe_of(bench)
    part = recipe.patterns[pattern_index(recipe, form)]
    study = bench.cache.study(bench.request(recipe, part))
    across = form.whole("at.x") / form.whole("wide", 1)
    return _colour_at(study, across, form.whole("at.y") / form.whole("high", 1))


def _with_left_out(text: str, colours: list[str]) -> str:
    return rt.with_value(text, "palette", "without", colours or None)


def _with_pins(text: str, pins: list[str]) -> str:
    return rt.with_value(text, "palette", "pinned", pins or None)
