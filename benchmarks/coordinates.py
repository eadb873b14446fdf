"""How quick is a coordinate, and how far is it from oversampling: each kind in a box of 40 x 52 mm.

Run: ``python -m benchmarks.coordinates``. The baseline is the plain way: draw it at 16 times the
resolution and average the light (here by kitloom's own drawing, a small piece of the box; its time
is taken times the whole). Milliseconds are the best of five.
"""

from __future__ import annotations

import time

import numpy as np

from palette.space import compand, linear
from patterns.coordinates import ALL_OVER, COORDINATE_KINDS, Coordinate, draw_figure

BOX_MM, DPI, TIMES, PIECE_PX = (40.0, 52.0), 300.0, 16, 48
INKS = ("#f6f0e2", "#1b2a33", "#c4503f", "#5c7854")
SETT = "A/24 C2 A4 C2 A4 B20 D3 B/8"


def cases() -> dict[str, Coordinate]:
    """Every kind in every style, in as many colours as it takes, and two of them turned."""
    made = {}
    for kind in (one for one in COORDINATE_KINDS.values() if one.name != ALL_OVER):
        for style in kind.styles or {"": None}:
            colours = 4 if kind.name == "tartan" else min(3, kind.most_colours)
            size = 20.0 if kind.name == "tartan" else 8.0
            figure = draw_figure(kind.name, size, colours, style, SETT)
            made[f"{style} {kind.name}".strip()] = Coordinate(figure, INKS[:colours])
    for name in ("gingham", "scallop"):
        made[f"{name} at 30 deg"] = Coordinate(made[name].figure, made[name].colours, 30.0)
    return made


def best_ms(work, runs: int = 5) -> float:
    """The shortest of some runs."""
    took = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        took.append(time.perf_counter() - start)
    return 1000.0 * min(took)


def main() -> None:
    """Print a line for each."""
    print(f"{'coordinate':24}{'ms':>8}{'16 times, ms':>14}{'off by':>8}")
    for name, one in cases().items():
        whole = best_ms(lambda one=one: one.sample(1.3, 2.7, *BOX_MM, DPI))
        shape = (PIECE_PX, PIECE_PX)
        fine_shape = (TIMES * PIECE_PX, TIMES * PIECE_PX)
        piece = one.sample(1.3, 2.7, 1.0, 1.0, DPI, shape=shape)
        start = time.perf_counter()
        fine = one.sample(1.3, 2.7, 1.0, 1.0, TIMES * DPI, shape=fine_shape)
        light = linear(fine / 255.0).reshape(PIECE_PX, TIMES, PIECE_PX, TIMES, 3).mean(axis=(1, 3))
        pixels = (BOX_MM[0] * DPI / 25.4) * (BOX_MM[1] * DPI / 25.4)
        plain = 1000.0 * (time.perf_counter() - start) * pixels / PIECE_PX**2
        off = float(np.abs(piece - 255.0 * compand(light)).max())
        print(f"{name:24}{whole:8.1f}{plain:14.0f}{off:8.2f}")


if __name__ == "__main__":
    main()
