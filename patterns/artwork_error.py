"""The error for images that cannot be used; its base and the whole tree are in palette.errors."""

from __future__ import annotations

from palette.errors import KitloomError


class ArtworkError(KitloomError):
    """An image file cannot be opened, or cannot serve as pattern artwork."""
