"""Before the good paper: the files of a trial, and what its readings mean for the recipe.

In: a judged kit. Out: ``fit`` (the planner's box on plain paper) and ``strip`` (a strip of sticker
paper with its cut files) as bytes by file name, and ``trial.txt``, which says how to read them. The
readings come back as lines for the recipe: the box, the registration, and from three strips on the
offset and turn of what is cut.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from textwrap import fill

from kit.compose import cut_style, print_scale
from kit.layout import held_at, mark_zones, ruler_box, ruler_down_box, usable_area
from kit.recipe import CutPart, Recipe
from kit.registration import Habit, habit_of
from kit.render import Page, render_page
from kit.shapes import Rect, bounding_box, rect_between
from kit.sheet import Fill, PatternFill, Sheet, page_marks
from kit.trial import (
    FOOT_MM,
    HEIGHT_MM,
    TOP_COMBS,
    Strip,
    corrected_box,
    fit_sheet,
    trial_strip,
)
from kit.writers import WRITERS
from kitloom.kits import JudgedKit, printer_numbers
from kitloom.measure import UsedPattern
from kitloom.roads import CAUTIONS, PRINTING

FIT_WRITERS = ("pdf",)
STRIP_WRITERS = tuple(one.name for one in WRITERS.values() if one.of_strip)
FIT_WORDS = (
    "Print at 100% on plain paper. Put a planner page behind it and hold both up to a window.",
    "Line up the top left corners. Where do the planner's right and lower lines cross the scales?",
)
EXAMPLE = ((2, 1, 1, 2, 1, 1), (1, 1, 0, 1, 1, 0), (2, 1, 1, 1, 1, 0))
_HOW_TO = """\
TRIAL OF {title}

Before you print and cut:
{cautions}

To print:
{printing}

1. Does it fit? Print fit.pdf at 100% on plain paper and check its rulers. Put a planner page
   behind it, hold both up to a window, and line up the top left corners of the two boxes. Read
   where the planner's right and lower lines cross the scales, in millimetres, right first. If
   both are 0, planner.box in the recipe is right. If not, type your readings in place of these;
   this prints the line to put into the recipe:

   kitloom trial {recipe} --edges "0.5 0"

2. The strip takes {strip}.
   Print strip.pdf at 100%, let it dry, and cut it with strip.svg, strip.dxf or strip.hpgl, placed
   like a whole sheet. Try force and depth on the small square first. Use the least force with
   which it peels off and leaves the backing whole.

3. Look at the colours and fills in daylight. Which lines and words are still clean, dark on white
   and white on dark? Nothing on your stickers should be finer.
{fills}

4. On each comb one tooth lines up best with its line. Note the number there, from -10 to 10, in the
   order of the combs' letters. If two teeth match equally well, take the half between them:
{combs}
   They are tenths of a millimetre.

5. One sheet alone does not show what your machines do every time. Print and cut 3 to 5 strips, each
   on a sheet of its own, loaded again as you always do; for the combs, plain paper of the same
   size and about as heavy will do. Their mean says how far to move the cut, and their spread how
   far the next sheet may miss. The more strips, the surer: five allow for about half as much as
   three. Type your readings in place of these; this prints the lines to put into the recipe:

   kitloom trial {recipe} {readings}
"""


def trial_files(kit: JudgedKit) -> dict[str, bytes]:
    """Return the files of a trial by name; the same kit gives the same bytes.

    Raises:
        RecipeError: the paper is too small for the strip or the planner's box.
    """
    fit = render_page(_fit(kit), {})
    strip = strip_of(kit)
    planes = {one.name: one.plane for one in kit.patterns}
    page = render_page(strip.sheet, planes, printer_numbers(kit))
    files = _written("fit", fit, FIT_WRITERS) | _written("strip", page, STRIP_WRITERS)
    has_foot = len(strip.combs) > TOP_COMBS
    names = ", ".join(f"{chr(ord('A') + i)} {one.name}" for i, one in enumerate(strip.combs))
    text = _HOW_TO.format(
        title=kit.title.upper(),
        cautions=_listed(CAUTIONS),
        printing=_listed(PRINTING),
        strip=f"{HEIGHT_MM:.0f} mm along the top of a sheet of sticker paper"
        + (f" and {FOOT_MM:.0f} mm along its bottom" if has_foot else ""),
        combs=fill(f"{names}.", 96, initial_indent="   ", subsequent_indent="   "),
        recipe=kit.recipe.file.name,
        fills=_fill_words(kit, strip.shown),
        readings=" ".join(
            f'--combs "{" ".join(f"{one:g}" for one in numbers[: len(strip.combs)])}"'
            for numbers in EXAMPLE
        ),
    )
    return files | {"trial.txt": text.encode()}


def _listed(sentences: Sequence[str]) -> str:
    return "\n".join(
        fill(one, 96, initial_indent="- ", subsequent_indent="  ") for one in sentences
    )


def _by_shift(kit: JudgedKit) -> list[UsedPattern]:
    """Return the patterns, first those whose colours move most in print: they need a trial most."""
    return sorted(kit.patterns, key=lambda one: -one.printed.mean_shift_de2000)


def left_out(kit: JudgedKit, shown: int | None = None) -> str:
    """Say which fills found no room on the strip, if any; ``shown`` is how many did."""
    first = strip_of(kit).shown if shown is None else shown
    names = [one.name for one in _by_shift(kit)][first:]
    return (
        f"No room on the strip for: {', '.join(names)}. (They change least in print.)"
        if names
        else ""
    )


def _fill_words(kit: JudgedKit, shown: int) -> str:
    names = [one.name for one in _by_shift(kit)]
    words = f"The fills from left to right: {', '.join(names[:shown])}. {left_out(kit, shown)}"
    return fill(words.strip(), 96, initial_indent="   ", subsequent_indent="   ")


def strip_of(kit: JudgedKit) -> Strip:
    """Return the kit's strip: its palette and one of each of its patterns."""
    part = kit.recipe.sheet
    fills: list[Fill] = [
        PatternFill(
            one.name, (0.0, 0.0), (one.plane.repeat_mm, one.plane.height_mm), one.plane.lattice.name
        )
        for one in _by_shift(kit)
    ]
    strip = trial_strip(
        (part.paper.width_mm, part.paper.height_mm),
        _room(kit.recipe),
        [swatch.hex for swatch in kit.verdict.palette.swatches],
        fills,
        dpi=part.dpi,
        title=f"{kit.title}, trial strip",
    )
    # the machine is to find the strip's place as it finds a sheet's, and to move its cut likewise
    sheet = replace(
        strip.sheet,
        cut=cut_style(kit.recipe),
        machine_marks=page_marks(kit.recipe.marks),
        print_scale=print_scale(kit.recipe),
    )
    return replace(strip, sheet=sheet)


