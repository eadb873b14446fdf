"""What an earlier run found out, taken over where nothing that it depends on has changed.

In: a recipe, and the folder of an earlier run. Out: its summary, and single verdicts, each under a
hash of all that went into it. Not done here: measuring anything.
"""

from kitloom.cache.keys import LIBRARIES, code_digest, inputs_digest, source_files
from kitloom.cache.kit_cache import LOCK_NAME, KitCache, with_seal
from kitloom.cache.verdicts import check_text

__all__ = [
    "LIBRARIES",
    "LOCK_NAME",
    "KitCache",
    "check_text",
    "code_digest",
    "inputs_digest",
    "source_files",
    "with_seal",
]
