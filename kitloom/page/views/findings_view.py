"""Findings for the page: each with its button, and many of one kind folded into one."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Any

from kitloom.findings import CODES, Finding, kinds_of
from kitloom.kits import JudgedKit
from kitloom.page.views.page_words import said_here
from kitloom.page.views.remedy_view import remedy_for

FOLDED_FROM = 3
JOINS = frozenset({"seam", "seam-unsure"})  # one for each two edges of a tile


def findings_view(
    job: JudgedKit | None, codes: set[str], about: str = "", *, plain: bool = False
) -> dict[str, Any]:
    """Return the findings of some codes.

    Args:
        job: a finished kit.
        codes: which to return.
        about: keeps one subject's.
        plain: adds what is said of plain colours and drawings on the sheets.

    Returns:
        "grave": groups of one code each, the gravest first; "notes": groups of what is only to be
        known; "judged": whether there is a kit that was looked at.
    """
    findings = [
        one
        for one in (job.findings if job else ())
        if (one.code in codes and (not about or one.subject == about))
        or (plain and job is not None and on_sheets_alone(job, one))
    ]
    grave = [one for one in findings if one.severity != "note"]
    # findings come gravest first; the sort keeps that order among codes
    order = {code: i for i, code in reversed(list(enumerate(one.code for one in grave)))}
    grave.sort(key=lambda one: (one.severity != "stop", order[one.code]))
    groups = [list(group) for _, group in groupby(grave, lambda one: (one.severity, one.code))]
    return {
        "grave": [_group(job, group) for group in groups],
        "notes": [
            _group(job, list(kind.items))
            for kind in kinds_of([one for one in findings if one.severity == "note"])
        ],
        "judged": job is not None,
    }


def on_sheets_alone(job: JudgedKit, one: Finding) -> bool:
    """Tell whether a finding is about a colour or drawing that is neither palette nor tile."""
    known = {swatch.hex for swatch in job.verdict.palette.swatches}
    shifts = one.code in {"colour-shift", "fill-shift"}
    return shifts and "places" in one.measures and one.subject not in known


def _group(job: JudgedKit | None, group: list[Finding]) -> dict[str, Any]:
    said = [said_here(job, one) if job else one for one in group]
    (kind,) = kinds_of(said)
    items = _joined([_finding(job, one) for one in group])
    return {
        "items": items,
        "folded": len(items) >= FOLDED_FROM,
        "severity": group[0].severity,
        "title": kind.heading,
        "why": kind.why,
        "remedy": kind.remedy,
    }


def _joined(items: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return items with both joins of a tile as one: it names two places and has one button."""
    joined: list[dict[str, Any]] = []
    for one in items:
        before = joined[-1] if joined else None
        if before and one["code"] in JOINS and one["subject"] == before["subject"]:
            both = {
                name: before[name] if one[name] in before[name] else f"{before[name]} {one[name]}"
                for name in ("what", "why", "remedy")
            }
            joined[-1] = before | both
        else:
            joined.append(one)
    return joined


def count_things(findings: Iterable[Finding]) -> int:
    """Return how many findings the page shows: both joins of a tile are one."""
    findings = list(findings)
    joins = [(one.code, one.subject) for one in findings if one.code in JOINS]
    return len(findings) - len(joins) + len(set(joins))


def _finding(job: JudgedKit | None, one: Finding) -> dict[str, Any]:
    one = said_here(job, one) if job else one
    return {
        "code": one.code,
        "severity": one.severity,
        "subject": one.subject.removeprefix("artwork/"),
        "title": _title(one),
        "what": one.what,
        "why": one.why,
        "remedy": one.remedy,
        "button": remedy_for(job, one) if job else None,
    }


def _title(one: Finding) -> str:
    title = CODES[one.code].title
    return title[0].lower() + title[1:]
