"""The palette as CSS custom properties, to paste into a shop page or an invitation.

Each colour is given twice: as sRGB hex, and as ``lab()``, which CSS Color Module Level 4 defines
as CIELAB under D50, the Lab of this package. Read are custom properties whose whole value is a hex
colour of three or six digits; everything else in a style sheet is passed over.
"""

from __future__ import annotations

import re

from palette.choose import Palette
from palette.exchange.colour import NamedColour, check_count, decode, from_hex

_COMMENT = re.compile(r"/\*.*?(?:\*/|\Z)", re.DOTALL)
_COLOUR = re.compile(r"--([\w-]{1,200})\s*:\s*#([0-9a-fA-F]{6}|[0-9a-fA-F]{3})\s*(?=[;}]|\Z)")


def write(palette: Palette) -> bytes:
    """Return a style sheet with two custom properties for each colour, UTF-8."""
    lines = [":root {"]
    for swatch in palette.swatches:
        name = re.sub(r"[^a-z0-9]+", "-", swatch.name.lower()).strip("-") or "colour"
        lightness, a, b = swatch.lab
        lines.append(f"  --palette-{name}: {swatch.hex}; /* {swatch.role.value} */")
        lines.append(f"  --palette-{name}-lab: lab({lightness:.2f}% {a:.2f} {b:.2f});")
    return ("\n".join([*lines, "}"]) + "\n").encode()


def read(data: bytes, where: str) -> tuple[NamedColour, ...]:
    """Return the hex colours among a style sheet's custom properties, in their order.

    Raises:
        PaletteError: too large, no text, or no such colour in it.
    """
    properties = _COLOUR.findall(_COMMENT.sub(" ", decode(data, where)))
    return check_count((_colour(name, digits, where) for name, digits in properties), where)


def _colour(name: str, digits: str, where: str) -> NamedColour:
    words = name.strip("-").removeprefix("palette-").replace("-", " ") or "colour"
    six = digits if len(digits) == 6 else "".join(digit * 2 for digit in digits)
    return from_hex(words, f"#{six}", where)
