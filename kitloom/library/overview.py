"""A library at a glance: one HTML page with a thumbnail of every tile, the worst first.

In: rows, worst first. Out: bytes of a page that stands alone, piece by piece.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kitloom import __version__
from kitloom.library.audit import Row
from kitloom.library.run import row_verdict
from kitloom.present import axis_words

if TYPE_CHECKING:
    from markupsafe import Markup

MOST_TILES = 3_000  # a browser's patience; the table has them all


def common_folder(files: Sequence[Path]) -> Path | None:
    """Return the folder that all files lie in or under, None where that is none of their own."""
    folders = {path.parent for path in files}
    try:
        common = Path(os.path.commonpath([path.absolute() for path in folders]))
    except ValueError:  # none, or on two drives
        return None
    return next((path for path in folders if path.absolute() == common), None)


def page(
    title: str, counts: Mapping[str, int], rows: Iterable[Row], folder: Path | None = None
) -> Iterator[bytes]:
    """Yield the page.

    Args:
        title: what the library is called.
        counts: how many tiles have each verdict.
        rows: what to show, in this order.
        folder: what every tile lies in and no card need say.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("kitloom"), autoescape=True, undefined=StrictUndefined
    )
    template = environment.get_template("library.html")
    total = sum(counts.values())
    pieces = template.generate(
        title=title,
        counts=counts,
        total=total,
        left_out=max(0, total - MOST_TILES),
        cards=(_card(row, folder) for row in rows),
        version=__version__,
    )
    return (piece.encode() for piece in pieces)


def _words(row: Row) -> list[str]:
    """Return a short line for each join that shows or is in doubt, or why there is no verdict."""
    if row["tile"] is None:
        return [one["what"] for one in row["findings"]]
    axes = row["tile"]["axes"]
    return [
        f"{name}: {_in_prose(axis_words(axes[axis]))}"
        for axis, name in (("x", "left and right"), ("y", "top and bottom"))
        if axes[axis]["verdict"] != "seamless"
    ]


def _in_prose(words: str) -> str:
    """Return what is said of an axis as one phrase, its pixels held together on a line."""
    words = words.removeprefix("seam: ").replace("unsure: ", "unsure, ")
    words = re.sub(r"(\d+)-(\d+) px", "\\1\u2060–\u2060\\2\u00a0px", words)
    return re.sub(r"(?<=[a-z])-(?=[a-z])", " ", words)


def _name_in_folder(file: str, folder: Path | None) -> tuple[str, Markup]:
    """Return the folder that a card must name, "" for none, and the name with places to break."""
    from markupsafe import Markup, escape

    path = Path(file)
    inside = path.relative_to(folder) if folder and path.is_relative_to(folder) else path
    parts = re.findall(r"[^-_\s]+[-_\s]*|[-_\s]+", inside.name)
    above = "" if inside.parent == Path() else f"{inside.parent}{os.sep}"
    return above, Markup("<wbr>").join(escape(part) for part in parts)


def _card(row: Row, folder: Path | None) -> dict[str, Any]:
    tile = row["tile"]
    above, name = _name_in_folder(row["file"], folder)
    return {
        "folder": above,
        "name": name,
        "verdict": row_verdict(row),
        "picture": row["thumbnail"],
        "size": f"{tile['width_px']} × {tile['height_px']} px" if tile else "",
        "words": _words(row),
        "same": [
            _name_in_folder(one["measures"]["like"], folder)
            for one in row["findings"]
            if one["code"] == "near-duplicate"
        ],
    }
