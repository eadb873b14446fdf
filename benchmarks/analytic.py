"""How far is the sampled plane from the pattern itself? Mean CIE76, 190 mm from the corner.

Patterns are formulas; the artwork is a tile of 240 px, each pixel the mean light of its own area,
and so is the truth for each printer pixel. Waves are named by their length in artwork pixels: two
such waves cross. Discs have edges two pixels wide. The baseline, in brackets, is what the obvious
script does: the tile made whole pixels with Pillow (bicubic, with area support), then repeated.

    python -m benchmarks.analytic
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from PIL import Image

from palette.arrays import Floats, Pixels
from palette.space import compand, linear, srgb_to_lab
from patterns.plane import Plane
from patterns.units import MM_PER_INCH

Pattern = Callable[[Floats, Floats], Floats]

TILE_PX, WINDOW_PX, FINE, DPI = 240, 100, 4, 300.0
RATIOS = (0.6, 0.75, 0.97, 1.1, 1.25, 1.6, 2.0, 2.7, 4.0)  # artwork pixels to a printer pixel
CORNER_MM = 190.0, 188.9


def waves(length_px: int) -> Pattern:
    many = TILE_PX // length_px

    def pattern(u: Floats, v: Floats) -> Floats:
        one = np.sin(2.0 * np.pi * (many * u + v))[..., None] * np.array([0.2, 0.1, -0.2])
        other = np.cos(2.0 * np.pi * (many * v - 2.0 * u))[..., None] * np.array([0.06, -0.2, 0.2])
        return np.asarray(0.5 + one + other)

    return pattern


def discs(u: Floats, v: Floats) -> Floats:
    random = np.random.default_rng(1)
    centres, radii = random.random((12, 2)), random.uniform(0.04, 0.12, 12)
    colours = random.random((13, 3))
    out = np.broadcast_to(colours[12], (*u.shape, 3)).copy()
    for (a, b), radius, colour in zip(centres, radii, colours, strict=False):
        away = np.hypot((u - a + 0.5) % 1.0 - 0.5, (v - b + 0.5) % 1.0 - 0.5)
        inside = 0.5 - 0.5 * np.tanh((away - radius) * TILE_PX)[..., None]
        out = out * (1.0 - inside) + colour * inside
    return out


def drawn(pattern: Pattern, corner: tuple[float, float], side: float, count: int) -> Pixels:
    """Return a square window of a pattern, each pixel the mean light of its own area."""
    many = count * FINE
    u, v = (start + (np.arange(many) + 0.5) * side / many for start in corner)
    light = linear(pattern(*np.meshgrid(u, v))).reshape(count, FINE, count, FINE, 3)
    return np.rint(255.0 * compand(light.mean(axis=(1, 3)))).astype(np.uint8)


def apart(pattern: Pattern, tile: Pixels, ratio: float) -> tuple[float, float]:
    """Return the mean CIE76 of the plane, and of the baseline."""
    repeat_mm, pixel_mm = TILE_PX / ratio * MM_PER_INCH / DPI, MM_PER_INCH / DPI
    corner = CORNER_MM[0] / repeat_mm, CORNER_MM[1] / repeat_mm
    truth = srgb_to_lab(drawn(pattern, corner, WINDOW_PX * pixel_mm / repeat_mm, WINDOW_PX))
    ours = Plane(tile, repeat_mm).sample(*CORNER_MM, 1, 1, DPI, shape=(WINDOW_PX, WINDOW_PX))
    whole = round(TILE_PX / ratio)
    small = Image.fromarray(tile).resize((whole, whole), Image.Resampling.BICUBIC)
    left, top = (round(start / pixel_mm) for start in CORNER_MM)
    rows, columns = (np.arange(first, first + WINDOW_PX) % whole for first in (top, left))
    naive = np.asarray(small)[rows[:, None], columns[None]]
    off = [np.linalg.norm(srgb_to_lab(each) - truth, axis=2).mean() for each in (ours, naive)]
    return float(off[0]), float(off[1])


def main() -> None:
    kinds = {f"waves, {length} px": waves(length) for length in (60, 24, 12, 8)}
    print(f"{'artwork px a printer px':24s}" + "".join(f"{ratio:12.2f}" for ratio in RATIOS))
    for name, pattern in {**kinds, "discs, soft edges": discs}.items():
        tile = drawn(pattern, (0.0, 0.0), 1.0, TILE_PX)
        found = [apart(pattern, tile, ratio) for ratio in RATIOS]
        cells = "".join(f"{ours:6.2f}({naive:4.1f})" for ours, naive in found)
        print(f"{name:24s}{cells}")


if __name__ == "__main__":
    main()
