"""How well are motifs lifted? Tiles of known layers against what is taken out of them.

    python -m benchmarks.lift [--tiles N] [--first SEED] [--fine N]

Baseline: the true shape without any transparency, a pixel either there or not, which is the best
that keying the ground's colour out can do. ``--fine`` counts the true alpha by so many subpixels
along each side of a pixel: with 4 the truth itself is off by .023 on average at an edge that lies
anywhere, with 8 by .008, and drawing takes four times as long.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from io import BytesIO

import numpy as np
from PIL import Image

from benchmarks.lift_tiles import FINE, Layer, LayeredTile, draw_layered
from kit.shapes import outer_ring
from palette.arrays import Floats, Pixels
from patterns.lift import Motif, lift_motifs
from patterns.units import MM_PER_INCH

AT_MM = 25.0  # the size at which outlines are compared
LEAST_IN = 0.98  # of a layer's cover: it was found whole
MOST_MORE = 0.02  # of its cover beside it


@dataclass(frozen=True)
class Score:
    """What became of one layer.

    Attributes:
        found: how much of it the motif found there holds, 0 to 1.
        more: how much that motif has beside it, in its own cover.
        alpha_off: mean difference of alpha over the pixels of its edge, 0 to 1.
        keyed_off: the same of the baseline.
        outline_mm: how far the outline is off, all but 1 % of its length, at ``AT_MM``.
        dpi: the motif's pixels to the inch at that size.
    """

    found: float
    more: float
    alpha_off: float
    keyed_off: float
    outline_mm: float
    dpi: float

    @property
    def whole(self) -> bool:
        """Whether the motif was found whole and by itself."""
        return self.found >= LEAST_IN and self.more <= MOST_MORE


def score_tile(tile: LayeredTile, *, lossy: bool = False) -> list[Score]:
    """Return a score for each layer of a tile."""
    pixels = _jpeg(tile.pixels) if lossy else tile.pixels
    motifs = lift_motifs(pixels, tile.lattice, lossy=lossy).motifs
    scores = []
    for layer in tile.layers:
        on_layer = [_beside(layer, motif, tile) for motif in motifs]
        held = [float(np.minimum(layer_alpha, alpha).sum()) for layer_alpha, alpha in on_layer]
        if not held or max(held) <= 0.0:
            scores.append(Score(0.0, 0.0, 1.0, 1.0, AT_MM, 0.0))
            continue
        true, got = on_layer[int(np.argmax(held))]
        scores.append(_score(true, got, (true > 0.5).astype(np.float64)))
    return scores


def _beside(layer: Layer, motif: Motif, tile: LayeredTile) -> tuple[Floats, Floats]:
    """Return both alphas on one grid, the motif moved by whole tiles to where the layer lies."""
    height, width = tile.pixels.shape[:2]
    drop, slide = tile.lattice.drop * height, tile.lattice.slide * width
    middle = np.array([layer.top, layer.left]) + np.array(layer.alpha.shape) / 2.0
    away = middle - np.array([motif.top, motif.left]) - np.array(motif.alpha.shape) / 2.0
    steps = np.array([[drop, width], [height, slide]])
    counts = np.rint(np.linalg.solve(steps.T, away))
    move = np.rint(counts @ steps).astype(int)
    top, left = motif.top + move[0], motif.left + move[1]
    start = min(top, layer.top), min(left, layer.left)
    end = (
        max(top + motif.alpha.shape[0], layer.top + layer.alpha.shape[0]),
        max(left + motif.alpha.shape[1], layer.left + layer.alpha.shape[1]),
    )
    grids = []
    corners = (layer.alpha, layer.top, layer.left), (motif.alpha / 255.0, top, left)
    for alpha, row, column in corners:
        grid = np.zeros((end[0] - start[0] + 2, end[1] - start[1] + 2))
        y, x = row - start[0] + 1, column - start[1] + 1
        grid[y : y + alpha.shape[0], x : x + alpha.shape[1]] = alpha
        grids.append(grid)
    return grids[0], grids[1]


def _score(true: Floats, got: Floats, keyed: Floats) -> Score:
    total = true.sum()
    edge = ((true > 0.0) & (true < 1.0)) | ((got > 0.0) & (got < 1.0))
    mm_per_px = AT_MM / max(true.shape)
    return Score(
        float(np.minimum(true, got).sum() / total),
        float(np.maximum(got - true, 0.0).sum() / total),
        float(np.abs(true - got)[edge].mean()),
        float(np.abs(true - keyed)[edge].mean()),
        _outlines_apart(true, got) * mm_per_px,
        MM_PER_INCH / mm_per_px,
    )


def _outlines_apart(true: Floats, got: Floats) -> float:
    """Return how far the outlines lie apart in pixels, all but 1 % of their length."""
    from scipy.spatial import cKDTree

    if not (got > 0.5).any():
        return float(max(true.shape))
    one, other = (_dense(np.asarray(outer_ring(alpha - 0.5))) for alpha in (true, got))
    apart = cKDTree(one).query(other)[0], cKDTree(other).query(one)[0]
    return float(max(np.percentile(each, 99.0) for each in apart))


def _dense(ring: Floats) -> Floats:
    following = np.roll(ring, -1, axis=0)
    return np.concatenate([ring + (following - ring) * share for share in (0.0, 0.25, 0.5, 0.75)])


def _jpeg(pixels: Pixels) -> Pixels:
    buffer = BytesIO()
    Image.fromarray(pixels).save(buffer, "JPEG", quality=90, subsampling=0)
    return np.asarray(Image.open(buffer).convert("RGB"))


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--tiles", type=int, default=40)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--fine", type=int, default=FINE)
    asked = parser.parse_args()
    count, seeds = asked.tiles, range(asked.first, asked.first + asked.tiles)
    for name, lossy in (("PNG", False), ("JPEG, quality 90", True)):
        scores = [
            one for seed in seeds for one in score_tile(draw_layered(seed, asked.fine), lossy=lossy)
        ]
        whole = [one for one in scores if one.whole]
        halves = [one for one in scores if 0.05 < one.found < 0.95]
        # a motif with fewer pixels than 300 to the inch is not crisp at that size anyway
        far = np.array([one.outline_mm for one in whole if one.dpi >= 300.0])
        print(
            f"{name}: {count} tiles, {len(scores)} motifs; whole {len(whole) / len(scores):.1%}, "
            f"in part {len(halves)}; alpha off {np.mean([s.alpha_off for s in whole]):.4f} on "
            f"edges (keyed {np.mean([s.keyed_off for s in whole]):.4f}); outline off at {AT_MM:g} "
            f"mm: 95 % within {np.percentile(far, 95):.3f} mm, worst {far.max():.3f} mm"
        )


if __name__ == "__main__":
    main()
