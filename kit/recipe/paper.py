"""How large the paper is: papers by name, or by their measure.

Letter is 8.5 x 11 in (ANSI/ASME Y14.1), A4 and A5 are 210 x 297 and 148 x 210 mm (ISO 216). Out:
millimetres, upright as the standards list them; a measure such as "11in x 8.5in" lies as written.
"""

from __future__ import annotations

from dataclasses import dataclass

from kit.recipe.messages import near
from kit.recipe_error import RecipeError
from palette.errors import KitloomError
from patterns.units import parse_size

SMALLEST_MM, LARGEST_MM = 20.0, 1500.0  # guards against a slipped unit, not a printer's limits


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper: its name as the maker wrote it, and its sides in millimetres."""

    name: str
    width_mm: float
    height_mm: float


PAPERS = {
    paper.name.lower(): paper
    for paper in (
        Paper("Letter", 215.9, 279.4),
        Paper("A4", 210.0, 297.0),
        Paper("A5", 148.0, 210.0),
    )
}


def find_paper(text: str, *, where: str = "paper") -> Paper:
    """Return the paper of a name ("Letter", "a4") or of a measure ("8.5in x 11in").

    Raises:
        RecipeError: neither, or a side outside ``SMALLEST_MM`` to ``LARGEST_MM``.
    """
    known = PAPERS.get(text.strip().lower())
    if known is not None:
        return known
    try:
        width_mm, height_mm = parse_size(text, where=where)
    except KitloomError as error:
        names = [paper.name for paper in PAPERS.values()]
        raise RecipeError(
            f'"{text}" is not a paper',
            where=where,
            remedy=f'{near(text, names)}Use {", ".join(names)}, or a size: "8.5in x 11in".',
        ) from error
    for side in (width_mm, height_mm):
        if not SMALLEST_MM <= side <= LARGEST_MM:
            raise RecipeError(
                f"a side of {side:g} mm is not between {SMALLEST_MM:g} and {LARGEST_MM:g} mm",
                where=where,
                remedy="Check the numbers and their unit.",
            )
    return Paper(text.strip(), width_mm, height_mm)
