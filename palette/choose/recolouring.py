"""The same pattern in other colours: what textile designers call a colourway.

Inputs: pixels (h, w, 3), sRGB uint8, and pairs of a colour of the artwork with the colour that
takes its place. Output: pixels of the same shape. Flat areas become their new colour; the blends
along outlines become blends of the new colours; grain and shading stay on top. Equal colours stay
equal, so a tile without a seam stays without one.

Each colour is read as a blend of two colours of the palette, the pairs nearest to it counting most,
and blended again from what took their place; what the blend does not explain is added in CIELAB,
turned with the hue, so that shading of a green becomes shading of its red. Close to a colour of the
palette that colour alone counts. Which colour becomes which is ``palette.choose.matching``'s.

Sources: the transfer between palettes after Chang, Fried, Liu, DiVerdi, Finkelstein, "Palette-based
photo recoloring", ACM Transactions on Graphics 34(4), 2015; additive blends as in Tan, Echevarria,
Gingold, "Efficient palette-based decomposition and recoloring of images via RGBXY-space geometry",
ACM Transactions on Graphics 37(6), 2018. Weights over pairs instead of a hull are ours: flat
artwork blends two colours at a time, and colours inside the hull stay colours of their own.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.arrays import Floats, Floats32, Pixels
from palette.errors import PaletteError
from palette.space import lab_to_srgb, lab_to_srgb8, srgb_to_lab

Pair = tuple[Floats, Floats]

_CHUNK = 1 << 15
_SIZE = 1 << 24
_PAIR_CODES = 4.0  # a blend may lie this many code values off the line between two colours
_OWN_CODES = 6.0  # this near to a palette colour, that colour alone counts
_MOST_TURNED = 1.0  # times as strong; more makes steps of slow ramps
_FAINT_CHROMA = 6.0  # below it a colour has no hue, and what remains keeps its own


def recolour(pixels: Pixels, mapping: Sequence[Pair]) -> Pixels:
    """Give artwork other colours.

    Args:
        pixels: (h, w, 3) sRGB uint8.
        mapping: pairs of CIELAB (D50) colours (3,): one of the artwork, and what it becomes.

    Raises:
        PaletteError: there are no pairs, or one colour is to become two.
    """
    sources, targets = _check(mapping)
    codes = _codes(pixels)
    present = np.zeros(_SIZE, dtype=np.bool_)
    present[codes] = True
    colours = np.flatnonzero(present)
    table = np.zeros(_SIZE, dtype=np.uint32)
    for at in range(0, len(colours), _CHUNK):
        part = colours[at : at + _CHUNK]
        table[part] = _codes(_move(_rgb8(part), sources, targets))
    return _rgb8(table[codes])


def _check(mapping: Sequence[Pair]) -> tuple[Floats, Floats]:
    if not mapping:
        raise PaletteError(
            "no colour is to change", where="colourway", remedy="Give at least one pair of colours."
        )
    sources = lab_to_srgb8(np.array([pair[0] for pair in mapping], dtype=np.float64))
    targets = np.array([pair[1] for pair in mapping], dtype=np.float64)
    different, first = np.unique(sources, axis=0, return_index=True)
    if len(different) < len(sources):
        raise PaletteError(
            "one colour is to become two", where="colourway", remedy="Give each colour once."
        )
    return srgb_to_lab(different), targets[first]


def _codes(rgb8: Pixels) -> NDArray[np.uint32]:
    wide = rgb8.astype(np.uint32)
    return np.asarray((wide[..., 0] << 16) | (wide[..., 1] << 8) | wide[..., 2], dtype=np.uint32)


def _rgb8(codes: NDArray[np.integer[Any]]) -> Pixels:
    channels = [(codes >> shift & 255).astype(np.uint8) for shift in (16, 8, 0)]
    return np.stack(channels, axis=-1)


def _move(rgb8: Pixels, sources: Floats, targets: Floats) -> Pixels:
    """Return the new colours of (n, 3) uint8 colours."""
    old, new = lab_to_srgb(sources), lab_to_srgb(targets)
    weights = _blends(rgb8, (old * 255.0).astype(np.float32))
    before, after = srgb_to_lab(weights @ old), srgb_to_lab(weights @ new)
    return lab_to_srgb8(after + _turned(srgb_to_lab(rgb8) - before, before, after))


def _turned(left_over: Floats, before: Floats, after: Floats) -> Floats:
    """Return what blends do not explain, (n, 3), turned and scaled as their a and b were."""
    one, other = (values[:, 1] + 1j * values[:, 2] for values in (before, after))
    turn = (other * one.conj() + _FAINT_CHROMA**2) / (np.abs(one) ** 2 + _FAINT_CHROMA**2)
    turn /= np.maximum(np.abs(turn) / _MOST_TURNED, 1.0)
    turned = (left_over[:, 1] + 1j * left_over[:, 2]) * turn
    return np.stack([left_over[:, 0], turned.real, turned.imag], axis=-1)


def _blends(rgb8: Pixels, old: Floats32) -> Floats:
    """Return (n, k) how much of each palette colour a colour is made of; rows add up to 1.

    Code values are blended as they are, not in linear light, because that is how most drawing
    programs anti-alias.
    """
    here = rgb8.astype(np.float32)
    from_old = here[:, None] - old[None]
    squared = (from_old**2).sum(axis=2)
    # A vertex outweighs all lines within some codes of it, and fades before the next blend.
    blend = (_OWN_CODES**2 / (squared + 0.25)) ** 2
    for i, j in combinations(range(len(old)), 2):
        line = old[j] - old[i]
        length = float(line @ line)
        along = np.clip(from_old[:, i] @ line / length, 0.0, 1.0)
        off_line = squared[:, i] - along * (2.0 * (from_old[:, i] @ line) - along * length)
        strength = (1.0 + np.maximum(off_line, 0.0) / _PAIR_CODES**2) ** -2
        blend[:, i] += strength * (1.0 - along)
        blend[:, j] += strength * along
    weights: Floats = (blend / blend.sum(axis=1, keepdims=True)).astype(np.float64)
    return weights
