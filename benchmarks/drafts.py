"""How much of a sheet does a draft cover, against the best packing of its kinds that we know?

Run: ``python -m benchmarks.drafts``. Twelve numbers of tiles, four day boxes, two papers. Coverage
is the stickers' share of what printer and cutter reach. The best packing is that of rectpack
(maximal rectangles, nine settings), given the draft's stickers and half as many again of each kind
to choose from; rows are not kept there.
"""

from __future__ import annotations

import math
from itertools import product
from pathlib import Path

import rectpack

from kit.draft import DraftTile, draft_recipe
from kit.layout import sticker_area, usable_area
from kit.recipe import Recipe, parse_recipe
from kit.stickers import slots_of

BOXES = ("40mm x 52mm", "44mm x 46mm", "50mm x 60mm", "30mm x 35mm")
PAPERS = ("Letter", "A4")
TILES = (1, 3, 5, 7, 9, 10, 12, 14, 16, 19, 24, 40)


def best_packing(recipe: Recipe) -> float:
    """Return the coverage of the best packing on one sheet, 0 to 1."""
    gap = recipe.sheet.gap
    area = sticker_area(usable_area(recipe.sheet), recipe)
    slots = slots_of(recipe)
    best = 0.0
    algorithms = (rectpack.MaxRectsBssf, rectpack.MaxRectsBl, rectpack.MaxRectsBaf)
    orders = (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE)
    for algorithm, order in product(algorithms, orders):
        packer = rectpack.newPacker(pack_algo=algorithm, sort_algo=order, rotation=False)
        for slot in (*slots, *slots[::2]):
            sides = (slot.width_mm, slot.height_mm)
            packer.add_rect(*(math.ceil((side + gap) * 100) for side in sides))
        packer.add_bin(*(int((side + gap) * 100) for side in (area.width_mm, area.height_mm)))
        packer.pack()
        covered = sum((one.width / 100 - gap) * (one.height / 100 - gap) for one in packer[0])
        best = max(best, covered / area.area_mm2)
    return best


def main() -> None:
    """Print a line for each box and paper."""
    print("box          paper   sheets   coverage            of the best packing   left over")
    for box, paper in product(BOXES, PAPERS):
        sheets, shares, ratios, left = [], [], [], 0
        for count in TILES:
            tiles = [DraftTile(f"{i}.png", 30.0, "straight") for i in range(count)]
            draft = draft_recipe("", "kit.toml", tiles, box, paper)
            sheets.append(draft.plan.sheets)
            shares.append(draft.plan.coverage)
            left += len(draft.left_over)
            best = best_packing(parse_recipe(draft.text, Path("kit.toml")))
            ratios.append(draft.plan.coverage / best)
        print(
            f"{box}  {paper:6}  {min(sheets)} to {max(sheets)}   "
            f"{min(shares):.3f} to {max(shares):.3f}      "
            f"{min(ratios):.3f} to {max(ratios):.3f}        {left}"
        )


if __name__ == "__main__":
    main()
