"""docs/recipe.md: every key of a recipe with its type and default, from the recipe's own models."""

from __future__ import annotations

from kit.recipe import MEANINGS, TABLES, RecipeKey, recipe_keys, recipe_tables

_HEAD = """\
# A recipe, key by key

A recipe is a TOML text. `kitloom draft` writes one for a folder of artwork; this page says what
else it can hold. It never says where on the paper a sticker is, so the same recipe
serves other artwork, another planner and another paper.

Lengths are texts with a unit: `"40mm"`, `"4cm"`, `"1.6in"` or `"9pt"`; `"1,6 inch"` is read too.
Sizes are width by height: `"40mm x 52mm"` or `"40 x 52 mm"`. File names start from the recipe's
folder. A key that is not on this page is refused, with its line and the nearest known key.

The smallest recipe that works:

```toml
[planner]
box = "40mm x 52mm"

[sheet]
paper = "Letter"

[[patterns]]
file = "tiles/pods.png"

[[rows]]
sticker = "full box"
count = 4
```
"""


def page() -> str:
    """Return the page."""
    return "\n".join([_HEAD, *(_table(name, many) for name, many in recipe_tables().items())])


def faults() -> list[str]:
    """Say which keys have no meaning, and which meanings no key."""
    keys = {key.name for key in recipe_keys()}
    said = [f"{name} has no meaning" for name in sorted(keys - set(MEANINGS))]
    return said + [f"{name} is no key of a recipe" for name in sorted(set(MEANINGS) - keys)]


def _table(name: str, many: bool) -> str:
    rows = [f"## {'[[' if many else '['}{name}{']]' if many else ']'}\n", f"{TABLES[name]}\n"]
    rows += ["| key | written as | default | meaning |", "|---|---|---|---|"]
    rows += [_row(key) for key in recipe_keys() if key.path[0] == name]
    return "\n".join(rows) + "\n"


def _row(key: RecipeKey) -> str:
    usual = f"`{key.usual}`" if key.usual else "needed" if key.needed else "–"
    if key.name == "rows.count":
        usual = "needed, or one for each text"
    cells = (f"`{'.'.join(key.path[1:])}`", key.written, usual, key.meaning)
    return f"| {' | '.join(cell.replace('|', ' or ') for cell in cells)} |"
