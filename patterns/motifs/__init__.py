"""What in a tile is motif, at which size does it suit a sticker, and is it the same artwork again?

In: pixels. Out: a mask of motifs, a repeat in millimetres, a fingerprint. Not done here: the repeat
inside a picture (``patterns.repeats``).
"""

from patterns.motifs.fingerprints import SAME, fingerprint, similarity_table
from patterns.motifs.motif import motif_mask
from patterns.motifs.repeat_choice import SMALLER, AutoRepeat, auto_repeat

__all__ = [
    "SAME",
    "SMALLER",
    "AutoRepeat",
    "auto_repeat",
    "fingerprint",
    "motif_mask",
    "similarity_table",
]
