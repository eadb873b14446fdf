"""What colours did a scanner see that says itself what its values mean? By its ICC profile.

In: readings of patches in the scanner's own values, 0 to 1, (n, 3), and a ``ProfiledScanner``: a
profile of the scanner, or none where its program delivers sRGB. Out: CIELAB (D50) relative to the
paper at each patch's place and to the printed black, as from an instrument. How vivid, dark or
tinted a print is as a whole is then the printer's.

LittleCMS, by way of Pillow, knows 8-bit colours only. So a mean of many pixels is asked about 64
times, within two steps of it either way, and the answers averaged: that is as good as 11 bits.

Source: media-relative colorimetry (ICC.1:2022, 6.3.2) and black point compensation (ISO 18619:2015)
as in ``palette.chart.measurement``; the steps are the R3 sequence (Roberts 2018). Not done here:
whether the profile is any good.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from io import BytesIO
from typing import Any

import numpy as np

from palette.arrays import Floats, Mask, Pixels
from palette.chart import ChartList
from palette.errors import ProfileError, shown
from palette.press import check_profile, lab_of_bytes
from palette.scan.illumination import light_field
from palette.scan.sample import PatchReadings
from palette.scan.scanner import ScannerReading
from palette.space import D50, lab_to_xyz, srgb_to_xyz, xyz_to_lab

_KINDS = {"scnr": "a scanner or camera", "mntr": "a screen", "spac": "a colour space"}
_REMEDY = (
    "Give the profile that came with the scanner or that a target was measured for, or read the "
    "scan without it."
)
_ASKED, _WITHIN = 64, 2.0  # times, and steps of 255
MOST_LABEL = 100


@dataclass(frozen=True, slots=True)
class ProfiledScanner:
    """A scanner whose values have a meaning.

    Attributes:
        name: what it is called: its profile's own name, or "sRGB".
        to_xyz: its values 0 to 1, (n, 3), to XYZ (D50, white 1), (n, 3).
    """

    name: str
    to_xyz: Callable[[Floats], Floats]


SRGB_SCANNER = ProfiledScanner("sRGB", srgb_to_xyz)


def open_scanner(data: bytes, where: str) -> ProfiledScanner:
    """Return the scanner of an ICC profile.

    Args:
        data: the profile's bytes, of a scanner, a screen or an RGB colour space.
        where: names it in errors.

    Raises:
        ProfileError: not a profile, damaged, of another kind of device, or not of RGB.
    """
    from PIL import ImageCms

    kind, space = check_profile(data, where, _REMEDY)
    if kind not in _KINDS or space != "RGB":
        raise ProfileError(
            "is not a profile that a scan in colour can have",
            where=where,
            why=f"it is of device class {shown(kind)}, in {shown(space)}",
            remedy=_REMEDY,
        )
    try:
        profile = ImageCms.ImageCmsProfile(BytesIO(data))
        lab = ImageCms.createProfile("LAB")
        relative = ImageCms.Intent.RELATIVE_COLORIMETRIC
        into = ImageCms.buildTransform(profile, lab, "RGB", "LAB", relative)
        name = shown(ImageCms.getProfileDescription(profile).strip())[:MOST_LABEL]
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError, MemoryError) as error:
        raise ProfileError(
            "cannot be used as a scanner's profile",
            where=where,
            why="its tables cannot be read",
            remedy=_REMEDY,
        ) from error
    return ProfiledScanner(name or "its own profile", lambda values: _through(into, values))


def _through(into: Any, values: Floats) -> Floats:
    """Return XYZ of values 0 to 1, each asked about in 8 bits many times around it."""
    around = np.mod(np.arange(_ASKED)[:, None] * _R3 + 0.5, 1.0) * (2.0 * _WITHIN) - _WITHIN
    # at the ends of the scale the steps shrink, so that their mean stays
    room = np.minimum(values, 1.0 - values)[:, None, :] * 255.0
    steps = around[None] * np.clip(room / _WITHIN, 0.0, 1.0)
    asked = np.rint(values[:, None, :] * 255.0 + steps).clip(0, 255).astype(np.uint8)
    lab = _lab_of(into, asked.reshape(-1, 3)).reshape(len(values), _ASKED, 3)
    return lab_to_xyz(lab.mean(axis=1))


_ROOT = 1.2207440846057596  # of x^4 = x + 1
_R3 = np.array([_ROOT**-1, _ROOT**-2, _ROOT**-3])


def _lab_of(into: Any, rgb: Pixels) -> Floats:
    from PIL import Image, ImageCms

    row = ImageCms.applyTransform(Image.frombytes("RGB", (len(rgb), 1), rgb.tobytes()), into)
    assert row is not None  # only an in-place call returns None
    return lab_of_bytes(np.frombuffer(row.tobytes(), dtype=np.uint8))


def see_profiled(
    scanner: ProfiledScanner, readings: PatchReadings, black: Mask, chart: ChartList
) -> ScannerReading:
    """Return the colours behind the readings of all of a chart's patches.

    Args:
        scanner: what its values mean.
        readings: all patches.
        black: (n,) which patches are black and read cleanly.
        chart: their places.
    """
    light = scanner.to_xyz(np.clip(readings.values, 0.0, 1.0)) / D50
    paper = light_field(replace(readings, values=light), chart).at(chart.centres_mm)
    relative = light / paper
    depth = float(np.clip(relative[black, 1].mean(), 0.0, 0.9))
    lab = xyz_to_lab((relative - depth) / (1.0 - depth) * D50)
    return ScannerReading(lab, float(xyz_to_lab(depth * D50)[0]), None)
