"""What does one strip of sticker paper tell before the good sheets go in? Colours, lines, the cut.

In: the paper, the area that printer and cutter reach, palette colours, pattern fills, and the words
to print. Out: a ``Strip``: a ``Sheet`` with all of it along the top of the paper, and its combs
(``kit.registration.combs``). On it: every colour, one window of each fill, lines from 0.1 to 0.5 mm
and words of 5 to 10 pt, dark on white and white on dark, a ruler, four combs, a small square to try
the blade; and two more combs along the bottom, because a paper fed a little long or short shows
only there.

The strip takes ``HEIGHT_MM`` of the paper's top and ``FOOT_MM`` of its bottom, where the paper is
high enough for both. Lines: print houses' guidelines ask for 0.18 mm dark on light and 0.35 mm
reversed; none is for home inkjets.
Not done here: reading the strips (``kit.registration``), or the sentences on them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kit.letters import INK, PAPER, Lettering, letter, with_sign
from kit.recipe_error import RecipeError
from kit.registration import BODY_MM, LENGTH_MM, LINE_PITCH_MM, TOOTH_MM, Comb
from kit.shapes import Contour, Rect, Vertex, bounding_box, rounded_rectangle
from kit.sheet import ColourFill, Fill, Mark, Panel, Placement, Sheet

HEIGHT_MM = 56.0
TOP_COMBS = 4
FOOT_MM = LENGTH_MM + 2.0  # an upright comb, a millimetre clear at both ends
LEAST_WIDTH_MM = 125.0
SWATCH_MM, FILL_MM, SPACE_MM = 9.0, 14.0, 2.0
LINES_MM = (0.1, 0.15, 0.18, 0.25, 0.35, 0.5)
SAMPLE = "Aa 123"
TYPE_PT = (5.0, 6.0, 7.0, 8.0, 10.0)
COMB_LINE_MM = 0.15
SIDE_MM = 15.0  # what a comb along y and its numbers take at each end
BLADE_SQUARE_MM = 8.0
NARROWEST_MM = 6.0  # of a fill's window: less shows no motif
NUMBER_PT = 6.0
NAME_PT = 8.0


@dataclass(frozen=True)
class Strip:
    """The strip as a sheet.

    Attributes:
        sheet: what is printed and cut.
        combs: the combs on it, in the order in which they are read; each bears its letter from A.
        shown: how many of the fills had room.
    """

    sheet: Sheet
    combs: tuple[Comb, ...]
    shown: int


def trial_strip(
    paper_mm: tuple[float, float],
    area: Rect,
    colours: Sequence[str],
    fills: Sequence[Fill],
    *,
    dpi: float,
    title: str,
) -> Strip:
    """Return the strip.

    Args:
        paper_mm: the paper's width and height.
        area: what printer and cutter reach.
        colours: the palette, sRGB hex; as many as fit are shown.
        fills: one of each fill; as many as fit are shown.
        dpi: of the print raster.
        title: what the files call it.

    Raises:
        RecipeError: the area is too narrow or too low for a strip.
    """
    if area.width_mm < LEAST_WIDTH_MM or area.height_mm < HEIGHT_MM:
        raise RecipeError(
            f"a trial strip needs {LEAST_WIDTH_MM:g} x {HEIGHT_MM:g} mm, and {area.width_mm:.0f} x "
            f"{area.height_mm:.0f} mm can be reached",
            where="trial strip",
            remedy="Use larger paper, or lay it the other way round.",
        )
    strip = Rect(area.x_mm, area.y_mm, area.width_mm, HEIGHT_MM)
    inner = Rect(strip.x_mm + SIDE_MM, strip.y_mm, strip.width_mm - 2.0 * SIDE_MM, strip.height_mm)
    combs = _combs(strip, inner)
    if area.height_mm >= HEIGHT_MM + FOOT_MM:
        combs += _foot(area)
    lines, words = _fine(inner)
    numbers = [_number(comb, n) for comb in combs for n, _ in comb.lines() if n % 5 == 0]
    names = [_name(comb, chr(ord("A") + i)) for i, comb in enumerate(combs)]
    rules = [Mark(line, COMB_LINE_MM, INK, None) for comb in combs for _, line in comb.lines()]
    bottom = combs[0].box().bottom_mm
    windows = _windows(inner, fills)
    sheet = Sheet(
        title,
        *paper_mm,
        dpi,
        tuple(_cut(outline) for outline in (*(c.outline() for c in combs), _blade_square(inner))),
        _ruler(inner, bottom),
        marks=(*lines, *rules),
        panels=(*_swatches(inner, colours), *windows, _dark(inner)),
        lettering=(*words, *numbers, *names),
    )
    return Strip(sheet, combs, len(windows))


def _combs(strip: Rect, inner: Rect) -> tuple[Comb, ...]:
    """Return the combs: up and down at both ends, across at both sides of the bottom."""
    middle = strip.y_mm + strip.height_mm / 2.0
    tips_y = strip.bottom_mm - BODY_MM - TOOTH_MM
    ends = strip.x_mm + SIDE_MM - BODY_MM - TOOTH_MM - 1.0, strip.right_mm - BODY_MM - TOOTH_MM
    return (
        Comb("left across", "x", (inner.x_mm + LENGTH_MM / 2.0 + 1.0, tips_y)),
        Comb("right across", "x", (inner.right_mm - LENGTH_MM / 2.0 - 1.0, tips_y)),
        Comb("left down", "y", (ends[0], middle)),
        Comb("right down", "y", (ends[1], middle)),
    )


def _foot(area: Rect) -> tuple[Comb, ...]:
    """Return the combs along the bottom: across at the left, up and down at the right."""
    deep, half = BODY_MM + TOOTH_MM, LENGTH_MM / 2.0 + 1.0
    return (
        Comb("bottom across", "x", (area.x_mm + half, area.bottom_mm - deep)),
        Comb("bottom down", "y", (area.right_mm - deep, area.bottom_mm - half)),
    )


def _name(comb: Comb, letter_of_it: str) -> Lettering:
    """Return a comb's letter, on its body."""
    x, y = comb.at(0.0, -TOOTH_MM - BODY_MM / 2.0)
    return letter(letter_of_it, Rect(x - 2.0, y - 2.0, 4.0, 4.0), NAME_PT)


