"""The ``--json`` object: one a run, same keys whatever the verdict.

Lengths carry their unit in the key; colours are sRGB hex plus CIELAB (D50); shares are 0 to 1.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from kitloom import __version__
from kitloom.colours import PaletteVerdict
from kitloom.findings import (
    Finding,
    crisp_to_mm,
    exit_status,
    fault_dict,
    in_order,
    palette_findings,
    place_dicts,
)
from kitloom.measure import TileStudy
from palette.choose import Belonging, Fitness, Palette
from palette.pairs import LostPair, Pair
from palette.proof import ColourAssessment, FillAssessment
from patterns.repeats import Repeat
from patterns.seams import AxisCheck

if TYPE_CHECKING:  # without a kit there is no need to load what makes one
    from kit.fills import Windows
    from kit.recipe import CoordinatePart
    from kit.sheet import Placement, Sheet
    from kitloom.inks import InkVerdict
    from patterns.coordinates import Coordinate


def answer(command: str, findings: Sequence[Finding], **content: Any) -> dict[str, Any]:
    """Return the object of one run: what every command says, then its own content."""
    return {
        "kitloom": __version__,
        "command": command,
        "ok": exit_status(findings) == 0,
        "findings": [one.as_dict() for one in in_order(findings)],
        **content,
    }


def text_of(content: dict[str, Any]) -> str:
    """Return the object as text, the same for the same content."""
    return json.dumps(content, indent=2, ensure_ascii=False)


def tile_dict(study: TileStudy) -> dict[str, Any]:
    """Return one tile's measurements."""
    art = study.artwork
    return {
        "file": study.subject,
        "width_px": art.width_px,
        "height_px": art.height_px,
        "dpi": art.dpi,
        "crisp_to_mm": round(crisp_to_mm(art.width_px), 2),
        "lattice": study.lattice.name,
        "seamless": study.check.seamless,
        "axes": {"x": _axis_dict(study.check.x), "y": _axis_dict(study.check.y)},
        "repeat": _repeat_dict(study.repeat),
    }


def _axis_dict(axis: AxisCheck) -> dict[str, Any]:
    return {
        "verdict": axis.verdict,
        "score": round(axis.score, 4),
        "faults": [fault_dict(fault) for fault in axis.faults],
    }


def _repeat_dict(repeat: Repeat | None) -> dict[str, Any] | None:
    if repeat is None:
        return None
    return {
        "width_px": round(repeat.width_px, 3),
        "height_px": round(repeat.height_px, 3),
        "lattice": repeat.lattice,
        "confidence": round(repeat.confidence, 3),
    }


def palette_dicts(palette: Palette, fits: Sequence[Fitness]) -> list[dict[str, Any]]:
    """Return the palette's colours with shares, sources and what each may be used for."""
    return [
        {
            "name": swatch.name,
            "hex": swatch.hex,
            "lab": [round(float(v), 2) for v in swatch.lab],
            "share": round(swatch.share, 5),
            "role": swatch.role,
            "sources": {name: round(share, 5) for name, share in swatch.sources.items()},
            "pinned": swatch.pinned,
            "uses": [str(use) for use in fit.uses],
            "pen": fit.best_pen,
            "pen_ratio": round(fit.best_pen_ratio, 2),
        }
        for swatch, fit in zip(palette.swatches, fits, strict=True)
    ]


def sight_dicts(lost: Iterable[LostPair]) -> list[dict[str, Any]]:
    """Return the pairs that look the same for some people's sight."""
    return [
        {
            "a": pair.a,
            "b": pair.b,
            "sight": str(pair.sight),
            "de2000": round(pair.de2000, 2),
            "de2000_seen": round(pair.de2000_seen, 2),
        }
        for pair in lost
    ]


def belonging_dicts(belongs: Mapping[str, Belonging]) -> list[dict[str, Any]]:
    """Return how well each piece of artwork goes with a given palette."""
    return [
        {
            "file": name,
            "share_near": round(one.share_near, 5),
            "mean_de2000": round(one.mean_de2000, 3),
            "strangers": [{"hex": s.hex, "share": round(s.share, 5)} for s in one.strangers[:5]],
        }
        for name, one in belongs.items()
    ]


def pair_dicts(pairs: Iterable[Pair]) -> list[dict[str, Any]]:
    """Return the differences of all pairs, on screen and printed."""
    return [
        {
            "a": pair.a,
            "b": pair.b,
            "de2000": round(pair.de2000, 2),
            "de2000_printed": None
            if pair.de2000_printed is None
            else round(pair.de2000_printed, 2),
        }
        for pair in pairs
    ]


