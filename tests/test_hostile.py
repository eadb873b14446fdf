"""What no maker means to give us: endless files, bombs, traps in XML, names that steer a terminal.

Each is refused in one line, within bounded memory. Sources: the PNG specification (third
edition) for chunks, XML 1.0 (fifth edition) 4.1 for entities; the attacks are common knowledge.
"""

from __future__ import annotations

import os
import struct
import sys
import time
import zlib
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from fuzz.readers import READERS
from kitloom.cli import main
from palette.errors import KitloomError, shown
from palette.exchange import cxf, from_hex

SUFFIX = {
    "csv": ".csv",
    "css": ".css",
    "cxf": ".cxf",
    "tokens": ".tokens.json",
    "palette": ".json",
    "recipe": ".toml",
    "chart": ".toml",
}


def refused(reader: str, path: Path) -> str:
    """Return the line that a reader refuses a file with.

    A minute of the processor is met only by what hangs: how fast a reader is, is for benchmarks.
    """
    start = time.process_time()
    with pytest.raises(KitloomError) as caught:
        READERS[reader](path)
    assert time.process_time() - start < 60.0
    line = caught.value.line()
    assert line.isprintable()
    assert caught.value.remedy
    return line


def special(tmp_path: Path, kind: str, suffix: str) -> Path:
    path = tmp_path / f"it{suffix}"
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "endless":
        path.symlink_to("/dev/zero")
    elif kind == "loop":
        path.symlink_to(path)
    elif kind == "folder":
        path.mkdir()
    elif kind == "NUL":
        return tmp_path / "a\0b"
    elif kind == "too long":
        return tmp_path / ("a" * 400)
    elif kind == "huge":
        with path.open("wb") as file:
            file.truncate(2**40)
    return path


FILES_OF_A_KIND = ("missing", "pipe", "endless", "loop", "folder", "NUL", "too long", "huge")


@pytest.mark.parametrize("kind", FILES_OF_A_KIND)
@pytest.mark.parametrize("reader", [name for name in READERS if name != "journal"])
def test_what_is_no_ordinary_file_is_refused(reader: str, kind: str, tmp_path: Path) -> None:
    if reader == "cgats":
        pytest.skip("its files are read by kitloom.charts, which is among the readers")
    refused(reader, special(tmp_path, kind, SUFFIX.get(reader, "")))


@pytest.mark.parametrize("kind", ["pipe", "endless", "loop", "folder"])
def test_a_journal_that_is_no_ordinary_file_is_refused(kind: str, tmp_path: Path) -> None:
    refused("journal", special(tmp_path, kind, ".jsonl"))


# --- bombs --------------------------------------------------------------------------------------


def chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def png(more: bytes) -> bytes:
    header = chunk(b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0))
    pixels = chunk(b"IDAT", zlib.compress(b"\0\1\2\3"))
    return b"\x89PNG\r\n\x1a\n" + header + more + pixels + chunk(b"IEND", b"")


def swollen(megabytes: int) -> bytes:
    packer = zlib.compressobj(1)
    block = bytes(2**20)
    return b"".join(packer.compress(block) for _ in range(megabytes)) + packer.flush()


def claiming(kind: str, width: int, height: int) -> bytes:
    """A small picture whose header says that it is a large one."""
    whole = BytesIO()
    Image.new("RGB", (16, 16)).save(whole, kind, **({"lossless": True} if kind == "WEBP" else {}))
    data = bytearray(whole.getvalue())
    if kind == "WEBP":  # RFC 9649, 3.4: after the signature 0x2f, 14 bits each, less 1
        at = data.index(b"VP8L") + 9
        sides = int.from_bytes(data[at : at + 4], "little") >> 28 << 28
        sides |= (width - 1) | (height - 1) << 14
        data[at : at + 4] = sides.to_bytes(4, "little")
    else:  # ISO 15444-1: the image header box, and the size marker of the code stream
        at = data.index(b"ihdr") + 4
        data[at : at + 8] = struct.pack(">II", height, width)
        at = data.index(b"\xff\x51") + 6
        data[at : at + 8] = struct.pack(">II", width, height)
        data[at + 16 : at + 24] = struct.pack(">II", width, height)
    return bytes(data)


BOMBS: dict[str, Callable[[Path], None]] = {
    "zTXt.png": lambda p: _put(p, png(chunk(b"zTXt", b"k\0\0" + swollen(150)))),
    "iCCP.png": lambda p: _put(p, png(chunk(b"iCCP", b"k\0\0" + swollen(150)))),
    "iTXt.png": lambda p: _put(p, png(chunk(b"iTXt", b"k\0\1\0\0\0" + swollen(150)))),
    "many texts.png": lambda p: _put(
        p, png(chunk(b"zTXt", b"k\0\0" + zlib.compress(bytes(900_000), 9)) * 200)
    ),
    "pixels.jp2": lambda p: _put(p, claiming("JPEG2000", 60_000, 60_000)),
    "pixels.webp": lambda p: _put(p, claiming("WEBP", 16_383, 16_383)),
    "pixels.tif": lambda p: Image.new("1", (15_000, 15_000)).save(p, compression="group4"),
}


