"""Is a folder's page open already? Its port and key, in a small file that only its maker can read.

In: the maker's folder. Out: the address of the page that runs there, so that a second double-click
shows that page and starts no second server. The file holds the key that opens the page next, and
goes with the server. After a killed server nobody answers to the key that is left. Only this
machine is asked, whatever the file says: the folder may come from a stranger.
"""

from __future__ import annotations

import os
import re
from contextlib import closing, suppress
from http import HTTPStatus
from http.client import HTTPConnection, HTTPException
from pathlib import Path

from kitloom.page.page_error import PageError
from palette.file_bytes import read_bytes

HERE = "127.0.0.1"
ANSWER_SECONDS = 10.0  # of a page that is busy; one that is gone refuses at once
_MOST_BYTES = 200
_HELD = re.compile(r"(\d{1,5}) ([\w-]+)\n")


def address_of(port: int, key: str, host: str = HERE) -> str:
    """Return the address that opens a page once."""
    return f"http://{host}:{port}/enter?key={key}"


def keep_way_in(folder: Path, port: int, key: str) -> None:
    """Write down how to open the page; where that fails, a second start is a second server."""
    with suppress(OSError):
        forget_way_in(folder)
        handle = os.open(_file(folder), os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(f"{port} {key}\n")


def forget_way_in(folder: Path, port: int | None = None) -> None:
    """Remove what was written down; with a port, only if it is that server's."""
    held = _held(folder)
    if port is None or (held and held[0] == port):
        with suppress(OSError):
            _file(folder).unlink(missing_ok=True)


def way_into_running(folder: Path) -> str | None:
    """Return the address of the page that runs on a folder, or None where none does."""
    held = _held(folder)
    if held is None:
        return None
    port, key = held
    with (
        suppress(OSError, HTTPException),
        closing(HTTPConnection(HERE, port, ANSWER_SECONDS)) as to,
    ):
        to.request("HEAD", f"/enter?key={key}")
        if to.getresponse().status == HTTPStatus.NO_CONTENT:
            return address_of(port, key)
    return None


def _file(folder: Path) -> Path:
    return folder / ".kitloom" / "way-in"


def _held(folder: Path) -> tuple[int, str] | None:
    """Return the port and the key that are written down, or None where nothing usable is."""
    with suppress(PageError, UnicodeDecodeError):
        content = read_bytes(_file(folder), _MOST_BYTES, PageError, noun="way in").decode("ascii")
        found = _HELD.fullmatch(content)
        if found and 0 < int(found[1]) < 2**16:
            return int(found[1]), found[2]
    return None
