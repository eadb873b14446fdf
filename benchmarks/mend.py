"""How many seams still show after mending, by kind of fault, on drawn and on public tiles.

A fault is planted at one join of a clean tile, which mending never sees. It counts where a person
would see it: its worst nine-pixel run differs by more than CIE76 6 from the true continuation, and
for a crop, which may end anywhere, where the join also stands out of what the clean tile does
(``benchmarks.mend_truth``). After mending the join shows where it, or any line of the mended band,
stands out so; where a visible place of the fault was left as it was; where a step in tone of 2.5 is
left of a drift; and where nothing was done.

Printed for each kind and set: the share of planted faults that shows before; of those the share
that shows after, the share called mended, and how many were called mended though they show.

    python -m benchmarks.mend [--public ROOT] [--tiles N] [--seed N] [--pictures FOLDER]
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path

import numpy as np
from PIL import Image

from palette.arrays import Pixels

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.mend_truth import (
    SHOWS_DE,
    SHOWS_TONE_DE,
    Seen,
    Truth,
    remains,
    tone_step_de,
    visible_run_de,
)
from learning.faults import FAULTS, faulty
from learning.tiles import Tile, drawn_tiles, public_tiles
from palette.space import lab_to_srgb8, srgb_to_lab
from patterns.mend import AxisName, MendResult, before_after_picture, mend, orient
from patterns.mend.axis import unfold
from patterns.plane import STRAIGHT
from patterns.repeats import find_repeat
from patterns.seams import check_seams

SET_NAMES = {"real": "public", "lined": "with a line"}


@dataclass(frozen=True, slots=True)
class Result:
    """One fault: where and what, whether it shows before and after, and what mending says."""

    set_name: str
    kind: str
    label: str
    before: bool
    shows: bool
    new_in_band: bool
    says_mended: bool
    seconds: float


def main() -> None:
    chosen = _arguments()
    start = time.perf_counter()
    jobs = [(tile, chosen) for tile in _tiles(chosen)]
    if chosen.jobs > 1:
        with Pool(chosen.jobs) as pool:
            found = pool.map(_all_kinds, jobs, chunksize=1)
    else:
        found = [_all_kinds(job) for job in jobs]
    results = [result for each in found for result in each]
    print_tables(results)
    for result in results if chosen.list else []:
        if result.before and (result.shows or not result.says_mended):
            print(result.label)
    spent = sum(result.seconds for result in results) / max(1, len(results))
    print(
        f"{len(results)} faults on {len(jobs)} tiles, {spent:.2f} s CPU each to check, find and "
        f"mend; {time.perf_counter() - start:.0f} s in all"
    )


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser()
    parser.add_argument("--public", type=Path, default=Path("/"))
    parser.add_argument("--tiles", type=int, default=1, help="drawn tiles of each family")
    parser.add_argument("--every", type=int, default=1, help="of the public tiles")
    parser.add_argument("--first", type=int, default=0, help="public tile to begin with")
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--pictures", type=Path, help="of every join that still shows")
    parser.add_argument("--kinds", nargs="*", default=[*FAULTS, "cut too wide"])
    parser.add_argument("--sets", nargs="*", help="real, scattered, texture, geometric, lined")
    parser.add_argument("--gate", action="store_true", help="mend only what the check calls a seam")
    parser.add_argument("--all", action="store_true", help="pictures of those that do not show too")
    parser.add_argument("--list", action="store_true", help="name every join that still shows")
    return parser.parse_args()


def _tiles(chosen: argparse.Namespace) -> list[Tile]:
    public = [t for t in public_tiles(chosen.public) if min(t.pixels.shape[:2]) >= 48]
    public = [t for t in public if max(t.pixels.shape[:2]) <= 400]
    drawn = drawn_tiles(chosen.tiles, seed=chosen.seed, scale=0.7)
    tiles = [*public[chosen.first :: chosen.every], *drawn]
    return [tile for tile in tiles if not chosen.sets or tile.set_name in chosen.sets]


def _all_kinds(job: tuple[Tile, argparse.Namespace]) -> list[Result]:
    tile, chosen = job
    truths: dict[tuple[str, str], Truth] = {}
    return [result for kind in chosen.kinds for result in _one(tile, kind, chosen, truths)]


def _one(
    tile: Tile, kind: str, chosen: argparse.Namespace, truths: dict[tuple[str, str], Truth]
) -> Iterator[Result]:
    rng = np.random.default_rng([chosen.seed, *tile.name.encode(), *kind.encode()])
    axis: AxisName = "x" if rng.random() < 0.5 else "y"
    planted, visible_de = faulty(tile.pixels, kind, axis, rng)
    clean = orient(_roomy(tile.pixels) if kind.startswith("drift") else tile.pixels, axis)
    shown = orient(planted, axis)
    key = (axis, kind if kind.startswith(("drift", "motif")) else "")
    if key not in truths:
        truths[key] = Truth(clean, *([_whole(clean, shown)] if kind == "motif cut off" else []))
    truth = truths[key]
    clock = time.process_time()
    repeat = find_repeat(planted)
    check = check_seams(planted)
    done = mend(planted, check, STRAIGHT, repeat, None if chosen.gate else (axis,))
    seconds = time.process_time() - clock
    after_tile = orient(unfold(done.pixels, done.lattice), axis)
    before = visible_de > SHOWS_DE
    if kind.startswith("crop"):
        before = before and truth.seen(shown, 0).worst > 1.0
    after = truth.seen(after_tile, _band(shown, after_tile, done, axis))
    if any(step.axis == "both" for step in done.steps):  # the other join is new as well
        after = max(after, Truth(orient(clean, "y")).seen(orient(after_tile, "y"), 0), key=_worst)
    why = _why(kind, clean, shown, after_tile, after) if done.steps else "untouched"
    steps = "+".join(f"{each.kind}{each.width_px}" for each in done.steps)
    label = f"{kind}-{tile.name}-{axis}-{after.join:.1f}-{after.band:.1f}-{steps}-{why}"
    label = f"{label}-{'mended' if done.mended else 'not'}"
    new_in_band = bool(done.steps) and after.join <= 1.0 < after.band
    yield Result(tile.set_name, kind, label, before, bool(why), new_in_band, done.mended, seconds)
    if chosen.pictures and before and (why or chosen.all):
        chosen.pictures.mkdir(parents=True, exist_ok=True)
        name = label.replace(" ", "_").replace("%", "pc")
        picture = before_after_picture(planted, done.pixels, STRAIGHT, done.lattice)
        Image.fromarray(picture).save(chosen.pictures / f"{name}.png")


def _worst(seen: Seen) -> float:
    return seen.worst


def _why(kind: str, clean: Pixels, shown: Pixels, mended: Pixels, after: Seen) -> str:
    """Return by what the join still shows, or nothing."""
    if kind.startswith("drift") and tone_step_de(mended, clean) > SHOWS_TONE_DE:
        return "tone"
    if mended.shape == shown.shape and remains(mended, shown, visible_run_de(kind, clean, shown)):
        return "left"
    return after.why


def _band(before: Pixels, after: Pixels, done: MendResult, axis: str) -> int:
    """Return how far from the join anything was changed, in columns; a drift changes all softly."""
    if after.shape == before.shape and not any(s.kind == "drift" for s in done.steps):
        changed = np.flatnonzero((after != before).any(axis=(0, 2)))
        return int(np.minimum(changed + 1, after.shape[1] - changed).max()) if changed.size else 0
    touched = [s.width_px for s in done.steps if s.axis == axis and s.kind != "drift"]
    return max([0, *touched])


def _roomy(clean: Pixels, span: float = 8.0) -> Pixels:
    """Return what a drift was added to: a tile with room in tone at both ends."""
    lab = srgb_to_lab(clean)
    lab[..., 0] = lab[..., 0] * (100.0 - span) / 100.0 + span / 2
    return lab_to_srgb8(lab)


def _whole(clean: Pixels, shown: Pixels) -> Pixels:
    """Return the clean tile with the cut-off motif made whole over the join.

    The motif is an ellipse: its widest column, where it lies inside the tile, is its middle.
    """
    painted = (shown != clean).any(axis=2)
    sizes = painted.sum(axis=0)
    if not sizes[-1]:
        return clean
    rows = np.flatnonzero(painted.any(axis=1))
    top, bottom = rows[0], rows[-1] + 1
    middle, tall = (top + bottom) / 2.0, (bottom - top) / 2.0
    left = int(np.flatnonzero(painted.any(axis=0))[0])
    peak = int(np.argmax(sizes))
    wide = peak + 0.5 - left if peak < len(sizes) - 1 else float(len(sizes) - left)
    y = (np.arange(len(clean)) + 0.5 - middle)[:, None] / tall
    x = (np.arange(len(sizes)) + 0.5 + len(sizes) - left - wide)[None] / wide
    inside = y * y + x * x <= 1.0
    colour = np.median(shown[painted], axis=0)
    return np.where(inside[..., None], colour, shown).astype(np.uint8)


def print_tables(results: list[Result]) -> None:
    """Print a table of kinds by sets, then what mending says of them."""
    sets = [*dict.fromkeys(result.set_name for result in results), "all"]
    print("before > after, share called mended (called mended though it shows / n)")
    columns = [SET_NAMES.get(name, name) for name in sets]
    print(f"{'kind':14s}" + "".join(f"{name:>26s}" for name in columns))
    for kind in [*dict.fromkeys(result.kind for result in results), "all"]:
        cells = []
        for name in sets:
            found = [r for r in results if kind in {r.kind, "all"} and name in {r.set_name, "all"}]
            cells.append(_cell(found))
        print(f"{kind:14s}" + "".join(f"{cell:>26s}" for cell in cells))
    seen = [r for r in results if r.before]
    called = [r for r in seen if r.says_mended]
    print(
        f"called mended: {len(called)} of {len(seen)}, of which still show"
        f" {sum(r.shows for r in called)}; called not mended though nothing shows:"
        f" {sum(not r.shows and not r.says_mended for r in seen)}; new in the band only:"
        f" {sum(r.new_in_band for r in seen)}, of which called mended"
        f" {sum(r.new_in_band for r in called)}"
    )


def _cell(found: list[Result]) -> str:
    seen = [r for r in found if r.before]
    if not seen:
        return "-"
    before = len(seen) / len(found)
    after, says = np.mean([r.shows for r in seen]), np.mean([r.says_mended for r in seen])
    wrong = sum(r.shows and r.says_mended for r in seen)
    return f"{before:.2f} > {after:.2f}, {says:.2f} ({wrong}/{len(seen)})"


if __name__ == "__main__":
    main()
