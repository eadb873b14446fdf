"""How a recipe writes lengths, sizes, angles and shares, and what they become.

In: TOML values. Out: millimetres, degrees, shares of 1, as types that the recipe's parts are made
of. A fault says what to write instead.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, FiniteFloat
from pydantic_core import core_schema

from kit.recipe.paper import Paper, find_paper
from kit.recipe_error import RecipeError
from patterns.units import LengthError, parse_length, parse_size

MOST_MM = 2_000.0
# the smallest box of any planner is some ten times as wide (common practice, no published source)
LEAST_BOX_SIDE_MM = 2.0

# finer, nobody sees a pattern, and each sticker would hold millions of tiles
LEAST_REPEAT_MM = 0.5

MOST_TURN_DEG = 360.0
_OWN_PLACE = re.compile(
    r"(?P<at>.*?)(?:,?\s+on\s+sheet\s+(?P<sheet>[1-9]\d{0,2}))?(?P<side>,?\s+on\s+its\s+side)?"
)

# further from its own size, change the pattern's repeat instead
LEAST_SCALE, MOST_SCALE = 0.1, 10.0


def _length(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise ValueError('it must be a length. Write it like "40mm" or "1.6in"')
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError('it is not a length. Write it like "40mm" or "1.6in"')
    try:
        return parse_length(str(value))
    except LengthError as error:
        raise ValueError(f"{error.what}. {error.remedy}") from None


def _no_yes_or_no(value: Any) -> Any:
    """Refuse true and false, which Python takes for 1 and 0."""
    if isinstance(value, bool):
        raise ValueError(f"{str(value).lower()} is not a number. Write a number such as 4")
    return value


def _ordinary(value: Any) -> Any:
    """Refuse what Python counts as numbers and no maker does; the type reports other faults."""
    value = _no_yes_or_no(value)
    if str(value).strip().lower().lstrip("+-") in {"nan", "inf", "infinity"}:
        raise ValueError(f"{value} is not an ordinary number. Write a number such as 300")
    return value


def _repeat(value: Any) -> Any:
    return value if value == "auto" else _length(value)


def _size(value: Any) -> Any:
    if not isinstance(value, str):
        raise ValueError('it must be a width and a height. Write them like "40mm x 52mm"')
    try:
        return parse_size(value)
    except LengthError as error:
        raise ValueError(f"{error.what}. {error.remedy}") from None


def check_box(size_mm: tuple[float, float]) -> tuple[float, float]:
    """Return a day box, or refuse one that no planner has.

    Raises:
        ValueError: a side outside ``LEAST_BOX_SIDE_MM`` to ``MOST_MM``, with the remedy.
    """
    if all(LEAST_BOX_SIDE_MM <= side <= MOST_MM for side in size_mm):
        return size_mm
    shown = " x ".join(f"{side:.6g} mm" for side in size_mm)
    raise ValueError(
        f"no planner has a day box of {shown}. Write sides of {LEAST_BOX_SIDE_MM:g} to "
        f"{MOST_MM:g} mm; is the decimal point or the unit wrong?"
    )


def _box(value: Any) -> Any:
    return check_box(_size(value))


def _reading(value: Any) -> Any:
    """A length across, or a size across by down."""
    if value is None or isinstance(value, Reading):
        return value
    two = isinstance(value, str) and ("x" in value or "×" in value)
    read = _size(value) if two else (_length(value),)
    if min(read) <= 0.0:
        raise ValueError('it must be a length above 0, such as "180mm"')
    return Reading(*read)


def _paper(value: Any) -> Any:
    if not isinstance(value, str):
        raise ValueError('it must be a paper. Write "Letter", "A4" or "8.5in x 11in"')
    try:
        return find_paper(value)
    except RecipeError as error:
        raise ValueError(f"{error.what}. {error.remedy}") from None


def _row_size(value: Any) -> Any:
    """A size in lengths, or as shares of the planner's box such as "2 x 0.5 box"."""
    if isinstance(value, str) and value.strip().endswith("box"):
        parts = value.strip().removesuffix("box").replace("×", "x").split("x")
        try:
            wide, high = (_number(part, value) for part in parts)
        except ValueError:
            raise ValueError(f'"{value}" is not a share. Write it like "2 x 0.5 box"') from None
        if not 0 < wide <= 50 or not 0 < high <= 50:
            raise ValueError(f'"{value}" is not a size. Write shares above 0 and up to 50')
        return BoxShare(wide, high)
    return _size(value)


