"""Which motifs of some artwork could an all-over be made of?

In: tiles, as a recipe calls them and has them repeat. Out: ``TileMotif``s: of each tile from which
motifs can be lifted, the first few, if they are round enough and drawn in more than one colour. Not
done here: which one of them is taken (``kitloom.coordinates.proposals``).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from kitloom.coordinates.artwork_scale import MOST_FILES
from kitloom.measure import Request, study_all
from palette.arrays import Floats
from palette.space import srgb_to_lab
from patterns.artwork import open_artwork
from patterns.artwork_error import ArtworkError
from patterns.lift import Motif, lift_motifs
from patterns.repeats import lattice_of

MOST_EACH = 5  # of a tile: its largest and most unlike
AFAR_PX = 20  # across a motif as small as in an all-over, where what is finer is not told apart
# Of the circle round a motif, what it covers: a stalk or a wreath leaves holes in a pattern (common
# practice, no published source).
LEAST_ROUND = 0.35
# CIELAB: how far its colours scatter. One of a single colour is a dot or a blob, and a coordinate
# has better ones (likewise).
LEAST_VARIED = 8.0
_SAMPLE = 2_000


@dataclass(frozen=True, eq=False)
class TileMotif:
    """A motif that could be laid on another ground.

    Attributes:
        tile: what a recipe calls its pattern.
        number: which one of that it is, from 1.
        motif: its pixels.
        ground: the sRGB values, 0 to 255, of the ground that it was lifted from.
    """

    tile: str
    number: int
    motif: Motif = field(repr=False)
    ground: tuple[float, float, float]

    @property
    def across_px(self) -> int:
        """Its longer side."""
        return int(max(self.motif.alpha.shape))

    @property
    def roundness(self) -> float:
        """Its share of the circle round it, 0 to 1."""
        return self.motif.area_px / (np.pi * (self.across_px / 2.0) ** 2)

    @property
    def busyness(self) -> float:
        """How far colours side by side in it differ on average from afar, CIELAB.

        A single flower has 2 to 8, a bunch of them 10 to 20.
        """
        from PIL import Image

        high, wide = self.motif.alpha.shape
        size = [max(1, round(side * AFAR_PX / self.across_px)) for side in (wide, high)]
        picture = Image.fromarray(self.motif.rgba).convert("RGBa")
        small = np.asarray(picture.resize((size[0], size[1]), Image.Resampling.BOX)) / 255.0
        cover = small[..., 3]
        labs = srgb_to_lab(np.minimum(small[..., :3] / np.maximum(cover, 1e-3)[..., None], 1.0))
        seen = cover >= 0.5
        down = np.linalg.norm(np.diff(labs, axis=0), axis=2)[seen[1:] & seen[:-1]]
        across = np.linalg.norm(np.diff(labs, axis=1), axis=2)[seen[:, 1:] & seen[:, :-1]]
        steps = np.concatenate([down, across])
        return float(steps.mean()) if steps.size else 0.0

    @property
    def is_drawn(self) -> bool:
        """Whether there is something in it: it has more than one colour."""
        labs = self.labs
        scatter = np.sqrt(((labs - labs.mean(axis=0)) ** 2).sum(axis=1).mean())
        return bool(scatter >= LEAST_VARIED)

    @property
    def labs(self) -> Floats:
        """Colours of it, evenly picked, (n, 3) CIELAB."""
        own = self.motif.colour[self.motif.alpha >= 128]
        return np.asarray(srgb_to_lab(own[:: max(1, len(own) // _SAMPLE)] / 255.0))

    @property
    def ground_lab(self) -> Floats:
        """The ground that it was lifted from, CIELAB."""
        return np.asarray(srgb_to_lab(np.array(self.ground) / 255.0))


def tile_motifs(requests: Sequence[Request]) -> tuple[TileMotif, ...]:
    """Return motifs of some artwork, evenly picked of much; files that cannot be used have none.

    Args:
        requests: each tile, its ``subject`` what a recipe calls it.
    """
    step = max(1, -(-len(requests) // MOST_FILES))
    found = study_all(requests[::step], _motifs_of, lambda: None)
    return tuple(one for motifs in found for one in motifs)


def _motifs_of(request: Request) -> tuple[TileMotif, ...]:
    try:
        artwork = open_artwork(request.path)
    except ArtworkError:
        return ()
    lattice = lattice_of(artwork.pixels, request.lattice)
    lift = lift_motifs(artwork.pixels, lattice, lossy=artwork.lossy, most=MOST_EACH)
    if lift.ground is None:
        return ()
    return tuple(_round_ones(request.subject, lift.motifs, lift.ground.colour))


def _round_ones(
    tile: str, motifs: Sequence[Motif], ground: tuple[float, float, float]
) -> Iterator[TileMotif]:
    for number, motif in enumerate(motifs, 1):
        one = TileMotif(tile, number, motif, ground)
        if one.roundness >= LEAST_ROUND and one.is_drawn:
            yield one
