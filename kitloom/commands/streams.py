r"""Let whatever is printed come out, in whatever letters the terminal or pipe knows.

A letter that standard output or error cannot hold, such as one of a file's name where only ASCII is
known, is written as ``\u00fc``: readable enough, and in ``--json`` the letter itself, because JSON
(RFC 8259, section 7) escapes letters in this way.
"""

from __future__ import annotations

import codecs
import io
import sys

_HANDLER = "kitloom-escape"


def print_any_letter() -> None:
    """Have standard output and error escape what they cannot hold, instead of failing."""
    codecs.register_error(_HANDLER, _escape)
    for stream in (sys.stdout, sys.stderr):
        # "surrogateescape" is what the C locale has, which fails on letters too
        if isinstance(stream, io.TextIOWrapper) and stream.errors in {"strict", "surrogateescape"}:
            stream.reconfigure(errors=_HANDLER)


def _escape(error: UnicodeError) -> tuple[str, int]:
    assert isinstance(error, UnicodeEncodeError)
    units = error.object[error.start : error.end].encode("utf-16-be", "surrogatepass")
    pairs = [units[i : i + 2].hex() for i in range(0, len(units), 2)]
    return "".join(f"\\u{pair}" for pair in pairs), error.end
