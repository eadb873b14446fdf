"""Measure no tile twice: the verdicts on a tile's joins, kept in the lock from run to run.

In: a finished check, or the text that stands for it in ``kit.lock.json``. Out: the other. A verdict
is taken over for a file with the same bytes, asked about in the same way, by the same kitloom;
whatever else changed, the tile need only be opened. The strength along the edge is kept to a
hundredth of a CIEDE2000, in the run that measures it too, so that both give the same report.
"""

from __future__ import annotations

import base64
import zlib
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from kit.compose import Lock
from kitloom.cache.unchanged import packed, unpacked
from kitloom.measure import STRENGTH_STEPS, Request, strength_codes
from patterns.artwork import digest
from patterns.plane import Lattice, lattice_named
from patterns.seams import AxisCheck, Fault, SeamCheck

MOST_CHARACTERS = 40_000  # a tile; longer edges are measured again


def check_text(asked: str, check: SeamCheck) -> str:
    """Return a check as text for the lock, "" where it would be long.

    Args:
        asked: the lattice that the recipe asked for, or "auto".
        check: the verdict.
    """
    axes = {name: _axis_dict(getattr(check, name)) for name in ("x", "y")}
    text = packed({"asked": asked, "lattice": check.lattice, **axes})
    return text if len(text) <= MOST_CHARACTERS else ""


def _axis_dict(axis: AxisCheck) -> dict[str, Any]:
    strength = base64.b64encode(zlib.compress(strength_codes(axis).tobytes(), 9)).decode("ascii")
    faults = [
        {
            "kind": fault.kind,
            "from_px": int(fault.from_px),
            "to_px": int(fault.to_px),
            "shift_de2000": float(fault.shift_de2000),
        }
        for fault in axis.faults
    ]
    return {
        "verdict": axis.verdict,
        "score": float(axis.score),
        "faults": faults,
        "question": axis.question,
        "strength": strength,
    }


def _axis(kept: dict[str, Any]) -> AxisCheck:
    codes = np.frombuffer(zlib.decompress(base64.b64decode(kept["strength"])), dtype="<u2")
    strength = codes / STRENGTH_STEPS
    strength.setflags(write=False)
    faults = tuple(Fault(**fault) for fault in kept["faults"])
    return AxisCheck(kept["verdict"], kept["score"], faults, strength, kept["question"])


def _known(known: Mapping[tuple[str, str], dict[str, Any]], request: Request) -> Any:
    if not known or not request.path.is_file():
        return None
    return known.get((digest(request.path), request.lattice))


def remembered(lock: Lock | None) -> Callable[[Request], tuple[Lattice, SeamCheck] | None]:
    """Return what tells a tile's lattice and verdict, where the lock knows them."""
    known = {
        (pattern.sha256, kept["asked"]): kept
        for pattern in (lock.patterns if lock else ())
        if pattern.check
        for kept in [unpacked(pattern.check)]
    }

    def told(request: Request) -> tuple[Lattice, SeamCheck] | None:
        kept = _known(known, request)
        if kept is None:
            return None
        check = SeamCheck(_axis(kept["x"]), _axis(kept["y"]), kept["lattice"])
        return lattice_named(kept["lattice"]), check

    return told
