"""How good and how quick is the print prediction? Figures against published data, in one run.

Usage: python -m benchmarks.gamut [PROFILE.icc...]

Truth is, first, the published patches themselves: what was printed can be printed (within the ink
limit, and where sRGB can ask for it). Second, two printer profiles of one condition, which never
quite agree: sRGB to ink and back, relative colorimetric, black point compensation on both sides, in
doubles; their answers are kept beside the tests. A profile named is asked about fresh colours,
through ``transicc``; the kept answers come from these packages of Debian 12:

- FOGRA39L_coated.icc (a table of 17 nodes an axis): texlive-base 2022.20230122-3;
- ISOcoated_v2_300_bas.icc (33 nodes): scribus-data 1.5.8+dfsg-4;
- default_cmyk.icc, of another condition (SWOP-like): libgs-common 10.0.0~dfsg-11+deb12u9;
- transicc: liblcms2-utils 2.14-2.

The built-in presses never see a profile. Where its mapping and its reach were chosen, that was done
on other colours: fresh ones here have another seed. Baselines: the two profiles against each other,
the answers rounded by tables of 17 and 33 nodes, other ways into the gamut, and LittleCMS's own
soft proof of the same picture.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import numpy as np

from palette.press import HUES, LEVELS, open_press
from palette.press.builtin import BuiltinPress
from palette.press.conditions import GLOSSY, MATT
from palette.press.mapping import HUE_KEEPING, Weights, clip
from palette.press.neugebauer import (
    PrintCondition,
    black_lightness,
    paper_relative,
    print_lab,
    without_black,
)
from palette.proof import assess_fill, proof_pixels
from palette.space import (
    de2000,
    from_polar,
    lab_to_oklab,
    lab_to_srgb,
    oklab_to_lab,
    srgb_to_lab,
    to_polar,
)

DATA = Path(__file__).parents[1] / "tests" / "standards" / "data"
PROFILES = ("FOGRA39L_coated", "ISOcoated_v2_300_bas")
BANDS = ((0, 15), (15, 30), (30, 50), (50, 70), (70, 85), (85, 101))
TOLD = 3.0  # CIEDE2000: the verdict

Mapped = Callable[[np.ndarray], np.ndarray]


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


def published(condition: PrintCondition) -> np.ndarray:
    """Return the published patches as colours to ask for, where ink limit and sRGB hold them."""
    rows = np.loadtxt(DATA / f"{condition.name}.csv", delimiter=",", skiprows=2)
    kept = rows[:, :4].sum(axis=1) <= 100.0 * condition.ink_limit + 1e-6
    relative = paper_relative(condition, rows[kept, 4:])
    seen = without_black(relative, black_lightness(condition))
    return seen[de2000(seen, srgb_to_lab(lab_to_srgb(seen))) < 0.01]


def patches() -> None:
    print("\nPublished patches, which print by definition: called unprintable, mean shift")
    print("  (<= 1 %, <= 0.2 in every band of L*)")
    for condition in (GLOSSY, MATT):
        seen = published(condition)
        press = BuiltinPress(condition, "", "")
        shown = (("used", press.to_print), *((f"{n} nodes", rounded(press, n)) for n in (17, 33)))
        for title, mapped in shown:
            shift = de2000(seen, mapped(seen))
            print(f"  {condition.name}, {title:9s}", in_bands(seen[:, 0], BANDS, shift))


def in_bands(at: np.ndarray, bands: Sequence[tuple[int, int]], shift: np.ndarray) -> str:
    """Return in words what is called out and how far colours move, band by band."""
    told = []
    for low, high in bands:
        own = shift[(at >= low) & (at < high)]
        if len(own):
            out = 100 * (own >= TOLD).mean()
            told.append(f"{low} to {high} ({len(own)}): {out:.1f} %, {own.mean():.2f}")
    return "; ".join(told)


def verdict(lab: np.ndarray, truth: np.ndarray, model: np.ndarray) -> str:
    """Return in words how one print agrees with another."""
    moved, said, off = de2000(lab, truth), de2000(lab, model), de2000(truth, model)
    return (
        f"agree {((moved >= TOLD) == (said >= TOLD)).mean():.3f}, "
        f"safe and is not {100 * ((moved >= TOLD) & (said < TOLD)).mean():.2f} %, "
        f"safe though over 6: {int(((moved > 6) & (said < TOLD)).sum())}, "
        f"shift off {np.abs(moved - said).mean():.2f}, "
        f"printed off {off.mean():.2f}, 95 % {np.percentile(off, 95):.2f}"
    )


def rounded(press: BuiltinPress, nodes: int) -> Mapped:
    """Return the press's answers as a profile's table of so many nodes an axis would give them."""
    from scipy.ndimage import map_coordinates

    axes = np.linspace(0.0, 100.0, nodes), *[np.linspace(-128.0, 128.0, nodes)] * 2
    grid_lab = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1)
    answers = press.to_print(grid_lab.reshape(-1, 3)).reshape(grid_lab.shape)

    def mapped(lab: np.ndarray) -> np.ndarray:
        at = ((lab - grid_lab[0, 0, 0]) / [100.0, 256.0, 256.0] * (nodes - 1)).T
        bands = [map_coordinates(answers[..., i], at, order=1, mode="nearest") for i in range(3)]
        return np.stack(bands, axis=-1)

    return mapped


def clipped(press: BuiltinPress, weights: Weights) -> Mapped:
    """Return another way into the gamut of a press."""

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


def kept_answers() -> None:
    """Judge on the answers of both profiles that are kept beside the tests."""
    lab = srgb_to_lab(grid(17))
    truths = {
        name: np.loadtxt(DATA / f"{name}-17.csv", delimiter=",", skiprows=2) for name in PROFILES
    }
    judge("17 x 17 x 17 sRGB colours", lab, truths)
    rows = np.loadtxt(DATA / "pastels.csv", delimiter=",", skiprows=2)
    pastel = srgb_to_lab(rows[:, :3].astype(np.uint8))
    judge("pastels, L* over 88", pastel, {PROFILES[0]: rows[:, 3:6], PROFILES[1]: rows[:, 6:9]})


def judge(title: str, lab: np.ndarray, truths: Mapping[str, np.ndarray]) -> None:
    """Print how the glossy press agrees with profiles of its condition, and how else it might."""
    print(f"\nglossy against profiles: {title} ({len(lab)})")
    press = open_press("glossy")
    assert isinstance(press, BuiltinPress)
    some = slice(0, None, 1 + len(lab) // 1000)
    ways = (
        ("used", press.to_print, slice(None)),
        ("rounded by 17 nodes", rounded(press, 17), slice(None)),
        ("rounded by 33 nodes", rounded(press, 33), slice(None)),
        ("hue kept, OKLab", clipped(press, HUE_KEEPING), slice(None)),
        ("hue kept, CIELAB", lambda some: lab_hue_keeping(press, some), some),
        ("least CIEDE2000", lambda some: nearest_de2000(press, some), some),
    )
    for name, truth in truths.items():
        for way, mapped, part in ways:
            print(f"  {name}, {way}: {verdict(lab[part], truth[part], mapped(lab[part]))}")
        split(lab, truth, press.to_print(lab))
    names = list(truths)
    for i, name in enumerate(names):
        for other in names[i + 1 :]:
            what = verdict(lab, truths[name], truths[other])
            print(f"  {name} against {other}: {what}")
    said = press.shift(lab) >= TOLD
    where_they_agree(lab, said, *(de2000(lab, truths[name]) >= TOLD for name in names[:2]))


def split(lab: np.ndarray, truth: np.ndarray, model: np.ndarray) -> None:
    """Print how one print agrees with another, by lightness and by hue."""
    hue = np.degrees(np.arctan2(lab[:, 2], lab[:, 1])) % 360.0
    turns = [(low, low + 45) for low in range(0, 360, 45)]
    for word, values, bands in (("L*", lab[:, 0], BANDS), ("hue", hue, turns)):
        for low, high in bands:
            own = (values >= low) & (values < high)
            if own.any():
                what = verdict(lab[own], truth[own], model[own])
                print(f"    {word} {low} to {high} ({own.sum()}): {what}")


def where_they_agree(
    lab: np.ndarray, said: np.ndarray, first: np.ndarray, second: np.ndarray
) -> None:
    """Print how the verdicts fare where two profiles have one verdict, dark colours apart."""
    for where, own in (("L* under 20", lab[:, 0] < 20.0), ("the rest", lab[:, 0] >= 20.0)):
        both = own & (first == second)
        if both.any():
            print(
                f"  {where}: the two profiles agree on {(first == second)[own].mean():.3f}; there "
                f"glossy agrees to {(said == first)[both].mean():.3f}, "
                f"safe and is not {100 * (first & ~said)[both].mean():.2f} %"
            )


def fresh(paths: Sequence[Path]) -> None:
    """Judge on colours that nothing here was chosen on: of all kinds, pastel and dark."""
    random = np.random.default_rng(20261130)
    many = random.integers(0, 256, (400_000, 3), dtype=np.uint8)
    light = srgb_to_lab(many)[:, 0]
    for title, rgb in (
        ("random colours", many[:4000]),
        ("pastels, L* over 88", many[light > 88.0][:4000]),
        ("L* under 20", many[light < 20.0][:4000]),
    ):
        judge(title, srgb_to_lab(rgb), {path.stem: through_profile(path, rgb) for path in paths})


def through_profile(path: Path, rgb: np.ndarray) -> np.ndarray:
    """Return what a profile prints of sRGB uint8 colours, CIELAB (D50), by LittleCMS in doubles."""
    inks = _transicc(["-i*sRGB", f"-o{path}"], rgb)
    return _transicc([f"-i{path}", "-o*Lab"], inks)


def _transicc(between: Sequence[str], rows: np.ndarray) -> np.ndarray:
    text = "\n".join(" ".join(f"{value:.6f}" for value in row) for row in rows) + "\n"
    command = ["transicc", "-v0", "-n", "-c0", "-t1", "-b", *between]
    done = subprocess.run(command, input=text, capture_output=True, text=True, check=True)
    lines = [line for line in done.stdout.splitlines() if line[:1] in set("-0123456789")]
    found = np.array([[float(word) for word in line.split()] for line in lines])
    assert len(found) == len(rows)
    return found


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


def main() -> None:
    paths = [Path(argument) for argument in sys.argv[1:]]
    if paths and shutil.which("transicc") is None:
        sys.exit("A profile is asked through transicc: install liblcms2-utils.")
    forward()
    patches()
    kept_answers()
    if paths:
        fresh(paths)
    speed()


if __name__ == "__main__":
    main()
