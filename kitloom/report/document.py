"""The report: one HTML file that stands alone, with every verdict and its picture.

In: a judged kit and its rendered pages. Out: bytes of ``report.html``; all pictures are inside
it, and it asks nothing of the network. No dates, so that the same kit gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any

import numpy as np
from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from kit.render import Page
from kit.sheet import Sheet, mark_point
from kit.writers import path_data
from kitloom import __version__
from kitloom.findings import (
    CLOSE_DE2000,
    FILL_SHARE,
    GRADE_WORDS,
    PRINTS_TRUE,
    Finding,
    kinds_of,
    rest_sentence,
    where_words,
)
from kitloom.inks import JudgedDrawing
from kitloom.kits import JudgedKit, worst_cuts
from kitloom.present import plural
from kitloom.report.coordinate_parts import coordinate_parts
from kitloom.report.pictures import data_uri, fair, jpeg_bytes
from kitloom.roads import CAUTIONS, PRINTING
from palette.choose import share_words
from palette.pairs import lab_plane
from palette.press import Press
from palette.proof import proof_pixels
from patterns.plane import reduce_to

SHEET_PX = 1240
DRAWING_PX = 320
FULL_SIZE_SHEETS = 4  # more share the same number of pixels


def report_html(
    kit: JudgedKit,
    pictures: Iterable[bytes],
    prints: Iterable[bytes],
    tiles: Sequence[dict[str, Any]],
) -> bytes:
    """Return the report of a kit.

    Args:
        kit: a judged kit.
        pictures: ``sheet_picture`` of each sheet in turn.
        prints: ``print_picture`` of each sheet in turn.
        tiles: ``tile_part`` of each pattern.
    """
    return template().render(_content(kit, pictures, prints, tiles)).encode()


@cache
def template() -> Template:
    """Return the report's template, which takes a moment to read at first."""
    environment = Environment(
        loader=PackageLoader("kitloom"), autoescape=True, undefined=StrictUndefined
    )
    return environment.get_template("report.html")


def _content(
    kit: JudgedKit,
    pictures: Iterable[bytes],
    prints: Iterable[bytes],
    tiles: Sequence[dict[str, Any]],
) -> dict[str, Any]:
    sheets = kit.kit.sheets
    stickers = sum(len(sheet.placements) for sheet in sheets)
    paper = kit.recipe.sheet.paper
    ruler, beside = sheets[0].ruler, sheets[0].ruler_down
    return {
        "title": kit.title,
        "summary": f"{stickers} stickers on {plural(len(sheets), 'sheet')} of {paper.name}, "
        f"{kit.recipe.sheet.dpi:g} dpi, {plural(len(kit.patterns), 'pattern')}",
        "gravest": _gravest(kit.findings),
        "verdict": _verdict(kit.findings),
        "kinds": kinds_of(kit.findings),
        "sheets": [
            _sheet(sheet, share, picture)
            | {"print": data_uri(drawn), "worst": worst_cuts(kit, sheet)}
            for sheet, share, picture, drawn in zip(
                sheets, kit.kit.used, pictures, prints, strict=True
            )
        ],
        "tiles": tiles,
        "coordinates": coordinate_parts(kit),
        "doubted": any(tile["strips"] for tile in tiles),
        "press": kit.press.name,
        "press_limits": kit.press.limits,
        "swatches": _swatches(kit),
        "others": _others(kit),
        "drawings": [_drawing(one, kit.press) for one in kit.inks.drawings],
        "rest": rest_sentence(kit.verdict.palette),
        "table": _table(kit),
        "plane": lab_plane(kit.verdict.palette, kit.press),
        "rulers_mm": " and ".join(
            f"{long:g}"
            for long in (ruler and ruler.width_mm, beside and beside.height_mm)
            if long is not None
        ),
        "marks": [
            {"shape": one.shape, "x": x, "y": y, "up": paper.height_mm - y}
            for one in kit.recipe.marks
            for x, y in [mark_point(one)]
        ],
        "cautions": CAUTIONS,
        "printing": PRINTING,
        "version": __version__,
    }


def _gravest(findings: Sequence[Finding]) -> str:
    grave = {one.severity for one in findings}
    return next((s for s in ("stop", "warn") if s in grave), "")


