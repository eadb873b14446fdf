"""A starting recipe from a folder of artwork, as a maker would write it, with comments.

In: for each tile its file, repeat in millimetres and lattice. Out: the text of a recipe that reads
back without a fault, its sheets full (``kit.draft.plan``). The planner's box and the paper are
guesses that the comments ask to change.
"""

from __future__ import annotations

import json
import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from types import MappingProxyType

from kit.draft.plan import Plan, PlannedRow, rows_for, with_coordinates
from kit.kinds import KINDS
from kit.recipe import parse_recipe

_HEAD = """\
# A starting recipe. Change what does not fit, then run: kitloom make {file}
# Every key that a recipe can have: docs/recipe.md, every kind of sticker: docs/stickers.md

[kit]
name = {name}
format = 1                       # of the recipe itself; leave it

[planner]
box = "{box}"{after_box}# measure the day box of your own planner: width x height

[sheet]
paper = "{paper}"{after_paper}# or "Letter", "A4", "A5", or a size such as "8.5in x 11in"
dpi = 300
margin = "10mm"                  # what printer or cutter cannot reach, and the bleed
gap = "3mm"                      # between two stickers
bleed = "1mm"                    # how far the print runs past the cut
registration = {{ shift = "0.5mm", turn = "0.1deg", scale = "0%" }}   # how far your cut may miss
corner_radius = "1.5mm"

[press]
surface = "glossy"               # or "matt" for matt and plain label paper
# profile = "my-printer.icc"     # better, in place of surface, if you have your printer's own

[palette]
colours = 8                      # or "auto", as many as the artwork is worth
# without = ["#5d8a55"]          # colours that you do not want in it
# tiles = [{tile}]{space}# take colours from these tiles only: leave a loud one out
"""

_PATTERN = """
[[patterns]]
file = {file}{name}
repeat = "{repeat}"{space}# {width}
lattice = "{lattice}"{joins}
"""

_ROWS = """
# What is on the sheet, row by row. A fill is "patterns" (a different one each), "palette",
# a pattern's name, a colour such as "#3b5b7a", or a list of these.
# Kinds of sticker: {kinds}.
"""

_ROW = """
[[rows]]
sticker = "{sticker}"
count = {count}
fill = {fill}
"""

_COORDINATES = """
# Coordinates, drawn to go with the artwork, for stickers that would only repeat a tile.
"""

BANDED = ("stripe", "gingham", "windowpane", "tartan", "check")  # kinds of coordinates
_WIDTH = "width of one tile on paper"
_PANEL = 'panel = "white"                  # an area to write on; its border is printed'
_BESIDE = "beside = true                    # at the end of the row before, if there is room"
_SEAM = "# a seam shows: kitloom mend, then name the mended file"


@dataclass(frozen=True, slots=True)
class DraftTile:
    """One tile of the folder.

    Attributes:
        file: its name as the recipe will write it, relative to the recipe.
        repeat_mm: width of one tile on paper.
        lattice: how it repeats.
        name: what fills call it, where that is not the file's own name.
        few_px: its width in pixels, where they are too few for motifs of a usual size.
        seam: whether a seam shows however it is placed.
    """

    file: str
    repeat_mm: float
    lattice: str
    name: str = ""
    few_px: int = 0
    seam: bool = False


@dataclass(frozen=True, slots=True)
class Draft:
    """A recipe to begin with.

    Attributes:
        text: the recipe.
        plan: what its rows are.
        left_over: the tiles that it has no place for, and so does not name.
    """

    text: str
    plan: Plan
    left_over: tuple[DraftTile, ...]


def kit_name(folder: str) -> str:
    """Return the name of a kit whose artwork lies in a folder of this name.

    Capitals stay as they are: "winter-tiles" is "Winter tiles", "Kürbis Hof" stays "Kürbis Hof".
    """
    words = folder.replace("-", " ").replace("_", " ")
    return words[:1].upper() + words[1:]


