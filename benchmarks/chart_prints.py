"""Printed and scanned charts of known presses, so that what is read back can be judged.

A ``KnownPress`` prints sRGB as a printer's driver with that profile would, and says the truth in
CIELAB (D50), absolute and relative. A ``Glass`` lays over the print what a scanner or camera does:
turn, slant, mirror, a lamp's fall-off, its own colour matrix and curve, blur, noise, JPEG. All of
it is ours and seeded; none of it uses the code that reads charts back.

What reads a chart fits scanners as a power curve and a matrix, and expects printers to print greys
and quiet colours as asked. ``Glass`` alone is of that family. Held out, so that a reading is judged
on what it was not made for, are ``vivid`` (a driver with more saturation, an S-curve and a cast)
and the scanners ``SRGB``, ``BENT`` and ``BROAD``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter
from scipy.interpolate import RegularGridInterpolator

from palette.press.conditions import MATT
from palette.press.neugebauer import print_lab
from palette.space import D50, compand, lab_to_xyz, linear, srgb_to_xyz, xyz_to_lab

Floats = NDArray[np.float64]
Pixels = NDArray[np.uint8]

DATA = Path(__file__).parents[1] / "tests" / "standards" / "data"
SWOP = Path("/usr/share/color/icc/ghostscript/default_cmyk.icc")  # Debian's libgs-common
_TO_XYZ = srgb_to_xyz(np.eye(3)).T


@dataclass(frozen=True)
class KnownPress:
    """A press whose every answer is known: sRGB 0 to 1, (n, 3), to CIELAB (D50), absolute."""

    name: str
    absolute: Callable[[Floats], Floats]

    def relative(self, rgb: Floats) -> Floats:
        """Return CIELAB relative to paper and printed black, as presses in kitloom answer."""
        light = lab_to_xyz(self.absolute(rgb)) / lab_to_xyz(self.absolute(np.ones((1, 3))))
        ends = lab_to_xyz(self.absolute(np.array([[0.0] * 3, [1.0] * 3])))
        black = float(ends[0, 1] / ends[1, 1])
        return xyz_to_lab((light - black) / (1.0 - black) * D50)


@cache
def fogra39() -> KnownPress:
    """Return coated offset: the profile's own answers on a 17 x 17 x 17 grid, between them linear.

    Source: tests/standards/data/README.md. Paper 95/0/-2; black L* 9.2 as the profile prints it.
    """
    table = np.loadtxt(DATA / "FOGRA39L_coated-17.csv", delimiter=",", skiprows=2)
    relative = _between(table)
    paper = lab_to_xyz(np.array([95.0, 0.0, -2.0]))
    depth = lab_to_xyz(np.array([9.2, 0.0, 0.0]))[1] / paper[1]

    def absolute(rgb: Floats) -> Floats:
        light = lab_to_xyz(relative(rgb)) / D50
        return xyz_to_lab((light * (1.0 - depth) + depth) * paper)

    return KnownPress("FOGRA39L coated", absolute)


@cache
def swop() -> KnownPress | None:
    """Return a SWOP-like press of another package's profile, or None where it is not installed.

    Through Pillow's 8-bit LAB, which is off by 0.2 on average.
    """
    from PIL import ImageCms

    if not SWOP.is_file():
        return None
    press, lab = ImageCms.getOpenProfile(str(SWOP)), ImageCms.createProfile("LAB")
    screen = ImageCms.createProfile("sRGB")
    relative, absolute = (
        ImageCms.Intent.RELATIVE_COLORIMETRIC,
        ImageCms.Intent.ABSOLUTE_COLORIMETRIC,
    )
    bpc = ImageCms.Flags.BLACKPOINTCOMPENSATION
    steps = np.rint(np.linspace(0, 255, 17)).astype(np.uint8)
    nodes = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(1, -1, 3)
    to_ink = ImageCms.buildTransform(screen, press, "RGB", "CMYK", relative, bpc)
    to_lab = ImageCms.buildTransform(press, lab, "CMYK", "LAB", absolute)
    inks = ImageCms.applyTransform(Image.fromarray(nodes), to_ink)
    raw = np.asarray(ImageCms.applyTransform(inks, to_lab)).reshape(-1, 3).astype(np.float64)
    raw[:, 0] *= 100.0 / 255.0
    raw[:, 1:] = (raw[:, 1:] + 128.0) % 256.0 - 128.0
    return KnownPress("SWOP-like", _between(raw))


def tinted(press: KnownPress) -> KnownPress:
    """Return a press behind a driver that warms the greys and prints too dark."""
    power = np.array([1.1, 1.0, 0.92])
    return KnownPress(f"{press.name}, warm driver", lambda rgb: press.absolute(rgb**power))


def vivid(press: KnownPress) -> KnownPress:
    """Return a press behind a driver that makes all look brilliant, on warm paper.

    Saturation 15 % up about each colour's own luma, an S-curve, 2 % less blue; paper 4 % less blue.
    """

    def absolute(rgb: Floats) -> Floats:
        luma = rgb @ np.array([0.299, 0.587, 0.114])
        fuller = np.clip(luma[:, None] + 1.15 * (rgb - luma[:, None]), 0.0, 1.0)
        bent = fuller - 0.04 * np.sin(2.0 * np.pi * fuller)
        cast = np.where(fuller < 1.0, np.array([1.0, 0.995, 0.98]), 1.0)
        light = lab_to_xyz(press.absolute(np.clip(bent * cast, 0.0, 1.0)))
        return xyz_to_lab(light * np.array([1.0, 0.995, 0.96]))

    return KnownPress(f"{press.name}, vivid driver", absolute)


def unmanaged() -> KnownPress:
    """Return uncoated offset that is sent 1 - RGB as ink: no colour management at all."""

    def absolute(rgb: Floats) -> Floats:
        cmy = 1.0 - rgb**0.9
        black = 0.3 * cmy.min(axis=1, keepdims=True) ** 2
        inks = np.clip((cmy - black) / (1.0 - black), 0.0, 1.0)
        return print_lab(MATT, np.concatenate([inks, black], axis=1))

    return KnownPress("uncoated, unmanaged", absolute)


def _between(table: Floats) -> Callable[[Floats], Floats]:
    run = np.linspace(0.0, 1.0, 17)
    cube = RegularGridInterpolator((run, run, run), table.reshape(17, 17, 17, 3))
    return lambda rgb: np.asarray(cube(np.clip(rgb, 0.0, 1.0)))


@dataclass(frozen=True)
class Sensor:
    """A scanner's own colours, outside the family that is fitted.

    Attributes:
        name: what it is called in tables.
        mix: (3, 3) what its channels see of linear sRGB; rows sum to 1, so that greys stay grey.
        flare: light from everywhere, a share of white.
        bend: depth of an S-curve over its values.
    """

    name: str
    mix: tuple[tuple[float, float, float], ...]
    flare: float = 0.0
    bend: float = 0.0

    def values(self, light: Floats) -> Floats:
        """Return its values 0 to 1 of linear sRGB light: sRGB's curve, not a power."""
        seen = light @ np.array(self.mix).T * (1.0 - self.flare) + self.flare
        values = compand(seen)
        return np.clip(values - self.bend * np.sin(2.0 * np.pi * values), 0.0, 1.0)

    def to_xyz(self, values: Floats) -> Floats:
        """Return XYZ (D50) of values as its own profile says, which knows of no S-curve."""
        light = (linear(values) - self.flare) / (1.0 - self.flare)
        return light @ np.linalg.inv(np.array(self.mix)).T @ _TO_XYZ.T