def _verdict(findings: Sequence[Finding]) -> str:
    stops = sum(one.severity == "stop" for one in findings)
    warns = sum(one.severity == "warn" for one in findings)
    if stops:
        return f"{plural(stops, 'thing')} to fix before printing, {plural(warns, 'warning')}."
    if warns:
        return f"Ready to print; {plural(warns, 'warning')} to read first."
    return "Ready to print."


def sheet_picture(preview: bytes, sheets: int) -> bytes:
    """Return a sheet's preview, a PNG file, as the JPEG file that the report shows.

    Args:
        preview: the file.
        sheets: how many there are; many are shown smaller.
    """
    from io import BytesIO

    from PIL import Image

    width_px = fair(SHEET_PX, sheets, FULL_SIZE_SHEETS)
    with Image.open(BytesIO(preview)) as picture:
        height_px = round(picture.height * width_px / picture.width)
        small = picture.width > width_px
        shown = picture.resize((width_px, height_px), reducing_gap=2.0) if small else picture
        return jpeg_bytes(np.asarray(shown))


def print_picture(page: Page, sheets: int) -> bytes:
    """Return all that is printed of a sheet, bleed too, as the JPEG file that the report cuts.

    Args:
        page: the sheet, drawn.
        sheets: how many there are; many are shown smaller.
    """
    rows, cols = page.sheet.raster_px
    width_px = min(cols, fair(SHEET_PX, sheets, FULL_SIZE_SHEETS))
    return jpeg_bytes(reduce_to(page.printed, round(rows * width_px / cols), width_px, gap=2.0))


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


def _swatches(kit: JudgedKit) -> list[dict[str, Any]]:
    verdict = kit.verdict
    return [
        {
            "name": swatch.name,
            "hex": swatch.hex,
            "role": str(swatch.role),
            "share": share_words(swatch.share),
            "source": swatch.main_source or "",
            "printed_hex": colour.printed_hex,
            "grade": GRADE_WORDS[colour.grade],
            "shift": f"by {colour.shift_de2000:.1f}" if colour.grade != "as seen" else "",
        }
        for swatch, colour in zip(verdict.palette.swatches, verdict.colours, strict=True)
    ]


def _others(kit: JudgedKit) -> list[dict[str, str]]:
    """The plain colours on the sheets that the palette does not hold."""
    return [
        {
            "hex": one.colour.hex,
            "printed_hex": one.colour.printed_hex,
            "grade": GRADE_WORDS[one.colour.grade],
            "shift": f"by {one.colour.shift_de2000:.1f}" if one.colour.grade != "as seen" else "",
            "places": where_words(one.places),
        }
        for one in kit.inks.beside(kit.verdict.palette)
    ]


def _drawing(one: JudgedDrawing, press: Press) -> dict[str, str]:
    """A drawing on white, and where it shifts as it prints."""
    pixels, share = one.drawing.on_white, one.printed.share_out_of_gamut
    scale = min(1.0, DRAWING_PX / max(pixels.shape[:2]))
    rows, cols = (max(1, round(side * scale)) for side in pixels.shape[:2])
    small = reduce_to(pixels, rows, cols, gap=2.0) if scale < 1.0 else pixels
    shifts = share >= FILL_SHARE
    return {
        "file": one.drawing.file,
        "picture": data_uri(jpeg_bytes(small)),
        "printed_picture": data_uri(jpeg_bytes(proof_pixels(small, press))) if shifts else "",
        "printed": f"{share:.0%} of it prints duller" if shifts else PRINTS_TRUE,
        "places": where_words(one.drawing.places),
    }


def _table(kit: JudgedKit) -> list[dict[str, Any]]:
    verdict = kit.verdict
    apart = {(pair.a, pair.b): pair for pair in verdict.pairs}
    rows = []
    for one in verdict.palette.swatches:
        cells = []
        for other in verdict.palette.swatches:
            pair = apart.get((one.hex, other.hex)) or apart.get((other.hex, one.hex))
            if pair is None:
                cells.append({"text": "", "close": False})
                continue
            printed = pair.de2000 if pair.de2000_printed is None else pair.de2000_printed
            cells.append(
                {
                    "text": f"{pair.de2000:.0f} / {printed:.0f}",
                    "close": min(pair.de2000, printed) < CLOSE_DE2000,
                }
            )
        rows.append({"hex": one.hex, "name": one.name, "cells": cells})
    return rows
