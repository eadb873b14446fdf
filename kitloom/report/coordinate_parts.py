"""What the report shows of each coordinate: a piece of it at print size, and what it is drawn from.

In: a judged kit. Out: plain values with pictures as data URIs, for the report's template.
"""

from __future__ import annotations

from typing import Any

from kit.recipe import CoordinatePart
from kitloom.kits import JudgedKit
from kitloom.report.pictures import data_uri, jpeg_bytes
from palette.proof import assess_colours, proof_pixels
from patterns.coordinates import Coordinate

SIDE_MM = 40.0
DPI = 200.0


def coordinate_parts(kit: JudgedKit) -> list[dict[str, Any]]:
    """Return what the report shows of a kit's coordinates, in the recipe's order."""
    parts = zip(kit.recipe.coordinates, kit.kit.coordinates.values(), strict=True)
    return [_part(part, one, kit) for part, one in parts]


def _part(part: CoordinatePart, one: Coordinate, kit: JudgedKit) -> dict[str, Any]:
    x, y = one.figure.centre_mm
    half = SIDE_MM / 2.0
    shifts = any(c.grade == "will shift" for c in assess_colours(one.colours, kit.press))
    shown = one.sample(x - half, y - half, SIDE_MM, SIDE_MM, DPI)
    return {
        "name": part.label,
        "what": f"{part.style} {part.kind}".strip(),
        "picture": data_uri(jpeg_bytes(shown)),
        "printed_picture": data_uri(jpeg_bytes(proof_pixels(shown, kit.press))) if shifts else "",
        "size": f"{one.repeat_mm:.4g} × {one.height_mm:.4g} mm",
        "colours": [
            {"hex": colour, "name": name if name != colour else ""}
            for colour, name in zip(one.colours, part.colours, strict=True)
        ],
    }
