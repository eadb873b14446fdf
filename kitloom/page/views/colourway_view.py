"""Step 3: a tile in a whole other palette, before and after, and which palettes there are."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from kit.recipe import Recipe
from kitloom.colours import read_palette_file
from kitloom.findings import colourway_findings
from kitloom.kits import JudgedKit
from kitloom.page.edits import OWN, palette_setting, palettes
from kitloom.page.state import Bench
from kitloom.page.views.page_words import told_of
from kitloom.page.views.tiles_view import chosen_index, plain_strip
from kitloom.page.work import Previews, plan_redress
from palette.errors import KitloomError

CHIPS = 16


def colourway_view(
    bench: Bench, previews: Previews, recipe: Recipe, job: JudgedKit, query: Mapping[str, str]
) -> dict[str, Any]:
    """Return the palettes, and the chosen tile in the chosen one."""
    offers = [_offer(OWN, tuple(swatch.hex for swatch in job.verdict.palette.swatches))]
    offers += [_offer(path.name, _hexes(path, path.stat().st_mtime_ns)) for path in palettes(bench)]
    offers = [one for one in offers if one["chips"]]
    name = next((one["name"] for one in offers if one["name"] == query.get("wear")), "")
    index = chosen_index(recipe, query)
    part, dressed = recipe.patterns[index], None
    if name and bench.known(recipe, part) is not None:
        dressed = previews.now(*plan_redress(bench, recipe, part, name))
    (licence,) = colourway_findings([])
    return {
        "wear": name,
        "wear_file": "" if name in {"", OWN} else palette_setting(name),
        "offers": offers,
        "dressed": dressed,
        "dressed_told": told_of(dressed),
        "dressed_tile": part.label,
        "tiles": len(recipe.patterns),
        "wear_strip": plain_strip(bench, recipe, index) if name else [],
        "licence": f"{licence.what} {licence.why} {licence.remedy}",
    }


def _offer(name: str, hexes: tuple[str, ...]) -> dict[str, Any]:
    return {"name": name, "chips": hexes[:CHIPS], "more": max(0, len(hexes) - CHIPS)}


@lru_cache(64)
def _hexes(path: Path, changed_ns: int) -> tuple[str, ...]:
    """The colours of a palette file; none where it cannot be read any more."""
    del changed_ns
    try:
        return tuple(dict.fromkeys(one.hex for one in read_palette_file(path)))
    except KitloomError:
        return ()
