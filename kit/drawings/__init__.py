"""Drawings made elsewhere: outlines from SVG, and icons with their transparency.

In: a file and the size that it shall have. Out: contours and pictures in millimetres. Not done
here: laying them on a sticker (``kit.stickers``).
"""

from kit.drawings.icon_file import Drawing, read_drawing
from kit.drawings.outline_file import read_outline

__all__ = [
    "Drawing",
    "read_drawing",
    "read_outline",
]
