"""docs/exchange.md: the formats in which colours come and go, each with a small palette written."""

from __future__ import annotations

from palette.choose import Palette
from palette.exchange import FORMATS, from_hex
from palette.exchange.colour import as_palette

_HEAD = """\
# Colours to and from other programs

`kitloom palette --out FOLDER` and `kitloom make` write the palette in every open format below;
`kitloom palette --from FILE` reads those marked below, and our own `palette.json`. A file's
ending says what it is. All Lab is CIELAB under D50, 2 degrees.

| format | file | written | read |
|---|---|---|---|
"""


def page() -> str:
    """Return the page."""
    palette = sample()
    rows = [
        f"| [{one.title}](#{one.name}) | `{one.file_name}` | yes | {'yes' if one.read else '–'} |"
        for one in FORMATS.values()
    ]
    parts = [_HEAD + "\n".join(rows) + "\n"]
    for one in FORMATS.values():
        text = one.write(palette).decode().strip()
        parts.append(f"## {one.name}\n\n{one.note}\n\n```{one.language}\n{text}\n```\n")
    return "\n".join(parts)


def sample() -> Palette:
    """Return two colours as a palette."""
    colours = [("pea leaf", "#5c7854"), ("deep water", "#3b5b7a")]
    return as_palette([from_hex(name, code, "docs") for name, code in colours])
