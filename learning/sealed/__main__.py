"""Open the sealed set: what does the verdict say of artwork that nothing was chosen by?

    python -m learning.sealed FOLDER [--rows FILE]

``FOLDER`` holds what ``python -m learning.sealed.fetch FOLDER`` fetched; PyMuPDF (``.[test-all]``)
and Debian's dpkg read it. Each tile is judged clean, as it is and as JPEG 75, and with each kind of
fault planted on one axis drawn at random; faults that nobody would see (CIE76 up to 6) are not
counted. Prints, of each set and of each hand, clean joins called "seam" and "unsure", and of each
fault the share called "seam" and, after the stroke, "seam" or "unsure". ``--rows`` keeps what was
judged, one tile a line, so that a run that was stopped goes on.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np

from learning.faults import FAULTS, faulty, jpeg
from learning.inputs import tiles_digest
from learning.joins import VISIBLE_DE
from learning.sealed.tiles import sealed_tiles
from learning.tiles import Tile
from patterns.seams import check_seams

SEED = 20261130
TILES = "775b646762cb6340"  # the digest of what was opened; another PyMuPDF may draw another
KINDS = tuple(kind for kind in FAULTS if kind != "crop 1 px")  # by one pixel: not asked for
CLEAN = "clean"


class Case(NamedTuple):
    """One join that was judged."""

    set_name: str
    family: str
    tile: str
    axis: str
    kind: str
    verdict: str


def cases_of(tile: Tile) -> list[Case]:
    """Judge one tile, clean and with each fault that shows."""
    said = (tile.set_name, tile.family, tile.name)
    cases = []
    for pixels in (tile.pixels, jpeg(tile.pixels)):
        check = check_seams(pixels)
        cases += [Case(*said, axis, CLEAN, getattr(check, axis).verdict) for axis in "xy"]
    rng = np.random.default_rng([SEED, *tile.name.encode()])
    for kind in KINDS:
        axis = "xy"[int(rng.integers(2))]
        pixels, de = faulty(tile.pixels, kind, axis, rng)
        if de > VISIBLE_DE:
            verdict = getattr(check_seams(pixels), axis).verdict
            cases.append(Case(*said, axis, kind, verdict))
    return cases


def _judged(folder: Path, kept: Path | None) -> list[Case]:
    lines = kept.read_text(encoding="utf-8").splitlines() if kept and kept.exists() else []
    cases = [Case(*case) for line in lines for case in json.loads(line)]
    done = {(case.family, case.tile) for case in cases}
    tiles = list(sealed_tiles(folder, SEED))
    if tiles_digest(tiles) != TILES:
        print(f"NOTE: not the pixels that were opened: {tiles_digest(tiles)}, not {TILES}")
    for tile in tiles:
        if (tile.family, tile.name) in done:
            continue
        found = cases_of(tile)
        cases += found
        if kept:
            with kept.open("a", encoding="utf-8") as out:
                out.write(json.dumps(found) + "\n")
    return cases


def _row(name: str, cases: Sequence[Case]) -> str:
    clean = [case.verdict for case in cases if case.kind == CLEAN]
    cells = [str(len(clean)), *(f"{clean.count(v) / len(clean):.3f}" for v in ("seam", "unsure"))]
    for kind in KINDS:
        found = [case.verdict for case in cases if case.kind == kind]
        seam, either = found.count("seam"), len(found) - found.count("seamless")
        cells.append(
            f"{seam / len(found):.2f}/{either / len(found):.2f} ({len(found)})" if found else ""
        )
    return f"| {name} | " + " | ".join(cells) + " |"


def report(cases: Sequence[Case]) -> None:
    """Print the table of sets, then that of hands."""
    for by in ("set_name", "family"):
        print("| " + by + " | clean | seam | unsure | " + " | ".join(KINDS) + " |")
        print("|---" * (4 + len(KINDS)) + "|")
        for name in dict.fromkeys(getattr(case, by) for case in cases):
            print(_row(name, [case for case in cases if getattr(case, by) == name]))
        print()


def main() -> None:
    """Judge all, and report."""
    parser = argparse.ArgumentParser(prog="python -m learning.sealed")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--rows", type=Path)
    options = parser.parse_args()
    report(_judged(options.folder, options.rows))


if __name__ == "__main__":
    main()
