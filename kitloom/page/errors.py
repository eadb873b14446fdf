"""What can be refused on the page, as errors with a remedy like all others."""

from __future__ import annotations

from palette.errors import KitloomError


class PageError(KitloomError):
    """A wish of the page that cannot be granted."""
