"""What may a recipe say? Its tables and their keys, each with what it must be.

In: a recipe's values. Out: a frozen ``Recipe`` with every length in millimetres. Not done here:
reading its text (``kit.recipe.reading``), opening the artwork that it names, or deciding anything
that it leaves open.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, field_validator, model_validator

from kit.kinds import KINDS
from kit.recipe.coordinate_keys import CoordinatePart
from kit.recipe.fields import (
    Angle,
    BoxSize,
    Length,
    Number,
    Offset,
    OneOf,
    PaperValue,
    Part,
    Positive,
    Repeat,
    RulerReading,
    Share,
    Size,
    Whole,
)
from kit.recipe.messages import near
from kit.recipe.row_keys import MAX_STICKERS, RowPart
from palette.choose import USUAL
from palette.errors import PaletteError
from palette.space import colour_of, named_colours
from palette.surfaces import DEFAULT_SURFACE, SURFACES

MOST_NAME_BYTES = 127  # of a PDF name (ISO 32000-1, annex C)
FORMAT = 1  # raised when a key changes its meaning; a recipe without the key is of format 1


HexColour = Annotated[str, Field(pattern=r"^#[0-9a-fA-F]{6}$")]


class KitPart(Part):
    """``[kit]``: what the kit is called, and the format that the recipe is written in."""

    name: str = Field(default="", max_length=120)
    format: Whole = 1

    @field_validator("format")
    @classmethod
    def _known_format(cls, value: int) -> int:
        if value != FORMAT:
            raise ValueError(
                f"recipes of format {value} are not known here, only {FORMAT}. Use the kitloom "
                "that wrote it, or draft the recipe again"
            )
        return value


class PlannerPart(Part):
    """``[planner]``: the day box of the maker's own planner, in mm."""

    box: BoxSize


class Margins(Part):
    """What printer or cutter cannot reach along each edge of the paper, in mm."""

    top: Length = 10.0
    right: Length = 10.0
    bottom: Length = 10.0
    left: Length = 10.0


class KeepOut(Part):
    """A band along one edge, inside the margins, that must stay free; in mm."""

    edge: Literal["top", "right", "bottom", "left"]
    depth: Length


class RegistrationPart(Part):
    """How far the cut may land from the print: shift in mm, turn in degrees, scale as a share."""

    shift: Length = 0.5
    turn: Angle = 0.1
    scale: Share = 0.0


class SheetPart(Part):
    """``[sheet]``: the paper and how exactly it is printed and cut; lengths in mm.

    ``held`` is the point that stays where it is when a cut is turned or stretched off the print:
    the sheet's middle, the middle of the marks that the machine looks for, or the corner that the
    sheet is laid in. ``top_up_held`` are the colours that the stickers of each kind of ``top_up``
    were dealt and keep.
    """

    paper: PaperValue
    dpi: Number = Field(default=300, ge=72, le=1200)
    margin: Margins = Margins()
    keep_out: tuple[KeepOut, ...] = ()
    gap: Length = 3.0
    layout: Literal["rows", "pack"] = "rows"
    top_up: tuple[str, ...] = ()
    top_up_held: tuple[tuple[HexColour, ...], ...] = ()
    bleed: Length = 1.0
    registration: RegistrationPart = RegistrationPart()
    held: Literal["middle", "marks", "top left", "top right", "bottom right", "bottom left"] = (
        "middle"
    )
    corner_radius: Length = 1.5
    frame: bool = False
    ruler_reads: RulerReading = None
    correct_scale: bool = False

    @field_validator("top_up")
    @classmethod
    def _known_kinds(cls, value: tuple[str, ...]) -> tuple[str, ...]:
        known = [kind.name for kind in KINDS.values() if not kind.source_key]
        for kind in value:
            if kind not in known:
                raise ValueError(
                    f'"{kind}" cannot fill a sheet up. {near(kind, known)}These can: '
                    f"{', '.join(known)}"
                )
        return value

    @field_validator("margin", mode="before")
    @classmethod
    def _one_margin_for_all(cls, value: Any) -> Any:
        if isinstance(value, str | int | float):
            return dict.fromkeys(("top", "right", "bottom", "left"), value)
        return value

    @field_validator("registration", mode="before")
    @classmethod
    def _bare_shift(cls, value: Any) -> Any:
        if isinstance(value, str | int | float):
            return {"shift": value, "turn": 0.0, "scale": 0.0}
        return value


