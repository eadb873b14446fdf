"""The four roads, as a maker walks them, in general words: no machine and no program is named.

To add a road, add one entry to ``ROADS``. File names are between backquotes; what they are called
comes from the tables of files, and a test holds the texts to that.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

# where a drawing's millimetres are read as pixels: what brings back its size
FACTORS = {72: "283.46%", 90: "354.33%", 96: "377.95%"}
(_PX, _TO), *_OTHERS = FACTORS.items()
_WRONG_SIZE = (
    "If it came in at the wrong size, scale everything at once: "
    f"to {_TO} if the program counts {_PX} pixels to an inch, "
    + ", ".join(f"{to} for {px}" for px, to in _OTHERS)
)
_PRINT = (
    "Print `sheet-1.pdf` at actual size, let it dry, and check its printed rulers with a steel one."
)
_NO_CUT = "Set the groups `page` and `marks` (in DXF the layers `PAGE` and `MARKS`) to no cut"


@dataclass(frozen=True, slots=True)
class Road:
    """One way from the files to cut stickers.

    Attributes:
        key: what addresses call it.
        title: what the machine can do.
        says: the same as a maker says it of hers.
        files: the files that are needed first, as those of sheet 1 are called.
        steps: what to do, in order.
        check: what shows that it worked.
    """

    key: str
    title: str
    says: str
    files: tuple[str, ...]
    steps: tuple[str, str, str, str, str]
    check: str


ROADS = (
    Road(
        "prints",
        "The cutter's own program prints and cuts",
        "Its own program prints the sheet, adds its marks and cuts",
        ("sheet-1-all.svg", "sheet-1-print.png", "sheet-1.svg"),
        (
            "Import `sheet-1-all.svg` at 100%: picture and cut lines are already in place. "
            "If the program takes no picture from an SVG, import `sheet-1-print.png` and "
            "`sheet-1.svg` and put one over the other, centre on centre: both are as large as the "
            "page.",
            f"Measure one sticker in the program. {_WRONG_SIZE}.",
            f"{_NO_CUT}, or delete them now that everything is in place. `kiss-cut` cuts the "
            "sticker alone; `through-cut`, if there is one, cuts the backing too.",
            "Let the program add its marks, and print from it at actual size. Switch off any bleed "
            "of its own: the print already runs past the cut lines. If one of its marks falls on a "
            "sticker, make `margin` in the recipe wider.",
            "Load the sheet as the machine's instructions say, let it find its marks, and cut.",
        ),
        "Peel one sticker at each corner of the sheet: it should have colour up to the edge on all "
        "four sides.",
    ),
    Road(
        "reads",
        "The program reads SVG or DXF only",
        "Its program opens cut lines only; I print the sheet elsewhere",
        ("sheet-1.pdf", "sheet-1.svg", "sheet-1.dxf"),
        (
            "Look up in the machine's instructions which marks it looks for and where, write them "
            "into the recipe as `[[marks]]`, and make the files again.",
            _PRINT,
            f"Open `sheet-1.svg` or `sheet-1.dxf` at 100%. The outline in the group `page` is "
            f"your paper: measure it. {_WRONG_SIZE}.",
            "Move all lines together, until a corner of that outline is on the same corner of the "
            f"program's page. {_NO_CUT}, and move nothing after that.",
            "Load the print, let the machine find the marks where `marks` has them, and cut.",
        ),
        "On a print on plain paper, put a pen in the blade's place first: each line should be as "
        "far inside its colour on the left as on the right, and at the top as at the bottom.",
    ),
    Road(
        "points",
        "It has a pointer or a camera and asks for points",
        "It has a pointer or a camera that I move over points",
        ("sheet-1.pdf", "sheet-1.svg", "sheet-1.dxf"),
        (
            "Write four `[[marks]]` into the recipe, crosses or discs near the sheet's corners, "
            "and make the files again.",
            _PRINT,
            "Open `sheet-1.svg` or `sheet-1.dxf` at 100% and take the middles of three marks of "
            f"the group `marks` as the points, one after the other. {_WRONG_SIZE}.",
            "Load the print and move the pointer or camera over the middle of each of the three "
            "printed marks, in the same order.",
            f"{_NO_CUT}, and cut.",
        ),
        "Before you cut, send the pointer or camera to the fourth mark: it should be over the "
        "mark's middle.",
    ),
    Road(
        "corner",
        "It has only a mat and a corner",
        "It finds nothing by itself: I lay the sheet into a corner",
        ("sheet-1.pdf", "sheet-1.svg", "sheet-1.hpgl"),
        (
            _PRINT,
            "Open `sheet-1.svg` at 100%, or send `sheet-1.hpgl`, whose origin is the paper's "
            "bottom left corner. Lay that corner of the outline in the group `page` on the corner "
            f"where the machine begins. {_WRONG_SIZE}.",
            "Lay the sheet into the same corner of the mat, both edges against the same stops each "
            "time, and tape it down where it could slip.",
            "First cut the strips of a trial in the same way (`kitloom trial`), write into the "
            "recipe what their combs say, and make the files again.",
            f"{_NO_CUT}, and cut.",
        ),
        "Peel the sticker that is farthest from that corner: it should have colour up to the "
        "edge on all four sides. A crooked sheet shows most there.",
    ),
)


def spans(text: str) -> Iterator[tuple[str, bool]]:
    """Yield a step's text in pieces, each with whether it was between backquotes."""
    for place, piece in enumerate(text.split("`")):
        if piece:
            yield piece, place % 2 == 1
