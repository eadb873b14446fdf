"""A finished kit at the terminal: one JSON object, or a summary for people.

In: what ``kitloom.make.summary`` or an earlier run's lock tells of it. Loads nothing that measures.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from kitloom.findings import Finding, kinds_of


def findings_of(summary: Mapping[str, Any]) -> list[Finding]:
    """Return the findings of a summary."""
    return [Finding(**one) for one in summary["answer"]["findings"]]


def show_kit(
    summary: Mapping[str, Any], written: Sequence[Path], *, unchanged: bool, as_json: bool
) -> None:
    """Print the summary of a kit and where its files are."""
    if as_json:
        head = ("kitloom", "command", "ok", "findings")
        answer = summary["answer"]
        content = {key: answer[key] for key in head}
        content |= {"unchanged": unchanged, "files": [str(path) for path in written]}
        content |= {key: value for key, value in answer.items() if key not in head}
        click.echo(json.dumps(content, indent=2, ensure_ascii=False))
    else:
        _show(summary, written, unchanged=unchanged)


# notes that answer an option or a key; the others are the report's
_ANSWERS = {"bound-names", "kept", "looked-idle", "places-left"}


def _show(summary: Mapping[str, Any], written: Sequence[Path], *, unchanged: bool) -> None:
    from rich.markup import escape

    from kitloom.present.terminal import block, console, plural, show_findings, show_verdict

    screen = console()
    answer, findings = summary["answer"], findings_of(summary)
    sheets, tiles = answer["sheets"], answer["tiles"]
    stickers = sum(len(sheet["stickers"]) for sheet in sheets)
    screen.print(
        f"[bold]{escape(summary['name'])}[/]: {plural(stickers, 'sticker')} on "
        f"{plural(len(sheets), 'sheet')} of {summary['paper']}"
    )
    colours = [swatch["hex"] for swatch in answer["palette"]]
    blocks = [f"{block(one, 2)} {one}" for one in colours] if screen.is_terminal else colours
    screen.print(f"Palette: {'  '.join(blocks)}")
    seamless = sum(tile["seamless"] is True for tile in tiles)
    accepted = sum(tile["accepted"] for tile in tiles)
    by_you = f", {accepted} accepted by you" if accepted else ""
    screen.print(f"{seamless} of {len(tiles)} tiles repeat without a visible seam{by_you}")
    notes = [one for one in findings if one.severity == "note" and one.code not in _ANSWERS]
    show_findings(screen, [one for one in findings if one not in notes])
    place = escape(str(written[0].parent))
    what = "nothing has changed since it was made, in" if unchanged else "written to"
    screen.print(f"{what} {place}:")
    for path in written:
        screen.print(f"  {path.name}  [dim]{size_words(path.stat().st_size)}[/]")
    if notes:
        screen.print(f"[dim]{plural(len(kinds_of(notes)), 'note')} more in report.html[/]")
    show_verdict(screen, findings)


def size_words(size: int) -> str:
    """Return how large a file of so many bytes is, in kB or MB."""
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{max(1, round(size / 1e3))} kB"
