"""Faults put into clean tiles on purpose, and whether a person would see them.

Every fault is made at the right edge (turn the picture for the other axis). In and out: (height,
width, 3) sRGB uint8. ``visible_de`` is the yardstick of the benchmark: the worst 9-pixel run of the
join's CIE76 difference from its true continuation, which only the maker of the fault knows.
"""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO

import numpy as np
from PIL import Image

from learning.drawings.plain import SCALE, palette_of, size_of
from palette.arrays import Floats, Pixels
from palette.space import lab_to_srgb8, srgb_to_lab

Generator = np.random.Generator

MOST_PX = 2400  # nothing is enlarged beyond


def jpeg(pixels: Pixels, quality: int = 75) -> Pixels:
    buffer = BytesIO()
    Image.fromarray(pixels).save(buffer, "JPEG", quality=quality)
    return np.asarray(Image.open(buffer).convert("RGB"))


def worst_run_de(shown: Pixels, true: Pixels, run: int = 9) -> float:
    """Return the worst mean CIE76 difference over ``run`` pixels of two lines (n, 3) uint8."""
    de = np.linalg.norm(srgb_to_lab(shown) - srgb_to_lab(true), axis=-1)
    run = min(run, len(de))
    return float(np.convolve(de, np.ones(run) / run, "valid").max())


def fringe(tile: Pixels, _: Generator) -> tuple[Pixels, float]:
    """The last column turned white, as a transparent border is when shown on paper."""
    out = tile.copy()
    out[:, -1] = 255
    return out, worst_run_de(out[:, -1], tile[:, -1])


def half_fringe(tile: Pixels, _: Generator) -> tuple[Pixels, float]:
    """The last column half transparent, shown on paper."""
    out = tile.copy()
    out[:, -1] = (tile[:, -1].astype(np.uint16) + 256) // 2
    return out, worst_run_de(out[:, -1], tile[:, -1])


def _cropped(tile: Pixels, share: float) -> tuple[Pixels, float]:
    lost = max(2, round(share * tile.shape[1]))
    out = tile[:, :-lost].copy()
    return out, worst_run_de(out[:, 0], tile[:, -lost])


def crop_1(tile: Pixels, _: Generator) -> tuple[Pixels, float]:
    return tile[:, :-1].copy(), worst_run_de(tile[:, 0], tile[:, -1])


def crop_3(tile: Pixels, _: Generator) -> tuple[Pixels, float]:
    return _cropped(tile, 0.03)


def crop_17(tile: Pixels, _: Generator) -> tuple[Pixels, float]:
    return _cropped(tile, 0.17)


def doubled(tile: Pixels, _: Generator) -> tuple[Pixels, float]:
    """The last column twice."""
    out = np.concatenate([tile, tile[:, -1:]], axis=1)
    return out, worst_run_de(tile[:, -1], tile[:, 0])


def too_wide(tile: Pixels, rng: Generator) -> tuple[Pixels, float]:
    """The tile and its first columns again, as an artboard drawn too wide is saved."""
    more = max(2, round(rng.uniform(0.03, 0.3) * tile.shape[1]))
    out = np.concatenate([tile, tile[:, :more]], axis=1)
    return out, worst_run_de(tile[:, 0], tile[:, more])


def drift(tile: Pixels, rng: Generator, span: float = 8.0) -> tuple[Pixels, float]:
    """A tone that runs over ``span`` L* from edge to edge, as in a badly lit scan; always seen."""
    sign = 1.0 if rng.random() < 0.5 else -1.0
    ramp = np.linspace(-span / 2, span / 2, tile.shape[1]) * sign
    lab = srgb_to_lab(tile)
    # room for both ends, or the ramp is clipped at white and at black
    room = (100.0 - span) / 100.0
    lab[..., 0] = lab[..., 0] * room + span / 2 + ramp
    return lab_to_srgb8(lab), 99.0


def clamped(tile: Pixels, rng: Generator) -> tuple[Pixels, float]:
    """The tile enlarged by a program that repeats the border pixels instead of the tile."""
    return _clamped(tile, rng, rng.uniform(1.5, 3.0))


def clamped_more(tile: Pixels, rng: Generator) -> tuple[Pixels, float]:
    """The same, as a small picture is blown up for print; to no more than ``MOST_PX``."""
    most = MOST_PX / max(tile.shape[:2])
    return _clamped(tile, rng, min(rng.uniform(3.0, 6.0), max(most, 1.5)))


