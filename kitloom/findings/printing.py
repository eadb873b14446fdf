"""Findings about print: colours that shift, fills that shift, very fine lines.

The grades of a shift are the press's own (``palette.proof.assess``).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import numpy as np

from kitloom.findings.codes import Finding, Severity, finding
from kitloom.findings.kit_facts import KitFacts
from kitloom.findings.places import key_words, place_dicts, where_words
from kitloom.findings.tiles import COARSE_DPI, CRISP_DPI
from palette.inch import MM_PER_INCH
from palette.press import Press, on_paper
from palette.proof import MAX_PLACES, ColourAssessment, FillAssessment, ThinStroke
from palette.space import de2000, hex_to_lab

if TYPE_CHECKING:
    from kitloom.inks import InkPlace

FILL_SHARE = 0.05
NO_FARTHER = 0.05  # CIEDE2000: differences under this count as none
WEAK_BLACK_L = 20.0  # L* beside the paper's 100: glossy paper's black lies at 10, matt's at 27
_DARKS = "#000000", "#202020"
PRINTS_TRUE = "prints true"
# the grades of ``palette.proof`` as a maker reads them
GRADE_WORDS: Mapping[str, str] = {
    "as seen": PRINTS_TRUE,
    "borderline": "slight shift",
    "will shift": "prints duller",
}


def colour_findings(
    colours: Sequence[ColourAssessment],
    press: Press,
    places: Mapping[str, Sequence[InkPlace]] = MappingProxyType({}),
) -> list[Finding]:
    """Say which colours the press cannot reach, and how far the forecast is to be trusted.

    Args:
        colours: what becomes of each.
        press: what prints.
        places: by "#rrggbb", where on the sheets each is printed, where there are any.
    """
    return [*shift_findings(colours, press, places), press_finding(press)]


def shift_findings(
    colours: Sequence[ColourAssessment], press: Press, places: Mapping[str, Sequence[InkPlace]]
) -> list[Finding]:
    """Say which colours the press cannot reach, and where on the sheets each is printed."""
    return [
        _shift(one, press, places.get(one.hex, ())) for one in colours if one.grade == "will shift"
    ]


def _shift(one: ColourAssessment, press: Press, places: Sequence[InkPlace]) -> Finding:
    where = f": {where_words(places)}" if places else ""
    keys = key_words(places)
    # ``what`` says what it prints as: said again beside the keys, it would be too long to read
    set_by = f"Set by {keys} in the recipe. " if keys else ""
    if keys and all(one.key.startswith("palette.") for one in places if one.key):
        # most often no key names it: the palette took it from the artwork
        set_by = "It is of the palette: palette.without in the recipe leaves it out. "
    own: dict[str, Any] = {"places": place_dicts(places)} if places else {}
    return finding(
        "colour-shift",
        one.hex,
        what=f"It prints as {one.printed_hex}, a shift of {one.shift_de2000:.1f} (CIEDE2000)"
        f"{where}.",
        why=f"It is outside what {press.name} prints; on paper it looks duller.",
        remedy=f"{set_by}{_advice(one)}",
        shift_de2000=round(one.shift_de2000, 2),
        printed_hex=one.printed_hex,
        nearest_hex=one.nearest_hex,
        nearest_de2000=round(one.nearest_de2000, 2),
        same_hue_hex=one.same_hue_hex,
        same_hue_de2000=round(one.same_hue_de2000, 2),
        grade=one.grade,
        **own,
    )


def nudge_or_leave(one: ColourAssessment) -> str:
    """Say how far off a colour prints, and which others print true."""
    return (
        f"Printed unchanged, it is {one.shift_de2000:.1f} from the colour you chose (CIEDE2000). "
        f"{_advice(one)}"
    )


def _advice(one: ColourAssessment) -> str:
    """Say which other colours print true, and how far off those are.

    The last sentence is the same for all colours of one advice, so that many can share it.
    """
    offers = [
        f"{what} {colour}, {far:.1f} away"
        for what, colour, far in (
            ("the nearest is", one.nearest_hex, one.nearest_de2000),
            ("the nearest of its own hue is", one.same_hue_hex, one.same_hue_de2000),
        )
        if worth_offering(one, colour, far)
    ]
    if not offers:
        return "No colour that prints true is nearer: accept the shift."
    return (
        f"Of the colours that print true, {'; '.join(offers)}. "
        "Use one of these if screen and print should look alike, or accept the shift."
    )


def worth_offering(one: ColourAssessment, colour: str, far: float) -> bool:
    """Return whether a colour is worth its place: no farther than the print, or truer in hue."""
    if colour == one.nearest_hex:
        return far < one.shift_de2000 + NO_FARTHER
    return far < one.shift_de2000 - NO_FARTHER or not one.print_keeps_hue


def press_finding(press: Press) -> Finding:
    """Say what a forecast of this press is worth."""
    return finding(
        "press-limits",
        press.name,
        what=press.limits,
        why="Paper, ink and driver settings decide what really prints.",
        remedy="Print a trial strip (kitloom trial), give your printer's own ICC profile, or "
        "measure the printer with a chart (kitloom proof --chart).",
    )


def own_numbers_findings(facts: KitFacts) -> list[Finding]:
    """Say how a print has to be sent that is drawn through a chart or profile."""
    part = facts.recipe.press
    if not part.convert:
        return []
    settings = (
        "with the same settings as the chart"
        if part.chart is not None
        else "with the driver's colour management off, as the profile was measured"
    )
    return [
        finding(
            "own-numbers",
            facts.press.name,
            what="kit.pdf, the sheets' PDFs, -print.png and -all.svg hold your printer's own "
            "numbers, so they look odd on a screen.",
            why="Any program that converts colours on the way would convert them twice.",
            remedy=f"Print them {settings}. For any other printer, take press.convert out and "
            "make the kit again; -layers.pdf stays in sRGB.",
        )
    ]


def dark_findings(facts: KitFacts) -> list[Finding]:
    """Say once of a kit that its paper's black is weak."""
    return weak_black_findings(facts.press)