def _room(recipe: Recipe) -> Rect:
    """Return the usable area less what marks at its top and bottom take of it, if any do."""
    area, zones = usable_area(recipe.sheet, where=str(recipe.file)), mark_zones(recipe)

    def is_free(top_mm: float, height_mm: float) -> bool:
        band = Rect(area.x_mm, top_mm, area.width_mm, height_mm)
        return not any(band.overlaps(zone) for zone in zones)

    tops = sorted({area.y_mm, *(zone.bottom_mm for zone in zones)})
    bottoms = sorted({area.bottom_mm, *(zone.y_mm for zone in zones)}, reverse=True)
    top = next((y for y in tops if y >= area.y_mm and is_free(y, HEIGHT_MM)), area.y_mm)
    bottom = next(
        (y for y in bottoms if y <= area.bottom_mm and is_free(y - FOOT_MM, FOOT_MM)), top
    )
    return rect_between(area.x_mm, top, area.right_mm, max(top, bottom))


def habit_from(kit: JudgedKit, strips: Sequence[Sequence[float]]) -> Habit:
    """Return what the numbers say that were read off the combs of each strip.

    Raises:
        RecipeError: a number too few or off its comb, or numbers that contradict each other.
    """
    area = usable_area(kit.recipe.sheet, where=str(kit.recipe.file))
    return habit_of(strip_of(kit).combs, strips, held_at(kit.recipe), area)


def registration_line(habit: Habit) -> str:
    """Return the recipe's line for the registration, rounded up so that it still covers it.

    That is also what the rounded offset and turn of ``cut_lines`` leave over.
    """
    found = habit.registration
    spare_mm, spare_deg = (0.005, 0.0005) if habit.has_spread else (0.0, 0.0)
    words = {1: "  # one sheet only", 2: "  # two sheets only"}.get(habit.strips, "")
    return (
        f'registration = {{ shift = "{found.shift_mm + spare_mm + 0.005:.2f}mm", '
        f'turn = "{found.turn_deg + spare_deg + 0.0005:.3f}deg", '
        f'scale = "{100.0 * found.scale + 0.0005:.3f}%" }}{words}'
    )


def cut_lines(own: CutPart, habit: Habit) -> list[str]:
    """Return the recipe's lines that move the cut against the steady shift and turn.

    There are none where the strips are too few to tell what is steady.

    Args:
        own: the recipe's, with which the strips were cut: what they say comes on top of it.
        habit: what they say.
    """
    if not habit.has_spread:
        return []
    turn = own.turn - habit.turn_deg
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    (x, y), (shift_x, shift_y) = own.offset, habit.shift_mm
    x, y = x - cos * shift_x + sin * shift_y, y - sin * shift_x - cos * shift_y
    # adding 0 makes -0 a 0
    return [
        f'offset = "{round(x, 2) + 0.0:.2f}mm {round(y, 2) + 0.0:.2f}mm"',
        f'turn = "{round(turn, 3) + 0.0:.3f}deg"',
    ]


def box_line(kit: JudgedKit, right_mm: float, bottom_mm: float) -> str:
    """Return the recipe's line for the planner's box after the fit sheet's two readings.

    Raises:
        RecipeError: a reading that is not on its scale.
    """
    width, height = corrected_box(kit.recipe.planner.box, right_mm, bottom_mm)
    return f'box = "{width:g}mm x {height:g}mm"'


def _fit(kit: JudgedKit) -> Sheet:
    part = kit.recipe.sheet
    area = usable_area(part, where=str(kit.recipe.file))
    sheet = fit_sheet(
        (part.paper.width_mm, part.paper.height_mm),
        area,
        kit.recipe.planner.box,
        dpi=part.dpi,
        title=f"{kit.title}, fit sheet",
        words=FIT_WORDS,
    )
    taken = [bounding_box(one.contour) for one in sheet.marks]
    taken += [one.box for one in sheet.lettering]
    zones = mark_zones(kit.recipe)
    return replace(
        sheet,
        # those of the kit's sheets, so that a reading here holds for them
        ruler=ruler_box(area, zones),
        ruler_down=ruler_down_box(area, part.gap, taken, zones),
        print_scale=print_scale(kit.recipe),
    )


def _written(stem: str, page: Page, names: Sequence[str]) -> dict[str, bytes]:
    return {f"{stem}{WRITERS[name].suffix}": WRITERS[name].write(page) for name in names}