def _clamped(tile: Pixels, rng: Generator, factor: float) -> tuple[Pixels, float]:
    height, width = tile.shape[:2]
    ways = (Image.Resampling.BICUBIC, Image.Resampling.BILINEAR, Image.Resampling.LANCZOS)
    way = ways[int(rng.integers(3))]
    size = (round(width * factor), round(height * factor))
    tall = np.concatenate([tile[-4:], tile, tile[:4]])
    box = (0, 4, width, height + 4)
    out = np.asarray(Image.fromarray(tall).resize(size, way, box=box))
    wide = np.concatenate([tall[:, -4:], tall, tall[:, :4]], axis=1)
    box = (4, 4, width + 4, height + 4)
    true = np.asarray(Image.fromarray(wide).resize(size, way, box=box))
    return out, max(worst_run_de(out[:, k], true[:, k]) for k in (0, -1))


def cut_motif(tile: Pixels, rng: Generator) -> tuple[Pixels, float]:
    """A motif painted over the right edge that does not go on at the left one."""
    height, width = tile.shape[:2]
    radius = float(np.clip(rng.uniform(0.06, 0.16) * min(height, width), 6, 200))
    y, x = rng.uniform(radius, height - radius), width - radius * rng.uniform(-0.3, 0.5)
    yy, xx = np.mgrid[0:height, 0:width]
    squash = rng.uniform(0.6, 1.6)
    inside = np.clip(radius - np.hypot((yy - y) * squash, xx - x) + 0.5, 0.0, 1.0)[..., None]
    colour = _foreign_colour(tile, rng)
    painted = tile * (1.0 - inside) + colour * inside
    out = np.rint(painted).astype(np.uint8)
    return out, worst_run_de(out[:, -1], tile[:, -1])


def _foreign_colour(tile: Pixels, rng: Generator) -> Floats:
    """A colour out of the tile itself, or darkened, that stands out from its mean."""
    flat = tile.reshape(-1, 3)
    picks = flat[rng.integers(0, len(flat), 64)].astype(np.float64)
    lab = srgb_to_lab(picks / 255.0)
    far = np.linalg.norm(lab - np.median(lab, axis=0), axis=1)
    best = picks[int(np.argmax(far))]
    colour: Floats = best if far.max() > 15.0 else best * 0.6
    return colour


FAULTS: dict[str, Callable[[Pixels, Generator], tuple[Pixels, float]]] = {
    "fringe": fringe,
    "half fringe": half_fringe,
    "crop 1 px": crop_1,
    "crop 3 %": crop_3,
    "crop 17 %": crop_17,
    "motif cut off": cut_motif,
    "doubled line": doubled,
    "drift 8 L*": drift,
}
# enlargements have no clean tile of their own size
EVERY_FAULT = {**FAULTS, "clamped": clamped, "clamped 3 to 6": clamped_more}
# of the same looks as a crop, but nothing is lost
_PLANTED = {**EVERY_FAULT, "cut too wide": too_wide}


def faulty(tile: Pixels, kind: str, axis: str, rng: Generator) -> tuple[Pixels, float]:
    """Return the tile with one fault on one axis, and how visible it is in CIE76."""
    turned = tile if axis == "x" else tile.transpose(1, 0, 2)
    out, de = _PLANTED[kind](np.ascontiguousarray(turned), rng)
    return np.ascontiguousarray(out if axis == "x" else out.transpose(1, 0, 2)), de


def broken_rhythm(rng: Generator, scale: float = 1.0) -> tuple[Pixels, str]:
    """Stripes or checks whose period does not divide the tile, though the edge pixels agree.

    Returns the tile and the axis along which the rhythm breaks.
    """
    w, h = size_of(rng, scale)
    colours = np.array(palette_of(rng, 3), dtype=np.uint8)
    period = w / (int(rng.integers(3, 9)) + rng.uniform(0.3, 0.7))
    x = np.arange(w * SCALE) / SCALE
    share = rng.uniform(0.3, 0.5)
    phase = (x / period) % 1.0
    band = (phase < share).astype(int)
    if rng.random() < 0.5:
        band[(phase > share + 0.15) & (phase < share + 0.25)] = 2
    line = colours[band].reshape(w, SCALE, 3).mean(axis=1)
    picture = np.broadcast_to(line[None], (h, w, 3)).copy()
    if rng.random() < 0.5:
        ny = int(rng.integers(3, 8))
        down = ((np.arange(h) / h * ny + 0.2) % 1.0 < share)[:, None, None]
        picture = np.where(down, picture * 0.8, picture)
    # start in the middle of a band on both sides, so that the pixels at the join agree
    same = [k for k in range(1, int(period)) if np.abs(line[k] - line[-1]).max() < 3.0]
    # and that what is left is not a whole number of periods
    same = [k for k in same if 0.15 < (w - k) / period % 1.0 < 0.85]
    if same:
        picture = picture[:, same[len(same) // 2] :]
    axis = "x" if rng.random() < 0.5 else "y"
    out = np.rint(picture).astype(np.uint8)
    return (out if axis == "x" else np.ascontiguousarray(out.transpose(1, 0, 2))), axis
