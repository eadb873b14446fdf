"""How large should this pattern be printed, so that a sticker shows what was drawn?

In: a tile, a sticker's size in millimetres (the half box serves for a whole kit) and the sheet's
dpi. Out: a repeat in millimetres, how far it may be enlarged where lines would be too thin, and the
three sizes to choose from.

A surface (a wash, a texture, a photograph: ``patterns.motifs.motif``) has nothing that could be too
large: it is as large as it stays crisp, up to some boxes, and so at least as wide as the box where
its pixels suffice. Of motifs the largest are looked at: three of them stand across the sticker's
shorter side, or two, or one tile across its width, where what is drawn inside them would get too
small to see. What is drawn there is known by the mean spatial frequency of the tile. All bounds
grow in proportion to the sticker, so that a slightly larger box changes a repeat slightly.

Common practice, no published source: three to five motifs across are read as a pattern, one as
a picture, ten as a texture. The size of detail is chosen by looking at drawn tiles. Not done here:
measuring motifs (``patterns.motifs.motif``), lines that a press cannot hold (``palette.proof``).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from palette.arrays import Pixels
from patterns.motifs.motif import measure_motifs
from patterns.units import MM_PER_INCH

ACROSS = 3.0  # of the largest motifs, across the sticker's shorter side
FEWEST_ACROSS = 2.0  # where they are rich in detail
FEWEST_FOR_LINES = 1.25  # where lines would not hold
DETAILS_ACROSS = 6.5  # mean wavelengths of what is drawn, the most across the shorter side
RULED_ACROSS = 13.0  # of ruled artwork
MOST_BOXES = 5.0  # of a surface: larger, a sticker shows but one tone of it
SMALLER, LARGER = 0.7, 1.4  # the sizes beside the one chosen


@dataclass(frozen=True, slots=True)
class RepeatChoice:
    """One repeat to choose.

    Attributes:
        repeat_mm: width of one tile on paper.
        motifs_across: of the largest motifs, across the shorter side of the sticker at that repeat;
            0 where the tile has none.
        motif_mm: size of such a motif on paper; 0 where the tile has none.
        effective_dpi: tile pixels to the inch at that repeat.
    """

    repeat_mm: float
    motifs_across: float
    motif_mm: float
    effective_dpi: float


@dataclass(frozen=True, slots=True)
class AutoRepeat:
    """The repeat chosen for a tile.

    Attributes:
        chosen: the repeat that suits the sticker.
        suits_mm: the repeat that would suit it, had the tile the pixels for it.
        most_mm: as large as it may be made for lines that are too thin; crisp still.
        crisp_mm: the largest repeat with the dpi asked for.
    """

    chosen: RepeatChoice
    suits_mm: float
    most_mm: float
    crisp_mm: float

    @property
    def repeat_mm(self) -> float:
        """Width of one tile on paper."""
        return self.chosen.repeat_mm

    @property
    def considered(self) -> tuple[RepeatChoice, RepeatChoice, RepeatChoice]:
        """A larger one, the one chosen and a smaller one; none larger than is crisp."""
        larger = self.at(min(LARGER * self.repeat_mm, max(self.crisp_mm, self.repeat_mm)))
        return larger.chosen, self.chosen, self.at(SMALLER * self.repeat_mm).chosen

    def at(self, repeat_mm: float) -> AutoRepeat:
        """Return the same with another repeat chosen."""
        scale = repeat_mm / self.chosen.repeat_mm
        chosen = RepeatChoice(
            repeat_mm,
            self.chosen.motifs_across / scale,
            self.chosen.motif_mm * scale,
            self.chosen.effective_dpi / scale,
        )
        return replace(self, chosen=chosen)


def auto_repeat(
    pixels: Pixels, sticker_width_mm: float, sticker_height_mm: float, dpi: float
) -> AutoRepeat:
    """Choose a repeat by the size of the tile's largest motifs, and by what is drawn in them.

    Args:
        pixels: (height, width, 3) sRGB uint8, one tile.
        sticker_width_mm: width of the sticker it should suit.
        sticker_height_mm: its height.
        dpi: the least effective resolution; the repeat chosen never has less.
    """
    width_px = int(pixels.shape[1])
    size = measure_motifs(pixels)
    side_mm = min(sticker_width_mm, sticker_height_mm)
    crisp_mm = width_px * MM_PER_INCH / dpi
    if size.count:

        def repeat_of(motifs_across: float) -> float:
            return width_px * side_mm / motifs_across / size.spacing_px

        details_across = RULED_ACROSS if size.is_ruled else DETAILS_ACROSS
        detailed_mm = width_px * side_mm / details_across / size.detail_px
        most_for_detail_mm = max(repeat_of(FEWEST_ACROSS), sticker_width_mm)
        suits_mm = max(repeat_of(ACROSS), min(detailed_mm, most_for_detail_mm))
        most_mm = max(suits_mm, repeat_of(FEWEST_FOR_LINES), sticker_width_mm)
    else:
        suits_mm = most_mm = MOST_BOXES * sticker_width_mm
    repeat_mm = min(suits_mm, crisp_mm)
    mm_a_px = repeat_mm / width_px
    chosen = RepeatChoice(
        repeat_mm,
        side_mm / (size.spacing_px * mm_a_px) if size.count else 0.0,
        size.motif_px * mm_a_px,
        MM_PER_INCH / mm_a_px,
    )
    return AutoRepeat(chosen, suits_mm, min(most_mm, crisp_mm), crisp_mm)
