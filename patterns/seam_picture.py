"""Show me the seam: the tile moved by half, so that its edges meet in the middle.

In: a tile, (height, width, 3) sRGB uint8, and its ``SeamCheck``. Out: one picture, (h, w, 3) sRGB
uint8: left, the repeat around the corner where four tiles meet, as the lattice places them, with
each fault ringed in dark teal and white; right, the worst place enlarged, pixel by pixel. Small
marks on the frame say where the joins run, so that nothing has to be drawn over clean artwork.

Not done here: judging (``patterns.seams``), words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from patterns.lattice import Lattice, lattice_named
from patterns.seams import SeamCheck

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageDraw import ImageDraw

Pixels = NDArray[np.uint8]

TEAL, WHITE, PAPER = (10, 78, 84), (255, 255, 255), (244, 242, 236)
MARGIN = 14
RINGS = 6  # faults ringed at most; more would hide the picture
INSET_TILE_PX = 48  # pixels of a small tile shown in the enlargement, each way


def seam_picture(pixels: Pixels, check: SeamCheck, *, side_px: int = 560) -> Pixels:
    """Return the picture of a verdict.

    Args:
        pixels: the tile, (height, width, 3) sRGB uint8.
        check: its verdict, which names the lattice.
        side_px: the longer side of the left panel; small tiles are enlarged, large ones reduced.

    Returns:
        (h, w, 3) sRGB uint8; without faults, the left panel alone.
    """
    from PIL import Image, ImageDraw

    plane = rolled(pixels, lattice_named(check.lattice))
    scale = side_px / max(plane.shape[:2])
    panel = _scaled(plane, scale)
    places = _places(pixels, check)
    draw = ImageDraw.Draw(panel)
    for place in reversed(places[: 2 * RINGS]):
        _ring(draw, place, scale)
    width = panel.width + 2 * MARGIN
    inset = _inset(plane, places[0].middle(places[0].look), panel.height) if places else None
    if inset is not None:
        width += inset.width + MARGIN
    sheet = Image.new("RGB", (width, panel.height + 2 * MARGIN), PAPER)
    sheet.paste(panel, (MARGIN, MARGIN))
    if inset is not None:
        sheet.paste(inset, (panel.width + 2 * MARGIN, MARGIN))
    _marks(ImageDraw.Draw(sheet), panel.width, panel.height)
    return np.asarray(sheet)


def rolled(pixels: Pixels, lattice: Lattice) -> Pixels:
    """Return the repeat from the middle of one tile to the middles of its neighbours."""
    height, width = pixels.shape[:2]
    y, x = np.arange(height) + height // 2, np.arange(width) + width // 2
    plane = np.empty_like(pixels)
    # four tiles meet in the picture; a block each, because one index a pixel would be large
    for row, tall in enumerate((slice(height - height // 2), slice(height - height // 2, height))):
        right = (x - round(row * lattice.slide * width)) % width
        for column, wide in enumerate(
            (slice(width - width // 2), slice(width - width // 2, width))
        ):
            down = (y - round(column * lattice.drop * height)) % height
            plane[tall, wide] = pixels.take(down[tall], axis=0).take(right[wide], axis=1)
    return plane


@dataclass(frozen=True, slots=True)
class _Place:
    """A stretch of a join in the rolled picture: along the edge from, to, and where to look."""

    axis: str
    start: float
    end: float
    across: float
    look: float
    weight: float

    def middle(self, along: float) -> tuple[float, float]:
        return (self.across, along) if self.axis == "x" else (along, self.across)


def _places(pixels: Pixels, check: SeamCheck) -> list[_Place]:
    """Return the stretches to ring, the worst first; one over the picture's border is two."""
    height, width = pixels.shape[:2]
    found = []
    for axis, result in (("x", check.x), ("y", check.y)):
        length, across = (height, width - width // 2)
        if axis == "y":
            length, across = width, height - height // 2
        shift = length // 2
        for fault in result.faults[:RINGS]:
            loudest = fault.from_px + int(np.argmax(result.strength[fault.from_px : fault.to_px]))
            look = (loudest - shift) % length
            weight = fault.shift_de2000 * (fault.to_px - fault.from_px) ** 0.5
            for first, last in _pieces(fault.from_px - shift, fault.to_px - shift, length):
                found.append(_Place(axis, first, last, across, look, weight))
    return sorted(found, key=lambda p: -p.weight)


def _pieces(first: int, last: int, length: int) -> list[tuple[int, int]]:
    if last - first >= length:
        return [(0, length)]
    if first < 0 < last:
        return [(first + length, length), (0, last)]
    return [(first % length, first % length + last - first)]


def _scaled(pixels: Pixels, scale: float) -> Image:
    from PIL import Image

    image = Image.fromarray(np.ascontiguousarray(pixels))
    size = (max(1, round(image.width * scale)), max(1, round(image.height * scale)))
    kind = Image.Resampling.BOX if scale < 1.0 else Image.Resampling.NEAREST
    return image.resize(size, kind)


def _ring(draw: ImageDraw, place: _Place, scale: float) -> None:
    """Draw a rounded ring round a stretch of the join: white without, dark teal within."""
    along = max(12.0, (place.end - place.start) * scale / 2.0 + 4.0)
    across = float(np.clip(along * 0.35, 10.0, 18.0))
    at = place.middle((place.start + place.end) / 2.0)
    half = (across, along) if place.axis == "x" else (along, across)
    for grow, colour, width in ((3.0, WHITE, 9), (0.0, TEAL, 3)):
        box = (
            at[0] * scale - half[0] - grow, at[1] * scale - half[1] - grow,
            at[0] * scale + half[0] + grow, at[1] * scale + half[1] + grow,
        )  # fmt: skip
        draw.rounded_rectangle(box, radius=across + grow, outline=colour, width=width)


def _inset(plane: Pixels, at: tuple[float, float], height_px: int) -> Image:
    """Return the surroundings of a place, enlarged by a whole factor, in a double frame."""
    from PIL import ImageDraw

    size = min(max(INSET_TILE_PX, max(plane.shape[:2]) // 12), *plane.shape[:2])
    left = int(np.clip(at[0] - size // 2, 0, plane.shape[1] - size))
    top = int(np.clip(at[1] - size // 2, 0, plane.shape[0] - size))
    factor = max(1, min(height_px, 400) // size)
    image = _scaled(plane[top : top + size, left : left + size], factor)
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 0, image.width - 1, image.height - 1), outline=TEAL, width=3)
    draw.rectangle((3, 3, image.width - 4, image.height - 4), outline=WHITE, width=2)
    return image


def _marks(draw: ImageDraw, width: int, height: int) -> None:
    """Draw short marks outside the frame where the joins run."""
    x, y = MARGIN + width / 2, MARGIN + height / 2
    far_x, far_y = MARGIN + width, MARGIN + height
    for mark in (
        ((x, 2), (x, MARGIN - 3)),
        ((x, far_y + 2), (x, far_y + MARGIN - 3)),
        ((2, y), (MARGIN - 3, y)),
        ((far_x + 2, y), (far_x + MARGIN - 3, y)),
    ):
        draw.line(mark, fill=TEAL, width=3)
