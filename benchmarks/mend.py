"""How many seams still show after mending, by kind of fault, on drawn and on public tiles.

A fault is planted at one join of a clean tile. Whether it shows, before and after, is measured
against the clean tile, which mending never sees: around each place of the join and of every line
within the band that was touched, a patch of 9 x 4 pixels (9 along the join, 2 on either side) is
compared with its most alike patch anywhere in the clean tile. A fault shows where such a patch
differs from all that the artwork contains by a mean CIE76 over 6, and by more than 999 of 1,000
patches of the artwork differ from all others (in a texture no two are alike, and the worst of some
hundreds is asked for). For a drift the step in tone across the join is counted besides. Faults that
do not show before are left out.

    python -m benchmarks.mend [--public ROOT] [--tiles N] [--pictures FOLDER]
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import defaultdict
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.spatial import cKDTree

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.seam_faults import FAULTS, faulty
from benchmarks.seam_tiles import drawn_tiles, public_tiles
from palette.lab import srgb_to_lab
from patterns.before_after import before_after_picture
from patterns.lattice import STRAIGHT
from patterns.mend import mend, unfolded
from patterns.repeats import find_repeat
from patterns.seams import check_seams

SHOWS_DE = 6.0
SHOWS_STEP = 2.5  # a step in tone along the whole join
ALONG, SIDE = 9, 2
Pixels = NDArray[np.uint8]


class Truth:
    """All patches of a clean tile, to ask whether a patch is like any of them."""

    def __init__(self, clean: Pixels) -> None:
        patches = _patches(np.tile(clean, (2, 2, 1)), clean.shape[1])
        stride = max(1, len(patches) // 150_000)
        self.centre = patches.mean(axis=0)
        chosen = patches[::stride]
        basis = np.linalg.svd((chosen - self.centre)[::20], full_matrices=False)[2]
        self.basis = basis[:9].T
        self.patches = chosen
        self.tree = cKDTree((chosen - self.centre) @ self.basis)
        self.shows = max(SHOWS_DE, self._usual(np.arange(len(patches))[::stride], clean.shape[:2]))

    def _usual(self, place: NDArray[np.intp], shape: tuple[int, int]) -> float:
        """Return how far the clean tile's own patches are from all that do not overlap them."""
        asked = np.arange(0, len(place), max(1, len(place) // 3000))
        wanted = self.patches[asked]
        _, near = self.tree.query((wanted - self.centre) @ self.basis, k=48)
        rows, columns = np.divmod(place, shape[1])
        apart = []
        for axis, at, reach in ((0, rows, ALONG), (1, columns, 2 * SIDE)):
            away = np.abs(at[near] - at[asked][:, None])
            apart.append(np.minimum(away, shape[axis] - away) >= reach)
        grid = (len(asked), -1, ALONG * 2 * SIDE, 3)
        away = self.patches[near].reshape(grid) - wanted.reshape(len(asked), 1, *grid[2:])
        off = np.where(apart[0] | apart[1], np.linalg.norm(away, axis=3).mean(axis=2), np.inf)
        least = off.min(axis=1)
        return float(np.percentile(least[np.isfinite(least)], 99.9)) if least.size else 0.0

    def worst(self, tile: Pixels, band: int) -> float:
        """Return the worst mean CIE76 of the join's and the band's patches from their likes."""
        reach = band + 2 * SIDE
        ends = np.concatenate([tile[:, -reach:], tile[:, :reach]], axis=1)
        ends = np.concatenate([ends, ends[:ALONG]], axis=0)
        wanted = _patches(ends, ends.shape[1] - 2 * SIDE + 1)
        wanted = wanted[:: max(1, len(wanted) // 8_000)]
        _, near = self.tree.query((wanted - self.centre) @ self.basis, k=8)
        shape = (len(wanted), 1, ALONG * 2 * SIDE, 3)
        differences = self.patches[near].reshape(len(wanted), 8, -1, 3) - wanted.reshape(shape)
        return float(np.linalg.norm(differences, axis=3).mean(axis=2).min(axis=1).max())


def _patches(tile: Pixels, starts: int) -> NDArray[np.float32]:
    lab = srgb_to_lab(tile).astype(np.float32)
    windows = np.lib.stride_tricks.sliding_window_view(lab, (ALONG, 2 * SIDE), axis=(0, 1))
    rows = tile.shape[0] // 2 if starts == tile.shape[1] // 2 else windows.shape[0]
    flat = windows[:rows, :starts].transpose(0, 1, 3, 4, 2)
    return np.ascontiguousarray(flat).reshape(-1, ALONG * 2 * SIDE * 3)


def _tone_step(tile: Pixels, clean: Pixels) -> float:
    """Return the median step in CIELAB across the join, over the clean tile's own."""

    def step(of: Pixels) -> NDArray[np.float64]:
        jump = srgb_to_lab(of[:, :3]).mean(axis=1) - srgb_to_lab(of[:, -3:]).mean(axis=1)
        return np.asarray(np.median(jump, axis=0))

    return float(np.linalg.norm(step(tile) - step(clean)))


def _reference(clean: Pixels, kind: str) -> Pixels:
    """Return what the faulty tile would be without its fault: a drift needs room in tone."""
    return _roomy(clean) if kind.startswith("drift") else clean


def _roomy(clean: Pixels, span: float = 8.0) -> Pixels:
    from palette.lab import lab_to_srgb8

    lab = srgb_to_lab(clean)
    lab[..., 0] = lab[..., 0] * (100.0 - span) / 100.0 + span / 2
    return lab_to_srgb8(lab)


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--public", type=Path, default=Path("/"))
    parser.add_argument("--tiles", type=int, default=1)
    parser.add_argument("--every", type=int, default=1, help="of the public tiles")
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--pictures", type=Path)
    parser.add_argument("--kinds", nargs="*", default=list(FAULTS))
    parser.add_argument("--gate", action="store_true", help="mend only what the check calls a seam")
    chosen = parser.parse_args()
    tiles = [t for t in public_tiles(chosen.public) if min(t.pixels.shape[:2]) >= 48]
    tiles = [t for t in tiles if max(t.pixels.shape[:2]) <= 400]
    tiles = tiles[:: chosen.every] + list(drawn_tiles(chosen.tiles, seed=chosen.seed, scale=0.7))
    rows: dict[tuple[str, str], list[tuple[float, float, bool, bool]]] = defaultdict(list)
    start, spent = time.perf_counter(), 0.0
    for tile in tiles:
        rng = np.random.default_rng([chosen.seed, *tile.name.encode()])
        truths: dict[tuple[str, bool], Truth] = {}
        for kind in chosen.kinds:
            axis = "xy"[int(rng.integers(2))]
            planted, _ = faulty(tile.pixels, kind, axis, rng)
            turn = (lambda p: p) if axis == "x" else (lambda p: p.transpose(1, 0, 2))
            clean = np.ascontiguousarray(turn(_reference(tile.pixels, kind)))
            key = axis, kind.startswith("drift")
            truth = truths[key] = truths.get(key) or Truth(clean)
            before = truth.worst(turn(planted), 0)
            step = _tone_step(turn(planted), clean) if kind.startswith("drift") else 0.0
            if before <= truth.shows and step <= SHOWS_STEP:
                continue
            clock = time.perf_counter()
            check = check_seams(planted)
            repeat = find_repeat(planted)
            done = mend(planted, check, STRAIGHT, repeat, None if chosen.gate else (axis,))
            spent += time.perf_counter() - clock
            touched = [s.width_px for s in done.steps if s.axis == axis and s.kind != "drift"]
            plain = unfolded(done.pixels, done.lattice)
            after = truth.worst(turn(plain), max([0, *touched]))
            left = _tone_step(turn(plain), clean) if kind.startswith("drift") else 0.0
            shows = after > truth.shows or left > SHOWS_STEP
            rows[tile.set_name, kind].append((before, after, shows, done.mended))
            if chosen.pictures and shows:
                chosen.pictures.mkdir(parents=True, exist_ok=True)
                name = f"{kind}-{tile.name}-{axis}-{after:.1f}".replace(" ", "_").replace("%", "pc")
                steps = "+".join(f"{s.kind}{s.width_px}" for s in done.steps)
                picture = before_after_picture(planted, done.pixels, STRAIGHT, done.lattice)
                Image.fromarray(picture).save(chosen.pictures / f"{name}-{steps}.png")
    _print(rows)
    count = sum(len(v) for v in rows.values())
    print(
        f"{count} faults, {spent / max(1, count):.2f} s each to check, find and mend; "
        f"{time.perf_counter() - start:.0f} s in all"
    )


def _print(rows: dict[tuple[str, str], list[tuple[float, float, bool, bool]]]) -> None:
    sets = sorted({key[0] for key in rows})
    print("share still showing after mending (of n that showed before)")
    print(f"{'kind':16s}" + "".join(f"{name:>18s}" for name in [*sets, "all"]) + "   says so")
    for kind in dict.fromkeys(key[1] for key in rows):
        cells, everything = [], []
        for name in sets:
            found = rows.get((name, kind), [])
            everything += found
            cells.append(_share(found))
        honest = [shows for _, _, shows, mended in everything if not mended]
        missed = sum(shows for _, _, shows, mended in everything if mended)
        print(
            f"{kind:16s}"
            + "".join(f"{cell:>18s}" for cell in [*cells, _share(everything)])
            + f"   called mended but shows: {missed} of {len(everything)};"
            + f" called unmended: {len(honest)}"
        )


def _share(found: list[tuple[float, float, bool, bool]]) -> str:
    return f"{np.mean([f[2] for f in found]):.2f} of {len(found)}" if found else "-"


if __name__ == "__main__":
    main()
