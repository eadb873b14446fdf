"""docs/presses.md: what each press stands for, what its forecast is worth, and some colours."""

from __future__ import annotations

from kitloom.findings import GRADE_WORDS
from palette.press import open_press
from palette.proof import assess_colours
from palette.surfaces import SURFACES

COLOURS = (
    *("#ff3ea5", "#ff2b2b", "#ff8a00", "#ffe600", "#00ff00", "#00c2ff", "#2b2bff", "#8a2be2"),
    *("#3b5b7a", "#5c7854", "#000000", "#ffffff"),
)

_HEAD = """\
# Presses

A press is whatever prints: for you, most likely a home inkjet, for which nobody has published
figures. kitloom has the two surfaces below built in, can use your printer's own ICC profile, and
can measure your printer by a chart. Every verdict about print names the press that it was made for.

```toml
[press]
surface = "glossy"             # or "matt"
# profile = "my-inkjet.icc"    # in place of surface
# chart = "my-printer.toml"    # in place of either
# convert = true               # with chart, or an RGB profile: draw the print through it
```

On the command line: `--surface`, `--profile` (with `--intent` and `--no-black-point` for
`kitloom proof`) and `--printer`.

Colours are relative to the paper's white and printed black, so plain white and plain black are
never flagged.
"""

_OWN = """\
## profile

Your printer's own ICC profile, for one printer, one ink set, one paper and the driver settings it
was measured with. The rendering intent is `relative`, with black point
compensation, unless you set another. A profile is the best forecast where it fits your paper; a
profile of another paper is worth less than the built-in surface.

## chart

Print one sheet of colours, read it back with a scanner, a photograph or an instrument, and the
forecast is about *your* printer on *your* sticker paper: see
[your own printer, measured](own-press.md).

## What about my printer's driver?

Leave colour to the driver, or to a profile, never to both. With `convert = true` the
print is drawn in [your printer's own numbers](own-press.md#a-print-in-your-printers-own-numbers),
and nothing may convert them again. Choose the paper type that the paper's maker names; it decides
how much ink is used. See [print and cut](print-and-cut.md).
"""


def page() -> str:
    """Return the page."""
    return "\n".join([_HEAD, *(_surface(name) for name in SURFACES), _OWN])


def _surface(name: str) -> str:
    press = open_press(name)
    rows = [
        f"| `{one.hex}` | `{one.printed_hex}` | {one.shift_de2000:.1f} | "
        f"{GRADE_WORDS[one.grade]} | `{one.nearest_hex}` |"
        for one in assess_colours(list(COLOURS), press)
    ]
    return "\n".join(
        [
            f"## {name}\n",
            f"{SURFACES[name].figures} {press.limits}\n",
            "| on screen | printed | shift (CIEDE2000) | grade | nearest that prints true |",
            "|---|---|---|---|---|",
            *rows,
            "",
        ]
    )