def _put(path: Path, content: bytes) -> None:
    path.write_bytes(content)


@pytest.mark.skipif(sys.platform != "linux", reason="the peak is read from /proc")
@pytest.mark.parametrize("name", BOMBS)
def test_bombs_do_not_go_off(name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    BOMBS[name](path)
    assert path.stat().st_size < 2_000_000
    with peak_growth_mb() as grown:
        refused("image", path)
    assert grown[0] < 120.0


class peak_growth_mb:  # noqa: N801  reads as a function
    """Measure by how many MB this process' resident memory rises at most."""

    def __enter__(self) -> list[float]:
        Path("/proc/self/clear_refs").write_text("5")  # proc(5): resets the peak
        self.before, self.grown = _peak_mb(), [0.0]
        return self.grown

    def __exit__(self, *_: object) -> None:
        self.grown[0] = _peak_mb() - self.before


def _peak_mb() -> float:
    status = Path("/proc/self/status").read_text()
    return float(status.split("VmHWM:")[1].split()[0]) / 1024.0


@pytest.mark.parametrize("size", [(100_000, 1), (1, 100_000)])
def test_a_thread_of_pixels_is_judged(size: tuple[int, int], tmp_path: Path) -> None:
    """The tall one once asked for 20 GB: its picture in the report was scaled to full width."""
    noise = np.random.default_rng(1).integers(0, 255, (size[1], size[0], 3), np.uint8)
    Image.fromarray(noise).save(tmp_path / "thread.png")
    assert run("check", tmp_path / "thread.png") in {0, 1}
    from kitloom.report import draw_repeats
    from patterns.plane import STRAIGHT

    small = draw_repeats(noise, STRAIGHT, width_px=480)
    assert small.shape[0] <= 6 * 480 + 2
    assert small.shape[1] <= 480


# --- texts --------------------------------------------------------------------------------------

LAUGHS = "".join(f'<!ENTITY e{i} "{f"&e{i - 1};" * 10}">' for i in range(1, 10))
XML = {
    "a billion laughs": f'<!DOCTYPE a [<!ENTITY e0 "ha">{LAUGHS}]><ROOT>&e9;</ROOT>',
    "quadratic blow-up": f'<!DOCTYPE a [<!ENTITY e "{"x" * 50_000}">]><ROOT>{"&e;" * 9_000}</ROOT>',
    "an external entity": '<!DOCTYPE a [<!ENTITY e SYSTEM "{secret}">]><ROOT>&e;</ROOT>',
    "a parameter entity": '<!DOCTYPE a [<!ENTITY % e SYSTEM "{secret}"> %e;]><ROOT/>',
    "a type of its own": "<!DOCTYPE a [<!ELEMENT a ANY>]><ROOT/>",
    "attributes from a type": '<!DOCTYPE a [<!ATTLIST path d CDATA "M0 0H9V9Z">]><ROOT/>',
    "endless nesting": "<ROOT>" + "<g>" * 100_000,
}
ROOTS = {
    "cxf": '<CxF xmlns="http://colorexchangeformat.com/CxF3-core">',
    "outline": '<svg xmlns="http://www.w3.org/2000/svg">',
}


@pytest.mark.parametrize("reader", ROOTS)
@pytest.mark.parametrize("trap", XML)
def test_traps_in_xml_are_refused(reader: str, trap: str, tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("M0 0H9V9Z")
    root = ROOTS[reader]
    text = XML[trap].replace("{secret}", secret.as_uri())
    text = text.replace("<ROOT/>", f"{root}<path/></ROOT>").replace("<ROOT>", root)
    text = text.replace("</ROOT>", f"</{root[1:4]}>")
    path = tmp_path / {"cxf": "it.cxf", "outline": "it.svg"}[reader]
    path.write_text(text)
    line = refused(reader, path)
    assert "M0 0" not in line


def test_a_colour_file_may_have_no_document_type_at_all() -> None:
    with pytest.raises(KitloomError, match="document type"):
        cxf.read(b'<!DOCTYPE CxF SYSTEM "http://127.0.0.1:9/x.dtd"><CxF/>', "a.cxf")


DEEP = 50_000
TEXTS = {
    "deep TOML": ("recipe", "a = " + "[" * DEEP),
    "deep inline TOML": ("recipe", "a = " + "{a=" * DEEP),
    "long dotted key": ("recipe", "a" + ".a" * DEEP + " = 1"),
    "deep JSON": ("tokens", "[" * DEEP),
    "deep JSON objects": ("tokens", '{"a":' * DEEP),
    "deep lock": ("lock", '{"a":' * DEEP),
    "a number of 4 MB in JSON": ("tokens", '{"a":' + "9" * 1_900_000 + "}"),
    "a number of 1 MB in TOML": ("recipe", "a = " + "9" * 900_000),
    "a number of 1 MB in a lock": ("lock", '{"lock":' + "9" * 1_000_000 + "}"),
    "numbers without end in CGATS": (
        "instrument",
        "BEGIN_DATA_FORMAT\nLAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\n" + "1 " * 1_900_000,
    ),
    "numbers without end in an outline": (
        "outline",
        '<svg xmlns="http://www.w3.org/2000/svg"><path d="M' + "1 1 " * 450_000 + '"/></svg>',
    ),
    "a turn without end in an outline": (
        "outline",
        '<svg xmlns="http://www.w3.org/2000/svg">'
        '<path transform="rotate(1e9990)" d="M0 0H9V9Z"/></svg>',
    ),
    "cells without end in CSV": ("csv", "hex\n" + "," * 1_900_000),
    "rules without end in CSS": ("css", ":root{" + "--a:#123456;" * 160_000 + "}"),
    "a comment without end in CSS": ("css", "/*" * 900_000),
    "spaces without end in CSS": ("css", "--a:" + " " * 1_900_000),
    "lines without end in CSV": ("csv", "hex\n" + "#000000\n" * 200_000),
}


@pytest.mark.parametrize("name", TEXTS)
def test_texts_without_end_are_refused(name: str, tmp_path: Path) -> None:
    reader, text = TEXTS[name]
    path = tmp_path / f"it{SUFFIX.get(reader, '')}"
    path.write_text(text)
    assert len(refused(reader, path)) < 1_000


RECIPE = """\
[planner]
box = "30mm x 40mm"
[sheet]
paper = "Letter"
gap = GAP
[[patterns]]
file = "dots.png"
repeat = "20mm"
[[rows]]
sticker = "full box"
count = 1
"""


@pytest.mark.parametrize(
    "length", ["nan", "inf", '"nanmm"', '"infmm"', '"-1mm"', '"1e3mm"', '"9999999mm"', "3", '"3"',
               '"3 furlongs"', '"٣mm"', '"3mm x 4mm"', "true", "[]", '"' + "9" * 5_000 + 'mm"']
)  # fmt: skip
def test_lengths_that_are_none(length: str, tmp_path: Path) -> None:
    path = tmp_path / "kit.toml"
    path.write_text(RECIPE.replace("GAP", length))
    assert "line 5" in refused("recipe", path)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ('repeat = "20mm"', "repeat = '0.0001mm'"),
        ('paper = "Letter"', 'paper = "1500mm x 1500mm"\ndpi = 1200'),
    ],
)
def test_kits_that_would_fill_the_memory(given: str, said: str, tmp_path: Path, dots) -> None:
    """A repeat of a tenth of a micrometre once asked for 6.6 TiB."""
    Image.fromarray(dots).save(tmp_path / "dots.png")
    path = tmp_path / "kit.toml"
    path.write_text(RECIPE.replace("GAP", '"3mm"').replace(given, said))
    assert run("make", path) == 2
    assert not (tmp_path / "kit").exists()


