"""In whose numbers is a kit's print drawn? sRGB, unless the recipe says: the printer's own.

In: a ``JudgedKit``. Out: ``PrinterNumbers`` for its pages, or None. Not done here: how colours get
to a printer's numbers (``palette.press``), files in them (``kit.writers``).
"""

from __future__ import annotations

from kit.render import PrinterNumbers
from kitloom.kits.judged_kit import JudgedKit
from palette.press import SendingPress


def printer_numbers(made: JudgedKit) -> PrinterNumbers | None:
    """Return whose own numbers the files to print are drawn in."""
    press = made.press
    if not made.recipe.press.convert or not isinstance(press, SendingPress):
        return None
    return PrinterNumbers(press.name, press.sent)
