"""Which coordinates go with a palette: two light ones, two of middle weight, two bold ones.

In: a palette, the press, and how far apart the artwork's motifs stand. Out: ``Proposal``s. Each
template is a kind with a weight; its colours are those of the palette (and white where that has
nothing light) that differ by 12 on paper, that give it the lightness of its weight, and that the
others have not used yet. Its parts stand clearly nearer than the artwork's motifs, or farther
apart: light and middle ones are finer, bold ones larger. Where the artwork has a motif that can be
lifted, one all-over of it is among them, on another ground of the palette.

All limits and the templates are our own: common practice, no published source.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations, permutations
from typing import Any

import numpy as np

from kit.recipe import SPACED
from kitloom.coordinates.tile_motifs import TileMotif
from palette.arrays import Floats, Pixels
from palette.choose import Palette
from palette.errors import PaletteError
from palette.press import Press, on_paper
from palette.proof import POSITIVE_MM
from palette.space import (
    D50,
    de2000,
    de2000_table,
    from_polar,
    hex_of,
    hex_to_lab,
    lab_to_oklab,
    lab_to_srgb8,
    lab_to_xyz,
    oklab_to_lab,
    srgb_to_lab,
    to_polar,
    xyz_to_lab,
)
from patterns.coordinates import ALL_OVER, Cells, Coordinate, Figure, all_over, draw_figure
from patterns.units import MM_PER_INCH

LEAST_DE2000 = 12.0
PLAIN_DE2000 = 24.0  # more makes no pattern plainer
TONE_DE2000 = (8.0, 11.5)  # tone on tone: seen on paper, and still one colour
TONE_STEPS = np.arange(2.0, 30.0, 0.5)  # of lightness, in OKLab
UNLIKE = 1.5  # times farther apart than the artwork's motifs, or nearer
LIGHT_L = 84.0  # a palette whose lightest is darker has no ground for light coordinates
LIGHTNESS = {"light": 87.0, "middle": 70.0, "bold": 42.0}  # mean L* of each weight
GROUND_COUNTS = 1.0  # how much better a ground is that covers most of the artwork
ORDER_COUNTS = 0.5  # how much more the artwork's main colours are worth than its last
MOST_COLOURS = 10  # of a palette, by share: enough to choose from
LARGEST_MM = 26.0  # larger, a sticker shows too little of one to know it
LINE_MM = 2.0 * POSITIVE_MM  # its finest line: home printers are seldom at their best
MOTIF_SCALE, LEAST_MOTIF_MM = 0.65, 6.0  # an all-over's step; smaller, nobody sees what it shows
MOTIF_DPI = 300.0
PLAIN_L = 40.0  # a motif this much lighter or darker than its ground is plain to see
MOTIF_LEAST = 10.0  # percent of its area may be nearer to the ground than ``LEAST_DE2000``
BUSY = 20.0  # CIELAB from part to part of a motif seen small: a bunch of flowers
USED_COUNTS = 0.25  # how much worse a ground is for each other coordinate that shows it
MOTIF_PLACE = 1  # among the others: where few are used, it is one of them
LOOK_CELLS = 64  # a side of one repeat, to see by what each ink covers


@dataclass(frozen=True, slots=True)
class Proposal:
    """One coordinate for some artwork.

    Attributes:
        name: what a recipe calls it.
        weight: "light", "middle" or "bold".
        kind: of ``patterns.coordinates``.
        style: of the kind; "" for the usual one.
        sett: a tartan's thread counts.
        size_mm: one repeat's width.
        colours: "#rrggbb", the ground first.
        colour_names: what the palette calls them.
        contrast_de2000: of its two most alike colours, on paper.
        mean_l: the lightness of all its area, L*.
        source: the pattern that an all-over's motif is lifted from; "" for other kinds.
        motif: which one of it, from 1; None for other kinds.
        rgba: that motif's pixels.
    """

    name: str
    weight: str
    kind: str
    style: str
    sett: str
    size_mm: float
    colours: tuple[str, ...]
    colour_names: tuple[str, ...]
    contrast_de2000: float
    mean_l: float
    source: str = ""
    motif: int | None = None
    rgba: Pixels | None = field(default=None, repr=False, compare=False)

    def coordinate(self) -> Coordinate:
        """Return it, drawn."""
        if self.rgba is not None:
            return Coordinate(_laid(self.rgba, self.colours[0], self.size_mm), self.colours)
        figure = draw_figure(self.kind, self.size_mm, len(self.colours), self.style, self.sett)
        return Coordinate(figure, self.colours)

    def as_dict(self) -> dict[str, Any]:
        """Return it as ``--json`` shows it."""
        return {
            "name": self.name,
            "weight": self.weight,
            "kind": self.kind,
            "style": self.style,
            "sett": self.sett,
            "from": self.source,
            "motif": self.motif,
            "colours": list(self.colours),
            "size_mm": self.size_mm,
            "contrast_de2000": round(self.contrast_de2000, 2),
            "mean_l": round(self.mean_l, 1),
        }


@dataclass(frozen=True, slots=True)
class Template:
    """A kind in its weight.

    Attributes:
        weight: a key of ``LIGHTNESS``.
        kind: of ``patterns.coordinates``.
        style: of the kind.
        colours: how many.
        scale: how far apart its parts stand, in distances of the artwork's motifs.
        parts: how many are in a repeat's width.
        sett: of a tartan.
        light_ground: whether its ground must be light.
    """

    weight: str
    kind: str
    style: str
    colours: int
    scale: float
    parts: float = 1.0
    sett: str = ""
    light_ground: bool = False

    def figure(self, size_mm: float) -> Figure:
        """Return what is drawn at a size."""
        return draw_figure(self.kind, size_mm, self.colours, self.style, self.sett)


TEMPLATES = (
    Template("light", "dots", "half-drop", 2, 0.35, math.sqrt(2.0), light_ground=True),
    Template("light", "stripe", "ticking", 2, 0.6, light_ground=True),
    Template("middle", "gingham", "", 2, 0.6, light_ground=True),
    Template("middle", "scallop", "", 2, 0.6),
    Template("bold", "stripe", "awning", 2, 1.7, light_ground=True),
    Template("bold", "tartan", "", 4, 2.4, sett="A/24 C2 A4 C2 A4 B20 D3 B/8"),
)
SIMPLER = {"tartan": (Template("bold", "check", "", 2, 1.7),)}  # for few colours, or large artwork


@dataclass(frozen=True, eq=False)
class _Inks:
    """Colours to choose from, and how far apart any two of them print."""

    hexes: tuple[str, ...]
    names: tuple[str, ...]
    lightness: Floats
    chroma: Floats
    luminance: Floats
    apart: Floats
    press: Press

    @classmethod
    def of(cls, palette: Palette, press: Press) -> _Inks:
        named = [(one.hex, one.name) for one in palette.swatches[:MOST_COLOURS]]
        if max(float(hex_to_lab(colour)[0]) for colour, _ in named) < LIGHT_L:
            named.append(("#ffffff", "white"))
        labs = np.stack([hex_to_lab(colour) for colour, _ in named])
        return cls(
            tuple(colour for colour, _ in named),
            tuple(name for _, name in named),
            labs[:, 0],
            np.hypot(labs[:, 1], labs[:, 2]),
            lab_to_xyz(labs)[:, 1],
            de2000_table(on_paper(press, labs)),
            press,
        )


@dataclass(frozen=True, order=True, slots=True)
class _Choice:
    """Some colours for a template: how well they suit it, their numbers negated, the measures."""

    score: float
    order: tuple[int, ...]
    apart: float
    mean_l: float


def propose(
    palette: Palette,
    press: Press,
    artwork_mm: float,
    *,
    motifs: Sequence[TileMotif] = (),
    tone_on_tone: bool = False,
) -> tuple[Proposal, ...]:
    """Return a set of coordinates for some artwork.

    Args:
        palette: the artwork's colours.
        press: what they are printed by.
        artwork_mm: how far apart the artwork's motifs are on paper.
        motifs: of the artwork; an all-over is made of the one that suits it best.
        tone_on_tone: draw each in two tones of one colour, and no all-over.

    Raises:
        PaletteError: no two of its colours, white among them, can be told apart well on paper.
    """
    inks = _Inks.of(palette, press)
    used: Counter[str] = Counter()
    made = []
    suit = _in_tones if tone_on_tone else _in_colours
    for template in TEMPLATES:
        for way in (template, *SIMPLER.get(template.kind, ())):
            size_mm = size_of(way, artwork_mm)
            one = None if size_mm is None else suit(way, size_mm, inks, used)
            if one is not None:
                again = way.light_ground and not tone_on_tone  # a ground may serve for many
                used.update(one.colours[1:] if again else one.colours)
                made.append(one)
                break
    if not made:
        raise PaletteError(
            f"has no two colours that differ by {LEAST_DE2000:g} on paper (CIEDE2000)",
            where="palette",
            remedy="Ask for more colours, or add --tone-on-tone.",
        )
    one = None if tone_on_tone else _all_over(motifs, artwork_mm, inks, used)
    return (*made[:MOTIF_PLACE], *([one] if one else []), *made[MOTIF_PLACE:])


def _all_over(
    motifs: Sequence[TileMotif], artwork_mm: float, inks: _Inks, used: Counter[str]
) -> Proposal | None:
    """Return the motif and the ground that suit each other best; None where none do.

    The ground is not the motif's own, but about as light: what is left of the old one along edges
    shows least there; and the others have used it as little as may be.
    """
    size_mm = _unlike(artwork_mm, MOTIF_SCALE, LEAST_MOTIF_MM)
    if size_mm is None:
        return None
    least_px = (1.0 - SPACED) * size_mm * MOTIF_DPI / MM_PER_INCH
    grounds = np.stack([hex_to_lab(colour) for colour in inks.hexes])
    again = np.array([USED_COUNTS * used[colour] for colour in inks.hexes])
    best: tuple[float, TileMotif, int, float] | None = None
    for one in (motif for motif in motifs if motif.across_px >= least_px):
        printed = on_paper(inks.press, one.labs)[:, None], on_paper(inks.press, grounds)[None]
        apart = np.percentile(de2000(*printed), MOTIF_LEAST, axis=0)
        moved = de2000(one.ground_lab, grounds)
        lighter = np.median(np.abs(one.labs[:, None, 0] - grounds[None, :, 0]), axis=0)
        score = np.minimum(apart, PLAIN_DE2000) / PLAIN_DE2000 + one.roundness / 2.0
        score += np.minimum(moved, PLAIN_DE2000) / PLAIN_DE2000
        score += np.minimum(lighter, PLAIN_L) / PLAIN_L  # hue alone makes no pattern
        score -= np.abs(grounds[:, 0] - one.ground_lab[0]) / 100.0 + inks.chroma / 100.0 + again
        score -= min(one.busyness, BUSY) / BUSY  # the artwork is busy enough itself
        score[(apart < LEAST_DE2000) | (moved < LEAST_DE2000)] = -np.inf
        number = int(np.argmax(score))
        if np.isfinite(score[number]) and (best is None or score[number] > best[0]):
            best = float(score[number]), one, number, float(apart[number])
    return None if best is None else _all_over_of(best[1], size_mm, inks, best[2], best[3])


def _all_over_of(
    one: TileMotif, size_mm: float, inks: _Inks, number: int, apart: float
) -> Proposal:
    colour, rgba = inks.hexes[number], one.motif.rgba
    seen = Coordinate(_laid(rgba, colour, size_mm), (colour,)).one_tile(LOOK_CELLS, LOOK_CELLS)
    mean_l = _lightness(float(lab_to_xyz(srgb_to_lab(seen / 255.0))[..., 1].mean()))
    return Proposal(
        f"{one.tile} {ALL_OVER}",
        min(LIGHTNESS, key=lambda weight: abs(LIGHTNESS[weight] - mean_l)),
        ALL_OVER,
        "",
        "",
        size_mm,
        (colour,),
        (inks.names[number],),
        apart,
        mean_l,
        one.tile,
        one.number,
        rgba,
    )


def _laid(rgba: Pixels, ground: str, size_mm: float) -> Figure:
    return all_over(rgba, ground, size_mm, SPACED * size_mm)


def size_of(template: Template, artwork_mm: float) -> float | None:
    """Return a size in mm at which a template's parts are unlike the artwork's in scale.

    As the template says, else larger, else finer; its finest line is never under ``LINE_MM``. None
    where that makes it too large for a sticker.
    """
    unit = artwork_mm * template.parts
    least = math.ceil(2.0 * LINE_MM / template.figure(1.0).narrowest_mm) / 2.0
    return _unlike(unit, template.scale, least)


def _unlike(unit: float, scale: float, least: float) -> float | None:
    """Return a size of at least so much that is unlike a distance: as is wanted, or larger."""
    larger, finer = math.ceil(2.0 * UNLIKE * unit) / 2.0, math.floor(2.0 * unit / UNLIKE) / 2.0
    for size in (max(_half_mm(scale * unit), least), larger, finer):
        if least <= size <= LARGEST_MM and not finer < size < larger:
            return size
    return None


def _half_mm(size_mm: float) -> float:
    return max(1, round(2.0 * size_mm)) / 2.0


def _in_colours(
    template: Template, size_mm: float, inks: _Inks, used: Counter[str]
) -> Proposal | None:
    """Return a template in the colours that suit it best; None where none do."""
    best = max(_choices(template, inks, used), default=None)
    if best is None:
        return None
    numbers = [-i for i in best.order]
    colours = tuple(inks.hexes[i] for i in numbers)
    names = tuple(inks.names[i] for i in numbers)
    return _proposal(template, size_mm, colours, names, apart=best.apart, mean_l=best.mean_l)


def _choices(template: Template, inks: _Inks, used: Counter[str]) -> Iterator[_Choice]:
    """Yield the colours that a template could have, each with how well they suit it."""
    shares = _shares(template)
    own = 1 if template.light_ground else 0
    for numbers in permutations(range(len(inks.hexes)), template.colours):
        if template.light_ground and inks.lightness[numbers[0]] < LIGHT_L:
            continue
        apart = min(float(inks.apart[a, b]) for a, b in combinations(numbers, 2))
        if apart < LEAST_DE2000:
            continue
        mean_l = _lightness(float(shares @ inks.luminance[list(numbers)]))
        lightness = inks.lightness[list(numbers)]
        score = min(apart, PLAIN_DE2000) / PLAIN_DE2000
        score += float(np.ptp(lightness)) / 100.0  # light and dark make a pattern, hue alone none
        score -= abs(mean_l - LIGHTNESS[template.weight]) / 10.0
        score -= sum(used[inks.hexes[i]] for i in numbers[own:]) / len(numbers[own:])
        if template.light_ground:  # a ground of its own colour would tint all that lies on it
            score -= float(inks.chroma[numbers[0]]) / 25.0
            score -= GROUND_COUNTS * numbers[0] / len(inks.hexes)
        score -= ORDER_COUNTS * sum(numbers) / (len(numbers) * len(inks.hexes))
        yield _Choice(round(score, 9), tuple(-i for i in numbers), apart, mean_l)


def _in_tones(
    template: Template, size_mm: float, inks: _Inks, used: Counter[str]
) -> Proposal | None:
    """Return a template in two tones of the colour that suits its weight best, if it has two."""
    if template.colours > 2:
        return None
    wanted_l = LIGHTNESS[template.weight]
    off = [
        (abs(float(inks.lightness[i]) - wanted_l) / 10.0 + used[colour], i)
        for i, colour in enumerate(inks.hexes)
    ]
    for _, number in sorted(off):
        colour = inks.hexes[number]
        found = _tone_of(colour, inks.press)
        if found is not None:
            other, apart = found
            shares = _shares(template)
            y = np.stack([lab_to_xyz(hex_to_lab(one)) for one in (colour, other)])[:, 1]
            names = inks.names[number], f"a tone of {inks.names[number]}"
            mean_l = _lightness(float(shares @ y))
            return _proposal(template, size_mm, (colour, other), names, apart=apart, mean_l=mean_l)
    return None


def _tone_of(colour: str, press: Press) -> tuple[str, float] | None:
    """Return another tone of a colour, and how far they are apart on paper.

    A darker tone of what is light and a lighter one of what is dark, before the other way.
    """
    lab = hex_to_lab(colour)
    lch = to_polar(lab_to_oklab(lab))
    first = -1.0 if lch[0] > 50.0 else 1.0
    for step in [*(first * TONE_STEPS), *(-first * TONE_STEPS)]:
        moved = from_polar(lch + np.array([step, 0.0, 0.0]))
        other = hex_of(lab_to_srgb8(oklab_to_lab(moved)))
        printed = on_paper(press, np.stack([lab, hex_to_lab(other)]))
        apart = float(de2000(printed[0], printed[1]))
        if TONE_DE2000[0] <= apart <= TONE_DE2000[1]:
            return other, apart
    return None


def _proposal(
    template: Template,
    size_mm: float,
    colours: Sequence[str],
    names: Sequence[str],
    *,
    apart: float,
    mean_l: float,
) -> Proposal:
    return Proposal(
        f"{template.style} {template.kind}".strip(),
        template.weight,
        template.kind,
        template.style,
        template.sett,
        size_mm,
        tuple(colours),
        tuple(names),
        apart,
        mean_l,
    )


def _shares(template: Template) -> Floats:
    """Return the share of the area that each ink covers, (colours,); they do not depend on size."""
    figure = template.figure(1.0)
    wide, high = figure.size_mm
    across = Cells(0.0, wide / LOOK_CELLS, LOOK_CELLS)
    down = Cells(0.0, high / LOOK_CELLS, LOOK_CELLS)
    # three inks at a time are seen as red, green and blue
    inks = np.eye(template.colours, 3 * -(-template.colours // 3), dtype=np.float32)
    parts = [
        figure.light(across, down, np.ascontiguousarray(inks[:, i : i + 3])).mean(axis=(0, 1))
        for i in range(0, inks.shape[1], 3)
    ]
    shares: Floats = np.concatenate(parts)[: template.colours].astype(np.float64)
    return shares


def _lightness(luminance: float) -> float:
    """Return L* of a luminance, 0 to 1."""
    return float(xyz_to_lab(luminance * D50)[0])
