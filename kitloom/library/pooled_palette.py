"""The colours of a whole library, with little memory: bins of each tile, made fewer as tiles grow.

In: files. Out: their bins for one palette of them all, and findings about files that cannot be
opened. All tiles together get about a million bins; where that is fewer than a tile has, its
neighbouring colours are joined (``palette.choose.histogram.pool_bins``), each still at its mean.
Bins go through the journal, so that a killed run goes on.
"""

from __future__ import annotations

import base64
import zlib
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

import numpy as np

from kitloom.findings import Finding, unreadable_finding
from kitloom.library.audit import BREAKS_READER, Row, file_digest
from kitloom.library.journal import Journal
from kitloom.library.run import Task, audit
from kitloom.measure import Request, unique_names
from palette.choose import EXACT_COLOURS, ColourBins, bins_of, pool_bins
from palette.errors import KitloomError
from patterns.artwork import open_artwork

ALL_BINS = 1_000_000
LEAST_BINS = 200
_ROW_BYTES = 3 * 8 + 3 + 8 + 8  # lab, rgb8, weight, fringe


def library_bins(
    files: Sequence[Path],
    resume: Path | None,
    tick: Callable[[], None],
    *,
    workers: int,
    cluster: str | None = None,
) -> tuple[dict[str, ColourBins], list[Finding]]:
    """Return the colours of each file by its name, and findings about files left out.

    Raises:
        KitloomError: the journal or the cluster cannot be used.
    """
    limit = min(EXACT_COLOURS, max(LEAST_BINS, ALL_BINS // len(files)))
    requests = [Request(path, subject=str(path)) for path in files]
    task = Task(
        partial(count_colours, limit=limit), partial(broken_row, limit=limit), _settings(limit)
    )
    bins, findings = {}, []
    with Journal(resume, "palette") as journal:
        audit(requests, journal, lambda _: tick(), task, workers=workers, cluster=cluster)
        names = unique_names(files)
        for name, request in zip(names, requests, strict=True):
            row = journal.row(request.subject)
            findings += [Finding(**one) for one in row["findings"]]
            if row["bins"]:
                bins[name] = unpack_bins(row["bins"])
    return bins, findings


def count_colours(request: Request, limit: int) -> Row:
    """Return the row of one file: its bins, packed, at most about ``limit`` of them."""
    row = _empty_row(request, limit)
    try:
        bins = bins_of(open_artwork(request.path).pixels)
    except KitloomError as error:
        return _unreadable_row(row, error.what, error.why)
    return {**row, "bins": pack_bins(bins if len(bins) <= limit else pool_bins([bins], limit))}


def broken_row(request: Request, limit: int) -> Row:
    """Return the row of a file that ended its worker."""
    row = _empty_row(request, limit)
    return _unreadable_row(row, "cannot be read", BREAKS_READER)


def _empty_row(request: Request, limit: int) -> Row:
    return {
        "file": request.subject,
        "sha256": file_digest(request.path),
        "asked": _settings(limit),
        "bins": "",
        "findings": [],
    }


def _unreadable_row(row: Row, what: str, why: str) -> Row:
    return {**row, "findings": [unreadable_finding(row["file"], what, why).as_dict()]}


def _settings(limit: int) -> str:
    """Return what a row says of how it was made: one of another limit is made again."""
    return f"{limit} bins"


def pack_bins(bins: ColourBins) -> str:
    """Return bins as printable text."""
    parts = (bins.lab, bins.weight, bins.fringe, bins.rgb8)
    return base64.b64encode(zlib.compress(b"".join(p.tobytes() for p in parts), 1)).decode("ascii")


def unpack_bins(text: str) -> ColourBins:
    """Return the bins of ``pack_bins`` text."""
    data = zlib.decompress(base64.b64decode(text))
    count = len(data) // _ROW_BYTES
    floats = np.frombuffer(data, dtype=np.float64, count=5 * count)
    codes = np.frombuffer(data, dtype=np.uint8, offset=5 * 8 * count)
    return ColourBins(
        lab=floats[: 3 * count].reshape(count, 3),
        rgb8=codes.reshape(count, 3),
        weight=floats[3 * count : 4 * count],
        fringe=floats[4 * count :],
    )
