"""Can the artwork be changed so that it prints as it then looks? Colours drawn into the gamut.

In: sRGB pixels or CIELAB (D50) colours, and a ``Press``. Out: the same, changed so that printing
moves them little. Two maps do it, and neither knows anything of the picture: equal colours stay
equal, so a join stays a join, and a tile and a plain fill that matched still match.

- The press's own: the file gets the colours of its print. No map of a whole picture prints nearer
  to the old screen colours, and nothing is lost that printing would not take. A press whose prints
  would shift when printed again, as a driver that darkens everything makes them, has none.
- The hue-keeping one. Each colour moves along a straight line towards a grey of its own hue, at
  the lightness where that hue prints most vividly (lower for light hues, and at twice its own if
  that is darker). What lies within four fifths of the way to the edge of the gamut stays; what lies
  farther, out to the edge of sRGB, is pressed together to fit. Gradients stay smooth and different
  colours different; it never turns back. It prints farther from the old screen colours.

Source: the CUSP method, chroma dependent compression towards the lightness of the cusp, MacDonald
and Morovič 1995, as in CIE 156:2004, with a soft knee, here in OKLab. Not done here: choosing
whether to repair. Differences under about 1 in CIEDE2000 come from the table that pictures are
looked up in.
"""

from __future__ import annotations

from functools import cache, lru_cache

import numpy as np

from palette.arrays import Floats, Pixels
from palette.press import (
    AS_SEEN,
    CACHED_PRESSES,
    HUES,
    LEVELS,
    ColourCube,
    Gamut,
    Press,
    gamut_of,
    print_cube,
)
from palette.proof.assess import Bins
from palette.space import (
    de2000,
    from_polar,
    lab_to_oklab,
    lab_to_srgb,
    oklab_to_lab,
    srgb_to_lab,
    to_polar,
)

_KNEE = 0.8  # the share of the way to the edge that stays as it is
_EDGE = 0.97  # the edge that is aimed at: a press's own table falls a little short of its bound
_RISE = 2.0  # a dark colour is drawn to a grey of twice its lightness at most, so it stays dark
_HIGH, _ABOVE = 60.0, 0.3  # above this lightness a cusp counts for this share
_HALVINGS = 16
_PROBES = 9  # colours an axis of sRGB


def repair_pixels(pixels: Pixels, press: Press, *, keep_hue: bool = False) -> Pixels:
    """Return the picture, (height, width, 3) sRGB uint8, drawn into what the press can print."""
    return _cube(press, keep_hue).apply(pixels)


def repair_plain(rgb8: Pixels, press: Press, *, keep_hue: bool = False) -> Pixels:
    """Return plain colours, (n, 3) sRGB uint8, with the very bytes ``repair_pixels`` gives a tile.

    Drawn in by another road and rounded after it, one colour in twenty-five would land a byte off
    its own tile; a profile in 8 bits prints such a step as up to 1.2 in CIEDE2000.
    """
    if len(rgb8) == 0:
        return rgb8.copy()
    plain: Pixels = repair_pixels(rgb8[None], press, keep_hue=keep_hue)[0]
    return plain


def repair_colours(lab: Floats, press: Press, *, keep_hue: bool = False) -> Floats:
    """Return CIELAB (D50), (n, 3), drawn in by the same map, not rounded to 8 bits."""
    srgb = lab_to_srgb(np.asarray(lab, dtype=np.float64).reshape(-1, 3))
    return srgb_to_lab(_cube(press, keep_hue).look_up(srgb))


def prints_from_screen(bins: Bins, press: Press, *, keep_hue: bool = False) -> tuple[float, float]:
    """Return how far a tile's print lies from its own screen colours, plain and once repaired.

    Args:
        bins: the tile's colours as they are now.
        press: what prints.
        keep_hue: repaired by which map.

    Returns:
        two means over the area in CIEDE2000. With hues kept the second is often the larger: that
        map has to keep colours apart as well.
    """
    repaired = repair_colours(bins.lab, press, keep_hue=keep_hue)
    prints = press.to_print(bins.lab), press.to_print(repaired)
    off, drawn = (float(de2000(bins.lab, one) @ bins.weight) for one in prints)
    return off, drawn


@lru_cache(CACHED_PRESSES)
def prints_its_prints(press: Press) -> bool:
    """Return whether what a press prints would print as it is seen, for most colours of sRGB."""
    steps = np.linspace(0.0, 1.0, _PROBES)
    probes = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 3)
    return float(press.shift(press.to_print(srgb_to_lab(probes))).mean()) < AS_SEEN


