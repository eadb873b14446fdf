"""Findings about sizes so small that the decimal point or the unit may be wrong."""

from __future__ import annotations

from collections.abc import Sequence

from kit.recipe import SmallSize, small_sizes
from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts


def size_findings(subject: str, sizes: Sequence[SmallSize]) -> list[Finding]:
    """Say which sizes are doubted, and what they would be with the point in its place.

    Args:
        subject: the recipe's name, or the option that the size came from.
        sizes: as ``kit.recipe.slips`` found them.
    """
    return [_small(subject, one) for one in sizes]


def recipe_size_findings(facts: KitFacts) -> list[Finding]:
    """Say which sizes of a recipe are doubted."""
    return size_findings(facts.recipe.file.name, small_sizes(facts.recipe))


def meant(one: SmallSize) -> str:
    """Return the size that may have been meant, as a recipe writes it."""
    wide_mm, high_mm = one.tenfold_mm()
    return f"{wide_mm:.3g}mm x {high_mm:.3g}mm"


def _small(subject: str, one: SmallSize) -> Finding:
    box = one.key == "planner.box"
    named = "The day box" if box else f"{one.key}: the {one.noun}"
    why = (
        f"Hardly any planner has a day box under {one.least_mm:g} mm, and every sticker is sized "
        "from it."
        if box
        else "So small a sticker is hard to take off its backing and to place."
    )
    measure = "Measure your planner's day box again. " if box else ""
    remedy = (
        f'{measure}If the decimal point or the unit is wrong, write "{meant(one)}"; if you mean '
        "it, leave it."
    )
    if one.derived:
        remedy = (
            f"It follows from planner.box: measure your day box again, or give the row a size of "
            f"its own with {one.least_mm:g} mm or more either way."
        )
    return finding(
        "small-size",
        subject,
        what=f"{named} is {one.width_mm:.3g} mm wide and {one.height_mm:.3g} mm high.",
        why=why,
        remedy=remedy,
        key=one.key,
        width_mm=round(one.width_mm, 3),
        height_mm=round(one.height_mm, 3),
        least_mm=one.least_mm,
        derived=one.derived,
    )
