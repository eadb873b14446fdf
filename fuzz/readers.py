"""Every reader of files that come from elsewhere, each with the seeds it starts from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
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
    from kit.lock import read_lock

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
    from kitloom.palette_files import read_palette_file

    read_palette_file(path)


def _outline(path: Path) -> None:
    from kit.outline_file import read_outline

    read_outline(path, (40.0, 52.0))


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
    "outline": _outline,
}


def seeds(reader: str) -> list[Path]:
    """Return a reader's seed files, sorted."""
    more = [PRINTER] if reader == "icc" else []
    return [*sorted(path for path in (CORPUS / reader).iterdir() if path.is_file()), *more]
