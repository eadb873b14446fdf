"""The palette as CSS custom properties, to paste into a shop page or an invitation.

Each colour is given twice: as sRGB hex, and as ``lab()``, which CSS Color Module Level 4 defines
as CIELAB under D50, the Lab of this package. Written only: a style sheet is no palette to read.
"""

from __future__ import annotations

import re

from palette.swatch import Palette


def write(palette: Palette) -> bytes:
    """Return a style sheet with two custom properties for each colour, UTF-8."""
    lines = [":root {"]
    for swatch in palette.swatches:
        name = re.sub(r"[^a-z0-9]+", "-", swatch.name.lower()).strip("-") or "colour"
        lightness, a, b = swatch.lab
        lines.append(f"  --palette-{name}: {swatch.hex}; /* {swatch.role.value} */")
        lines.append(f"  --palette-{name}-lab: lab({lightness:.2f}% {a:.2f} {b:.2f});")
    return ("\n".join([*lines, "}"]) + "\n").encode()
