"""On the page, a recipe's coordinates are fills like others.

No published source: what is offered is compared with the recipe.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from kitloom.page.edits import Form, Incoming
from kitloom.page.edits.table import apply
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state.recipe_text import with_fills_renamed

from .conftest import draw, take_artwork, tile_file

COORDINATE = """
[[coordinates]]
kind = "gingham"
colours = ["#f7efdf", "#f4ecdc"]
size = "6mm"

[[rows]]
sticker = "full box"
count = 2
fill = "gingham"
"""


def test_rows_and_stickers_can_be_filled_with_a_coordinate(
    bench: Bench, client: TestClient, tmp_path: Path
) -> None:
    """Else what is in the recipe is lost as soon as another fill is chosen by hand."""
    content = tile_file(tmp_path / "waves.png").read_bytes()
    take_artwork(bench, Incoming("waves.png", content))
    bench.edit("coordinate", lambda text: text + COORDINATE)
    draw(bench)
    assert '<option value="gingham"' in client.get("/step/kit").text
    recipe, job = bench.recipe(), bench.drawing.job
    assert recipe is not None
    assert job is not None
    last = len(job.kit.slots) - 1
    sheet = client.get(f"/step/sheet?sticker={last}").text
    assert "<option selected>gingham</option>" in sheet
    assert 'id="offset-fields"' not in sheet  # its middle lies in the sticker's already
    assert "Give it colours that are farther apart (step 3, under Coordinates)" in sheet
    row = str(len(recipe.rows) - 1)
    apply(
        bench,
        "fill",
        Form({"row": row, "of": str(len(recipe.rows)), "place": "0", "fill": "waves"}),
    )
    changed = bench.recipe()
    assert changed is not None
    assert changed.rows[-1].fill == ("waves", "gingham")


def test_a_tile_that_motifs_are_lifted_from_is_not_removed_under_them(
    bench: Bench, tmp_path: Path
) -> None:
    """Else there would be no sheet, and only undo would help."""
    for i, name in enumerate(("waves", "pods")):
        take_artwork(
            bench, Incoming(f"{name}.png", tile_file(tmp_path / f"{name}.png", i).read_bytes())
        )
    row = '\n[[rows]]\nsticker = "motif"\ncount = 1\nfrom = "pods"\n'
    bench.edit("motifs", lambda text: text + row)
    recipe = bench.recipe()
    assert recipe is not None
    with pytest.raises(PageError, match=f"row {len(recipe.rows)} takes its motifs from pods"):
        apply(bench, "remove-tile", Form({"tile": "pods"}))


def test_an_all_over_keeps_to_a_tile_that_is_renamed() -> None:
    text = '[[coordinates]]\nkind = "all-over"\nfrom = "waves"\n[[rows]]\nsticker = "dot"\n'
    assert 'from = "Sea"' in with_fills_renamed(text, {"waves": "Sea"})
