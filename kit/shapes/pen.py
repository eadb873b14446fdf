"""What is drawn with a pen, letters and SVG paths alike, as runs of cubic Bézier curves.

In: the calls of any fontTools pen, ``arcTo`` of its SVG parser among them. Out: one ``Run`` for
each sub-path, in the units of the calls. Quadratic curves become cubics exactly, by raising their
degree. Elliptical arcs become cubics of at most 45 degrees, which leave the ellipse by less than 5
millionths of its larger radius; fontTools' own, of 90 degrees, leave it by 270 millionths: 4 µm on
a circle of 30 mm.

Imported where it is used, as fontTools takes a while to load.
"""

from __future__ import annotations

import math

from fontTools.misc.transform import Identity
from fontTools.pens.basePen import BasePen, NullPen

from kit.shapes.arcs import Arc, Bezier, arc_beziers
from kit.shapes.curves import Run
from kit.shapes.geometry import Point


class CubicPen(BasePen):  # type: ignore[misc]  # the library's base class is untyped
    """Collects runs."""

    def __init__(self) -> None:
        super().__init__()
        self.runs: list[Run] = []

    def arcTo(  # noqa: N802, PLR0917  fontTools' own
        self, rx: float, ry: float, turn_deg: float, large: bool, sweep: bool, end: Point
    ) -> None:
        """Draw an arc of an ellipse (SVG 1.1, F.6); the chord where it has no ellipse."""
        from fontTools.svgLib.path.arc import EllipticalArc  # no letter has any

        start = self.runs[-1].end
        arc = EllipticalArc(complex(*start), rx, ry, turn_deg, large, sweep, complex(*end))
        pieces: list[Bezier] = []
        try:
            arc.draw(NullPen())  # it finds the ellipse's centre and angles as it draws
        except (ArithmeticError, ValueError):  # radii beyond what numbers can hold
            arc.center_point = None
        if arc.center_point is not None:
            centre = arc.center_point
            place = Identity.rotate(arc.angle).scale(arc.rx, arc.ry).transformPoint
            on_unit_circle = Arc(centre.real, centre.imag, 1.0, arc.theta1, arc.theta_arc)
            pieces = [(place(a), place(b), place(c)) for a, b, c in arc_beziers(on_unit_circle)]
        if not pieces or not all(map(math.isfinite, (v for p in pieces for q in p for v in q))):
            self.lineTo(end)
            return
        pieces[-1] = (*pieces[-1][:2], end)
        for piece in pieces:
            self.curveTo(*piece)

    def _moveTo(self, pt: Point) -> None:  # noqa: N802
        self.runs.append(Run(pt))

    def _lineTo(self, pt: Point) -> None:  # noqa: N802
        here = self.runs[-1].end
        if here != pt:
            self.runs[-1].pieces.append((here, pt, pt))

    def _curveToOne(self, pt1: Point, pt2: Point, pt3: Point) -> None:  # noqa: N802
        self.runs[-1].pieces.append((pt1, pt2, pt3))

    def _closePath(self) -> None:  # noqa: N802
        self._lineTo(self.runs[-1].start)
        self.runs[-1].closed = True
