"""What hypothesis draws from: lengths, tiles, stickers, recipes and locks, sound and broken."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import tomlkit
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from kit.compose import FORMAT, Lock, LockedPattern, LockedSticker
from kit.layout.ground import Item
from kit.shapes import Rect
from patterns.plane import LATTICES
from patterns.units import MM_PER_UNIT

units = st.sampled_from(sorted(MM_PER_UNIT))
lattices = st.sampled_from(list(LATTICES.values()))
numbers = st.decimals("0", "99", places=3).map(lambda value: f"{value:f}")
lengths = st.builds("{}{}{}".format, numbers, st.sampled_from(["", " "]), units)


def mm(least: float, most: float) -> st.SearchStrategy[str]:
    """Lengths as text, in any unit, from least to most millimetres."""
    return st.builds(
        lambda value, unit: f"{value / MM_PER_UNIT[unit]:.4f}{unit}", st.floats(least, most), units
    )


tiles = st.tuples(st.integers(1, 24), st.integers(1, 24)).flatmap(
    lambda size: arrays(np.uint8, (*size, 3))
)

# --- layouts --------------------------------------------------------------------------------------

usable_areas = st.builds(
    Rect, st.floats(0, 20), st.floats(0, 20), st.floats(120, 280), st.floats(120, 400)
)
gaps = st.floats(0.0, 5.0)
items = st.lists(
    st.tuples(st.floats(4, 70), st.floats(4, 70), st.integers(1, 8), st.booleans(), st.booleans()),
    min_size=1,
    max_size=6,
).map(
    lambda kinds: [
        Item(width, height, row, may_turn=turn, beside=beside)
        for row, (width, height, count, turn, beside) in enumerate(kinds)
        for _ in range(count)
    ]
)
keep_outs = st.lists(
    st.builds(Rect, st.floats(0, 260), st.floats(0, 380), st.floats(1, 40), st.floats(1, 40)),
    max_size=3,
)
boxes = st.builds(Rect, st.floats(0, 180), st.floats(0, 250), st.floats(5, 40), st.floats(5, 40))

# --- recipes --------------------------------------------------------------------------------------

names = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=9)
colours = st.integers(0, 0xFFFFFF).map("#{:06x}".format)


def _parts(required: dict[str, Any], optional: dict[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(required, optional=optional)


_sheets = _parts(
    {"paper": st.sampled_from(["Letter", "A4", "A5", "8.5in x 11in"])},
    {
        "dpi": st.integers(72, 600),
        "margin": mm(0, 20) | _parts({}, {"top": mm(0, 20), "left": mm(0, 20)}),
        "keep_out": st.lists(
            _parts({"edge": st.sampled_from(["top", "left"]), "depth": mm(0, 9)}, {}), max_size=2
        ),
        "gap": mm(0, 9),
        "layout": st.sampled_from(["rows", "pack"]),
        "top_up": st.just(["dot"]),
        "bleed": mm(0, 3),
        "registration": mm(0, 2) | _parts({}, {"shift": mm(0, 2), "turn": st.just("0.2deg")}),
        "corner_radius": mm(0, 5),
        "frame": st.booleans(),
    },
)
_patterns = _parts(
    {"file": names.map("{}.png".format)},
    {
        "repeat": mm(1, 300) | st.just("auto"),
        "lattice": st.sampled_from(["straight", "half-drop", "half-brick", "auto"]),
    },
)
_rows = _parts(
    {
        "sticker": st.sampled_from(["full box", "half box", "checklist", "dot"]),
        "count": st.integers(1, 30),
    },
    {
        "fill": st.sampled_from(["patterns", "palette"]) | st.lists(colours, min_size=1),
        "size": st.just("2 x 0.5 box") | st.builds("{} x {}".format, mm(5, 50), mm(5, 50)),
        "turn": st.integers(-360, 360) | st.just("12.5deg"),
        "scale": st.floats(0.5, 2.0) | st.lists(st.floats(0.5, 2.0), max_size=1),
        "upright": st.booleans(),
        "offset": st.sampled_from(["auto", "centred", "5mm x 12mm"]),
    },
)


def _apt(tables: dict[str, Any]) -> dict[str, Any]:
    """Take out what has no effect where it stands: a recipe is refused for it."""
    plain = []
    for row in tables["rows"]:
        plain.append(row.get("fill", "patterns") != "patterns")
        for key in ("turn", "scale", "offset") if plain[-1] else ():
            row.pop(key, None)
        if row["sticker"] == "dot":
            row.pop("upright", None)
    if all(plain) and "fills" in tables:
        tables["fills"].pop("variety", None)
    return tables


recipe_tables = _parts(
    {
        "planner": _parts({"box": st.builds("{} x {}".format, mm(10, 60), mm(10, 60))}, {}),
        "sheet": _sheets,
        "patterns": st.lists(
            _patterns, min_size=1, max_size=3, unique_by=lambda part: part["file"]
        ),
        "rows": st.lists(_rows, min_size=1, max_size=4),
    },
    {
        "kit": _parts({}, {"name": names, "format": st.just(1)}),
        "press": _parts({}, {"surface": st.sampled_from(["glossy", "matt"])}),
        "palette": _parts({}, {"colours": st.integers(1, 24), "pinned": st.lists(colours)}),
        "fills": _parts({}, {"variety": st.floats(0, 1)}),
    },
).map(_apt)


def toml(tables: dict[str, Any]) -> str:
    """Return tables as TOML text."""
    return tomlkit.dumps(tables)


_anything = st.recursive(
    st.booleans()
    | st.integers(-(2**63), 2**63 - 1)
    | st.floats()
    | st.text(st.characters(codec="utf-8"), max_size=12)
    | st.dates()
    | lengths,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3),
    max_leaves=6,
)


@st.composite
def broken_tables(draw: st.DrawFn) -> dict[str, Any]:
    """A recipe of which one value, wherever it stands, is replaced, added or taken out."""
    tables: dict[str, Any] = draw(recipe_tables)
    part: Any = tables
    while True:
        keys = list(part) if isinstance(part, dict) else list(range(len(part)))
        if not keys:
            return tables
        key = draw(st.sampled_from(keys))
        if isinstance(part[key], dict | list) and draw(st.booleans()):
            part = part[key]
            continue
        change = draw(st.sampled_from(["replace", "add", "take"]))
        if change == "take":
            del part[key]
        elif change == "add" and isinstance(part, dict):
            part[draw(names)] = draw(_anything)
        else:
            part[key] = draw(_anything)
        return tables


# --- locks ----------------------------------------------------------------------------------------

_finite = st.floats(-1e6, 1e6)
locked_patterns = st.builds(
    LockedPattern,
    name=names,
    file=names,
    sha256=st.text("0123456789abcdef", min_size=64, max_size=64),
    repeat_mm=st.floats(0.5, 2000),
    lattice=st.sampled_from(sorted(LATTICES)),
    check=st.text("abc+/=", max_size=9),
)
locked_stickers = st.builds(
    LockedSticker,
    row=st.integers(0, 99),
    place=st.integers(0, 99),
    wish=names,
    kind=names,
    width_mm=st.floats(1, 300),
    height_mm=st.floats(1, 300),
    fill=names,
    panel=st.none() | names,
    offset_mm=st.none() | st.tuples(_finite, _finite),
)
locks = st.builds(
    Lock,
    lock=st.just(FORMAT),
    kitloom=names,
    recipe_sha256=names,
    patterns=st.lists(locked_patterns, max_size=3).map(tuple),
    palette=st.lists(colours, max_size=5).map(tuple),
    stickers=st.lists(locked_stickers, max_size=3).map(tuple),
    outputs=st.dictionaries(names, names, max_size=3),
).map(lambda lock: replace(lock, seal=""))
