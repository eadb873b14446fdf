"""What does the maker want made? The recipe: a short TOML file, read and checked here.

In: the file's text. Out: a frozen ``Recipe`` with every length in millimetres. Every fault of the
file is one ``RecipeError`` that quotes the line it stands on and says how to mend it.

Not done here: opening the artwork that it names, or deciding anything that it leaves open. This is
the only module of the package that reads files.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Annotated, Any, Literal

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
from kit.lettering import words_of
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
_Side = Annotated[float, Field(gt=0, le=2_000)]
Size = Annotated[tuple[_Side, _Side], BeforeValidator(_size)]
Angle = Annotated[float, BeforeValidator(_angle), Field(ge=-360, le=360)]
_Words = Annotated[str, Field(max_length=80)]
Share = Annotated[float, BeforeValidator(_share), Field(ge=0, le=0.1)]


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
    bleed: Length = 1.0
    registration: RegistrationPart = RegistrationPart()
    corner_radius: Length = 1.5

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
    """One of ``[[rows]]``: some stickers of one kind, side by side.

    ``text`` is "days", "dates" or words of the maker's own; without a count there is one sticker
    for each. ``outline`` and ``picture`` are the files that the kinds "custom" and "icon" are made
    from; ``distance`` is how far round a picture the cut runs, in mm.
    """

    sticker: str
    count: int = Field(ge=1, le=MAX_STICKERS)
    fill: str | tuple[str, ...] = "patterns"
    panel: Literal["white"] | None = None
    border: Positive | None = None
    size: Size | None = None
    text: _Words | tuple[_Words, ...] = ()
    text_size: Positive | None = None
    outline: Path | None = None
    picture: Path | None = None
    distance: Annotated[Length, Field(le=20)] = 2.0

    @property
    def words(self) -> tuple[str, ...]:
        """The words for its stickers in turn; none where it has no text."""
        return words_of(self.text)

    @model_validator(mode="before")
    @classmethod
    def _one_for_each_word(cls, data: Any) -> Any:
        text = data.get("text") if isinstance(data, dict) else None
        if isinstance(text, str | list) and "count" not in data:
            return {**data, "count": max(1, len(words_of(text)))}
        return data

    @model_validator(mode="after")
    def _kind_agrees(self) -> RowPart:
        kind = KINDS[self.sticker]
        if self.text and kind.words is None:
            raise ValueError(f"a {self.sticker} has no room for text. Take the text out")
        for name, example in (("outline", "leaf.svg"), ("picture", "bee.png")):
            given = getattr(self, name) is not None
            if given and kind.drawn_from != name:
                owner = next(k.name for k in KINDS.values() if k.drawn_from == name)
                raise ValueError(f'only sticker = "{owner}" takes {name}. Change one of them')
            if not given and kind.drawn_from == name:
                raise ValueError(f'sticker = "{self.sticker}" needs {name} = "{example}". Add it')
        return self

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
