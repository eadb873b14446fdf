"""Is this a tile, or a picture of patterns: a collage, a framed scan, a mock-up, with a title?

In: pixels. Out: a ``Cover`` that says what it looks like and where, or nothing. Not done here:
photographs of rooms and crowded tables, words that are scattered over a tile as its motifs.
"""

from patterns.covers.layout import Cover, find_cover

__all__ = ["Cover", "find_cover"]
