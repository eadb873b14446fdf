"""How much shorter is the lifted blade's way than in the sheet's own order, and how soon found?

Usage: python -m benchmarks.cut_order

Twenty random sheets a size, stickers laid row by row as a layout lays them. The baseline is that
row order, each outline from its first vertex, from and to the sheet's corner. Printed: the mean and
the worst share of it, and the longest time, in one run.
"""

from __future__ import annotations

import random
import time

from kit.cut.order import cut_tour, travel_mm
from kit.shapes import Contour, Rect, rounded_rectangle

SIZES_MM = ((38.1, 48.26), (38.1, 24.13), (6.35, 48.26))  # full box, half box, checklist
SHEETS = 20


def in_rows(count: int, seed: int) -> list[Contour]:
    """Return stickers row by row, left to right, 3 mm apart."""
    chance = random.Random(seed)
    x = y = 10.0
    deepest, made = 0.0, []
    for width, height in sorted(chance.choices(SIZES_MM, k=count), reverse=True):
        if x + width > 205.9:
            x, y, deepest = 10.0, y + deepest + 3.0, 0.0
        made.append(rounded_rectangle(Rect(x, y, width, height), 1.5))
        x, deepest = x + width + 3.0, max(deepest, height)
    return made


def main() -> None:
    """Print the table."""
    print("stickers  row order mm  share mean  share worst  target  longest ms")
    for count in (27, 40, 60, 150):
        rows, shares, spent = [], [], []
        for seed in range(SHEETS):
            contours = in_rows(count, seed)
            start = time.perf_counter()
            tour = cut_tour(contours)
            spent.append(1e3 * (time.perf_counter() - start))
            rows.append(travel_mm(contours))
            shares.append(tour.travel_mm / rows[-1])
        print(
            f"{count:8d}  {sum(rows) / SHEETS:12.0f}  {sum(shares) / SHEETS:10.3f}  "
            f"{max(shares):11.3f}    0.70  {max(spent):10.1f}"
        )


if __name__ == "__main__":
    main()
