"""A sheet with what every file of it shares: its raster, its words and its cuts, each made once.

In: a ``Sheet`` and the planes of its patterns. Out: a ``Page``, which a writer turns into bytes, or
a ``CutPage`` for a writer of cuts alone. Not done here: the formats (``kit.writers.table``).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain

import numpy as np

from kit.cut import CutPlan, cut_plan
from kit.letters import Lettering
from kit.render.flate import deflate_png_rows
from kit.render.ink_map import InkMap, Unprinted
from kit.render.picture import Mix
from kit.render.raster import PatternPlane, blend, letters_of, letters_on, render_sheet
from kit.sheet import Sheet
from palette.arrays import Pixels
from palette.memory import Remember, afresh
from palette.space import hex_of, parse_hex


@dataclass(frozen=True)
class CutPage:
    """A sheet without its raster: what a writer of cuts alone is given."""

    sheet: Sheet

    @cached_property
    def cuts(self) -> CutPlan:
        """What is cut, in order; found once for all cut files."""
        return cut_plan(self.sheet)


@dataclass(frozen=True)
class PrinterNumbers:
    """Whose own numbers a print is drawn in, and how it gets to them.

    Attributes:
        name: what the printer is called.
        sent: (rows, cols, 3) sRGB uint8 in, the numbers to send out, the same shape.
    """

    name: str
    sent: Callable[[Pixels], Pixels]


@dataclass(frozen=True)
class Page:
    """A sheet with its print raster: what a writer is given.

    Attributes:
        sheet: the sheet.
        raster: (rows, cols, 3) sRGB uint8, read-only, ``sheet.raster_px`` large, all that is
            printed but lettering. Its top left corner is the paper's; where the paper is not a
            whole number of pixels it reaches over the right and bottom edge by less than one.
        unprinted: the stickers whose fill does not lie wherever a cut may fall.
        printer: whose own numbers the files to print are drawn in; None for sRGB.
        cut_page: the same sheet for writers of cuts alone, whose cuts are then this page's too;
            None where there is none.
        remember: gives a sticker's words as they were drawn before.
    """

    sheet: Sheet
    raster: Pixels = field(repr=False)
    unprinted: tuple[Unprinted, ...] = ()
    printer: PrinterNumbers | None = field(default=None, repr=False, compare=False)
    cut_page: CutPage | None = field(default=None, repr=False, compare=False)
    remember: Remember = field(default=afresh, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Check the size and make the raster read-only."""
        if self.raster.shape != (*self.sheet.raster_px, 3) or self.raster.dtype != np.uint8:
            raise ValueError(
                f"raster is {self.raster.dtype} {self.raster.shape}, "
                f"the sheet needs uint8 {(*self.sheet.raster_px, 3)}"
            )
        self.raster.setflags(write=False)

    @cached_property
    def flate(self) -> bytes:
        """The raster as a zlib stream of PNG rows, compressed once for PDF and PNG alike."""
        return deflate_png_rows(self.raster)

    @cached_property
    def lettering(self) -> tuple[Lettering, ...]:
        """All words on the sheet."""
        on_stickers = (words for one in self.sheet.placements for words in one.lettering)
        return (*on_stickers, *self.sheet.lettering)

    @cached_property
    def printed(self) -> Pixels:
        """The raster with the lettering on it; the raster itself where there is none."""
        if not self.lettering:
            return self.raster
        whole, sheet = self.raster.copy(), self.sheet
        own = sheet.dpi, sheet.raster_px
        stickers = [self.remember(letters_on, one, *own) for one in sheet.placements]
        for words in (*chain.from_iterable(stickers), *letters_of(sheet.lettering, *own)):
            blend(whole, words.window, words.shares, words.colour)
        whole.setflags(write=False)
        return whole

    @cached_property
    def printed_flate(self) -> bytes:
        """``printed`` as a zlib stream of PNG rows."""
        return deflate_png_rows(self.printed) if self.lettering else self.flate

    @cached_property
    def sent_flate(self) -> bytes:
        """``flate`` as it is sent to the printer: in its own numbers, where the page has some."""
        if self.printer is None:
            return self.flate
        return deflate_png_rows(self.printer.sent(self.raster))

    @cached_property
    def sent_printed(self) -> Pixels:
        """``printed`` as it is sent to the printer."""
        return self.printed if self.printer is None else self.printer.sent(self.printed)

    @cached_property
    def sent_printed_flate(self) -> bytes:
        """``printed_flate`` as it is sent to the printer."""
        if self.printer is None:
            return self.printed_flate
        return deflate_png_rows(self.sent_printed) if self.lettering else self.sent_flate

    def sent_colour(self, colour: str) -> str:
        """Return a colour "#rrggbb" as it is sent to the printer."""
        if self.printer is None:
            return colour
        pixel = np.array(parse_hex(colour), dtype=np.uint8).reshape(1, 1, 3)
        return hex_of(self.printer.sent(pixel)[0, 0])

    @cached_property
    def cuts(self) -> CutPlan:
        """What is cut, in order; found once for all cut files."""
        return (self.cut_page or CutPage(self.sheet)).cuts


def render_page(
    sheet: Sheet,
    planes: Mapping[str, PatternPlane],
    printer: PrinterNumbers | None = None,
    *,
    mixed: Mix | None = None,
    cut_page: CutPage | None = None,
    remember: Remember | None = None,
) -> Page:
    """Return the sheet with its print raster at the sheet's own resolution, looked over."""
    raster, unprinted = render_and_check(sheet, planes, mixed=mixed, remember=remember)
    return Page(
        sheet,
        raster,
        unprinted=unprinted,
        printer=printer,
        cut_page=cut_page,
        remember=remember or afresh,
    )


def render_and_check(
    sheet: Sheet,
    planes: Mapping[str, PatternPlane],
    *,
    mixed: Mix | None = None,
    remember: Remember | None = None,
) -> tuple[Pixels, tuple[Unprinted, ...]]:
    """Return the print raster as ``render_sheet`` does, and the stickers that it leaves bare."""
    ink = InkMap(*sheet.raster_px)
    raster = render_sheet(sheet, planes, ink=ink, mixed=mixed, remember=remember)
    return raster, ink.unprinted(sheet.placements, sheet.dpi, remember or afresh)
