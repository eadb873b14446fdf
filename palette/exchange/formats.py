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
from palette.exchange.colour import NamedColour, as_palette

__all__ = ["FORMATS", "ExchangeFormat", "NamedColour", "as_palette", "read_colours"]


@dataclass(frozen=True)
class ExchangeFormat:
    """One way to hand colours on.

    Attributes:
        title: what a person calls the format.
        file_name: the name to write it under; its suffix is what tells formats apart.
        write: palette to bytes.
        read: bytes and the file's name, for errors, to colours; None where it is not read.
    """

    title: str
    file_name: str
    write: Callable[[Palette], bytes]
    read: Callable[[bytes, str], tuple[NamedColour, ...]] | None

    @property
    def suffix(self) -> str:
        """The end of the file's name that tells this format from others."""
        return self.file_name.removeprefix("palette")


FORMATS: Mapping[str, ExchangeFormat] = MappingProxyType(
    {
        "design-tokens": ExchangeFormat(
            "Design Tokens", "palette.tokens.json", design_tokens.write, design_tokens.read
        ),
        "css": ExchangeFormat("CSS custom properties", "palette.css", css.write, css.read),
        "cxf": ExchangeFormat("CxF3", "palette.cxf", cxf.write, cxf.read),
        "csv": ExchangeFormat("CSV", "palette.csv", csv_table.write, csv_table.read),
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
        remedy=f"Give a file whose name ends in {', '.join(sorted(readable))}.",
    )
