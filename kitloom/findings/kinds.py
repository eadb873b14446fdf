"""Findings of one kind, together: one heading, each place with its own words, the rest once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile

from kitloom.findings.codes import CODES, Finding, Severity, in_order


@dataclass(frozen=True, slots=True)
class Kind:
    """Findings of one code and one severity.

    Attributes:
        code: a key of ``CODES``.
        severity: that of all of them.
        items: the findings, in their order; at least one.
        why: why they matter, where all say the same; else empty.
        remedy: the last sentences that all remedies have in common.
    """

    code: str
    severity: Severity
    items: tuple[Finding, ...]
    why: str
    remedy: str

    @property
    def heading(self) -> str:
        """The title, with the number where there are several."""
        title, many = CODES[self.code].title, CODES[self.code].many
        if len(self.items) == 1:
            return title
        return f"{len(self.items)} {many}" if many else f"{title}: {len(self.items)} places"


def kinds_of(findings: Sequence[Finding]) -> list[Kind]:
    """Return the findings by kind, the gravest first, otherwise in the order they came."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for one in in_order(findings):
        groups.setdefault((one.severity, one.code), []).append(one)
    return [_kind(tuple(group)) for group in groups.values()]


def shared_end(remedies: Sequence[str]) -> str:
    """Return the last sentences that all of the remedies have in common."""
    sentences = [re.split(r"(?<=[.?!]) (?=[A-Z])", one)[::-1] for one in remedies]
    alike = takewhile(lambda same: len(set(same)) == 1, zip(*sentences, strict=False))
    return " ".join([same[0] for same in alike][::-1])


def _kind(group: tuple[Finding, ...]) -> Kind:
    whys = {one.why for one in group}
    return Kind(
        group[0].code,
        group[0].severity,
        group,
        group[0].why if len(whys) == 1 else "",
        shared_end([one.remedy for one in group]),
    )
