"""A starting recipe from a folder of artwork, as a maker would write it, with comments.

In: for each tile its file, repeat in millimetres and lattice. Out: the text of a recipe that reads
back without a fault. The planner's box and the paper are guesses that the comments ask to change.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath

from kit.kinds import KINDS

_HEAD = """\
# A starting recipe. Change what does not fit, then run: kitloom make {file}
# Every key that may stand here: docs/recipe.md, every kind of sticker: docs/stickers.md

[kit]
name = {name}
format = 1                       # of this recipe; leave it

[planner]
box = "{box}"{after_box}# measure the day box of your own planner: width x height

[sheet]
paper = "Letter"                 # or "A4", "A5", or a size such as "8.5in x 11in"
dpi = 300
margin = "10mm"                  # what your printer or cutter cannot reach along the edges
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
# tiles = [{tile}]{space}# choose it from the tiles named here alone: leave a loud one out
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

[[rows]]
sticker = "full box"
count = {full}
fill = "patterns"

[[rows]]
sticker = "full box"
count = {panels}
fill = "palette"
panel = "white"                  # an area to write on; its border is printed

[[rows]]
sticker = "half box"
count = 4
fill = "patterns"

[[rows]]
sticker = "checklist"
count = 8
fill = "palette"
"""


_WIDTH = "width of one tile on paper"
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


def draft_recipe(
    name: str, recipe_file: str, tiles: Sequence[DraftTile], box: str = "40mm x 52mm"
) -> str:
    """Return a recipe's text for one or more tiles; ``box`` is the planner's day box."""
    patterns = "".join(draft_pattern(tile) for tile in tiles)
    kinds = ", ".join(KINDS).replace("label, ", "label,\n# ")
    rows = _ROWS.format(kinds=kinds, full=min(4, max(2, len(tiles))), panels=3)
    head = _HEAD.format(
        file=recipe_file,
        name=_quote(name),
        box=box,
        after_box=" " * max(1, 25 - len(box)),
        **_palette_tiles(tiles[0]),
    )
    return head + patterns + rows


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
        width=f"its {tile.few_px} px suffice for no more" if tile.few_px else _WIDTH,
        lattice=tile.lattice,
        joins=" " * max(1, 21 - len(tile.lattice)) + _SEAM if tile.seam else "",
    )


def _quote(text: str) -> str:
    """A TOML basic string; JSON's escapes are a subset of TOML's."""
    return json.dumps(text, ensure_ascii=False)
