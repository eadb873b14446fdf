"""The bytes of a printer's ICC profile, from its tables.

In: what the printer prints, RGB to CIELAB, on an even grid, and what to send for a colour, CIELAB
to RGB, on nodes that crowd near grey. Out: a profile of ICC.1:2001-04 (version 2.4), device class
"prtr", RGB, with ``lut16`` tables (6.5.7), which every colour management program reads. Dates are
fixed, so that one printer gives one file.

CIELAB is encoded as version 2 does: L* 0 to 100 as 0 to 0xFF00, a* and b* -128 to 127 with 0 at
0x8000. Neither 100 nor 0 would fall on a node of an even grid; so the curves before a table lead to
nodes that are chosen (``LabNodes``), and white, greys and the printed black are exact. RGB is kept
from -``BEYOND`` to 1 + ``BEYOND``, which the curves behind the table cut off, so that a colour at
the edge of what is printed can be exact between nodes inside and outside.

Not done here: what is in the tables (``palette.press.chart_profile``).
"""

from __future__ import annotations

import struct
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats

REACH = 112.0  # of a* and b*: all of sRGB and all that inks print
BEYOND = 0.5
_CROWDED = 2.5  # how much closer nodes of a* and b* lie near grey than far from it
_DATE = struct.pack(">6H", 2000, 1, 1, 0, 0, 0)
_VERSION = 0x02400000
_KNOTS = 4096  # of a curve before a table: the most that there may be
_WHITE = 0xFF00 / 65535.0
_ILLUMINANT = np.array([0.9642, 1.0, 0.8249])  # D50 as every profile's header has it (7.2.16)
_COPYRIGHT = "No copyright: these are measurements."
_HEADER, _TAG = 128, 12


@dataclass(frozen=True, slots=True, eq=False)
class LabNodes:
    """Where the nodes of a table from CIELAB lie.

    Attributes:
        light: (n,) L*, rising from 0 to 100.
        opponent: (n,) a* and b*, rising from -``REACH`` to ``REACH``.
    """

    light: Floats
    opponent: Floats

    @property
    def side(self) -> int:
        """How many nodes there are along an axis."""
        return len(self.light)

    def colours(self) -> Floats:
        """Return all nodes, (side ** 3, 3) CIELAB, b* fastest."""
        axes = np.meshgrid(self.light, self.opponent, self.opponent, indexing="ij")
        return np.stack(axes, axis=-1).reshape(-1, 3)

    def places(self, lab: Floats) -> Floats:
        """Return where (m, 3) colours lie in the table, 0 to 1 along each axis."""
        even = np.linspace(0.0, 1.0, self.side)
        opponents = [np.interp(lab[:, i], self.opponent, even) for i in (1, 2)]
        return np.stack([np.interp(lab[:, 0], self.light, even), *opponents], axis=1)


def lab_nodes(side: int, black_l: float = 0.0) -> LabNodes:
    """Return nodes of an odd number an axis, so that greys are among them.

    Args:
        side: how many an axis.
        black_l: the L* of a printer's black, which is a node; few lie below it.
    """
    below = min(round(side * black_l / 200.0), side - 2)
    dark, light = np.linspace(0.0, black_l, below + 1), np.linspace(black_l, 100.0, side - below)
    rising = np.sinh(_CROWDED * np.linspace(-1.0, 1.0, side)) / np.sinh(_CROWDED)
    return LabNodes(np.concatenate([dark[:-1], light]), REACH * rising)


@dataclass(frozen=True, slots=True, eq=False)
class PrinterTables:
    """A printer as tables.

    Attributes:
        printed: (n, n, n, 3) CIELAB (D50), relative to the paper, of RGB 0 to 1, blue fastest.
        sent: by tag, "B2A0" to "B2A2", nodes and (m, m, m, 3) RGB for them; what lies beyond 0 to 1
            counts between nodes, and is cut off then.
        outside: nodes and (k, k, k), 0 where the colour can be printed, else up to 1.
        paper_xyz: the paper, absolute, Y 0 to 1; D50 where it is not known.
    """

    printed: Floats
    sent: Mapping[str, tuple[LabNodes, Floats]]
    outside: tuple[LabNodes, Floats]
    paper_xyz: Floats


