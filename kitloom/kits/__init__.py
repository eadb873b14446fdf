"""One kit, measured, judged and composed, before any file of it is written.

In: a ``Recipe``. Out: a ``JudgedKit`` with every measurement and decision, and the findings; or
only the ink of its sheets, for a proof.
Not done here: the files (``kitloom.make``).
"""

from kitloom.kits.judged_kit import JudgedKit, choose_palette, make_kit
from kitloom.kits.plain_inks import plain_inks
from kitloom.kits.printers import printer_numbers
from kitloom.kits.record import lock_of
from kitloom.kits.request import KitRequest, PaletteRequest, press_opener, resolve
from kitloom.kits.worst_cut import CloseLook, WorstCut, worst_cuts

__all__ = [
    "CloseLook",
    "JudgedKit",
    "KitRequest",
    "PaletteRequest",
    "WorstCut",
    "choose_palette",
    "lock_of",
    "make_kit",
    "plain_inks",
    "press_opener",
    "printer_numbers",
    "resolve",
    "worst_cuts",
]
