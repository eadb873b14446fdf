"""The output formats, one module each, from a ``Page`` (sheet and raster) to bytes.

The table below is all a new format needs: its module with one function, and one line here. A name
is what the format is called on the command line and in messages; ``suffix`` is what follows
``sheet-1`` in the file's name. Modules are imported when their format is written, because some
load heavy libraries.
"""

from __future__ import annotations

from collections.abc import Callable
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
        cuts: whether the file holds the cut lines.
        prints: whether the file holds the artwork at print resolution. A writer that only cuts
            is content with a ``CutPage``.
        heavy: whether a large library is loaded for it.
    """

    name: str
    suffix: str
    source: str
    cuts: bool
    prints: bool
    heavy: bool = False

    def write(self, page: Page | CutPage) -> bytes:
        """Return the file's bytes; the same page gives the same bytes."""
        module, function = self.source.split(":")
        return cast("Write", getattr(import_module(module), function))(page)


WRITERS = {
    writer.name: writer
    for writer in (
        Writer("pdf", ".pdf", "kit.writers.pdf:print_pdf", cuts=False, prints=True),
        Writer("print-png", "-print.png", "kit.writers.png:print_png", cuts=False, prints=True),
        Writer("svg", ".svg", "kit.writers.svg:cut_svg", cuts=True, prints=False),
        Writer("dxf", ".dxf", "kit.writers.dxf:cut_dxf", cuts=True, prints=False, heavy=True),
        Writer(
            "layers-pdf",
            "-layers.pdf",
            "kit.writers.layered_pdf:layered_pdf",
            cuts=True,
            prints=True,
        ),
        Writer("hpgl", ".hpgl", "kit.writers.hpgl:cut_hpgl", cuts=True, prints=False),
        Writer("preview", ".png", "kit.writers.png:preview_png", cuts=False, prints=False),
    )
}
