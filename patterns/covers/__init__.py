"""Is this a tile, or a picture that shows patterns: a collage, a framed scan, one with a title?

In: pixels. Out: a ``Cover`` that says what it looks like and where, or nothing. Not done here:
photographs of things that have a pattern, words that are scattered over a tile as its motifs.
"""

from patterns.covers.layout import Cover, find_cover

__all__ = ["Cover", "find_cover"]
