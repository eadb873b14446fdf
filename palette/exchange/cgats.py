"""What did the instrument measure? Tables of patches as CGATS.17 text (ISO 28178), in and out.

In: a file's bytes. Out: a ``CgatsTable``: header keywords, field names and rows of text, and by
``colours`` its CIELAB (D50) values. Read are quoted strings, ``#`` comments, decimal commas,
Latin-1 bytes, tabs, rows broken over lines and missing counts, all of which instruments write.

Source: ANSI CGATS.17-2009 and ISO 28178:2009, as described in public files; the texts are sold and
were not read. Not done here: spectra; a second table in the same file is left out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from palette.arrays import Floats
from palette.errors import PaletteError
from palette.space import xyz_to_lab

MOST_BYTES = 4_000_000
MOST_ROWS = 20_000
MOST_FIELDS = 200
# a quoted string; a comment to the line's end; a bare word
_WORD = re.compile(r'"((?:[^"\n]|"")*)"|(#[^\n]*)|([^\s"#]+)|(\n)')
_STANDARD = {
    *("ORIGINATOR", "DESCRIPTOR", "CREATED", "MANUFACTURER", "PROD_DATE", "SERIAL", "MATERIAL"),
    *("INSTRUMENTATION", "MEASUREMENT_SOURCE", "PRINT_CONDITIONS", "NUMBER_OF_FIELDS"),
    *("NUMBER_OF_SETS", "SAMPLE_ID", "SAMPLE_NAME", "RGB_R", "RGB_G", "RGB_B"),
    *("LAB_L", "LAB_A", "LAB_B", "XYZ_X", "XYZ_Y", "XYZ_Z"),
}


@dataclass(frozen=True, slots=True)
class CgatsTable:
    """One table of patches.

    Attributes:
        keywords: the header, without the counts.
        fields: names of the columns, upper case.
        rows: one tuple of words a patch, as long as ``fields``.
    """

    keywords: Mapping[str, str]
    fields: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def __post_init__(self) -> None:
        object.__setattr__(self, "keywords", MappingProxyType(dict(self.keywords)))

    def texts(self, field: str) -> tuple[str, ...] | None:
        """Return a column as written, or None where the table lacks it."""
        if field not in self.fields:
            return None
        at = self.fields.index(field)
        return tuple(row[at] for row in self.rows)

    def numbers(self, fields: Sequence[str], where: str) -> Floats | None:
        """Return columns as numbers, (rows, fields), or None where one of them is missing.

        Raises:
            PaletteError: a word that is not a finite number.
        """
        columns = [self.texts(field) for field in fields]
        if any(column is None for column in columns):
            return None
        values = [
            [_number(word, field, where) for word in column or ()]
            for field, column in zip(fields, columns, strict=True)
        ]
        return np.array(values, dtype=np.float64).T.reshape(len(self.rows), len(fields))


def read(data: bytes, where: str) -> CgatsTable:
    """Return the first table of a file.

    Raises:
        PaletteError: too large, no CGATS text, or a table that does not hold together.
    """
    if len(data) > MOST_BYTES:
        raise _broken(where, f"the file is over {MOST_BYTES // 1_000_000} MB")
    lines = _lines(_text(data))
    fields: list[str] = []
    values: list[str] = []
    keywords: dict[str, str] = {}
    part = "header"
    for line in lines:
        word = line[0].upper()
        if word in _PARTS:
            part = _PARTS[word]
            if part == "end":
                break
        elif part == "format":
            fields += [name.upper() for name in line]
        elif part == "data":
            values += line
        elif len(line) > 1 and word != "KEYWORD":
            keywords[word] = " ".join(line[1:])
    return _table(keywords, fields, values, where)


_PARTS = {
    "BEGIN_DATA_FORMAT": "format",
    "END_DATA_FORMAT": "header",
    "BEGIN_DATA": "data",
    "END_DATA": "end",
}


def _text(data: bytes) -> str:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")  # which decodes every byte
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _lines(text: str) -> list[list[str]]:
    """Return the words of each line that has any; quotes hold words together, comments go."""
    lines: list[list[str]] = [[]]
    for quoted, comment, bare, end in _WORD.findall(text):
        if end:
            lines.append([])
        elif bare:
            lines[-1].append(bare)
        elif not comment:
            lines[-1].append(quoted.replace('""', '"'))
    return [line for line in lines if line]


def _table(
    keywords: dict[str, str], fields: list[str], values: list[str], where: str
) -> CgatsTable:
    announced = keywords.pop("NUMBER_OF_SETS", "")
    keywords.pop("NUMBER_OF_FIELDS", None)
    if not fields or not values:
        raise PaletteError(
            "holds no table of measurements",
            where=where,
            why="BEGIN_DATA_FORMAT or BEGIN_DATA is missing",
            remedy="Export the measurements as CGATS text (ISO 28178) with Lab or XYZ.",
        )
    if len(fields) > MOST_FIELDS or len(set(fields)) < len(fields):
        raise _broken(where, "its columns are too many or named twice")
    count, rest = divmod(len(values), len(fields))
    if rest or count > MOST_ROWS:
        raise _broken(where, f"{len(values)} values do not fill rows of {len(fields)}")
    if announced.isdecimal() and int(announced) != count:
        raise _broken(where, f"it announces {announced} patches and holds {count}")
    width = len(fields)
    rows = tuple(tuple(values[i * width : (i + 1) * width]) for i in range(count))
    return CgatsTable(keywords, tuple(fields), rows)


def colours(table: CgatsTable, where: str) -> Floats:
    """Return the table's CIELAB (D50), (rows, 3), from Lab or else from XYZ (Y of white 100).

    Raises:
        PaletteError: neither is there, another light than D50 is named, or values no print has.
    """
    for word in ("D65", "ILLUMINANT A,", "F11"):
        header = " ".join(v for k, v in table.keywords.items() if k != "DESCRIPTOR").upper()
        if word in header and "D50" not in header:
            raise PaletteError(
                f"was measured for the light {word.strip(',')}",
                where=where,
                why="print is judged under D50",
                remedy="Export it for D50, 2 degree observer.",
            )
    lab = table.numbers(("LAB_L", "LAB_A", "LAB_B"), where)
    xyz = table.numbers(("XYZ_X", "XYZ_Y", "XYZ_Z"), where)
    if lab is None and xyz is None:
        raise PaletteError(
            "has neither Lab nor XYZ columns",
            where=where,
            remedy="Export LAB_L LAB_A LAB_B, or XYZ_X XYZ_Y XYZ_Z, with the patches.",
        )
    result = lab if lab is not None else xyz_to_lab(np.asarray(xyz) / 100.0)
    if (np.abs(result[:, 1:]) > 160.0).any() or (result[:, 0] < -1.0).any() or result.max() > 160.0:
        raise PaletteError(
            "has values that no print has",
            where=where,
            remedy="Lab runs from 0 to 100 in L, XYZ up to about 100; export the file again.",
        )
    return result


def write(table: CgatsTable) -> bytes:
    """Return the table as CGATS.17 text, UTF-8; keywords beyond the standard's are declared."""
    out = ["CGATS.17"]
    own = [name for name in (*table.keywords, *table.fields) if name not in _STANDARD]
    out += [f'KEYWORD "{name}"' for name in own]
    out += [f"{name} {_quote(value)}" for name, value in table.keywords.items()]
    out += [f"NUMBER_OF_FIELDS {len(table.fields)}", "BEGIN_DATA_FORMAT", " ".join(table.fields)]
    out += ["END_DATA_FORMAT", f"NUMBER_OF_SETS {len(table.rows)}", "BEGIN_DATA"]
    out += [" ".join(_quote(v) if _needs_quotes(v) else v for v in row) for row in table.rows]
    return "\n".join([*out, "END_DATA", ""]).encode("utf-8")


def _needs_quotes(word: str) -> bool:
    return not word or bool(re.search(r'[\s"#]', word))


def _quote(word: str) -> str:
    return '"' + word.replace('"', '""').replace("\n", " ") + '"'


def _number(word: str, field: str, where: str) -> float:
    try:
        value = float(word.replace(",", "."))
    except ValueError:
        value = float("nan")
    if not np.isfinite(value):
        raise PaletteError(
            f'"{word[:40]}" in column {field} is not a number',
            where=where,
            remedy="Measure that patch again, or export the file again.",
        )
    return value


def _broken(where: str, why: str) -> PaletteError:
    return PaletteError(
        "cannot be read as CGATS text",
        where=where,
        why=why,
        remedy="Export the measurements as CGATS text (ISO 28178) again.",
    )