def _pin(value: Any) -> Any:
    """An offset in the pattern's plane such as "5mm x 12mm", or "centred"."""
    if value is None:
        return None
    if not isinstance(value, str):
        raise ValueError('it must be an offset. Write "5mm x 12mm" or "centred"')
    if value in {"auto", "centred"}:
        return None if value == "auto" else value
    return _two_lengths(value, 'Write "5mm x 12mm" or "centred"')


def _pins(value: Any) -> Any:
    """One offset for the whole row, or a list with one a sticker, "auto" where any will do."""
    return tuple(_pin(one) for one in value) if isinstance(value, list) else _pin(value)


def _held_offset(value: Any) -> Any:
    """An offset as text; as numbers it comes from a kit."""
    if value is None or isinstance(value, tuple):
        return value
    return _two_lengths(value, 'Write "5mm x 12mm"')


def _two_lengths(value: Any, remedy: str) -> tuple[float, float]:
    try:
        return parse_size(str(value))
    except LengthError as error:
        raise ValueError(f"{error.what}. {remedy}") from None


def _angle(value: Any) -> Any:
    """Degrees of "0.1deg" or "90"; a bare number is degrees, as nothing else is meant by a turn."""
    if isinstance(value, str):
        value = value.strip().removesuffix("deg").removesuffix("°").strip()
    return _number(value, 'it must be an angle. Write it like "0.1deg"')


def _turns(value: Any) -> Any:
    """One angle for the whole row, or a list with one a sticker."""
    angles = [_angle(one) for one in value] if isinstance(value, list) else [_angle(value)]
    if any(abs(one) > MOST_TURN_DEG for one in angles):
        raise ValueError(f"a turn is at most {MOST_TURN_DEG:g} degrees either way. Write less")
    return tuple(angles) if isinstance(value, list) else angles[0]


def _scales(value: Any) -> Any:
    """One size for the whole row, or a list with one a sticker; 1 is the pattern's own repeat."""
    fault = "it must be a number, 1 for the pattern's own size. Write one such as 0.8"
    scales = [_number(one, fault) for one in (value if isinstance(value, list) else [value])]
    if any(not LEAST_SCALE <= one <= MOST_SCALE for one in scales):
        raise ValueError(
            f"a scale is from {LEAST_SCALE:g} to {MOST_SCALE:g} times the pattern's own size. "
            "Write another, or change the pattern's repeat"
        )
    return tuple(scales) if isinstance(value, list) else scales[0]


def _move(value: Any) -> Any:
    """Two lengths that may be negative, x and y: "0.3mm -0.2mm"."""
    if isinstance(value, tuple):
        return value
    fault = 'it must be two lengths, to the right and down. Write them like "0.3mm -0.2mm"'
    return _lengths_apart(value, r"\s*[x×,]\s*|\s+", fault)


def _lengths_apart(value: Any, between: str, fault: str) -> tuple[float, float]:
    """Return two lengths with something of ``between``, a pattern, between them."""
    # a unit may stand apart from its number
    text = re.sub(r"\s+(?=mm|cm|in|pt|\")", "", value) if isinstance(value, str) else ""
    parts = re.split(between, text.strip())
    if len(parts) != 2:
        raise ValueError(fault)
    try:
        return parse_size(" x ".join(parts))
    except LengthError as error:
        raise ValueError(f"{error.what}. {fault[0].upper()}{fault[1:]}") from None


def _own_places(value: Any) -> Any:
    """A list with a place on the sheet for each sticker, "auto" where any will do; or one alone."""
    if isinstance(value, tuple):
        return value
    return tuple(_own_place(one) for one in (value if isinstance(value, list) else [value]))


def _own_place(value: Any) -> OwnPlace | None:
    """A place such as "12.5mm x 80mm on sheet 2, on its side"; None for "auto"."""
    fault = (
        "it must be a place on the sheet, from the paper's left and top edge. Write it like "
        '"12.5mm x 80mm" or "12.5mm x 80mm on sheet 2", or "auto"'
    )
    read = _OWN_PLACE.fullmatch(value.strip()) if isinstance(value, str) else None
    if read is None:
        raise ValueError(fault)
    if value.strip() in {"auto", ""}:
        return None
    across_mm, down_mm = _lengths_apart(read["at"], r"\s*[x×]\s*|\s+", fault)
    return OwnPlace(across_mm, down_mm, int(read["sheet"] or 1), bool(read["side"]))


def _number(value: Any, fault: str) -> float:
    """Return an ordinary number, or refuse the value in these words."""
    try:
        number = math.nan if isinstance(value, bool) else float(value)
    except (TypeError, ValueError, OverflowError):
        number = math.nan
    if not math.isfinite(number):
        raise ValueError(fault)
    return number


