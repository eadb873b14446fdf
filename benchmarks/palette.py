"""How good and how fast is a palette, beside k-means over every pixel?

Run ``python benchmarks/palette.py`` (about ten minutes), with ``--quick`` (about two) or with
``--speed`` (only the last). Three tables, each against its named baseline in the same run:

1. recall: planted colours found, false ones, and the number chosen by "auto";
2. loss: our k-means stage on bins against the best of 100 restarts over every pixel. Equal pixels
   are gathered into weighted colours first, which is the same problem to the last bit of rounding
   and lets 100 restarts end within the hour;
3. speed: the whole process, decoding and imports included, for twelve tiles of 1800 x 1800,
   against scikit-image's Lab of every pixel and scikit-learn's k-means over all of them.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path[0] = str(Path(__file__).resolve().parents[1])  # else this file would hide the package

import numpy as np
from PIL import Image

from benchmarks.planted import colours, grainy, planted_kit, through_jpeg, tile
from palette.choose import choose
from palette.difference import de2000
from palette.histogram import bins_of
from palette.kmeans import assess, kmeans
from palette.lab import srgb_to_lab

OURS = """
import sys, threading
from concurrent.futures import ThreadPoolExecutor
from palette.kmeans import preload
threading.Thread(target=preload).start()
import numpy as np
from PIL import Image
from palette.choose import choose
from palette.histogram import bins_of
def counted(path):
    return bins_of(np.asarray(Image.open(path).convert("RGB")))
with ThreadPoolExecutor(2) as pool:
    bins = dict(zip(sys.argv[2:], pool.map(counted, sys.argv[2:])))
print([swatch.hex for swatch in choose(bins, int(sys.argv[1])).swatches])
"""
NAIVE = """
import sys
import numpy as np
from PIL import Image
from skimage.color import rgb2lab
from sklearn.cluster import KMeans
labs = [rgb2lab(np.asarray(Image.open(path).convert("RGB"))).reshape(-1, 3).astype(np.float32)
        for path in sys.argv[2:]]
model = KMeans(int(sys.argv[1]), n_init=1, random_state=0).fit(np.concatenate(labs))
print(model.cluster_centers_.round(1).tolist())
"""


def recall(cases: int) -> None:
    print(f"recall over {cases} kits of three tiles with eight planted colours")
    seeds = range(500, 500 + cases)
    for asked in ("auto", 8):
        _told(f"colours={asked}", [_one_recall(seed, asked) for seed in seeds])
    few = seeds[: max(cases // 5, 2)]
    _told(f"baseline, k-means(8) on every pixel, {len(few)} kits", [_naive_recall(s) for s in few])


def _told(what: str, rows: list[tuple[float, ...]]) -> None:
    count, accent, found, false = np.array(rows, dtype=float).T
    print(
        f"  {what}: accents {accent.mean():.1%}, planted within 3 {found.mean():.1%},"
        f" false {false.sum() / count.sum():.1%},"
        f" number right {np.mean(count == 8):.0%},"
        f" within one {np.mean(abs(count - 8) <= 1):.0%}"
    )


def _one_recall(seed: int, asked: object) -> tuple[float, ...]:
    planted, tiles = planted_kit(seed)
    bins = {f"tile {i}": bins_of(pixels) for i, pixels in enumerate(tiles)}
    return _judged(planted, choose(bins, asked).labs)  # type: ignore[arg-type]


def _naive_recall(seed: int) -> tuple[float, ...]:
    from sklearn.cluster import KMeans

    planted, tiles = planted_kit(seed)
    labs = np.concatenate([srgb_to_lab(pixels).reshape(-1, 3) for pixels in tiles])
    model = KMeans(8, n_init=4, random_state=0).fit(labs.astype(np.float32))
    return _judged(planted, model.cluster_centers_)


def _judged(planted: np.ndarray, found: np.ndarray) -> tuple[float, ...]:
    table = de2000(srgb_to_lab(planted)[:, None], found[None])
    near = table.min(axis=1) <= 3.0
    return len(found), near[-1], near.mean(), (table.min(axis=0) > 5.0).sum()


def varied_tiles(size_px: int, count: int) -> list[np.ndarray]:
    """Draw flat, JPEG and grainy tiles in turn."""
    random = np.random.default_rng(77)
    drawn = []
    for i in range(count):
        plain = tile(random, colours(random, 4 + i % 4), size_px, motifs=40 + 10 * (i % 5))
        drawn.append([plain, through_jpeg(plain), grainy(plain, random)][i % 3])
    return drawn


def loss(tiles: list[np.ndarray], restarts: int) -> None:
    print(f"loss over every pixel against the best of {restarts} restarts, worst of tiles")
    for k in (4, 6, 9, 12):
        ratios = [_loss_ratio(pixels, k, restarts) for pixels in tiles]
        print(f"  k={k}: worst {max(ratios) - 1:+.3%}, median {np.median(ratios) - 1:+.3%}")


def _loss_ratio(pixels: np.ndarray, k: int, restarts: int) -> float:
    from sklearn.cluster import KMeans
    from threadpoolctl import threadpool_limits

    exact, counts = np.unique(pixels.reshape(-1, 3), axis=0, return_counts=True)
    points, weight = srgb_to_lab(exact), counts / counts.sum()
    bins = bins_of(pixels)
    ours = assess(points, weight, kmeans(bins.lab, bins.weight, k).centres).loss
    with threadpool_limits(1):
        model = KMeans(k, n_init=restarts, random_state=1).fit(points, sample_weight=weight)
    return ours / assess(points, weight, model.cluster_centers_).loss


def speed(tiles: list[np.ndarray], runs: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        paths = []
        for i, pixels in enumerate(tiles):
            paths.append(str(Path(folder) / f"{i}.{'jpg' if i % 3 == 1 else 'png'}"))
            Image.fromarray(pixels).save(paths[-1])
        ours = min(_seconds(OURS, paths) for _ in range(runs))
        naive = _seconds(NAIVE, paths)
    print(f"speed, {len(tiles)} tiles of {tiles[0].shape[0]} px, whole process, wall and processor")
    print(f"  baseline, every pixel: {naive[0]:.2f} s, {naive[1]:.2f} s")
    print(f"  palette: {ours[0]:.2f} s, {ours[1]:.2f} s")
    print(f"  ratio: {naive[0] / ours[0]:.1f}, {naive[1] / ours[1]:.1f}")


def _seconds(script: str, paths: list[str]) -> tuple[float, float]:
    """Return wall time and processor time of a fresh process; the second hardly minds company."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run([sys.executable, "-c", script, "6", *paths], check=True, capture_output=True)
    wall, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    quick = "--quick" in sys.argv
    if "--speed" not in sys.argv:
        recall(10 if quick else 40)
        loss(varied_tiles(300, 6 if quick else 12), 20 if quick else 100)
    speed(varied_tiles(1800, 12), 1 if quick else 3)


if __name__ == "__main__":
    main()
