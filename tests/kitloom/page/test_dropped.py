"""What comes in a drop besides single tiles: archives, copies, and what is not artwork."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from html import unescape
from pathlib import Path

import pytest
from PIL import Image
from starlette.testclient import TestClient

from kitloom.page.edits import begin_with_folder, packed
from kitloom.page.state import Bench

from .conftest import tile_file

pytestmark = pytest.mark.slow


def zipped(entries: Mapping[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in entries.items():
            archive.writestr(name, content)
    return out.getvalue()


def send(client: TestClient, name: str, content: bytes) -> tuple[int, list[str]]:
    """Drop one file; return the answer's status and what is said of it."""
    answer = client.post("/upload", files={"files": (name, content)})
    said = re.findall(r'<p class="said (?:stop|warn)">(.*?)</p>', answer.text)
    return answer.status_code, [unescape(re.sub("<[^>]+>", "", one)) for one in said]


@pytest.fixture
def tiles(tmp_path: Path) -> list[bytes]:
    return [tile_file(tmp_path / f"{i}.png", i).read_bytes() for i in range(3)]


def labels(bench: Bench) -> list[str]:
    recipe = bench.recipe()
    return [part.label for part in recipe.patterns] if recipe else []


def test_an_archive_of_tiles_as_they_are_sold_is_opened(
    client: TestClient, bench: Bench, tiles: list[bytes]
) -> None:
    content = zipped(
        {
            "Meadow set/02 clover.png": tiles[1],
            "Meadow set/01 daisies.png": tiles[0],
            "../../escaped.png": tiles[2],
            "Meadow set/Licence.txt": b"For your own use.",
            "__MACOSX/Meadow set/._01 daisies.png": b"x",
            "Meadow set/.DS_Store": b"x",
        }
    )
    status, said = send(client, "meadow.zip", content)
    assert status == 422
    assert len(said) == 1
    assert said[0].startswith("Licence.txt is a text, not artwork.")
    assert sorted(labels(bench)) == ["01 daisies", "02 clover", "escaped"]
    inside = bench.workspace.artwork.resolve()
    recipe = bench.recipe()
    assert recipe is not None
    for part in recipe.patterns:  # a path in an archive leads nowhere
        assert (recipe.folder / part.file).resolve().parent == inside
    bench.undo()  # a drop is one step
    assert labels(bench) == []


def test_an_archive_that_swells_or_holds_too_much_is_refused_whole(
    client: TestClient, bench: Bench, tiles: list[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    cases = {
        "holds 61 pictures": zipped({f"{i}.png": tiles[0] for i in range(61)}),
        "holds no picture": zipped({"a.txt": b"x"}),
        "cannot be unpacked": zipped({"a.png": tiles[0]})[:-30],
        "holds 1001 files": zipped({f"{i}.txt": b"" for i in range(1001)}),
    }
    for what, content in cases.items():
        status, said = send(client, "odd.zip", content)
        assert status == 422, what
        assert what in said[0]
        assert said[0].startswith("odd.zip ")
    monkeypatch.setattr(packed, "MAX_UNPACKED_BYTES", 1000)
    assert "unpacks to more" in send(client, "swells.zip", zipped({"a.png": bytes(5000)}))[1][0]
    assert labels(bench) == []


def test_an_archive_that_lies_about_its_sizes_ends_at_the_limit(
    monkeypatch: pytest.MonkeyPatch, client: TestClient, bench: Bench
) -> None:
    """The sizes in an archive are its maker's word; what is unpacked is counted."""
    true, content = 5000, bytearray(zipped({"a.png": bytes(5000)}))
    told = true.to_bytes(4, "little")
    for at in (m.start() for m in re.finditer(re.escape(told), bytes(content))):
        content[at : at + 4] = (900).to_bytes(4, "little")
    monkeypatch.setattr(packed, "MAX_UNPACKED_BYTES", 1000)
    status, said = send(client, "lies.zip", bytes(content))
    assert status == 422
    assert said[0].startswith(("lies.zip", "a "))
    assert labels(bench) == []


def test_the_same_picture_is_told_by_the_name_that_it_has(
    client: TestClient, bench: Bench, tiles: list[bytes]
) -> None:
    assert send(client, "clover.png", tiles[0])[0] == 303
    status, said = send(client, "clover (1).png", tiles[0])
    assert status == 422
    assert "clover (1).png is the same picture as clover" in said[0]
    assert labels(bench) == ["clover"]


def collage(tiles: list[bytes]) -> bytes:
    """Return six pictures side by side with gutters between them, as a PNG."""
    cover = Image.new("RGB", (620, 420), "#fcfcfc")
    for number in range(6):
        with Image.open(io.BytesIO(tiles[number % len(tiles)])) as tile:
            place = (20 + 200 * (number % 3), 20 + 200 * (number // 3))
            cover.paste(tile.convert("RGB").resize((180, 180)), place)
    out = io.BytesIO()
    cover.save(out, "PNG")
    return out.getvalue()


@pytest.mark.slow
def test_a_cover_among_the_tiles_is_left_out_with_a_word(
    client: TestClient, bench: Bench, tiles: list[bytes]
) -> None:
    """Else gutters and a shop's title are printed on every sticker."""
    content = zipped({"00 cover.png": collage(tiles), "01 daisies.png": tiles[0]})
    status, said = send(client, "meadow.zip", content)
    assert status == 422
    assert len(said) == 1
    assert said[0].startswith("00 cover.png is left out: it looks like 6 pictures")
    assert "Use the set's single tiles." in said[0]
    assert len(said[0]) <= 300
    assert labels(bench) == ["01 daisies"]


@pytest.mark.slow
def test_a_cover_that_the_maker_named_is_taken(
    client: TestClient, bench: Bench, tiles: list[bytes]
) -> None:
    send(client, "daisies.png", tiles[0])
    assert send(client, "cover.png", collage(tiles))[0] == 422
    named = '[[patterns]]\nfile = "artwork/cover.png"\nrepeat = "auto"\n'
    bench.rewrite(f"{bench.workspace.text()}\n{named}", "named it")
    assert send(client, "cover.png", collage(tiles))[0] == 303
    assert labels(bench) == ["daisies", "cover"]


@pytest.mark.slow
def test_a_cover_that_lies_in_the_folder_is_left_out(bench: Bench, tiles: list[bytes]) -> None:
    bench.workspace.folder.joinpath("cover.png").write_bytes(collage(tiles))
    bench.workspace.folder.joinpath("daisies.png").write_bytes(tiles[0])
    (refused,) = begin_with_folder(bench)
    assert refused.line().startswith("cover.png: is left out")
    assert labels(bench) == ["daisies"]


@pytest.mark.parametrize(
    ("name", "what", "remedy"),
    [
        ("set.pdf", "is a PDF", "save one repeat"),
        ("photo.HEIC", "is a HEIC photo", "JPEG"),
        ("leaf.svg", "is a drawing of lines", "save one repeat"),
        ("Licence.txt", "is a text", "licence"),
        ("set.rar", "is an archive", "Unpack it"),
        ("odd.xyz", "is not a picture", "PNG"),
    ],
)
def test_what_is_no_artwork_is_answered_by_name_with_what_to_do(
    client: TestClient, name: str, what: str, remedy: str
) -> None:
    status, said = send(client, name, b"")
    assert status == 422
    assert len(said) == 1
    assert said[0].startswith(f"{name} {what}")
    assert remedy in said[0]