def weak_black_findings(press: Press) -> list[Finding]:
    """Say that a press's black is weak, so that darks look the same."""
    black_l = press.black_l
    if black_l < WEAK_BLACK_L:
        return []
    darks = np.stack([hex_to_lab(colour) for colour in _DARKS])
    seen, printed = float(de2000(*darks)), float(de2000(*on_paper(press, darks)))
    return [
        finding(
            "darks-closer",
            press.name,
            what=f"Black prints as a dark grey there, L* {black_l:.0f} where paper is 100.",
            why=f"Dark colours come closer together: {' and '.join(_DARKS)} differ by {seen:.1f} "
            f"on screen, on this paper by {printed:.1f} (CIEDE2000).",
            remedy="Keep dark neighbours plainly apart in lightness or colour, or print on glossy "
            "paper.",
            black_l=round(black_l, 1),
        )
    ]


def fill_findings(
    subject: str, fill: FillAssessment, press: Press, repaired: str = ""
) -> list[Finding]:
    """Say when a good part of a fill moves visibly in print.

    Args:
        subject: the fill.
        fill: what becomes of it.
        press: what prints.
        repaired: the file that this same run repairs it into, if it does.
    """
    if fill.share_out_of_gamut < FILL_SHARE:
        return []
    share = f"{fill.share_out_of_gamut:.0%}"
    return [
        finding(
            "fill-shift",
            subject,
            what=f"{share} of it is outside what {press.name} prints; "
            f"it moves by {fill.mean_shift_de2000:.1f} on average (CIEDE2000).",
            why="These areas look duller on paper than on screen, and may lose detail.",
            remedy=f"Compare it with {repaired}, which this run drew into what prints. To use it, "
            "name it in the recipe, or draft a new one from its folder."
            if repaired
            else "Compare before and after (kitloom proof --pictures FOLDER, or the report of "
            "make); kitloom proof --repair FOLDER writes a tile in the colours that print, so that "
            "screen and print look alike.",
            share_out_of_gamut=round(fill.share_out_of_gamut, 4),
            mean_shift_de2000=round(fill.mean_shift_de2000, 2),
            p95_shift_de2000=round(fill.p95_shift_de2000, 2),
        )
    ]


