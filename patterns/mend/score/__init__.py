"""Is there anything in a mended band that this artwork has nowhere else?

In: a band and the tile's own interior. Out: how strange each place of it is. Not done here: what is
done about it (``patterns.mend.axis``).
"""

from patterns.mend.score.interior import PLAIN, SHOWN, Interior, excess_de, join_excess_de
from patterns.mend.score.patch_index import ALONG

__all__ = [
    "ALONG",
    "PLAIN",
    "SHOWN",
    "Interior",
    "excess_de",
    "join_excess_de",
]
