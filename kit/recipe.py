"""What does the maker want made? The recipe: a short TOML file, read and checked here.

In: the file's text. Out: a frozen ``Recipe`` with every length in millimetres. Every fault of the
file is one ``RecipeError`` that quotes the line it stands on and says how to mend it.

Not done here: opening the artwork that it names, or deciding anything that it leaves open. This is
the only module of the package that reads files.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal, cast

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationError,
    field_validator,
    model_validator,
)

from kit.errors import RecipeError
from kit.paper import Paper, paper_named
from kit.recipe_faults import key_of, recipe_error
from kit.stickers import KINDS
from patterns.units import LengthError, parse_length, parse_size

MAX_BYTES = 1_000_000
MAX_STICKERS = 2_000


def _length(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise ValueError('a length is wanted, such as "38mm" or "1.5in"')
    try:
        return parse_length(str(value))
    except LengthError as error:
        raise ValueError(f"{error.what}. {error.remedy}") from None


def _repeat(value: Any) -> Any:
    return value if value == "auto" else _length(value)


def _size(value: Any) -> Any:
    if not isinstance(value, str):
        raise ValueError('a width and a height are wanted, such as "40mm x 52mm"')
    try:
        return parse_size(value)
    except LengthError as error:
        raise ValueError(f"{error.what}. {error.remedy}") from None


def _paper(value: Any) -> Any:
    if not isinstance(value, str):
        raise ValueError('a paper is wanted. Write "Letter", "A4" or "8.5in x 11in"')
    try:
        return paper_named(value)
    except RecipeError as error:
        raise ValueError(f"{error.what}. {error.remedy}") from None


def _row_size(value: Any) -> Any:
    """A size in lengths, or as shares of the planner's box such as "2 x 0.5 box"."""
    if isinstance(value, str) and value.strip().endswith("box"):
        parts = value.strip().removesuffix("box").replace("×", "x").split("x")
        try:
            wide, high = (float(part) for part in parts)
        except ValueError:
            raise ValueError(f'"{value}" is not a share. Write it like "2 x 0.5 box"') from None
        if not 0 < wide <= 50 or not 0 < high <= 50:
            raise ValueError(f'"{value}" is not a size. Write shares above 0 and up to 50')
        return BoxShare(wide, high)
    return _size(value)


def _pin(value: Any) -> Any:
    """An offset in the pattern's plane such as "5mm x 12mm", or "centred"."""
    if value in {None, "centred"}:
        return value
    if not isinstance(value, str):
        raise ValueError('an offset is wanted. Write "5mm x 12mm" or "centred"')
    if value == "auto":
        return None
    try:
        return parse_size(value)
    except LengthError as error:
        raise ValueError(f'{error.what}. Write "5mm x 12mm" or "centred"') from None


def _pins(value: Any) -> Any:
    """One offset for the whole row, or a list with one a sticker, "auto" where any will do."""
    return tuple(_pin(one) for one in value) if isinstance(value, list) else _pin(value)


def _angle(value: Any) -> Any:
    """Degrees of "0.1deg" or "90"; a bare number is degrees, as nothing else is meant by a turn."""
    if isinstance(value, str):
        value = value.strip().removesuffix("deg").removesuffix("°").strip()
    try:
        return float(value)
    except (TypeError, ValueError):
        raise ValueError('an angle is wanted, such as "0.1deg"') from None


def _share(value: Any) -> Any:
    """A share of 1 from "0.1%" or 0.001."""
    if isinstance(value, str) and value.strip().endswith("%"):
        value = float(value.strip().removesuffix("%")) / 100.0
    try:
        return float(value)
    except (TypeError, ValueError):
        raise ValueError('a share is wanted, such as "0.1%"') from None


Length = Annotated[float, BeforeValidator(_length), Field(ge=0, le=2_000)]
Positive = Annotated[float, BeforeValidator(_length), Field(gt=0, le=2_000)]


@dataclass(frozen=True, slots=True)
class BoxShare:
    """A size as shares of the planner's box."""

    wide: float
    high: float


_Side = Annotated[float, Field(gt=0, le=2_000)]
Size = Annotated[tuple[_Side, _Side], BeforeValidator(_size)]
Angle = Annotated[float, BeforeValidator(_angle), Field(ge=-360, le=360)]
Share = Annotated[float, BeforeValidator(_share), Field(ge=0, le=0.1)]