# --- names --------------------------------------------------------------------------------------


@pytest.fixture
def told(capsys: pytest.CaptureFixture[str]) -> Callable[[], str]:
    return lambda: capsys.readouterr().err


def run(*words: object) -> int:
    """Run the command in this process and return its exit status."""
    before, sys.argv = sys.argv, ["kitloom", *map(str, words)]
    try:
        main()
    except SystemExit as end:
        return int(end.code or 0)
    finally:
        sys.argv = before
    raise AssertionError("main always exits")


NAMES = {
    "colours of a terminal": b"a\x1b[31m.png",
    "lines of its own": b"a\nkitloom: all is well\n.png",
    "no UTF-8": b"a\xff\xfe.png",
    "turned round": "a\u202egnp.png".encode(),
}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("given", ["file", "folder", "missing"])
def test_names_that_cannot_be_shown(
    name: str, given: str, tmp_path: Path, told: Callable[[], str]
) -> None:
    file = tmp_path / os.fsdecode(NAMES[name])
    if given != "missing":
        Image.new("RGB", (20, 20)).save(file, "PNG")
    assert run("check", tmp_path if given == "folder" else file) == 2
    line = told().removesuffix("\n")
    assert line.isprintable()
    assert "a name that cannot be shown" in line


def test_recipes_cannot_steer_a_terminal(tmp_path: Path, told: Callable[[], str]) -> None:
    path = tmp_path / "kit.toml"
    path.write_text('[kit]\nname = "\\u001b[31mred"\n' + RECIPE.replace("GAP", '"3mm"'))
    assert run("make", path) == 2
    assert "line 2: kit.name: has a character that cannot be shown" in told()


def test_colours_from_files_cannot_either() -> None:
    colour = from_hex("a\x1b[31m\ud800", "#123456", "a.tokens.json")
    assert colour.name == r"a\x1b[31m\ud800"


def test_what_is_shown_of_a_text() -> None:
    assert shown("Rübe 豆 👩‍🌾") == "Rübe 豆 👩‍🌾"  # joined emoji stay whole
    assert shown("a\x07\udcff\u2028\u202e") == r"a\x07\xff\u2028\u202e"


def test_too_little_memory_is_one_line(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, told: Callable[[], str]
) -> None:
    def starved(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr("palette.toml_text.tomllib.loads", starved)
    path = tmp_path / "kit.toml"
    path.write_text(RECIPE)
    assert run("make", path) == 2
    assert told().startswith("kitloom: there is not enough memory")
