"""Every reader of files that come from elsewhere, each with the seeds it starts from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

import numpy as np

CORPUS = Path(__file__).parent / "corpus"
PRINTER = CORPUS.parents[1] / "tests" / "standards" / "data" / "FOGRA39L_coated.icc"


def _image(path: Path) -> None:
    from patterns.artwork import open_artwork

    open_artwork(path)


def _recipe(path: Path) -> None:
    from kit.recipe import read_recipe

    read_recipe(path)


def _lock(path: Path) -> None:
    from kit.compose import read_lock

    read_lock(path)


def _icc(path: Path) -> None:
    from palette.press import open_press

    open_press("glossy", path).to_print(np.array([[50.0, 20.0, -30.0]]))


def _cgats(path: Path) -> None:
    from palette.exchange import cgats

    table = cgats.read(path.read_bytes(), path.name)
    cgats.colours(table, path.name)


def _chart(path: Path) -> None:
    from palette.press.chart_file import read_record

    read_record(path)


def _colours(path: Path) -> None:
    from kitloom.colours import read_palette_file

    read_palette_file(path)


def _outline(path: Path) -> None:
    from kit.drawings import read_outline

    read_outline(path, (40.0, 52.0))


def _drawing(path: Path) -> None:
    from kit.drawings import read_drawing

    read_drawing(path, (30.0, 30.0), 1.0)


def _measured(path: Path) -> None:
    from kitloom.charts import read_chart

    read_chart(path, CORPUS / "listing" / "chart.txt")


def _listing(path: Path) -> None:
    from kitloom.charts import read_chart

    read_chart(CORPUS / "instrument" / "measured.txt", path)


def _keep(path: Path) -> None:
    """What a lock says is used, not only read: a small kit is composed by it."""
    from kit.compose import read_lock
    from kit.recipe import read_recipe
    from kitloom.kits import make_kit

    make_kit(read_recipe(CORPUS / "kit" / "kit.toml"), [], lambda: None, read_lock(path))


def _journal(path: Path) -> None:
    """A killed audit goes on where it was, and its results are exported."""
    from kitloom.library.audit import audit_tile, file_digest
    from kitloom.library.exports import csv_lines, json_lines
    from kitloom.library.journal import Journal
    from kitloom.library.run import Summary
    from kitloom.measure import Request

    requests = [Request(CORPUS / "image" / f"{name}.png", "auto", name) for name in ("rgb", "grey")]
    with Journal(path, "check") as journal:
        for one in requests:
            if not journal.knows(one.subject, partial(file_digest, one.path), one.lattice):
                journal.add(audit_tile(one))
        summary = Summary(journal, requests)
        list(csv_lines(summary.rows()))
        list(json_lines(summary.worst_first(9)))


READERS: Mapping[str, Callable[[Path], None]] = {
    "image": _image,
    "recipe": _recipe,
    "lock": _lock,
    "icc": _icc,
    "cgats": _cgats,
    "chart": _chart,
    "tokens": _colours,
    "cxf": _colours,
    "csv": _colours,
    "css": _colours,
    "palette": _colours,
    "outline": _outline,
    "drawing": _drawing,
    "scan": _measured,
    "instrument": _measured,
    "listing": _listing,
    "keep": _keep,
    "journal": _journal,
}
SLOW = {"drawing", "scan", "instrument", "listing", "keep"}  # a tenth of a second a file and more
_SHARED = {"drawing": "image"}  # readers whose seeds are another's


def seeds(reader: str) -> list[Path]:
    """Return a reader's seed files, sorted."""
    more = [PRINTER] if reader == "icc" else []
    folder = CORPUS / _SHARED.get(reader, reader)
    return [*sorted(path for path in folder.iterdir() if path.is_file()), *more]