Pin = tuple[float, float] | Literal["centred"] | None


class _Part(BaseModel):
    """A part of a recipe: unknown keys are faults, values do not change after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


class KitPart(_Part):
    """``[kit]``: what the kit is called."""

    name: str = Field(default="", max_length=120)


class PlannerPart(_Part):
    """``[planner]``: the day box of the maker's own planner, in mm."""

    box: Size


class Margins(_Part):
    """What printer or cutter cannot reach along each edge of the paper, in mm."""

    top: Length = 10.0
    right: Length = 10.0
    bottom: Length = 10.0
    left: Length = 10.0


class KeepOut(_Part):
    """A band along one edge, inside the margins, that must stay free; in mm."""

    edge: Literal["top", "right", "bottom", "left"]
    depth: Length


class RegistrationPart(_Part):
    """How far the cut may land from the print: shift in mm, turn in degrees, scale as a share."""

    shift: Length = 0.5
    turn: Angle = 0.1
    scale: Share = 0.0


class SheetPart(_Part):
    """``[sheet]``: the paper and how exactly it is printed and cut; lengths in mm."""

    paper: Annotated[Paper, BeforeValidator(_paper)]
    dpi: float = Field(default=300, ge=72, le=1200)
    margin: Margins = Margins()
    keep_out: tuple[KeepOut, ...] = ()
    gap: Length = 3.0
    layout: Literal["rows", "pack"] = "rows"
    top_up: tuple[str, ...] = ()
    bleed: Length = 1.0
    registration: RegistrationPart = RegistrationPart()
    corner_radius: Length = 1.5

    @field_validator("top_up")
    @classmethod
    def _known_kinds(cls, value: tuple[str, ...]) -> tuple[str, ...]:
        for kind in value:
            if kind not in KINDS:
                raise ValueError(f'"{kind}" is not a sticker kind. Choose from {", ".join(KINDS)}')
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


class CutPart(_Part):
    """``[cut]``: through cuts, and what HP-GL files tell the machine; lengths in mm.

    Overcut and blade offset are 0 unless set, because most machines add their own.
    """

    through: Literal["none", "groups", "sheet", "both"] = "none"
    hpgl_arcs: bool = True
    overcut: Annotated[Length, Field(le=2)] = 0.0
    blade_offset: Annotated[Length, Field(le=2)] = 0.0


class PressPart(_Part):
    """``[press]``: what the sheet is printed on, or the printer's own profile."""

    surface: Literal["glossy", "matt"] = "glossy"
    profile: Path | None = None


class PalettePart(_Part):
    """``[palette]``: how many colours are wanted, and which must be among them."""

    colours: Annotated[int, Field(ge=1, le=24)] | Literal["auto"] = "auto"
    pinned: tuple[Annotated[str, Field(pattern=r"^#[0-9a-fA-F]{6}$")], ...] = ()


class FillsPart(_Part):
    """``[fills]``: how windows into patterns are chosen.

    ``variety`` 0 looks only for cuts that run between motifs, 1 only for copies that differ.
    """

    variety: float = Field(default=0.5, ge=0, le=1)


class PatternPart(_Part):
    """One of ``[[patterns]]``: an artwork file and its repeat, the width of one tile in mm."""

    file: Path
    name: str = Field(default="", max_length=80)
    repeat: Annotated[_Side | Literal["auto"], BeforeValidator(_repeat)] = "auto"
    lattice: Literal["straight", "half-drop", "half-brick", "auto"] = "straight"

    @property
    def label(self) -> str:
        """What fills call this pattern: its name, or its file's name without the ending."""
        return self.name or self.file.stem


