"""The report: one HTML file that stands alone, with every verdict and its picture.

In: a finished job and its rendered pages. Out: bytes of ``report.html``; all pictures are inside
it, and it asks nothing of the network. No dates, so that the same kit gives the same bytes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from jinja2 import Environment, PackageLoader, StrictUndefined

from kit.sheet import Sheet
from kit.writers.svg import path_data
from kitloom import __version__
from kitloom.findings import CODES, Finding
from kitloom.findings.colours import FILL_SHARE
from kitloom.job import Job, UsedPattern
from kitloom.pictures import data_uri, jpeg_bytes, repeated
from kitloom.present.terminal import counted
from kitloom.print_pictures import thin_ringed, where_it_shifts
from palette.plots import lab_plane
from palette.press import Press
from palette.proof import proof_pixels
from patterns.seams import AxisCheck
from patterns.spill import let_go

TILE_PX = 460
SHEET_PX = 1240
FULL_SIZE_SHEETS, FULL_SIZE_TILES = 4, 40  # more share the same number of pixels
SIZES_DPI = 150.0
_CLOSE_DE2000 = 5.0


def report_html(job: Job, previews: Sequence[bytes], tiles: Sequence[dict[str, Any]]) -> bytes:
    """Return the report of a job.

    Args:
        job: a finished job.
        previews: each sheet's preview, a PNG file.
        tiles: ``tile_part`` of each pattern.
    """
    environment = Environment(
        loader=PackageLoader("kitloom"), autoescape=True, undefined=StrictUndefined
    )
    template = environment.get_template("report.html")
    return template.render(_content(job, previews, tiles)).encode()


def _content(
    job: Job, previews: Sequence[bytes], tiles: Sequence[dict[str, Any]]
) -> dict[str, Any]:
    sheets = job.kit.sheets
    stickers = sum(len(sheet.placements) for sheet in sheets)
    paper = job.recipe.sheet.paper
    ruler = sheets[0].ruler
    return {
        "title": job.recipe.kit.name or job.recipe.file.stem,
        "summary": f"{stickers} stickers on {counted(len(sheets), 'sheet')} of {paper.name}, "
        f"{job.recipe.sheet.dpi:g} dpi, {counted(len(job.patterns), 'pattern')}",
        "gravest": _gravest(job.findings),
        "verdict": _verdict(job.findings),
        "findings": job.findings,
        "codes": CODES,
        "sheets": [
            _sheet(sheet, share, _shown(preview, _fair(SHEET_PX, len(sheets), FULL_SIZE_SHEETS)))
            for sheet, share, preview in zip(sheets, job.kit.used, previews, strict=True)
        ],
        "tiles": tiles,
        "press": job.press.name,
        "press_limits": job.press.limits,
        "swatches": _swatches(job),
        "table": _table(job),
        "plane": lab_plane(job.judged.palette, job.press),
        "ruler_mm": f"{ruler.width_mm:g}" if ruler else "",
        "version": __version__,
    }


def _gravest(findings: Sequence[Finding]) -> str:
    grave = {one.severity for one in findings}
    return next((s for s in ("stop", "warn") if s in grave), "")


def _verdict(findings: Sequence[Finding]) -> str:
    stops = sum(one.severity == "stop" for one in findings)
    warns = sum(one.severity == "warn" for one in findings)
    if stops:
        return f"{counted(stops, 'thing')} to mend before printing, {counted(warns, 'warning')}."
    if warns:
        return f"Ready to print; {counted(warns, 'warning')} to read first."
    return "Ready to print. Nothing to mend."


def _fair(width_px: int, pictures: int, full_size: int) -> int:
    """Return how wide each of many pictures may be, so that a large kit's report stays small."""
    return max(160, round(width_px * math.sqrt(min(1.0, full_size / pictures))))


def _shown(preview: bytes, width_px: int) -> bytes:
    """Return a sheet's preview as a JPEG file, no wider than ``width_px``."""
    from io import BytesIO

    from PIL import Image

    with Image.open(BytesIO(preview)) as picture:
        height_px = round(picture.height * width_px / picture.width)
        small = picture.width > width_px
        shown = picture.resize((width_px, height_px), reducing_gap=2.0) if small else picture
        return jpeg_bytes(np.asarray(shown))


def _sheet(sheet: Sheet, used: float, preview: bytes) -> dict[str, Any]:
    return {
        "picture": data_uri(preview),
        "width_mm": round(sheet.width_mm, 3),
        "height_mm": round(sheet.height_mm, 3),
        "stickers": len(sheet.placements),
        "used": f"{used:.0%}",
        "cuts": [path_data(placed.outline) for placed in sheet.placements],
        "bleeds": [path_data(placed.printed_outline) for placed in sheet.placements],
    }


