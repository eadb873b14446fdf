"""Measure no tile twice: the verdicts on a tile's joins, kept in the lock from run to run.

In: a finished check, or the text that stands for it in ``kit.lock.json``. Out: the other. A verdict
is taken over for a file with the same bytes, asked about in the same way, by the same kitloom;
whatever else changed, the tile need only be opened. The strength along the edge is kept to a
hundredth of a CIEDE2000, in the run that measures it too, so that both give the same report.
"""

from __future__ import annotations

import base64
import zlib
from typing import Any

import numpy as np

from kit.compose import Lock
from kitloom.cache.encoding import pack, unpack
from kitloom.measure import STRENGTH_STEPS, strength_codes
from patterns.plane import Lattice, parse_lattice
from patterns.seams import AxisCheck, Fault, SeamCheck

Verdict = tuple[Lattice, SeamCheck]

MOST_CHARACTERS = 40_000  # a tile; longer edges are measured again


def check_text(lattice: str, check: SeamCheck) -> str:
    """Return a check as text for the lock, "" where it would be long.

    Args:
        lattice: the one that the recipe asks for, or "auto".
        check: the verdict.
    """
    axes = {name: _axis_dict(getattr(check, name)) for name in ("x", "y")}
    text = pack({"asked": lattice, "lattice": check.lattice, **axes})
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


def _axis(row: dict[str, Any]) -> AxisCheck:
    codes = np.frombuffer(zlib.decompress(base64.b64decode(row["strength"])), dtype="<u2")
    strength = codes / STRENGTH_STEPS
    strength.setflags(write=False)
    faults = tuple(Fault(**fault) for fault in row["faults"])
    return AxisCheck(row["verdict"], row["score"], faults, strength, row["question"])


def verdicts_in(lock: Lock) -> dict[tuple[str, str], Verdict]:
    """Return the lattice and the verdict of each tile that a lock knows.

    Args:
        lock: of this very code; another's verdicts may be other ones.

    Returns:
        by the file's SHA-256 and the lattice that was asked for, or "auto".
    """
    rows = [
        unpack(pattern.check) | {"file": pattern.sha256}
        for pattern in lock.patterns
        if pattern.check
    ]
    return {(row["file"], row["asked"]): _verdict(row) for row in rows}


def _verdict(row: dict[str, Any]) -> Verdict:
    check = SeamCheck(_axis(row["x"]), _axis(row["y"]), row["lattice"])
    return parse_lattice(row["lattice"]), check
