"""What a colour is: numbers for it, how far two are apart, and what people call it.

In: sRGB, hex or colour names. Out: CIELAB (D50), OKLab, CIEDE2000, contrast ratios, names. Not done
here: which colours artwork holds (``palette.choose``), or what print makes of them.
"""

from palette.space.colour_names import names_for
from palette.space.difference import de2000, de2000_table, nearest_first
from palette.space.lab import (
    D50,
    compand,
    hex_of,
    hex_to_lab,
    lab_to_srgb,
    lab_to_srgb8,
    lab_to_xyz,
    linear,
    linear_srgb,
    parse_hex,
    srgb_to_lab,
    srgb_to_xyz,
    triple_of,
    xyz_to_lab,
)
from palette.space.legibility import TEXT_RATIO, contrast_with_pens, ratio
from palette.space.named import colour_of, named_colours, suggestion
from palette.space.oklab import from_polar, lab_to_oklab, oklab_to_lab, to_polar

__all__ = [
    "D50",
    "TEXT_RATIO",
    "colour_of",
    "compand",
    "contrast_with_pens",
    "de2000",
    "de2000_table",
    "from_polar",
    "hex_of",
    "hex_to_lab",
    "lab_to_oklab",
    "lab_to_srgb",
    "lab_to_srgb8",
    "lab_to_xyz",
    "linear",
    "linear_srgb",
    "named_colours",
    "names_for",
    "nearest_first",
    "oklab_to_lab",
    "parse_hex",
    "ratio",
    "srgb_to_lab",
    "srgb_to_xyz",
    "suggestion",
    "to_polar",
    "triple_of",
    "xyz_to_lab",
]