_PLAIN = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
SRGB = Sensor("delivers sRGB", _PLAIN)
BENT = Sensor("delivers sRGB, S-curve of .02", _PLAIN, bend=0.02)
BROAD = Sensor(
    "broad-band, flare",
    ((0.62, 0.33, 0.05), (0.22, 0.63, 0.15), (0.04, 0.28, 0.68)),
    flare=0.008,
)


@dataclass(frozen=True)
class Glass:
    """What lies between a print and its picture.

    Attributes:
        turn_deg: rotation, counter-clockwise.
        lean: how far a side is shortened by perspective, as a share.
        mirrored: left and right exchanged.
        falloff: how much darker the darkest corner is lit.
        gamma: the scanner's curve.
        cross_talk: standard deviation of its matrix's off-diagonal part.
        exposure: of white.
        blur_px: radius.
        noise: standard deviation, 0 to 1.
        quality: of JPEG; 0 for none.
        seed: of matrix and noise.
        sensor: another scanner's colours, in place of curve and matrix.
    """

    turn_deg: float = 1.0
    lean: float = 0.0
    mirrored: bool = False
    falloff: float = 0.15
    gamma: float = 2.0
    cross_talk: float = 0.06
    exposure: float = 0.95
    blur_px: float = 0.0
    noise: float = 0.006
    quality: int = 85
    seed: int = 1
    sensor: Sensor | None = None


