"""A set of coordinates as files: seamless pictures, and the lines that a recipe draws them by.

In: ``Proposal``s. Out: bytes by name. A picture holds whole repeats in whole pixels, and its
resolution says how large they are: the same artwork for other programs. The lines draw the same
without any picture.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence

from kitloom.coordinates.proposals import Proposal
from kitloom.report import png_bytes
from patterns.units import MM_PER_INCH

LINES_NAME = "coordinates.toml"
DPI = 300.0
LEAST_MM = 30.0  # a picture's sides are at least so long, so that it can be judged by eye
_HEAD = """\
# Coordinates for your recipe: copy those that you like into it, between its patterns and its rows.
# A row names one like a pattern: fill = "{first}"
"""
_TABLE = """
[[coordinates]]                  # {weight}
name = {name}
kind = "{kind}"
{more}colours = [{colours}]{space}# {names}
size = "{size:g}mm"
"""
_SOURCE = "# the pattern that it is lifted from, as this recipe calls it"


def coordinate_files(proposals: Sequence[Proposal]) -> dict[str, bytes]:
    """Return a picture of each coordinate, and their recipe lines as ``LINES_NAME``."""
    files = {f"{one.name.replace(' ', '-')}.png": _picture(one) for one in proposals}
    return {**files, LINES_NAME: recipe_lines(proposals).encode()}


def recipe_lines(proposals: Sequence[Proposal]) -> str:
    """Return the lines of a recipe that draw these coordinates."""
    return _HEAD.format(first=proposals[0].name) + "".join(table_lines(one) for one in proposals)


def table_lines(one: Proposal, roles: Mapping[str, str] | None = None) -> str:
    """Return the table of a recipe that draws it, a blank line before it.

    Args:
        one: the coordinate.
        roles: by "#rrggbb", what the recipe's palette has that colour for: such a colour is named
            by its role, which holds for the next artwork too.
    """
    more = f'style = "{one.style}"\n' if one.style else ""
    more += f'sett = "{one.sett}"\n' if one.sett else ""
    if one.source:
        source = json.dumps(one.source)
        more += f"from = {source}{' ' * max(2, 26 - len(source))}{_SOURCE}\nmotif = {one.motif}\n"
    colours = ", ".join(f'"{(roles or {}).get(colour, colour)}"' for colour in one.colours)
    return _TABLE.format(
        weight=one.weight,
        name=json.dumps(one.name),
        kind=one.kind,
        more=more,
        colours=colours,
        space=" " * max(2, 21 - len(colours)),
        names=", ".join(one.colour_names),
        size=one.size_mm,
    )


def _picture(one: Proposal) -> bytes:
    coordinate = one.coordinate()
    sides_mm = coordinate.repeat_mm, coordinate.height_mm
    across, down = (math.ceil(LEAST_MM / side) for side in sides_mm)
    wide_mm, high_mm = across * sides_mm[0], down * sides_mm[1]
    wide_px, high_px = (max(1, round(mm * DPI / MM_PER_INCH)) for mm in (wide_mm, high_mm))
    pixels = coordinate.one_tile(high_px, wide_px, repeats=(across, down))
    dpi = wide_px * MM_PER_INCH / wide_mm, high_px * MM_PER_INCH / high_mm
    return png_bytes(pixels, dpi=dpi)
