"""Findings about a kept lock: what it still decides, and what has changed since it was written."""

from __future__ import annotations

from collections.abc import Mapping

from kit.compose import Kit, Lock
from kit.recipe import Recipe
from kitloom.findings.codes import Finding, finding


def keeping_findings(
    recipe: Recipe, lock: Lock, kit: Kit, digests: Mapping[str, str]
) -> list[Finding]:
    """Say how many stickers keep their fill and offset, and which files are other ones now.

    Args:
        recipe: what was asked for.
        lock: the record that was kept.
        kit: the kit that came of it.
        digests: by pattern name the SHA-256 of its file now.
    """
    then = {one.name: one.sha256 for one in lock.patterns}
    artwork = [
        part.subject
        for part in recipe.patterns
        if part.label in then and digests.get(part.label) != then[part.label]
    ]
    held = [one.made_from for one in lock.stickers]
    drawn = [
        row.made_of
        for number, row in enumerate(recipe.rows)
        if any(slot.made_from not in ("", *held) for slot in kit.slots if slot.row == number)
    ]
    changed = sorted({*artwork, *drawn})
    since = f" Changed since: {', '.join(changed)}." if changed else ""
    return [
        finding(
            "kept",
            recipe.file.name,
            what=f"{len(kit.locked)} of {len(kit.slots)} stickers keep their fill and position "
            f"from the earlier run.{since}",
            why="A sheet printed then and one printed now show the same stickers.",
            remedy="Look at the stickers of changed files: repeats are worked out again, "
            "positions stay."
            if artwork
            else "Leave --keep out to have everything chosen again.",
            stickers_kept=len(kit.locked),
            stickers=len(kit.slots),
        )
    ]
