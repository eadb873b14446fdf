"""Kill ``kitloom make --overwrite`` at random moments: is the folder ever a mix of two sets?

Run ``python -m fuzz.kills [--kills N] [--seed S]``. Two recipes take turns in one folder, which
holds a file of the maker's own too. Each run is a real process ended by SIGKILL: half of them at
any moment of the run, half within the milliseconds in which it writes. After each kill the folder
must hold one whole set, or not be there while ``.kit.previous`` beside it does; after the next
finished run, that run's set, the maker's file, and no temporary names. Needs a system with fork.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from fuzz.readers import CORPUS

NOTES = "my notes.txt"
RECIPES = ("one.toml", "two.toml")

Content = dict[str, bytes]


def made(recipe: Path, out: Path) -> int:
    """Run ``kitloom make`` in this process and return its exit status."""
    from click.testing import CliRunner

    from kitloom.cli import kitloom

    words = ["make", str(recipe), "--out", str(out), "--overwrite"]
    done = CliRunner().invoke(kitloom, words, standalone_mode=False)
    if done.exception is not None:
        raise done.exception
    return int(done.return_value or 0)


def prepare(folder: Path) -> dict[str, Content]:
    """Lay two recipes into a folder and return the whole set of each."""
    tile, text = (CORPUS / "kit" / name for name in ("dots.png", "kit.toml"))
    (folder / "dots.png").write_bytes(tile.read_bytes())
    for name, count in zip(RECIPES, (2, 30), strict=True):  # of different numbers of sheets
        (folder / name).write_text(text.read_text().replace("count = 2", f"count = {count}", 1))
    sets = {}
    for name in RECIPES:
        made(folder / name, folder / "alone" / name)
        sets[name] = content_of(folder / "alone" / name)
    return sets


def content_of(folder: Path) -> Content:
    """Return the content of a folder's files by name; empty where there is no folder."""
    if not folder.is_dir():
        return {}
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def forked(work: Callable[[], object]) -> int:
    """Do some work in a process of its own and return its number."""
    child = os.fork()
    if child == 0:
        try:
            work()
        except BaseException:
            os._exit(1)
        os._exit(0)
    return child


def finished(work: Callable[[], object]) -> bool:
    """Do some work in a process of its own; return whether it went well."""
    return os.waitpid(forked(work), 0)[1] == 0


class Mixed(AssertionError):  # noqa: N818  it is what happened, not an error of ours
    """A folder is neither the old set nor the new one."""


def standing(folder: Path, sets: dict[str, Content]) -> str:
    """Return whose set is in ``folder / "kit"``, or "away" where it waits beside it.

    Raises:
        Mixed: the files are of no one set, or the maker's own file is gone.
    """
    kit, beside = content_of(folder / "kit"), content_of(folder / ".kit.previous")
    if NOTES not in {**kit, **beside}:
        raise Mixed("the maker's own file is gone")
    shown = {name: data for name, data in (kit or beside).items() if name != NOTES}
    for recipe, whole in sets.items():
        if shown == whole:
            return recipe if kit else "away"
    raise Mixed(f"of no one set: {sorted(shown)}")


def killed_once(folder: Path, recipe: str, source: random.Random, longest: float) -> str:
    """Start a run and kill it; return in which part of its work that was."""
    out = folder / "kit"
    child = forked(lambda: made(folder / recipe, out))
    if source.random() < 0.5:
        time.sleep(source.uniform(0.0, longest))
    else:
        end = time.monotonic() + 20.0
        while not any(folder.glob(".kit.new-*")) and time.monotonic() < end:
            time.sleep(0.0002)
        time.sleep(source.uniform(0.0, 0.02))
    os.kill(child, signal.SIGKILL)
    if os.waitpid(child, 0)[1] == 0:
        return "after its end"
    return "while writing" if any(folder.glob(".kit.*")) else "before or after writing"


def kills(folder: Path, count: int, seed: int) -> Counter[str]:
    """Kill that many runs and return in which part of their work they were.

    Raises:
        Mixed: a folder was found that is neither the old set nor the new one.
    """
    source, told = random.Random(seed), Counter[str]()
    sets = prepare(folder)
    if not finished(lambda: made(folder / RECIPES[0], folder / "kit")):
        raise Mixed("the first run failed")
    (folder / "kit" / NOTES).write_text("mine")
    start = time.monotonic()
    finished(lambda: made(folder / RECIPES[1], folder / "kit"))
    longest, now = time.monotonic() - start, RECIPES[1]
    for _ in range(count):
        other = RECIPES[1 - RECIPES.index(now)]
        told[killed_once(folder, other, source, longest)] += 1
        found = standing(folder, sets)
        told["then " + {now: "the old set", other: "the new set"}.get(found, "no folder yet")] += 1
        now = source.choice(RECIPES)
        if not finished(lambda recipe=now: made(folder / recipe, folder / "kit")):
            raise Mixed("the next run failed")
        if standing(folder, sets) != now or any(folder.glob(".kit*")):
            raise Mixed("the next run put nothing right")
    return told


def main() -> int:
    """Kill runs and print what was found; return the exit status."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=0)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        told = kills(Path(place), given.kills, given.seed)
    for what, count in sorted(told.items()):
        print(f"{count:5}  {what}")
    print(f"{given.kills} kills, never a mix of two sets, all put right by the next run")
    return 0


if __name__ == "__main__":
    sys.exit(main())
