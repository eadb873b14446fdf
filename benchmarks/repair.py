"""How far from the screen does a repaired tile print, beside the plain one and the best there is?

Run ``python -m benchmarks.repair [TILE...]`` (about ten seconds); without tiles, the sample's neon
tile, one drawn in four neon colours and one in five pastels. The baseline is the plain print; the
repair takes its colours, or with ``keep_hue`` keeps the tile's hues. "Best" takes each colour by
itself to the printable one of its OKLab hue that is nearest in CIEDE2000, found on a grid: no tile
that keeps its hues prints nearer, whatever it does with its gradients.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from benchmarks.planted import tile
from palette.arrays import Floats
from palette.choose import ColourBins, bins_of
from palette.press import Press, open_press
from palette.proof import prints_from_screen
from palette.space import de2000, from_polar, lab_to_oklab, oklab_to_lab, to_polar
from palette.surfaces import SURFACES
from patterns.artwork import open_artwork

NEON = ((255, 0, 170), (0, 255, 120), (255, 240, 0), (0, 200, 255))
PASTEL = ((249, 224, 255), (217, 242, 230), (223, 243, 253), (255, 244, 214), (255, 224, 236))
SAMPLE = Path(__file__).parents[1] / "samples" / "allotment" / "faulty" / "neon.png"
MOST_COLOURS = 600  # the largest; they are 98 % of both tiles and more


def best_of_hue(bins: ColourBins, press: Press) -> float:
    """Return the mean over the area of each colour's distance to the nearest of its hue."""
    order = np.argsort(-bins.weight, kind="stable")[:MOST_COLOURS]
    light, chroma = np.meshgrid(np.linspace(3.0, 99.0, 97), np.linspace(0.0, 33.0, 67))
    grid = np.stack([light.ravel(), chroma.ravel(), np.zeros(light.size)], axis=1)
    hues = to_polar(lab_to_oklab(bins.lab[order]))[:, 2]
    least = []
    for lab, hue in zip(bins.lab[order], hues, strict=True):
        grid[:, 2] = hue
        printable = grid[press.gamut.holds(grid)]
        least.append(float(de2000(lab, oklab_to_lab(from_polar(printable))).min()))
    weight: Floats = bins.weight[order] / bins.weight[order].sum()
    return float(weight @ np.array(least))


def main() -> None:
    paths = [Path(word) for word in sys.argv[1:]]
    tiles = {path.name: open_artwork(path).pixels for path in paths or [SAMPLE]}
    if not paths:
        random = np.random.default_rng(12)
        tiles["four neon colours"] = tile(random, np.array(NEON, dtype=np.uint8), 600)
        tiles["five pastels"] = tile(random, np.array(PASTEL, dtype=np.uint8), 600)
    print("mean CIEDE2000 from the screen's colours, over the area")
    for surface in SURFACES:
        press = open_press(surface)
        for name, pixels in tiles.items():
            bins = bins_of(pixels)
            plain, repaired = prints_from_screen(bins, press)
            _, kept = prints_from_screen(bins, press, keep_hue=True)
            print(
                f"  {surface}, {name}: plain print {plain:.1f}, repaired {repaired:.1f},"
                f" with its hues kept {kept:.1f}, at best {best_of_hue(bins, press):.1f}"
            )


if __name__ == "__main__":
    main()
