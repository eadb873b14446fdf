"""Nobody but the page's own tab can drive it: hosts, origins, tokens, limits, hostile files.

What must be refused is taken from OWASP's CSRF Prevention Cheat Sheet (Origin), and from the
description of DNS rebinding in RFC 9110 section 17.1 and the Fetch Metadata spec (W3C).
"""

from __future__ import annotations

import io
import zlib
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from kitloom.page.edits import MAX_PATTERNS
from kitloom.page.server import safety
from kitloom.page.server.app import TOO_MUCH, Handlers, page_app
from kitloom.page.server.safety import Door
from kitloom.page.state import Bench, plain_stem, unused_stem

from .conftest import ORIGIN, tile_file

BOUNDARY = {"content-type": "multipart/form-data; boundary=x"}


def upload(client: TestClient, name: str, content: bytes) -> object:
    return client.post("/upload", files={"files": (name, content)})


@pytest.mark.parametrize("host", ["evil.example:8765", "127.0.0.1", "127.0.0.1:80", ""])
def test_another_host_is_refused_whatever_it_carries(client: TestClient, host: str) -> None:
    answer = client.get("/step/artwork", headers={"host": host})
    assert answer.status_code == 421  # DNS rebinding: the right machine under a wrong name


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "", "http://127.0.0.1:80", "https://127.0.0.1:8765"]
)
def test_a_post_from_another_origin_is_refused(client: TestClient, origin: str) -> None:
    answer = client.post("/edit/undo", headers={"origin": origin}, data={})
    assert answer.status_code == 403


def test_a_post_without_an_origin_is_refused(bench: Bench, door: Door) -> None:
    with TestClient(page_app(Handlers(bench), door), base_url=ORIGIN) as bare:
        bare.get("/enter", params={"key": door.key})
        assert bare.post("/edit/undo", data={}).status_code == 403


@pytest.mark.parametrize("mode", ["no-cors", "cors", "websocket"])
def test_what_another_site_loads_is_refused(client: TestClient, mode: str) -> None:
    headers = {"sec-fetch-site": "cross-site", "sec-fetch-mode": mode}
    assert client.get("/step/artwork", headers=headers).status_code == 403
    headers["sec-fetch-site"] = "same-site"  # another port of this machine is another page
    assert client.get("/recipe", headers=headers).status_code == 403


def test_without_the_token_nothing_is_shown(bench: Bench, door: Door) -> None:
    with TestClient(
        page_app(Handlers(bench), door), base_url=ORIGIN, headers={"origin": ORIGIN}
    ) as stranger:
        for path in ("/", "/step/artwork", "/events", "/recipe", "/static/bench.js", "/file/x.pdf"):
            assert stranger.get(path).status_code == 403, path
        stranger.cookies.set(door.cookie, "guess")
        assert stranger.get("/step/artwork").status_code == 403
        assert stranger.post("/edit/undo", data={}).status_code == 403


def test_the_entrance_opens_once(bench: Bench, door: Door) -> None:
    key, used = door.key, []
    app = page_app(Handlers(bench), door, lambda: used.append(door.key))
    with TestClient(app, base_url=ORIGIN) as first, TestClient(app, base_url=ORIGIN) as second:
        assert first.get("/enter", params={"key": "wrong"}).status_code == 403
        entered = first.get("/enter", params={"key": key})
        assert entered.status_code == 200
        cookie = entered.headers["set-cookie"].lower()
        assert "httponly" in cookie
        assert "samesite=strict" in cookie
        assert second.get("/enter", params={"key": key}).status_code == 403
        assert second.get("/enter", params={"key": used[0]}).status_code == 200


def test_asking_whether_the_page_is_here_opens_nothing_and_uses_up_no_key(
    bench: Bench, door: Door
) -> None:
    """Else a second double-click lets somebody in, or locks its own maker out."""
    key = door.key
    with TestClient(page_app(Handlers(bench), door), base_url=ORIGIN) as stranger:
        assert stranger.head("/enter", params={"key": "wrong"}).status_code == 403
        asked = stranger.head("/enter", params={"key": key})
        assert (asked.status_code, "set-cookie" in asked.headers) == (204, False)
        assert stranger.get("/").status_code == 403
        assert door.key == key


