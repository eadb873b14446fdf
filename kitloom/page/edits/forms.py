"""Read what was typed into the page's forms; what cannot be meant is refused with a remedy."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from kitloom.page.page_error import PageError
from kitloom.page.state import millimetres
from palette.errors import is_unshown
from patterns.units import LengthError, parse_length, parse_size, read_length

# the page's fields in which something is typed -> what the page calls them
LABELS = {
    "box-wide": "Day box of your planner, width",
    "box-high": "Day box of your planner, height",
    "paper-wide": "Paper, width",
    "paper-high": "Paper, height",
    "repeat": "Width of one repeat",
    "across": "Position in the pattern, across",
    "down": "Position in the pattern, down",
    "left": "Place on the sheet, from the left",
    "top": "Place on the sheet, from the top",
    "percent": "Size of the pattern",
    "turn": "Turned by",
    "count": "How many",
    "all-rows-new-count": "How many",
    "set-margin": "Margin",
    "set-gap": "Gap",
    "set-bleed": "Bleed",
    "set-shift": "A cut may miss by",
    "set-corner_radius": "Corner radius",
}
EMPTY = "is empty"
_BY = re.compile(r"\s*[xX×]\s*")
_EXAMPLES = 'Type "40", "40 mm" or "1.6in".'


class Form:
    """The fields of one form as texts."""

    def __init__(self, fields: Mapping[str, str]) -> None:
        """Take the fields by name."""
        self._fields = fields

    def text(self, key: str, *, longest: int = 120) -> str:
        """Return a field's text without space around it; empty where it is missing."""
        return self._fields.get(key, "").strip()[:longest]

    def raw(self, key: str) -> str:
        """Return a field's text as it was typed; empty where it is missing."""
        return self._fields.get(key, "")

    def words(self, key: str, where: str, longest: int) -> str:
        """Return a field's text as one line, which pasted lines become too.

        Raises:
            PageError: it is too long, or has a character that cannot be shown.
        """
        words = " ".join(self.raw(key).split())
        fault = "is too long" if len(words) > longest else ""
        if any(map(is_unshown, words)):
            fault = "has a character that cannot be shown"
        if fault:
            raise PageError(
                fault,
                where=where,
                remedy=f"Type it anew, in {longest} characters at most.",
                field=key,
                typed=words,
            )
        return words

    def has(self, key: str) -> bool:
        """Tell whether a field is there; a ticked box is, one left empty is not."""
        return key in self._fields

    def whole(self, key: str, least: int = 0, most: int = 10_000, *, field: str = "") -> int:
        """Return a whole number; ``field`` is its field on the page, if not called by the key.

        Raises:
            PageError: it is none, or out of range.
        """
        text = self.text(key)
        if not re.fullmatch(r"\d{1,6}", text) or not least <= int(text) <= most:
            what = f'"{text}" is not a whole number from {least} to {most}'
            raise _refusal(what if text else EMPTY, field or key, f"Type {least} to {most}.")
        return int(text)

    def length_mm(
        self, key: str, least_mm: float = 0.0, most_mm: float = 2000.0, *, field: str = ""
    ) -> float:
        """Return millimetres of "40", "40 mm", "1,6in" or "1.6 inch"; a bare number is millimetres.

        ``field`` is its field on the page, where that is not called by the key.

        Raises:
            PageError: no length, or out of range.
        """
        try:
            value = parse_length(self.text(key), bare="mm")
        except LengthError as error:
            remedy = error.remedy if "two ways" in error.what else _EXAMPLES
            what = error.what if self.text(key) else EMPTY
            raise _refusal(what, field or key, remedy) from None
        if not math.isfinite(value) or not least_mm <= value <= most_mm:
            what = f"{value:g} mm is not between {least_mm:g} and {most_mm:g} mm"
            slipped = "Is the decimal point or the unit wrong?" if 0 < value < least_mm else ""
            raise _refusal(what, field or key, slipped or "Type another length.")
        return value

    def length(
        self, key: str, least_mm: float = 0.0, most_mm: float = 2000.0, *, field: str = ""
    ) -> str:
        """Return a length as recipes write it: inches stay inches, all else is millimetres.

        Raises:
            PageError: no length, or out of range.
        """
        value = self.length_mm(key, least_mm, most_mm, field=field)
        number, unit = read_length(self.text(key))
        return f"{number}in" if unit == "in" else millimetres(value)

    def size(self, wide: str, high: str, least_mm: float, most_mm: float) -> str:
        """Return a width and a height as recipes write them, of two fields.

        A whole size in the first, such as "40 x 52 mm", is both.

        Raises:
            PageError: not two lengths, or one that is out of range.
        """
        parts = _BY.split(self.text(wide))
        if len(parts) == 2:
            try:
                parse_size(self.text(wide), bare="mm")
            except LengthError as error:
                raise _refusal(error.what, wide, _EXAMPLES) from None
            _, unit = read_length(parts[1])
            own = read_length(parts[0])[1]
            given = {wide: parts[0] if own else parts[0] + unit, high: parts[1]}
            return Form(given).size(wide, high, least_mm, most_mm)
        lengths = [self.length(one, least_mm, most_mm) for one in (wide, high)]
        return " x ".join(lengths)

    def colour(self, key: str) -> str:
        """Return a colour "#rrggbb".

        Raises:
            PageError: it is none.
        """
        text = self.text(key).lower()
        if not re.fullmatch(r"#[0-9a-f]{6}", text):
            raise PageError(f'"{text}" is not a colour', where=key, remedy='Write it "#3b5b7a".')
        return text

    def number(self, key: str, least: float, most: float) -> float:
        """Return a number.

        Raises:
            PageError: it is none, or out of range.
        """
        text = self.text(key)
        if not re.fullmatch(r"[+-]?\d{1,6}(\.\d{1,6})?", text) or not least <= float(text) <= most:
            what = f'"{text}" is not a number from {least:g} to {most:g}'
            raise _refusal(what if text else EMPTY, key, f"Type {least:g} to {most:g}.")
        return float(text)

    def share(self, key: str) -> float:
        """Return a number from 0 to 1, to a hundredth.

        Raises:
            PageError: it is none.
        """
        text = self.text(key)
        if not re.fullmatch(r"[01](\.\d{1,20})?|\.\d{1,20}", text) or not float(text) <= 1.0:
            raise PageError(f'"{text}" is not between 0 and 1', where=key, remedy="Try again.")
        return round(float(text), 2)


def _refusal(what: str, field: str, remedy: str) -> PageError:
    """An error that is beside its field and calls it as the page does."""
    label = LABELS.get(re.sub(r"-\d+$", "", field))
    return PageError(
        what, where=label or field, remedy=remedy, field=field if label is not None else ""
    )
