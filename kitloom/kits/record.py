"""What a kit was made from and what was decided, as the record that lies beside its sheets.

In: a ``JudgedKit``. Out: a ``Lock``. Not done here: writing it, and what a later run may take over
from it (``kitloom.cache``).
"""

from __future__ import annotations

from kit.compose import FORMAT, Kit, Lock, LockedPattern, LockedSticker, places_in_rows
from kit.recipe import Recipe
from kitloom import __version__
from kitloom.cache import check_text
from kitloom.kits.judged_kit import JudgedKit
from patterns.artwork import digest


def lock_of(made: JudgedKit) -> Lock:
    """Return the record of a kit."""
    swatches = made.verdict.palette.swatches
    return Lock(
        FORMAT,
        __version__,
        digest(made.recipe.file),
        tuple(
            LockedPattern(
                one.name,
                one.study.artwork.path.name,
                digest(one.study.artwork.path),
                one.plane.repeat_mm,
                one.plane.lattice.name,
                check_text(part.lattice, one.study.check),
            )
            for part, one in zip(made.recipe.patterns, made.patterns, strict=True)
        ),
        tuple(swatch.hex for swatch in swatches),
        tuple(_stickers(made.kit)),
        {swatch.hex: swatch.name for swatch in swatches},
        _drawn_through(made.recipe),
    )


def _drawn_through(recipe: Recipe) -> str:
    part = recipe.press
    through = part.chart or part.profile
    return digest(recipe.folder / through) if part.convert and through is not None else ""


def _stickers(kit: Kit) -> list[LockedSticker]:
    return [
        LockedSticker(
            slot.row,
            place,
            wish,
            slot.kind.name,
            slot.width_mm,
            slot.height_mm,
            choice.fill,
            choice.panel,
            offset,
            panel_offset,
            slot.made_from,
            slot.scale,
        )
        for slot, place, wish, choice, offset, panel_offset in zip(
            kit.slots,
            places_in_rows(kit.slots),
            kit.wishes,
            kit.choices,
            kit.windows.offsets_mm,
            kit.windows.panel_offsets_mm,
            strict=True,
        )
    ]
