"""Read TOML that a stranger may have written: any fault is one ``ValueError``, found soon.

``tomllib`` takes a time that grows with the square of a dotted key's length (a key of 100 kB takes
minutes), ends in a ``RecursionError`` on deep brackets, and refuses long numbers with advice for
programmers. Not done here: reading files, or judging what the text says.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any

MOST_PARTS = 60  # of a dotted key
_PART = r"(?:[\w-]+|\"[^\"\n]*\"|'[^'\n]*')"
_LONG_KEY = re.compile(rf"(?<![\w-]){_PART}(?:[ \t]*\.[ \t]*{_PART}){{{MOST_PARTS}}}")


def parse_toml(text: str) -> dict[str, Any]:
    """Return the tables of a TOML text.

    Raises:
        ValueError: it is not TOML, or beyond every sensible measure.
    """
    long = _LONG_KEY.search(text)
    if long is not None:
        line = text.count("\n", 0, long.start()) + 1
        raise ValueError(f"a name of over {MOST_PARTS} parts (at line {line})")
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise ValueError("its brackets are nested without end") from error
    except tomllib.TOMLDecodeError:
        raise
    except ValueError as error:
        raise ValueError("a number has too many digits") from error
