"""On the page, colours and drawings beside tiles and palette are shown as they print, with a mend.

No published source: what is shown is compared with the finished kit's own measurements.
"""

from __future__ import annotations

from pathlib import Path

from PIL import Image, ImageDraw
from starlette.testclient import TestClient

from kit.recipe import Recipe, RowPart, parse_recipe
from kitloom.findings import Finding
from kitloom.page.edits import Form, Incoming
from kitloom.page.edits.table import apply
from kitloom.page.state import Bench
from kitloom.page.views.page_words import said_here
from kitloom.page.views.remedy_view import remedy_for

from .conftest import draw, take_artwork, tile_file

ROWS = """
[[rows]]
sticker = "half box"
count = 1
fill = "#00ff00"

[[rows]]
sticker = "full box"
count = 1
fill = "waves"
panel = "#8a2be2"

[[rows]]
sticker = "full box"
count = 1
fill = ["#ff00c8"]
panel = "white"

[[rows]]
sticker = "icon"
picture = "bee.png"
count = 1
fill = "#ffffff"
"""


def shifts(bench: Bench) -> dict[str, Finding]:
    draw(bench)
    assert bench.drawing.job is not None
    codes = {"colour-shift", "fill-shift"}
    found = [one for one in bench.drawing.job.findings if one.code in codes]
    return {one.subject: one for one in found if "places" in one.measures}


def unheld(recipe: Recipe) -> list[RowPart]:
    """What a recipe asks for, without what its stickers were dealt."""
    return [row.model_copy(update={"held": ()}) for row in recipe.rows]


def test_neon_rows_are_shown_and_mended_on_the_page(
    bench: Bench, client: TestClient, tmp_path: Path
) -> None:
    """The proof step said that everything prints, beside a header that comes out olive."""
    content = tile_file(tmp_path / "waves.png").read_bytes()
    take_artwork(bench, Incoming("waves.png", content))
    bee = Image.new("RGBA", (80, 80), (0, 0, 0, 0))
    ImageDraw.Draw(bee).ellipse((5, 5, 75, 75), fill="#00ff3c")
    bee.save(bench.workspace.folder / "bee.png")
    bench.edit("rows", lambda text: text + ROWS)
    found = shifts(bench)
    assert {"#00ff00", "#8a2be2", "#ff00c8", "bee.png"} <= set(found)
    assert "1 drawing, 3 other colours print duller" in client.get("/step/sheet").text
    page = client.get("/step/print").text
    for one in found.values():
        assert one.subject in page
    job = bench.drawing.job
    assert job is not None
    assert "rows." not in said_here(job, found["#00ff00"]).remedy  # the page has no keys
    assert remedy_for(job, found["#ff00c8"]) is None  # a list, one for each sticker
    assert remedy_for(job, found["bee.png"]) is None
    for hex_, name in (("#00ff00", "fill"), ("#8a2be2", "panel")):
        button = remedy_for(job, found[hex_])
        assert button is not None
        nearest = str(found[hex_].measures["nearest_hex"])
        row = found[hex_].measures["places"][0]["row"]
        assert button.words == f"Use {nearest} in row {row}"
        before = parse_recipe(bench.workspace.text(), Path("kit.toml"))
        apply(bench, button.edit, Form(dict(button.fields or {})))
        after = parse_recipe(bench.workspace.text(), Path("kit.toml"))
        assert getattr(after.rows[row - 1], name) == nearest
        rows = zip(unheld(before), unheld(after), strict=True)
        changed = [b != a for b, a in rows]
        assert changed.index(True) == row - 1
        assert sum(changed) == 1
    left = shifts(bench)
    assert {"#00ff00", "#8a2be2"}.isdisjoint(left)
    assert {"#ff00c8", "bee.png"} <= set(left)
