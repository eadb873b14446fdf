"""Call the command as a person would, but within this process: an interpreter's start is spared.

What depends on a process of its own (hash seeds, workers, kills) starts one.
"""

from __future__ import annotations

import sys
from contextlib import redirect_stderr, redirect_stdout
from io import BytesIO, TextIOWrapper
from subprocess import CompletedProcess

from kitloom.cli import main


def called(*words: object, encoding: str = "utf-8") -> CompletedProcess[str]:
    """Run ``kitloom`` with these words; return its exit status and what it printed.

    ``encoding`` is what standard output and error are written in.
    """
    given = ["kitloom", *map(str, words)]
    out, err = (TextIOWrapper(BytesIO(), encoding, write_through=True) for _ in range(2))
    before, sys.argv = sys.argv, given
    status = 0
    try:
        with redirect_stdout(out), redirect_stderr(err):
            main()
    except SystemExit as end:
        status = int(end.code or 0)
    finally:
        sys.argv = before
    told, complaint = (stream.buffer.getvalue().decode(encoding) for stream in (out, err))
    return CompletedProcess(given, status, told, complaint)
