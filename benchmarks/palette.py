"""How good and how fast is a palette, beside k-means over every pixel?

Run ``python -m benchmarks.palette`` (about twenty minutes), with ``--quick`` (about four), or one
table only: ``--mains``, ``--counts``, ``--loss``, ``--speed`` or ``--recolour``. Six tables; those
but the third and the last against a named baseline in the same run:

1. recall: planted colours found, false ones, and the number chosen by "auto";
2. mains: kits of twelve tiles, washes among them: whose largest colour is within CIEDE2000 5 of the
   palette;
3. counts: how many colours "auto" chooses for sets of twelve tiles: the samples, kits drawn with a
   dozen colours, drawings of the seam benchmarks that have nothing to do with each other, and the
   tiles of public packages (see ``learning.tiles``), and which share of their tiles' grounds
   the palette holds within CIEDE2000 5, with "auto" and with 8;
4. loss: our k-means stage on bins against the best of 100 restarts over every pixel, of each tile
   and of three together. Equal pixels are gathered into weighted colours first, which is the same
   problem to the last bit of rounding and lets 100 restarts end within the hour;
5. speed: the whole process, ``kitloom palette`` with decoding and imports included, for the twelve
   tiles that ``benchmarks.make`` uses too, against scikit-image's Lab of every pixel and
   scikit-learn's k-means over all of them; median of five of ours, once the baseline;
6. recolour: a grainy tile of 1800 px, some hundred thousand colours, given eight other colours in
   this process; median of five. The aim is 2 s of the processor.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from benchmarks.palette_kits import drawn_kit, kept, kept_by
from benchmarks.planted import colours, grainy, planted_kit, through_jpeg, tile
from benchmarks.processes import Figures, measured, median, option
from benchmarks.twelve import drawn
from learning.tiles import drawn_tiles, public_tiles
from palette.choose import bins_of, choose, pool_bins, recolour
from palette.choose.kmeans import assess, kmeans
from palette.space import de2000, srgb_to_lab
from patterns.artwork import open_artwork

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


def mains(cases: int) -> None:
    print(f"main colours of {cases} kits of twelve tiles")
    kits = [drawn_kit(seed) for seed in range(900, 900 + cases)]
    for asked in ("auto", 12):
        _told_mains(f"colours={asked}", [kept(*kit, asked) for kit in kits])
    few = kits[: max(cases // 5, 2)]
    rows = [kept_by(*kit, _centres(kit[0], 12)) for kit in few]
    _told_mains(f"baseline, k-means(12) on every pixel, {len(few)} kits", rows)


def _told_mains(what: str, rows: list[tuple[float, ...]]) -> None:
    count, share, worst, accent = np.array(rows, dtype=float).T
    print(
        f"  {what}: colours {count.mean():.1f} ({count.max():.0f} at most),"
        f" tiles whose largest colour is kept {share.mean():.1%}, farthest {worst.max():.1f},"
        f" accents within 3 {np.mean(accent <= 3.0):.0%}",
        flush=True,
    )


def _centres(tiles: list[np.ndarray], count: int) -> np.ndarray:
    from sklearn.cluster import KMeans

    labs = np.concatenate([srgb_to_lab(pixels).reshape(-1, 3) for pixels in tiles])
    return KMeans(count, n_init=1, random_state=0).fit(labs.astype(np.float32)).cluster_centers_


def counts(cases: int) -> None:
    print('sets of twelve tiles: colours chosen by "auto", and grounds held within CIEDE2000 5')
    samples = Path(__file__).parents[1] / "samples" / "allotment"
    for name in ("tiles", "evening"):
        paths = sorted(path for path in (samples / name).iterdir() if path.is_file())
        _told_counts(f"sample {name}", [[open_artwork(path).pixels for path in paths]])
    seeds = range(900, 900 + cases)
    _told_counts("kits with a dozen colours", [drawn_kit(seed)[0] for seed in seeds])
    mixed = [one.pixels for seed in range(4) for one in drawn_tiles(1, seed=40 + seed)]
    _told_counts("unrelated drawings", _twelves(mixed))
    public = [one.pixels for one in public_tiles() if min(one.pixels.shape[:2]) >= 48]
    if public:
        _told_counts("public tiles", _twelves(public))


def _twelves(tiles: list[np.ndarray]) -> list[list[np.ndarray]]:
    order = np.random.default_rng(4).permutation(len(tiles))
    return [[tiles[i] for i in order[at : at + 12]] for at in range(0, len(tiles) - 11, 12)]


def _told_counts(what: str, sets: list[list[np.ndarray]]) -> None:
    rows = []
    for tiles in sets:
        bins = {f"{i:02}": bins_of(pixels) for i, pixels in enumerate(tiles)}
        auto, eight = choose(bins, "auto"), choose(bins, 8)
        held = [np.mean([one.de2000 <= 5.0 for one in p.grounds]) for p in (auto, eight)]
        rows.append((len(auto), *held))
    number, by_auto, by_eight = np.array(rows, dtype=float).T
    print(
        f"  {what} ({len(sets)}): {number.mean():.1f} colours ({number.min():.0f} to"
        f" {number.max():.0f}), over ten in {np.mean(number > 10):.0%}; grounds held"
        f" {by_auto.mean():.0%}, with 8 {by_eight.mean():.0%}",
        flush=True,
    )


def varied_tiles(size_px: int, count: int) -> list[np.ndarray]:
    """Draw flat, JPEG and grainy tiles in turn."""
    random = np.random.default_rng(77)
    drawn = []
    for i in range(count):
        plain = tile(random, colours(random, 4 + i % 4), size_px, motifs=40 + 10 * (i % 5))
        drawn.append([plain, through_jpeg(plain), grainy(plain, random)][i % 3])
    return drawn


def loss(tiles: list[np.ndarray], restarts: int) -> None:
    print(f"loss over every pixel against the best of {restarts} restarts, {len(tiles)} tiles")
    for k in (4, 6, 9, 12):
        ratios = [_loss_ratio([pixels], k, restarts) - 1.0 for pixels in tiles]
        joint = _loss_ratio(tiles[:3], k, restarts) - 1.0
        print(
            f"  k={k}: worst tile {max(ratios):+.3%}, median {np.median(ratios):+.3%},"
            f" three together {joint:+.3%}",
            flush=True,
        )


def _loss_ratio(tiles: list[np.ndarray], k: int, restarts: int) -> float:
    from sklearn.cluster import KMeans
    from threadpoolctl import threadpool_limits

    every = np.concatenate([pixels.reshape(-1, 3) for pixels in tiles])
    exact, counts = np.unique(every, axis=0, return_counts=True)
    points, weight = srgb_to_lab(exact), counts / counts.sum()
    bins = [bins_of(pixels) for pixels in tiles]
    ours_of = bins[0] if len(bins) == 1 else pool_bins(bins)
    ours = assess(points, weight, kmeans(ours_of.lab, ours_of.weight, k, starts=10).centres).loss
    with threadpool_limits(1):
        model = KMeans(k, n_init=restarts, random_state=1).fit(points, sample_weight=weight)
    return ours / assess(points, weight, model.cluster_centers_).loss


def speed(folder: Path, runs: int) -> None:
    drawn(folder)
    paths = sorted(str(path) for path in folder.iterdir() if path.suffix in {".png", ".jpg"})[:12]
    words = [sys.executable, "-m", "kitloom", "palette", *paths, "--colours", "6", "--json"]
    ours = median([measured(words)[0] for _ in range(runs)])
    naive = measured([sys.executable, "-c", NAIVE, "6", *paths])[0]
    print("speed, twelve tiles of 1800 px, whole process")
    _row("every pixel", naive)
    _row("kitloom palette", ours)
    print(
        f"  ratio: wall {naive.wall_s / ours.wall_s:.1f}, processor {naive.cpu_s / ours.cpu_s:.1f}"
    )


def _row(name: str, figures: Figures) -> None:
    wall, cpu, peak = figures
    print(f"  {name:16} wall {wall:6.2f} s   processor {cpu:6.2f} s   peak {peak:5.0f} MB")


def recolouring(runs: int) -> None:
    random = np.random.default_rng(6)
    old, new = colours(random, 8, 12.0), colours(random, 8, 12.0)
    pairs = list(zip(srgb_to_lab(old), srgb_to_lab(new), strict=True))
    large = grainy(np.tile(tile(random, old, 600, motifs=40), (3, 3, 1)), random)
    taken = []
    for _ in range(runs):
        start = time.process_time()
        recolour(large, pairs)
        taken.append(time.process_time() - start)
    count = len(np.unique(large.reshape(-1, 3), axis=0))
    print(f"recolour, {count} colours of 1800 px: processor {np.median(taken):.2f} s")


def main() -> None:
    quick = "--quick" in sys.argv
    only = {"--speed", "--loss", "--mains", "--counts", "--recolour"} & set(sys.argv)
    if not only:
        recall(10 if quick else 40)
    if not only or "--mains" in only:
        mains(10 if quick else 40)
    if not only or "--counts" in only:
        counts(10 if quick else 40)
    if not only or "--loss" in only:
        loss(varied_tiles(300, 6 if quick else 12), 20 if quick else 100)
    if not only or "--speed" in only:
        with tempfile.TemporaryDirectory() as scratch:
            speed(Path(option("--tiles", scratch)), 1 if quick else 5)
    if not only or "--recolour" in only:
        recolouring(1 if quick else 5)


if __name__ == "__main__":
    main()
