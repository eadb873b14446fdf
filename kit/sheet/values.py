"""What lies on one sheet: the values that flow from the layout to every writer.

All lengths are millimetres from the sheet's top left corner, y down; colours are sRGB hex, and the
paper's white is ``PAPER`` (no ink). What is printed is a placement's fill inside ``bleed``, then
its grounds, its panels and its marks; what is cut is ``outline``, and through cuts where the sheet
has any.

Not done here: deciding any of it (recipe, fills, layout) or drawing it (``kit.render.raster``).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from kit.letters import Lettering
from kit.shapes import Contour, Point, Rect, rotate, rounded_rectangle, translate
from palette.arrays import Pixels
from patterns.units import MM_PER_INCH

if TYPE_CHECKING:
    pass


PAPER = "#ffffff"


@dataclass(frozen=True, slots=True)
class PatternFill:
    """A window into a pattern's plane.

    Attributes:
        pattern: the pattern's name, the key to its plane.
        offset_mm: the point of the plane (x, y) at the top left corner of the sticker's box, as
            the sticker lies before ``turn_deg``.
        repeat_mm: the tile's width and height on paper.
        lattice: straight, half-drop or half-brick.
        turn_deg: 0, 90, 180 or 270: how far sticker and artwork are turned clockwise together.
        angle_deg: how far the artwork is turned clockwise inside the sticker, any angle.
        scale: how large the artwork is; 1 is its own size. ``repeat_mm`` and ``offset_mm`` are of
            the artwork at that size.
    """

    pattern: str
    offset_mm: tuple[float, float]
    repeat_mm: tuple[float, float]
    lattice: str = "straight"
    turn_deg: int = 0
    angle_deg: float = 0.0
    scale: float = 1.0

    @property
    def plane(self) -> str:
        """The key to its plane: the pattern's name, its angle and size where these are changed."""
        return plane_key(self.pattern, self.angle_deg, self.scale)


def plane_key(pattern: str, angle_deg: float, scale: float = 1.0) -> str:
    """Return what planes are looked up by: a pattern's name, how far it is turned, how large."""
    turned = pattern if angle_deg == 0.0 else f"{pattern} @ {angle_deg:g}"
    return turned if scale == 1.0 else f"{turned} x {scale:g}"


@dataclass(frozen=True, slots=True)
class ColourFill:
    """One colour all over, sRGB hex such as ``#3b5b7a``."""

    colour: str


Fill = PatternFill | ColourFill


@dataclass(frozen=True, slots=True)
class Panel:
    """An area inside a sticker, printed over its fill, never cut.

    Attributes:
        contour: its edge.
        fill: what it is printed in; by default the paper's own white, to write on.
    """

    contour: Contour
    fill: Fill = ColourFill(PAPER)


@dataclass(frozen=True, slots=True)
class Mark:
    """A printed line such as a checklist's circle, never cut.

    Attributes:
        contour: the line's middle.
        stroke_mm: its width; 0 draws no line.
        colour: of the line.
        inside: the colour that fills the contour first, or None to leave what is there.
    """

    contour: Contour
    stroke_mm: float
    colour: str
    inside: str | None = PAPER


@dataclass(frozen=True, eq=False)
class Picture:
    """A drawing printed on a sticker.

    Attributes:
        box: where it lies on the sheet.
        on_white: (rows, cols, 3) sRGB uint8: the drawing laid on white.
        alpha: (rows, cols) uint8: how far it covers what lies behind it, 0 to 255.
    """

    box: Rect
    on_white: Pixels = field(repr=False)
    alpha: Pixels = field(repr=False)

    def __post_init__(self) -> None:
        """Check that both agree, and make them read-only."""
        if self.on_white.shape != (*self.alpha.shape, 3):
            raise ValueError(f"{self.on_white.shape} and {self.alpha.shape} do not agree")
        self.on_white.setflags(write=False)
        self.alpha.setflags(write=False)


@dataclass(frozen=True, slots=True)
class Placement:
    """One sticker on the sheet.

    Attributes:
        kind: the sticker kind's name, such as "full box".
        box: the cut line's box.
        outline: the cut line.
        fill: what it is filled with.
        bleed: how far the fill is printed: the box grown by the bleed, clipped where a neighbour
            or the paper's edge is nearer (``kit.registration.bleed``).
        panels: areas to write on.
        marks: printed lines.
        picture: a drawing of the maker's own, printed over all these.
        lettering: words, printed last: as curves in a PDF, as pixels in a picture.
        band: a second fill along the sticker's foot, under its panels; None for none.
        frame: what its panel is framed in, under it; None for none.
        edge: a thin line round its panel; None for none.
        ink: what of ``bleed`` the fill is printed in, where the cut line leaves much of its box
            free (``kit.registration.bleed_outline``); None for all of it.
    """

    kind: str
    box: Rect
    outline: Contour
    fill: Fill
    bleed: Rect
    panels: tuple[Panel, ...] = ()
    marks: tuple[Mark, ...] = ()
    picture: Picture | None = None
    lettering: tuple[Lettering, ...] = ()
    ink: Contour | None = None
    band: Panel | None = None
    frame: Panel | None = None
    edge: Mark | None = None

    @property
    def grounds(self) -> tuple[Panel, ...]:
        """What lies over its fill and under its panels, in the order in which it is printed."""
        return tuple(one for one in (self.band, self.frame) if one is not None)

    @property
    def printed_outline(self) -> Contour:
        """The edge of what is printed, for pictures that show it."""
        return self.ink or rounded_rectangle(self.bleed)


