"""The output formats, one module each, from a ``Page`` (sheet and raster) to bytes.

The table below is all a new format needs: its module with one function, and one line here. A name
is what the format is called on the command line and in messages; ``suffix`` is what follows
``sheet-1`` in the file's name. Modules are imported when their format is written, because some
load heavy libraries.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import cast

from kit.render import CutPage, Page

Write = Callable[[Page | CutPage], bytes]


@dataclass(frozen=True, slots=True)
class Writer:
    """One output format.

    Attributes:
        name: its key in ``WRITERS``.
        suffix: what follows ``sheet-1`` in the file's name.
        source: the module and function, as ``module:function``.
        purpose: what the file is for, in a maker's words, in one line.
        holds: what is in it, for its page in the docs.
        cuts: whether the file holds the cut lines.
        prints: whether the file holds the artwork at print resolution. A writer that only cuts
            is content with a ``CutPage``.
        of_strip: whether the strip of a trial is written so too.
    """

    name: str
    suffix: str
    source: str
    purpose: str
    holds: str
    cuts: bool = False
    prints: bool = False
    of_strip: bool = False

    def write(self, page: Page | CutPage) -> bytes:
        """Return the file's bytes; the same page gives the same bytes."""
        module, function = self.source.split(":")
        return cast("Write", getattr(import_module(module), function))(page)


WRITERS = {
    writer.name: writer
    for writer in (
        Writer(
            "pdf",
            ".pdf",
            "kit.writers.pdf:print_pdf",
            "Print this at 100%",
            "The file to print. One page at the paper's exact size; words as curves; no cut line.",
            prints=True,
            of_strip=True,
        ),
        Writer(
            "print-png",
            "-print.png",
            "kit.writers.png:print_png",
            "The same page as a picture, for a cutter's own program that prints it",
            "The same page as a picture with its size set, for a cutter's own program that prints "
            "and adds its marks.",
            prints=True,
            of_strip=True,
        ),
        Writer(
            "svg",
            ".svg",
            "kit.writers.svg:cut_svg",
            "Cut lines in true millimetres; try this one first",
            "Cut lines, true arcs, 1 unit is 1 mm. The groups `page` (the paper's edge) and "
            "`marks` are not to be cut.",
            cuts=True,
            of_strip=True,
        ),
        Writer(
            "all-svg",
            "-all.svg",
            "kit.writers.svg:all_svg",
            "Picture and cut lines in one drawing, already aligned",
            "The page's picture, and over it all that `sheet-1.svg` holds: one import, already "
            "aligned.",
            cuts=True,
            prints=True,
        ),
        Writer(
            "dxf",
            ".dxf",
            "kit.writers.dxf:cut_dxf",
            "The same cut lines, where a program asks for DXF",
            "The same in millimetres (`$INSUNITS` 4), arcs as bulges; R2000. The layers `PAGE` and "
            "`MARKS` are not to be cut.",
            cuts=True,
            of_strip=True,
        ),
        Writer(
            "layers-pdf",
            "-layers.pdf",
            "kit.writers.layered_pdf:layered_pdf",
            "Print and cut lines in one file, for a print shop; the cut lines are in a hidden "
            "layer",
            "Print and cut in one: the cut is a processing-step layer (ISO 19593-1) that is off "
            "until you turn it on.",
            cuts=True,
            prints=True,
        ),
        Writer(
            "cut-pdf",
            "-cut.pdf",
            "kit.writers.layered_pdf:cut_pdf",
            "The cut lines alone as a PDF, for a program that opens no SVG",
            "Cut lines alone, as vectors in a spot colour; the page is the paper.",
            cuts=True,
        ),
        Writer(
            "hpgl",
            ".hpgl",
            "kit.writers.hpgl:cut_hpgl",
            "The same cut lines, for a cutter that reads HP-GL",
            "Cut lines as plotter commands, 40 units a millimetre; pen 1 kisses, pen 2 cuts "
            "through.",
            cuts=True,
            of_strip=True,
        ),
        Writer(
            "preview",
            ".png",
            "kit.writers.png:preview_png",
            "A small picture to show",
            "A picture for people: the stickers as they come off the sheet. Not for printing.",
        ),
    )
}


def cut_files(pages: Sequence[CutPage]) -> list[dict[str, bytes]]:
    """Return each sheet's files of cuts alone, by their formats' names."""
    alone = {name: one for name, one in WRITERS.items() if one.cuts and not one.prints}
    return [{name: one.write(page) for name, one in alone.items()} for page in pages]
