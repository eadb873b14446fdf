"""The errors a maker can cause and mend, as values with four parts.

They stand in ``palette`` because it is the package that every other one may import::

    KitloomError              what, where, why, remedy
    ├── ArtworkError          (patterns.errors) an image that cannot be used
    ├── ProfileError          a printer profile or chart that cannot be used
    ├── PaletteError          a palette, colour or colour-exchange file that cannot be used
    └── RecipeError           (kit.errors) a recipe or output folder that cannot be used

Faults *of the artwork* (a seam, a dull colour) are not errors: they are measurements, which the
front door turns into findings.
"""

from __future__ import annotations


class KitloomError(Exception):
    """An input that cannot be used, told in one line.

    Args:
        what: what is wrong, in a few words.
        where: the file, key or option it is about.
        why: why that stops the work; empty where ``what`` says it.
        remedy: what the maker can do about it.
    """

    def __init__(self, what: str, *, where: str, why: str = "", remedy: str) -> None:
        self.what = what
        self.where = where
        self.why = why
        self.remedy = remedy
        self.also: tuple[KitloomError, ...] = ()  # further faults of the same input
        super().__init__(self.line())

    def line(self) -> str:
        """Return the whole error as one line: where, what, why, how to mend."""
        reason = f" ({self.why})" if self.why else ""
        return " ".join(f"{self.where}: {self.what}{reason}. {self.remedy}".split())


class ProfileError(KitloomError):
    """A printer profile or a measured chart cannot be used."""


class PaletteError(KitloomError):
    """A palette, a colour or a colour-exchange file cannot be used."""
