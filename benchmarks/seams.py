"""How many seams are found, and how many clean tiles are called one? At the one threshold.

    python -m benchmarks.seams [--public FOLDER] [--per-family N] [--seed N] [--timing]

Prints, for each set of tiles: clean joins called "seam" and "unsure" (JPEG 75 copies count as
clean), then for each kind of fault the share called "seam" and, after the stroke, "seam" or
"unsure". Only faults that a person would see count (``worst_run_de`` over 6); a drift always does.
Then a ROC for each kind, thresholds set within each set: area under the curve and
recall at 0.5, 1, 2 and 5 % false alarms, of our score and of the plain baseline, the mean
difference of first and last line. Then which kind was named. "real, going on" are the public tiles
less those joins that do not go on in the tile as sold (``learning.continues``).

``--public`` names the folder that the Debian packages caja-common and afterstep-data were unpacked
in (default "/", where they would be installed). ``--timing`` adds the CPU time of a check of a tile
of 1800 x 1800 as a ratio to decoding it, both in this run. The public tiles are among those the
weights were learnt from: ``python -m learning --check`` tells recall with whole hands left out.
The sets drawn here come from a seed that the model was not trained on; "a hand left out" are tiles
of hands (``hands``, ``hands_ruled``, ``hands_apart``) of which it knows nothing at all.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import NamedTuple

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from learning.continues import STRANGER, strangers_as_good
from learning.drawings.plain import blooms, checks, crowded, wash
from learning.faults import EVERY_FAULT, broken_rhythm, faulty, jpeg
from learning.tiles import APART, Tile, drawn_tiles, public_tiles
from palette.arrays import Pixels
from palette.space import srgb_to_lab
from patterns.seams import AxisCheck, check_seams

VISIBLE_DE = 6.0
RHYTHM = "rhythm"


class Case(NamedTuple):
    """One join that was judged."""

    set_name: str
    name: str
    axis: str
    kind: str  # "clean" or a kind of fault
    verdict: str
    score: float
    plain: float
    named: str  # the kind that was named first


def plain_baseline(pixels: Pixels, axis: str) -> float:
    """Return the mean CIE76 difference of first and last line."""
    turned = pixels if axis == "y" else pixels.transpose(1, 0, 2)
    off = srgb_to_lab(turned[0]) - srgb_to_lab(turned[-1])
    return float(np.linalg.norm(off, axis=-1).mean())


def _case(tile: Tile, kind: str, pixels: Pixels, axis: str, check: AxisCheck) -> Case:
    named = check.faults[0].kind if check.faults else ""
    plain = plain_baseline(pixels, axis)
    return Case(tile.set_name, tile.name, axis, kind, check.verdict, check.score, plain, named)


def cases_of(tile: Tile, seed: int) -> Iterator[Case]:
    for pixels in (tile.pixels, jpeg(tile.pixels)):
        check = check_seams(pixels)
        for axis in "xy":
            yield _case(tile, "clean", pixels, axis, getattr(check, axis))
    rng = np.random.default_rng([seed, *tile.name.encode()])
    for kind in EVERY_FAULT:
        if tile.family == "plaid" and kind.startswith(("crop", "doubled")):
            continue  # bands of any width: a plaid cropped is another plaid, and nobody can tell
        for axis in "xy":
            pixels, de = faulty(tile.pixels, kind, axis, rng)
            if de > VISIBLE_DE:
                yield _case(tile, kind, pixels, axis, getattr(check_seams(pixels), axis))


def rhythm_cases(count: int, seed: int) -> Iterator[Case]:
    for i in range(count):
        pixels, axis = broken_rhythm(np.random.default_rng([seed, i, 1]))
        tile = Tile("geometric", RHYTHM, f"rhythm-{i}", pixels)
        yield _case(tile, RHYTHM, pixels, axis, getattr(check_seams(pixels), axis))


def auc(clean: list[float], bad: list[float]) -> float:
    """Return the area under the ROC curve: how often a fault scores above a clean join."""
    order = np.sort(np.array(clean))
    below = np.searchsorted(order, bad, "left") + np.searchsorted(order, bad, "right")
    return float(below.mean() / (2 * len(order)))


def recall_at(clean: list[float], bad: list[float], alarms: float = 0.01) -> float:
    """Return the share of faults that score above all but a share ``alarms`` of clean joins."""
    return float(np.mean(np.array(bad) > np.quantile(clean, 1.0 - alarms, method="higher")))


def report(cases: list[Case]) -> None:
    kinds = [k for k in (*EVERY_FAULT, RHYTHM) if any(c.kind == k for c in cases)]
    sets = list(dict.fromkeys(c.set_name for c in cases))
    print("| set | clean | seam | unsure | " + " | ".join(kinds) + " |")
    print("|---" * (4 + len(kinds)) + "|")
    for name in sets:
        clean = [c for c in cases if c.set_name == name and c.kind == "clean"]
        row = [f"{np.mean([c.verdict == v for c in clean]):.3f}" for v in ("seam", "unsure")]
        for kind in kinds:
            found = [c.verdict for c in cases if (c.set_name, c.kind) == (name, kind)]
            seam, either = (
                np.mean([v in which for v in found]) if found else np.nan
                for which in (("seam",), ("seam", "unsure"))
            )
            row.append(f"{seam:.2f}/{either:.2f} ({len(found)})" if found else "")
        print(f"| {name} | {len(clean)} | " + " | ".join(row) + " |")


def report_roc(cases: list[Case]) -> None:
    """Print the area under the curve and recall at four shares of false alarms, by set and kind."""
    alarms = (0.005, 0.01, 0.02, 0.05)
    said = ", ".join(f"{a:.1%}" for a in alarms)
    print(f"\nROC, thresholds within each set: area, then recall at {said} false alarms")
    print("| set | kind | our score | plain baseline |")
    print("|---" * 4 + "|")
    for name in dict.fromkeys(c.set_name for c in cases):
        clean = [c for c in cases if c.set_name == name and c.kind == "clean"]
        for kind in (*EVERY_FAULT, RHYTHM):
            bad = [c for c in cases if (c.set_name, c.kind) == (name, kind)]
            if not bad or not clean:
                continue
            cells = []
            for key in ("score", "plain"):
                none, some = ([float(getattr(c, key)) for c in group] for group in (clean, bad))
                recalls = " ".join(f"{recall_at(none, some, a):.2f}" for a in alarms)
                cells.append(f"{auc(none, some):.3f}: {recalls}")
            print(f"| {name} | {kind} | " + " | ".join(cells) + " |")


def report_kinds(cases: list[Case]) -> None:
    print("\nkind named first, of those called seam or unsure")
    for kind in (*EVERY_FAULT, RHYTHM):
        named = [c.named for c in cases if c.kind == kind and c.verdict != "seamless"]
        if named:
            counts = {n: named.count(n) for n in sorted(set(named), key=named.count)[::-1]}
            print(f"  {kind}: {counts}")


def timing(runs: int = 5) -> None:
    print("\n1800 x 1800: processor seconds of a check / of decoding its PNG (median of 5)")
    for draw in (blooms, wash, crowded, checks):
        small = draw(np.random.default_rng(3))
        pixels = np.asarray(Image.fromarray(small).resize((1800, 1800), Image.Resampling.BICUBIC))
        buffer = BytesIO()
        Image.fromarray(pixels).save(buffer, "PNG")
        spent: list[list[float]] = [[], []]
        for _ in range(runs):
            start = time.process_time()
            buffer.seek(0)
            read = np.array(Image.open(buffer).convert("RGB"))
            middle = time.process_time()
            check_seams(read)
            spent[0].append(middle - start)
            spent[1].append(time.process_time() - middle)
        decode, check = np.median(spent[0]), np.median(spent[1])
        print(f"  {draw.__name__}: {check:.3f} / {decode:.3f} = {check / decode:.1f}")


def going_on(cases: list[Case], public: list[Tile]) -> list[Case]:
    """Return the public cases again, without joins that do not go on in the tile as sold."""
    good = {
        (tile.name, axis)
        for tile in public
        for axis in "xy"
        if strangers_as_good(tile.pixels, axis) < STRANGER
    }
    real = [c for c in cases if c.set_name == "real" and (c.name, c.axis) in good]
    return [c._replace(set_name="real, going on") for c in real]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--public", type=Path, default=Path("/"))
    parser.add_argument("--per-family", type=int, default=3)
    parser.add_argument("--seed", type=int, default=9001)
    parser.add_argument("--timing", action="store_true")
    options = parser.parse_args()
    public = list(public_tiles(options.public))
    if not public:
        print(f"NOTE: no public tiles under {options.public}: install caja-common, afterstep-data")
    apart = drawn_tiles(options.per_family, seed=options.seed, sets=APART)
    tiles = [*public, *drawn_tiles(options.per_family, seed=options.seed), *apart]
    cases = [case for tile in tiles for case in cases_of(tile, options.seed)]
    cases += rhythm_cases(4 * options.per_family, options.seed)
    cases += going_on(cases, public)
    report(cases)
    report_roc(cases)
    report_kinds(cases)
    if options.timing:
        timing()


if __name__ == "__main__":
    main()
