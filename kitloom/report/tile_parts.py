"""What the report shows of one pattern: its pictures, how it prints, and its edges.

In: a measured pattern and the press. Out: plain values with pictures as data URIs, for the
report's template.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from kitloom.findings import FILL_SHARE, PRINTS_TRUE
from kitloom.measure import UsedPattern
from kitloom.report.pictures import data_uri, draw_repeats, fair, jpeg_bytes
from kitloom.report.print_pictures import thin_ring, where_it_shifts
from palette.press import Press
from palette.proof import proof_pixels
from patterns.plane import release_memory
from patterns.seams import AxisCheck

TILE_PX = 460
FULL_SIZE_TILES = 40  # more share the same number of pixels
SIZES_DPI = 150.0
SIDES, ENDS = "left and right edge", "top and bottom edge"
LEAST_TOP = 0.05  # of a strip's height; lower, it looks blank
_JOINS = {True: "no seam shows", False: "a seam shows", None: "a join to look at"}


def tile_part(
    used: UsedPattern, press: Press, count: int, box_mm: tuple[float, float]
) -> dict[str, Any]:
    """Return what the report shows of one pattern; may run beside others.

    Args:
        used: the pattern.
        press: what it is judged for.
        count: how many patterns the report shows.
        box_mm: the planner's box.
    """
    from patterns.seams import seam_picture

    study, plane = used.study, used.plane
    art = study.artwork
    width_px = fair(TILE_PX, count, FULL_SIZE_TILES)
    shown = draw_repeats(art.pixels, study.lattice, width_px=width_px)
    doubtful = study.check.seamless is not True
    shifts = used.printed.share_out_of_gamut >= FILL_SHARE
    content = {
        "name": used.name,
        "file": art.path.name if art.path.stem != used.name else "",
        "picture": data_uri(jpeg_bytes(shown)),
        "printed_picture": data_uri(jpeg_bytes(proof_pixels(shown, press))) if shifts else "",
        "size": f"{art.width_px} × {art.height_px} px",
        "lattice": study.lattice.name,
        "repeat": f"{plane.repeat_mm:.1f} × {plane.height_mm:.1f} mm",
        "dpi": f"{plane.effective_dpi:.0f}",
        "printed": _printed(used),
        "print_size": _print_size(used, press) if shifts else [],
        "thin_picture": data_uri(jpeg_bytes(thin_ring(art.pixels, used.thin, TILE_PX)))
        if used.thin
        else "",
        "joins": _JOINS[study.check.seamless],
        "strips": [
            _strip(axis, label)
            for axis, label in ((study.check.x, SIDES), (study.check.y, ENDS))
            if axis.verdict != "seamless"
        ],
        "seam_picture": data_uri(jpeg_bytes(seam_picture(art.pixels, study.check)))
        if doubtful
        else "",
        "question": _question(used),
        "sizes": _sizes(used, box_mm),
    }
    release_memory(art.pixels)
    return content


def _question(used: UsedPattern) -> str:
    if used.accepted:
        return "You looked at it, and it is good."
    if used.study.check.seamless is not None:
        return ""
    return "Does the pattern go on at the ringed place as it does elsewhere?"


def _printed(used: UsedPattern) -> str:
    share = used.printed.share_out_of_gamut
    return PRINTS_TRUE if share < 0.005 else f"{share:.0%} of it prints duller"


def _print_size(used: UsedPattern, press: Press) -> list[dict[str, str]]:
    """One repeat as drawn, as it prints and where it shifts, to be shown at its true size."""
    plane = used.plane
    window = plane.sample(0.0, 0.0, plane.repeat_mm, plane.height_mm, SIZES_DPI)
    return [
        {
            "picture": data_uri(jpeg_bytes(pixels)),
            "width_mm": f"{plane.repeat_mm:g}",
            "label": label,
        }
        for label, pixels in (
            ("as drawn", window),
            ("as it prints", proof_pixels(window, press)),
            ("where it shifts", where_it_shifts(window, press)),
        )
    ]


def _sizes(used: UsedPattern, box_mm: tuple[float, float]) -> list[dict[str, Any]]:
    """A half box of each repeat that was considered, to be shown at its true size."""
    if used.sizes is None:
        return []
    width, height = box_mm[0], box_mm[1] / 2.0
    made = []
    for choice in used.sizes.considered:
        plane = replace(used.plane, repeat_mm=choice.repeat_mm)
        window = plane.sample(0.0, 0.0, width, height, SIZES_DPI)
        made.append(
            {
                "picture": data_uri(jpeg_bytes(window)),
                "width_mm": f"{width:g}",
                "repeat": f"{choice.repeat_mm:.1f} mm",
                "chosen": choice.repeat_mm == used.sizes.repeat_mm,
            }
        )
    return made


def _strip(axis: AxisCheck, label: str) -> dict[str, Any]:
    """How far the sides differ along the edge (full height is 20), and where that is a fault."""
    length = axis.strength.size
    pieces = np.array_split(np.asarray(axis.strength, dtype=np.float64), min(200, length))
    tops = [min(1.0, float(piece.max(initial=0.0)) / 20.0) for piece in pieces]
    step = 200.0 / len(tops)
    points = " ".join(
        f"L{i * step:.2f} {30 - 30 * top:.2f}L{(i + 1) * step:.2f} {30 - 30 * top:.2f}"
        for i, top in enumerate(tops)
    )
    return {
        "label": label,
        "verdict": axis.verdict,
        "shows": axis.verdict == "seam",
        "tells": bool(axis.faults) or max(tops, default=0.0) >= LEAST_TOP,
        "path": f"M0 30{points}L200 30Z",
        "faults": [
            {
                "x": round(200.0 * fault.from_px / length, 2),
                "width": round(max(1.0, 200.0 * (fault.to_px - fault.from_px) / length), 2),
            }
            for fault in axis.faults
        ],
    }