class RowPart(_Part):
    """One of ``[[rows]]``: some stickers of one kind, side by side."""

    sticker: str
    count: int = Field(ge=1, le=MAX_STICKERS)
    fill: str | tuple[str, ...] = "patterns"
    panel: str | None = None
    border: Positive | None = None
    size: Annotated[Size | BoxShare | None, BeforeValidator(_row_size)] = None
    checks: int | None = Field(default=None, ge=1, le=100)
    check: Literal["circle", "square"] = "circle"
    turn: Angle = 0.0
    offset: Annotated[Pin | tuple[Pin, ...], BeforeValidator(_pins)] = None
    upright: bool = False

    def size_mm(self, box_mm: tuple[float, float]) -> tuple[float, float] | None:
        """Return the size that the row asks for outright or as shares of the planner's box."""
        if isinstance(self.size, BoxShare):
            return self.size.wide * box_mm[0], self.size.high * box_mm[1]
        return self.size

    def pin_of(self, place: int) -> Pin:
        """Return the offset that the row asks for its sticker at a 0-based place, if any."""
        pins = self.offset
        if isinstance(pins, tuple) and not (pins and isinstance(pins[0], float)):
            return cast("Pin", pins[place]) if place < len(pins) else None
        return cast("Pin", pins)

    @field_validator("sticker")
    @classmethod
    def _known_kind(cls, value: str) -> str:
        if value not in KINDS:
            raise ValueError(f'"{value}" is not a sticker kind. Choose from {", ".join(KINDS)}')
        return value

    @field_validator("fill")
    @classmethod
    def _not_empty(cls, value: str | tuple[str, ...]) -> str | tuple[str, ...]:
        if not value:
            raise ValueError('name at least one fill, or write fill = "patterns"')
        return value


class Recipe(_Part):
    """A whole recipe, checked. ``folder`` is where relative file names start from."""

    kit: KitPart = KitPart()
    planner: PlannerPart
    sheet: SheetPart
    cut: CutPart = CutPart()
    press: PressPart = PressPart()
    palette: PalettePart = PalettePart()
    fills: FillsPart = FillsPart()
    patterns: tuple[PatternPart, ...] = Field(min_length=1, max_length=500)
    rows: tuple[RowPart, ...] = Field(min_length=1, max_length=500)
    folder: Path = Field(default=Path(), exclude=True)
    file: Path = Field(default=Path("recipe"), exclude=True)

    @model_validator(mode="after")
    def _names_agree(self) -> Recipe:
        labels = [pattern.label for pattern in self.patterns]
        twice = {label for label in labels if labels.count(label) > 1}
        if twice:
            raise ValueError(
                f'two patterns are called "{min(twice)}". Give one a name = "..." of its own'
            )
        if sum(row.count for row in self.rows) > MAX_STICKERS:
            raise ValueError(f"more than {MAX_STICKERS} stickers; split the kit in two")
        return self


def read_recipe(path: Path) -> Recipe:
    """Read and check one recipe file.

    Raises:
        RecipeError: missing, too large, not TOML, or not a recipe.
    """
    where = str(path)
    if not path.is_file():
        raise RecipeError("no such recipe", where=where, remedy="Check the name and the folder.")
    if path.stat().st_size > MAX_BYTES:
        raise RecipeError("is too large for a recipe", where=where, remedy="Name a kit.toml file.")
    try:
        text = path.read_bytes().decode("utf-8")
    except UnicodeDecodeError as error:
        raise RecipeError(
            "is not a text file", where=where, remedy="Save the recipe as UTF-8 text."
        ) from error
    except OSError as error:
        raise RecipeError(
            "cannot be read", where=where, why=error.strerror or "", remedy="Check its permissions."
        ) from error
    return parse_recipe(text, path)


def parse_recipe(text: str, path: Path) -> Recipe:
    """Check a recipe's text; ``path`` names it in errors and gives the folder of its files.

    Raises:
        RecipeError: the text is not TOML, or not a recipe.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise RecipeError(
            "is not valid TOML",
            where=str(path),
            why=str(error),
            remedy="Compare that line with a recipe made by kitloom draft.",
        ) from error
    for reserved in ("folder", "file"):
        if reserved in data:
            raise recipe_error(text, path, (reserved,), f'there is no key "{reserved}"')
    try:
        return Recipe.model_validate({**data, "folder": path.parent, "file": path})
    except ValidationError as error:
        raise _first_of(error, text, path) from error


def _first_of(error: ValidationError, text: str, path: Path) -> RecipeError:
    """Turn pydantic's list into our errors: the first is raised, the others hang on it."""
    found: dict[tuple[str | int, ...], RecipeError] = {}
    for fault in error.errors():
        # a value that may be of two kinds fails as each; the first says what is usual there
        found.setdefault(
            key_of(fault["loc"]),
            recipe_error(
                text,
                path,
                fault["loc"],
                fault["msg"],
                kind=fault["type"],
                bounds=fault.get("ctx", {}),
                model=Recipe,
            ),
        )
    first, *rest = found.values()
    first.also = tuple(rest)
    return first
