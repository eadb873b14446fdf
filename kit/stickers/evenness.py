"""Stickers whose places are known: what is printed keeps as far from the cut as looks even.

In: slots, and for each how far the cut may miss its print at its place, in millimetres. Out: the
same slots with ``clear_mm``, wider borders where the recipe leaves them open, and words that fit
what is left. All stickers of a row look alike, so its worst place decides for them.

Not done here: the misses (``kit.compose``), or telling what does not hold (the findings).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from kit.kinds import LEAST_LIST_MM, least_border_mm, least_height_mm
from kit.letters import width_ems
from kit.recipe import Recipe, RowPart
from kit.registration import needed_border_mm
from kit.stickers.row_words import PANEL_MARGIN_MM
from kit.stickers.slots import SMALLEST_PANEL_MM, Slot, row_text_pt


def even_slots(
    recipe: Recipe, slots: Sequence[Slot], misses_mm: Sequence[float]
) -> tuple[Slot, ...]:
    """Return the slots as they look even.

    Args:
        recipe: what was asked for.
        slots: the kit's, in order.
        misses_mm: for each, the most that its cut may lie off its print.
    """
    worst: dict[int, float] = {}
    for slot, miss_mm in zip(slots, misses_mm, strict=True):
        worst[slot.row] = max(worst.get(slot.row, 0.0), miss_mm)
    return tuple(_even(recipe, slot, worst[slot.row]) for slot in slots)


def _even(recipe: Recipe, slot: Slot, miss_mm: float) -> Slot:
    # rows beyond the recipe's are those that top a sheet up
    row = recipe.rows[slot.row] if slot.row < len(recipe.rows) else None
    slot = replace(slot, clear_mm=needed_border_mm(miss_mm))
    if slot.panel is not None and (row is None or row.border is None):
        slot = replace(slot, border_mm=_border_mm(slot, row, miss_mm))
    if row is None or row.text_size is not None:
        return slot
    return replace(slot, text_pt=row_text_pt(recipe, slot, row))


def _border_mm(slot: Slot, row: RowPart | None, miss_mm: float) -> float:
    """Return the border in whole tenths, or as wide as panel and words leave it room."""
    wanted = math.ceil(least_border_mm(miss_mm) * 10.0 - 1e-6) / 10.0 + slot.frame_mm
    room = (min(slot.width_mm, slot.height_mm) - SMALLEST_PANEL_MM) / 2.0
    if row is not None and row.text_size is not None and row.words:
        words_mm = max(width_ems(one, slot.font) for one in row.words) * row.text_size
        room = min(room, (slot.width_mm - words_mm) / 2.0 - PANEL_MARGIN_MM)
    if slot.is_list:
        room = min(room, _list_border_mm(slot))
    return max(slot.border_mm, min(wanted, room))


def _list_border_mm(slot: Slot) -> float:
    """Return the widest border that leaves a list its room; below 0 where none does."""
    panel_mm = slot.height_mm - 2.0 * slot.border_mm
    title_mm = panel_mm - slot.room.high_mm
    high_mm = title_mm + least_height_mm(slot.checks or 1, slot.pitch_mm)
    return min(slot.width_mm - LEAST_LIST_MM, slot.height_mm - high_mm) / 2.0
