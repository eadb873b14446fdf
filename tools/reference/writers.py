"""docs/files.md: every file that ``kitloom make`` writes, from the tables in the code."""

from __future__ import annotations

from kit.writers import WRITERS
from kitloom.disk import SINGLE_FILES
from palette.exchange import FORMATS

_ONCE = """\
## Once a kit

| file | what it is |
|---|---|
{single}
{exchange}

`make` writes nothing else. The same recipe and artwork give the same bytes. It replaces files of an
earlier run only with `--overwrite`, and then the whole set at once; files that you put there
stay.
"""


def page() -> str:
    """Return the page."""
    parts = [
        "# What `kitloom make` writes\n",
        "## For each sheet\n",
        "| file | cut lines | print | what it is for |",
        "|---|---|---|---|",
        *(
            f"| `sheet-1{one.suffix}` | {_yes(one.cuts)} | {_yes(one.prints)} | {one.holds} |"
            for one in WRITERS.values()
        ),
        "",
    ]
    exchange = "\n".join(
        f"| `{one.file_name}` | the palette as {one.title}: see [exchange](exchange.md) |"
        for one in FORMATS.values()
    )
    single = "\n".join(
        f"| `{name}` | {one.holds} |" for name, one in SINGLE_FILES.items() if one.holds
    )
    return "\n".join(parts) + "\n" + _ONCE.format(single=single, exchange=exchange)


def _yes(value: bool) -> str:
    return "yes" if value else "–"
