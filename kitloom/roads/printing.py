"""How to print a sheet so that its cut lines fit it: what to set, and what to look at.

Shown before the roads wherever a sheet is printed: on the page's last step, in print and cut, the
trial's text and the report. To add to it, add one sentence here, and make the docs again.
"""

from __future__ import annotations

PRINTING = (
    "Load single sheets, with the printable side as your tray wants it: print on a plain sheet "
    "with a pencil cross to find out. A sheet that ran in crooked or with another is spoilt.",
    "Choose in the driver the paper type that you loaded and the best quality: they set how much "
    "ink is laid down.",
    'Print at actual size, 100%. "Fit to page", "shrink to printable area" and borderless printing '
    "change the size, and the cut then misses.",
    "Let the driver or a profile manage colour, never both.",
    "Switch off mirrored printing (it is for transfers), both sides, and several pages to a sheet.",
    "Lay a steel ruler along the printed rulers before you print more. If they measure short or "
    "long, look for a scaling setting; if there is none, correct it in the recipe (ruler_reads, "
    "correct_scale).",
    "Where there are several sheets, each has its number beside a ruler: cut it with the lines of "
    "that number.",
)
