"""What an earlier run found out, taken over where nothing that it depends on has changed.

In: a recipe, and the lock of an earlier run. Out: its answer, or single verdicts, each under a hash
of all that went into it. Not done here: measuring anything.
"""

from kitloom.cache.remembered import check_text, remembered
from kitloom.cache.unchanged import (
    LOCK_NAME,
    earlier_lock,
    inputs_digest,
    names_in,
    sealed,
    told_before,
)

__all__ = [
    "LOCK_NAME",
    "check_text",
    "earlier_lock",
    "inputs_digest",
    "names_in",
    "remembered",
    "sealed",
    "told_before",
]
