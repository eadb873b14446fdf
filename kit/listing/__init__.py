"""Pictures for a shop's listing: the sheets on a planner's page, and the stickers apart.

In: a composed ``Kit`` and the planner's day box. Out: (rows, cols, 3) sRGB uint8, square. The page
is drawn here, from the day box alone, and is no real planner's. Not done here: files
(``kitloom.make``).
"""

from kit.listing.page import page_picture
from kit.listing.stickers import stickers_picture

__all__ = ["page_picture", "stickers_picture"]
