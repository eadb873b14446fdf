"""All findings about a composed kit: from every function that ``CODES`` names.

In: recipe, kit and press as ``KitFacts``. Out: findings in the order of ``CODES``. Not done here:
the sentences, which are in the modules that the table names.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from typing import cast

from kit.compose import Kit
from kit.recipe import Recipe
from kitloom.findings.codes import CODES, Finding
from palette.press import Press


@dataclass(frozen=True, slots=True)
class KitFacts:
    """What a finding about a kit may rest on.

    Attributes:
        recipe: what was asked for.
        kit: what came of it: sheets, tolerances, windows, layout.
        press: what prints it.
    """

    recipe: Recipe
    kit: Kit
    press: Press


KitFinder = Callable[[KitFacts], list[Finding]]


def kit_findings(recipe: Recipe, kit: Kit, press: Press) -> list[Finding]:
    """Say what the maker should know of the finished sheets."""
    facts = KitFacts(recipe, kit, press)
    sources = dict.fromkeys(code.source for code in CODES.values() if code.source)
    return [found for source in sources for found in finder(source)(facts)]


def finder(source: str) -> KitFinder:
    """Return the function that a line of ``CODES`` names as "module:function"."""
    module, function = source.split(":")
    return cast("KitFinder", getattr(import_module(f"kitloom.findings.{module}"), function))