def colour_dicts(colours: Iterable[ColourAssessment]) -> list[dict[str, Any]]:
    """Return what printing does to single colours."""
    return [
        {
            "hex": one.hex,
            "printed_hex": one.printed_hex,
            "shift_de2000": round(one.shift_de2000, 2),
            "in_gamut": one.in_gamut,
            "grade": one.grade,
            "nearest_hex": one.nearest_hex,
            "nearest_de2000": round(one.nearest_de2000, 2),
            "same_hue_hex": one.same_hue_hex,
            "same_hue_de2000": round(one.same_hue_de2000, 2),
        }
        for one in colours
    ]


def fill_dict(file: str, fill: FillAssessment, dpi_at_repeat: float | None) -> dict[str, Any]:
    """Return what printing does to one fill."""
    return {
        "file": file,
        "share_out_of_gamut": round(fill.share_out_of_gamut, 5),
        "mean_shift_de2000": round(fill.mean_shift_de2000, 3),
        "p95_shift_de2000": round(fill.p95_shift_de2000, 3),
        "dpi_at_repeat": None if dpi_at_repeat is None else round(dpi_at_repeat, 2),
    }


def sheet_colour_dicts(verdict: InkVerdict) -> list[dict[str, Any]]:
    """Return what printing does to each plain colour on a kit's sheets, and where it is printed."""
    return [
        {**colour, "places": place_dicts(one.places)}
        for one, colour in zip(
            verdict.colours, colour_dicts(one.colour for one in verdict.colours), strict=True
        )
    ]


def drawing_dicts(verdict: InkVerdict) -> list[dict[str, Any]]:
    """Return what printing does to each drawing on a kit's sheets, and where it is printed."""
    return [
        {
            **fill_dict(one.drawing.file, one.printed, None),
            "places": place_dicts(one.drawing.places),
        }
        for one in verdict.drawings
    ]


def sheet_dict(sheet: Sheet) -> dict[str, Any]:
    """Return one sheet's stickers; origin at its top left corner, y downwards."""
    return {
        "width_mm": sheet.width_mm,
        "height_mm": sheet.height_mm,
        "stickers": [_sticker_dict(placed) for placed in sheet.placements],
    }


def window_dicts(windows: Windows) -> list[dict[str, Any]]:
    """Return for each pattern what its windows cost and how different its copies look."""
    return [
        {
            "pattern": name,
            "copies": len(figures.offsets_mm),
            "cut_cost_ratio": round(figures.cut_cost_ratio, 4),
            "distance": None if math.isinf(figures.distance) else round(figures.distance, 4),
        }
        for name, figures in windows.figures.items()
    ]


def _sticker_dict(placed: Placement) -> dict[str, Any]:
    fill: dict[str, Any]
    from kit.sheet import ColourFill

    if isinstance(placed.fill, ColourFill):
        fill = {"colour": placed.fill.colour}
    else:
        fill = {
            "pattern": placed.fill.pattern,
            "offset_mm": [round(v, 4) for v in placed.fill.offset_mm],
            "repeat_mm": [round(v, 4) for v in placed.fill.repeat_mm],
        }
    return {
        "kind": placed.kind,
        "x_mm": round(placed.box.x_mm, 4),
        "y_mm": round(placed.box.y_mm, 4),
        "width_mm": round(placed.box.width_mm, 4),
        "height_mm": round(placed.box.height_mm, 4),
        "fill": fill,
    }


def coordinate_dicts(
    parts: Sequence[CoordinatePart], drawn: Mapping[str, Coordinate]
) -> list[dict[str, Any]]:
    """Return a recipe's coordinates as they were drawn."""
    return [
        {
            "name": part.label,
            "kind": part.kind,
            "style": part.style,
            "sett": part.sett,
            "colours": list(drawn[part.label].colours),
            "size_mm": drawn[part.label].repeat_mm,
            "height_mm": round(drawn[part.label].height_mm, 4),
        }
        for part in parts
    ]


def palette_answer(
    verdict: PaletteVerdict,
    findings: Sequence[Finding] | None = None,
    belongs: Mapping[str, Belonging] | None = None,
) -> dict[str, Any]:
    """Return the ``--json`` object of ``palette``, which is also the file ``palette.json``."""
    return answer(
        "palette",
        palette_findings(verdict) if findings is None else findings,
        press=verdict.press.name,
        palette=palette_dicts(verdict.palette, verdict.fitness),
        pairs=pair_dicts(verdict.pairs),
        colours=colour_dicts(verdict.colours),
        sight=sight_dicts(verdict.lost),
        rest={name: round(share, 5) for name, share in verdict.palette.rest},
        curve=[[count, round(loss, 4)] for count, loss in verdict.palette.curve],
        belonging=belonging_dicts(belongs or {}),
    )
