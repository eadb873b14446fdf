"""Tiles in a whole other palette: shown before and after, kept beside, undone; palettes from files.

The palette files are written by kitloom's own writers, whose formats have tests of their own; what
comes out is compared with what ``kitloom palette --from --colourway`` makes.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient

from kitloom.colours import palette_of_colours, read_palette_file, recolour_tile
from kitloom.page.edits import earlier_palettes as module
from kitloom.page.state import Bench
from kitloom.present import text_of
from palette.exchange import FORMATS, from_hex
from palette.exchange.colour import as_palette

from .conftest import draw, tile_file
from .waiting import until

pytestmark = pytest.mark.slow

AUTUMN = ("#f4e7cf", "#8c2f1b", "#d98c2b", "#4a4a1f")
NAMES = ("waves", "ripples")


@pytest.fixture
def kit(client: TestClient, bench: Bench, tmp_path: Path) -> Bench:
    for i, name in enumerate(NAMES):
        path = tile_file(tmp_path / "art" / f"{name}.png", i)
        answer = client.post("/upload", files={"files": (path.name, path.read_bytes())})
        assert answer.status_code == 303
    draw(bench)
    return bench


def written(name: str) -> bytes:
    """An earlier palette as a file of this name."""
    palette = as_palette([from_hex(f"autumn {i}", one, "test") for i, one in enumerate(AUTUMN)])
    for one in FORMATS.values():
        if name.endswith(one.suffix):
            return one.write(palette)
    rows = [{"name": f"autumn {i}", "hex": one} for i, one in enumerate(AUTUMN)]
    return text_of({"kitloom": "1", "palette": rows}).encode()


def give(client: TestClient, name: str, content: bytes) -> str:
    """Give a palette file, and return where the page leads."""
    form = {"back": "/step/palette"}
    answer = client.post("/upload", data=form, files={"files": (name, content)})
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def shown(client: TestClient, place: str) -> str:
    until(lambda: 'id="stop-try"' not in client.get(place).text)
    return client.get(place).text


def test_all_tiles_are_dressed_as_the_command_does_and_undone(
    client: TestClient, kit: Bench
) -> None:
    place = give(client, "autumn.csv", written("autumn.csv"))
    assert place == "/step/palette?wear=autumn.csv#part-wear"
    text = shown(client, place)
    assert "before</figcaption>" in text
    assert "repeats as well as before" in text
    assert text.count("The licence of bought artwork decides") == 1
    asked = {"tile": "waves", "wear": "autumn.csv"}
    after = client.get("/picture/tried-redress", params=asked)
    before = client.get("/picture/two-by-two", params={"tile": "waves"})
    assert after.status_code == 200
    assert after.content != before.content
    files = {p.name: p.read_bytes() for p in kit.workspace.artwork.iterdir()}
    whole = kit.workspace.text()
    form = {**asked, "all": "yes", "back": "/step/palette"}
    assert client.post("/edit/use-redressed", data=form).status_code == 303
    recipe, job = kit.recipe(), kit.drawing.job
    assert recipe is not None
    assert job is not None
    bins = {used.name: used.study.bins for used in job.patterns}
    palette = palette_of_colours(
        read_palette_file(kit.workspace.folder / "palettes/autumn.csv"), bins
    )
    for part in recipe.patterns:
        assert part.file.name == f"{part.label}-redressed.png"
        by_command = recolour_tile(kit.workspace.artwork / f"{part.label}.png", palette, ()).pixels
        with Image.open(recipe.folder / part.file) as image:
            assert np.array_equal(np.asarray(image.convert("RGB")), by_command)
    assert {name: (kit.workspace.artwork / name).read_bytes() for name in files} == files
    assert "Undo: recoloured all 2 tiles in autumn.csv" in client.get("/step/palette").text
    assert client.post("/edit/undo", data={}).status_code == 303
    assert kit.workspace.text() == whole


def test_flat_colours_become_the_palettes_own(client: TestClient, kit: Bench) -> None:
    # by definition of a colourway: flat areas wear the new palette's colours; of its four, the two
    # greens become two tones of its one green
    give(client, "autumn.css", written("autumn.css"))
    asked = {"tile": "waves", "wear": "autumn.css", "back": "/step/palette"}
    assert client.post("/edit/use-redressed", data=asked).status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert recipe.patterns[1].file.name == "ripples.png"  # only the one was asked for
    with Image.open(recipe.folder / recipe.patterns[0].file) as image:
        found = np.asarray(image.convert("RGB")).reshape(-1, 3).astype(int)
    wanted = np.array([[int(one[i : i + 2], 16) for i in (1, 3, 5)] for one in AUTUMN])
    away = np.abs(found[:, None] - wanted[None]).max(axis=2).min(axis=1)
    assert np.mean(away <= 1) > 0.8
    greens = found[away > 1]
    assert (greens.max(axis=1) - greens[:, 2] > 30).all()  # as olive as the palette's own


@pytest.mark.parametrize(
    "name", ["p.json", "p.tokens.json", "p.css", "p.csv", "p.cxf", "..\\..\\p.CSV", "../../p.json"]
)
def test_every_kind_of_palette_file_is_taken_in_under_a_plain_name(
    client: TestClient, kit: Bench, name: str
) -> None:
    place = give(client, name, written(name.lower()))
    (kept,) = (kit.workspace.folder / "palettes").iterdir()
    assert kept.name == f"p{name.lower().rsplit('p', 1)[1]}"
    assert f"wear={kept.name}" in place
    assert "after</figcaption>" in shown(client, place)
    give(client, name, written(name.lower()))  # the same again is the same palette
    assert len(list((kit.workspace.folder / "palettes").iterdir())) == 1


BOMB = b"""<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;">
<!ENTITY c "&b;&b;&b;&b;&b;">]><CxF>&c;</CxF>"""  # after Python's "XML vulnerabilities" page


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("empty.csv", b""),
        ("words.css", b"body { color: }"),
        ("picture.json", b"\x89PNG\r\n\x1a\n"),
        ("deep.json", b"[" * 100_000),
        ("script.json", b'{"kitloom": 1, "palette": [{"hex": "<script>alert(1)</script>"}]}'),
        ("bomb.cxf", BOMB),
        ("many.csv", b"name,hex\n" + b"a,#000000\n" * 5_000),
        ("more.csv", b"name,hex\n" + b"".join(b"a,#0000%02x\n" % i for i in range(65))),
        ("large.json", b" " * (module.MAX_PALETTE_BYTES + 1)),
    ],
)
def test_what_is_no_palette_is_refused_and_leaves_nothing(
    client: TestClient, kit: Bench, name: str, content: bytes
) -> None:
    text = kit.workspace.text()
    form = {"back": "/step/palette"}
    answer = client.post("/upload", data=form, files={"files": (name, content)})
    assert answer.status_code == 422
    assert 'class="said stop"' in answer.text
    assert "<script>alert(1)" not in answer.text
    assert str(kit.workspace.folder / ".kitloom") not in answer.text
    assert not (kit.workspace.folder / "palettes").exists()
    assert not any(kit.workspace.incoming.glob("*"))
    assert kit.workspace.text() == text


def test_too_many_palettes_are_refused(
    client: TestClient, kit: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    del kit
    monkeypatch.setattr(module, "MAX_PALETTES", 1)
    give(client, "one.csv", written("one.csv"))
    other = written("one.csv").replace(b"autumn", b"winter")
    answer = client.post("/upload", files={"files": ("two.csv", other)})
    assert answer.status_code == 422
    assert "palettes already" in answer.text


@pytest.mark.parametrize("name", ["../kit.toml", "/etc/passwd", "none.csv", "artwork", ""])
def test_only_palettes_that_were_taken_in_are_known(
    client: TestClient, kit: Bench, name: str
) -> None:
    text = kit.workspace.text()
    asked = {"tile": "waves", "wear": name}
    assert 'id="use-redressed"' not in client.get("/step/palette", params=asked).text
    assert client.get("/picture/tried-redress", params=asked).status_code == 404
    form = {**asked, "back": "/step/palette"}
    assert client.post("/edit/use-redressed", data=form).status_code == 422
    assert kit.workspace.text() == text


def test_the_kits_own_palette_is_worn_and_held_colours_stay(client: TestClient, kit: Bench) -> None:
    pin(client, kit)
    asked = {"tile": "waves", "wear": module.OWN, "back": "/step/palette", "all": "yes"}
    assert "after</figcaption>" in shown(client, f"/step/palette?wear={module.OWN}&tile=waves")
    assert client.post("/edit/use-redressed", data=asked).status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert recipe.patterns[0].file.name == "waves-redressed.png"
    assert recipe.palette.pinned


def test_a_colour_is_known_by_its_name_and_a_loaded_palette_becomes_the_kits(
    client: TestClient, kit: Bench
) -> None:
    recipe, job = kit.recipe(), kit.drawing.job
    assert recipe is not None
    assert job is not None
    one = job.verdict.palette.swatches[0]
    asked = {"part": "rows-0", "of": str(len(recipe.rows)), "fill": one.name.title()}
    answer = client.post("/edit/settings", data=asked)
    assert answer.status_code == 303, "a maker who types a colour by its name is sent back for it"
    assert f'fill = "{one.hex}"' in kit.workspace.text()
    place = give(client, "autumn.csv", written("autumn.csv"))
    assert 'id="use-as-palette"' in client.get(place).text
    named = module.palette_setting("autumn.csv")
    asked = {"part": "palette", "of": "", "was": "{}", "from": named}
    assert client.post("/edit/settings", data=asked).status_code == 303
    assert 'from = "palettes/autumn.csv"' in kit.workspace.text()


def test_held_colours_go_with_the_palette_they_were_of(client: TestClient, kit: Bench) -> None:
    pin(client, kit)
    give(client, "autumn.csv", written("autumn.csv"))
    asked = {"tile": "waves", "wear": "autumn.csv", "back": "/step/palette"}
    assert client.post("/edit/use-redressed", data=asked).status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert recipe.palette.pinned  # another tile still wears them
    draw(kit)
    assert client.post("/edit/use-redressed", data={**asked, "all": "yes"}).status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert not recipe.palette.pinned
    assert recipe.patterns[0].file.name == "waves-redressed-redressed.png"


def pin(client: TestClient, kit: Bench) -> None:
    assert kit.drawing.job is not None
    colour = kit.drawing.job.verdict.palette.swatches[0].hex
    form = {"colour": colour, "keep": "yes", "back": "/step/palette"}
    assert client.post("/edit/pin", data=form).status_code == 303
    draw(kit)


def test_the_picture_of_a_dressed_tile_is_as_large_as_before(
    client: TestClient, kit: Bench
) -> None:
    del kit
    give(client, "autumn.csv", written("autumn.csv"))
    asked = {"tile": "waves", "wear": "autumn.csv"}
    sizes = [
        Image.open(io.BytesIO(client.get(f"/picture/{kind}", params=asked).content)).size
        for kind in ("two-by-two", "tried-redress")
    ]
    assert sizes[0] == sizes[1]
