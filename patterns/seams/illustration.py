"""Show me the seam: the tile moved so that its edges meet inside, the fault in the middle.

In: a tile, (height, width, 3) sRGB uint8, and its ``SeamCheck``. Out: one picture, (h, w, 3) sRGB
uint8: left, one repeat of the plane as the lattice places the tiles, cut where there is least to
see, with each fault ringed in dark teal and white; right, the worst place enlarged, pixel by
pixel. Small marks on the frame say where the joins run, so that nothing has to be drawn over clean
artwork.

Not done here: judging (``patterns.seams.check``), words.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.arrays import Pixels
from patterns.plane import Lattice, parse_lattice, reduce_to
from patterns.seams.values import SeamCheck

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageDraw import ImageDraw


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

    lattice = parse_lattice(check.lattice)
    view = _view(pixels, check, lattice)
    plane = roll_plane(pixels, lattice, view.top, view.left)
    scale = side_px / max(plane.shape[:2])
    panel = _scaled(plane, scale)
    places = _places(check, view)
    draw = ImageDraw.Draw(panel)
    for place in reversed(places[: 2 * RINGS]):
        _ring(draw, place, scale)
    width = panel.width + 2 * MARGIN
    inset = _inset(plane, places[0], panel.height) if places else None
    if inset is not None:
        width += inset.width + MARGIN
    sheet = Image.new("RGB", (width, panel.height + 2 * MARGIN), PAPER)
    sheet.paste(panel, (MARGIN, MARGIN))
    if inset is not None:
        sheet.paste(inset, (panel.width + 2 * MARGIN, MARGIN))
    _marks(ImageDraw.Draw(sheet), view, panel.width, panel.height)
    return np.asarray(sheet)


def roll_plane(
    pixels: Pixels, lattice: Lattice, top: int | None = None, left: int | None = None
) -> Pixels:
    """Return one repeat of the plane, from a row and a column of one tile to those of the next.

    Args:
        pixels: the tile, (height, width, 3) sRGB uint8.
        lattice: how the tiles sit beside each other.
        top: the first row shown, 0 up to the height; by default half of it.
        left: the first column shown, 0 up to the width; by default half of it.
    """
    height, width = pixels.shape[:2]
    top = height // 2 if top is None else top
    left = width // 2 if left is None else left
    y, x = np.arange(height) + top, np.arange(width) + left
    plane = np.empty_like(pixels)
    # four tiles meet in the picture; a block each, because one index a pixel would be large
    for row, tall in enumerate((slice(height - top), slice(height - top, height))):
        right = (x - round(row * lattice.slide * width)) % width
        for column, wide in enumerate((slice(width - left), slice(width - left, width))):
            down = (y - round(column * lattice.drop * height)) % height
            plane[tall, wide] = pixels.take(down[tall], axis=0).take(right[wide], axis=1)
    return plane


@dataclass(frozen=True, slots=True)
class _View:
    """What of the plane is shown: one tile's size, from this row and column on."""

    height: int
    width: int
    top: int
    left: int
    lattice: Lattice

    def join_x(self, row: int) -> int:
        """Return the column shown at which tiles meet left and right, in a row of tiles."""
        return (round(row * self.lattice.slide * self.width) - self.left) % self.width

    def join_y(self, column: int) -> int:
        """Return the row shown at which tiles meet above and below, in a column of tiles."""
        return (round(column * self.lattice.drop * self.height) - self.top) % self.height


def _view(pixels: Pixels, check: SeamCheck, lattice: Lattice) -> _View:
    """Return the view whose border runs where there is least to see."""
    height, width = pixels.shape[:2]
    down = [(fault.from_px, fault.to_px) for fault in check.x.faults[:RINGS]]
    along = [(fault.from_px, fault.to_px) for fault in check.y.faults[:RINGS]]
    joins_y = {0, round(lattice.drop * height)} if along or not down else set()
    joins_x = {0, round(lattice.slide * width)} if down or not along else set()
    return _View(
        height,
        width,
        _emptiest([*down, *((at, at) for at in joins_y)], height),
        _emptiest([*along, *((at, at) for at in joins_x)], width),
        lattice,
    )


