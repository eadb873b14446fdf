"""An audit for other programs: a table (CSV, RFC 4180) or one JSON object a line.

In: rows. Out: bytes, piece by piece, in the order of the files; the same audit gives the same bytes
however many processes did it.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator
from typing import Any

from kitloom.library.audit import Row
from kitloom.library.run import row_verdict

COLUMNS = (
    "file",
    "verdict",
    "x_verdict",
    "x_score",
    "x_faults",
    "y_verdict",
    "y_score",
    "y_faults",
    "width_px",
    "height_px",
    "dpi",
    "lattice",
    "repeat_width_px",
    "repeat_height_px",
    "same_artwork_as",
    "findings",
    "sha256",
)


def csv_lines(rows: Iterable[Row]) -> Iterator[bytes]:
    """Yield the table line by line, the column names first."""
    yield _csv_line(COLUMNS)
    for row in rows:
        values = _values(row)
        yield _csv_line([values.get(column, "") for column in COLUMNS])


def _csv_line(values: Iterable[Any]) -> bytes:
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerow(values)
    return out.getvalue().encode()


def _values(row: Row) -> dict[str, Any]:
    findings = row["findings"]
    same = [one["measures"]["like"] for one in findings if one["code"] == "near-duplicate"]
    values = {
        "file": row["file"],
        "verdict": row_verdict(row),
        "same_artwork_as": " ".join(same),
        "findings": " ".join(one["code"] for one in findings),
        "sha256": row["sha256"],
    }
    tile = row["tile"]
    if tile is None:
        return values
    for name, axis in tile["axes"].items():
        values[f"{name}_verdict"], values[f"{name}_score"] = axis["verdict"], axis["score"]
        values[f"{name}_faults"] = " ".join(
            f"{fault['kind']}:{fault['from_px']}-{fault['to_px']}" for fault in axis["faults"]
        )
    repeat = tile["repeat"] or {"width_px": "", "height_px": ""}
    values |= {"repeat_width_px": repeat["width_px"], "repeat_height_px": repeat["height_px"]}
    values |= {key: tile[key] for key in ("width_px", "height_px", "lattice")}
    values["dpi"] = "" if tile["dpi"] is None else tile["dpi"]
    return values


def json_lines(rows: Iterable[Row]) -> Iterator[bytes]:
    """Yield one JSON object a tile: its file, verdict, hash, measurements and findings."""
    for row in rows:
        content = {
            "file": row["file"],
            "verdict": row_verdict(row),
            "sha256": row["sha256"],
            "tile": row["tile"],
            "findings": row["findings"],
        }
        yield json.dumps(content, ensure_ascii=False).encode() + b"\n"