def _number(comb: Comb, number: int) -> Lettering:
    """Return a line's number, beyond its outer end."""
    x, y = comb.at(-number * LINE_PITCH_MM, 4.4 if comb.along == "x" else 5.0)
    return letter(with_sign(number), Rect(x - 4, y - 2, 8, 4), NUMBER_PT)


def _cut(outline: Contour) -> Placement:
    """Return a sticker that is cut but not printed."""
    box = bounding_box(outline)
    return Placement("trial", box, outline, ColourFill(PAPER), box)


def _blade_square(inner: Rect) -> Contour:
    """Return a small square to try force and depth on, at the end of the fills' row."""
    x = inner.right_mm - BLADE_SQUARE_MM
    y = _row_y(inner, 1) + (FILL_MM - BLADE_SQUARE_MM) / 2.0
    return rounded_rectangle(Rect(x, y, BLADE_SQUARE_MM, BLADE_SQUARE_MM), 1.5)


def _row_y(inner: Rect, row: int) -> float:
    """Return the top of a row: colours, fills, fine lines."""
    return inner.y_mm + (0.0, SWATCH_MM + SPACE_MM, SWATCH_MM + FILL_MM + 2.0 * SPACE_MM)[row]


def _swatches(inner: Rect, colours: Sequence[str]) -> list[Panel]:
    """Return the colours side by side, narrower where there are many."""
    if not colours:
        return []
    step = min(SWATCH_MM * 1.6, inner.width_mm / len(colours))
    y = _row_y(inner, 0)
    return [
        Panel(
            rounded_rectangle(Rect(inner.x_mm + i * step, y, step * 0.94, SWATCH_MM)),
            ColourFill(colour),
        )
        for i, colour in enumerate(colours)
    ]


def _windows(inner: Rect, fills: Sequence[Fill]) -> list[Panel]:
    """Return a window of each fill before the blade's square, narrower where there are many."""
    room = inner.width_mm - BLADE_SQUARE_MM
    step = min(FILL_MM + SPACE_MM, max(NARROWEST_MM + SPACE_MM, room / max(1, len(fills))))
    y = _row_y(inner, 1)
    return [
        Panel(
            rounded_rectangle(Rect(inner.x_mm + i * step, y, step - SPACE_MM, FILL_MM)),
            fill,
        )
        for i, fill in enumerate(fills[: int(room / step + 1e-9)])
    ]


def _dark(inner: Rect) -> Panel:
    return Panel(rounded_rectangle(_halves(inner)[1]), ColourFill(INK))


def _halves(inner: Rect) -> tuple[Rect, Rect]:
    """Return the areas of dark on white and of white on dark, side by side."""
    y, half = _row_y(inner, 2), (inner.width_mm - SPACE_MM) / 2.0
    tall = 11.0
    return (
        Rect(inner.x_mm, y, half, tall),
        Rect(inner.x_mm + half + SPACE_MM, y, half, tall),
    )


def _fine(inner: Rect) -> tuple[list[Mark], list[Lettering]]:
    """Return lines of each width and words of each size, dark on white and white on dark."""
    lines: list[Mark] = []
    words: list[Lettering] = []
    for area, ground, ink in zip(_halves(inner), (PAPER, INK), (INK, PAPER), strict=True):
        step = area.height_mm / len(LINES_MM)
        reach = area.width_mm * 0.2
        for i, stroke in enumerate(LINES_MM):
            y = area.y_mm + (i + 0.5) * step
            ends = (Vertex(area.x_mm + 1.5, y), Vertex(area.x_mm + 1.5 + reach, y))
            lines.append(Mark(Contour(ends), stroke, ink, None))
        words += _sizes(area, reach + 4.0, ground)
    return lines, words


def _sizes(area: Rect, after_mm: float, ground: str) -> list[Lettering]:
    """Return the sample in each size with the size in front, in two columns."""
    wide = (area.width_mm - after_mm) / 2.0
    tall = area.height_mm / 3.0
    samples = []
    for i, points in enumerate(TYPE_PT):
        x, y = area.x_mm + after_mm + (i // 3) * wide, area.y_mm + (i % 3) * tall
        samples.append(letter(f"{points:g} {SAMPLE}", Rect(x, y, wide, tall), points, ground))
    return samples


def _ruler(inner: Rect, bottom_mm: float) -> Rect | None:
    """Return the ruler's box between the combs across, whole centimetres; None without room."""
    room = inner.width_mm - 2.0 * (LENGTH_MM + 1.0) - 22.0
    if room < 20.0:
        return None
    long = 10.0 * int(room // 10.0)
    return Rect(inner.centre_mm[0] - (room + 22.0) / 2.0 + 4.0, bottom_mm - 4.0, long, 4.0)
