"""The kinds of coordinates: one entry each, from which recipe, command and docs take them.

In: a size in millimetres, a number of colours, and a style or a sett. Out: a ``Figure``. The first
colour is the ground; proportions are the trade's (common practice, no published source). Sizes are
one repeat's width, for an all-over the step between its motifs. Not done here: an all-over's
figure, which needs a motif lifted from artwork (``all_over``).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from patterns.artwork_error import ArtworkError
from patterns.coordinates.bands import Bands
from patterns.coordinates.chevrons import Chevrons
from patterns.coordinates.coordinate import Figure
from patterns.coordinates.discs import Dots
from patterns.coordinates.ramp import Ramp
from patterns.coordinates.scallops import Scallops
from patterns.coordinates.sett import Sett, parse_sett
from patterns.coordinates.weave import Weave, woven

Draw = Callable[[float, int], Figure]  # of a size in mm and a number of colours
TARTAN, ALL_OVER, TOSSED = "tartan", "all-over", "tossed"
MOST_SETT_COLOURS = 8


@dataclass(frozen=True, slots=True)
class CoordinateKind:
    """One kind.

    Attributes:
        name: what recipes call it.
        means: what it looks like, and what each colour does in it, in a sentence or two.
        size: what its size is.
        styles: by name how each of its styles is drawn, the usual one first; "" where there is one.
            None where colours alone do not draw it.
        least_colours: how many it needs.
        most_colours: how many it can take.
    """

    name: str
    means: str
    size: str
    styles: Mapping[str, Draw | None]
    least_colours: int = 2
    most_colours: int = 2

    @property
    def style_names(self) -> tuple[str, ...]:
        """The styles to choose from; none where there is only one."""
        return tuple(name for name in self.styles if name)


def _stripe(size_mm: float, parts: list[tuple[float, int]], middle: int) -> Weave:
    bands = Bands.of(parts, size_mm)
    inks = range(max(ink for _, ink in parts) + 1)
    pure = tuple((ink, ink) for ink in inks)
    return Weave(bands, Bands((size_mm,), (0,)), (pure,), (bands.middle_mm(middle), 0.0))


def _even(size_mm: float, colours: int) -> Weave:
    return _stripe(size_mm, [(1.0, ink) for ink in range(colours)], 0)


def _ticking(size_mm: float, colours: int) -> Weave:
    fine = [(1.0, 1), (1.4, 0)]
    return _stripe(size_mm, [(9.0, 0), *fine, (3.0, colours - 1), *reversed(fine)], 3)


def _awning(size_mm: float, colours: int) -> Weave:
    line = (1.0, colours - 1)
    return _stripe(size_mm, [(8.0, 1), (1.5, 0), line, (4.0, 0), line, (1.5, 0)], 0)


def _gingham(size_mm: float, colours: int) -> Weave:
    across = Bands.of([(1.0, 1), (1.0, 0)], size_mm)
    down = Bands.of([(1.0, colours - 1), (1.0, 0)], size_mm)
    return Weave(across, down, woven(colours), (size_mm / 4.0, size_mm / 4.0))


def _check(size_mm: float, _: int) -> Weave:
    bands = Bands.of([(1.0, 0), (1.0, 1)], size_mm)
    squares = (((0, 0), (1, 1)), ((1, 1), (0, 0)))
    return Weave(bands, bands, squares, (size_mm / 4.0, size_mm / 4.0))


def _over(number: int) -> tuple[tuple[tuple[int, int], ...], ...]:
    """Return the crossings of lines on a ground, ink 0; of two the later lies on top."""
    return tuple(tuple((max(j, i), max(j, i)) for i in range(number)) for j in range(number))


def _windowpane(size_mm: float, colours: int) -> Weave:
    pane = [(16.0, 0), (1.0, 1)]
    if colours == 3:  # a finer line in the middle of each pane
        pane = [(8.0, 0), (0.6, 2), (8.0, 0), (1.0, 1)]
    high = [(width * (1.25 if ink == 0 else 1.0), ink) for width, ink in pane]
    across = Bands.of(pane, size_mm)
    unit = size_mm / sum(width for width, _ in pane)
    down = Bands.of(high, unit * sum(width for width, _ in high))
    middle = (len(pane) - 1) // 2
    centre = across.middle_mm(middle), down.middle_mm(middle)
    return Weave(across, down, _lines_over(colours), centre)


def _lines_over(colours: int) -> tuple[tuple[tuple[int, int], ...], ...]:
    """Return crossings in which the main line, ink 1, lies over the finer one, ink 2."""
    if colours == 2:
        return _over(2)
    order = (0, 2, 1)
    top = [[max(j, i, key=order.index) for i in range(3)] for j in range(3)]
    return tuple(tuple((ink, ink) for ink in row) for row in top)


def _grid(size_mm: float, _: int) -> Weave:
    bands = Bands.of([(9.0, 0), (1.0, 1)], size_mm)
    return Weave(bands, bands, _over(2), (bands.middle_mm(0), bands.middle_mm(0)))


def _dots(size_mm: float, colours: int) -> Dots:
    """Dots in a grid; a second colour takes turns with the first, like squares of a check."""
    if colours == 2:
        middle = size_mm / 2.0
        return Dots((size_mm, size_mm), 0.24 * size_mm, (((middle, middle), 1),))
    pitch = size_mm / 2.0
    places = [((i + 0.5) * pitch, (j + 0.5) * pitch) for j in range(2) for i in range(2)]
    dots = tuple((place, 1 + (n in {1, 2})) for n, place in enumerate(places))
    return Dots((size_mm, size_mm), 0.24 * pitch, dots)


def _half_drop(size_mm: float, colours: int) -> Dots:
    quarter, rest = size_mm / 4.0, size_mm * 3.0 / 4.0
    dots = (((quarter, quarter), 1), ((rest, rest), colours - 1))
    return Dots((size_mm, size_mm), 0.155 * size_mm, dots)


def _chevron(size_mm: float, colours: int) -> Chevrons:
    band_mm = 0.36 * size_mm
    bands = Bands((band_mm,) * colours, tuple(range(colours)))
    return Chevrons(bands, size_mm, slope=0.9)


def _scallop(size_mm: float, colours: int) -> Scallops:
    rings = [(1.0, 1), (0.86, 0)]
    if colours == 3:
        rings += [(0.58, 2), (0.34, 0)]
    return Scallops(size_mm, tuple(rings))


def _down(size_mm: float, _: int) -> Ramp:
    return Ramp(size_mm)


def _across(size_mm: float, _: int) -> Ramp:
    return Ramp(size_mm, is_upright=False)


COORDINATE_KINDS: Mapping[str, CoordinateKind] = {
    one.name: one
    for one in (
        CoordinateKind(
            "stripe",
            "Stripes down the sticker. Even ones have two to four colours of one width. Ticking "
            "has fine lines on both sides of a broader one, an awning broad stripes with a line on "
            "each side. A third colour is for the broader line, or the awning's lines.",
            "from one stripe to the next of its colour",
            {"even": _even, "ticking": _ticking, "awning": _awning},
            2,
            4,
        ),
        CoordinateKind(
            "gingham",
            "Bands woven across and down on a ground; where one crosses the ground, half of each. "
            "A third colour takes the bands down.",
            "two squares, one of each band",
            {"": _gingham},
            2,
            3,
        ),
        CoordinateKind(
            "windowpane",
            "Thin lines round panes a quarter higher than wide; a third colour draws a finer line "
            "through the middle of each.",
            "a pane and its line",
            {"": _windowpane},
            2,
            3,
        ),
        CoordinateKind(
            TARTAN,
            "Bands woven across and down by a sett of thread counts; where two colours cross, half "
            "of each. The colours are those of the sett's letters, in the order in which these "
            "first stand in it.",
            "the whole sett",
            {},
            2,
            MOST_SETT_COLOURS,
        ),
        CoordinateKind(
            "dots",
            "Dots on a ground, in a grid or in a half-drop, where each column sits half a step "
            "lower; a third colour takes turns with the second.",
            "from one dot to the next in its column (with three colours in a grid, two of them)",
            {"grid": _dots, "half-drop": _half_drop},
            2,
            3,
        ),
        CoordinateKind("check", "Squares in two colours by turns.", "two squares", {"": _check}),
        CoordinateKind(
            "chevron",
            "Zigzag bands, two to four colours by turns.",
            "from one peak to the next",
            {"": _chevron},
            2,
            4,
        ),
        CoordinateKind(
            "scallop",
            "Scales in rows, drawn by their edges on the ground; a third colour draws an arch in "
            "each.",
            "a scale",
            {"": _scallop},
            2,
            3,
        ),
        CoordinateKind("grid", "A small grid of thin lines.", "a square", {"": _grid}),
        CoordinateKind(
            "gradient",
            "Two or three colours that pass into one another and back, down the sticker or across "
            "it; the middle of the passage is the sticker's. A size of twice the sticker's height "
            "gives one passage from its top to its foot.",
            "from the first colour to the last and back to it",
            {"down": _down, "across": _across},
            2,
            3,
        ),
        CoordinateKind(
            ALL_OVER,
            "One motif lifted out of a pattern, on a ground of one colour: upright, each column "
            "half a step lower, or tossed, each of eight copies turned another way. It is drawn "
            "from the artwork's own pixels.",
            "from one motif to the next in its column",
            {"half-drop": None, TOSSED: None},
            1,
            1,
        ),
    )
}


def check_kind(kind: str, colours: int, style: str = "") -> None:
    """Refuse a style that a kind has not, or another number of colours than it can take.

    Raises:
        ArtworkError: with the key that is at fault.
    """
    part = COORDINATE_KINDS[kind]
    if style and style not in part.style_names:
        known = ", ".join(part.style_names)
        raise ArtworkError(
            f'"{style}" is not a style of kind "{kind}"',
            where="style",
            remedy=f"Choose from {known}." if known else "Take it out; it has one alone.",
        )
    if kind == TARTAN:  # its sett says how many
        return
    most = 3 if style in {"ticking", "awning"} else part.most_colours
    if not part.least_colours <= colours <= most:
        least = part.least_colours
        wanted = f"{least}" if least == most else f"{least} to {most}"
        raise ArtworkError(
            f'"{style or kind}" does not take {colours} colours',
            where="colours",
            remedy=f"Give {wanted}, the ground first." if most > 1 else "Give one, the ground.",
        )


def draw_figure(kind: str, size_mm: float, colours: int, style: str = "", sett: str = "") -> Figure:
    """Return the figure of a kind.

    Args:
        kind: a name in ``COORDINATE_KINDS``, but for ``ALL_OVER``.
        size_mm: one repeat's width, above 0.
        colours: how many it is drawn in.
        style: one of the kind's; "" for the usual one.
        sett: thread counts, for a tartan.

    Raises:
        ArtworkError: as of ``check_kind``; a sett that cannot be read; a kind that needs a motif.
    """
    check_kind(kind, colours, style)
    if kind == TARTAN:
        return _tartan(parse_sett(sett), size_mm, colours)
    styles = COORDINATE_KINDS[kind].styles
    draw = styles[style] if style else next(iter(styles.values()))
    if draw is None:
        raise ArtworkError(
            f'"{kind}" is drawn from a motif', where="kind", remedy="Lift one out of a tile."
        )
    return draw(size_mm, colours)


def _tartan(sett: Sett, size_mm: float, colours: int) -> Weave:
    if len(sett.letters) > MOST_SETT_COLOURS:
        raise ArtworkError(
            f"has {len(sett.letters)} colours",
            where="sett",
            remedy=f"Use {MOST_SETT_COLOURS} at most.",
        )
    if colours != len(sett.letters):
        raise ArtworkError(
            f"has {colours} colours, and its sett {len(sett.letters)}",
            where="colours",
            remedy=f"Give one each for {', '.join(sett.letters)}, in this order.",
        )
    number = {letter: i for i, letter in enumerate(sett.letters)}
    bands = Bands.of([(count, number[letter]) for letter, count in sett.stripes], size_mm)
    middle = bands.middle_mm(0)
    return Weave(bands, bands, woven(colours), (middle, middle))
