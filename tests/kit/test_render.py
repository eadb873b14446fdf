"""The print raster: right size, artwork on the sheet's own pixel centres, panels, marks, ruler."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from kit.render import Page, render_sheet
from kit.shapes import Rect, window_centred
from kit.sheet import PatternFill


def test_letter_at_300_dpi_is_2550_by_3300(letter):
    assert replace(letter.sheet, dpi=300).raster_px == (3300, 2550)
    assert replace(letter.sheet, dpi=600).raster_px == (6600, 5100)
    assert letter.raster.shape == (1650, 1275, 3)


def test_other_papers_are_covered(a5):
    assert a5.raster.shape == (1241, 875, 3)  # 1240.16 x 874.02


def centres(page, rows, cols):
    per_mm = page.sheet.dpi / 25.4
    return (cols + 0.5) / per_mm, (rows + 0.5) / per_mm


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_artwork_is_sampled_at_the_sheets_pixel_centres(letter, waves, turn):
    """Each pixel is compared with the plane's formula at its centre, turned back by hand."""
    box = Rect(20.123, 31.457, 22.0, 30.0)
    fill = PatternFill("waves", (3.3, 1.7), (12.7, 12.7), turn_deg=turn)
    sticker = replace(letter.sheet.placements[0], box=box, bleed=box.grow(1.0), fill=fill)
    sheet = replace(letter.sheet, placements=(sticker,), ruler=None)
    raster = render_sheet(sheet, {"waves": waves})
    rows, cols = np.meshgrid(np.arange(190, 360), np.arange(130, 240), indexing="ij")
    x, y = centres(letter, rows, cols)
    dx, dy = x - box.x_mm, y - box.y_mm
    back = {
        0: (dx, dy),
        90: (dy, box.width_mm - dx),
        180: (box.width_mm - dx, box.height_mm - dy),
        270: (box.height_mm - dy, dx),
    }[turn]
    wanted = waves.colours(3.3 + back[0], 1.7 + back[1])
    seen = raster[190:360, 130:240].astype(int)
    assert np.abs(seen - wanted).max() <= 1


def test_one_plane_runs_on_through_two_stickers(letter, waves):
    """Stickers with the same plane and matching offsets join without a step."""
    left = Rect(20.0, 20.0, 15.013, 20.0)
    right = Rect(left.right_mm, 20.0, 15.0, 20.0)
    base = letter.sheet.placements[0]
    pair = tuple(
        replace(base, box=box, bleed=box, fill=PatternFill("waves", (dx, 0.0), (12.7, 12.7)))
        for box, dx in ((left, 0.0), (right, left.width_mm))
    )
    both = render_sheet(replace(letter.sheet, placements=pair, ruler=None), {"waves": waves})
    one = replace(base, box=left, bleed=Rect(20.0, 20.0, 30.013, 20.0), fill=pair[0].fill)
    whole = render_sheet(replace(letter.sheet, placements=(one,), ruler=None), {"waves": waves})
    assert np.abs(both.astype(int) - whole).max() <= 1


def test_ink_reaches_the_bleed_and_no_further(letter):
    inked = (letter.raster != 255).any(axis=2)
    allowed = np.zeros(inked.shape, bool)
    for placement in letter.sheet.placements:
        window = window_centred(placement.bleed, letter.sheet.dpi, inked.shape)
        allowed[window.slices] = True
        if not placement.panels and not placement.marks:
            assert inked[window.slices].all()
    allowed[1550:] = True  # the ruler
    assert not (inked & ~allowed).any()


def test_panels_are_white_and_marks_are_drawn(letter):
    per_mm = letter.sheet.dpi / 25.4
    for placement in letter.sheet.placements:
        x, y = (round(v * per_mm) for v in placement.box.centre_mm)
        if placement.panels:
            assert (letter.raster[y, x] == 255).all()
        for mark in placement.marks:
            first = mark.contour.vertices[0]
            row, col = int(first.y_mm * per_mm), int(first.x_mm * per_mm)
            assert letter.raster[row, col].max() < 160
            assert (letter.raster[row, col + round(1.9 * per_mm)] == 255).all()


def test_panel_edges_are_smooth(letter):
    """A panel's edge at a fractional pixel is a mix of white and the fill."""
    placement = letter.sheet.placements[2]
    per_mm = letter.sheet.dpi / 25.4
    edge = placement.box.grow(-3.0).x_mm * per_mm
    row = round(placement.box.centre_mm[1] * per_mm)
    outside, mixed, inside = (letter.raster[row, int(edge) + k].astype(float) for k in (-1, 0, 1))
    share = 1.0 - (edge - int(edge))
    assert (inside == 255).all()
    assert np.abs(mixed - (outside * (1 - share) + 255 * share)).max() < 12  # the waves move on


def test_ruler_is_as_long_as_it_says(letter):
    dark = (letter.raster[1500:] < 100).all(axis=2)
    line = dark.sum(axis=1).argmax()
    cols = np.flatnonzero(dark[line])
    run = cols[: np.argmax(np.diff(cols) > 1) + 1] if (np.diff(cols) > 1).any() else cols
    length_mm = (run[-1] - run[0] + 1) * 25.4 / 150
    assert length_mm == pytest.approx(50.0, abs=0.4)  # the two end ticks' width is outside it


def test_rendering_is_repeatable_at_any_dpi(letter, waves):
    again = render_sheet(letter.sheet, {"waves": waves})
    assert np.array_equal(again, letter.raster)


MEMORY = """
from pathlib import Path
import numpy as np
from kit.shapes.geometry import Rect, rounded_rectangle
from kit.render.raster_page import render_page
from kit.sheet.values import Panel, PatternFill, Placement, Sheet
from kit.writers.table import WRITERS
class Grain:
    def sample(self, x_mm, y_mm, width_mm, height_mm, dpi, *, shape=None):
        return np.random.default_rng(1).integers(0, 255, (*shape, 3), dtype=np.uint8)
boxes = [Rect(12 + 43 * i, 12 + 52 * j, 40, 49) for j in range(5) for i in range(4)]
placements = tuple(
    Placement("box", box, rounded_rectangle(box, 1.5), PatternFill("g", (0, 0), (20, 20)),
              box.grow(1), (Panel(rounded_rectangle(box.grow(-4), 1)),))
    for box in boxes
)
page = render_page(Sheet("Full", 215.9, 279.4, 600, placements), {"g": Grain()})
sizes = [len(writer.write(page)) for writer in WRITERS.values()]
# not ru_maxrss: that begins with what the forking test process held
line = next(one for one in Path("/proc/self/status").read_text().splitlines() if "VmHWM" in one)
print(int(line.split()[1]) // 1024)
"""


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="reads Linux's own figure")
def test_600_dpi_stays_under_600_mb():
    """A full Letter sheet of grain, the worst to compress, and every file of it in one process."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run(
        [sys.executable, "-c", MEMORY], capture_output=True, text=True, env=environment, check=True
    )
    assert int(done.stdout) < 600


def test_page_refuses_a_raster_of_another_size(letter):
    with pytest.raises(ValueError, match="sheet needs"):
        Page(letter.sheet, np.zeros((10, 10, 3), np.uint8))


def test_page_raster_is_read_only(letter):
    with pytest.raises(ValueError, match="read-only"):
        letter.raster[0, 0] = 0