class MarkPart(Part):
    """One of ``[[marks]]``: a printed mark for the maker's own machine; lengths in mm.

    ``at`` is its middle from the paper's top left corner; ``corner`` says which way a "corner"
    points; nothing else is printed or cut within ``quiet`` of it.
    """

    shape: Literal["cross", "corner", "disc", "square"]
    at: Size
    size: Positive
    stroke: Positive = 0.5
    corner: Literal["top left", "top right", "bottom right", "bottom left"] = "top left"
    quiet: Length = 2.0


def _spot_name(name: str) -> str:
    """Refuse what no PDF can call a spot colour (ISO 32000-1, 7.3.5 and 8.6.6.4)."""
    if name in ("All", "None"):
        raise ValueError("must be another name: PDF keeps All and None for itself")
    if len(name.encode()) > MOST_NAME_BYTES or not name.isprintable() or name != name.strip():
        raise ValueError(f"must be a name of up to {MOST_NAME_BYTES} letters that can be seen")
    return name


class CutPart(Part):
    """``[cut]``: through cuts, and what HP-GL files tell the machine; lengths in mm.

    Overcut and blade offset are 0 unless set, because most machines add their own. ``spot`` names
    the kiss cut's spot colour in PDFs, for programs that find their tool by it. ``offset`` and
    ``turn`` (degrees, clockwise, about the point that ``sheet.held`` names) move what is cut in
    every cut file, against what a machine misses by each time.
    """

    through: Literal["none", "groups", "sheet", "both"] = "none"
    hpgl_arcs: bool = True
    overcut: Annotated[Length, Field(le=2)] = 0.0
    blade_offset: Annotated[Length, Field(le=2)] = 0.0
    spot: Annotated[str, AfterValidator(_spot_name)] = ""
    offset: Offset = (0.0, 0.0)
    turn: Annotated[Angle, Field(ge=-5, le=5)] = 0.0


class PressPart(Part):
    """``[press]``: what the sheet is printed on, or the printer's own profile or chart.

    ``convert`` has the print drawn in the printer's own numbers, through either.
    """

    surface: Annotated[str, OneOf(tuple(SURFACES))] = DEFAULT_SURFACE
    profile: Path | None = None
    chart: Path | None = None
    intent: Literal["perceptual", "relative", "saturation", "absolute"] = "relative"
    black_point_compensation: bool = True
    convert: bool = False


def _known_name(text: str) -> str:
    """Refuse a name that CSS does not know; what begins with # is checked by its pattern."""
    if not text.startswith("#"):
        try:
            colour_of(text)
        except PaletteError as error:
            raise ValueError(f"{error.what}. {error.remedy}") from None
    return text


_Colour = Annotated[str, Field(pattern=r"^(#[0-9a-fA-F]{6}|[^#].*|)$"), AfterValidator(_known_name)]


class PalettePart(Part):
    """``[palette]``: how many colours to choose, which must be among them and which must not.

    ``pinned`` and ``without`` are as they were typed, "#rrggbb" or names of CSS. ``from`` is a
    palette file of an earlier season, ``tiles`` the patterns that colours are taken from (all where
    empty), ``allow`` pairs of colours that may be as close as they are.
    """

    colours: Annotated[Whole, Field(ge=1, le=24)] | Literal["auto"] = USUAL
    pinned: tuple[_Colour, ...] = ()
    without: tuple[_Colour, ...] = ()
    source: Path | None = Field(default=None, alias="from")
    tiles: tuple[str, ...] = ()
    allow: tuple[tuple[str, str], ...] = ()

    @property
    def pins(self) -> dict[str, str]:
        """The pinned colours "#rrggbb" with the names that were typed, "" for a hex."""
        return named_colours(self.pinned)

    @property
    def left_out(self) -> tuple[str, ...]:
        """The colours "#rrggbb" that must not be in the palette."""
        return tuple(named_colours(self.without))