@dataclass(frozen=True, slots=True)
class CutMove:
    """How cut files move what is cut against what a machine misses by each time.

    What is not cut, the page's outline and the machine's marks, stays: programs lay the cut lines
    on the sheet by these, so only what moves beside them moves on the paper.

    Attributes:
        offset_mm: to the right and down, after the turn.
        turn_deg: clockwise as seen.
        about_mm: the point that it turns about.
    """

    offset_mm: Point = (0.0, 0.0)
    turn_deg: float = 0.0
    about_mm: Point = (0.0, 0.0)

    def __call__(self, contour: Contour) -> Contour:
        """Return an outline as cut files have it; the very same where nothing is moved."""
        if self.offset_mm == (0.0, 0.0) and self.turn_deg == 0.0:
            return contour
        x, y = self.about_mm
        turned = rotate(translate(contour, -x, -y), self.turn_deg)
        return translate(turned, x + self.offset_mm[0], y + self.offset_mm[1])


@dataclass(frozen=True, slots=True)
class CutStyle:
    """What is cut beside the stickers' outlines, and what the machine wants to be told.

    Attributes:
        through: outlines cut through the backing too, after every sticker
            (``kit.layout.through_cut``).
        arcs: whether HP-GL may say arcs; False for machines that take only straight strokes.
        overcut_mm: how far HP-GL cuts on past a closed outline's start. 0 for most machines, which
            do it themselves.
        blade_offset_mm: how far the blade's tip trails its axis, for HP-GL to make up for at
            corners. 0 for most machines, which do it themselves; doing it twice spoils corners.
        spot: what PDFs call the kiss cut's spot colour; "" for the line's own name.
        move: how cut files move all outlines; by default not at all.
    """

    through: tuple[Contour, ...] = ()
    arcs: bool = True
    overcut_mm: float = 0.0
    blade_offset_mm: float = 0.0
    spot: str = ""
    move: CutMove = CutMove()


@dataclass(frozen=True, slots=True)
class Sheet:
    """One side of paper, ready to be printed and cut.

    Attributes:
        title: what the files call it.
        width_mm: the paper's width.
        height_mm: the paper's height.
        dpi: the print raster's resolution in pixels per inch.
        placements: the stickers, in the order in which they are drawn and cut.
        ruler: a box as wide as a whole number of centimetres, where a ruler is printed to check
            the printer's scale across; None for none.
        caption: a short line printed beside a ruler: the one down where there is one.
        cut: through cuts, and how the machine is spoken to.
        marks: lines printed on the page itself.
        machine_marks: printed likewise, for the maker's machine to find its place by; cut files
            have them in a group that is not to be cut.
        frame: a thin outline in print and cut files alike, to align imported files by; it is not
            to be cut.
        print_scale: how much wider and higher the print PDF is drawn about the page's centre, to
            make up for a printer that shrinks; 1, 1 for none.
        panels: areas printed on the page itself, under the marks.
        lettering: words printed on the page itself.
        ruler_down: a box as high as a whole number of centimetres, for a ruler down the page.
    """

    title: str
    width_mm: float
    height_mm: float
    dpi: float
    placements: tuple[Placement, ...]
    ruler: Rect | None = None
    caption: str = ""
    cut: CutStyle = CutStyle()
    marks: tuple[Mark, ...] = ()
    machine_marks: tuple[Mark, ...] = ()
    frame: Contour | None = None
    print_scale: tuple[float, float] = (1.0, 1.0)
    panels: tuple[Panel, ...] = ()
    lettering: tuple[Lettering, ...] = ()
    ruler_down: Rect | None = None

    @property
    def guides(self) -> Mapping[str, tuple[Contour, ...]]:
        """The lines of a cut file that are not to be cut, by group; only groups that hold some.

        ``page`` is the paper's outline, exactly 0 0 W H: by it the cut lines and a picture of the
        page lie on each other, centre on centre or corner on corner. ``marks`` are the machine's,
        ``frame`` is the frame that a recipe may ask for.
        """
        groups = {
            "page": (rounded_rectangle(Rect(0.0, 0.0, self.width_mm, self.height_mm)),),
            "marks": tuple(mark.contour for mark in self.machine_marks),
            "frame": () if self.frame is None else (self.frame,),
        }
        return {name: outlines for name, outlines in groups.items() if outlines}

    @property
    def raster_px(self) -> tuple[int, int]:
        """Rows and columns of the print raster: whole pixels that cover the paper."""
        per_mm = self.dpi / MM_PER_INCH
        # Letter at 300 dpi is 2550 x 3300; floating point must not make that 2551
        rows, cols = (math.ceil(mm * per_mm - 1e-6) for mm in (self.height_mm, self.width_mm))
        return rows, cols
