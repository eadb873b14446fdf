"""Is this file a picture that kitloom drew for people, and not artwork?

In: a file. Out: yes or no. What kitloom draws to be looked at (before and after, joins, proofs) or
printed (sheets) says so in a PNG text chunk: ``tEXt`` of the PNG recommendation (W3C, third
edition) with the keyword ``kitloom``. Where the chunk was lost in another program, two endings that
no maker gives a tile still tell. Tiles that kitloom writes, mended or repaired, have neither.
"""

from __future__ import annotations

from pathlib import Path

KEYWORD, WORDS = "kitloom", "picture, not a tile"
ENDINGS = (".before-after.png", ".seam.png")
_MARK = f"tEXt{KEYWORD}\0{WORDS}".encode("latin-1")
_HEAD_BYTES = 1024  # the chunk is before the pixels


def is_own_picture(path: Path) -> bool:
    """Whether kitloom drew this file to be looked at; False for one that cannot be read."""
    if path.suffix.lower() != ".png":
        return False
    if path.name.endswith(ENDINGS):
        return True
    try:
        with path.open("rb") as file:
            return _MARK in file.read(_HEAD_BYTES)
    except OSError:
        return False
