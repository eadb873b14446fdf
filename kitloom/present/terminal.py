"""The terminal: a short, handsome summary for people, colour and progress only on a terminal.

Summaries go to standard output; progress goes to standard error. ``NO_COLOR`` is honoured by rich.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from kitloom.findings import CODES, Finding, Kind, in_order, kinds_of, shared_end
from palette.errors import MOST_CHARACTERS, short_line, with_short_names

if TYPE_CHECKING:
    from rich.console import Console
    from rich.padding import Padding

NAMED = 6  # places of one kind of note; more are counted
_STYLES = {"stop": "bold red", "warn": "yellow", "note": "dim"}


def console() -> Console:
    """Return the console for standard output; long lines wrap only on a terminal."""
    from rich.console import Console

    screen = Console(highlight=False)
    if not screen.is_terminal:
        screen = Console(highlight=False, width=4000, soft_wrap=True)
    return screen


@contextmanager
def progress(label: str, total: int, *, quiet: bool) -> Iterator[Callable[[], None]]:
    """Show a progress bar on a terminal's standard error; yield what to call after each step."""
    from rich.console import Console

    errors = Console(stderr=True)
    if quiet or not errors.is_terminal or total < 2:
        yield lambda: None
        return
    from rich.progress import Progress

    with Progress(console=errors, transient=True) as bar:
        task = bar.add_task(label, total=total)
        yield lambda: bar.advance(task)


def show_findings(screen: Console, findings: Sequence[Finding]) -> None:
    """Print each finding as a heading and its three sentences, the gravest first; notes short.

    Findings of one code that matter for the same reason are shown together, and the reason and what
    their remedies share are shown once, after the last of them.
    """
    from rich.markup import escape

    ordered = in_order(findings)
    for one in ordered:
        alike = [other for other in ordered if _kind(other) == _kind(one)]
        if one.severity != "note" and alike[0] is one:
            _show_alike(screen, alike)
    for kind in kinds_of([one for one in findings if one.severity == "note"]):
        screen.print(f"[dim]note  {escape(short_line(_note(kind)))}[/]")


def _kind(one: Finding) -> tuple[str, str, str]:
    return one.severity, one.code, one.why


def _show_alike(screen: Console, alike: Sequence[Finding]) -> None:
    """Print findings of one kind: each its own words, then once those that they share."""
    from rich.markup import escape

    shared = shared_end([one.remedy for one in alike]) if len(alike) > 1 else ""
    style = _STYLES[alike[0].severity]
    for one in alike:
        screen.print(
            f"[{style}]{one.severity}[/]  [bold]{escape(one.subject)}[/]  "
            f"[{style}]{CODES[one.code].title}[/]"
        )
        why = one.why if len(alike) == 1 else ""
        screen.print(_indent(escape(_fit(f"{one.what} {why}".rstrip()))))
        if own := one.remedy.removesuffix(shared).rstrip():
            screen.print(_indent(f"[cyan]{_arrow(screen)}[/] {escape(_fit(own))}"))
    if len(alike) > 1 and alike[0].why:
        screen.print(_indent(escape(f"All {len(alike)}: {alike[0].why}")))
    if shared:
        screen.print(_indent(f"[cyan]{_arrow(screen)}[/] {escape(shared)}"))


def _fit(words: str) -> str:
    """Return what a finding says, the names in it shortened where they make it too long."""
    return words if len(words) <= MOST_CHARACTERS else with_short_names(words)


def _arrow(screen: Console) -> str:
    """Return the arrow before a remedy, in letters that the terminal or pipe has."""
    try:
        "→".encode(screen.encoding)
    except UnicodeEncodeError:
        return "->"
    return "→"


def _note(kind: Kind) -> str:
    """Say notes of one kind in one line with their places; JSON, report and page say more."""
    first, *others = kind.items
    if not others:
        return f"{first.subject}: {first.what}"
    places = list(dict.fromkeys(one.subject for one in kind.items))
    more = f" and {len(places) - NAMED} more" if len(places) > NAMED else ""
    return f"{kind.heading}: {', '.join(places[:NAMED])}{more}. {kind.why}".rstrip()


def _indent(words: str) -> Padding:
    from rich.padding import Padding

    return Padding(words, (0, 0, 0, 4), expand=False)


def show_verdict(screen: Console, findings: Sequence[Finding]) -> None:
    """Print the closing line: how many findings of each severity."""
    counts = {s: sum(one.severity == s for one in findings) for s in _STYLES}
    if counts["stop"]:
        screen.print(
            f"[bold red]{plural(counts['stop'], 'thing')} to fix first[/], "
            f"{plural(counts['warn'], 'warning')}."
        )
    elif counts["warn"]:
        screen.print(f"[yellow]Nothing stops the work; {plural(counts['warn'], 'warning')}.[/]")
    else:
        screen.print("[green]Nothing to fix.[/]")


def plural(count: int, noun: str) -> str:
    """Return "1 sheet", "3 sheets" or "3 boxes"."""
    ending = "es" if noun.endswith("x") else "s"
    return f"{count} {noun}{'' if count == 1 else ending}"


def block(hex_colour: str, width: int = 4) -> str:
    """Return rich markup for a block of colour; on a plain terminal it is only space."""
    return f"[on {hex_colour}]{' ' * width}[/]"
