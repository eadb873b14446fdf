"""Can this scan be trusted? Each reason to refuse it, measured.

In: the frame, the straightened sheet, readings and light of a scan. Out: nothing, or a
``ScanError`` with the reason and its remedy. The order is the order in which a fault explains
others: a scan that is too coarse is also blurred, a folded one also bent.

Not done here: finding the sheet (``targets``, ``frame``).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Mask
from palette.chart import ChartList
from palette.inch import MM_PER_INCH
from palette.scan.frame import Frame
from palette.scan.illumination import LightField
from palette.scan.refusals import (
    BENT_SHARE,
    LEAST_PX_PER_MM,
    MOST_BENT_MM,
    MOST_BLUR_MM,
    MOST_LOST_WHITE,
    MOST_SHADE,
    UNEVEN_SHARE,
    ScanError,
)
from palette.scan.sample import PX_PER_MM, PatchReadings, Straightened
from palette.space import srgb_to_lab, srgb_to_xyz

_TOP = 252.0 / 255.0  # noise that is cut off on one side lowers the mean
_FLOOR = 1.5 / 255.0
_CUT_OFF = 2.5 / 255.0
_HALF_GUTTER = 0.7  # mm


def check_resolution(frame: Frame, where: str) -> None:
    """Refuse a picture in which patches are too few pixels wide."""
    if frame.px_per_mm < LEAST_PX_PER_MM:
        raise ScanError(
            "resolution",
            f"shows the sheet at {frame.px_per_mm * MM_PER_INCH:.0f} dpi",
            where=where,
            why="too few pixels fall on a patch",
        )


def check_whole(readings: PatchReadings, where: str) -> None:
    """Refuse a picture that ends before the patches do."""
    missing = int((~readings.seen).sum())
    if missing:
        raise ScanError("cropped", f"{missing} patches are outside the picture", where=where)


def check_sharp(sheet: Straightened, chart: ChartList, where: str) -> float:
    """Return how far edges are smeared, in mm (standard deviation); refuse a blurred picture."""
    widths = [
        width
        for box, rgb in zip(chart.boxes_mm, chart.rgb, strict=True)
        if int(rgb.astype(int).min()) < 120
        for width in (_edge_width(sheet, box),)
        if width is not None
    ]
    # four fifths of the sheet have to be sharp, not only its middle
    blur = float(np.percentile(widths, 80.0)) if widths else np.inf
    if blur > MOST_BLUR_MM:
        raise ScanError(
            "blurred",
            f"an edge smears over {blur:.2f} mm" if widths else "no patch has a clear edge",
            where=where,
            why="neighbouring colours run together",
        )
    return blur


def _edge_width(sheet: Straightened, box: Floats) -> float | None:
    """Return the smear of a patch's left and right edge in mm, or None without contrast."""
    left, top, wide, tall = box
    rows = slice(int((top + 0.3 * tall) * PX_PER_MM), int((top + 0.7 * tall) * PX_PER_MM))
    values = []
    for edge, inwards in ((left, 1), (left + wide, -1)):
        start = int((edge - 0.8) * PX_PER_MM) if inwards > 0 else int((edge - 1.8) * PX_PER_MM)
        block = sheet.pixels[rows, max(start, 0) : start + int(2.6 * PX_PER_MM) + 1]
        channel = int(np.argmin(block.mean(axis=(0, 1)))) if block.size else 0
        profile = block[..., channel].mean(axis=0)[::inwards] if block.size else np.zeros(0)
        if profile.size > 8 and np.ptp(profile) > 40.0:
            values.append(_rise(profile) / PX_PER_MM)
    return float(np.mean(values)) if values else None


def _rise(profile: Floats) -> float:
    """Return the standard deviation of the edge in a profile that falls from light to dark, px."""
    high, low = profile[:3].max(), np.median(profile[-5:])
    share = (profile - low) / max(high - low, 1e-9)
    at = np.arange(len(share))
    upper = int(np.argmax(share < 0.8))
    lower = int(np.argmax(share < 0.2))
    if upper == 0 or lower == 0:
        return 4.0

    def crossing(index: int, level: float) -> float:
        before, after = share[index - 1], share[index]
        return float(at[index] - (level - after) / max(before - after, 1e-9))

    # from 80 to 20 % a normal edge takes 1.683 standard deviations
    return (crossing(lower, 0.2) - crossing(upper, 0.8)) / 1.683


def check_exposure(readings: PatchReadings, chart: ChartList, where: str) -> None:
    """Refuse a picture whose lights or shadows have run into the end of the scale."""
    grey = chart.neutral
    light = grey & (chart.rgb[:, 0] < 255) & (chart.rgb[:, 0] >= 220)
    pale = (readings.values[light] >= _TOP).any(axis=1).mean() >= 0.5
    if pale or _lost_white(readings, chart) > MOST_LOST_WHITE:
        raise ScanError(
            "saturated",
            "light greys read as pure white"
            if pale
            else "paper is brighter than the scan can show",
            where=where,
            why="paper and pale colours cannot be told apart",
        )
    dark = grey & (chart.rgb[:, 0] <= 50)
    if (readings.values[dark] <= _FLOOR).all(axis=1).mean() >= 0.7:
        raise ScanError(
            "crushed",
            "dark greys read as pure black",
            where=where,
            why="the printer's deep colours cannot be told apart",
        )


