"""What would my own printer make of my colours? A press read from its ICC profile.

In: the profile's file, of a printer (device class "prtr") in CMYK, RGB or grey. Out: a ``Press``:
colours go into the profile by the intent asked for and come back media-relative, with black point
compensation on both sides unless it is switched off, so that white and black stay themselves.
With the absolute intent the paper's own tint shows, and there is no black point compensation.

LittleCMS does the work, by way of Pillow, which knows 8-bit colours only: against LittleCMS in
doubles the printed colour is off by CIEDE2000 0.2 on average and 0.9 at most, so 99 % of verdicts
at a limit of 3 agree. ``nearest`` comes from the outer bound of the profile's own colours.

Sources: ICC.1:2022 (header 7.2, tag table 7.3); ISO 18619:2015 (black point compensation). Not done
here: LittleCMS's gamut check, which has a limit of its own; multi-ink and device link profiles.
"""

from __future__ import annotations

from functools import cached_property
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np

from palette.arrays import Floats, Pixels
from palette.errors import ProfileError, shown
from palette.file_bytes import read_bytes
from palette.press.gamut import Gamut, gamut_of
from palette.press.icc_header import check_profile
from palette.press.nearest import nearest_of_all, nearest_of_hue
from palette.press.protocol import Intent
from palette.space import D50, de2000, lab_to_oklab, lab_to_srgb8, lab_to_xyz, xyz_to_lab

INTENTS: dict[str, int] = {"perceptual": 0, "relative": 1, "saturation": 2, "absolute": 3}
MAX_BYTES = 64 * 1024 * 1024  # a large printer profile has about 3 MiB
_MODES = {"CMYK": "CMYK", "RGB": "RGB", "GRAY": "L"}
_CHANNELS = {"CMYK": 4, "RGB": 3, "L": 1}
_CLASSES = {
    "scnr": "a scanner or camera",
    "mntr": "a screen",
    "link": "a fixed pair of devices",
    "spac": "a colour space",
    "abst": "an abstract effect",
    "nmcl": "named colours",
}
# black to white: damaged tables, or tables of another kind, print these out of order
_GREYS = np.array([[light, 0.0, 0.0] for light in (0.0, 40.0, 70.0, 100.0)])
_LEAST_RANGE = 25.0  # in L*; plain paper prints black at 30, coloured stock shows white at 60
_REMEDY = "Ask the maker of your printer or paper for a printer profile (.icc), or leave it out."


_LIMITS = (
    "As good as this profile: made for one printer, one ink set and one paper, printed with the "
    "driver settings it was measured with."
)


class IccPress:
    """A ``Press`` from a printer profile."""

    def __init__(self, name: str, mode: str, into: Any, back: Any) -> None:
        self.name = name
        self.black_l = 0.0
        self.limits = _LIMITS
        self.mode = mode
        self.into = into
        self._back = back

    def to_print(self, lab: Floats) -> Floats:
        """Return the colours that would be on paper for the colours asked for."""
        return self._seen(self._device(lab))

    def sent(self, pixels: Pixels) -> Pixels:
        """Return the printer's own numbers for a picture, (rows, cols, 3) sRGB uint8 to the same.

        Raises:
            ProfileError: the printer takes no RGB.
        """
        from PIL import Image, ImageCms

        self.check_sends()
        picture = Image.fromarray(np.ascontiguousarray(pixels))
        sent = ImageCms.applyTransform(picture, self.into)
        assert sent is not None  # only an in-place call returns None
        return np.asarray(sent)

    def check_sends(self) -> None:
        """Refuse to draw a picture for a printer that takes no RGB.

        Raises:
            ProfileError: it takes CMYK or grey.
        """
        if self.mode != "RGB":
            raise ProfileError(
                "is a profile that no home printer's driver can be sent",
                where="press.profile",
                why=f"its numbers are {'grey' if self.mode == 'L' else self.mode}, and a print is "
                "drawn in RGB",
                remedy="Leave press.convert out, or name an RGB profile or a chart.",
            )

    def shift(self, lab: Floats) -> Floats:
        """Return, shape (n,), how far in CIEDE2000 each colour moves by printing."""
        values = np.asarray(lab, dtype=np.float64).reshape(-1, 3)
        return de2000(values, self.to_print(values))

    def nearest(self, lab: Floats) -> Floats:
        """Return the nearest colours of all that print as they are seen."""
        return nearest_of_all(self.gamut, self.to_print, lab)

    def nearest_of_hue(self, lab: Floats) -> Floats:
        """Return the nearest colours that print as they are seen and keep their hue."""
        return nearest_of_hue(self.gamut, self.to_print, lab)

    @cached_property
    def gamut(self) -> Gamut:
        """The outer bound of the profile's own colours."""

        def oklab_of_shares(shares: Floats) -> Floats:
            return lab_to_oklab(self._seen(np.rint(shares * 255.0).astype(np.uint8)))

        return gamut_of(oklab_of_shares, channels=_CHANNELS[self.mode])

    def _device(self, lab: Floats) -> Pixels:
        srgb = lab_to_srgb8(np.asarray(lab, dtype=np.float64).reshape(-1, 3))
        return _through(self.into, srgb, "RGB").reshape(-1, _CHANNELS[self.mode])

    def _seen(self, device: Pixels) -> Floats:
        return lab_of_bytes(_through(self._back, device, self.mode))


class CmykIccPress(IccPress):
    """An ``InkPress`` from a printer profile in CMYK."""

    def inks(self, lab: Floats) -> Floats:
        """Return ink shares 0 to 1, (n, 4), C M Y K, that print the colours asked for."""
        return self._device(lab) / 255.0