def profile_bytes(tables: PrinterTables, name: str) -> bytes:
    """Return the profile; ``name`` is what programs call it, plain ASCII is kept of it."""
    forward = _lut(_codes(tables.printed), [_STRAIGHT] * 3, _STRAIGHT)
    back = {
        tag: _from_lab(nodes, (rgb + BEYOND) / (1.0 + 2.0 * BEYOND), _CUT_OFF)
        for tag, (nodes, rgb) in tables.sent.items()
    }
    tags = {
        "desc": _description(name),
        "cprt": b"text" + bytes(4) + _COPYRIGHT.encode("ascii") + b"\0",
        "wtpt": b"XYZ " + bytes(4) + _fixed(tables.paper_xyz),
        "A2B0": forward,
        "A2B1": forward,
        "A2B2": forward,
        **back,
        "gamt": _from_lab(tables.outside[0], tables.outside[1][..., None], _STRAIGHT),
    }
    return _assembled(tags)


_STRAIGHT = np.array([0.0, 65535.0])
_CUT_OFF = np.array([0.0, 0.0, 0.5, 1.0, 1.0]) * 65535.0  # where BEYOND is 0.5


def _codes(lab: Floats) -> Floats:
    """Return CIELAB as version 2 encodes it in 16 bits."""
    low, high = np.array([0.0, -128.0, -128.0]), np.array([100.0, 127.0, 127.0])
    scale = np.array([0xFF00 / 100.0, 256.0, 256.0])
    codes: Floats = (np.clip(lab, low, high) - np.array([0.0, -128.0, -128.0])) * scale
    return codes


def _from_lab(nodes: LabNodes, values: Floats, behind: Floats) -> bytes:
    """Return a table from CIELAB to values 0 to 1, with a curve behind it."""
    knots = np.linspace(0.0, 1.0, _KNOTS)
    opponent = knots * 0xFFFF / 256.0 - 128.0
    places = nodes.places(np.stack([knots / _WHITE * 100.0, opponent, opponent], axis=1))
    return _lut(np.clip(values, 0.0, 1.0) * 65535.0, list(places.T * 65535.0), behind)


def _lut(table: Floats, curves: list[Floats], behind: Floats) -> bytes:
    """Return a ``lut16Type``: 3 curves, a table (n, n, n, channels), a curve for each channel."""
    channels = table.shape[-1]
    identity = np.rint(np.eye(3) * 65536).astype(">i4").tobytes()
    head = struct.pack(">4s4x4B", b"mft2", 3, channels, len(table), 0) + identity
    sizes = struct.pack(">2H", len(curves[0]), len(behind))
    parts = [*curves, table.ravel(), *[behind] * channels]
    return head + sizes + b"".join(np.rint(one).astype(">u2").tobytes() for one in parts)


def _description(name: str) -> bytes:
    """Return a ``textDescriptionType`` (6.5.17) with its ASCII part alone."""
    text = name.encode("ascii", "replace").replace(b"\0", b"") + b"\0"
    return b"desc" + bytes(4) + struct.pack(">I", len(text)) + text + bytes(4 + 4 + 2 + 1 + 67)


def _fixed(values: Floats) -> bytes:
    """Return s15Fixed16 numbers."""
    return np.rint(values * 65536.0).astype(">i4").tobytes()


def _assembled(tags: Mapping[str, bytes]) -> bytes:
    """Return header, tag table and tags; equal ones are stored once."""
    at = _HEADER + 4 + _TAG * len(tags)
    entries, bodies, places = b"", b"", dict[bytes, int]()
    for tag, body in tags.items():
        if body not in places:
            places[body] = at + len(bodies)
            bodies += body + bytes(-len(body) % 4)
        entries += struct.pack(">4sII", tag.encode("ascii"), places[body], len(body))
    header = struct.pack(
        ">I4xI4s4s4s12s4s",
        at + len(bodies),
        _VERSION,
        b"prtr",
        b"RGB ",
        b"Lab ",
        _DATE,
        b"acsp",
    )
    # platform, flags, maker, model, attributes, intent: none, reflective, perceptual
    header += bytes(4 + 4 + 4 + 4 + 8 + 4) + _fixed(_ILLUMINANT)
    return header.ljust(_HEADER, b"\0") + struct.pack(">I", len(tags)) + entries + bodies
