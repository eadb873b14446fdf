"""Palettes as files: what is written beside a kit, and a palette read back for another season.

Written: the exchange formats of ``palette.exchange.formats``, and a swatch card to print, as SVG
and PDF.
Read: our own ``palette.json``, and every exchange format that can be read.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Any

from kit.card import card_files
from palette.choose import MOST_COLOURS, ColourBins, Palette, Swatch, choose
from palette.errors import PaletteError
from palette.exchange import (
    FORMATS,
    NamedColour,
    check_count,
    from_hex,
    read_colours,
)
from palette.file_bytes import read_bytes
from palette.press import Press
from palette.space import hex_of, parse_hex

MAX_BYTES = 20_000_000


def palette_files(palette: Palette, press: Press, title: str) -> dict[str, bytes]:
    """Return the exchange files and the swatch card of a palette by their names."""
    files = {one.file_name: one.write(palette) for one in FORMATS.values()}
    return {**files, **card_files(palette, press, title)}


def read_palette_file(path: Path) -> tuple[NamedColour, ...]:
    """Read the colours of a palette that was written here or by another program.

    Raises:
        PaletteError: missing, too large, or no palette that can be read.
    """
    where = str(path)
    data = read_bytes(path, MAX_BYTES, PaletteError, noun="palette")
    own = _own_colours(data, where) if path.suffix.lower() == ".json" else None
    return own if own is not None else read_colours(data, where)


def _own_colours(data: bytes, where: str) -> tuple[NamedColour, ...] | None:
    """The colours of our own palette.json; None where it is some other JSON."""
    try:
        content = json.loads(data)
    except (ValueError, RecursionError):
        return None
    rows = content.get("palette") if isinstance(content, dict) else None
    if not isinstance(rows, list) or "kitloom" not in content:
        return None
    return check_count((_own_colour(row, where) for row in rows), where)


def _own_colour(row: Any, where: str) -> NamedColour:
    if not isinstance(row, dict) or not isinstance(row.get("hex"), str):
        raise PaletteError(
            "holds a colour without its hex",
            where=where,
            remedy="Write it again with kitloom palette --out.",
        )
    return from_hex(str(row.get("name", row["hex"])), row["hex"], where)


def palette_of_colours(
    colours: tuple[NamedColour, ...],
    bins: Mapping[str, ColourBins],
    pinned: Sequence[str] = (),
    *,
    names: Mapping[str, str] = MappingProxyType({}),
    without: Sequence[str] = (),
    where: str = "palette",
) -> Palette:
    """Return a palette of given colours with the shares and roles that they have in artwork.

    Args:
        colours: as a file has them.
        bins: the artwork.
        pinned: colours "#rrggbb" that are to be in it too.
        names: what the maker calls some colours, by "#rrggbb"; else they have the file's names.
        without: colours "#rrggbb" of the file that are not to be in it.
        where: the file, for errors.

    Raises:
        PaletteError: a text that is not a colour, over 64 colours in all, one left out that the
            file does not hold, or none left.
    """
    wanted = merge_colours(colours, pinned, without=without, where=where)
    called = {hex_of(parse_hex(one.hex)): one.name for one in colours}
    palette = choose(bins, len(wanted), wanted, names={**called, **names})
    return replace(palette, swatches=_apart(palette.swatches, names, called))


def merge_colours(
    colours: Sequence[NamedColour],
    pinned: Sequence[str] = (),
    *,
    without: Sequence[str] = (),
    where: str,
) -> list[str]:
    """Return the different colours "#rrggbb" of a file, then the pinned ones that it lacks.

    Raises:
        PaletteError: a text that is not a colour, over 64 colours in all, one left out that the
            file does not hold, or none left.
    """
    own = dict.fromkeys(hex_of(parse_hex(one.hex)) for one in colours)
    for gone in without:
        if gone not in own:
            raise PaletteError(
                f"{gone} is to be left out, but is not in it",
                where=where,
                remedy=f"It has {', '.join(own)}."[:200],
            )
        del own[gone]
    if not own and without:
        raise PaletteError("no colour of it is left", where=where, remedy="Leave fewer out.")
    wanted = list(own | dict.fromkeys(hex_of(parse_hex(one)) for one in pinned))
    if len(wanted) <= MOST_COLOURS:
        return wanted
    if len(own) > MOST_COLOURS:
        raise PaletteError(
            f"holds {len(own)} colours",
            where=where,
            why=f"a kit's palette has {MOST_COLOURS} at most",
            remedy=f"Keep {MOST_COLOURS} or fewer in the file, those that the artwork is to wear.",
        )
    raise PaletteError(
        f"holds {len(own)} colours, with the pinned ones {len(wanted)}",
        where=where,
        why=f"a kit's palette has {MOST_COLOURS} at most",
        remedy="Pin fewer, or take some out of the file.",
    )


def _apart(
    swatches: tuple[Swatch, ...], typed: Mapping[str, str], called: Mapping[str, str]
) -> tuple[Swatch, ...]:
    """Return them with another name where the maker's for one is what the file calls another."""
    return tuple(
        replace(one, name=f"{one.name} {one.hex}")
        if one.hex in typed and any(one.name == called.get(o.hex) for o in swatches if o is not one)
        else one
        for one in swatches
    )
