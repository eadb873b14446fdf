"""Die before every single file operation of a writer; say after how many it was done.

Run as ``python -m tests.kitloom.crashes WRITER FOLDER``: a process of its own, so that nothing but
the writer's thread is there to be forked. Audit events (PEP 578) come before each operation.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path

from kitloom.disk import replace_file, write_into, write_set
from kitloom.disk.whole import is_ours

OPERATIONS = {"open", "os.rename", "os.mkdir", "os.rmdir", "os.remove", "os.chmod", "shutil.rmtree"}


def old_and_new() -> tuple[dict[str, bytes], dict[str, bytes]]:
    """Return two sets; the old one has more sheets."""
    old = {f"sheet-{i}.pdf": b"old" * 400 for i in range(1, 4)} | {"report.html": b"old"}
    return old, {f"sheet-{i}.pdf": b"new" * 900 for i in range(1, 3)} | {"report.html": b"new"}


def writers(folder: Path) -> dict[str, Callable[[dict[str, bytes]], object]]:
    """Return the ways to write a set."""
    return {
        "write_set": lambda files: write_set(folder / "kit", files, reads=(), overwrite=True),
        "write_into": lambda files: write_into(folder / "kit", files, reads=(), overwrite=True),
        "replace_file": lambda files: replace_file(folder / "kit" / "a.txt", files["report.html"]),
    }


def dies_at(step: int, work: Callable[[], object]) -> bool:
    """Do some work in a child that is killed at its nth file operation; whether it was."""
    child = os.fork()
    if child == 0:
        done = 0

        def count(event: str, _: tuple[object, ...]) -> None:
            nonlocal done
            done += event in OPERATIONS
            if event in OPERATIONS and done == step:
                os.kill(os.getpid(), signal.SIGKILL)

        sys.addaudithook(count)
        work()
        os._exit(0)
    return os.WIFSIGNALED(os.waitpid(child, 0)[1])


def main() -> None:
    """Kill a writer at every step; print at how many there were."""
    name, place = sys.argv[1], Path(sys.argv[2])
    old, new = old_and_new()
    is_ours("")  # what it imports is loaded here, not file by file in every child
    step, died = 0, True
    while died:
        step += 1
        folder = place / f"{step}"
        folder.mkdir()
        write = writers(folder)[name]
        write(old)
        (folder / "kit" / "notes.txt").write_text("mine")
        died = dies_at(step, lambda write=write: write(new))
    sys.stdout.write(f"{step - 1}\n")


if __name__ == "__main__":
    main()
