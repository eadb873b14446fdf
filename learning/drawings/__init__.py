"""Tiles of many hands, drawn here and seamless by construction; nothing of anybody's artwork.

In: a random generator and a scale. Out: (height, width, 3) sRGB uint8. ``plain`` and ``more`` are
learnt from; ``hands``, ``hands_ruled`` and ``hands_apart`` are not. Not done here: which drawing
stands for what (``learning.tiles``).
"""
