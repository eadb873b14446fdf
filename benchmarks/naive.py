"""The obvious script for the same job, as a baseline: every pixel through every library call.

Run ``python -m benchmarks.naive FOLDER OUT.pdf``. For each tile: Lab of every pixel (scikit-image),
k-means with six colours over every pixel (scikit-learn), the difference of its colours; for each
sticker a Lanczos resize to whole pixels and a paste; the sheet as a PDF by Pillow. It has no
verdicts on seams or print, no cut files and no report.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from PIL import Image
from skimage.color import deltaE_ciede2000, rgb2lab
from sklearn.cluster import KMeans


def main() -> None:
    paths = sorted(p for p in Path(sys.argv[1]).iterdir() if p.suffix in {".png", ".jpg"})[:12]
    sheet = Image.new("RGB", (2550, 3300), "white")
    for i, path in enumerate(paths):
        tile = Image.open(path).convert("RGB")
        lab = rgb2lab(np.asarray(tile)).reshape(-1, 3)
        centres = KMeans(6, n_init=1, random_state=0).fit(lab).cluster_centers_
        deltaE_ciede2000(centres[:, None], centres[None])
        for sticker in range(2):
            small = tile.resize((225, 225), Image.Resampling.LANCZOS)
            left, top = 100 + i % 4 * 600, 100 + (i // 4 * 2 + sticker) * 500
            for dy in (0, 225):
                for dx in (0, 225):
                    sheet.paste(small, (left + dx, top + dy))
    sheet.save(sys.argv[2], "PDF", resolution=300)


if __name__ == "__main__":
    main()
