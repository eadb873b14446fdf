"""How well does a press fitted to a chart forecast a known press? Against the built-in presses.

Run ``python -m benchmarks.chart``. For each known press: 500 fresh sRGB colours, the mean and 95 %
CIEDE2000 between forecast and true print, and the share of equal verdicts (shift of 3); first of
the built-in presses, then of fits to an instrument's file (noise 0.3 a coordinate) and to scans: by
scanners of the family that is fitted, by others that are held out, and by others whose word is
taken (``--colour-managed``, ``--scanner``). "doubt" marks a reading that says itself that it does
not hold. Then the curve of error against the number of patches (``--curve`` alone: only that).
"""

from __future__ import annotations

import sys

import numpy as np
from numpy.typing import NDArray

from benchmarks.chart_prints import (
    BENT,
    BROAD,
    SRGB,
    Glass,
    KnownPress,
    fogra39,
    pictured,
    swop,
    tinted,
    unmanaged,
    vivid,
)
from kit.chart import ChartLayout, ChartWords, chart_page, lay_chart
from kit.recipe import find_paper
from palette.chart import chart_colours, grey_ramp
from palette.chart.measurement import relative_to_print
from palette.press import builtin_press, fit_chart
from palette.press.chart_fit import ChartFit
from palette.scan import SRGB_SCANNER, ProfiledScanner, ScanReading, read_scan
from palette.space import de2000, srgb_to_lab

Floats = NDArray[np.float64]

FRESH = np.random.default_rng(2718).random((500, 3))
COUNTS = (8, 16, 32, 60, 100, 140, 180, 240, 300)
GLASSES = (
    Glass(),
    Glass(turn_deg=-3.0, lean=0.02, gamma=2.4, seed=2),
    Glass(turn_deg=2.0, mirrored=True, gamma=1.8, seed=3),
    Glass(turn_deg=0.3, lean=0.05, cross_talk=0.1, seed=4),
)


HELD_OUT = tuple(Glass(sensor=one) for one in (SRGB, BENT, BROAD))
TAKEN_AT_ITS_WORD = (
    (Glass(sensor=SRGB), SRGB_SCANNER),
    (Glass(sensor=BENT), SRGB_SCANNER),
    (Glass(sensor=BROAD), ProfiledScanner("its own", BROAD.to_xyz)),
)


def presses() -> list[KnownPress]:
    known = [fogra39(), tinted(fogra39()), vivid(fogra39()), unmanaged()]
    other = swop()
    more = [] if other is None else [other, tinted(other), vivid(other)]
    return [*known[:1], *more, *known[1:]]


def by_instrument(press: KnownPress, rgb: NDArray[np.uint8], seed: int = 1) -> ChartFit:
    """Return the fit to an instrument's readings of these colours."""
    noise = np.random.default_rng(seed).normal(0.0, 0.3, (len(rgb), 3))
    table = relative_to_print(rgb, press.absolute(rgb / 255.0) + noise, len(rgb), "benchmark")
    return fit_chart(table.rgb, table.lab)


def by_scan(
    press: KnownPress, layout: ChartLayout, glass: Glass, word: ProfiledScanner | None = None
) -> tuple[ChartFit, ScanReading]:
    """Return the fit to a scan of the chart at 150 dpi, and the reading."""
    raster = chart_page(layout, ChartWords("Colour chart"), dpi=150.0).raster
    scan = read_scan(pictured(raster, press, glass), 150.0, layout.chart, "benchmark", word)
    return fit_chart(layout.chart.rgb[scan.clean], scan.scanner.lab[scan.clean]), scan


def judge(printed: Floats, press: KnownPress) -> tuple[float, float, float]:
    """Return mean and 95 % CIEDE2000 and the share of equal verdicts over the fresh colours."""
    asked, truth = srgb_to_lab(FRESH), press.relative(FRESH)
    off = de2000(printed, truth)
    same = (de2000(asked, printed) >= 3.0) == (de2000(asked, truth) >= 3.0)
    return float(off.mean()), float(np.percentile(off, 95.0)), float(same.mean())


def _line(name: str, figures: tuple[float, float, float], note: str = "") -> None:
    mean, p95, same = figures
    print(f"  {name:40} mean {mean:5.2f}   95 % {p95:5.2f}   same verdict {same:6.1%}   {note}")


def main() -> None:
    if "--curve" in sys.argv[1:]:
        _curve()
        return
    layout = lay_chart(find_paper("Letter"))
    for press in presses():
        print(press.name)
        for surface in ("glossy", "matt"):
            _line(f"built-in {surface}", judge(_builtin(surface), press))
        fit = by_instrument(press, layout.chart.rgb)
        note = f"left out {fit.error.mean_de2000:.2f}"
        _line("instrument", judge(fit.predict(FRESH), press), note)
        for i, glass in enumerate(GLASSES, start=1):
            _scanned(f"scan {i}, of the fitted family", press, layout, glass)
        for glass in HELD_OUT:
            _scanned(f"scan, {_sensor(glass)}", press, layout, glass)
        for glass, word in TAKEN_AT_ITS_WORD:
            _scanned(f"at its word, {_sensor(glass)}", press, layout, glass, word)
        sys.stdout.flush()
    _curve()


def _sensor(glass: Glass) -> str:
    return glass.sensor.name if glass.sensor is not None else ""


def _scanned(
    name: str,
    press: KnownPress,
    layout: ChartLayout,
    glass: Glass,
    word: ProfiledScanner | None = None,
) -> None:
    fit, scan = by_scan(press, layout, glass, word)
    guess = scan.scanner.fit
    note = f"left out {fit.error.mean_de2000:.2f}"
    if guess is not None:
        note += f", anchor {guess.anchor_de2000:.2f}{', doubt' if guess.doubtful else ''}"
    _line(name, judge(fit.predict(FRESH), press), note)


def _curve() -> None:
    print("\nmean CIEDE2000 against the number of patches, instrument")
    print("  patches  " + "  ".join(f"{n:5d}" for n in COUNTS))
    for press in presses():
        errors = []
        for count in COUNTS:
            rgb = np.concatenate([chart_colours(count), grey_ramp()])
            errors.append(judge(by_instrument(press, rgb).predict(FRESH), press)[0])
        print("           " + "  ".join(f"{e:5.2f}" for e in errors) + f"  {press.name}")


def _builtin(surface: str) -> Floats:
    return builtin_press(surface).to_print(srgb_to_lab(FRESH))


if __name__ == "__main__":
    sys.exit(main())
