"""From a recipe to sheets: slots, fills, windows, layout and tolerance put together.

In: a ``Recipe``, patterns and a palette. Out: a ``Kit``; what its recipe must hold for its stickers
to stay as they are, other fills for some of them, and the lock that keeps its decisions for a later
run. Not done here: measuring artwork, or writing files.
"""

from kit.compose.dealing import deal_anew
from kit.compose.held import Holding, holding_of
from kit.compose.kit import Kit, Pattern, compose, scale_error
from kit.compose.lock import (
    FORMAT,
    Lock,
    LockedPattern,
    LockedSticker,
    lock_text,
    places_in_rows,
    read_lock,
    with_lock,
)
from kit.compose.own_places import Misplaced, misplaced_in_rows, without_misplaced
from kit.compose.placing import cut_style, print_scale

__all__ = [
    "FORMAT",
    "Holding",
    "Kit",
    "Lock",
    "LockedPattern",
    "LockedSticker",
    "Misplaced",
    "Pattern",
    "compose",
    "cut_style",
    "deal_anew",
    "holding_of",
    "lock_text",
    "misplaced_in_rows",
    "places_in_rows",
    "print_scale",
    "read_lock",
    "scale_error",
    "with_lock",
    "without_misplaced",
]
