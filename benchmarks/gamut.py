"""How good and how quick is the print prediction? Figures against published data, in one run.

Usage: python -m benchmarks.gamut [OTHER_PROFILE.icc]

Truth is a printer profile: sRGB to ink and back, relative colorimetric, black point compensation on
both sides; for FOGRA39L in doubles (kept beside the tests), for another profile through Pillow's 8
bits. The built-in presses never see a profile. Baselines: five fitted figures a condition, the
nearest colour in CIEDE2000, and LittleCMS's own soft proof of the same picture.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from palette.press import HUES, LEVELS, Press, open_press
from palette.press.builtin import BuiltinPress
from palette.press.conditions import GLOSSY, MATT
from palette.press.icc import open_profile
from palette.press.mapping import HUE_KEEPING, PROFILE, Weights, clip
from palette.press.neugebauer import print_lab
from palette.proof import assess_fill, proof_pixels
from palette.space import de2000, from_polar, lab_to_oklab, oklab_to_lab, srgb_to_lab, to_polar

DATA = Path(__file__).parents[1] / "tests" / "standards" / "data"


def grid(side: int) -> np.ndarray:
    steps = np.linspace(0.0, 1.0, side)
    return np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 3)


def forward() -> None:
    print("Every published patch, CIEDE2000 (five figures: 1.46 / 2.86 and 1.33 / 2.76)")
    for condition in (GLOSSY, MATT):
        rows = np.loadtxt(DATA / f"{condition.name}.csv", delimiter=",", skiprows=2)
        off = de2000(print_lab(condition, rows[:, :4] / 100.0), rows[:, 4:])
        print(
            f"  {condition.name}: mean {off.mean():.2f} (<= 1.2), "
            f"95 % {np.percentile(off, 95):.2f} (<= 2.5), largest {off.max():.2f}"
        )


def verdicts(title: str, lab: np.ndarray, truth: np.ndarray, model: np.ndarray) -> None:
    moved, said, off = de2000(lab, truth), de2000(lab, model), de2000(truth, model)
    print(
        f"  {title:34s} agree {100 * ((moved >= 3) == (said >= 3)).mean():5.2f} %  "
        f"said safe, is not {100 * ((moved >= 3) & (said < 3)).mean():4.2f} %  "
        f"safe though over 6: {int(((moved > 6) & (said < 3)).sum())}  "
        f"shift off {np.abs(moved - said).mean():.2f}  "
        f"printed off {off.mean():.2f}, 95 % {np.percentile(off, 95):.2f}"
    )


def clipped(press: BuiltinPress, weights: Weights) -> Callable[[np.ndarray], np.ndarray]:
    """Return a gamut mapping without the rounding of a table."""

    def mapped(lab: np.ndarray) -> np.ndarray:
        polar = to_polar(lab_to_oklab(lab))
        return oklab_to_lab(from_polar(clip(press.gamut, polar, weights)))

    return mapped


def nearest_de2000(press: BuiltinPress, lab: np.ndarray) -> np.ndarray:
    """Return the point of the skin nearest in CIEDE2000, which lets the hue go."""
    light, hue = np.meshgrid(
        np.linspace(0, 100, LEVELS)[::2], np.arange(0, HUES) * 2 * np.pi / HUES, indexing="ij"
    )
    polar = np.stack([light, press.gamut.limit(light, hue), hue], axis=-1).reshape(-1, 3)
    skin = oklab_to_lab(from_polar(polar))
    found = lab.copy()
    for i in np.flatnonzero(~press.gamut.holds(to_polar(lab_to_oklab(lab)))):
        found[i] = skin[np.argmin(de2000(lab[i], skin))]
    return found


def lab_hue_keeping(press: BuiltinPress, lab: np.ndarray) -> np.ndarray:
    """Return HPMINDE in CIELAB, CIE 156:2004's baseline: least dE*ab at the colour's own hue."""
    light = np.linspace(0, 100, LEVELS)
    found = lab.copy()
    for i in np.flatnonzero(~press.gamut.holds(to_polar(lab_to_oklab(lab)))):
        chroma, angle = np.hypot(*lab[i, 1:]), np.arctan2(lab[i, 2], lab[i, 1])
        share = np.linspace(0.0, 1.0, 101)[1:, None] * chroma
        tried = np.stack(
            np.broadcast_arrays(light[None], share * np.cos(angle), share * np.sin(angle)), axis=-1
        )
        tried = tried.reshape(-1, 3)
        tried = tried[press.gamut.holds(to_polar(lab_to_oklab(tried)))]
        found[i] = tried[np.argmin(((tried - lab[i]) ** 2).sum(axis=1))]
    return found


def gamut(lab: np.ndarray, truth: np.ndarray) -> None:
    print("\nAgainst FOGRA39L_coated.icc, 17 x 17 x 17 sRGB colours")
    print("  (>= 98.5 %, <= 0.5 %, none, <= 0.5, <= 1.8 and 6)")
    press = open_press("glossy")
    assert isinstance(press, BuiltinPress)
    verdicts("used: weighted, table of 17 nodes", lab, truth, press.to_print(lab))
    verdicts("weighted, no table", lab, truth, clipped(press, PROFILE)(lab))
    verdicts("hue-keeping, OKLab", lab, truth, clipped(press, HUE_KEEPING)(lab))
    some = np.arange(0, len(lab), 5)
    verdicts(
        "hue-keeping, CIELAB (every 5th)", lab[some], truth[some], lab_hue_keeping(press, lab[some])
    )
    verdicts(
        "least CIEDE2000 (every 5th)", lab[some], truth[some], nearest_de2000(press, lab[some])
    )


def timed(work: Callable[[], object], runs: int = 5) -> float:
    """Return the best of some runs, in seconds."""
    best = np.inf
    for _ in range(runs):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


class _Bins:
    def __init__(self, lab: np.ndarray) -> None:
        self.lab = lab
        self.weight = np.full(len(lab), 1.0 / len(lab))


def speed() -> None:
    from PIL import Image, ImageCms

    print("\nSpeed")
    lab = srgb_to_lab(np.random.default_rng(1).integers(0, 256, (5000, 3), dtype=np.uint8))

    def build() -> None:
        BuiltinPress(GLOSSY, "", "").to_print(lab[:1])

    press = open_press("glossy")
    print(f"  a press made: {1000 * timed(build):.0f} ms (<= 150)")
    print(f"  5,000 colours: {1000 * timed(lambda: press.shift(lab)):.1f} ms (<= 100)")
    fills = [_Bins(lab[:3200]) for _ in range(12)]
    proofs = timed(lambda: [assess_fill(f, press) for f in fills])
    print(f"  12 fills of 3,200 bins: {1000 * proofs:.0f} ms (<= 100)")
    pixels = np.random.default_rng(2).integers(0, 256, (1800, 1800, 3), dtype=np.uint8)
    srgb = ImageCms.createProfile("sRGB")
    printer = ImageCms.ImageCmsProfile(str(DATA / "FOGRA39L_coated.icc"))
    soft = ImageCms.buildProofTransform(srgb, srgb, printer, "RGB", "RGB")
    image = Image.fromarray(pixels)
    floor = timed(lambda: ImageCms.applyTransform(image, soft), 3)
    first = timed(lambda: proof_pixels(pixels, BuiltinPress(GLOSSY, "", "")), 3)
    again = timed(lambda: proof_pixels(pixels, press), 3)
    print(
        f"  a picture of 1800 x 1800: {1000 * first:.0f} ms with a new press, "
        f"{1000 * again:.0f} ms after; LittleCMS {1000 * floor:.0f} ms; "
        f"ratio {first / floor:.1f} and {again / floor:.1f} (<= 4)"
    )


def other_profile(path: Path, lab: np.ndarray) -> None:
    """Print how the built-in presses do against a condition that is not theirs."""
    print(f"\nAgainst {path.name}, which is another condition than either surface")
    truth = open_profile(path).to_print(lab)
    for surface in ("glossy", "matt"):
        press: Press = open_press(surface)
        verdicts(surface, lab, truth, press.to_print(lab))


def main() -> None:
    lab = srgb_to_lab(grid(17))
    truth = np.loadtxt(DATA / "FOGRA39L_coated-17.csv", delimiter=",", skiprows=2)
    forward()
    gamut(lab, truth)
    for argument in sys.argv[1:]:
        other_profile(Path(argument), lab)
    speed()


if __name__ == "__main__":
    main()
