"""Which surfaces does kitloom know without being shown a profile? The one list of them.

In: nothing. Out: ``SURFACES``, by the name that a recipe, an option and the page know each by. A
new surface is a module in ``palette/press/`` with a function from its name to a ``Press``, and one
line here. The list stands outside that room because commands list their options from it, and must
start without loading arrays: so a press is named here by its module and function.

Not done here: opening a press (``palette.press.open_press``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Surface:
    """One surface.

    Attributes:
        name: its key, such as "glossy".
        words: what a maker chooses it by.
        like: what it is forecast as, in a few words.
        source: the function that returns its press by its name, as ``module:function``.
        figures: what the press's figures come from, a sentence for the docs.
    """

    name: str
    words: str
    like: str
    source: str
    figures: str


DEFAULT_SURFACE = "glossy"
SURFACES: Mapping[str, Surface] = MappingProxyType(
    {
        surface.name: surface
        for surface in (
            Surface(
                "glossy",
                "glossy sticker paper",
                "like coated offset",
                "palette.press.builtin:builtin_press",
                "A published offset press on coated paper (FOGRA39L, ISO 12647-2:2004/Amd 1, paper "
                "types 1 and 2).",
            ),
            Surface(
                "matt",
                "matt sticker or label paper",
                "like uncoated",
                "palette.press.builtin:builtin_press",
                "A published offset press on uncoated paper (FOGRA47L, ISO 12647-2:2004/Amd 1, "
                "paper type 4).",
            ),
        )
    }
)


def surfaces_in_words() -> str:
    """Return all surfaces for a sentence: "glossy (like coated offset, the default) or …"."""
    parts = [
        f"{one.name} ({one.like}{', the default' if one.name == DEFAULT_SURFACE else ''})"
        for one in SURFACES.values()
    ]
    return " or ".join([", ".join(parts[:-1]), parts[-1]]) if len(parts) > 1 else parts[0]
