"""The whole job on a small kit: what is written, what it says, and that it stays the same."""

from __future__ import annotations

import io
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
import pikepdf
import pypdfium2
import pytest
from PIL import Image
from pypdf import PdfReader

from kitloom.disk import own_files
from kitloom.roads import CAUTIONS, PRINTING
from patterns.artwork.own_pictures import is_own_picture
from tests.conftest import dot_tile
from tests.kitloom.inside import called

RECIPE = """\
[kit]
name = "Small"
[planner]
box = "30mm x 40mm"
[sheet]
paper = "6in x 8in"
dpi = 200
gap = "3mm"
bleed = "1.1mm"
[palette]
colours = 4
[[patterns]]
file = "dots.png"
repeat = "20mm"
[[patterns]]
file = "stripes.png"
repeat = "12mm"
[[rows]]
sticker = "full box"
count = 3
fill = "patterns"
[[rows]]
sticker = "full box"
count = 2
fill = ["#3b5b7a", "dots"]
panel = "white"
[[rows]]
sticker = "half box"
count = 3
fill = "palette"
[[rows]]
sticker = "checklist"
count = 6
fill = "palette"
"""
STICKERS = 14
FILES = {
    *(
        f"sheet-1{end}"
        for end in (
            *(".pdf", "-print.png", ".svg", "-all.svg", ".dxf"),
            *(".hpgl", "-layers.pdf", "-cut.pdf", ".png"),
        )
    ),
    *(f"palette{end}" for end in (".json", ".tokens.json", ".css", ".csv", ".cxf")),
    "kit.pdf",
    "swatch-card.pdf",
    "swatch-card.svg",
    "kit.lock.json",
    "report.html",
}


