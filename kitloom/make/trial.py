"""Before the good paper: the files of a trial, and what its readings mean for the recipe.

In: a judged kit. Out: ``fit`` (the planner's box on plain paper) and ``strip`` (one strip of
sticker paper with its cut files) as bytes by file name, and ``trial.txt``, which says how to read
them. The readings come back as two lines for the recipe: the box, and the registration.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from textwrap import fill

from kit.compose import print_scale
from kit.layout import mark_zones, ruler_box, ruler_down_box, usable_area
from kit.registration import Misfit, misfit_of
from kit.render import Page, render_page
from kit.shapes import bounding_box
from kit.sheet import Fill, PatternFill, Sheet
from kit.trial import HEIGHT_MM, Strip, corrected_box, fit_sheet, trial_strip
from kit.writers import WRITERS
from kitloom.kits import JudgedKit, printer_numbers
from kitloom.measure import UsedPattern

FIT_WRITERS = ("pdf",)
STRIP_WRITERS = tuple(one.name for one in WRITERS.values() if one.of_strip)
FIT_WORDS = (
    "Print at 100 % on plain paper and hold it against the light on your planner.",
    "Lay the box's top left corner on the day box. Where do its right and lower edge lie, in mm?",
)
_HOW_TO = """\
TRIAL OF {title}

1. Does it fit? Print fit.pdf at 100 % on plain paper and check its rulers. Lay the top left corner
   of the box on a day box of your planner and read, in millimetres, where the planner's right and
   lower lines lie on the two scales, right first. Both 0: planner.box in the recipe is right.

2. The strip takes {height:.0f} mm of one sheet of sticker paper. Print strip.pdf at 100 %, let it
   dry, and cut it with strip.svg, strip.dxf or strip.hpgl, placed like a whole sheet. Try force
   and depth on the small square first: it must peel off and leave the backing whole.

3. Look at the colours and fills in daylight. Which lines and words are still clean, dark on white
   and white on dark? Nothing on your stickers should be finer.
{fills}

4. On each of the four combs one tooth points at its line: note the number there, from -10 to 10,
   half numbers where two teeth are as good, in this order:
   {combs}.
   They are tenths of a millimetre. Then this prints the lines to put into the recipe, here with the
   readings of an example:

   kitloom trial {recipe} --edges "0.5 0" --combs "2 1.5 1 2"

Keep fingers clear of a moving blade. Try depth on a scrap, with the least force that does it.
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
    combs = ", ".join(comb.name for comb in strip.combs)
    text = _HOW_TO.format(
        title=kit.title.upper(),
        height=HEIGHT_MM,
        combs=combs,
        recipe=kit.recipe.file.name,
        fills=_fill_words(kit, strip.shown),
    )
    return files | {"trial.txt": text.encode()}


def _by_shift(kit: JudgedKit) -> list[UsedPattern]:
    """Return the patterns, first those whose colours move most in print: they want a trial most."""
    return sorted(kit.patterns, key=lambda one: -one.printed.mean_shift_de2000)


def left_out(kit: JudgedKit, shown: int | None = None) -> str:
    """Say which fills found no room on the strip, if any; ``shown`` is how many did."""
    first = strip_of(kit).shown if shown is None else shown
    names = [one.name for one in _by_shift(kit)][first:]
    return f"No room on the strip, and least in need of it: {', '.join(names)}." if names else ""


def _fill_words(kit: JudgedKit, shown: int) -> str:
    names = [one.name for one in _by_shift(kit)]
    words = f"The fills from left to right: {', '.join(names[:shown])}. {left_out(kit, shown)}"
    return fill(words.strip(), 96, initial_indent="   ", subsequent_indent="   ")


def strip_of(kit: JudgedKit) -> Strip:
    """Return the kit's strip: its palette and one of each of its patterns."""
    part = kit.recipe.sheet
    area = usable_area(part, where=str(kit.recipe.file))
    fills: list[Fill] = [
        PatternFill(
            one.name, (0.0, 0.0), (one.plane.repeat_mm, one.plane.height_mm), one.plane.lattice.name
        )
        for one in _by_shift(kit)
    ]
    strip = trial_strip(
        (part.paper.width_mm, part.paper.height_mm),
        area,
        [swatch.hex for swatch in kit.verdict.palette.swatches],
        fills,
        dpi=part.dpi,
        title=f"{kit.title}, trial strip",
    )
    return replace(strip, sheet=replace(strip.sheet, print_scale=print_scale(kit.recipe)))


def registration_of(kit: JudgedKit, numbers: Sequence[float]) -> Misfit:
    """Return what the four numbers read off the strip's combs say.

    Raises:
        RecipeError: not four numbers from -10 to 10.
    """
    paper = kit.recipe.sheet.paper
    return misfit_of(strip_of(kit).combs, numbers, (paper.width_mm / 2.0, paper.height_mm / 2.0))


def registration_line(misfit: Misfit) -> str:
    """Return the recipe's line for a misfit, rounded up so that it still covers it."""
    shift, turn, scale = misfit.registration
    return (
        f'registration = {{ shift = "{shift + 0.005:.2f}mm", turn = "{turn + 0.0005:.3f}deg", '
        f'scale = "{100.0 * scale + 0.0005:.3f}%" }}'
    )


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