def lab_of_bytes(packed: Pixels) -> Floats:
    """Return CIELAB (D50), (n, 3), of the 3 n bytes that Pillow packs it in."""
    coded = packed.reshape(-1, 3)
    opponent = coded[:, 1:].view(np.int8)  # a* and b* are signed
    return np.column_stack([coded[:, 0] * (100.0 / 255.0), opponent])


def _through(transform: Any, values: Pixels, mode: str) -> Pixels:
    """Send (n, channels) bytes through a transform as one row of pixels."""
    from PIL import Image, ImageCms

    if len(values) == 0:
        return np.empty(0, dtype=np.uint8)
    row = np.ascontiguousarray(values)
    image = Image.frombytes(mode, (len(row), 1), row.tobytes())
    sent = ImageCms.applyTransform(image, transform)
    assert sent is not None  # only an in-place call returns None
    return np.frombuffer(sent.tobytes(), dtype=np.uint8)


def open_profile(path: Path, intent: Intent = "relative", *, bpc: bool = True) -> IccPress:
    """Return the press that a printer profile describes.

    Args:
        path: the profile's file.
        intent: how colours go into the profile.
        bpc: black point compensation, on both sides.

    Raises:
        ProfileError: not there, not a profile, damaged, not of a printer, or unusable.
    """
    where = str(path)
    if intent not in INTENTS:
        raise ProfileError(
            f'"{intent}" is not an intent',
            where=where,
            remedy=f"Write one of {', '.join(INTENTS)}.",
        )
    data = read_bytes(path, MAX_BYTES, ProfileError, noun="profile")
    return profile_press(data, where, intent, bpc=bpc)


def profile_press(data: bytes, where: str, intent: Intent, *, bpc: bool) -> IccPress:
    """Return the press that a printer profile's bytes describe; see ``open_profile``."""
    from PIL import ImageCms

    _check_printer(data, where)
    try:
        profile = ImageCms.ImageCmsProfile(BytesIO(data))
        mode = _MODES[data[16:20].decode("latin-1").strip()]
        into, back = _transforms(profile, mode, INTENTS[intent], bpc)
        name = shown(_name(profile)) or Path(where).stem
        kind = CmykIccPress if mode == "CMYK" else IccPress
        press = kind(name, mode, into, back)
        # an absolute intent compensates nothing; without compensation to_print has it already
        if bpc and intent != "absolute":
            press.black_l = _black_l(profile, press)
        greys = press.to_print(_GREYS)[:, 0]
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError, MemoryError) as error:
        raise ProfileError(
            "cannot be used as a printer profile",
            where=where,
            why="its tables cannot be read",
            remedy=_REMEDY,
        ) from error
    if (np.diff(greys) <= 0).any() or greys[-1] - greys[0] < _LEAST_RANGE:
        raise ProfileError(
            "cannot be used as a printer profile",
            where=where,
            why="by its tables a light grey prints darker than a dark one",
            remedy=_REMEDY,
        )
    return press


def _name(profile: Any) -> str:
    """Return the profile's own name, or nothing where its text is damaged."""
    from PIL import ImageCms

    try:
        return ImageCms.getProfileDescription(profile).strip()
    except (ImageCms.PyCMSError, ValueError):
        return ""


def _transforms(profile: Any, mode: str, intent: int, bpc: bool) -> tuple[Any, Any]:
    """Return sRGB to the device by the intent, and the device to Lab as the paper shows it."""
    from PIL import ImageCms

    flags = ImageCms.Flags.BLACKPOINTCOMPENSATION if bpc else ImageCms.Flags(0)
    into = ImageCms.buildTransform(
        ImageCms.createProfile("sRGB"),
        profile,
        "RGB",
        mode,
        ImageCms.Intent(intent),
        flags,
    )
    absolute = ImageCms.Intent.ABSOLUTE_COLORIMETRIC
    seen = absolute if intent == absolute else ImageCms.Intent.RELATIVE_COLORIMETRIC
    lab = ImageCms.createProfile("LAB")
    return into, ImageCms.buildTransform(profile, lab, mode, "LAB", seen, flags)


def _black_l(profile: Any, press: IccPress) -> float:
    """Return L*, beside the paper's 100, of what black point compensation calls 0 in a profile."""
    from PIL import ImageCms

    lab = ImageCms.createProfile("LAB")
    seen = ImageCms.Intent.RELATIVE_COLORIMETRIC
    back = ImageCms.buildTransform(profile, lab, press.mode, "LAB", seen, ImageCms.Flags(0))
    black = np.zeros((1, 3))
    plain = IccPress(press.name, press.mode, press.into, back)
    # the printed black, without and with compensation: a straight line in light
    there, called = (lab_to_xyz(one.to_print(black))[0, 1] for one in (plain, press))
    return float(xyz_to_lab(max(there - called, 0.0) / (1.0 - called) * D50)[0])


def _check_printer(data: bytes, where: str) -> None:
    """Refuse what is not a printer's profile."""
    kind, space = check_profile(data, where, _REMEDY)
    if kind != "prtr":
        raise ProfileError(
            f"is a profile of {_CLASSES.get(kind, 'an unknown device')}, not of a printer",
            where=where,
            remedy=_REMEDY,
        )
    if space not in _MODES:
        raise ProfileError(
            "is a printer profile, but neither CMYK, RGB nor grey",
            where=where,
            remedy=_REMEDY,
        )
