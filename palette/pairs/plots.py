"""How does the palette lie in colour space? A picture of it.

Inputs: a ``Palette`` and, where there is one, a press. Output: SVG as text, to be in a report:
a* to the right and b* upwards, the area of a dot in proportion to its share, and with a press the
outline of what it can print and where each colour goes.
"""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import numpy as np

from palette.arrays import Floats
from palette.choose import Palette, share_words

if TYPE_CHECKING:
    from palette.press import Press

_SIZE = 420.0
_REACH = 110.0  # a* and b* from -110 to 110
_INK, _SOFT, _LINE = "#2f3336", "#6b7175", "#dfe2e3"
_FONT = 'font-family="sans-serif"'


def lab_plane(palette: Palette, press: Press | None = None) -> str:
    """Return a picture of the palette on the a*, b* plane, 420 units square."""
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_SIZE:g} {_SIZE:g}" '
        f'role="img" aria-label="The palette on the a, b plane of CIELAB" {_FONT}>',
        f'<rect width="{_SIZE:g}" height="{_SIZE:g}" fill="#ffffff"/>',
        *_grid(),
    ]
    if press is not None:
        parts += _gamut(press)
        parts += _arrows(palette.labs, press.to_print(palette.labs)) if len(palette) else []
    parts += _dots(palette)
    return "\n".join([*parts, "</svg>"]) + "\n"


def _at(a: float, b: float) -> tuple[float, float]:
    unit = _SIZE / (2 * _REACH)
    return _SIZE / 2 + a * unit, _SIZE / 2 - b * unit


def _grid() -> list[str]:
    """Return circles of equal chroma with their figure, and the two axes."""
    x, y = _at(0, 0)
    lines = [
        f'<circle cx="{x:g}" cy="{y:g}" r="{_at(chroma, 0)[0] - x:.2f}" fill="none" '
        f'stroke="{_LINE}"/><text x="{_at(0, chroma)[0] + 3:.2f}" y="{_at(0, chroma)[1] - 3:.2f}" '
        f'font-size="9" fill="{_SOFT}">{chroma}</text>'
        for chroma in (25, 50, 75, 100)
    ]
    axes = f"M{x:g} 10V{_SIZE - 10:g}M10 {y:g}H{_SIZE - 10:g}"
    return [
        *lines,
        f'<path d="{axes}" stroke="{_LINE}" fill="none"/>',
        f'<text x="{_SIZE - 12:g}" y="{y - 5:g}" font-size="11" fill="{_SOFT}" '
        f'text-anchor="end">a* red</text>',
        f'<text x="{x - 8:g}" y="18" font-size="11" fill="{_SOFT}" '
        f'text-anchor="end">b* yellow</text>',
    ]


def _gamut(press: Press) -> list[str]:
    """Outline the chroma that the press reaches in each direction, at any lightness."""
    hues = np.radians(np.arange(0, 360, 5))
    lightness = np.arange(10, 100, 8)
    request = np.array(
        [(level, 128 * np.cos(h), 128 * np.sin(h)) for level in lightness for h in hues]
    )
    printed = press.to_print(request)
    chroma = np.hypot(printed[:, 1], printed[:, 2])
    hue = np.degrees(np.arctan2(printed[:, 2], printed[:, 1])) % 360
    sector = (hue // 10).astype(int)
    reach = np.array([chroma[sector == i].max(initial=0.0) for i in range(36)])
    corners = [
        _at(r * np.cos(np.radians(10 * i + 5)), r * np.sin(np.radians(10 * i + 5)))
        for i, r in enumerate(reach)
        if r > 0
    ]
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in corners) + "Z"
    return [
        f'<path d="{path}" fill="#157a80" fill-opacity="0.06" stroke="#157a80" '
        f'stroke-dasharray="4 3"><title>What {escape(press.name)} reaches</title></path>'
    ]


def _arrows(request: Floats, printed: Floats) -> list[str]:
    lines = []
    for one, other in zip(request, printed, strict=True):
        (x1, y1), (x2, y2) = _at(one[1], one[2]), _at(other[1], other[2])
        lines.append(
            f'<path d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}" stroke="{_INK}"/>'
            f'<circle cx="{x2:.1f}" cy="{y2:.1f}" r="2" fill="{_INK}"/>'
        )
    return lines


def _dots(palette: Palette) -> list[str]:
    """Return one dot a colour, the largest below, so that an accent is never hidden."""
    dots = []
    for one in sorted(palette.swatches, key=lambda swatch: -swatch.share):
        x, y = _at(one.lab[1], one.lab[2])
        radius = max(4.0, 30.0 * one.share**0.5)
        dots.append(
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="{one.hex}" '
            f'stroke="#ffffff" stroke-width="2.5"/>'
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius + 1.2:.1f}" fill="none" '
            f'stroke="{_SOFT}" stroke-width="0.6"><title>{escape(one.name)}, '
            f"{share_words(one.share)}</title></circle>"
        )
    return dots
