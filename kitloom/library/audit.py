"""One tile of a library: everything worth knowing of it, small enough to keep by the thousand.

In: a ``Request``. Out: a row, plain values ready for JSON: the tile as ``check --json`` shows it,
its findings, its hash, a fingerprint for finding near-duplicates and a thumbnail. A file that
cannot be opened is a row too, with the finding ``unreadable``: the audit goes on.
"""

from __future__ import annotations

import base64
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kitloom.findings import tile_findings, unreadable_finding
from kitloom.measure import Request, study
from kitloom.present import tile_dict
from palette.errors import KitloomError, reason_of
from patterns.artwork import digest
from patterns.motifs import fingerprint

THUMBNAIL_PX = 132
# said of a file that ended its worker
BREAKS_READER = "reading it crashes the program, or needs too much memory"

Row = dict[str, Any]


def audit_tile(request: Request) -> Row:
    """Return the row of one file."""
    row = empty_row(request)
    try:
        row["sha256"] = digest(request.path)
        done = study(request)
    except KitloomError as error:
        return unreadable_row(row, error.what, error.why)
    except OSError as error:
        return unreadable_row(row, "cannot be read", reason_of(error))
    pixels = done.artwork.pixels
    row["tile"] = tile_dict(done)
    row["findings"] = [one.as_dict() for one in tile_findings(done)]
    row["fingerprint"] = base64.b64encode(fingerprint(pixels).tobytes()).decode("ascii")
    row["thumbnail"] = base64.b64encode(_thumbnail(pixels)).decode("ascii")
    return row


def empty_row(request: Request) -> Row:
    """Return the row of a file of which nothing is known yet."""
    return {
        "file": request.subject or str(request.path),
        "sha256": "",
        "asked": request.lattice,
        "tile": None,
        "findings": [],
        "fingerprint": "",
        "thumbnail": "",
    }


def unreadable_row(row: Row, what: str, why: str) -> Row:
    """Return the row of a file that cannot be opened."""
    found = unreadable_finding(row["file"], what, why)
    return {**row, "tile": None, "findings": [found.as_dict()]}


def print_of(row: Row) -> NDArray[np.int8]:
    """Return the fingerprint in a row; empty where the file could not be opened."""
    return np.frombuffer(base64.b64decode(row["fingerprint"]), dtype=np.int8)


def file_digest(path: Path) -> str:
    """Return the hash of a file, "" where it cannot be read."""
    try:
        return digest(path)
    except OSError:
        return ""


def _thumbnail(pixels: NDArray[np.uint8]) -> bytes:
    from PIL import Image

    image = Image.fromarray(np.ascontiguousarray(pixels))
    step = max(1, max(image.size) // (2 * THUMBNAIL_PX))
    small = image.reduce(step) if step > 1 else image
    small.thumbnail((THUMBNAIL_PX, THUMBNAIL_PX))
    out = BytesIO()
    small.save(out, "JPEG", quality=80, optimize=True)
    return out.getvalue()
