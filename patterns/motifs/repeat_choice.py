"""How large should this pattern be printed? So that a few whole motifs stand across a sticker.

In: a tile, a sticker's size in millimetres (the half box serves for a whole kit) and the sheet's
dpi. Out: a repeat in millimetres, and the three that were considered: two, three and four motifs
across the sticker's shorter side. Three is taken where the artwork has the pixels for it; a
larger pattern never gets under the dpi asked for.

Common practice, no published source: three to five motifs across are read as a pattern, one as
a picture, ten as a texture. Not done here: measuring motifs (``patterns.motifs.motif``).
"""

from __future__ import annotations

from dataclasses import dataclass

from palette.arrays import Pixels
from patterns.motifs.motif import measure_motifs
from patterns.units import MM_PER_INCH

ACROSS = (3, 4, 2)  # motifs across, in the order of preference
LEAST_MOTIF_MM = 1.5  # smaller ones fill in on an inkjet's paper


@dataclass(frozen=True, slots=True)
class RepeatChoice:
    """One repeat that was considered.

    Attributes:
        repeat_mm: width of one tile on paper.
        motifs_across: motifs across the shorter side of the sticker at that repeat.
        motif_mm: size of a motif on paper; 0 where the tile has none.
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
        repeat_mm: width of one tile on paper.
        considered: two, three and four motifs across, the largest first, as they would be
            without regard to the dpi.
    """

    repeat_mm: float
    considered: tuple[RepeatChoice, RepeatChoice, RepeatChoice]


def auto_repeat(
    pixels: Pixels, sticker_width_mm: float, sticker_height_mm: float, dpi: float
) -> AutoRepeat:
    """Choose a repeat by the size of the tile's motifs.

    Args:
        pixels: (height, width, 3) sRGB uint8, one tile.
        sticker_width_mm: width of the sticker it should suit.
        sticker_height_mm: its height.
        dpi: the least effective resolution; the repeat chosen never has less.
    """
    width_px = int(pixels.shape[1])
    size = measure_motifs(pixels)
    side_mm = min(sticker_width_mm, sticker_height_mm)
    most_mm = width_px * MM_PER_INCH / dpi

    def choice(across: int) -> RepeatChoice:
        # a tile without motifs is a surface: one of it fills the side where three motifs would
        spacing_px = size.spacing_px if size.count else width_px / 3.0
        mm_a_px = side_mm / across / spacing_px
        repeat_mm = width_px * mm_a_px
        dpi_there = width_px * MM_PER_INCH / repeat_mm
        return RepeatChoice(repeat_mm, float(across), size.motif_px * mm_a_px, dpi_there)

    # a surface looks best large: the less often it comes back, the less it is seen to
    order = ACROSS if size.count else sorted(ACROSS)
    preferred = [choice(across) for across in order]
    fine = [
        each
        for each in preferred
        if each.repeat_mm <= most_mm and (size.count == 0 or each.motif_mm >= LEAST_MOTIF_MM)
    ]
    repeat_mm = min(fine[0].repeat_mm if fine else preferred[0].repeat_mm, most_mm)
    two, three, four = sorted(preferred, key=lambda each: each.motifs_across)
    return AutoRepeat(repeat_mm, (two, three, four))