def test_every_answer_says_what_a_browser_may_do(client: TestClient) -> None:
    for path in ("/step/artwork", "/static/bench.js", "/nowhere", "/step/nowhere", "/favicon.ico"):
        headers = client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy, path
        assert "unsafe" not in policy, path
        assert "frame-ancestors 'none'" in policy
        assert headers["x-content-type-options"] == "nosniff"
    page = client.get("/step/artwork").text
    assert "<script>" not in page
    assert " style=" not in page
    assert " onclick=" not in page


def test_too_large_a_body_is_refused_before_it_is_read(client: TestClient) -> None:
    answer = client.post("/upload", content=b"", headers={"content-length": "999999999999"})
    assert answer.status_code == 413
    answer = client.post("/upload", content=b"", headers={"content-length": "-1"})
    assert answer.status_code == 413


def test_a_body_that_never_says_its_length_is_cut(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(safety, "MAX_BODY", 10_000)
    answer = client.post("/upload", content=iter([b"a" * 6_000] * 4), headers=BOUNDARY)
    assert answer.status_code == 413


def test_a_form_with_a_box_for_each_tile_is_taken_and_more_is_refused_in_plain_words(
    client: TestClient,
) -> None:
    """With over 36 tiles, nothing of the palette could be set."""
    ticked = {f"tiles:{i}": "on" for i in range(MAX_PATTERNS)}
    answer = client.post("/edit/settings", data={**ticked, "part": "palette"})
    assert answer.status_code == 422  # there is no kit yet, which is another matter
    answer = client.post("/edit/settings", data={f"tiles:{i}": "on" for i in range(500)})
    assert (answer.status_code, answer.text) == (413, TOO_MUCH)


def test_too_many_files_are_refused(client: TestClient, bench: Bench) -> None:
    files = [("files", (f"{i}.png", b"x")) for i in range(65)]
    assert client.post("/upload", files=files).status_code == 413
    assert bench.recipe() is None


@pytest.mark.parametrize(
    "name",
    ["../../escape.png", "..\\..\\escape.png", "/etc/escape.png", ".hidden.png", "con.png",
     "a\0b.png",     "x" * 400 + ".png", "…/\u202egnp.exe", "", "....png"],
)  # fmt: skip
def test_names_never_become_paths(
    client: TestClient, bench: Bench, tmp_path: Path, name: str
) -> None:
    content = tile_file(tmp_path / "source" / "tile.png").read_bytes()
    before = {p for p in tmp_path.rglob("*") if "work" not in p.parts}
    upload(client, name or "x", content)
    assert {p for p in tmp_path.rglob("*") if "work" not in p.parts} == before
    kept = list(bench.workspace.artwork.iterdir())
    assert all(p.is_file() and p.stem == plain_stem(p.stem) and len(p.name) < 80 for p in kept)


def test_plain_stems() -> None:
    assert plain_stem("../../etc/passwd") == "passwd"
    assert plain_stem("C:\\art\\Blüten 1.png") == "Blüten 1"
    assert plain_stem("Party!! (final).png") == "Party!! (final)"  # as the shop called it
    assert plain_stem("..") == "tile"
    assert plain_stem("nul.png") == "tile-nul"
    assert plain_stem('a"b<c>.png') == "a-b-c"
    assert unused_stem("pods", {"Pods", "pods-2"}) == "pods-3"


def bomb() -> bytes:
    """A PNG of 60,000 by 60,000 pixels in a few kilobytes (3.6 thousand million pixels)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        crc = zlib.crc32(kind + data).to_bytes(4, "big")
        return len(data).to_bytes(4, "big") + kind + data + crc

    header = (60_000).to_bytes(4, "big") * 2 + bytes([1, 0, 0, 0, 0])
    rows = zlib.compress(bytes(7_501) * 400)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("drawing.svg", b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"),
        ("drawing.png", b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"),
        ("page.png", b"<!doctype html><script>alert(1)</script>"),
        ("empty.png", b""),
        ("cut.png", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"),
        ("bomb.png", bomb()),
        ("kit.toml", b"a = " + b"[" * 50_000),
        ("kit.toml", b"\xff\xfe"),
        ("kit.toml", b"[kit]\nname = 1"),
    ],
)
def test_hostile_files_are_refused_and_leave_nothing(
    client: TestClient, bench: Bench, name: str, content: bytes
) -> None:
    answer = client.post("/upload", files={"files": (name, content)})
    assert answer.status_code == 422
    assert "alert(1)" not in answer.text
    assert list(bench.workspace.artwork.iterdir()) == []
    assert not any(bench.workspace.incoming.glob("*"))
    assert bench.recipe() is None
    assert client.get("/step/artwork").status_code == 200


def test_a_hostile_name_is_shown_as_text(client: TestClient) -> None:
    answer = client.post("/upload", files={"files": ("<img src=x onerror=alert(1)>.png", b"x")})
    assert "<img src=x" not in answer.text


def test_what_was_dropped_is_never_handed_back_as_it_came(
    client: TestClient, tmp_path: Path
) -> None:
    content = tile_file(tmp_path / "pods.png").read_bytes() + b"<script>alert(1)</script>"
    assert client.post("/upload", files={"files": ("pods.png", content)}).status_code == 303
    for kind in ("thumb", "two-by-two", "whole", "cell"):
        answer = client.get(f"/picture/{kind}", params={"tile": "pods"})
        assert answer.headers["content-type"] == "image/jpeg"
        assert b"<script>" not in answer.content
    assert client.get("/artwork/pods.png").status_code == 404


def test_only_made_files_are_handed_out(client: TestClient, bench: Bench) -> None:
    bench.workspace.made.mkdir()
    (bench.workspace.made / "sheet-1.svg").write_text("<svg/>")
    answer = client.get("/file/sheet-1.svg")
    assert answer.headers["content-disposition"].startswith("attachment")
    assert "sandbox" in answer.headers["content-security-policy"]
    assert "attachment" in client.get("/file/sheet-1.svg?show").headers["content-disposition"]
    for name in ("..%2Fkit.toml", "%2e%2e/kit.toml", "kit.toml", "..%5Ckit.toml"):
        assert client.get(f"/file/{name}").status_code == 404


def test_a_recipe_from_elsewhere_opens_no_file_outside(
    client: TestClient, bench: Bench, tmp_path: Path
) -> None:
    secret = tile_file(tmp_path / "secret.png")
    recipe = (
        '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n[press]\nprofile = "/etc/x.icc"\n'
        f"[[patterns]]\nfile = '{secret}'\n[[patterns]]\nfile = '../secret.png'\nname = 'other'\n"
        '[[rows]]\nsticker = "full box"\ncount = 1\n'
    )
    assert client.post("/upload", files={"files": ("kit.toml", recipe)}).status_code == 303
    opened = bench.recipe()
    assert opened is not None
    assert opened.press.profile is None
    for part in opened.patterns:
        assert str(part.file) == "artwork/secret.png"


def test_the_back_address_stays_on_the_page(client: TestClient) -> None:
    answer = client.post("/edit/undo", data={"back": "//evil.example/step/"})
    assert answer.headers["location"] == "/"
    answer = client.post("/edit/undo", data={"back": "/step/kit"})
    assert answer.headers["location"] == "/step/kit"


def test_the_archive_holds_plain_names(client: TestClient, bench: Bench) -> None:
    import zipfile

    bench.workspace.made.mkdir()
    (bench.workspace.made / "sheet-1.pdf").write_bytes(b"%PDF")
    content = client.get("/everything").content
    assert zipfile.ZipFile(io.BytesIO(content)).namelist() == ["sheet-1.pdf", "kit.toml"]
    assert client.get("/everything").content == content
