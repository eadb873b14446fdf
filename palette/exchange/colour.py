"""One colour out of a file, and the limits that every reader of colour files keeps."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np

from palette.choose import Palette, Swatch, roles_for
from palette.errors import PaletteError, shown
from palette.space import hex_of, hex_to_lab, lab_to_srgb8, parse_hex, triple_of

MOST_BYTES = 2_000_000
MOST_COLOURS = 1_000
MOST_NAME = 200


@dataclass(frozen=True)
class NamedColour:
    """A colour that somebody else named.

    Attributes:
        name: as in the file.
        hex: sRGB "#rrggbb"; clipped where the file's Lab lies outside sRGB.
        lab: CIELAB (D50), as in the file where it says Lab, else of ``hex``.
    """

    name: str
    hex: str
    lab: tuple[float, float, float]


def from_hex(name: str, text: str, where: str) -> NamedColour:
    """Return the colour of "#rrggbb".

    Raises:
        PaletteError: the text is not a colour.
    """
    hex_text = hex_of(parse_hex(text, where=where))
    return NamedColour(shown(name[:MOST_NAME]), hex_text, triple_of(hex_to_lab(hex_text)))


def from_lab(name: str, lab: Sequence[float], where: str) -> NamedColour:
    """Return the colour of a CIELAB (D50) triple.

    Raises:
        PaletteError: the numbers are not a colour.
    """
    values = np.asarray(lab, dtype=np.float64)
    if not np.isfinite(values).all() or not 0 <= values[0] <= 100 or abs(values[1:]).max() > 200:
        raise PaletteError(
            f'the Lab values of "{name[:40]}" are out of range',
            where=where,
            remedy="L runs from 0 to 100, a and b from about -128 to 127.",
        )
    return NamedColour(shown(name[:MOST_NAME]), hex_of(lab_to_srgb8(values)), triple_of(values))


def as_palette(colours: Sequence[NamedColour]) -> Palette:
    """Return colours that came without artwork as a palette that can be written.

    A file does not say how much area each colour covers: all get the same share, and the first is
    taken for the ground, as in the files that kitloom writes.

    Args:
        colours: at least one, as a reader returned them.
    """
    labs = np.array([one.lab for one in colours], dtype=np.float64).reshape(-1, 3)
    share = 1.0 / max(len(colours), 1)
    roles = roles_for(labs, np.full((len(colours), 1), share))
    return Palette(
        tuple(
            Swatch(one.name, one.hex, one.lab, share, role, {})
            for one, role in zip(colours, roles, strict=True)
        )
    )


def decode(data: bytes, where: str) -> str:
    """Return the file's text, UTF-8 with or without a byte order mark.

    Raises:
        PaletteError: too large, or no text.
    """
    check_size(data, where)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise PaletteError(
            "not a text file", where=where, why="it is not UTF-8", remedy="Export it again."
        ) from error


def check_size(data: bytes, where: str) -> None:
    """Refuse files that no palette needs.

    Raises:
        PaletteError: the file is larger than 2 MB.
    """
    if len(data) > MOST_BYTES:
        raise PaletteError(
            f"the file is {len(data) / 1e6:.1f} MB large",
            where=where,
            why=f"a palette needs less than {MOST_BYTES // 1_000_000} MB",
            remedy="Give a file with colours only.",
        )


def check_count(source: Iterable[NamedColour], where: str) -> tuple[NamedColour, ...]:
    """Return the colours of a file if there are neither none nor too many; stop at too many.

    Raises:
        PaletteError: no colours, or more than 1,000.
    """
    colours = tuple(islice(source, MOST_COLOURS + 1))
    if not colours:
        raise PaletteError(
            "there are no colours in it", where=where, remedy="Give a file with at least one."
        )
    if len(colours) > MOST_COLOURS:
        raise PaletteError(
            f"there are more than {MOST_COLOURS:,} colours in it",
            where=where,
            remedy="Split the file.",
        )
    return colours
