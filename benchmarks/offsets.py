"""How much cleaner are the edges for choosing offsets: against the mean of all offsets.

Run: ``python -m benchmarks.offsets``. Procedural tiles 60 mm wide; the ratio is motif on the edge
over its mean at random offsets (1 is chance), the distance that of the two most alike of four.
"""

from __future__ import annotations

import time

import numpy as np

from kit.fills.field import Field, periodic_field
from kit.fills.offsets import Edges, choose_offsets
from kit.shapes import Rect, rounded_rectangle

SIDE_MM, CELLS = 60.0, 480


def edges(width: float, height: float, border: float = 0.0) -> Edges:
    box = Rect(0.0, 0.0, width, height)
    panels = (rounded_rectangle(box.grow(-border), 1.0),) if border else ()
    return Edges(rounded_rectangle(box, 1.5), panels)


STICKERS = {
    "full": edges(40.0, 52.0),
    "half": edges(40.0, 26.0),
    "strip": edges(6.67, 52.0),
    "framed": edges(40.0, 52.0, 4.0),
}


def tiles() -> dict[str, Field]:
    at = (np.arange(CELLS) + 0.5) * SIDE_MM / CELLS
    x, y = at[None, :], at[:, None]
    source = np.random.default_rng(8)
    scattered = np.zeros((CELLS, CELLS))
    for cx, cy, radius in source.uniform((0, 0, 2.5), (SIDE_MM, SIDE_MM, 5.0), (14, 3)):
        dx, dy = (np.mod(a - c + 30.0, SIDE_MM) - 30.0 for a, c in ((x, cx), (y, cy)))
        scattered[np.hypot(dx, dy) < radius] = 1.0
    dots = np.hypot((x + 7.5) % 15.0 - 7.5, (y + 7.5) % 15.0 - 7.5) < 4.0
    stripes = (x + y) % 10.0 < 4.0
    masks = {"dots": dots, "scattered": scattered, "stripes": stripes}
    return {name: periodic_field(mask, SIDE_MM, SIDE_MM) for name, mask in masks.items()}


def main() -> None:
    print(
        "tile       " + "".join(f"{name:>8}" for name in STICKERS) + "   four full: ratio, distance"
    )
    for name, field in tiles().items():
        one = [choose_offsets(field, field, [s], 0.0).cut_cost_ratio for s in STICKERS.values()]
        four = choose_offsets(field, field, [STICKERS["full"]] * 4)
        figures = "".join(f"{ratio:8.2f}" for ratio in one)
        print(f"{name:11}{figures}   {four.cut_cost_ratio:.2f}, {four.distance:.2f}")
    field = tiles()["scattered"]
    for count in (1, 12, 60):
        start = time.perf_counter()
        choose_offsets(field, field, [STICKERS["strip"]] * count)
        print(f"{count:3} stickers: {(time.perf_counter() - start) / count * 1e3:.1f} ms each")


if __name__ == "__main__":
    main()
