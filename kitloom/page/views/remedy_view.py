"""Which button mends this? For a finding, the edit that carries its remedy out, where there is one.

In: a finished job and one of its findings. Out: a button's words with the edit behind it, or the
place to look at. Where only a person can decide, there is no button, and the finding's own sentence
says what to do.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from kit.kinds import KINDS
from kitloom.findings import CRISP_DPI, Finding
from kitloom.kits import JudgedKit
from kitloom.measure import UsedPattern
from kitloom.page.addresses import step_address


@dataclass(frozen=True, slots=True)
class Remedy:
    """A button under a finding.

    Attributes:
        words: what it says.
        edit: the edit that it makes; empty for a link.
        fields: the edit's fields.
        link: where it leads instead.
    """

    words: str
    edit: str = ""
    fields: Mapping[str, str] | None = None
    link: str = ""


def remedy_for(job: JudgedKit, finding: Finding) -> Remedy | None:
    """Return the button for a finding, or None."""
    make = _REMEDIES.get(finding.code)
    return make(job, finding) if make else None


def _bleed(job: JudgedKit, finding: Finding) -> Remedy:
    del finding
    bleed = _up(max(one.needed_bleed_mm for one in job.kit.tolerances))
    gaps = (
        one.needed_gap_mm + max(0.0, one.needed_bleed_mm - one.bleed_mm)
        for one in job.kit.tolerances
    )
    gap = _up(max(gaps))
    fields = {"bleed": f"{bleed:g}", "gap": f"{gap:g}"}
    return Remedy(f"Set bleed to {bleed:g} mm and gap to at least {gap:g} mm", "tolerance", fields)


def _gap(job: JudgedKit, finding: Finding) -> Remedy:
    del finding
    gap = _up(max(one.needed_gap_mm for one in job.kit.tolerances))
    return Remedy(f"Set gap to {gap:g} mm", "tolerance", {"bleed": "0", "gap": f"{gap:g}"})


def _sliver(job: JudgedKit, finding: Finding) -> Remedy:
    del job
    gap = _up(float(finding.measures["needed_gap_mm"]))
    return Remedy(f"Set gap to {gap:g} mm", "tolerance", {"bleed": "0", "gap": f"{gap:g}"})


def _border(job: JudgedKit, finding: Finding) -> Remedy | None:
    del job
    if finding.measures["inside"] != "panel":
        return None
    border = _up(float(finding.measures["needed_border_mm"]))
    fields = {"kind": finding.subject, "border": f"{border:g}"}
    return Remedy(f"Make the border {border:g} mm", "border", fields)


def _colour(job: JudgedKit, finding: Finding) -> Remedy | None:
    nearest = str(finding.measures["nearest_hex"])
    shown = {swatch.hex for swatch in job.verdict.palette.swatches}
    if finding.subject not in shown:
        return _in_row(job, finding, nearest)
    if nearest in shown:
        return None
    fields = {"colour": finding.subject, "other": nearest}
    return Remedy(f"Use {nearest} instead", "swap", fields)


def _in_row(job: JudgedKit, finding: Finding, nearest: str) -> Remedy | None:
    """Another colour for the one row that has this as its fill or panel; for several, none."""
    keys = {str(place["key"]) for place in finding.measures["places"]}
    match = re.fullmatch(r"rows\.(\d+)\.(fill|panel)", keys.pop()) if len(keys) == 1 else None
    if match is None:
        return None
    number, name = int(match[1]), match[2]
    row = job.recipe.rows[number - 1]
    if name == "fill" and not isinstance(row.fill, str):
        return None
    fields = {
        "row": str(number - 1),
        "of": str(len(job.recipe.rows)),
        "sticker": row.sticker,
        "count": str(row.count),
        "fill": row.fill if isinstance(row.fill, str) else "as it is",
        "panel": row.panel or KINDS[row.sticker].panel or "none",
    }
    return Remedy(f"Use {nearest} in row {number}", "row", {**fields, name: nearest})


def _resolution(job: JudgedKit, finding: Finding) -> Remedy | None:
    used = _used(job, finding)
    if used is None or "key" in finding.measures:  # at one row's scale, the repeat may be right
        return None
    crisp_mm = math.floor(used.plane.repeat_mm * used.plane.effective_dpi / CRISP_DPI * 10) / 10
    if crisp_mm < 3.0:  # so small that nobody would see a motif: larger artwork is needed
        return None
    fields = {"tile": used.name, "repeat": f"{crisp_mm:g}"}
    return Remedy(f"Set the repeat to {crisp_mm:g} mm", "repeat", fields)


def _paper(job: JudgedKit, finding: Finding) -> Remedy | None:
    del finding
    advice = job.kit.advice
    if advice is None or advice.gap_mm is None:
        return None
    gap = math.floor(advice.gap_mm * 10) / 10
    return Remedy(f"Set gap to {gap:g} mm", "sheet", {"key": "gap", "value": f"{gap:g}"})


def _alike(job: JudgedKit, finding: Finding) -> Remedy | None:
    x, y = finding.measures.get("x_mm"), finding.measures.get("y_mm")
    for sheet, spots in zip(job.kit.sheets, job.kit.layout.sheets, strict=True):
        for placed, spot in zip(sheet.placements, spots, strict=True):
            if (round(placed.box.x_mm, 2), round(placed.box.y_mm, 2)) == (x, y):
                place = step_address("sheet", {"sticker": spot.index}, f"sticker-{spot.index}")
                return Remedy("Show me that sticker", link=place)
    return None


def _seam(job: JudgedKit, finding: Finding) -> Remedy | None:
    used = _used(job, finding)
    if used is None or used.accepted:
        return None
    return Remedy("Mend it, and show me first", link=_tile("tiles", used.name, "mend"))


def _unsure(job: JudgedKit, finding: Finding) -> Remedy | None:
    used = _used(job, finding)
    if used is None or used.accepted:
        return None
    return Remedy("Look at it", link=step_address("tiles", {"tile": used.name}, "part-tile"))


def _ground(job: JudgedKit, finding: Finding) -> Remedy:
    del job
    ground = str(finding.measures["ground"])
    return Remedy(f"Keep {ground} in the palette", "pin", {"colour": ground, "keep": "yes"})


def _apart(job: JudgedKit, finding: Finding) -> Remedy:
    del job
    fields = {"tile": finding.subject}
    return Remedy(f"Take no colours from {finding.subject}", "no-colours-from", fields)


def _fill(job: JudgedKit, finding: Finding) -> Remedy | None:
    if "places" in finding.measures:
        return None  # a drawing: its maker draws it again
    used = _used(job, finding)
    return (
        Remedy("Repair it, and show me first", link=_tile("print", used.name, "repair"))
        if used
        else None
    )


def _used(job: JudgedKit, finding: Finding) -> UsedPattern | None:
    """Return the tile that a finding is about, if it is about one."""
    return next((one for one in job.patterns if one.study.subject == finding.subject), None)


def _tile(step: str, name: str, what: str) -> str:
    return step_address(step, {"tile": name, "try": what}, "part-try")


def _up(mm: float) -> float:
    return math.ceil(mm * 10 - 1e-6) / 10


_REMEDIES: dict[str, Callable[[JudgedKit, Finding], Remedy | None]] = {
    "bleed": _bleed,
    "gap": _gap,
    "border": _border,
    "through-sliver": _sliver,
    "colour-shift": _colour,
    "ground-missing": _ground,
    "tile-apart": _apart,
    "resolution": _resolution,
    "sheets": _paper,
    "neighbours-alike": _alike,
    "seam": _seam,
    "seam-unsure": _unsure,
    "fill-shift": _fill,
}
