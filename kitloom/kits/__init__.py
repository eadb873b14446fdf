"""One kit, measured, judged and composed, before any file of it is written.

In: a ``Recipe``. Out: a ``Job`` with every measurement and decision, and the findings about them.
Not done here: the files (``kitloom.make``).
"""

from kitloom.kits.judged_kit import Job, lock_of, make_kit, press_words

__all__ = [
    "Job",
    "lock_of",
    "make_kit",
    "press_words",
]
