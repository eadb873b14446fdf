"""Drawings made elsewhere: outlines from SVG, and icons with their transparency.

In: a file and the size that it shall have. Out: contours and pictures in millimetres. Not done
here: laying them on a sticker (``kit.stickers``).
"""

from kit.drawings.icon_file import Drawing, drawing_of, read_drawing
from kit.drawings.outline_file import OwnOutline, read_outline

__all__ = [
    "Drawing",
    "OwnOutline",
    "drawing_of",
    "read_drawing",
    "read_outline",
]
