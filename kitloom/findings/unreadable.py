"""Findings about files of a folder that are not tiles: damaged ones, and kinds that do not open."""

from __future__ import annotations

from kitloom.findings.codes import Finding, finding
from patterns.artwork import SUFFIXES


def unreadable_finding(subject: str, what: str, why: str) -> Finding:
    """Say that a file of a folder cannot be opened, and that the others were."""
    return finding(
        "unreadable",
        subject,
        what=f"The file {what}{f' ({why})' if why else ''}.",
        why="It cannot be judged, and a kit that uses it cannot be made.",
        remedy="Export or download it again, or take it out of the folder.",
    )


def unopenable_finding(subject: str) -> Finding:
    """Say that a file of a folder is of no kind that can be opened, and was left out."""
    return finding(
        "unreadable",
        subject,
        severity="warn",
        what=f"It was left out: its ending is none of {', '.join(SUFFIXES)}.",
        why="A pattern that you drew in it is not in the recipe.",
        remedy="Export it as PNG, with the whole repeat and nothing around it.",
    )
