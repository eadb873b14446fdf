"""Every area of ink on a kit's sheets that is not a pattern: plain colours, words, lines, drawings.

In: a recipe, the kit that was composed of it, and a press. Out: ``SheetInks``, each colour and each
drawing once with all its places; and an ``InkVerdict`` on them. Not done here: sentences about it
(``kitloom.findings``), and patterns, which are measured as tiles (``kitloom.measure``).
"""

from kitloom.inks.drawn_ink import DrawnInk, drawn_ink
from kitloom.inks.ink_verdict import InkVerdict, JudgedColour, JudgedDrawing, judge_inks
from kitloom.inks.sheet_inks import Drawing, InkPlace, SheetInks, Sticker, inks_on

__all__ = [
    "Drawing",
    "DrawnInk",
    "InkPlace",
    "InkVerdict",
    "JudgedColour",
    "JudgedDrawing",
    "SheetInks",
    "Sticker",
    "drawn_ink",
    "inks_on",
    "judge_inks",
]
