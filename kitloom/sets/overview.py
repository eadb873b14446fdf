"""Many kits at a glance: one HTML page with every sheet and finding.

In: results. Out: bytes of a page that lies beside the kits' folders, whose pictures it shows.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from urllib.parse import quote

from kit.writers import WRITERS
from kitloom import __version__
from kitloom.findings import CODES, in_order
from kitloom.present import plural
from kitloom.sets.one_set import SetResult

MARK = "kitloom make --each"  # in the page's head, by which a later run knows it


def page(title: str, results: Sequence[SetResult]) -> bytes:
    """Return the page.

    Args:
        title: what the sets are called together.
        results: one a set, in the order to show them, behind those that failed.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("kitloom"), autoescape=True, undefined=StrictUndefined
    )
    # what failed is seen first, since there is something to do
    cards = [_card(one) for one in sorted(results, key=lambda one: not one.error)]
    text = environment.get_template("kits.html").render(
        title=title,
        cards=cards,
        counts={words: sum(card["tag"] == tag for card in cards) for tag, words in _TAGS.items()},
        tags={words: tag for tag, words in _TAGS.items()},
        version=__version__,
    )
    return text.encode()


_TAGS = {"failed": "failed", "stop": "to fix", "warn": "to look at", "good": "nothing to fix"}


def _card(one: SetResult) -> dict[str, Any]:
    graves = {found.severity for found in one.findings}
    tag = "failed" if one.error else next((g for g in ("stop", "warn") if g in graves), "good")
    folder = quote(one.folder.name)
    preview = WRITERS["preview"].suffix
    told = [(found, CODES[found.code].title) for found in in_order(one.findings)]
    return {
        "name": one.name,
        "title": one.title,
        "tag": tag,
        "words": _TAGS[tag],
        "error": one.error,
        "size": plural(one.stickers, "sticker"),
        "colours": one.colours,
        "sheets": [f"{folder}/sheet-{n}{preview}" for n in range(1, one.sheets + 1)],
        "report": f"{folder}/report.html",
        "findings": [pair for pair in told if pair[0].severity != "note"],
        "notes": [pair for pair in told if pair[0].severity == "note"],
    }
