"""The pictures of the worst cut move it as far as the tolerance says: read by svgelements."""

from __future__ import annotations

import pytest
import svgelements
from PIL import Image

from kit.recipe import parse_recipe
from kitloom.kits import make_kit, worst_cuts

RECIPE = """\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "Letter"
dpi = 100
bleed = "1.5mm"
registration = {{ shift = "0.4mm", turn = "0.2deg", scale = "0.1%" }}
{reads}
[palette]
colours = 2
[[patterns]]
file = "blue.png"
repeat = "20mm"
[[rows]]
sticker = "full box"
count = 8
fill = "#3b5b7a"
panel = "white"
[[rows]]
sticker = "checklist"
count = 6
fill = "#3b5b7a"
"""


def job_of(folder, reads=""):
    Image.new("RGB", (200, 200), "#3b5b7a").save(folder / "blue.png")
    recipe = parse_recipe(RECIPE.format(reads=reads), folder / "kit.toml")
    return make_kit(recipe, [], lambda: None)


def farthest(move, sheet):
    """The most that the transform moves any corner of any sticker along x or y."""
    matrix = svgelements.Matrix(move)
    moved = 0.0
    for placed in sheet.placements:
        for x, y in placed.box.corners():
            there = matrix.point_in_matrix_space((x, y))
            moved = max(moved, abs(there.x - x), abs(there.y - y))
    return moved


@pytest.mark.slow
def test_the_sheet_is_shown_as_far_off_as_is_declared(tmp_path):
    """Else the picture promises a better cut than the machine makes."""
    job = job_of(tmp_path)
    (sheet,) = job.kit.sheets
    (declared,) = worst_cuts(job, sheet)
    assert declared.miss_mm == pytest.approx(job.kit.tolerances[0].shift_mm, abs=1e-6)
    assert farthest(declared.move, sheet) == pytest.approx(declared.miss_mm, abs=2e-3)
    assert [one.kind for one in declared.close] == ["full box", "checklist"] or [
        one.kind for one in declared.close
    ] == ["checklist", "full box"]


@pytest.mark.slow
@pytest.mark.parametrize("read", ["181mm x 241mm", "179.2mm x 238.9mm"])
def test_what_the_ruler_reads_is_shown_beside_it(tmp_path, read):
    job = job_of(tmp_path, f'ruler_reads = "{read}"')
    (sheet,) = job.kit.sheets
    declared, with_read = worst_cuts(job, sheet)
    assert with_read.miss_mm > declared.miss_mm
    assert with_read.miss_mm == pytest.approx(job.kit.tolerances[0].shift_mm, abs=1e-6)
    # the figure takes the larger of both errors for both ways: it may say a little more
    shown = farthest(with_read.move, sheet)
    assert declared.miss_mm < shown <= with_read.miss_mm + 5e-3
    made_up_for = job_of(tmp_path, f'ruler_reads = "{read}"\ncorrect_scale = true')
    assert len(worst_cuts(made_up_for, made_up_for.kit.sheets[0])) == 1
