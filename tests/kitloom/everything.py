"""Run every command that writes files and tell the hash of each file.

Run as ``python -m tests.kitloom.everything FOLDER here|there``: a folder that holds artwork, a
recipe and an outline; from within it by short names, or from elsewhere by whole ones. What a
command prints counts too where it is the same wherever it is called from.
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
from pathlib import Path

from click.testing import CliRunner

from kitloom.cli import kitloom


def commands(folder: Path) -> list[list[object]]:
    """Return the calls; outputs go to ``folder / "out"``."""
    out, tile, recipe = folder / "out", folder / "dots.png", folder / "kit.toml"
    cards = (folder / "out" / "palette" / "palette.tokens.json").as_posix()
    return [
        ["make", recipe, "--out", out / "kit"],
        ["make", recipe, "--out", out / "kept", "--keep", out / "kit" / "kit.lock.json",
         "--box", "28mm x 36mm", "--paper", "A4"],
        ["trial", recipe, "--out", out / "trial"],
        ["palette", tile, folder / "stripes.png", "--out", out / "palette"],
        ["palette", tile, folder / "stripes.png", "--coordinates", out / "coordinates"],
        ["palette", tile, "--from", cards, "--colourway", out / "colourway"],
        ["rescale", tile, "--repeat", "0.9in", "--dpi", "240", "--out", out / "rescaled"],
        ["mend", folder / "stripes.png", "--out", out / "mended"],
        ["lift", tile, "--size", "8mm", "--out", out / "motifs"],
        ["check", tile, folder / "stripes.png", "--pictures", out / "seams"],
        ["proof", tile, "--pictures", out / "proofs", "--repair", out / "repaired"],
        ["proof", "--chart", out / "chart", "--paper", "A5"],
    ]  # fmt: skip


def library(folder: Path) -> list[object]:
    """Return the call of an audit, whose files name the tiles as they were called."""
    out = folder / "out"
    return ["check", folder, "--csv", out / "a.csv", "--jsonl", out / "a.jsonl",
            "--page", out / "a.html", "--workers", os.environ["WORKERS"]]  # fmt: skip


def run(words: list[object]) -> str:
    """Run one command and return what it printed."""
    done = CliRunner().invoke(kitloom, [str(word) for word in words], standalone_mode=False)
    if done.exception is not None:
        raise done.exception
    return done.stdout


def main() -> None:
    """Run all and print one JSON object, file name to hash."""
    folder = Path(sys.argv[1])
    if sys.argv[2] == "here":
        os.chdir(folder)
        folder = Path()
    for words in commands(folder):
        run(words)
    os.chdir(sys.argv[1])
    told = {"draft": run(["draft", ".", "--out", "draft.toml"]), "check": run(library(Path()))}
    files = [*Path("out").rglob("*.*"), Path("draft.toml")]
    told |= {path.as_posix(): hashed(path) for path in sorted(files) if path.is_file()}
    sys.stdout.write(json.dumps(told))


def hashed(path: Path) -> str:
    """Return the hash of a file."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


if __name__ == "__main__":
    main()
