"""The path data of SVG (SVG 1.1, chapter 8) as closed or open runs of cubic Bézier curves.

In: the text of a ``d`` attribute, in whatever unit its file uses, y down. Out: one ``Run`` for each
sub-path. Every command is understood, absolute and relative. Quadratic curves become cubics by
raising their degree; elliptical arcs become cubics of at most 45 degrees (end point to centre as
in SVG 1.1, F.6.5), which leave the ellipse by less than 5 millionths of its radius.

Not done here: files (``kit.drawings.outline_file``), and units: an outline is fitted to a stated
size.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from kit.shapes import Bezier
from kit.shapes.arcs import Point

MOST_SEGMENTS = 20_000
FARTHEST = 1e7

ARITY = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_COMMAND = re.compile(r"[\s,]*([MLHVCSQTAZmlhvcsqtaz])")
_NUMBER = re.compile(r"[\s,]*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)")
_FLAG = re.compile(r"[\s,]*([01])")
_REST = re.compile(r"[\s,]*")


class PathError(ValueError):
    """Path data that is not a path; its text says what is wrong."""


@dataclass
class Run:
    """One sub-path: where it starts, its pieces, and whether its data closes it."""

    start: Point
    pieces: list[Bezier] = field(default_factory=list)
    closed: bool = False

    @property
    def end(self) -> Point:
        """Where it has come to."""
        return self.pieces[-1][2] if self.pieces else self.start


def read_path(data: str) -> list[Run]:
    """Return the sub-paths of path data; those without any piece are left out.

    Raises:
        PathError: not path data, or more or farther than any drawing needs.
    """
    reader = _Reader()
    for command, numbers in _commands(data):
        reader.step(command, numbers)
    return [run for run in reader.runs if run.pieces]


def _commands(data: str) -> Iterator[tuple[str, list[float]]]:
    """Yield each command with its numbers; repeated numbers repeat the command."""
    place, command, count = 0, "", 0
    while _REST.match(data, place).end() < len(data):  # type: ignore[union-attr]  # always matches
        found = _COMMAND.match(data, place)
        if found:
            command, place = found[1], found.end()
        elif not command or command in "Zz":
            raise PathError(f'has a path without a command at "{data[place : place + 12].strip()}"')
        elif command in "Mm":
            command = "L" if command == "M" else "l"  # further pairs of a move are lines
        numbers, place = _numbers(data, place, command)
        count += 1
        if count > MOST_SEGMENTS:
            raise PathError(f"has a path of over {MOST_SEGMENTS} segments")
        yield command, numbers


def _numbers(data: str, place: int, command: str) -> tuple[list[float], int]:
    numbers: list[float] = []
    for k in range(ARITY[command.upper()]):
        flag = command in "Aa" and k in {3, 4}  # flags need no space between them
        found = (_FLAG if flag else _NUMBER).match(data, place)
        if found is None:
            raise PathError(
                f'has a path that lacks a number after "{command}" at "{data[place : place + 12]}"'
            )
        value = float(found[1])
        if not abs(value) <= FARTHEST:
            raise PathError(f'has a number beyond all drawings, "{found[1][:20]}"')
        numbers.append(value)
        place = found.end()
    return numbers, place


class _Reader:
    """Follows the commands and collects their curves."""

    def __init__(self) -> None:
        self.runs: list[Run] = []
        self.at: Point = (0.0, 0.0)
        self.mirrored: tuple[str, Point] = ("", (0.0, 0.0))  # of the last curve: its kind, control

    def step(self, command: str, numbers: list[float]) -> None:
        """Take one command."""
        kind = command.upper()
        if not self.runs and kind != "M":
            raise PathError(f'has a path that begins with "{command}" instead of a move')
        if kind == "Z":
            self._close()
            return
        if kind != "M" and self.runs[-1].closed:
            self.runs.append(Run(self.at))  # drawing goes on from where the last one closed
        origin = self.at if command.islower() else (0.0, 0.0)
        last = self.mirrored
        self.mirrored = ("", self.at)
        getattr(self, f"_{kind.lower()}")(numbers, origin, last)

    def _close(self) -> None:
        run = self.runs[-1]
        if run.end != run.start:
            self._piece(run.end, run.start, run.start)
        run.closed, self.at, self.mirrored = True, run.start, ("", run.start)

    def _piece(self, one: Point, two: Point, end: Point) -> None:
        self.runs[-1].pieces.append((one, two, end))
        self.at = end

    def _line(self, end: Point) -> None:
        if end != self.at:
            self._piece(self.at, end, end)

    def _m(self, n: list[float], o: Point, _: object) -> None:
        self.at = (o[0] + n[0], o[1] + n[1])
        self.runs.append(Run(self.at))

    def _l(self, n: list[float], o: Point, _: object) -> None:
        self._line((o[0] + n[0], o[1] + n[1]))

    def _h(self, n: list[float], o: Point, _: object) -> None:
        self._line((o[0] + n[0], self.at[1]))

    def _v(self, n: list[float], o: Point, _: object) -> None:
        self._line((self.at[0], o[1] + n[0]))

    def _c(self, n: list[float], o: Point, _: object) -> None:
        one, two, end = ((o[0] + n[k], o[1] + n[k + 1]) for k in (0, 2, 4))
        self._piece(one, two, end)
        self.mirrored = ("C", two)

    def _s(self, n: list[float], o: Point, last: tuple[str, Point]) -> None:
        one = self._reflected(last, "C")
        two, end = ((o[0] + n[k], o[1] + n[k + 1]) for k in (0, 2))
        self._piece(one, two, end)
        self.mirrored = ("C", two)

    def _q(self, n: list[float], o: Point, _: object) -> None:
        control, end = ((o[0] + n[k], o[1] + n[k + 1]) for k in (0, 2))
        self._quadratic(control, end)

    def _t(self, n: list[float], o: Point, last: tuple[str, Point]) -> None:
        self._quadratic(self._reflected(last, "Q"), (o[0] + n[0], o[1] + n[1]))

    def _quadratic(self, control: Point, end: Point) -> None:
        start = self.at
        one, two = (
            (p[0] + (control[0] - p[0]) * 2.0 / 3.0, p[1] + (control[1] - p[1]) * 2.0 / 3.0)
            for p in (start, end)
        )
        self._piece(one, two, end)
        self.mirrored = ("Q", control)

    def _reflected(self, last: tuple[str, Point], kind: str) -> Point:
        """Return the last control point mirrored at where we are, or where we are."""
        if last[0] != kind:
            return self.at
        return 2.0 * self.at[0] - last[1][0], 2.0 * self.at[1] - last[1][1]

    def _a(self, n: list[float], o: Point, _: object) -> None:
        end = (o[0] + n[5], o[1] + n[6])
        if n[0] == 0.0 or n[1] == 0.0 or end == self.at:  # F.6.2: a line, or nothing
            self._line(end)
            return
        radii = (abs(n[0]), abs(n[1]))
        for piece in elliptical_arc(
            self.at, end, radii, turn_deg=n[2], apart=n[3] != n[4], sweeps=n[4] != 0.0
        ):
            self._piece(*piece)


def elliptical_arc(
    start: Point, end: Point, radii: Point, *, turn_deg: float, apart: bool, sweeps: bool
) -> list[Bezier]:
    """Return an elliptical arc as cubics (SVG 1.1, F.6.5 and F.6.6).

    Args:
        start: the first point.
        end: the last point.
        radii: along the ellipse's own x and y.
        turn_deg: how far its x axis is turned from +x towards +y.
        apart: whether the flags for a large arc and for sweeping differ.
        sweeps: whether angles grow along the arc.
    """
    rx, ry = radii
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    dx, dy = (start[0] - end[0]) / 2.0, (start[1] - end[1]) / 2.0
    # on the circle of radius 1 that the ellipse is made from
    u, v = (cos * dx + sin * dy) / rx, (cos * dy - sin * dx) / ry
    reach = math.hypot(u, v)
    grown = max(1.0, reach)  # radii too small for the chord are enlarged
    rx, ry, u, v = rx * grown, ry * grown, u / grown, v / grown
    lift = math.sqrt(max(0.0, 1.0 / min(1.0, reach / grown) ** 2 - 1.0))
    lift = lift if apart else -lift
    cu, cv = lift * v, -lift * u
    first = math.atan2(v - cv, u - cu)
    sweep = math.remainder(math.atan2(-v - cv, -u - cu) - first, 2.0 * math.pi)
    if sweeps and sweep < 0.0:
        sweep += 2.0 * math.pi
    elif not sweeps and sweep > 0.0:
        sweep -= 2.0 * math.pi
    middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)

    def at(x: float, y: float) -> Point:
        x, y = (x + cu) * rx, (y + cv) * ry
        return middle[0] + cos * x - sin * y, middle[1] + sin * x + cos * y

    count = max(1, math.ceil(abs(sweep) / (math.pi / 4.0) - 1e-9))
    arm = 4.0 / 3.0 * math.tan(sweep / count / 4.0)
    pieces: list[Bezier] = []
    for k in range(count):
        a, b = first + sweep * k / count, first + sweep * (k + 1) / count
        one = at(math.cos(a) - arm * math.sin(a), math.sin(a) + arm * math.cos(a))
        two = at(math.cos(b) + arm * math.sin(b), math.sin(b) - arm * math.cos(b))
        pieces.append((one, two, at(math.cos(b), math.sin(b)) if k < count - 1 else end))
    return pieces
