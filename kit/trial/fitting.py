"""Does the kit fit the planner? Its day box in true size, on plain paper, to lay on the planner.

In: the planner's box, the paper and the area that the printer reaches, millimetres, and words to
print. Out: a ``Sheet`` with nothing to cut: the box's outline and, at its right and bottom edge, a
scale of half millimetres from -4 to 4 mm, where the planner's own line tells how much wider or
higher its box is. ``corrected_box`` turns the two readings into the box for the recipe.

Not done here: the sentences on the sheet.
"""

from __future__ import annotations

from collections.abc import Sequence

from kit.letters import INK, Lettering, letter, with_sign
from kit.recipe_error import RecipeError
from kit.shapes import Contour, Rect, Vertex
from kit.sheet import Mark, Sheet

REACH_MM, STEP_MM = 4.0, 0.5
LINE_MM, TICK_MM = 0.2, 0.15
WORDS_PT, NUMBER_PT = 9.0, 6.0
ROOM_MM = 14.0  # around the box, for the scales and their numbers


def fit_sheet(
    paper_mm: tuple[float, float],
    area: Rect,
    box_mm: tuple[float, float],
    *,
    dpi: float,
    title: str,
    words: Sequence[str] = (),
) -> Sheet:
    """Return the sheet, without rulers.

    Args:
        paper_mm: the paper's width and height.
        area: what the printer reaches.
        box_mm: the planner's day box, width and height.
        dpi: of the print raster.
        title: what the files call it.
        words: lines of text above the box.

    Raises:
        RecipeError: the box with its scales does not fit the area.
    """
    head = 6.0 * len(words) + 4.0
    if box_mm[0] + 2.0 * ROOM_MM > area.width_mm or box_mm[1] + ROOM_MM + head > area.height_mm:
        raise RecipeError(
            f"a day box of {box_mm[0]:g} x {box_mm[1]:g} mm does not fit the paper with its scales",
            where="fit sheet",
            remedy="Check planner.box and its unit, or use larger paper.",
        )
    box = Rect(area.x_mm + ROOM_MM, area.y_mm + head, *box_mm)
    corners = Contour(tuple(Vertex(*corner) for corner in box.corners()))
    ticks, numbers = _scales(box)
    text = [
        letter(line, Rect(area.x_mm, area.y_mm + 6.0 * i, area.width_mm, 6.0), WORDS_PT)
        for i, line in enumerate(words)
    ]
    return Sheet(
        title,
        *paper_mm,
        dpi,
        (),
        marks=(Mark(corners, LINE_MM, INK, None), *ticks),
        lettering=(*text, *numbers),
    )


def corrected_box(
    box_mm: tuple[float, float], right_mm: float, bottom_mm: float
) -> tuple[float, float]:
    """Return the planner's box after the readings at the right and the bottom scale.

    Raises:
        RecipeError: a reading that is not on the scale.
    """
    for name, reading in (("right", right_mm), ("bottom", bottom_mm)):
        if not -REACH_MM <= reading <= REACH_MM:
            raise RecipeError(
                f"{reading:g} mm is not on the {name} scale",
                where="fit sheet",
                remedy="Measure the box with a ruler and write its size into the recipe.",
            )
    return box_mm[0] + right_mm, box_mm[1] + bottom_mm


def _scales(box: Rect) -> tuple[list[Mark], list[Lettering]]:
    """Return the ticks across both edges, and the numbers of the middle and the ends."""
    ticks: list[Mark] = []
    numbers: list[Lettering] = []
    x, y = box.centre_mm
    steps = round(REACH_MM / STEP_MM)
    for k in range(-steps, steps + 1):
        off = k * STEP_MM
        whole = k % round(1.0 / STEP_MM) == 0
        reach = 3.0 if whole else 1.8
        right, bottom = box.right_mm + off, box.bottom_mm + off
        ticks.append(_line((right, y - reach), (right, y + reach)))
        ticks.append(_line((x - reach, bottom), (x + reach, bottom)))
        if off % REACH_MM == 0.0:
            number = with_sign(off)
            numbers.append(letter(number, Rect(right - 3.0, y - 7.0, 6.0, 4.0), NUMBER_PT))
            numbers.append(letter(number, Rect(x + 3.4, bottom - 2.0, 6.0, 4.0), NUMBER_PT))
    return ticks, numbers


def _line(start: tuple[float, float], end: tuple[float, float]) -> Mark:
    return Mark(Contour((Vertex(*start), Vertex(*end))), TICK_MM, INK, None)
