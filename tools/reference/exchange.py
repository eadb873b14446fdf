"""docs/exchange.md: the formats in which colours come and go, each with a small palette written."""

from __future__ import annotations

from palette.choose import Palette
from palette.exchange import FORMATS, from_hex
from palette.exchange.colour import as_palette

_HEAD = """\
# Colours to and from other programs

`kitloom palette --out FOLDER` and `kitloom make` write the palette in every open format below;
`kitloom palette --from FILE` reads those that can be read, and our own `palette.json`. A file's
suffix says what it is. All Lab is CIELAB under D50, 2 degrees.

| format | file | written | read |
|---|---|---|---|
"""
_TONGUES = {"design-tokens": "json", "css": "css", "cxf": "xml", "csv": ""}
_NOTES = {
    "design-tokens": "Design Tokens Community Group, Format and Color Module 2025.10. Groups, "
    "aliases and the spaces srgb, lab and lch are read; other spaces by their `hex`.",
    "css": "Custom properties, as hex and as `lab()` (CSS Color 4). Of a style sheet, custom "
    "properties that are a hex colour are read, and nothing else.",
    "cxf": "ISO 17972-1, objects with CIELAB. Checked against a public reader, not against the "
    "standard's own text. A document type declaration is refused.",
    "csv": "For spreadsheets. Read with a heading that has `hex`, or `L`, `a` and `b`; fields "
    "apart by commas, semicolons or tabs.",
}


def page() -> str:
    """Return the page."""
    palette = sample()
    rows = [
        f"| [{one.title}](#{name}) | `{one.file_name}` | yes | {'yes' if one.read else '–'} |"
        for name, one in FORMATS.items()
    ]
    parts = [_HEAD + "\n".join(rows) + "\n"]
    for name, one in FORMATS.items():
        text = one.write(palette).decode().strip()
        parts.append(f"## {name}\n\n{_NOTES[name]}\n\n```{_TONGUES[name]}\n{text}\n```\n")
    return "\n".join(parts)


def sample() -> Palette:
    """Return two colours as a palette."""
    colours = [("pea leaf", "#5c7854"), ("deep water", "#3b5b7a")]
    return as_palette([from_hex(name, code, "docs") for name, code in colours])