def draft_recipe(
    name: str,
    recipe_file: str,
    tiles: Sequence[DraftTile],
    box: str = "40mm x 52mm",
    paper: str = "Letter",
    *,
    coordinates: Mapping[str, str] = MappingProxyType({}),
) -> Draft:
    """Return a recipe for one or more tiles.

    Args:
        name: of the kit.
        recipe_file: of the recipe, for the comment that says how to make it.
        tiles: at least one.
        box: the planner's day box, as recipes write it.
        paper: as recipes write it.
        coordinates: by name, the tables of patterns drawn to go with the tiles; they fill the
            stickers on which a tile would come a second time.

    Raises:
        RecipeError: a box or a paper that is none.
    """
    head = _HEAD.format(
        file=recipe_file,
        name=_quote(name),
        box=box,
        after_box=" " * max(1, 25 - len(box)),
        paper=paper,
        after_paper=" " * max(1, 23 - len(paper)),
        **_palette_tiles(tiles[0]),
    )
    one_box = row_lines([PlannedRow("full box", 1, "patterns")])
    one_tile = parse_recipe(head + draft_pattern(tiles[0]) + one_box, Path(recipe_file))
    plan = rows_for(one_tile, len(tiles))
    # where not all find a place, those with a fault wait first
    in_order = sorted(tiles, key=lambda tile: (tile.seam, tile.few_px > 0))
    left_over = in_order[max(1, plan.places) :]
    used = [tile for tile in tiles if tile not in left_over]
    kinds = ", ".join(KINDS).replace("label, ", "label,\n# ")
    patterns = "".join(draft_pattern(tile) for tile in used)
    if coordinates:
        names = [tile.name or PurePosixPath(tile.file).stem for tile in used]
        low = [name for name, table in coordinates.items() if _runs_across(table)]
        plan = replace(plan, rows=with_coordinates(plan.rows, names, list(coordinates), low))
        patterns += _COORDINATES + "".join(coordinates.values())
    text = head + patterns + _ROWS.format(kinds=kinds) + row_lines(plan.rows)
    return Draft(text, plan, tuple(left_over))


def _runs_across(table: str) -> bool:
    """Whether a coordinate, given as a recipe's table, is of bands, which no sticker halves."""
    (part,) = tomllib.loads(table)["coordinates"]
    return part["kind"] in BANDED


def row_lines(rows: Sequence[PlannedRow]) -> str:
    """Return the text of some rows, as recipes write them."""
    return "".join(_row_lines(row) for row in rows)


def _row_lines(row: PlannedRow) -> str:
    fill = row.fill if isinstance(row.fill, str) else list(row.fill)
    lines = _ROW.format(sticker=row.sticker, count=row.count, fill=_quote(fill))
    if row.panel:
        lines += f"{_PANEL}\n"
    if row.size:
        lines += f'size = "{row.size}"\n'
    if row.text:
        lines += f"text = {_quote(list(row.text))}\n"
    if row.beside:
        lines += f"{_BESIDE}\n"
    return lines


def _palette_tiles(tile: DraftTile) -> dict[str, str]:
    """Return a tile as the commented key names it, as an example, and the space after it."""
    named = _quote(tile.name or PurePosixPath(tile.file).stem)
    return {"tile": named, "space": " " * max(2, 22 - len(named))}


def draft_pattern(tile: DraftTile) -> str:
    """Return the text of one tile's table, a blank line before it."""
    # down, as a wider repeat would have too few pixels
    repeat = f"{math.floor(tile.repeat_mm * 10.0 + 1e-6) / 10.0:.1f}mm"
    return _PATTERN.format(
        file=_quote(tile.file),
        name=f"\nname = {_quote(tile.name)}" if tile.name else "",
        repeat=repeat,
        space=" " * max(1, 22 - len(repeat)),
        width=f"its {tile.few_px} px are enough for no more" if tile.few_px else _WIDTH,
        lattice=tile.lattice,
        joins=" " * max(1, 21 - len(tile.lattice)) + _SEAM if tile.seam else "",
    )


def _quote(text: str | list[str]) -> str:
    """A TOML basic string, or a list of them; JSON's escapes are a subset of TOML's."""
    return json.dumps(text, ensure_ascii=False)
