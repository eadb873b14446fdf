"""Broken files from good ones: bits turned, pieces cut, doubled, moved, or taken from another file.

In: seeds and a seeded generator. Out: bytes, the same for the same seed. A third of the changes put
in words that readers stumble over: huge numbers, endless nesting, entities, odd letters.
"""

from __future__ import annotations

import random
from collections.abc import Sequence

WORDS = (
    b"\x00", b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"\x80\x00\x00\x00", b"0", b"-1", b"1e999",
    b"-1e-999", b"nan", b"inf", b"9" * 400, b"[" * 3000, b"{" * 3000, b"(" * 500, b"<a>" * 2000,
    b'<!DOCTYPE a [<!ENTITY b "bbbbbbbb"><!ENTITY c "&b;&b;&b;&b;">]>', b"&c;", b"]]>",
    b"\xef\xbb\xbf", b"\xed\xa0\x80", "\u202e\u0000\u2028\u00b3".encode(), b"\\u0000",
    b"../../../../etc/passwd", b"{a.b}", b'"', b"'", b"=", b"\n", b"\r\n", b"#",
    b"M0 0A1 1 0 0 1 1e308 1", b"matrix(0 0 0 0 0 0)", b"true", b"null", b"px", b"mm", b"-0mm",
    b"1e308mm", b"NUMBER_OF_SETS 999999999",
)  # fmt: skip


def mutated(files: Sequence[bytes], source: random.Random) -> bytes:
    """Return one seed with one to six changes."""
    data = bytearray(source.choice(files))
    for _ in range(source.choice((1, 1, 2, 3, 6))):
        _change(data, files, source)
    return bytes(data)


def _change(data: bytearray, files: Sequence[bytes], source: random.Random) -> None:
    at = source.randrange(len(data) + 1)
    end = min(len(data), at + source.choice((1, 2, 4, 16, 64, 512)))
    kind = source.randrange(9)
    if kind == 0 and data:
        data[at % len(data)] ^= 1 << source.randrange(8)
    elif kind == 1 and data:
        data[at % len(data)] = source.randrange(256)
    elif kind == 2:
        del data[at:]
    elif kind == 3:
        del data[at:end]
    elif kind == 4:
        data[at:at] = data[at:end] * source.choice((1, 2, 50))
    elif kind == 5:
        other = source.choice(files)
        start = source.randrange(len(other) + 1)
        data[at:end] = other[start : start + source.choice((4, 64, 4096))]
    else:
        data[at : end if kind == 8 else at] = source.choice(WORDS)
