"""Findings about pictures that end off their repeat: can a whole tile be cut out of them?"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kitloom.findings.codes import Finding, finding
from patterns.plane import parse_lattice
from patterns.repeats import Repeat, find_repeat
from patterns.seams import SeamCheck

ENDS_OFF = ("crop", "cut-motif", "rhythm", "join")  # kinds of a picture that ends off its repeat

# axis: (which lines are duplicated, which way the picture is too large)
_SIDES = {"x": ("right-hand", "left-hand", "wide"), "y": ("bottom", "top", "high")}


def repeat_unseen_findings(
    subject: str, pixels: NDArray[np.uint8], check: SeamCheck, repeat: Repeat | None
) -> list[Finding]:
    """Say why a picture that ends off its repeat cannot be cut down to it, or that it can.

    Where the verdict is unsure, only that it holds too little of a repeat is said.

    Args:
        subject: the picture.
        pixels: (height, width, 3) sRGB uint8.
        check: what was measured on it as a tile.
        repeat: the repeat that was found in it, with which there is nothing to say.
    """
    twice = _overlaps(subject, pixels, check) if repeat is None and _ends_off(check) else []
    few = few_repeats_findings(subject, pixels, check, repeat)
    if few or twice or repeat is not None or not _ends_off(check):
        return [*twice, *few]
    return [
        finding(
            "repeat-unseen",
            subject,
            what="No repeat found, so no whole tile can be cut out.",
            why="What is missing at its edges is nowhere else in the file.",
            remedy="Export exactly one repeat, or use a picture that shows the artwork at "
            "least one and a half times.",
        )
    ]


def few_repeats_findings(
    subject: str, pixels: NDArray[np.uint8], check: SeamCheck, repeat: Repeat | None
) -> list[Finding]:
    """Say of a picture that may end off its repeat that it holds under one and a half.

    Args:
        subject: the picture.
        pixels: (height, width, 3) sRGB uint8.
        check: what was measured on it as a tile.
        repeat: the repeat that was found in it, with which there is nothing to say.
    """
    if repeat is not None or not (check.seamless is None or _ends_off(check)):
        return []
    hint = find_repeat(pixels, least_seen=1.15)
    if hint is None:
        return []
    return [
        finding(
            "repeat-unseen",
            subject,
            what=f"It seems to hold {hint.seen:.1f} repeats of {hint.width_px:.0f} × "
            f"{hint.height_px:.0f} px ({hint.lattice}): less than one and a half, too few to be "
            "sure.",
            why="A repeat can only be measured if the picture shows it more than once each way.",
            remedy="Use a picture that shows more of it and let kitloom mend cut the tile out, or "
            "crop it to that size and check it again.",
            width_px=round(hint.width_px, 2),
            height_px=round(hint.height_px, 2),
            lattice=hint.lattice,
            seen=hint.seen,
        )
    ]


def _ends_off(check: SeamCheck) -> bool:
    """Whether a seam shows that a picture has which ends off its repeat."""
    kinds = {axis.faults[0].kind for axis in (check.x, check.y) if axis.verdict == "seam"}
    return not kinds.isdisjoint(ENDS_OFF)


def _overlaps(subject: str, pixels: NDArray[np.uint8], check: SeamCheck) -> list[Finding]:
    """Say by how much a tile was cut too wide or too high: what is there twice can go."""
    from patterns.mend import AxisName, orient, stagger_px
    from patterns.mend.remedies import count_overlapping_columns

    lattice = parse_lattice(check.lattice)
    sides: tuple[tuple[AxisName, bool], ...] = (
        ("x", check.x.verdict == "seam"),
        ("y", check.y.verdict == "seam"),
    )
    found = []
    for axis, shows in sides:
        if not shows:
            continue
        tile = orient(pixels, axis)
        twice_px = count_overlapping_columns(tile, stagger_px(pixels, lattice, axis))
        if twice_px:
            found.append(_too_wide(subject, axis, twice_px, tile.shape[1] - twice_px))
    return found


def _too_wide(subject: str, axis: str, twice_px: int, repeat_px: int) -> Finding:
    last, first, much = _SIDES[axis]
    return finding(
        "too-wide",
        subject,
        what=f"Its {last} {twice_px} px repeat its {first} {twice_px}: it was cropped {twice_px} "
        f"px too {much}. One repeat is {repeat_px} px {much}.",
        why="The doubled part shows at every repeat.",
        remedy=f"Let kitloom mend take it off, or crop it to {repeat_px} px; nothing is lost.",
        axis=axis,
        twice_px=twice_px,
        repeat_px=repeat_px,
    )