def thin_findings(
    subject: str,
    strokes: Sequence[ThinStroke],
    severity: Severity = "warn",
    *,
    size: tuple[float, int] | None = None,
    width_px: int = 0,
) -> list[Finding]:
    """Say where lines are thinner than a press holds at this repeat, dark and light in one.

    Args:
        subject: the tile.
        strokes: the lines.
        severity: of the finding.
        size: the scale and the row, from 1, where a row shows the artwork at another size.
        width_px: of the tile, where a larger repeat is to be named.
    """
    kinds = (("positive", "dark"), ("reversed", "light"))
    own = {kind: [stroke for stroke in strokes if stroke.kind == kind] for kind, _ in kinds}
    some = [(own[kind], tone) for kind, tone in kinds if own[kind]]
    if not some:
        return []
    told = " and ".join(
        f"{len(lines)}{' or more' if len(lines) >= MAX_PLACES else ''} {tone} "
        f"line{'' if len(lines) == 1 else 's'} under "
        f"{lines[0].limit_mm:.2f} mm (the longest at {lines[0].x_px}, {lines[0].y_px} px)"
        for lines, tone in some
    )
    most = max(own.values(), key=len)
    holds_dpi = most[0].holds_dpi if width_px else 0.0
    holds_mm = _up_to_tenth(width_px * MM_PER_INCH / holds_dpi) if holds_dpi else 0.0
    at, remedy = "", larger_repeat(holds_mm, holds_dpi)
    if size is not None:
        at = f" at {size[0]:g} times its own size, in row {size[1]}"
        remedy = f"Set rows.{size[1]}.scale nearer to 1, or use thicker lines"
    return [
        finding(
            "thin-lines",
            subject,
            severity=severity,
            what=f"It has {told}{at}.",
            why="Lines this fine are hard to print: dark ones may break up, light ones fill in.",
            remedy=remedy + ("." if size else "; the pictures ring the places."),
            **({"holds_mm": holds_mm, "holds_dpi": round(holds_dpi, 1)} if holds_dpi else {}),
            kind=most[0].kind,
            count=sum(map(len, own.values())),
            limit_mm=most[0].limit_mm,
            **{f"{kind}_count": len(own[kind]) for kind in own},
            **{f"{kind}_limit_mm": lines[0].limit_mm for kind, lines in own.items() if lines},
        )
    ]


def larger_repeat(holds_mm: float, holds_dpi: float) -> str:
    """Return what to do about lines too thin: no end of the sentence, so that more may follow.

    Args:
        holds_mm: the least repeat from which on they hold; 0 where nobody asked.
        holds_dpi: the tile's pixels per inch at that repeat.
    """
    if not holds_mm:
        return "Use a larger repeat, or thicker lines"
    if holds_dpi >= CRISP_DPI - 0.5:
        return f"Use a repeat of {holds_mm:.1f} mm or more, where they hold, or thicker lines"
    looks = "soft" if holds_dpi >= COARSE_DPI else "stepped"
    return (
        f"Use thicker lines: these all hold only from a repeat of {holds_mm:.1f} mm on, where the "
        f"tile has {holds_dpi:.0f} pixels per inch and its edges look {looks}"
    )


def _up_to_tenth(length_mm: float) -> float:
    """Return a length in tenths of a millimetre, never less than it is."""
    return math.ceil(length_mm * 10.0 - 1e-6) / 10.0
