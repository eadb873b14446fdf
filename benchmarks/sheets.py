"""How many sheets do kits take: rows and packing against the area bound and the rectpack library.

Run: ``python -m benchmarks.sheets [--thirty]``. 25 random kits of seven sticker sizes on Letter
with 10 mm margins, at gaps of 2 and 3 mm; ratios are to the bound by area, which no arrangement can
beat.
``--thirty`` instead sets 40 kits against the best of thirty settings of rectpack, kit by kit.
"""

from __future__ import annotations

import math
import random
import sys
import time
from itertools import product

from kit.layout.ground import Item
from kit.layout.packing import pack
from kit.layout.rows import rows
from kit.shapes import Rect

USABLE = Rect(10.0, 10.0, 195.9, 259.4)
SIZES = [
    (44.0, 46.0),
    (44.0, 23.0),
    (7.33, 46.0),
    (44.0, 11.5),
    (22.0, 22.0),
    (88.0, 23.0),
    (25.4, 50.8),
]


def random_kit(seed: int) -> list[Item]:
    source = random.Random(seed)
    chosen = source.sample(SIZES, source.randint(3, 6))
    return [
        Item(*size, row) for row, size in enumerate(chosen) for _ in range(source.randint(8, 25))
    ]


def rectpack_sheets(items: list[Item], gap: float, *, at_least: int = 0) -> int:
    """Sheets by rectpack: maximal rectangles, best short side fit, in hundredths of a mm.

    With ``at_least``, a bound, the best of thirty settings instead, until one meets the bound.
    """
    import rectpack

    settings = [(rectpack.MaxRectsBssf, rectpack.SORT_AREA, False)]
    if at_least:
        algos = ("MaxRectsBssf", "MaxRectsBl", "MaxRectsBaf", "MaxRectsBlsf", "SkylineBl")
        sorts = (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE)
        settings = list(product((getattr(rectpack, name) for name in algos), sorts, (False, True)))
    best: int | None = None
    for algo, order, turns in settings:
        packer = rectpack.newPacker(
            mode=rectpack.PackingMode.Offline, pack_algo=algo, sort_algo=order, rotation=turns
        )
        for item in items:
            packer.add_rect(*(math.ceil((v + gap) * 100) for v in (item.width_mm, item.height_mm)))
        size = (int((USABLE.width_mm + gap) * 100), int((USABLE.height_mm + gap) * 100))
        packer.add_bin(*size, count=float("inf"))
        packer.pack()
        best = len(packer) if best is None else min(best, len(packer))
        if best <= at_least:
            break
    assert best is not None
    return best


def against_thirty() -> None:
    """Print the sheets of our packing and of the best of rectpack's settings, kit by kit."""
    worse, slowest = 0, 0.0
    for gap in (2.0, 3.0):
        ours = theirs = 0
        for kit in map(random_kit, range(40)):
            start = time.process_time()
            layout = pack(kit, USABLE, gap)
            slowest = max(slowest, time.process_time() - start)
            best = rectpack_sheets(kit, gap, at_least=layout.sheets_at_least)
            ours, theirs = ours + len(layout.sheets), theirs + best
            worse += len(layout.sheets) > best
        print(f"gap {gap}: pack {ours}, best of thirty {theirs}")
    print(f"kits with more sheets than the best of thirty: {worse} of 80")
    print(f"slowest kit: {slowest * 1e3:.0f} ms of processor time")


def main() -> None:
    if "--thirty" in sys.argv[1:]:
        against_thirty()
        return
    kits = [random_kit(seed) for seed in range(25)]
    print("gap   method    sheets  / bound  proven  slowest ms")
    for gap in (2.0, 3.0):
        bound = sum(rows(kit, USABLE, gap).sheets_at_least for kit in kits)
        for name, lay in (("rows", rows), ("pack", pack)):
            made, slowest = [], 0.0
            for kit in kits:
                start = time.perf_counter()
                made.append(lay(kit, USABLE, gap))
                slowest = max(slowest, time.perf_counter() - start)
            total, proven = sum(len(m.sheets) for m in made), sum(m.proven_fewest for m in made)
            figures = f"{total:6}  {total / bound:7.3f}  {proven:3}/25  {slowest * 1e3:.1f}"
            print(f"{gap}   {name:9} {figures}")
        total = sum(rectpack_sheets(kit, gap) for kit in kits)
        print(f"{gap}   rectpack  {total:6}  {total / bound:7.3f}")


if __name__ == "__main__":
    main()