def _cube(press: Press, keep_hue: bool) -> ColourCube:
    own = not keep_hue and prints_its_prints(press)
    return print_cube(press) if own else _hue_cube(press)


@lru_cache(CACHED_PRESSES)
def _hue_cube(press: Press) -> ColourCube:
    def answer(lab: Floats) -> Floats:
        polar = to_polar(lab_to_oklab(lab))
        return lab_to_srgb(oklab_to_lab(from_polar(draw_in(polar, press.gamut, screen_gamut()))))

    return ColourCube(answer)


@cache
def screen_gamut() -> Gamut:
    """Return the outer bound of sRGB, as of a press."""

    def oklab_of_shares(shares: Floats) -> Floats:
        return lab_to_oklab(srgb_to_lab(shares))

    return gamut_of(oklab_of_shares, channels=3)


def draw_in(lch: Floats, target: Gamut, source: Gamut) -> Floats:
    """Return (n, 3) lightness, chroma, hue of the source drawn into the target."""
    light, chroma, hue = lch.T
    focus = np.minimum(_focus(target, hue), _RISE * light)
    rise = light - focus
    reach = _way_to_edge(_without_notches(target), focus, rise, chroma, hue)
    # a colour of the source is inside it, whatever the rounding of its table says
    extent = np.maximum(_way_to_edge(source, focus, rise, chroma, hue), 1.0)
    share = _soft_knee(reach, extent)
    return np.stack([focus + share * rise, share * chroma, hue], axis=1)


def _focus(target: Gamut, hue: Floats) -> Floats:
    """Return the lightness of the grey that each hue is drawn towards.

    The cusp's, but less of it for light hues: yellow's lies so near white that a straight line to
    it leaves the gamut early, and yellow would turn to cream.
    """
    cusp = cusp_lightness(target, hue)
    return np.where(cusp > _HIGH, _HIGH + _ABOVE * (cusp - _HIGH), cusp)


def _without_notches(gamut: Gamut) -> Gamut:
    """Return the bound to aim at, narrowing steadily from its cusp: a line leaves it once."""
    chroma = _EDGE * gamut.chroma
    row = np.arange(LEVELS)[:, None]
    cusp = np.argmax(chroma, axis=0)
    below = np.where(row <= cusp, chroma, np.inf)
    above = np.where(row >= cusp, chroma, np.inf)
    below = np.minimum.accumulate(below[::-1], axis=0)[::-1]
    above = np.minimum.accumulate(above, axis=0)
    return Gamut(np.where(row <= cusp, below, above))


def _soft_knee(reach: Floats, extent: Floats) -> Floats:
    """Return the share of its way that a colour at 1 keeps, when ``extent`` must end at ``reach``.

    Straight up to the knee, then a hyperbola that leaves the knee at slope 1 and meets the edge.
    """
    knee = _KNEE * reach
    tight = (extent > reach) & (knee < 1.0)
    room = np.where(tight, reach - knee, 1.0)
    squeeze = np.where(tight, (extent - knee) / room, 1.0)
    at = np.where(tight, (1.0 - knee) / np.where(tight, extent - knee, 1.0), 0.0)
    pressed = knee + room * squeeze * at / (1.0 + (squeeze - 1.0) * at)
    return np.where(tight, pressed, 1.0)


def _way_to_edge(gamut: Gamut, focus: Floats, rise: Floats, chroma: Floats, hue: Floats) -> Floats:
    """Return how far, in lengths of focus to colour, each line stays inside; 64 at most."""
    low, high = np.zeros_like(focus), np.full_like(focus, 64.0)
    for _ in range(_HALVINGS + 6):
        middle = (low + high) / 2.0
        along = np.stack([focus + middle * rise, middle * chroma, hue], axis=1)
        inside = gamut.holds(along)
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return low


def cusp_lightness(gamut: Gamut, hue: Floats) -> Floats:
    """Return the lightness at which each hue prints most vividly, smoothed over the hues."""
    levels = np.linspace(0.0, 100.0, LEVELS)
    # a weighted mean in place of the single highest row: no step from hue to hue
    weight = (gamut.chroma / np.maximum(gamut.chroma.max(axis=0), 1e-9)) ** 16
    cusp = (levels[:, None] * weight).sum(axis=0) / np.maximum(weight.sum(axis=0), 1e-9)
    spread = np.exp(-0.5 * (np.arange(-10, 11) / 4.0) ** 2)
    round_trip = np.concatenate([cusp[-10:], cusp, cusp[:10]])
    smooth = np.convolve(round_trip, spread / spread.sum(), mode="valid")
    at = hue * (HUES / (2.0 * np.pi))
    return np.interp(at, np.arange(HUES), smooth, period=HUES)
