"""sRGB to CIELAB (D50) and back against two general-purpose libraries.

Sources: IEC 61966-2-1:1999 (sRGB), CIE 15:2004 (CIELAB), and CSS Color Module Level 4 (W3C) for
D50, Bradford adaptation and what "#rgb" stands for. coloraide's ``lab`` is that of CSS;
colour-science is told to adapt with Bradford to the D50 of CSS. Both differ from us only by rounded
matrices: hundredths of a unit, and the limits 0.01 and 0.03 are our own choice.
"""

from __future__ import annotations

import numpy as np
import pytest

from palette.space import de2000, hex_of, lab_to_srgb8, parse_hex, srgb_to_lab

RGB8 = np.random.default_rng(1).integers(0, 256, (600, 3)).astype(np.uint8)
CORNERS = np.array(np.meshgrid([0, 255], [0, 255], [0, 255])).T.reshape(-1, 3).astype(np.uint8)
SAMPLE = np.concatenate([CORNERS, RGB8])


def test_agrees_with_coloraide() -> None:
    from coloraide import Color

    theirs = [Color("srgb", list(rgb / 255.0)).convert("lab").coords() for rgb in SAMPLE]
    assert de2000(srgb_to_lab(SAMPLE), np.array(theirs)).max() < 0.01


@pytest.mark.slow
def test_agrees_with_colour_science() -> None:
    import colour

    xyz = colour.sRGB_to_XYZ(
        SAMPLE / 255.0,
        illuminant=np.array([0.3457, 0.3585]),
        chromatic_adaptation_transform="Bradford",
    )
    theirs = colour.XYZ_to_Lab(xyz, illuminant=np.array([0.3457, 0.3585]))
    assert de2000(srgb_to_lab(SAMPLE), theirs).max() < 0.03


def test_d65_lab_would_be_noticed() -> None:
    """The same colour's D65 Lab is several units off, so the checks above can fail."""
    from coloraide import Color

    theirs = [Color("srgb", list(rgb / 255.0)).convert("lab-d65").coords() for rgb in SAMPLE]
    assert de2000(srgb_to_lab(SAMPLE), np.array(theirs)).max() > 4.0


def test_every_eight_bit_grey_and_sample_comes_back() -> None:
    greys = np.repeat(np.arange(256, dtype=np.uint8)[:, None], 3, axis=1)
    for rgb8 in (greys, SAMPLE):
        assert (lab_to_srgb8(srgb_to_lab(rgb8)) == rgb8).all()


def test_white_and_black_are_exact() -> None:
    labs = srgb_to_lab(np.array([[255, 255, 255], [0, 0, 0]], dtype=np.uint8))
    assert np.allclose(labs, [[100, 0, 0], [0, 0, 0]], atol=1e-9)


@pytest.mark.parametrize("text", ["#3b5b7a", "3B5B7A", "#fff"])
def test_hex_is_read(text: str) -> None:
    assert hex_of(parse_hex(text)) == ("#ffffff" if text == "#fff" else "#3b5b7a")
