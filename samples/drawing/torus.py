"""Where motifs are stamped: a canvas whose edges are joined, so that motifs cross them.

The canvas is painted at several times the finished size and reduced by averaging whole blocks.
A block never reaches over an edge, so the reduction keeps the tile exactly seamless.
"""

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from .shapes import Drawing, Shape, extent, placed


class Torus:
    """A tile being painted, ``width`` by ``height`` pixels, joined straight or as half-drop."""

    def __init__(
        self, width: int, height: int, ground: str, over: int = 4, half_drop: bool = False
    ) -> None:
        self.width, self.height, self.over = width, height, over
        self.drop = height / 2 if half_drop else 0.0
        self.image = Image.new("RGB", (width * over, height * over), ground)
        self._pen = ImageDraw.Draw(self.image)

    def stamp(
        self,
        drawing: Drawing,
        x: float = 0,
        y: float = 0,
        turn: float = 0,
        *,
        scale: float = 1,
        flip: bool = False,
        wrap: bool = True,
    ) -> None:
        """Paint the drawing at (x, y) and at every place where the lattice repeats it."""
        here = placed(drawing, x, y, turn, scale=scale, flip=flip)
        left, top, right, bottom = extent(here)
        reach = range(-3, 4) if wrap else range(1)
        for i in reach:
            for j in reach:
                dx, dy = i * self.width, j * self.height + i * self.drop
                beside = left + dx >= self.width or right + dx <= 0
                if not beside and top + dy < self.height and bottom + dy > 0:
                    self._paint(here, np.array([dx, dy]))

    def _paint(self, drawing: Drawing, shift: NDArray[np.float64]) -> None:
        for shape in drawing:
            points = (shape.points + shift) * self.over
            if shape.widths is None:
                self._pen.polygon([tuple(p) for p in points], fill=shape.colour)
            else:
                self._stroke(Shape(points, shape.colour, shape.widths * self.over / 2))

    def _stroke(self, stroke: Shape) -> None:
        assert stroke.widths is not None
        points, radii = stroke.points, np.maximum(stroke.widths, 0.6)
        step = np.diff(points, axis=0)
        length = np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-9)
        across = np.column_stack([-step[:, 1], step[:, 0]]) / length[:, None]
        for n, normal in enumerate(across):
            a, b = normal * radii[n], normal * radii[n + 1]
            quad = (points[n] + a, points[n + 1] + b, points[n + 1] - b, points[n] - a)
            self._pen.polygon([tuple(p) for p in quad], fill=stroke.colour)
        for (x, y), r in zip(points, radii, strict=True):
            self._pen.ellipse((x - r, y - r, x + r, y + r), fill=stroke.colour)

    def finished(self) -> Image.Image:
        """The tile at its finished size."""
        return self.image.reduce(self.over)
