"""docs/findings.md: every finding that kitloom can make, with an example in its own words."""

from __future__ import annotations

import re
from typing import Any

from kitloom.findings import CODES
from kitloom.findings.codes import Code

_HEAD = """\
# Findings

What kitloom tells you about a kit. Each finding has a code that stays the same (`--json` shows it),
a severity, and three sentences: what was found, why it matters on paper, how to mend it.

| severity | what it means | exit status |
|---|---|---|
| **stop** | paper would be wasted; mend it first | 1 |
| **warn** | look at it before you print | 0, with `--strict` 1 |
| **note** | good to know | 0 |

Files are written whatever the findings are. The severity given here is the usual one; some findings
are graver or milder by how much was measured.

The examples are what kitloom says of the samples, of small tiles with a known fault, and, for the
charts, of a published press that stands in for a printer (its scale, margins, greys and rough fit
are made up).
"""


def page(found: dict[str, dict[str, Any]] | None, before: str) -> str:
    """Return the page.

    Args:
        found: an example of each code, or None to keep those of the page as it is.
        before: the page as it is.
    """
    kept = kept_examples(before)
    parts = [_HEAD, _index()]
    for name, code in CODES.items():
        example = kept.get(name, "") if found is None else _example(found.get(name))
        parts.append(f"{entry(name, code)}\n{example}")
    return "\n".join(parts).rstrip() + "\n"


def entry(name: str, code: Code) -> str:
    """Return what the table says of one code."""
    return f"## {name}\n\n**{code.title}** ({code.severity}). {code.means}\n"


def kept_examples(text: str) -> dict[str, str]:
    """Return the example that a page holds for each code."""
    parts = re.split(r"^## (\S+)\n", text, flags=re.MULTILINE)
    return {
        name: "\n".join(line for line in body.splitlines() if line.startswith(">")) + "\n"
        for name, body in zip(parts[1::2], parts[2::2], strict=True)
        if "\n>" in body
    }


def _index() -> str:
    rows = [
        f"| [`{name}`](#{name}) | {one.severity} | {one.title} |" for name, one in CODES.items()
    ]
    return "\n".join(["| code | severity | title |", "|---|---|---|", *rows, ""])


def _example(one: dict[str, Any] | None) -> str:
    if one is None:
        return ""
    return (
        f"> {one['severity']}, {one['subject']}: {one['what']} {one['why']}\n>\n"
        f"> → {one['remedy']}\n"
    )
