"""The palette as a table for a spreadsheet, and colours out of such a table.

Written with the columns ``name, hex, L, a, b, share, role``: CIELAB (D50), share 0 to 1. Read with
a heading that has ``hex``, or ``L``, ``a`` and ``b``, in any order and case, and best a ``name``;
fields apart by commas, semicolons or tabs, as spreadsheets of different countries save them.
"""

from __future__ import annotations

import csv
import io

from palette.choose import Palette
from palette.errors import PaletteError
from palette.exchange.colour import NamedColour, check_count, decode, from_hex, from_lab

_COLUMNS = ("name", "hex", "L", "a", "b", "share", "role")


def write(palette: Palette) -> bytes:
    """Return the table, UTF-8, fields apart by commas."""
    sheet = io.StringIO()
    table = csv.writer(sheet, lineterminator="\n")
    table.writerow(_COLUMNS)
    for one in palette.swatches:
        numbers = [f"{value:.4f}" for value in (*one.lab, one.share)]
        table.writerow([one.name, one.hex, *numbers, one.role.value])
    return sheet.getvalue().encode()


def read(data: bytes, where: str) -> tuple[NamedColour, ...]:
    """Return the colours of a table.

    Raises:
        PaletteError: no heading, no colours, or a cell that is not a colour; names the line.
    """
    lines = decode(data, where).splitlines()
    heading = lines[0] if lines else ""
    mark = max(",;\t", key=heading.count)
    try:
        rows = list(csv.reader(lines, delimiter=mark, strict=True))
    except csv.Error as error:
        raise PaletteError(
            "not a table of colours",
            where=where,
            why="its quotation marks and commas do not fit together",
            remedy="Save it as CSV again.",
        ) from error
    columns = [cell.strip().lower() for cell in rows[0]] if rows else []
    if "hex" not in columns and not {"l", "a", "b"} <= set(columns):
        raise PaletteError(
            "the first line names no colour columns",
            where=where,
            remedy='Begin with a line like "name,hex" or "name,L,a,b".',
        )
    colours = (
        _colour(dict(zip(columns, row, strict=False)), f"{where}, line {number}")
        for number, row in enumerate(rows[1:], start=2)
        if any(cell.strip() for cell in row)
    )
    return check_count(colours, where)


def _colour(row: dict[str, str], where: str) -> NamedColour:
    name = row.get("name", "").strip()
    if row.get("hex", "").strip():
        return from_hex(name or row["hex"].strip(), row["hex"], where)
    try:
        lab = [float(row[key].replace(",", ".")) for key in ("l", "a", "b")]
    except (KeyError, ValueError) as error:
        raise PaletteError(
            "this line has no colour",
            where=where,
            remedy='Fill in "hex", or "L", "a" and "b" as numbers.',
        ) from error
    return from_lab(name or "colour", lab, where)
