"""A small sheet of every kind of sticker, with planes that are formulas instead of artwork."""

from __future__ import annotations

import numpy as np
import pytest

from kit.registration import bleed_boxes
from kit.render import Page, render_page
from kit.shapes import Contour, Rect, Vertex, circle, rounded_rectangle
from kit.sheet import ColourFill, Mark, Panel, PatternFill, Placement, Sheet


class Waves:
    """A plane whose colour is a smooth formula of the position: exact at every point."""

    repeat_mm = 12.7

    def sample(self, x_mm, y_mm, width_mm, height_mm, dpi, *, shape=None):
        rows, cols = shape or (round(height_mm * dpi / 25.4), round(width_mm * dpi / 25.4))
        x = x_mm + (np.arange(cols) + 0.5) * width_mm / cols
        y = y_mm + (np.arange(rows) + 0.5) * height_mm / rows
        return self.colours(x[None, :], y[:, None])

    def colours(self, x, y):
        """(rows, cols, 3) uint8 at points of the plane, millimetres."""
        turn = 2.0 * np.pi / self.repeat_mm
        red = 150 + 90 * np.sin(turn * x) + 0 * y
        green = 130 + 90 * np.sin(turn * y) + 0 * x
        blue = 120 + 60 * np.cos(turn * (x + y))
        return np.rint(np.stack([red, green, blue], axis=-1)).astype(np.uint8)


def arch(box: Rect) -> Contour:
    """A box with a half-round top: an outline that is neither a rectangle nor a circle."""
    half = box.width_mm / 2.0
    left, right, spring = box.x_mm, box.right_mm, box.y_mm + half
    return Contour(
        (
            Vertex(left, spring, 1.0),
            Vertex(right, spring),
            Vertex(right, box.bottom_mm),
            Vertex(left, box.bottom_mm),
        )
    )


def placements(paper: Rect) -> tuple[Placement, ...]:
    """Eight stickers at places that are not a whole number of anything."""
    boxes = [
        *(Rect(11.37 + 24.11 * i, 12.43, 20.15, 26.29) for i in range(4)),
        *(Rect(11.37 + 12.53 * i, 42.71, 6.35, 26.29) for i in range(2)),
        Rect(40.21, 43.33, 18.0, 18.0),
        Rect(64.07, 43.33, 20.0, 30.0),
    ]
    bleeds = bleed_boxes(boxes, 1.0, paper)
    waves = PatternFill("waves", (3.3, 1.7), (12.7, 12.7))
    made = []
    for i, (box, bleed) in enumerate(zip(boxes, bleeds, strict=True)):
        outline, panels, marks = rounded_rectangle(box, 1.5), (), ()
        fill = ColourFill("#5c7854") if i == 1 else waves
        if i in (2, 3):
            panels = (Panel(rounded_rectangle(box.grow(-3.0), 1.0)),)
            fill = PatternFill("waves", (3.3, 1.7), (12.7, 12.7), turn_deg=90 * (i - 1))
        if i in (4, 5):
            x = box.centre_mm[0]
            marks = tuple(
                Mark(circle(x, box.y_mm + 6.0 + 7.0 * k, 1.9), 0.25, "#404040") for k in range(3)
            )
        if i == 6:
            outline = circle(*box.centre_mm, 9.0)
        if i == 7:
            outline = arch(box)
        made.append(Placement("box", box, outline, fill, bleed, panels, marks))
    return tuple(made)


def sheet_of(width_mm: float, height_mm: float, dpi: float) -> Sheet:
    paper = Rect(0.0, 0.0, width_mm, height_mm)
    ruler = Rect(12.0, height_mm - 14.0, 50.0, 4.0)
    return Sheet("Beans & <peas>", width_mm, height_mm, dpi, placements(paper), ruler, "100 %")


@pytest.fixture(scope="session")
def waves() -> Waves:
    return Waves()


@pytest.fixture(scope="session")
def letter(waves: Waves) -> Page:
    """Letter at 150 dpi: a whole number of pixels, 1275 x 1650."""
    return render_page(sheet_of(215.9, 279.4, 150), {"waves": waves})


@pytest.fixture(scope="session")
def a5(waves: Waves) -> Page:
    """A5 at 150 dpi: 874.02 x 1240.16 pixels, so the raster reaches over the edge."""
    return render_page(sheet_of(148.0, 210.0, 150), {"waves": waves})
