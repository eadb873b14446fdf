"""Where does each sticker lie on which sheet?

In: slots with their sizes, and the area that printer and cutter reach. Out: ``Spot``s, sheet by
sheet, and through cuts. Not done here: what fills a sticker (``kit.fills``).
"""

from kit.layout.arrangement import Advice, advice, arrange, lay_out, neighbours
from kit.layout.by_hand import check_places, misplaced, own_box, too_near
from kit.layout.ground import Item, Layout, Spot
from kit.layout.holding import check_offset, cut_move, held_at
from kit.layout.place import (
    LABEL_MM,
    check_fits,
    check_marks,
    check_reading,
    mark_keep_outs,
    mark_zones,
    ruler_box,
    ruler_down_box,
    ruler_down_mm,
    sticker_area,
    usable_area,
)
from kit.layout.rows import grid_at_end
from kit.layout.through_cut import (
    LEAST_BACKING_MM,
    check_gap,
    narrowest_backing_mm,
    through_cuts,
)

__all__ = [
    "LABEL_MM",
    "LEAST_BACKING_MM",
    "Advice",
    "Item",
    "Layout",
    "Spot",
    "advice",
    "arrange",
    "check_fits",
    "check_gap",
    "check_marks",
    "check_offset",
    "check_places",
    "check_reading",
    "cut_move",
    "grid_at_end",
    "held_at",
    "lay_out",
    "mark_keep_outs",
    "mark_zones",
    "misplaced",
    "narrowest_backing_mm",
    "neighbours",
    "own_box",
    "ruler_box",
    "ruler_down_box",
    "ruler_down_mm",
    "sticker_area",
    "through_cuts",
    "too_near",
    "usable_area",
]