def _share(value: Any) -> Any:
    """A share of 1 from "0.1%" or 0.001."""
    fault = 'it must be a share. Write it like "0.1%"'
    if isinstance(value, str) and value.strip().endswith("%"):
        return _number(value.strip().removesuffix("%"), fault) / 100.0
    return _number(value, fault)


@dataclass(frozen=True, slots=True)
class Written:
    """How values of a type are written in a recipe.

    Attributes:
        words: as the reference says it.
        unit: what a bare number is meant in, "mm" or "deg"; empty where it has no unit.
    """

    words: str
    unit: str = ""


Whole = Annotated[int, BeforeValidator(_no_yes_or_no)]
Number = Annotated[float, BeforeValidator(_ordinary)]
Length = Annotated[float, BeforeValidator(_length), Written("length", "mm"), Field(ge=0, le=2_000)]
Positive = Annotated[
    float, BeforeValidator(_length), Written("length", "mm"), Field(gt=0, le=2_000)
]


@dataclass(frozen=True, slots=True)
class BoxShare:
    """A size as shares of the planner's box."""

    wide: float
    high: float


@dataclass(frozen=True, slots=True)
class Reading:
    """What a maker's ruler reads along the printed ones, in mm; ``down_mm`` None if only one is."""

    across_mm: float
    down_mm: float | None = None


@dataclass(frozen=True, slots=True)
class OwnPlace:
    """Where a maker put a sticker.

    Attributes:
        x_mm: from the paper's left edge to its cut line's box, as it lies on the sheet.
        y_mm: from the paper's top edge, likewise.
        sheet: the sheet's number, from 1.
        on_its_side: whether it was turned a quarter.
    """

    x_mm: float
    y_mm: float
    sheet: int = 1
    on_its_side: bool = False


OwnPlaces = Annotated[
    tuple[OwnPlace | None, ...],
    BeforeValidator(_own_places),
    Written('list of places "x y" on the sheet, or "auto"', "mm"),
]
RulerReading = Annotated[
    Reading | None, BeforeValidator(_reading), Written("length, or width x height", "mm")
]
Side = Annotated[float, Field(gt=0, le=2_000)]
Size = Annotated[tuple[Side, Side], BeforeValidator(_size), Written("width x height", "mm")]
BoxSize = Annotated[tuple[float, float], BeforeValidator(_box), Written("width x height", "mm")]
Angle = Annotated[float, BeforeValidator(_angle), Written("angle", "deg"), Field(ge=-360, le=360)]
Turns = Annotated[
    float | tuple[float, ...], BeforeValidator(_turns), Written("angle, or a list of them", "deg")
]
Scales = Annotated[
    float | tuple[float, ...], BeforeValidator(_scales), Written("number, or a list of them")
]
Offset = Annotated[tuple[float, float], BeforeValidator(_move), Written("two lengths, x y", "mm")]
Words = Annotated[str, Field(max_length=80)]
RepeatLength = Annotated[float, Field(ge=LEAST_REPEAT_MM, le=2_000)]
Repeat = Annotated[
    RepeatLength | Literal["auto"], BeforeValidator(_repeat), Written('length or "auto"', "mm")
]
PaperValue = Annotated[Paper, BeforeValidator(_paper), Written("paper", "mm")]
RowSize = Annotated[
    tuple[Side, Side] | BoxShare | None,
    BeforeValidator(_row_size),
    Written("width x height, or shares of the box", "mm"),
]
Pin = tuple[float, float] | Literal["centred"]
Pins = Annotated[
    Pin | tuple[Pin | None, ...] | None,
    BeforeValidator(_pins),
    Written("offset, or a list of them", "mm"),
]
HeldOffset = Annotated[
    tuple[FiniteFloat, FiniteFloat] | None, BeforeValidator(_held_offset), Written("offset", "mm")
]
Share = Annotated[float, BeforeValidator(_share), Written("share"), Field(ge=0, le=0.1)]


@dataclass(frozen=True, slots=True)
class OneOf:
    """Marks a text that must be one of these names, as ``Literal`` does for names known here."""

    names: tuple[str, ...]

    def __get_pydantic_core_schema__(self, *_: Any) -> core_schema.CoreSchema:
        """Say to pydantic how such a value is checked."""
        return core_schema.literal_schema(list(self.names))


class Part(BaseModel):
    """A part of a recipe: unknown keys are faults, values do not change after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)
