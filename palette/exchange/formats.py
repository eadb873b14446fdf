"""Can other programs read this palette, and can we read theirs? The register of exchange formats.

A format is one module beside this one: ``write`` turns a ``Palette`` into bytes, ``read`` turns
bytes into ``NamedColour``s, or is None where a format is only worth writing. The same palette gives
the same bytes. A new format is a new module and one line in ``FORMATS``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from palette.choose import Palette
from palette.errors import PaletteError
from palette.exchange import css, csv_table, cxf, design_tokens
from palette.exchange.colour import NamedColour


@dataclass(frozen=True)
class ExchangeFormat:
    """One way to hand colours on.

    Attributes:
        name: its key in ``FORMATS``.
        title: what a person calls the format.
        file_name: the name to write it under; its suffix is what tells formats apart.
        write: palette to bytes.
        read: bytes and the file's name, for errors, to colours; None where it is not read.
        users: what reads such files, in a maker's words.
        note: which standard it follows and what of it is read, for the docs.
        language: what an example in the docs is marked up as; empty for plain text.
    """

    name: str
    title: str
    file_name: str
    write: Callable[[Palette], bytes]
    read: Callable[[bytes, str], tuple[NamedColour, ...]] | None
    users: str
    note: str
    language: str = ""

    @property
    def suffix(self) -> str:
        """The end of the file's name that tells this format from others."""
        return self.file_name.removeprefix("palette")


FORMATS: Mapping[str, ExchangeFormat] = MappingProxyType(
    {
        one.name: one
        for one in (
            ExchangeFormat(
                "design-tokens",
                "Design Tokens",
                "palette.tokens.json",
                design_tokens.write,
                design_tokens.read,
                "design software that reads this open format",
                "Design Tokens Community Group, Format and Color Module 2025.10. Groups, aliases "
                "and the spaces srgb, lab and lch are read; other spaces by their `hex`.",
                "json",
            ),
            ExchangeFormat(
                "css",
                "CSS custom properties",
                "palette.css",
                css.write,
                css.read,
                "web pages",
                "Custom properties, as hex and as `lab()` (CSS Color 4). From a style "
                "sheet, kitloom reads custom properties that are a hex colour, and nothing else.",
                "css",
            ),
            ExchangeFormat(
                "cxf",
                "CxF3",
                "palette.cxf",
                cxf.write,
                cxf.read,
                "colour-measuring software",
                "ISO 17972-1, objects with CIELAB. Checked against a public reader, not against "
                "the standard's own text. A document type declaration is refused.",
                "xml",
            ),
            ExchangeFormat(
                "csv",
                "CSV",
                "palette.csv",
                csv_table.write,
                csv_table.read,
                "spreadsheets",
                "For spreadsheets. kitloom reads it if its heading has `hex`, or `L`, `a` and `b`; "
                "commas, semicolons or tabs separate the fields.",
            ),
        )
    }
)


def read_colours(data: bytes, where: str) -> tuple[NamedColour, ...]:
    """Read a file of colours in whichever format its name says.

    Args:
        data: the file.
        where: its name.

    Raises:
        PaletteError: no known suffix, or a file that is broken, hostile or empty.
    """
    readable = {one.suffix: one for one in FORMATS.values() if one.read is not None}
    for suffix, one in readable.items():
        if where.lower().endswith(suffix) and one.read is not None:
            return one.read(data, where)
    raise PaletteError(
        "not a kind of colour file that can be read",
        where=where,
        remedy=f"Give a palette.json, or a file whose name ends in {', '.join(sorted(readable))}.",
    )
