"""A library at a glance: one HTML page with a thumbnail of every tile, the worst first.

In: rows, worst first. Out: bytes of a page that stands alone, piece by piece.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from kitloom import __version__
from kitloom.library.audit import Row
from kitloom.library.run import verdict
from kitloom.present.tiles import axis_words

MOST_TILES = 3_000  # a browser's patience; the table has them all


def page(title: str, counts: Mapping[str, int], rows: Iterable[Row]) -> Iterator[bytes]:
    """Yield the page.

    Args:
        title: what the library is called.
        counts: how many tiles have each verdict.
        rows: what to show, in this order.
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
        cards=(_card(row) for row in rows),
        version=__version__,
    )
    return (piece.encode() for piece in pieces)


def _words(row: Row) -> list[str]:
    """Return a short line for each join that shows or is in doubt, or why there is no verdict."""
    if row["tile"] is None:
        return [one["what"] for one in row["findings"]]
    axes = row["tile"]["axes"]
    return [
        f"{name}: {axis_words(axes[axis]).removeprefix('seam: ')}"
        for axis, name in (("x", "left and right"), ("y", "top and bottom"))
        if axes[axis]["verdict"] != "seamless"
    ]


def _card(row: Row) -> dict[str, Any]:
    tile = row["tile"]
    return {
        "file": row["file"],
        "verdict": verdict(row),
        "picture": row["thumbnail"],
        "size": f"{tile['width_px']} × {tile['height_px']} px" if tile else "",
        "words": _words(row),
        "same": [
            one["measures"]["like"] for one in row["findings"] if one["code"] == "near-duplicate"
        ],
    }
