"""docs/files.md: every file that ``kitloom make`` writes, from the tables in the code."""

from __future__ import annotations

from kit.writers import WRITERS
from palette.exchange import FORMATS

# what each is for, in a maker's words
USES = {
    "pdf": "The file to print. One page at the paper's exact size; words as curves; no cut line.",
    "print-png": "The same page as a picture with its size set, for a cutter's own program that "
    "prints and adds its marks.",
    "svg": "Cut lines alone, true arcs, 1 unit is 1 mm; the page is the drawing's box.",
    "dxf": "Cut lines alone in millimetres (`$INSUNITS` 4), arcs as bulges; R2000.",
    "layers-pdf": "Print and cut in one: the cut is a processing-step layer (ISO 19593-1) that is "
    "off until you turn it on.",
    "hpgl": "Cut lines as plotter commands, 40 units a millimetre; pen 1 kisses, pen 2 cuts "
    "through.",
    "preview": "A picture for people: the stickers as they come off the sheet. Not for printing.",
}

_ONCE = """\
## Once a kit

| file | what it is |
|---|---|
| `palette.json` | the palette as `kitloom palette --json` prints it |
{exchange}
| `swatch-card.pdf`, `swatch-card.svg` | a card of the palette to print and keep |
| `kit.lock.json` | palette, fills and offsets of this run, for `kitloom make --keep` |
| `report.html` | tiles, colours, sheets and findings on one page that needs nothing else |

Nothing else is left behind. The same recipe and artwork give the same bytes. Files of an earlier
run are replaced only with `--overwrite`, and then the whole set at once; what you put there
yourself stays.
"""


def page() -> str:
    """Return the page."""
    parts = [
        "# What `kitloom make` writes\n",
        "## For each sheet\n",
        "| file | cut lines | print | what it is for |",
        "|---|---|---|---|",
        *(
            f"| `sheet-1{one.suffix}` | {_yes(one.cuts)} | {_yes(one.prints)} | {USES[name]} |"
            for name, one in WRITERS.items()
        ),
        "",
    ]
    exchange = "\n".join(
        f"| `{one.file_name}` | the palette as {one.title}: see [exchange](exchange.md) |"
        for one in FORMATS.values()
    )
    return "\n".join(parts) + "\n" + _ONCE.format(exchange=exchange)


def _yes(value: bool) -> str:
    return "yes" if value else "–"