def laid(folder: Path) -> Path:
    """Lay artwork and recipe into a folder."""
    Image.fromarray(dot_tile(240)).save(folder / "dots.png")
    stripes = np.empty((96, 192, 3), np.uint8)
    stripes[:] = (244, 238, 220)
    stripes[:, (np.arange(192) // 12) % 2 == 1] = (196, 84, 60)
    Image.fromarray(stripes).save(folder / "stripes.png")
    (folder / "kit.toml").write_text(RECIPE)
    return folder


def make(*words: object) -> subprocess.CompletedProcess[str]:
    return called("make", *words)


def make_alone(
    *words: object, env: dict[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """Make a kit in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "kitloom", "make", *map(str, words)],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env=env,
    )


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The kit of the recipe, made once for all who only read it, and what was told of it."""
    folder = laid(tmp_path_factory.mktemp("made"))
    done = make_alone(folder / "kit.toml", "--json")
    assert done.returncode == 0, done.stderr
    return folder, done.stdout


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return laid(tmp_path)


@pytest.fixture
def with_kit(folder: Path, made: tuple[Path, str]) -> Path:
    """A folder with artwork, recipe and the kit as it was made of them."""
    shutil.copytree(made[0] / "kit", folder / "kit")
    return folder


def test_make_writes_the_set_and_says_what_is_on_it(made: tuple[Path, str]) -> None:
    folder, told = made
    answer = json.loads(told)
    assert {path.name for path in (folder / "kit").iterdir()} == FILES
    assert {path.name for path in own_files(folder / "kit")} == FILES
    assert {Path(name).name for name in answer["files"]} == FILES
    (sheet,) = answer["sheets"]
    assert len(sheet["stickers"]) == STICKERS
    # sizes as the recipe gives them: box, half of it, a sixth of it
    sizes = {(one["kind"], one["width_mm"], one["height_mm"]) for one in sheet["stickers"]}
    assert sizes == {("full box", 30, 40), ("half box", 30, 20), ("checklist", 5, 40)}
    for one in sheet["stickers"]:
        assert one["x_mm"] >= 10
        assert one["x_mm"] + one["width_mm"] <= sheet["width_mm"] - 10 + 1e-6
    assert json.loads((folder / "kit" / "palette.json").read_text())["command"] == "palette"


@pytest.mark.slow
def test_pictures_for_a_shop_are_drawn_only_where_they_are_asked_for(folder: Path) -> None:
    """Asked for, each shows the stickers on a square; else no run is slower for them."""
    names = {"listing-page.png", "listing-stickers.png"}
    assert make(folder / "kit.toml", "--listing").returncode == 0
    assert {path.name for path in own_files(folder / "kit")} == FILES | names
    for name in names:
        assert is_own_picture(folder / "kit" / name)  # no folder of artwork takes it for a tile
        with Image.open(folder / "kit" / name) as image:
            shown = np.asarray(image.convert("RGB"))
        assert shown.shape == (2000, 2000, 3)
        blue = (shown == (0x3B, 0x5B, 0x7A)).all(axis=2).mean()  # the frame that the recipe names
        assert blue > 0.003, f"a sticker is not on {name}"
    first = (folder / "kit" / "listing-page.png").read_bytes()
    assert make(folder / "kit.toml", "--overwrite").returncode == 0
    assert {path.name for path in own_files(folder / "kit")} == FILES
    assert make(folder / "kit.toml", "--overwrite", "--listing").returncode == 0
    assert (folder / "kit" / "listing-page.png").read_bytes() == first


def test_copies_of_a_pattern_get_different_offsets(made: tuple[Path, str]) -> None:
    answer = json.loads(made[1])
    offsets: dict[str, list[tuple[float, ...]]] = {}
    for one in answer["sheets"][0]["stickers"]:
        if "pattern" in one["fill"]:
            offsets.setdefault(one["fill"]["pattern"], []).append(tuple(one["fill"]["offset_mm"]))
    assert len(offsets["dots"]) >= 2
    for places in offsets.values():
        assert len(set(places)) == len(places)


def test_the_page_is_the_paper_and_the_print_png_is_the_page(made: tuple[Path, str]) -> None:
    kit = made[0] / "kit"
    box = PdfReader(kit / "sheet-1.pdf").pages[0].mediabox
    assert float(box.width) / 72 * 25.4 == pytest.approx(152.4, abs=0.01)
    assert float(box.height) / 72 * 25.4 == pytest.approx(203.2, abs=0.01)
    with Image.open(kit / "sheet-1-print.png") as page:
        assert page.info["dpi"][0] == pytest.approx(200, abs=0.02)
        printed = np.asarray(page.convert("RGB"), dtype=int)
    document = pypdfium2.PdfDocument(kit / "sheet-1.pdf")
    shown = document[0].render(scale=200 / 72).to_pil().convert("RGB").resize(printed.shape[1::-1])
    document.close()
    apart = np.abs(np.asarray(shown, dtype=int) - printed)
    assert np.mean(apart) < 1.0


def test_the_report_stands_alone(made: tuple[Path, str]) -> None:
    report = (made[0] / "kit" / "report.html").read_text()
    links = re.findall(r'(?:src|href)="([^"]+)"', report)
    assert links
    assert all(link.startswith(("data:", "#")) for link in links)
    assert report.count("<figure>") >= 3
    for words in ("Printing and cutting", "100%", "stripes", "CIEDE2000", *CAUTIONS):
        assert words in report
    assert "<script" not in report


def test_the_same_recipe_gives_the_same_bytes(folder: Path) -> None:
    for name, count in (("one", "1"), ("two", "2")):
        counts = ("PYTHONHASHSEED", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS")
        env = {**os.environ, **dict.fromkeys(counts, count)}
        assert make_alone(folder / "kit.toml", "--out", folder / name, env=env).returncode == 0
    for name in FILES:
        assert (folder / "one" / name).read_bytes() == (folder / "two" / name).read_bytes(), name


def test_another_planner_paper_and_pattern_set(folder: Path, dots: np.ndarray) -> None:
    """Places by hand that the larger boxes overlap at are let go, and named."""
    placed = 'sticker = "half box"\nat = ["20mm x 160mm", "60mm x 160mm"]'
    recipe = RECIPE.replace('sticker = "half box"', placed)
    (folder / "kit.toml").write_text(recipe)
    other = folder / "other"
    other.mkdir()
    Image.fromarray(dots[:, :, ::-1].copy()).save(other / "a-moth.png")
    done = make(
        folder / "kit.toml", "--patterns", other, "--box", "44 x 36mm", "--paper", "A4",
        "--name", "Moth week", "--json",
    )  # fmt: skip
    answer = json.loads(done.stdout)
    assert done.returncode == 0
    sheet = answer["sheets"][0]
    assert (sheet["width_mm"], sheet["height_mm"]) == (210, 297)
    assert (sheet["stickers"][0]["width_mm"], sheet["stickers"][0]["height_mm"]) == (44, 36)
    named = next(one for one in answer["findings"] if one["code"] == "bound-names")
    assert "dots = a-moth.png" in named["what"]
    left = next(one for one in answer["findings"] if one["code"] == "places-left")
    assert left["what"] == "No longer where you put them: half box 2."
    report = (folder / "kit" / "report.html").read_text()
    assert "from a-moth.png" in report
    assert "<title>Moth week" in report
    assert str(other) not in report
    assert all(str(other) not in one["subject"] for one in answer["findings"])
    assert "#3b5b7a" in named["what"]


def test_a_kit_too_long_for_one_sheet_takes_more(folder: Path) -> None:
    longer = RECIPE.replace("count = 3", "count = 13", 1)
    (folder / "kit.toml").write_text(longer)
    answer = json.loads(make(folder / "kit.toml", "--json").stdout)
    assert len(answer["sheets"]) > 1
    assert sum(len(sheet["stickers"]) for sheet in answer["sheets"]) == STICKERS + 10
    assert f"sheet-{len(answer['sheets'])}.pdf" in {Path(f).name for f in answer["files"]}


def test_a_bleed_under_the_tolerance_is_told_with_the_figure(folder: Path) -> None:
    (folder / "kit.toml").write_text(RECIPE.replace('bleed = "1.1mm"', 'bleed = "0.3mm"'))
    answer = json.loads(make(folder / "kit.toml", "--json").stdout)
    bleed = next(one for one in answer["findings"] if one["code"] == "bleed")
    assert bleed["measures"]["needed_bleed_mm"] > 0.5
    assert "Set bleed to 0." in bleed["remedy"]


BAD = {
    "unknown key": ("dpi = 200", "dpy = 200", 'Did you mean "dpi"?'),
    "wrong unit": ('gap = "3mm"', 'gap = "3px"', "not a length"),
    "negative size": ('"30mm x 40mm"', '"-30mm x 40mm"', "no planner has a day box"),
    "too large": ('"30mm x 40mm"', '"300mm x 40mm"', "larger than the 132.4 x"),
    "missing artwork": ('"dots.png"', '"none.png"', "there is no file"),
    "missing profile": ("[palette]", '[press]\nprofile = "none.icc"\n[palette]', "none.icc"),
}


@pytest.mark.parametrize("case", BAD)
def test_a_bad_recipe_writes_nothing(folder: Path, case: str) -> None:
    old, new, words = BAD[case]
    (folder / "kit.toml").write_text(RECIPE.replace(old, new))
    before = sorted(folder.rglob("*"))
    done = make(folder / "kit.toml")
    assert done.returncode == 2
    assert done.stdout == ""
    assert len(done.stderr.strip().splitlines()) == 1
    assert words in done.stderr
    assert sorted(folder.rglob("*")) == before


@pytest.mark.slow
@pytest.mark.parametrize("fault", ["no patterns", "broken artwork"])
def test_a_process_that_fails_ends_with_its_one_line(folder: Path, fault: str) -> None:
    if fault == "no patterns":
        (folder / "kit.toml").write_text(RECIPE.replace("[[patterns]]", "[[pattern]]"))
    else:
        (folder / "dots.png").write_bytes(b"no picture")
    done = make_alone(folder / "kit.toml")
    assert done.returncode == 2
    lines = done.stderr.splitlines()
    assert lines
    assert all(line.startswith("kitloom: ") for line in lines)


def test_a_filled_output_folder_is_left_alone(with_kit: Path) -> None:
    folder = with_kit
    before = {path: path.read_bytes() for path in (folder / "kit").iterdir()}
    done = make(folder / "kit.toml", "--box", "20mm x 20mm")
    assert done.returncode == 2
    assert "--overwrite" in done.stderr
    assert {path: path.read_bytes() for path in (folder / "kit").iterdir()} == before
    assert make(folder / "kit.toml", "--box", "20mm x 20mm", "--overwrite").returncode == 0
    assert (folder / "kit" / "sheet-1.pdf").read_bytes() != before[folder / "kit" / "sheet-1.pdf"]


def test_the_preview_can_be_opened(made: tuple[Path, str]) -> None:
    with Image.open(io.BytesIO((made[0] / "kit" / "sheet-1.png").read_bytes())) as preview:
        assert preview.height > preview.width > 400


def test_a_kept_lock_makes_the_same_sheet_after_the_recipe_changed(
    with_kit: Path,
) -> None:
    """A further pattern would move fills and offsets; the lock holds them."""
    folder = with_kit
    third = np.full((64, 64, 3), (90, 120, 60), np.uint8)
    third[16:48, 16:48] = (240, 220, 120)
    Image.fromarray(third).save(folder / "third.png")
    changed = RECIPE.replace(
        "[[patterns]]", '[[patterns]]\nfile = "third.png"\nrepeat = "5mm"\n[[patterns]]', 1
    )
    (folder / "kit.toml").write_text(changed)
    lock = folder / "kit" / "kit.lock.json"
    assert make(folder / "kit.toml", "--out", folder / "moved").returncode in {0, 1}
    assert make(folder / "kit.toml", "--keep", lock, "--out", folder / "kept").returncode in {0, 1}
    first = (folder / "kit" / "sheet-1-print.png").read_bytes()
    assert (folder / "kept" / "sheet-1-print.png").read_bytes() == first
    assert (folder / "moved" / "sheet-1-print.png").read_bytes() != first


def test_a_broken_lock_is_refused(folder: Path) -> None:
    (folder / "kit.lock.json").write_text('{"lock": 1}')
    done = make(folder / "kit.toml", "--keep", folder / "kit.lock.json")
    assert done.returncode == 2
    assert "not a lock file" in done.stderr


def test_marks_and_frame_are_printed_and_never_cut(folder: Path) -> None:
    """A black disc of 5 mm where the recipe puts it; marks and frame in groups of their own."""
    marked = RECIPE.replace('bleed = "1.1mm"', 'bleed = "1.1mm"\nframe = true')
    marked += '[[marks]]\nshape = "disc"\nat = "15mm x 15mm"\nsize = "5mm"\n'
    marked += '[[marks]]\nshape = "corner"\nat = "137mm x 188mm"\nsize = "8mm"\n'
    marked += 'corner = "bottom right"\nstroke = "1mm"\n'
    (folder / "kit.toml").write_text(marked)
    told = json.loads(make(folder / "kit.toml", "--json").stdout)
    with Image.open(folder / "kit" / "sheet-1-print.png") as page:
        pixels = np.asarray(page.convert("L"), dtype=int)
    # a table of their places; 203.2 mm of paper: 8 in
    table = (folder / "kit" / "marks.csv").read_text().splitlines()
    assert table[1] == "1,disc,15.000,15.000,188.200,5.000"
    assert table[2] == "2,corner,141.000,192.000,11.200,8.000"
    assert told["marks"][1] == {"shape": "corner", "x_mm": 141.0, "y_mm": 192.0, "size_mm": 8.0}
    assert "<td>11.20</td>" in (folder / "kit" / "report.html").read_text()
    mm = 200 / 25.4
    disc = pixels[int(12 * mm) : int(18 * mm), int(12 * mm) : int(18 * mm)]
    # its quiet zone is white: 2 mm about its box
    zone = pixels[int(10.6 * mm) : int(19.4 * mm), int(10.6 * mm) : int(19.4 * mm)]
    assert (zone < 255).sum() == (disc < 255).sum()
    # area of a 5 mm disc, counted in ink
    assert ((255 - disc) / 255).sum() / mm**2 == pytest.approx(np.pi * 2.5**2, rel=0.02)
    assert pixels[int(192 * mm), int(137 * mm)] < 40  # the corner's lower line
    svg = ET.parse(folder / "kit" / "sheet-1.svg")  # noqa: S314  our own file
    groups = {one.attrib["id"]: len(one) for one in svg.findall("{http://www.w3.org/2000/svg}g")}
    assert groups == {"kiss-cut": STICKERS, "page": 1, "marks": 2, "frame": 1}


def test_every_sheet_is_a_page_of_the_kits_pdf_at_actual_size(made: tuple[Path, str]) -> None:
    """By pypdf; what asks for actual size by pikepdf (ISO 32000-1, table 150)."""
    folder = made[0] / "kit"
    sheets = len(list(folder.glob("sheet-*-print.png")))
    kit = PdfReader(folder / "kit.pdf")
    assert len(kit.pages) == sheets
    assert kit.metadata is not None
    assert kit.metadata.title == "Small"
    for number, page in enumerate(kit.pages, start=1):
        alone = PdfReader(folder / f"sheet-{number}.pdf").pages[0]
        assert page.images[0].data == alone.images[0].data
        assert page.mediabox == alone.mediabox
    written = sorted(folder.glob("*.pdf"))
    assert len(written) == 3 * sheets + 2  # print, layers and cut; the kit and its swatch card
    for path in written:
        with pikepdf.open(path) as pdf:
            wish = pdf.Root.ViewerPreferences
            assert (wish.PrintScaling, wish.Duplex) == ("/None", "/Simplex"), path.name
            assert wish.PickTrayByPDFSize is True, path.name


def test_a_short_ruler_widens_the_tolerance_or_is_corrected(
    folder: Path, made: tuple[Path, str]
) -> None:
    """A ruler of 120 mm that reads 118.8 mm: 1 % short, so the print is drawn 120/118.8 larger."""
    plain = json.loads(made[1])
    assert "printer-scale" not in {one["code"] for one in plain["findings"]}
    short = RECIPE.replace('gap = "3mm"', 'gap = "3mm"\nruler_reads = "118.8mm"')
    (folder / "kit.toml").write_text(short)
    told = json.loads(make(folder / "kit.toml", "--out", folder / "told", "--json").stdout)
    codes = {one["code"] for one in told["findings"]}
    assert {"printer-scale", "bleed"} <= codes
    (folder / "kit.toml").write_text(short.replace("[palette]", "correct_scale = true\n[palette]"))
    mended = json.loads(make(folder / "kit.toml", "--out", folder / "mended", "--json").stdout)
    assert "printer-scale" not in {one["code"] for one in mended["findings"]}
    reader = PdfReader(folder / "mended" / "sheet-1.pdf")
    scale, art = (
        [float(v) for v in operands]
        for operands, operator in reader.pages[0].get_contents().operations
        if operator == b"cm"
    )
    assert scale[0] * art[0] == pytest.approx(152.4 / 25.4 * 72 * 120 / 118.8, abs=0.01)
    # the page's centre stays where it is
    assert scale[0] * 216 + scale[4] == pytest.approx(216, abs=0.01)


def test_a_trial_is_written_and_its_readings_become_recipe_lines(folder: Path) -> None:
    from click.testing import CliRunner

    from kitloom.cli import kitloom

    (folder / "kit.toml").write_text(RECIPE.replace('"6in x 8in"', '"A4"'))
    words = ["trial", str(folder / "kit.toml")]
    wrote = CliRunner().invoke(kitloom, words, standalone_mode=False)
    assert wrote.exception is None
    names = {path.name for path in (folder / "kit-trial").iterdir()}
    assert {"fit.pdf", "strip.pdf", "strip.svg", "strip.dxf", "trial.txt"} <= names
    assert {path.name for path in own_files(folder / "kit-trial")} == names
    told = " ".join((folder / "kit-trial" / "trial.txt").read_text("utf-8").split())
    assert all(sentence in told for sentence in (*CAUTIONS, *PRINTING))
    read = CliRunner().invoke(
        kitloom, [*words, "--edges", "1.5 -0.5", "--combs", "3 3 3 3 3 3"], standalone_mode=False
    )
    assert 'box = "31.5mm x 39.5mm"' in read.output
    assert "registration = { shift =" in read.output
    assert "# one sheet only" in read.output
    strips = [f"--combs={3 + k} 3 3 3 3 3" for k in range(3)]
    more = CliRunner().invoke(kitloom, [*words, *strips, "--json"], standalone_mode=False)
    assert [line.split(" =")[0] for line in json.loads(more.output)["recipe_lines"]] == [
        *("registration", "offset", "turn")
    ]
    bad = CliRunner().invoke(kitloom, [*words, "--combs", "three"], standalone_mode=False)
    assert "other than numbers" in str(bad.exception)


def test_overwriting_spares_the_makers_own_files_and_artwork(with_kit: Path) -> None:
    folder = with_kit
    mine = folder / "kit" / "palette.png"
    mine.write_bytes(b"mine")
    assert make(folder / "kit.toml", "--overwrite").returncode == 0
    assert mine.read_bytes() == b"mine"
    refused = make(folder / "kit.toml", "--overwrite", "--out", folder)
    assert refused.returncode == 2
    assert "holds the artwork itself" in refused.stderr
    assert (folder / "dots.png").exists()


def test_a_linked_output_folder_is_filled_and_the_link_kept(folder: Path) -> None:
    (folder / "real").mkdir()
    (folder / "link").symlink_to(folder / "real")
    for _ in range(2):
        done = make(folder / "kit.toml", "--overwrite", "--out", folder / "link")
        assert done.returncode == 0, done.stderr
    assert (folder / "link").is_symlink()
    assert {path.name for path in (folder / "real").iterdir()} == FILES
    assert not (folder / ".link.previous").exists()


def test_a_lock_gives_no_old_repeat_to_new_artwork(with_kit: Path, dots: np.ndarray) -> None:
    folder = with_kit
    other = folder / "other"
    other.mkdir()
    for name in ("a.png", "b.png"):
        Image.fromarray(dots[:, :, ::-1].copy()).save(other / name)
    words = (folder / "kit.toml", "--patterns", other, "--json")
    plain = json.loads(make(*words, "--out", folder / "plain").stdout)
    lock = folder / "kit" / "kit.lock.json"
    kept = json.loads(make(*words, "--keep", lock, "--out", folder / "kept").stdout)
    repeats = [
        {
            one["fill"]["pattern"]: one["fill"]["repeat_mm"]
            for one in answer["sheets"][0]["stickers"]
            if "pattern" in one["fill"]
        }
        for answer in (plain, kept)
    ]
    assert repeats[0] == repeats[1]
    assert 20.0 not in [size[0] for size in repeats[1].values()]


def test_a_lock_stays_with_its_row_when_another_grows(with_kit: Path) -> None:
    folder = with_kit
    (folder / "kit.toml").write_text(RECIPE.replace("count = 3", "count = 4", 1))
    lock = folder / "kit" / "kit.lock.json"
    make(folder / "kit.toml", "--keep", lock, "--out", folder / "kept")
    old = json.loads(lock.read_text())["stickers"]
    new = json.loads((folder / "kept" / "kit.lock.json").read_text())["stickers"]
    of_old = {(one["row"], one["place"]): one["fill"] for one in old}
    of_new = {(one["row"], one["place"]): one["fill"] for one in new}
    assert {place: of_new[place] for place in of_old} == of_old
    assert of_new[0, 3] in {"dots", "stripes"}  # the row asks for patterns


def test_fewer_files_than_names_also_serve_panels(folder: Path, dots: np.ndarray) -> None:
    other = folder / "other"
    other.mkdir()
    Image.fromarray(dots).save(other / "only.png")
    text = RECIPE.replace('panel = "white"', 'panel = "stripes"')
    text = text.replace("colours = 4", 'colours = 4\ntiles = ["stripes"]')
    (folder / "kit.toml").write_text(text)
    assert make(folder / "kit.toml", "--patterns", other).returncode == 0