def pictured(
    raster: Pixels,
    press: KnownPress,
    glass: Glass,
    bend: Callable[[Image.Image], Image.Image] | None = None,
) -> Pixels:
    """Return the picture of a printed raster; ``bend`` mistreats it before noise and JPEG."""
    rng = np.random.default_rng(glass.seed)
    seen = _seen(raster, press, glass, rng)
    rows, cols = seen.shape[:2]
    y, x = np.mgrid[0:rows, 0:cols] / np.array([rows, cols])[:, None, None] - 0.45
    away = x**2 + y**2
    lit = seen * (1.0 - glass.falloff * away / away.max())[..., None]
    if glass.sensor is not None:
        values = glass.sensor.values(np.clip(lit, 0.0, None).reshape(-1, 3)).reshape(lit.shape)
    else:
        values = np.clip(lit, 0.0, 1.0) ** (1.0 / glass.gamma)
    values = np.rint(values * 255.0).astype(np.uint8)
    image = _laid(Image.fromarray(values), glass)
    if glass.blur_px:
        image = image.filter(ImageFilter.GaussianBlur(glass.blur_px))
    if bend is not None:
        image = bend(image)
    grainy = np.asarray(image) + rng.normal(0.0, glass.noise * 255.0, (*image.size[::-1], 3))
    image = Image.fromarray(np.clip(np.rint(grainy), 0, 255).astype(np.uint8))
    if glass.quality:
        file = BytesIO()
        image.save(file, "JPEG", quality=glass.quality)
        image = Image.open(file).convert("RGB")
    return np.asarray(image)


def _seen(
    raster: Pixels, press: KnownPress, glass: Glass, rng: np.random.Generator
) -> NDArray[np.float32]:
    """Return the light that the scanner's channels get, 0 to 1."""
    flat = raster.reshape(-1, 3).astype(np.uint32)
    keys, which = np.unique(flat[:, 0] << 16 | flat[:, 1] << 8 | flat[:, 2], return_inverse=True)
    colours = np.stack([keys >> 16, keys >> 8 & 255, keys & 255], axis=1) / 255.0
    matrix = rng.normal(0.0, glass.cross_talk, (3, 3))
    matrix += np.eye(3) - matrix.mean(axis=1, keepdims=True)
    if glass.sensor is not None:
        matrix = np.eye(3)
    light = lab_to_xyz(press.absolute(colours)) @ np.linalg.inv(_TO_XYZ).T @ matrix.T
    return (glass.exposure * light)[which].reshape(raster.shape).astype(np.float32)


def _laid(image: Image.Image, glass: Glass) -> Image.Image:
    """Return the sheet as it lies: on a larger glass, turned, slanted, mirrored."""
    around = (236, 236, 236)
    wide, tall = image.width + 80, image.height + 80
    out = Image.new("RGB", (wide, tall), around)
    out.paste(image, (40, 40))
    out = out.rotate(glass.turn_deg, Image.Resampling.BICUBIC, expand=True, fillcolor=around)
    if glass.lean:
        wide, tall = out.size
        near, far = glass.lean * wide, glass.lean * 0.4 * tall
        corners = [(near, far / 2), (wide - near / 3, 0), (wide, tall), (0, tall - far)]
        numbers = _slant([(0, 0), (wide, 0), (wide, tall), (0, tall)], corners)
        kind, how = Image.Transform.PERSPECTIVE, Image.Resampling.BICUBIC
        out = out.transform(out.size, kind, numbers, how, fillcolor=around)
    return out.transpose(Image.Transpose.FLIP_LEFT_RIGHT) if glass.mirrored else out


def _slant(source: list[tuple[float, float]], target: list[tuple[float, float]]) -> list[float]:
    """Return Pillow's eight numbers, which lead from the target back to the source."""
    rows, right = [], []
    for (X, Y), (x, y) in zip(source, target, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -X * x, -X * y], [0, 0, 0, x, y, 1, -Y * x, -Y * y]]
        right += [X, Y]
    return list(np.linalg.solve(np.array(rows, dtype=np.float64), np.array(right)))
