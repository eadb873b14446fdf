"""What was a kit made from, and what was decided? Enough to make the very same sheet again.

A lock is a small JSON file beside the sheets: the hashes of recipe and artwork, and every decision
that the recipe left open: repeats and lattices, the palette, and each sticker's fill and offset. In
and out: text and ``Lock``. Keeping a lock pins its decisions for a later run, sticker by sticker,
as far as the stickers are still the same kind and size. Not done here: reading artwork.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Annotated

from pydantic import AfterValidator, Field, FiniteFloat, TypeAdapter, ValidationError

from kit.recipe import Recipe, RepeatLength, read_text
from kit.recipe_error import RecipeError
from kit.stickers import Slot, is_colour
from palette.errors import shown
from palette.exchange import MOST_NAME

FORMAT = 1
MAX_BYTES = 10_000_000
MOST_COLOURS = 1_000
_SAME_SIZE_MM = 0.01

HexColour = Annotated[str, Field(pattern=r"^#[0-9a-f]{6}$")]
ColourName = Annotated[str, Field(min_length=1, max_length=MOST_NAME), AfterValidator(shown)]


@dataclass(frozen=True, slots=True)
class LockedPattern:
    """One pattern as it was used: file name, its SHA-256, repeat in millimetres and lattice.

    ``check`` is the verdict on its joins, packed, so that the same file need not be measured again.
    """

    name: str
    file: str
    sha256: str
    repeat_mm: RepeatLength
    lattice: Annotated[str, Field(pattern="^(straight|half-drop|half-brick)$")]
    check: str = ""


@dataclass(frozen=True, slots=True)
class LockedSticker:
    """One sticker as it was decided; sizes and offset in millimetres, fills by name or hex.

    ``row``, ``place`` in it and ``wish`` say which sticker of the recipe it was, ``made_from`` the
    outline or picture that it was made from (SHA-256). ``panel_offset_mm`` is its panel's window
    where sticker and panel show a pattern each. Offsets are of the pattern ``scale`` times as large
    as its own size.
    """

    row: int
    place: int
    wish: str
    kind: str
    width_mm: float
    height_mm: float
    fill: str
    panel: str | None
    offset_mm: tuple[FiniteFloat, FiniteFloat] | None
    panel_offset_mm: tuple[FiniteFloat, FiniteFloat] | None = None
    made_from: str = ""
    scale: float = 1.0


@dataclass(frozen=True, slots=True)
class Lock:
    """A whole kit's record.

    Attributes:
        lock: the format's number.
        kitloom: the version that made it.
        recipe_sha256: hash of the recipe's text.
        patterns: as they were used, in the recipe's order.
        palette: hex colours, in order.
        names: what each of them was called, by hex; a palette file has names of its own.
        stickers: in the recipe's order, then those that topped a sheet up.
        drawn_through: hash of the chart or profile whose numbers the print is drawn in.
        code: hash of the kitloom that made it.
        inputs: hash of all that it was made from, files named in the recipe included.
        outputs: hash of each file beside the lock, by name.
        told: what the run said, packed.
        seal: hash of this lock without its seal.
    """

    lock: int
    kitloom: str
    recipe_sha256: str
    patterns: tuple[LockedPattern, ...]
    palette: Annotated[tuple[HexColour, ...], Field(max_length=MOST_COLOURS)]
    stickers: tuple[LockedSticker, ...]
    names: Annotated[Mapping[HexColour, ColourName], Field(max_length=MOST_COLOURS)] = field(
        default_factory=dict
    )
    drawn_through: str = ""
    code: str = ""
    inputs: str = ""
    outputs: Mapping[str, str] = field(default_factory=dict)
    told: str = ""
    seal: str = ""


def lock_text(lock: Lock) -> str:
    """Return the lock as JSON text, the same for the same lock."""
    values = asdict(lock)
    if not lock.drawn_through:  # few prints are
        del values["drawn_through"]
    for one in values["stickers"]:
        if one["scale"] == 1.0:  # as most are
            del one["scale"]
    return json.dumps(values, indent=1, ensure_ascii=False) + "\n"


def parse_lock(text: str, *, where: str) -> Lock:
    """Return the lock of a text.

    Raises:
        RecipeError: the text is not a lock, or one of a format that is not known here.
    """
    try:
        lock = TypeAdapter(Lock).validate_json(text)
    except ValidationError as error:
        raise RecipeError(
            "is not a lock file",
            where=where,
            why=_unlike_a_lock(error),
            remedy="Name the kit.lock.json that kitloom make wrote beside the sheets.",
        ) from error
    if lock.lock != FORMAT:
        raise RecipeError(
            f"is a lock of format {lock.lock}, and only {FORMAT} is known",
            where=where,
            remedy="Make the kit again without --keep, or with the kitloom that wrote the lock.",
        )
    return lock


def _unlike_a_lock(error: ValidationError) -> str:
    """Return which part of a lock is at fault; that it is not JSON where none can be told."""
    key = next(iter(error.errors()[0]["loc"]), None)
    return (
        f'"{key}" is not as it was written' if key is not None else "it is cut short, or not JSON"
    )


def read_lock(path: Path) -> Lock:
    """Read one lock file.

    Raises:
        RecipeError: missing, or not a lock that is known here.
    """
    return parse_lock(read_text(path, noun="lock", most_bytes=MAX_BYTES), where=str(path))


def with_lock(recipe: Recipe, lock: Lock, digests: Mapping[str, str]) -> Recipe:
    """Return the recipe with the lock's palette, and its repeats and lattices where open.

    Args:
        recipe: the recipe.
        lock: an earlier run's record.
        digests: by pattern name the SHA-256 of its file now; other artwork is measured again.
    """
    known = {
        pattern.name: pattern
        for pattern in lock.patterns
        if digests.get(pattern.name) == pattern.sha256
    }
    patterns = tuple(
        part.model_copy(
            update={
                "repeat": known[part.label].repeat_mm if part.repeat == "auto" else part.repeat,
                "lattice": known[part.label].lattice if part.lattice == "auto" else part.lattice,
            }
        )
        if part.label in known
        else part
        for part in recipe.patterns
    )
    palette = recipe.palette
    if lock.palette:
        kept = tuple(one for one in lock.palette if one not in palette.left_out)
        palette = palette.model_copy(update={"pinned": kept, "colours": max(1, len(kept))})
    return recipe.model_copy(update={"patterns": patterns, "palette": palette})


def with_decisions(
    recipe: Recipe, slots: Sequence[Slot], lock: Lock
) -> tuple[tuple[Slot, ...], tuple[int, ...]]:
    """Return the slots with the lock's fills and offsets, wherever a sticker is still the same.

    The second value names those slots, by number.
    """
    names = set(recipe.fill_names)
    locked = {(one.row, one.place): one for one in lock.stickers}
    result: list[Slot] = []
    kept: list[int] = []
    for number, (slot, place) in enumerate(zip(slots, places_in_rows(slots), strict=True)):
        old = locked.get((slot.row, place))
        if old is None or not _same(slot, old) or not _known(old, names):
            result.append(slot)
            continue
        kept.append(number)
        alike = old.scale == slot.scale  # at another size, its window would show something else
        own_panel = old.panel if old.panel is not None else slot.panel
        result.append(
            replace(
                slot,
                wish=old.fill,
                panel=own_panel,
                pin=(old.offset_mm if alike else None) or slot.pin,
                panel_pin=old.panel_offset_mm if alike else None,
            )
        )
    return tuple(result), tuple(kept)


def places_in_rows(slots: Sequence[Slot]) -> list[int]:
    """Return for each slot how many of its row are before it."""
    seen: Counter[int] = Counter()
    places = []
    for slot in slots:
        places.append(seen[slot.row])
        seen[slot.row] += 1
    return places


def _same(slot: Slot, old: LockedSticker) -> bool:
    return (
        slot.kind.name == old.kind
        and slot.wish == old.wish
        and slot.made_from == old.made_from
        and abs(slot.width_mm - old.width_mm) < _SAME_SIZE_MM
        and abs(slot.height_mm - old.height_mm) < _SAME_SIZE_MM
    )


def _known(old: LockedSticker, names: set[str]) -> bool:
    fills = [old.fill] if old.panel is None else [old.fill, old.panel]
    return all(is_colour(fill) or fill in names for fill in fills)