def _emptiest(stretches: Sequence[tuple[int, int]], length: int) -> int:
    """Return the middle of the widest gap between stretches of a circle of so many pixels."""
    starts = sorted((first % length, last - first) for first, last in stretches)
    gaps, reach = [], 0
    for i, (first, long) in enumerate(starts):
        reach = max(reach, first + long)
        after = starts[i + 1][0] if i + 1 < len(starts) else starts[0][0] + length
        gaps.append((after - reach, reach))
    widest, start = max(gaps, key=lambda gap: gap[0])
    return (start + widest // 2) % length if widest > 0 else length // 2


@dataclass(frozen=True, slots=True)
class _Place:
    """A stretch of a join in the picture: along the edge from, to, and where it is loudest."""

    axis: str
    start: int
    end: int
    across: int
    loudest: int
    weight: float

    def at(self, along: float) -> tuple[float, float]:
        return (self.across, along) if self.axis == "x" else (along, self.across)


def _places(check: SeamCheck, view: _View) -> list[_Place]:
    """Return the stretches to ring, the worst first; one that is cut in the picture is two."""
    places = []
    for axis, result in (("x", check.x), ("y", check.y)):
        length, start = (view.height, view.top) if axis == "x" else (view.width, view.left)
        join = view.join_x if axis == "x" else view.join_y
        meet = length - start if join(0) != join(1) else length
        for fault in result.faults[:RINGS]:
            peak = fault.from_px + int(np.argmax(result.strength[fault.from_px : fault.to_px]))
            weight = fault.shift_de2000 * (fault.to_px - fault.from_px) ** 0.5
            first = (fault.from_px - start) % length
            last = first + min(fault.to_px - fault.from_px, length)
            for tile, begin, end in _pieces(first, last, meet, length):
                look = min(max((peak - start) % length, begin), end - 1)
                places.append(_Place(axis, begin, end, join(tile), look, weight))
    return sorted(places, key=lambda p: (-p.weight, p.start - p.end))


def _pieces(first: int, last: int, meet: int, length: int) -> list[tuple[int, int, int]]:
    """Cut a stretch at the picture's border and where the next tile begins: (tile, from, to)."""
    pieces = []
    for turn in (0, length):
        for tile, begin, end in ((0, 0, meet), (1, meet, length)):
            low, high = max(first - turn, begin), min(last - turn, end)
            if low < high:
                pieces.append((tile, low, high))
    return pieces


def _scaled(pixels: Pixels, scale: float) -> Image:
    from PIL import Image

    rows, columns = (max(1, round(side * scale)) for side in pixels.shape[:2])
    if scale < 1.0:
        return Image.fromarray(reduce_to(pixels, rows, columns))
    image = Image.fromarray(np.ascontiguousarray(pixels))
    return image.resize((columns, rows), Image.Resampling.NEAREST)


def _ring(draw: ImageDraw, place: _Place, scale: float) -> None:
    """Draw a rounded ring round a stretch of the join: white without, dark teal within."""
    along = max(12.0, (place.end - place.start) * scale / 2.0 + 4.0)
    across = float(np.clip(along * 0.35, 10.0, 18.0))
    at = place.at((place.start + place.end) / 2.0)
    half = (across, along) if place.axis == "x" else (along, across)
    for grow, colour, width in ((3.0, WHITE, 9), (0.0, TEAL, 3)):
        box = (
            at[0] * scale - half[0] - grow, at[1] * scale - half[1] - grow,
            at[0] * scale + half[0] + grow, at[1] * scale + half[1] + grow,
        )  # fmt: skip
        draw.rounded_rectangle(box, radius=across + grow, outline=colour, width=width)


def _inset(plane: Pixels, place: _Place, height_px: int) -> Image:
    """Return the surroundings of a place, enlarged by a whole factor, in a double frame.

    The whole stretch is shown where it is not long; of a long one its loudest part.
    """
    from PIL import ImageDraw

    longest = max(plane.shape[:2])
    least, most = max(INSET_TILE_PX, longest // 12), max(INSET_TILE_PX, longest // 3)
    ideal = round(1.3 * (place.end - place.start))
    size = min(max(least, ideal) if ideal <= most else least, *plane.shape[:2])
    at = place.at((place.start + place.end) / 2.0 if ideal <= most else place.loudest)
    left = int(np.clip(at[0] - size // 2, 0, plane.shape[1] - size))
    top = int(np.clip(at[1] - size // 2, 0, plane.shape[0] - size))
    factor = max(1, min(height_px, 400) // size)
    image = _scaled(plane[top : top + size, left : left + size], factor)
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 0, image.width - 1, image.height - 1), outline=TEAL, width=3)
    draw.rectangle((3, 3, image.width - 4, image.height - 4), outline=WHITE, width=2)
    return image


def _marks(draw: ImageDraw, view: _View, width: int, height: int) -> None:
    """Draw short marks outside the frame where the joins run."""
    above, below = (MARGIN + width * view.join_x(row) / view.width for row in (0, 1))
    before, beyond = (MARGIN + height * view.join_y(col) / view.height for col in (0, 1))
    far_x, far_y = MARGIN + width, MARGIN + height
    for mark in (
        ((above, 2), (above, MARGIN - 3)),
        ((below, far_y + 2), (below, far_y + MARGIN - 3)),
        ((2, before), (MARGIN - 3, before)),
        ((far_x + 2, beyond), (far_x + MARGIN - 3, beyond)),
    ):
        draw.line(mark, fill=TEAL, width=3)
