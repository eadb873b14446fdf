"""Clean tiles to judge seams by: drawn here in several unlike families, or from public packages.

Drawn tiles are made seamless by construction (every motif is drawn at all its wrapped places) and
come in four sets: scattered, geometric without and with a design line on the boundary, watercolour.
Public tiles come from the Debian packages ``caja-common`` and ``afterstep-data``; ``LEFT_OUT`` says
which of them are not clean tiles, and why. Nothing public is kept here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image

from learning.drawings.hands import HANDS
from learning.drawings.hands_apart import (
    GEOMETRIC_APART,
    LINED_APART,
    SCATTERED_APART,
    TEXTURES_APART,
)
from learning.drawings.hands_ruled import MORE_LINED, RULED, STUFFS
from learning.drawings.more import MORE_GEOMETRIC, MORE_SCATTERED, finished
from learning.drawings.plain import (
    blooms,
    bricks,
    checks,
    crowded,
    frames,
    grain,
    lozenges,
    panels,
    plaid,
    scallops,
    slanted,
    spots,
    sprigs,
    stars,
    strokes,
    triangles,
    wash,
)
from palette.arrays import Floats, Pixels

Generator = np.random.Generator

PUBLIC_FOLDERS = ("usr/share/caja/patterns", "usr/share/afterstep/desktop/tiles")

# looked at rolled by half, one by one
LEFT_OUT = {
    "reset": "an icon, not a tile",
    "AfterStep": "a framed sign",
    "AfterStepBeauty": "a photograph with transparent parts",
    "Marble": "a bevelled icon",
    "Plasma": "a bevelled icon",
    "Slate": "a bevelled icon",
    "Water": "a bevelled icon",
    "Transparent": "an icon with transparent borders",
    "empty": "one pixel",
    "black_dot": "one pixel",
    "rose512": "a photograph that does not repeat",
    "back": "the same picture as SimpleTexture",
    "Gray": "a plain grey",
    "burlap": "sold with a seam: its right edge ends on a straight line that shows",
}


@dataclass(frozen=True, slots=True)
class Tile:
    """A clean tile: which set, which family, its name and its pixels."""

    set_name: str
    family: str
    name: str
    pixels: Pixels


def public_tiles(root: Path = Path("/")) -> Iterator[Tile]:
    """Yield the clean tiles of the public packages found under ``root``."""
    for folder in PUBLIC_FOLDERS:
        for path in sorted((root / folder).glob("*")) if (root / folder).is_dir() else []:
            if path.stem in LEFT_OUT or not path.is_file():
                continue
            try:
                pixels = np.asarray(Image.open(path).convert("RGB"))
            except (OSError, ValueError):
                continue  # scripts and colour names live beside the pictures
            yield Tile("real", folder.split("/")[2], path.stem, pixels)


SCATTERED: dict[str, Callable[..., Pixels]] = {
    "blooms": blooms,
    "sprigs": sprigs,
    "crowded": crowded,
    "stars": stars,
    "wash": wash,
    **MORE_SCATTERED,
}
TEXTURES: dict[str, Callable[..., Pixels]] = {"grain": grain, "strokes": strokes}
GEOMETRIC: dict[str, Callable[..., Pixels]] = {
    "lozenges": lozenges,
    "scallops": scallops,
    "slanted": slanted,
    "triangles": triangles,
    "spots": spots,
    "checks": checks,
    "bricks": bricks,
    **MORE_GEOMETRIC,
}
LINED: dict[str, Callable[..., Pixels]] = {
    "bricks": bricks,
    "frames": frames,
    "checks": checks,
    "plaid": plaid,
    "panels": panels,
}
# what the verdict knows nothing of; no other benchmark draws them
APART: dict[str, dict[str, Callable[..., Pixels]]] = {
    f"{name}, a hand left out": dict(families)
    for name, families in (
        ("scattered", {**HANDS, **SCATTERED_APART}),
        ("texture", {**STUFFS, **TEXTURES_APART}),
        ("geometric", {**RULED, **GEOMETRIC_APART}),
        ("lined", {**MORE_LINED, **LINED_APART}),
    )
}
SETS = {"scattered": SCATTERED, "texture": TEXTURES, "geometric": GEOMETRIC, "lined": LINED}


def _line_steps(pixels: Pixels, axis: int) -> Floats:
    """Mean step into each line from the line before, wrapped."""
    values = pixels.astype(np.float64)
    step = np.abs(values - np.roll(values, 1, axis=axis)).sum(-1)
    steps: Floats = step.mean(axis=1 - axis)
    return steps


def phased(pixels: Pixels, *, line: bool, rng: Generator) -> Pixels:
    """Roll a tile so that a straight design line lies on both its boundaries, or on neither."""
    for axis in (0, 1):
        steps = _line_steps(pixels, axis)
        top = steps.max()
        near = np.maximum(steps, np.maximum(np.roll(steps, 1), np.roll(steps, -1)))
        good = np.flatnonzero(steps > 0.9 * top if line else near < 0.5 * top + 1e-9)
        if not len(good):
            good = np.array([int(np.argmin(near))])
        pixels = np.roll(pixels, -int(rng.choice(good)), axis=axis)
    return pixels


def drawn_tiles(
    per_family: int,
    *,
    seed: int = 1,
    scale: float = 1.0,
    finish: bool = False,
    sets: Mapping[str, Mapping[str, Callable[..., Pixels]]] | None = None,
) -> Iterator[Tile]:
    """Yield ``per_family`` tiles of each family; the same seed gives the same tiles.

    With ``finish`` most are softened, grained or made paler afterwards. ``sets`` are ``SETS``, or
    ``APART``: hands that no verdict was learnt from.
    """
    for set_name, families in (SETS if sets is None else sets).items():
        for family, draw in families.items():
            for i in range(per_family):
                key = [seed, i, *family.encode(), *set_name.encode()]
                rng = np.random.default_rng(key)
                pixels = draw(rng, scale)
                if set_name.startswith(("geometric", "lined")) and family != "panels":
                    pixels = phased(pixels, line=set_name.startswith("lined"), rng=rng)
                if finish:
                    pixels = finished(pixels, rng)
                yield Tile(set_name, family, f"{family}-{i}", pixels)
