"""What exactly is to be made: a recipe with nothing left open but what artwork decides.

In: a checked recipe, and an earlier run's record that is to be kept, if any. Out: a ``KitRequest``,
whose parts are what the stages of the work are given: files by their place, the press opened, the
palette file read. Not done here: opening artwork.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Literal

from kit.compose import Lock, with_lock
from kit.recipe import PatternPart, Recipe, place_in
from kit.recipe_error import RecipeError
from kitloom.colours import read_palette_file
from kitloom.measure import PatternRequest, Request
from palette.exchange import NamedColour
from palette.press import Press, open_press
from patterns.artwork import digest


@dataclass(frozen=True)
class PaletteRequest:
    """Which colours a kit is to have.

    Attributes:
        tiles: the patterns that they are taken from, by name.
        colours: how many; "auto" to find out.
        pinned: colours "#rrggbb" that must be among them.
        own_pins: those that the recipe itself pins; the others come from a lock that is kept.
        without: colours "#rrggbb" that must not be among them.
        file_colours: the colours of a palette file, all of which are taken; None to choose.
        where: that file, for errors.
        names: by "#rrggbb", what the recipe or the lock that is kept calls a colour.
        allowed: two colours each, by name or hex, that may stay as close as they are.
    """

    tiles: tuple[str, ...]
    colours: int | Literal["auto"]
    pinned: tuple[str, ...]
    own_pins: tuple[str, ...]
    without: tuple[str, ...]
    file_colours: tuple[NamedColour, ...] | None
    where: str
    names: Mapping[str, str]
    allowed: tuple[str, ...]


@dataclass(frozen=True)
class KitRequest:
    """One kit to make.

    Attributes:
        recipe: with the palette, repeats and lattices of the lock that is kept.
        press: what it is printed on, opened.
        patterns: the tiles to measure, in the recipe's order.
        palette: its colours.
        keep: an earlier run's record whose decisions are to stay.
        digests: where a record is kept, by pattern name the SHA-256 of its file now.
    """

    recipe: Recipe
    press: Press
    patterns: tuple[PatternRequest, ...]
    palette: PaletteRequest
    keep: Lock | None
    digests: Mapping[str, str]


def resolve(recipe: Recipe, keep: Lock | None = None) -> KitRequest:
    """Return what a recipe asks for.

    Args:
        recipe: a checked recipe.
        keep: an earlier run's record whose decisions are to stay.

    Raises:
        RecipeError: the palette is to be taken from a pattern that is not there.
        ProfileError: the printer's profile or chart cannot be used.
        PaletteError: the palette file cannot be used.
    """
    digests = _digests(recipe) if keep is not None else {}
    kept = with_lock(recipe, keep, digests) if keep is not None else recipe
    patterns = tuple(_pattern(kept, part) for part in kept.patterns)
    palette = _palette(recipe, kept, keep.names if keep is not None else {})
    return KitRequest(kept, press_opener(kept)(), patterns, palette, keep, digests)


def press_opener(recipe: Recipe) -> Callable[[], Press]:
    """Return how a recipe's press is opened; an opened one cannot go to another process.

    The opener raises ``ProfileError`` where its profile or chart cannot be used.
    """
    part = recipe.press
    return partial(
        open_press,
        part.surface,
        recipe.folder / part.profile if part.profile else None,
        intent=part.intent,
        black_point_compensation=part.black_point_compensation,
        chart=recipe.folder / part.chart if part.chart else None,
        convert=part.convert,
    )


def _digests(recipe: Recipe) -> dict[str, str]:
    """The hash of each pattern's file as it is now; files that are missing are reported later."""
    files = {part.label: recipe.folder / part.file for part in recipe.patterns}
    return {label: digest(path) for label, path in files.items() if path.is_file()}


def _pattern(recipe: Recipe, part: PatternPart) -> PatternRequest:
    return PatternRequest(
        part.label,
        Request(recipe.folder / part.file, part.lattice, part.subject),
        part.repeat,
        (recipe.planner.box[0], recipe.planner.box[1] / 2.0),
        recipe.sheet.dpi,
        part.looked,
    )


def palette_request(recipe: Recipe) -> PaletteRequest:
    """Return which colours a recipe asks for where no earlier run's record is kept.

    Raises:
        RecipeError: the palette is to be taken from a pattern that is not there.
        PaletteError: the palette file cannot be used.
    """
    return _palette(recipe, recipe, {})


def _palette(own: Recipe, kept: Recipe, names: Mapping[str, str]) -> PaletteRequest:
    part = kept.palette
    labels = tuple(pattern.label for pattern in kept.patterns)
    unknown = [name for name in part.tiles if name not in labels]
    if unknown:
        raise RecipeError(
            f'palette.tiles: "{unknown[0]}" is not a pattern of this recipe',
            where=place_in(own, "palette", "tiles"),
            remedy=f"Choose from {', '.join(labels)}.",
        )
    # other pins than the recipe's own are all the colours of an earlier run, in place of a file's
    from_file = part.source is not None and part.pinned == own.palette.pinned
    file = own.folder / part.source if part.source is not None and from_file else None
    return PaletteRequest(
        part.tiles or labels,
        part.colours,
        tuple(part.pins),
        tuple(own.palette.pins),
        own.palette.left_out,
        read_palette_file(file) if file is not None else None,
        str(file or own.file),
        {**names, **{colour: name for colour, name in own.palette.pins.items() if name}},
        tuple(",".join(pair) for pair in part.allow),
    )