def _lost_white(readings: PatchReadings, chart: ChartList) -> float:
    """Return by what share paper would read beyond the end of the scale, by the greys' own line.

    Values are a power of light, so in logarithms greys lie on a line that ends at the paper.
    """
    white = readings.values[chart.white].mean(axis=1)
    if np.median(white) < 0.98 or (white >= _TOP).mean() < 0.5:
        return 0.0
    grey = chart.neutral & (chart.rgb[:, 0] >= 110) & (chart.rgb[:, 0] < 250)
    grey &= (readings.values < _TOP).all(axis=1)
    if grey.sum() < 4:
        return 1.0
    light = np.log(srgb_to_xyz(chart.rgb[grey])[:, 1])
    _, at_paper = np.polyfit(light, np.log(readings.values[grey].mean(axis=1)), 1)
    return float(np.exp(at_paper)) - 1.0


def check_flat(
    sheet: Straightened,
    readings: PatchReadings,
    light: LightField,
    chart: ChartList,
    where: str,
) -> float:
    """Return how far patches lie from their places, in mm (95 %); refuse a sheet that is not flat.

    A crease or a curl moves patches, or lays a shadow across the gutters between them.
    """
    away = np.hypot(*readings.bent_mm[np.isfinite(readings.bent_mm).all(axis=1)].T)
    if (away > MOST_BENT_MM).mean() > BENT_SHARE:
        raise ScanError(
            "folded",
            f"patches lie up to {np.percentile(away, 99.0):.1f} mm from where they should be",
            where=where,
            why="the paper is creased or curled, moved while it was scanned, or the printer cut a "
            "corner target off",
        )
    shade = _gutter_shade(sheet, light, chart)
    if (shade > MOST_SHADE).mean() > BENT_SHARE:
        raise ScanError(
            "folded",
            f"a line or shadow crosses the white between the patches ({shade.max():.0%} darker)",
            where=where,
            why="the paper is creased, stained or not flat on the glass",
        )
    return float(np.percentile(away, 95.0)) if away.size else 0.0


def _gutter_shade(sheet: Straightened, light: LightField, chart: ChartList) -> Floats:
    """Return how much darker than the paper's light each gutter is at its darkest, as shares.

    Each patch has two: right of it and below it. A crease across the sheet meets one a patch.
    """
    values, places = [], []
    for left, top, wide, tall in chart.boxes_mm:
        right, below = left + wide + _HALF_GUTTER, top + tall + _HALF_GUTTER
        for first, last in (((right, top), (right, below)), ((left, below), (right, below))):
            (x0, y0), (x1, y1) = first, last
            cols = slice(int(x0 * PX_PER_MM) - 1, int(x1 * PX_PER_MM) + 1)
            rows = slice(int(y0 * PX_PER_MM) - 1, int(y1 * PX_PER_MM) + 1)
            block = sheet.pixels[rows, cols].mean(axis=2) / 255.0
            profile = block.mean(axis=0 if x1 - x0 > y1 - y0 else 1)
            smooth = np.convolve(profile, np.full(4, 0.25), mode="valid")
            values.append(smooth.min())
            places.append(((x0 + x1) / 2.0, (y0 + y1) / 2.0))
    paper = light.at(np.array(places)).mean(axis=1)
    shade = 1.0 - np.array(values) / paper
    # white gutters are a little darker than wide white by flare, all of them alike
    result: Floats = shade - max(float(np.median(shade)), 0.0)
    return result


def check_content(relative: Floats, readings: PatchReadings, chart: ChartList, where: str) -> Mask:
    """Return which patches read cleanly; refuse a grey or a spoilt print.

    A speck or scratch spoils a few patches, which are left out; too many spoil the chart.
    """
    request, seen = srgb_to_lab(chart.rgb), srgb_to_lab(np.clip(relative, 0.0, 1.0))
    request_chroma, seen_chroma = (np.hypot(lab[:, 1], lab[:, 2]) for lab in (request, seen))
    vivid = request_chroma > 50.0
    if np.median(seen_chroma[vivid]) < 6.0:
        raise ScanError("grey", "holds no colours", where=where)
    usual = float(np.median(readings.unevenness))
    clean: Mask = readings.unevenness <= max(4.0 * usual, 0.05)
    order = np.corrcoef(request[:, 0], seen[:, 0])[0, 1]
    if (~clean).mean() > UNEVEN_SHARE or order < 0.8:
        raise ScanError(
            "damaged",
            f"{int((~clean).sum())} patches are uneven inside"
            if order >= 0.8
            else "light and dark do not follow the chart",
            where=where,
            why="ink is missing, or dirt lies on sheet or glass",
        )
    return clean & _within_scale(readings, chart)


def _within_scale(readings: PatchReadings, chart: ChartList) -> Mask:
    """Return which patches no channel of the scanner cut off: vivid ones may lie beyond it."""
    paper = np.median(readings.values[chart.white], axis=0)
    low = (readings.values <= _CUT_OFF).any(axis=1) & ~chart.neutral
    high = ((readings.values >= 1.0 - _CUT_OFF) & (paper < 1.0 - 2.0 * _CUT_OFF)).any(axis=1)
    within: Mask = ~(low | high)
    return within


def check_light(light: LightField, where: str) -> None:
    """Refuse light that is too uneven to be taken out."""
    if light.falloff > 0.45 or light.rest > 2.0 * MOST_SHADE:
        raise ScanError(
            "folded",
            f"the paper's white changes by {light.falloff:.0%} over the sheet",
            where=where,
            why="the light is too uneven, or the paper is not flat",
        )
