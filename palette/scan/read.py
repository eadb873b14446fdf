"""A scan or photograph of the chart in, the colours that the printer really prints out.

In: sRGB pixels, the resolution that the file names (or None) and the ``ChartList``. Out: a
``ScanReading``: CIELAB (D50) of the patches, relative to the paper's white and the printer's black,
with what was measured on the way. A scan gives no absolute colours: a scanner is no colorimeter.
Where it is known what the scanner's values mean, they are used as they are (see
``palette.scan.profiled``), else the scanner is guessed from the patches (``palette.scan.scanner``).

Raises ``ScanError`` for a scan that is cropped, folded, blurred, saturated, wrongly scaled or of
another chart. Not done here: opening files, fitting the press.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from palette.arrays import Floats32, Mask, Pixels
from palette.chart import ChartList
from palette.scan import checks
from palette.scan.frame import Frame, find_frame
from palette.scan.illumination import light_field
from palette.scan.print_faults import PrintFaults, print_faults
from palette.scan.print_size import PrintedSize, check_scale, measure_size
from palette.scan.profiled import ProfiledScanner, see_profiled
from palette.scan.refusals import ScanError
from palette.scan.sample import read_patches, straighten
from palette.scan.scanner import ScannerReading, see
from palette.scan.targets import FoundTargets, find_targets
from palette.space import de2000


@dataclass(frozen=True, slots=True, eq=False)
class ScanReading:
    """A chart read from a picture.

    Attributes:
        frame: how the sheet lies in the picture.
        scanner: the patches' colours and what was found out about the scanner.
        clean: (n,) which patches read evenly; the others are not to be used.
        size: the printed scale and margins.
        faults: what is wrong with print or scan, short of refusing it.
        falloff: how much darker the darkest paper white is, as a share, before it was taken out.
        blur_mm: smear of an edge, standard deviation.
        noise_de2000: what the reading of one patch is uncertain by, from copies of plain paper.
    """

    frame: Frame
    scanner: ScannerReading
    clean: Mask
    size: PrintedSize
    faults: PrintFaults
    falloff: float
    blur_mm: float
    noise_de2000: float


def read_scan(
    pixels: Pixels,
    dpi: float | None,
    chart: ChartList,
    where: str,
    scanner: ProfiledScanner | None = None,
) -> ScanReading:
    """Read a chart back.

    Args:
        pixels: (rows, cols, 3) uint8: the scanner's own values where ``scanner`` is given, else
            sRGB.
        dpi: what the file names, or None.
        chart: what was printed.
        where: names the file in errors.
        scanner: what its values mean; None to find that out from the patches.

    Raises:
        ScanError: the picture cannot be read; its ``kind`` says why.
    """
    grey: Floats32 = pixels.mean(axis=2, dtype=np.float32)
    frame = _frame(grey, chart, where)
    checks.check_resolution(frame, where)
    sheet = straighten(pixels, frame, chart)
    readings = read_patches(sheet, chart)
    checks.check_whole(readings, where)
    blur = checks.check_sharp(sheet, chart, where)
    checks.check_exposure(readings, chart, where)
    light = light_field(readings, chart)
    checks.check_flat(sheet, readings, light, chart, where)
    checks.check_light(light, where)
    check_scale(frame, chart, dpi, (grey.shape[0], grey.shape[1]), where)
    relative = readings.values / light.at(chart.centres_mm)
    clean = checks.check_content(relative, readings, chart, where)
    if scanner is not None:
        seen = see_profiled(scanner, readings, chart.black & clean, chart)
    else:
        seen = see(relative[clean], chart.rgb[clean], relative[chart.black & clean].mean(axis=0))
    lab = np.full((len(chart.rgb), 3), np.nan)
    lab[clean] = seen.lab[clean] if scanner is not None else seen.lab
    white = lab[chart.white & clean]
    return ScanReading(
        frame=frame,
        scanner=replace(seen, lab=lab),
        clean=clean,
        size=measure_size(frame, sheet, chart, dpi),
        faults=print_faults(sheet, readings, chart),
        falloff=light.falloff,
        blur_mm=blur,
        noise_de2000=float(de2000(white, white.mean(axis=0)).mean()),
    )


def _frame(grey: Floats32, chart: ChartList, where: str) -> Frame:
    targets = find_targets(grey)
    if len(targets.radii_px) < 4:
        raise _too_few(grey, targets, where)
    return find_frame(grey, targets, chart, where)


def _too_few(grey: Floats32, targets: FoundTargets, where: str) -> ScanError:
    """Say why there are not four targets: a smeared picture, a part of a sheet, or no chart."""
    count = len(targets.radii_px)
    if count == 0 and _smear_px(grey) > 4.0:
        return ScanError("blurred", "no corner target stands out and no edge is sharp", where=where)
    if count == 0:
        return ScanError("no chart", "shows no corner target of a chart", where=where)
    return ScanError(
        "cropped",
        f"shows {count} of the chart's 4 corner targets",
        where=where,
        why="the sheet is cut off, folded over or covered, or printed with gaps",
    )


def _smear_px(grey: Floats32) -> float:
    """Return how many pixels the sharpest edges take from dark to light."""
    steps = np.abs(np.diff(grey, axis=1))
    steepest = float(np.percentile(steps, 99.7))
    reach = float(np.percentile(grey, 99.0) - np.percentile(grey, 1.0))
    return reach / max(steepest, 1e-3)
