"""Where scattered motifs go: each into the middle of the widest gap it fits, edges joined.

Works on a coarse map of what is taken. A motif's mask is slid over the whole torus at once
by circular correlation, for several turns of it, and the roomiest place without a collision wins.
Motifs of the same kind keep away from each other. Same seed, same picture.
"""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps
from scipy import fft, ndimage

from .shapes import Drawing, extent, placed, recoloured
from .torus import Torus

CELL_PX = 5


class Scatter:
    """A torus and the map of where its motifs already lie."""

    def __init__(self, torus: Torus, seed: int) -> None:
        self.torus = torus
        self.random = np.random.default_rng(seed)
        self.shape = torus.height // CELL_PX, torus.width // CELL_PX
        self.taken = np.zeros(self.shape, bool)
        self._outlines: dict[int, Image.Image] = {}
        self._kept: dict[int, Drawing] = {}  # alive, so that no two kinds ever share an id
        self.places: dict[int, list[tuple[float, float]]] = defaultdict(list)

    def put(
        self,
        drawing: Drawing,
        x: float,
        y: float,
        turn: float = 0,
        *,
        scale: float = 1,
        flip: bool = False,
        wrap: bool = True,
    ) -> None:
        """Stamp the drawing and mark its mask as taken."""
        self.torus.stamp(drawing, x, y, turn, scale=scale, flip=flip, wrap=wrap)
        self.taken |= self._mask_of(drawing, (x, y, turn), scale, flip)
        self._kept[id(drawing)] = drawing
        self.places[id(drawing)].append((x, y))

    def fill(
        self,
        drawings: Sequence[Drawing],
        count: int,
        gap: float,
        *,
        scale: tuple[float, float] = (1, 1),
        turns: Sequence[float] | None = None,
        flip: bool = True,
    ) -> None:
        """Put up to ``count`` drawings, in turn, ``gap`` pixels clear of all else."""
        done = misses = 0
        while done < count and misses < len(drawings):
            drawing = drawings[(done + misses) % len(drawings)]
            size = self.random.uniform(*scale)
            mirrored = bool(flip and self.random.random() < 0.5)
            free = self.random.uniform(0, 360, 6)
            place = self._roomiest(
                drawing, free if turns is None else turns, size, mirrored, gap=gap
            )
            if place is None:
                misses += 1
                continue
            self.put(drawing, *place, scale=size, flip=mirrored)
            done, misses = done + 1, 0

    def _roomiest(
        self, drawing: Drawing, turns: Sequence[float], size: float, mirrored: bool, *, gap: float
    ) -> tuple[float, float, float] | None:
        """Where, and how turned, the drawing fits with most room; None where it fits nowhere."""
        distance = self._distance()
        near = fft.rfft2((distance < gap).astype(np.float32))
        crowd = fft.rfft2(np.exp(-distance / (1.5 * gap)).astype(np.float32))
        kin = self._kinship(drawing)
        best, place = np.inf, None
        for turn in turns:
            mask = self._mask_of(drawing, (0, 0, turn), size, mirrored).astype(np.float32)
            spectrum = np.conj(fft.rfft2(mask))
            hits = fft.irfft2(near * spectrum, self.shape)
            cost = fft.irfft2(crowd * spectrum, self.shape) / mask.sum() + kin
            cost += self.random.random(self.shape) * 0.02
            cost[hits > 0.5] = np.inf
            row, column = np.unravel_index(np.argmin(cost), self.shape)
            if cost[row, column] < best:
                best = cost[row, column]
                place = (column * CELL_PX, row * CELL_PX, float(turn))
        return place

    def _kinship(self, drawing: Drawing) -> NDArray[np.float64]:
        y, x = np.mgrid[: self.shape[0], : self.shape[1]] * CELL_PX
        w, h = self.torus.width, self.torus.height
        reach = 0.25 * min(w, h)
        total = np.zeros(self.shape)
        for px, py in self.places[id(drawing)]:
            dx, dy = (x - px + w / 2) % w - w / 2, (y - py + h / 2) % h - h / 2
            total += 0.6 * np.exp(-(dx**2 + dy**2) / reach**2)
        return total

    def _distance(self) -> NDArray[np.float64]:
        """How far each cell is from what is taken, in pixels, across the joined edges too."""
        if not self.taken.any():
            return np.full(self.shape, 1e4)
        pad = 60
        wide = np.pad(~self.taken, pad, mode="wrap")
        return ndimage.distance_transform_edt(wide)[pad:-pad, pad:-pad] * CELL_PX

    def _mask_of(
        self, drawing: Drawing, place: tuple[float, float, float], size: float, mirrored: bool
    ) -> NDArray[np.bool_]:
        """Which cells the drawing covers, wrapped round the torus."""
        x, y, turn = place
        outline = self._outline(drawing)
        if mirrored:
            outline = ImageOps.mirror(outline)
        side = max(1, round(outline.width * size))
        cells = np.asarray(outline.resize((side, side)).rotate(-turn)) > 100
        rows, columns = np.nonzero(cells)
        covered = np.zeros(self.shape, bool)
        rows = (rows + round(y / CELL_PX - side / 2)) % self.shape[0]
        covered[rows, (columns + round(x / CELL_PX - side / 2)) % self.shape[1]] = True
        return covered

    def _outline(self, drawing: Drawing) -> Image.Image:
        """The upright mask on a coarse square with room to turn; painted once a drawing."""
        if id(drawing) not in self._outlines:
            reach = 1.5 * max(np.abs(extent(drawing))) / CELL_PX + 1
            side = 2 * int(np.ceil(reach))
            small = Torus(side, side, "#000000", over=1)
            coarse = placed(recoloured(drawing, "#ffffff"), side / 2, side / 2, scale=1 / CELL_PX)
            small.stamp(coarse, wrap=False)
            self._kept[id(drawing)] = drawing
            self._outlines[id(drawing)] = small.image.convert("L")
        return self._outlines[id(drawing)]
