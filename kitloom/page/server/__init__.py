"""The page's door and its addresses: who may ask, what is asked for, and serving it.

In: a folder and a port. Out: a running server on this machine, until it is interrupted.

Not done here: what any of the answers says (``views``) or changes (``edits``, ``work``).
"""

from kitloom.page.server.serving import serve

__all__ = [
    "serve",
]
