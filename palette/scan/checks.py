"""Can this scan be trusted? Each reason to refuse it, measured.

In: the frame, the straightened sheet, readings and light of a scan. Out: nothing, or a ``ScanError``
with the reason and its remedy. The order is the order in which a fault explains others: a scan that
is too coarse is also blurred, a folded one also bent.

Not done here: finding the sheet (``targets``, ``frame``).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.lab import srgb_to_lab
from palette.scan.chart_list import ChartList
from palette.scan.faults import (
    BENT_SHARE,
    LEAST_PX_PER_MM,
    MOST_BENT_MM,
    MOST_BLUR_MM,
    MOST_SHADE,
    UNEVEN_SHARE,
    ScanError,
)
from palette.scan.frame import Frame
from palette.scan.light import LightField
from palette.scan.sample import PX_PER_MM, PatchReadings, Straightened

Floats = NDArray[np.float64]

_TOP = 254.5 / 255.0
_FLOOR = 1.5 / 255.0


def check_resolution(frame: Frame, where: str) -> None:
    """Refuse a picture in which patches are too few pixels wide."""
    if frame.px_per_mm < LEAST_PX_PER_MM:
        raise ScanError(
            "resolution",
            f"shows the sheet at {frame.px_per_mm * 25.4:.0f} dpi",
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
            why="neighbouring colours run into each other",
        )
    return blur


def _edge_width(sheet: Straightened, box: Floats) -> float | None:
    """Return the smear of a patch's left and right edge in mm, or None without contrast."""
    left, top, wide, tall = box
    rows = slice(int((top + 0.3 * tall) * PX_PER_MM), int((top + 0.7 * tall) * PX_PER_MM))
    found = []
    for edge, inwards in ((left, 1), (left + wide, -1)):
        start = int((edge - 0.8) * PX_PER_MM) if inwards > 0 else int((edge - 1.8) * PX_PER_MM)
        block = sheet.pixels[rows, max(start, 0) : start + int(2.6 * PX_PER_MM) + 1]
        channel = int(np.argmin(block.mean(axis=(0, 1)))) if block.size else 0
        profile = block[..., channel].mean(axis=0)[::inwards] if block.size else np.zeros(0)
        if profile.size > 8 and np.ptp(profile) > 40.0:
            found.append(_rise(profile) / PX_PER_MM)
    return float(np.mean(found)) if found else None


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
    if (readings.values[light] >= _TOP).any(axis=1).mean() >= 0.5:
        raise ScanError(
            "saturated",
            "light greys read as pure white",
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
            why="the paper is creased, curled or was scanned with a jerk",
        )
    shade = _gutter_shade(sheet, light, chart)
    if (np.abs(shade) > MOST_SHADE).mean() > BENT_SHARE:
        raise ScanError(
            "folded",
            f"a line or shadow crosses the white between the patches ({np.abs(shade).max():.0%})",
            where=where,
            why="the paper is creased, stained or not flat on the glass",
        )
    return float(np.percentile(away, 95.0)) if away.size else 0.0


def _gutter_shade(sheet: Straightened, light: LightField, chart: ChartList) -> Floats:
    """Return how much darker the gutters' crossings are than the paper's light, as shares."""
    boxes = chart.boxes_mm
    corners = boxes[:, :2] + boxes[:, 2:] + 0.7  # half a gutter beyond the lower right corner
    half = 2
    found, places = [], []
    for x, y in corners:
        col, row = int(x * PX_PER_MM), int(y * PX_PER_MM)
        block = sheet.pixels[row - half : row + half, col - half : col + half]
        if block.shape[:2] == (2 * half, 2 * half):
            found.append(np.median(block.reshape(-1, 3), axis=0) / 255.0)
            places.append((x, y))
    shade = np.log(np.maximum(np.array(found), 1e-3) / light.at(np.array(places))).mean(axis=1)
    # white gutters are a little darker than wide white by flare, all of them alike
    result: Floats = shade - np.median(shade)
    return result


def check_content(
    relative: Floats, readings: PatchReadings, chart: ChartList, where: str
) -> NDArray[np.bool_]:
    """Return which patches read cleanly; refuse a grey or a spoilt print.

    A speck or scratch spoils a few patches, which are left out; too many spoil the chart.
    """
    asked, seen = srgb_to_lab(chart.rgb), srgb_to_lab(np.clip(relative, 0.0, 1.0))
    asked_chroma, seen_chroma = (np.hypot(lab[:, 1], lab[:, 2]) for lab in (asked, seen))
    vivid = asked_chroma > 50.0
    if np.median(seen_chroma[vivid]) < 6.0:
        raise ScanError("grey", "holds no colours", where=where)
    usual = float(np.median(readings.unevenness))
    clean: NDArray[np.bool_] = readings.unevenness <= max(4.0 * usual, 0.05)
    order = np.corrcoef(asked[:, 0], seen[:, 0])[0, 1]
    if (~clean).mean() > UNEVEN_SHARE or order < 0.8:
        raise ScanError(
            "damaged",
            f"{int((~clean).sum())} patches are uneven inside"
            if order >= 0.8
            else "light and dark do not follow the chart",
            where=where,
            why="ink is missing, or dirt lies on sheet or glass",
        )
    return clean


def check_light(light: LightField, where: str) -> None:
    """Refuse light that is too uneven to be taken out."""
    if light.falloff > 0.45 or light.rest > 2.0 * MOST_SHADE:
        raise ScanError(
            "folded",
            f"the paper's white changes by {light.falloff:.0%} over the sheet",
            where=where,
            why="the light is too uneven, or the paper is not flat",
        )


