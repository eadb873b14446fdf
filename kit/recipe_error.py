"""The error for recipes and output folders; its base and the whole tree are in palette.errors."""

from __future__ import annotations

from palette.errors import KitloomError


class RecipeError(KitloomError):
    """A recipe cannot be read or cannot be made into a sheet."""
