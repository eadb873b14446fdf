"""Which keys of a recipe can have no effect where they are?

In: a checked recipe. Out: an ``IdleKey`` for each key that is written and whose value, whatever it
were, changes nothing there: a border where there is no panel, an intent without a profile. Such a
key is a slip or a misunderstanding, so it is refused as an unknown one is. Keys that are left out
are never idle.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kit.kinds import KINDS
from kit.letters import DAYS
from kit.recipe.coordinate_keys import CoordinatePart
from kit.recipe.model import MarkPart, Recipe
from kit.recipe.row_keys import RowPart, is_colour
from patterns.coordinates import ALL_OVER, TARTAN

_DRAWN_IN_LINES = {"cross", "corner"}
_NO_PATTERNS = {"palette", "white", "ruled"}
_ANY_MONTH = "2027-01"
# what a kind is made from -> keys that are a colour there, and read as its fill
_COLOUR_OF: Mapping[str, frozenset[str]] = MappingProxyType({"from": frozenset({"border"})})

# in a list with an entry for each sticker: nothing is asked of this one
USUAL_IN_LISTS: Mapping[str, str | float] = MappingProxyType(
    {"at": "auto", "offset": "auto", "turn": 0.0, "scale": 1.0}
)


@dataclass(frozen=True, slots=True)
class IdleKey:
    """One key without effect.

    Attributes:
        key: its path as in TOML, such as ("rows", 0, "border"), with the place in a list last.
        why: why it has none, as a clause.
        remedy: what to do beside taking it out; empty where there is nothing else.
    """

    key: tuple[str | int, ...]
    why: str
    remedy: str = ""

    @property
    def remedy_words(self) -> str:
        """The remedy as a sentence without its full stop."""
        return f"{self.remedy}, or take it out" if self.remedy else "Take it out"


def idle_keys(recipe: Recipe) -> Iterator[IdleKey]:
    """Yield every key without effect, in the order of the recipe's parts."""
    yield from _of_sheet(recipe)
    yield from _of_press(recipe)
    yield from _of_palette(recipe)
    yield from _of_letters(recipe)
    if "variety" in recipe.fills.model_fields_set and not any(
        _shows_pattern(row, i) for row in recipe.rows for i in range(row.count)
    ):
        yield IdleKey(("fills", "variety"), "no sticker shows a pattern")
    for number, mark in enumerate(recipe.marks):
        yield from _of_mark(mark, number)
    for number, part in enumerate(recipe.coordinates):
        yield from _of_coordinate(part, number)
    for number, row in enumerate(recipe.rows):
        yield from _of_row(row, number)
        yield from _of_dates(row, number, packed=recipe.sheet.layout == "pack")


def idle_in_row(recipe: Recipe, number: int) -> frozenset[str]:
    """Return the keys that would have no effect in a row as it is, whatever they said.

    What a key of the row needs beside it may give it one: a border, a panel.
    """
    row = recipe.rows[number]
    whole = {name: getattr(row, name) for name in RowPart.model_fields}
    month, week = {"month": row.month or _ANY_MONTH}, {"week": row.week or DAYS[0]}

    def idle(given: Mapping[str, object]) -> set[str]:
        asked = row.model_copy(update={**whole, **given})
        dates = _of_dates(asked, number, packed=recipe.sheet.layout == "pack")
        found = (*_of_row(asked, number), *dates)
        return {str(one.key[2]) for one in found if len(one.key) == 3}

    names = idle({}) | (idle(month) & month.keys()) | (idle(week) & week.keys())
    return frozenset(names - _COLOUR_OF.get(KINDS[row.sticker].source_key, frozenset()))


def _of_letters(recipe: Recipe) -> Iterator[IdleKey]:
    if recipe.letters.font is not None and not any(row.words for row in recipe.rows):
        yield IdleKey(("letters", "font"), "no sticker has words", 'Set text = "..." in a row')


def _of_sheet(recipe: Recipe) -> Iterator[IdleKey]:
    sheet = recipe.sheet
    if "correct_scale" in sheet.model_fields_set and sheet.ruler_reads is None:
        why = "there is no ruler_reads to correct by"
        yield IdleKey(("sheet", "correct_scale"), why, "Write what the printed ruler measures")
    if sheet.held == "marks" and not recipe.marks:
        why = "there are no marks that could hold the sheet"
        yield IdleKey(("sheet", "held"), why, "Write the machine's marks as [[marks]]")


def _of_press(recipe: Recipe) -> Iterator[IdleKey]:
    press = recipe.press
    why = {}
    if press.chart is not None:
        for key in ("surface", "profile", "intent", "black_point_compensation"):
            why[key] = "chart already describes the printer"
    elif press.profile is not None:
        why["surface"] = "profile already says what it is printed on"
        if press.intent == "absolute":
            why["black_point_compensation"] = 'intent = "absolute" leaves black as it is'
    else:
        for key in ("intent", "black_point_compensation"):
            why[key] = "there is no profile"
        why["convert"] = "there is neither a chart nor a profile to draw the print through"
    for key, reason in why.items():
        if key in press.model_fields_set:
            yield IdleKey(("press", key), reason)


def _of_palette(recipe: Recipe) -> Iterator[IdleKey]:
    palette = recipe.palette
    if palette.source is not None and "colours" in palette.model_fields_set:
        yield IdleKey(("palette", "colours"), "from brings every colour of its file")


