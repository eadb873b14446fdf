"""One row of a recipe: some stickers of one kind, and all that can be said of them.

In: TOML values. Out: a ``RowPart`` with lengths in millimetres, checked in itself; whether its
fills, files and words can be had is found out by ``kit.stickers.slots``.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, field_validator, model_validator

from kit.kinds import KINDS, LEAST_PITCH_MM
from kit.letters import DAYS, dates_of, days_from, is_month, words_of
from kit.recipe.fields import (
    BoxShare,
    HeldOffset,
    Length,
    OwnPlace,
    OwnPlaces,
    Part,
    Pin,
    Pins,
    Positive,
    RowSize,
    Scales,
    Turns,
    Whole,
    Words,
)
from kit.recipe.messages import near

MAX_STICKERS = 2_000
PAPER = "#ffffff"
ANY_FILL = ("patterns", "palette")  # fills and panels of which a different one each is dealt out


def is_colour(wish: str) -> bool:
    """Tell whether a wish is a hex colour."""
    return re.fullmatch(r"#[0-9a-fA-F]{6}", wish) is not None


class HeldPart(Part):
    """What one sticker of a row was dealt and keeps; without a fill, it is dealt again.

    ``offset`` is its window, ``panel`` and ``panel_offset`` are its panel's fill and window where
    these were dealt too; offsets in mm.
    """

    fill: str = ""
    offset: HeldOffset = None
    panel: str | None = None
    panel_offset: HeldOffset = None


class RowPart(Part):
    """One of ``[[rows]]``: some stickers of one kind, side by side.

    ``text`` is "days", "dates" or words of the maker's own; without a count there is one sticker
    for each. ``month`` is the one that dates are of, ``week`` the day that weeks start with.
    ``checks``, ``check`` and ``pitch`` (mm) are the marks and lines of a list, ``rule`` how dark
    its lines are. ``frame`` is what its panel is framed in, ``frame_width`` (mm) how broad;
    ``panel_line`` asks for a thin line round it or forbids one. ``band`` is a second fill along the
    foot, ``band_height`` (mm) high. ``outline`` and ``picture`` are the files that the kinds
    "custom" and "icon" are made from, ``source`` ("from") is the pattern that a "motif" is lifted
    from, whose ``border`` is a colour and becomes its ``fill``; ``distance`` is how far round them
    the cut runs, in mm. ``beside`` sets it at the end of the lines of the row before it. ``turn``
    (degrees) and ``scale`` (1 is the pattern's own size) are of the artwork inside its stickers,
    for all or for each in turn. ``at`` is where the maker put single ones on the sheet, in their
    order. ``held`` is what its stickers were dealt, likewise; what is there beyond ``count``
    waits for more.
    """

    sticker: str
    count: Whole = Field(ge=1, le=MAX_STICKERS)
    fill: str | tuple[str, ...] = "patterns"
    panel: str | None = None
    border: Positive | None = None
    frame: str | None = None
    frame_width: Positive | None = None
    panel_line: bool | None = None
    band: str | None = None
    band_height: Positive | None = None
    size: RowSize = None
    checks: Whole | None = Field(default=None, ge=1, le=100)
    check: Literal["circle", "square"] | None = None
    pitch: Positive | None = None
    rule: Literal["dark", "light"] = "dark"
    turn: Turns = 0.0
    scale: Scales = 1.0
    offset: Pins = None
    at: OwnPlaces = ()
    upright: bool = False
    beside: bool = False
    text: Words | tuple[Words, ...] = ()
    text_size: Positive | None = None
    month: str | None = None
    week: str | None = None
    outline: Path | None = None
    picture: Path | None = None
    source: str | None = Field(default=None, alias="from")
    distance: Annotated[Length, Field(le=20)] = 2.0
    held: tuple[HeldPart, ...] = Field(default=(), max_length=MAX_STICKERS)

    def size_mm(self, box_mm: tuple[float, float]) -> tuple[float, float] | None:
        """Return the size that the row asks for outright or as shares of the planner's box."""
        if isinstance(self.size, BoxShare):
            return self.size.wide * box_mm[0], self.size.high * box_mm[1]
        return self.size

    @property
    def words(self) -> tuple[str, ...]:
        """The words for its stickers in turn; none where it has no text."""
        if self.has_dates and self.month is not None:
            return tuple(day for week in self._weeks for day in week)
        if self.text == "days" and self.week is not None:
            return days_from(self.week)
        return words_of(self.text)

    @property
    def has_dates(self) -> bool:
        """Whether its words are a month's dates: those of its own, or 1 to 31."""
        return self.text == "dates" or (not self.text and self.month is not None)

    def line_of(self, place: int) -> int:
        """Return which of its lines a sticker at a 0-based place is meant for, from 0.

        A month's weeks have a line each where the row says which day they start with.
        """
        if not self.has_dates or self.month is None or self.week is None:
            return 0
        lines = [line for line, week in enumerate(self._weeks) for _ in week]
        months, day = divmod(place, len(lines))
        return months * len(self._weeks) + lines[day]

    @property
    def _weeks(self) -> tuple[tuple[str, ...], ...]:
        return dates_of(self.month or "", self.week or DAYS[0])

    @property
    def made_of(self) -> str:
        """The file or pattern that its stickers' shapes come from; "" where their kind has one."""
        return str(self.outline or self.picture or self.source or "")

    @property
    def is_marked(self) -> bool:
        """Whether it asks for marks to tick off."""
        return KINDS[self.sticker].checks or self.checks is not None or self.check is not None

    @model_validator(mode="before")
    @classmethod
    def _one_for_each_word(cls, data: Any) -> Any:
        text = data.get("text") if isinstance(data, dict) else None
        if not isinstance(data, dict) or "count" in data:
            return data
        month = data.get("month")
        if month is not None and (not text or text == "dates"):
            known = isinstance(month, str) and is_month(month)
            # one that is none fails its own check
            return {**data, "count": sum(map(len, dates_of(month))) if known else 1}
        if isinstance(text, str | list):
            return {**data, "count": max(1, len(words_of(text)))}
        return data

    @model_validator(mode="before")
    @classmethod
    def _border_of_a_motif(cls, data: Any) -> Any:
        """Read a motif's border, which is a colour, as the fill that shows round it."""
        if not isinstance(data, dict) or data.get("sticker") != "motif":
            return data
        border, row = data.get("border"), {k: v for k, v in data.items() if k != "border"}
        if border is None:
            return {"fill": PAPER, **row}
        colour = PAPER if border == "white" else border
        if not (isinstance(colour, str) and is_colour(colour)):
            raise ValueError(
                f'the border of a motif is a colour, not "{border}". Write "white" or a colour '
                'like "#3b5b7a"; how wide it is, distance says'
            )
        if row.get("fill", colour) != colour:
            raise ValueError("border and fill both colour what is round a motif. Take one out")
        return {**row, "fill": colour}

    @model_validator(mode="after")
    def _kind_agrees(self) -> RowPart:
        kind = KINDS[self.sticker]
        made_of = {"outline": self.outline, "picture": self.picture, "from": self.source}
        examples = {"outline": "leaf.svg", "picture": "bee.png", "from": "pods"}
        for name, example in examples.items():
            given = made_of[name] is not None
            if given and kind.source_key != name:
                owner = next(k.name for k in KINDS.values() if k.source_key == name)
                raise ValueError(f'only sticker = "{owner}" takes {name}. Change one of them')
            if not given and kind.source_key == name:
                raise ValueError(f'sticker = "{self.sticker}" needs {name} = "{example}". Add it')
        return self

    @property
    def pins(self) -> tuple[Pin | None, ...]:
        """The offsets that are given sticker by sticker; none where one holds for all."""
        given = self.offset
        if isinstance(given, tuple) and not (given and isinstance(given[0], float)):
            return given
        return ()  # two numbers are one offset for all

    @property
    def wishes(self) -> tuple[str, ...]:
        """The fills that its stickers have in turn."""
        return (self.fill,) if isinstance(self.fill, str) else self.fill

    def wish_of(self, place: int) -> str:
        """Return the fill that the row asks for its sticker at a 0-based place."""
        return self.wishes[place % len(self.wishes)]

    @property
    def panel_wish(self) -> str | None:
        """The panel that the row's stickers are to have, by the row or by their kind."""
        return None if self.panel == "none" else self.panel or KINDS[self.sticker].panel

    def held_at(self, place: int) -> HeldPart:
        """Return what its sticker at a 0-based place keeps; nothing where there is none."""
        return self.held[place] if place < len(self.held) else HeldPart()

    def pin_of(self, place: int) -> Pin | None:
        """Return the offset that the row asks for its sticker at a 0-based place, if any."""
        pins = self.offset
        if isinstance(pins, tuple) and not (pins and isinstance(pins[0], float)):
            return pins[place] if place < len(pins) else None
        return pins

    def at_of(self, place: int) -> OwnPlace | None:
        """Return where on the sheet the maker put its sticker at a 0-based place, if anywhere."""
        return self.at[place] if place < len(self.at) else None

    def turn_of(self, place: int) -> float:
        """Return how far the artwork of its sticker at a 0-based place is turned, in degrees."""
        return _each(self.turn, place, 0.0)

    def scale_of(self, place: int) -> float:
        """Return how large the artwork of its sticker at a 0-based place is; 1 is its own size."""
        return _each(self.scale, place, 1.0)

    @field_validator("sticker")
    @classmethod
    def _known_kind(cls, value: str) -> str:
        if value not in KINDS:
            raise ValueError(
                f'"{value}" is not a sticker kind. {near(value, KINDS)}The kinds: '
                f"{', '.join(KINDS)}"
            )
        return value

    @field_validator("border", mode="before")
    @classmethod
    def _no_colour(cls, value: object) -> object:
        """Refuse a colour, which the border has from the sticker's fill."""
        if isinstance(value, str) and (is_colour(value) or not re.search(r"\d", value)):
            raise ValueError(
                f'"{value}" is not a length. Write how wide it is, like "4mm"; the border shows '
                "the sticker's fill, so its colour is set there"
            )
        return value

    @field_validator("pitch")
    @classmethod
    def _room_for_a_pen(cls, value: float | None) -> float | None:
        if value is not None and value < LEAST_PITCH_MM:
            raise ValueError(
                f"lines {value:.3g} mm apart leave no room for a pen. Write at least "
                f'"{LEAST_PITCH_MM:g}mm"'
            )
        return value

    @field_validator("month")
    @classmethod
    def _a_month(cls, value: str | None) -> str | None:
        if value is not None and not is_month(value):
            raise ValueError(
                f'"{value}" is not a month. Write its year and number, such as "2027-01"'
            )
        return value

    @field_validator("week")
    @classmethod
    def _a_day(cls, value: str | None) -> str | None:
        if value is not None and value not in DAYS:
            raise ValueError(
                f'"{value}" is not a day of the week. {near(value, DAYS)}Write one '
                'in full, such as "Sunday"'
            )
        return value

    @field_validator("frame", "band")
    @classmethod
    def _one_fill(cls, value: str | None) -> str | None:
        if value in {"", *ANY_FILL}:
            raise ValueError("name one fill: a pattern, a coordinate, or a colour")
        return value

    @field_validator("panel")
    @classmethod
    def _not_blank(cls, value: str | None) -> str | None:
        if value == "":
            raise ValueError('name a panel, such as "white", or write panel = "none"')
        return value

    @field_validator("fill")
    @classmethod
    def _not_empty(cls, value: str | tuple[str, ...]) -> str | tuple[str, ...]:
        if not value:
            raise ValueError('name at least one fill, or write fill = "patterns"')
        return value


def _each(given: float | tuple[float, ...], place: int, usual: float) -> float:
    """Return what is given for a place: the one for all, its own, or the usual beyond a list."""
    if not isinstance(given, tuple):
        return given
    return given[place] if place < len(given) else usual