def tile_part(used: UsedPattern, job: Job) -> dict[str, Any]:
    """Return what the report shows of one pattern; may run beside others."""
    from patterns.seam_picture import seam_picture

    study, plane = used.study, used.plane
    art = study.artwork
    width_px = _fair(TILE_PX, len(job.patterns), FULL_SIZE_TILES)
    shown = repeated(art.pixels, study.lattice, width_px=width_px)
    doubtful = study.check.seamless is not True
    shifts = used.printed.share_out_of_gamut >= FILL_SHARE
    content = {
        "name": used.name,
        "picture": data_uri(jpeg_bytes(shown)),
        "printed_picture": data_uri(jpeg_bytes(proof_pixels(shown, job.press))) if shifts else "",
        "size": f"{art.width_px} × {art.height_px} px",
        "lattice": study.lattice.name,
        "repeat": f"{plane.repeat_mm:.1f} × {plane.height_mm:.1f} mm",
        "dpi": f"{plane.effective_dpi:.0f}",
        "printed": _printed(used),
        "print_size": _print_size(used, job.press) if shifts else [],
        "thin_picture": data_uri(jpeg_bytes(thin_ringed(art.pixels, used.thin, TILE_PX)))
        if used.thin
        else "",
        "strips": [
            _strip(study.check.x, "left and right edge"),
            _strip(study.check.y, "top and bottom edge"),
        ],
        "seam_picture": data_uri(jpeg_bytes(seam_picture(art.pixels, study.check)))
        if doubtful
        else "",
        "question": _question(used),
        "sizes": _sizes(used, job.recipe.planner.box),
    }
    let_go(art.pixels)
    return content


def _question(used: UsedPattern) -> str:
    if used.study.check.seamless is not None:
        return ""
    if used.looked:
        return "You looked at it."
    return "Does the pattern go on across the middle as it does elsewhere?"


def _printed(used: UsedPattern) -> str:
    share = used.printed.share_out_of_gamut
    return "prints as it is seen" if share < 0.005 else f"{share:.0%} of its area shifts in print"


def _print_size(used: UsedPattern, press: Press) -> list[dict[str, str]]:
    """One repeat as drawn, as it prints and where it shifts, to be shown at its true size."""
    plane = used.plane
    window = plane.sample(0.0, 0.0, plane.repeat_mm, plane.height_mm, SIZES_DPI)
    return [
        {
            "picture": data_uri(jpeg_bytes(pixels)),
            "width_mm": f"{plane.repeat_mm:g}",
            "label": label,
        }
        for label, pixels in (
            ("as drawn", window),
            ("as it prints", proof_pixels(window, press)),
            ("where it shifts", where_it_shifts(window, press)),
        )
    ]


def _sizes(used: UsedPattern, box_mm: tuple[float, float]) -> list[dict[str, Any]]:
    """A half box of each repeat that was considered, to be shown at its true size."""
    if used.sizes is None:
        return []
    width, height = box_mm[0], box_mm[1] / 2.0
    made = []
    for choice in used.sizes.considered:
        plane = replace(used.plane, repeat_mm=choice.repeat_mm)
        window = plane.sample(0.0, 0.0, width, height, SIZES_DPI)
        made.append(
            {
                "picture": data_uri(jpeg_bytes(window)),
                "width_mm": f"{width:g}",
                "repeat": f"{choice.repeat_mm:.1f} mm",
                "chosen": choice.repeat_mm == used.sizes.repeat_mm,
            }
        )
    return made


def _strip(axis: AxisCheck, label: str) -> dict[str, Any]:
    """How far the sides differ along the edge (full height is 20), and where that is a fault."""
    length = axis.strength.size
    pieces = np.array_split(np.asarray(axis.strength, dtype=np.float64), min(200, length))
    tops = [min(1.0, float(piece.max(initial=0.0)) / 20.0) for piece in pieces]
    step = 200.0 / len(tops)
    points = " ".join(
        f"L{i * step:.2f} {30 - 30 * top:.2f}L{(i + 1) * step:.2f} {30 - 30 * top:.2f}"
        for i, top in enumerate(tops)
    )
    return {
        "label": label,
        "verdict": axis.verdict,
        "shows": axis.verdict == "seam",
        "path": f"M0 30{points}L200 30Z",
        "faults": [
            {
                "x": round(200.0 * fault.from_px / length, 2),
                "width": round(max(1.0, 200.0 * (fault.to_px - fault.from_px) / length), 2),
            }
            for fault in axis.faults
        ],
    }


_GRADES = {
    "as seen": "prints as it is seen",
    "borderline": "prints a little different",
    "will shift": "shifts in print",
}


def _swatches(job: Job) -> list[dict[str, Any]]:
    judged = job.judged
    return [
        {
            "name": swatch.name,
            "hex": swatch.hex,
            "role": str(swatch.role),
            "share": f"{swatch.share:.1%}",
            "source": max(swatch.sources, key=lambda name: swatch.sources[name]),
            "printed_hex": colour.printed_hex,
            "grade": _GRADES[colour.grade],
            "shift": f"by {colour.shift_de2000:.1f}" if colour.grade != "as seen" else "",
        }
        for swatch, colour in zip(judged.palette.swatches, judged.colours, strict=True)
    ]


def _table(job: Job) -> list[dict[str, Any]]:
    judged = job.judged
    apart = {(pair.a, pair.b): pair for pair in judged.pairs}
    rows = []
    for one in judged.palette.swatches:
        cells = []
        for other in judged.palette.swatches:
            pair = apart.get((one.hex, other.hex)) or apart.get((other.hex, one.hex))
            if pair is None:
                cells.append({"text": "", "close": False})
                continue
            printed = pair.de2000 if pair.de2000_printed is None else pair.de2000_printed
            cells.append(
                {
                    "text": f"{pair.de2000:.0f} / {printed:.0f}",
                    "close": min(pair.de2000, printed) < _CLOSE_DE2000,
                }
            )
        rows.append({"hex": one.hex, "name": one.name, "cells": cells})
    return rows