def _of_mark(mark: MarkPart, number: int) -> Iterator[IdleKey]:
    if "corner" in mark.model_fields_set and mark.shape != "corner":
        yield IdleKey(("marks", number, "corner"), f"a {mark.shape} looks the same in every corner")
    if "stroke" in mark.model_fields_set and mark.shape not in _DRAWN_IN_LINES:
        yield IdleKey(("marks", number, "stroke"), f"a {mark.shape} is filled, not drawn in lines")


def _of_coordinate(part: CoordinatePart, number: int) -> Iterator[IdleKey]:
    if "sett" in part.model_fields_set and part.kind != TARTAN:
        yield IdleKey(("coordinates", number, "sett"), f"only a {TARTAN} has a sett")
    if part.kind != ALL_OVER:
        for key, name in (("from", "source"), ("motif", "motif"), ("spacing", "spacing")):
            if name in part.model_fields_set:
                yield IdleKey(("coordinates", number, key), f"only an {ALL_OVER} shows a motif")


def _of_row(row: RowPart, number: int) -> Iterator[IdleKey]:
    kind = KINDS[row.sticker]
    a_kind = f"{'an' if kind.name[0] in 'aeiou' else 'a'} {kind.name}"
    panel = row.panel_wish
    ruled = panel == "ruled"
    no_marks = not kind.checks and panel is None
    with_checks = ", ".join(one.name for one in KINDS.values() if one.checks)
    no_checks = f"{a_kind} has no marks; a {with_checks} has, and so may any panel"
    add_panel = 'Set panel = "ruled" as well'
    still = not kind.may_turn or bool(row.words) or row.picture is not None
    no_room = kind.words is None and not (kind.checks and panel is not None)
    patterned = any(_shows_pattern(row, i) for i in range(row.count))
    plain = "these stickers show no pattern"
    idle = {
        "text": (
            no_room,
            f"{a_kind} has no room for text",
            'Set panel = "ruled" and a wide size as well' if kind.checks else "",
        ),
        "month": (
            no_room and not row.text,
            f"{a_kind} has no room for dates",
            "",
        ),
        "text_size": (not row.words, "there is no text", ""),
        "border": (
            panel is None,
            f"{a_kind} has no panel here",
            'Set panel = "white" as well',
        ),
        "frame": (
            panel is None,
            f"{a_kind} has no panel here",
            'Set panel = "white" as well',
        ),
        "frame_width": (row.frame is None, "there is no frame", 'Set frame = "..." as well'),
        "panel_line": (
            panel is None,
            f"{a_kind} has no panel here",
            'Set panel = "white" as well',
        ),
        "band_height": (row.band is None, "there is no band", 'Set band = "..." as well'),
        "checks": (no_marks, no_checks, add_panel),
        "check": (no_marks, no_checks, add_panel),
        "pitch": (
            not ruled and (no_marks or not row.is_marked),
            f"{a_kind} has neither lines nor marks here",
            add_panel,
        ),
        "rule": (not ruled, f"{a_kind} has no lines to write on here", add_panel),
        "upright": (still, "these stickers are never laid on their side", ""),
        "turn": (not patterned, plain, ""),
        "scale": (not patterned, plain, ""),
        "offset": (not patterned, plain, ""),
        "distance": (
            row.picture is None and row.source is None,
            "only a picture or a motif is cut round at a distance",
            "",
        ),
    }
    for key, (is_idle, why, remedy) in idle.items():
        if is_idle and key in row.model_fields_set:
            yield IdleKey(("rows", number, key), why, remedy)
    if "beside" in row.model_fields_set and number == 0:
        yield IdleKey(("rows", number, "beside"), "there is no row before it")
    for place in range(row.count, len(row.at)):
        yield IdleKey(("rows", number, "at", place), f"the row has only {row.count} stickers")
    if patterned:
        yield from _idle_pins(row, number)


def _of_dates(row: RowPart, number: int, *, packed: bool) -> Iterator[IdleKey]:
    """Yield a month without dates, and a week's start that orders nothing."""
    if row.month is not None and not row.has_dates:
        why = "only dates belong to a month"
        yield IdleKey(("rows", number, "month"), why, 'Set text = "dates"')
    if row.week is None or row.text == "days":
        return
    if not row.has_dates or row.month is None:
        why, remedy = "there are no days, and no month, to put in order", 'Set month = "2027-01"'
        yield IdleKey(("rows", number, "week"), why, remedy)
    elif packed:
        why = "a packed sheet has no lines for weeks"
        yield IdleKey(("rows", number, "week"), why, 'Set layout = "rows"')


def _idle_pins(row: RowPart, number: int) -> Iterator[IdleKey]:
    """Yield what lists hold that no sticker, or one without a pattern, is meant by."""
    for key, given in (("offset", row.pins), ("turn", row.turn), ("scale", row.scale)):
        usual = USUAL_IN_LISTS[key]
        for place, one in enumerate(given if isinstance(given, tuple) else ()):
            if place >= row.count:
                why = f"the row has only {row.count} stickers"
                yield IdleKey(("rows", number, key, place), why)
            elif one not in {usual, None} and not _shows_pattern(row, place):
                why = f"sticker {place + 1} shows no pattern"
                wanted = f'"{usual}"' if isinstance(usual, str) else f"{usual:g}"
                yield IdleKey(("rows", number, key, place), why, f"Write {wanted} for it")


def _shows_pattern(row: RowPart, place: int) -> bool:
    shown = (row.wish_of(place), row.panel_wish)
    return any(one is not None and _is_pattern(one) for one in shown)


def _is_pattern(wish: str) -> bool:
    return wish not in _NO_PATTERNS and not is_colour(wish)
