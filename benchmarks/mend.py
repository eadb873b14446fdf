"""How many seams still show after mending, by kind of fault, on drawn and on public tiles.

A fault is planted at one join of a clean tile, which mending never sees. The figure is the share of
joins that a person would still see: the worst 9-pixel run of the join, and of every line of the
mended band, differs by a mean CIE76 over 6 from its true continuation (``benchmarks.mend_truth``
says what is true where mending changed the tile's size). A drift counts also where a step in tone
of 2.5 is left across the join. Before mending the true continuation is always known.

Printed per set: the share that shows before, of all planted; the strict share after, of those; the
same by the texture-relative measure, which is the looser one; how many show inside the band only
(a new fault); how often mending says otherwise than the strict figure.

    python benchmarks/mend.py [--public ROOT] [--tiles N] [--seed N] [--pictures FOLDER]
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.mend_truth import SHOWS_DE, Truth, Worst, tone_step
from benchmarks.seam_faults import FAULTS, faulty
from benchmarks.seam_tiles import Tile, drawn_tiles, public_tiles
from palette.lab import lab_to_srgb8, srgb_to_lab
from patterns.before_after import before_after_picture
from patterns.lattice import STRAIGHT
from patterns.mend import AxisName, Mended, mend, unfolded
from patterns.mend_axis import turned
from patterns.repeats import find_repeat
from patterns.seams import check_seams

SHOWS_STEP = 2.5  # a step in tone along the whole join
SET_NAMES = {"real": "public", "lined": "with a line"}
Pixels = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class Result:
    """One fault: where and what, whether it shows before and after, by both measures."""

    set_name: str
    kind: str
    label: str
    before: bool
    before_relative: bool
    after: Worst
    shows: bool
    shows_relative: bool
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
    parser.add_argument("--kinds", nargs="*", default=list(FAULTS))
    parser.add_argument("--sets", nargs="*", help="real, scattered, texture, geometric, lined")
    parser.add_argument("--gate", action="store_true", help="mend only what the check calls a seam")
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
    return [result for kind in chosen.kinds for result in _one(tile, kind, chosen)]


def _one(tile: Tile, kind: str, chosen: argparse.Namespace) -> Iterator[Result]:
    rng = np.random.default_rng([chosen.seed, *tile.name.encode(), *kind.encode()])
    axis: AxisName = "x" if rng.random() < 0.5 else "y"
    planted, visible_de = faulty(tile.pixels, kind, axis, rng)
    drifts = kind.startswith("drift")
    clean = turned(_roomy(tile.pixels) if drifts else tile.pixels, axis)
    shown = turned(planted, axis)
    known = not kind.startswith(("crop", "motif"))
    truth = Truth(clean, *([_whole(clean, shown)] if kind == "motif cut off" else []))
    clock = time.process_time()
    repeat = find_repeat(planted)
    check = check_seams(planted)
    done = mend(planted, check, STRAIGHT, repeat, None if chosen.gate else (axis,))
    seconds = time.process_time() - clock
    after_tile = turned(unfolded(done.pixels, done.lattice), axis)
    band = _band(shown, after_tile, done, axis)
    before = truth.relative(shown, 0)
    if done.steps:
        after = truth.strict(after_tile, band, in_place=known)
        relative = truth.relative(after_tile, band)
        step = tone_step(after_tile, clean) if drifts else 0.0
    else:
        after, relative, step = Worst(visible_de, 0.0), before, 99.0 if drifts else 0.0
    shows = after.de > SHOWS_DE or step > SHOWS_STEP
    steps = "+".join(f"{each.kind}{each.width_px}" for each in done.steps)
    label = f"{kind}-{tile.name}-{axis}-{after.join_de:.1f}-{after.band_de:.1f}-{steps}"
    yield Result(
        tile.set_name,
        kind,
        f"{label}-{'mended' if done.mended else 'not'}",
        visible_de > SHOWS_DE,
        drifts or truth.shows_relative(before.de),
        after,
        shows,
        truth.shows_relative(relative.de) or step > SHOWS_STEP,
        after.join_de <= SHOWS_DE < after.band_de,
        done.mended,
        seconds,
    )
    if chosen.pictures and shows and visible_de > SHOWS_DE:
        chosen.pictures.mkdir(parents=True, exist_ok=True)
        name = label.replace(" ", "_").replace("%", "pc")
        picture = before_after_picture(planted, done.pixels, STRAIGHT, done.lattice)
        Image.fromarray(picture).save(chosen.pictures / f"{name}.png")


def _band(before: Pixels, after: Pixels, done: Mended, axis: str) -> int:
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
    sets = [*dict.fromkeys(result.set_name for result in results), "all"]
    columns = [SET_NAMES.get(name, name) for name in sets]
    print("before > strict after (of n that show before) | texture-relative after")
    print(f"{'kind':15s}" + "".join(f"{name:>26s}" for name in columns))
    for kind in dict.fromkeys(result.kind for result in results):
        cells = []
        for name in sets:
            found = [r for r in results if r.kind == kind and name in {r.set_name, "all"}]
            cells.append(_cell(found))
        print(f"{kind:15s}" + "".join(f"{cell:>26s}" for cell in cells))
    print(
        "\nof all that show before: new fault in the band only; mended but called not; the reverse"
    )
    for kind in dict.fromkeys(result.kind for result in results):
        found = [r for r in results if r.kind == kind and r.before]
        counts: dict[str, int] = defaultdict(int)
        for r in found:
            counts["new"] += r.new_in_band
            counts["modest"] += not r.says_mended and not r.shows
            counts["false"] += r.says_mended and r.shows
            counts["false_relative"] += r.says_mended and r.shows_relative
        print(
            f"{kind:15s} n {len(found):3d}   new in band {counts['new']:3d}   sound, called not"
            f" mended {counts['modest']:3d}   shows, called mended {counts['false']:3d}"
            f" (texture-relative {counts['false_relative']})"
        )


def _cell(found: list[Result]) -> str:
    seen = [r for r in found if r.before]
    if not seen:
        return "-"
    before = len(seen) / len(found)
    strict = np.mean([r.shows for r in seen])
    relative = np.mean([r.shows_relative for r in seen])
    return f"{before:.2f} > {strict:.2f} of {len(seen):2d} | {relative:.2f}"


if __name__ == "__main__":
    main()
