"""Read what was typed into the page's forms; what cannot be meant is refused with a remedy."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from kitloom.page.errors import PageError
from kitloom.page.recipe_text import millimetres
from patterns.units import LengthError, parse_length


class Form:
    """The fields of one form as texts."""

    def __init__(self, fields: Mapping[str, str]) -> None:
        """Take the fields by name."""
        self._fields = fields

    def text(self, key: str, *, longest: int = 120) -> str:
        """Return a field's text without space around it; empty where it is missing."""
        return self._fields.get(key, "").strip()[:longest]

    def has(self, key: str) -> bool:
        """Tell whether a field is there; a ticked box is, one left empty is not."""
        return key in self._fields

    def whole(self, key: str, least: int = 0, most: int = 10_000) -> int:
        """Return a whole number.

        Raises:
            PageError: it is none, or out of range.
        """
        text = self.text(key)
        if not re.fullmatch(r"\d{1,6}", text) or not least <= int(text) <= most:
            raise PageError(
                f'"{text}" is not a whole number from {least} to {most}',
                where=key,
                remedy="Type another number.",
            )
        return int(text)

    def length_mm(self, key: str, least_mm: float = 0.0, most_mm: float = 2000.0) -> float:
        """Return millimetres of "40", "40 mm" or "1.5in"; a bare number is millimetres.

        Raises:
            PageError: no length, or out of range.
        """
        text = self.text(key)
        try:
            value = parse_length(f"{text}mm" if re.fullmatch(r"[+-]?[\d.]+", text) else text)
        except LengthError as error:
            raise PageError(
                error.what, where=key, remedy='Type "40", "40 mm" or "1.5in".'
            ) from None
        if not math.isfinite(value) or not least_mm <= value <= most_mm:
            raise PageError(
                f"{value:g} mm is not between {least_mm:g} and {most_mm:g} mm",
                where=key,
                remedy="Type another length.",
            )
        return value

    def length(self, key: str, least_mm: float = 0.0, most_mm: float = 2000.0) -> str:
        """Return a length as recipes write it: inches stay inches, all else is millimetres."""
        value, text = self.length_mm(key, least_mm, most_mm), self.text(key)
        return text.replace(" ", "") if text.endswith("in") else millimetres(value)

    def colour(self, key: str) -> str:
        """Return a colour "#rrggbb".

        Raises:
            PageError: it is none.
        """
        text = self.text(key).lower()
        if not re.fullmatch(r"#[0-9a-f]{6}", text):
            raise PageError(f'"{text}" is not a colour', where=key, remedy='Write it "#3b5b7a".')
        return text

    def share(self, key: str) -> float:
        """Return a number from 0 to 1.

        Raises:
            PageError: it is none.
        """
        text = self.text(key)
        if not re.fullmatch(r"[01](\.\d{1,6})?|\.\d{1,6}", text) or not float(text) <= 1.0:
            raise PageError(f'"{text}" is not between 0 and 1', where=key, remedy="Try again.")
        return float(text)