class LettersPart(Part):
    """``[letters]``: the font that stickers are lettered in, a file of the maker's own."""

    font: Path | None = None


class FillsPart(Part):
    """``[fills]``: how windows into patterns are chosen.

    ``variety`` 0 looks only for cuts that run between motifs, 1 only for copies that differ.
    """

    variety: Number = Field(default=0.5, ge=0, le=1)


class PatternPart(Part):
    """One of ``[[patterns]]``: an artwork file and its repeat, the width of one tile in mm.

    ``looked`` names the very file (the first digits of its SHA-256) whose joins the maker looked
    at and found good, whatever was measured there.
    """

    file: Path
    name: str = Field(default="", max_length=80)
    repeat: Repeat = "auto"
    lattice: Literal["straight", "half-drop", "half-brick", "auto"] = "straight"
    looked: str = ""

    @field_validator("looked")
    @classmethod
    def _part_of_a_hash(cls, value: str) -> str:
        if value and re.fullmatch(r"[0-9a-f]{12}", value) is None:
            raise ValueError(
                f'"{value}" names no file. Write the twelve characters that kitloom make shows, or '
                "take looked out"
            )
        return value

    @property
    def label(self) -> str:
        """What fills call this pattern: its name, or its file's name without the ending."""
        return self.name or self.file.stem

    @property
    def subject(self) -> str:
        """How messages name the file: as written, or by folder and name where that is a long way.

        ``--patterns`` gives whole paths; so does a recipe whose artwork lies elsewhere.
        """
        return (
            f"{self.file.parent.name}/{self.file.name}"
            if self.file.is_absolute()
            else str(self.file)
        )


class Recipe(Part):
    """A whole recipe, checked. ``folder`` is where relative file names start from."""

    kit: KitPart = KitPart()
    planner: PlannerPart
    sheet: SheetPart
    cut: CutPart = CutPart()
    press: PressPart = PressPart()
    palette: PalettePart = PalettePart()
    letters: LettersPart = LettersPart()
    fills: FillsPart = FillsPart()
    marks: tuple[MarkPart, ...] = Field(default=(), max_length=50)
    patterns: tuple[PatternPart, ...] = Field(min_length=1, max_length=500)
    coordinates: tuple[CoordinatePart, ...] = Field(default=(), max_length=100)
    rows: tuple[RowPart, ...] = Field(min_length=1, max_length=500)
    folder: Path = Field(default=Path(), exclude=True)
    file: Path = Field(default=Path("recipe"), exclude=True)

    @property
    def fill_names(self) -> tuple[str, ...]:
        """What rows may call their fills by: the patterns' names, then the coordinates'."""
        patterns = tuple(part.label for part in self.patterns)
        return patterns + tuple(part.label for part in self.coordinates)

    @property
    def holds(self) -> bool:
        """Whether any of its stickers keeps what it was dealt."""
        return bool(self.sheet.top_up_held) or any(row.held for row in self.rows)

    @model_validator(mode="after")
    def _names_agree(self) -> Recipe:
        labels = [pattern.label for pattern in self.patterns]
        twice = {label for label in labels if labels.count(label) > 1}
        again = {label for label in self.fill_names if self.fill_names.count(label) > 1} - twice
        if again:
            places = [i for i, one in enumerate(self.coordinates, 1) if one.label == min(again)]
            raise ValueError(
                f'a coordinate is called "{min(again)}", and so is another fill. Give it '
                f'(coordinates.{places[-1]}) a name = "..." of its own'
            )
        if twice:
            raise ValueError(
                f'two patterns are called "{min(twice)}". Give one a name = "..." of its own'
            )
        count = sum(row.count for row in self.rows)
        if count > MAX_STICKERS:
            raise ValueError(
                f"its rows ask for {count} stickers, more than the {MAX_STICKERS} of one kit. "
                "Lower some counts, or split the kit into two recipes"
            )
        return self
