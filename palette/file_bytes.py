"""Read a small file that a maker names, whole and never more than a limit.

In: a path, the largest size in bytes and what the file should be. Out: its bytes. Anything but an
ordinary file is refused unopened: a pipe could make us wait for ever, a device never ends.

Not done here: artwork, which has its own opener (``patterns.artwork.opening``).
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

from palette.errors import KitloomError, reason_of
from palette.near_files import file_meant


def read_bytes(
    path: Path, most_bytes: int, error: type[KitloomError], *, noun: str, remedy: str = ""
) -> bytes:
    """Return a file's content.

    Args:
        path: the file.
        most_bytes: a larger file is refused unread.
        error: which kind of error to raise.
        noun: what it should be, such as "recipe".
        remedy: what to do where there is no such file or it is too large.

    Raises:
        KitloomError: of the kind asked for: missing, no ordinary file, too large, or unreadable.
    """
    where = str(path)
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            what = "is a folder" if stat.S_ISDIR(status.st_mode) else "is not an ordinary file"
            raise error(what, where=where, remedy=remedy or f"Name a {noun} file.")
        if status.st_size > most_bytes:
            raise error(
                f"is too large for a {noun}",
                where=where,
                why=f"over {most_bytes / 1e6:g} MB",
                remedy=remedy or f"Name a {noun} file.",
            )
        # a file that grows is cut off, and one that became a pipe is not waited for
        with open(path, "rb", opener=_opened_at_once) as file:
            return file.read(most_bytes) or b""
    except (FileNotFoundError, NotADirectoryError, ValueError) as fault:
        meant = remedy or file_meant(path) or "Check the name and the folder."
        raise error(f"no such {noun}", where=where, remedy=meant) from fault
    except OSError as fault:
        raise error(
            "cannot be read",
            where=where,
            why=reason_of(fault),
            remedy="Check its name and permissions.",
        ) from fault


def _opened_at_once(name: str, flags: int) -> int:
    return os.open(name, flags | getattr(os, "O_NONBLOCK", 0))
