"""Feed every reader broken files; each must be read or be refused with a ``KitloomError``.

Run ``python -m fuzz.run [--seconds N] [--seed S] [--reader NAME] [--found FOLDER]`` (20 seconds of
the processor a reader). Anything else that is raised, a hang (``LATE_SECONDS`` for one small file)
or memory over ``MOST_MEMORY`` is a failure: the file is kept in the folder and the exit status is
1. A reader runs in a process of its own, so that a crash of a decoder is told too.
"""

from __future__ import annotations

import argparse
import multiprocessing
import random
import signal
import sys
import tempfile
import time
import traceback
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from fuzz.mutate import mutated
from fuzz.readers import READERS, seeds
from palette.errors import KitloomError

LATE_SECONDS = 60  # by the clock: beside other programs too, only what hangs takes as long
MOST_MEMORY = 4 * 2**30


class LateError(Exception):
    """A reader hangs."""


@contextmanager
def _not_for_ever() -> Iterator[None]:
    """Raise ``LateError`` in what takes too long, where the system has an alarm clock."""

    def late(*_: object) -> None:
        raise LateError

    if not hasattr(signal, "SIGALRM"):
        yield
        return
    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(LATE_SECONDS)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def tried(reader: str, path: Path) -> str:
    """Return "read", "refused", or what went wrong."""
    try:
        with _not_for_ever():
            READERS[reader](path)
    except KitloomError as error:
        return "refused" if error.line() else "an error without words"
    except LateError:
        return f"over {LATE_SECONDS} s"
    except BaseException:
        return traceback.format_exc()
    return "read"


def fuzzed(reader: str, seconds: float, seed: int, found: Path, answer: Any) -> None:
    """Try mutated seeds of one reader for some time; send how many were read, refused and wrong."""
    _limit()
    random_source = random.Random(seed)
    files, suffixes = zip(
        *((p.read_bytes(), "".join(p.suffixes)) for p in seeds(reader)), strict=True
    )
    counts = {"read": 0, "refused": 0, "wrong": 0}
    end = time.process_time() + seconds
    with tempfile.TemporaryDirectory() as folder:
        while time.process_time() < end:
            path = Path(folder) / f"case{random_source.choice(suffixes)}"
            path.write_bytes(mutated(files, random_source))
            (found / f"{reader}.last").write_bytes(path.read_bytes())  # what a crash was caused by
            said = tried(reader, path)
            counts[said if said in counts else "wrong"] += 1
            if said not in counts:
                kept = found / f"{reader}-{counts['wrong']:03}{path.suffix}"
                kept.write_bytes(path.read_bytes())
                kept.with_name(kept.name + ".why").write_text(said)
                if counts["wrong"] >= 20:
                    break
    (found / f"{reader}.last").unlink()
    answer.send(counts)


def _limit() -> None:
    import resource

    warnings.simplefilter("ignore")
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))


def run(reader: str, seconds: float, seed: int, found: Path) -> bool:
    """Fuzz one reader in a process of its own and print the counts; return whether all was well."""
    ours, theirs = multiprocessing.Pipe()
    process = multiprocessing.get_context("spawn").Process(
        target=fuzzed, args=(reader, seconds, seed, found, theirs)
    )
    process.start()
    theirs.close()
    try:
        counts = ours.recv()
    except EOFError:
        process.join()
        print(f"{reader:10} ended by {process.exitcode}; its file is {found / reader}.last")
        return False
    process.join()
    total = sum(counts.values())
    print(
        f"{reader:10} {total:8} files  {counts['read']:7} read  {counts['refused']:7} refused  "
        f"{counts['wrong']:3} wrong"
    )
    return counts["wrong"] == 0


def main() -> int:
    """Fuzz the readers and return the exit status."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--reader", choices=READERS)
    parser.add_argument("--found", type=Path, default=None)
    given = parser.parse_args()
    found = given.found or Path(tempfile.mkdtemp(prefix="kitloom-fuzz-"))
    found.mkdir(parents=True, exist_ok=True)
    names = [given.reader] if given.reader else list(READERS)
    well = [run(name, given.seconds, given.seed, found) for name in names]
    print("all read or refused" if all(well) else f"failures kept in {found}")
    return 0 if all(well) else 1


if __name__ == "__main__":
    sys.exit(main())
