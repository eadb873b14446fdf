"""The front door of the maker's own press: write the chart, read it back, use it in a recipe."""

from __future__ import annotations

import hashlib
import json
import tomllib
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image, ImageCms

from benchmarks.chart_prints import SRGB, Glass, KnownPress, fogra39, pictured, vivid
from kit.letters import line_from
from kit.recipe import parse_recipe
from kit.render import Page, PrinterNumbers
from kit.sheet import Sheet
from kit.writers import print_pdf
from kitloom.cli import kitloom
from palette.chart import chart_colours, from_cgats, grey_ramp
from palette.chart.measurement import relative_to_print
from palette.errors import KitloomError
from palette.exchange import CgatsTable, cgats, cxf
from palette.press import ChartRecord, fit_chart, open_press, to_toml
from palette.space import de2000, srgb_to_lab

RECIPE = """
[planner]
box = "30mm x 40mm"
[sheet]
paper = "A5"
margin = "7mm"
[press]
chart = "mine.toml"
[[patterns]]
file = "dots.png"
repeat = "1in"
[[rows]]
sticker = "full box"
count = 1
"""


def run(*words: object) -> dict[str, Any]:
    done = CliRunner().invoke(kitloom, [str(w) for w in words], standalone_mode=False)
    if done.exception is not None:
        raise done.exception
    return dict(json.loads(done.stdout)) if "--json" in words else {"text": done.stdout}


@pytest.fixture(scope="module")
def chart_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("chart") / "chart"
    answer = run("proof", "--chart", folder, "--paper", "A5", "--json")
    assert answer["ok"] is True
    assert sorted(p.name for p in folder.iterdir()) == ["chart.pdf", "chart.png", "chart.txt"]
    assert answer["files"] == [str(folder / f"chart.{end}") for end in ("pdf", "png", "txt")]
    return folder


def table_of(folder: Path, fields: tuple[str, ...], *, xyz: bool = False) -> CgatsTable:
    from palette.space import lab_to_xyz

    chart = from_cgats((folder / "chart.txt").read_bytes(), "chart.txt")
    lab = fogra39().absolute(chart.rgb / 255.0)
    values = lab_to_xyz(lab) * 100.0 if xyz else lab
    rows = tuple(
        (name, *(f"{v:.3f}".replace(".", ",") for v in one))
        for name, one in zip(chart.names, values, strict=True)
    )
    return CgatsTable({"ORIGINATOR": "an instrument"}, fields, rows)


def test_the_list_names_the_paper_and_print_files_open(chart_folder: Path) -> None:
    chart = from_cgats((chart_folder / "chart.txt").read_bytes(), "chart.txt")
    assert chart.paper_mm == (148.0, 210.0)
    with Image.open(chart_folder / "chart.png") as image:
        assert image.size == (1749, 2481)


@pytest.mark.parametrize(
    ("fields", "xyz"),
    [
        (("SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B"), False),
        (("SAMPLE_NAME", "XYZ_X", "XYZ_Y", "XYZ_Z"), True),
    ],
)
def test_an_instrument_s_table(
    chart_folder: Path, tmp_path: Path, fields: tuple[str, ...], xyz: bool
) -> None:
    file = tmp_path / "measured.txt"
    file.write_bytes(cgats.write(table_of(chart_folder, fields, xyz=xyz)))
    out = tmp_path / "mine.toml"
    answer = run("proof", "--chart-read", file, "--chart-list", chart_folder / "chart.txt",
                 "--out", out, "--json")  # fmt: skip
    assert answer["printer"]["reading"] == "absolute"
    assert answer["printer"]["left_out_mean_de2000"] < 2.0
    record = tomllib.loads(out.read_text())
    assert record["absolute"]["paper"] == pytest.approx([95.0, 0.0, -2.0], abs=0.1)
    assert record["error"]["left_out_mean"] < 2.0
    assert "chart-scanned" not in {f["code"] for f in answer["findings"]}


def test_an_instrument_s_cxf(chart_folder: Path, tmp_path: Path) -> None:
    table = table_of(chart_folder, ("SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B"))
    objects = "".join(
        f'<Object ObjectType="Target" Name="{name}" Id="c{i}"><ColorValues><ColorCIELab '
        f'ColorSpecification="D50"><L>{lab[0]}</L><A>{lab[1]}</A><B>{lab[2]}</B>'
        "</ColorCIELab></ColorValues></Object>"
        for i, (name, *words) in enumerate(table.rows)
        for lab in ([w.replace(",", ".") for w in words],)
    )
    text = (
        f'<CxF xmlns="http://colorexchangeformat.com/CxF3-core"><Resources><ObjectCollection>'
        f"{objects}</ObjectCollection></Resources></CxF>"
    )
    assert len(cxf.read(text.encode(), "x")) == len(table.rows)
    file = tmp_path / "measured.cxf"
    file.write_text(text)
    answer = run("proof", "--chart-read", file, "--chart-list", chart_folder / "chart.txt",
                 "--out", tmp_path / "mine.toml", "--json")  # fmt: skip
    assert answer["printer"]["source"] == "instrument"
    assert answer["printer"]["left_out_mean_de2000"] < 2.0


def test_rows_of_another_chart_are_refused(chart_folder: Path, tmp_path: Path) -> None:
    table = table_of(chart_folder, ("SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B"))
    listing = chart_folder / "chart.txt"
    for rows, says in (
        (table.rows[: len(table.rows) // 2], "patches"),
        ((*table.rows, ("Z99", "1,0", "0,0", "0,0")), "do not name"),
        (tuple((a[0], *b[1:]) for a, b in zip(table.rows, table.rows[::-1], strict=True)), "light"),
    ):
        file = tmp_path / "measured.txt"
        file.write_bytes(cgats.write(CgatsTable({}, table.fields, rows)))
        with pytest.raises(KitloomError, match=says):
            run(
                "proof", "--chart-read", file, "--chart-list", listing, "--out", tmp_path / "x.toml"
            )
        assert not (tmp_path / "x.toml").exists()


def test_from_scan_to_recipe(tmp_path: Path, dots: np.ndarray) -> None:
    """The maker's whole way: a recipe, its chart, a scan at 0.5 % too large, a verdict."""
    recipe = tmp_path / "kit.toml"
    recipe.write_text(RECIPE)
    Image.fromarray(dots).save(tmp_path / "dots.png")
    folder = tmp_path / "chart"
    run("proof", "--chart", folder, recipe)
    with Image.open(folder / "chart.png") as image:
        printed = np.asarray(image.convert("RGB").reduce(2)).copy()
    printed[: round(9.0 * 150 / 25.4)] = 255  # more than the recipe's margin stays white
    picture = Image.fromarray(pictured(printed, fogra39(), Glass(turn_deg=0.5)))
    size = (round(picture.width * 1.005), round(picture.height * 1.005))
    scan = tmp_path / "scan.jpg"
    picture.resize(size, Image.Resampling.LANCZOS).save(scan, quality=92, dpi=(150, 150))
    answer = run("proof", "--chart-read", scan, "--chart-list", folder / "chart.txt",
                 "--out", tmp_path / "mine.toml", recipe, "--json")  # fmt: skip
    found = {f["code"]: f for f in answer["findings"]}
    assert answer["printer"]["reading"] == "relative"
    assert found["print-scale"]["measures"]["correction_x"] == pytest.approx(0.995, abs=1.5e-3)
    assert "top" in found["print-margin"]["what"]
    assert "chart-scanned" in found
    verdict = run("proof", recipe, "#00ff00", "#808080", "--json")
    assert verdict["press"] == "mine, measured by scan"
    assert [one["in_gamut"] for one in verdict["colours"]] == [False, True]
    same = run("proof", "#00ff00", "--printer", tmp_path / "mine.toml", "--json")
    assert same["colours"][0] == verdict["colours"][0]


def scanned(folder: Path, known: KnownPress, name: str = "scan.png", **save: Any) -> Path:
    """A colour-managed scan at 150 dpi of the chart in a folder, printed by a known printer."""
    with Image.open(folder / "chart.png") as image:
        printed = np.asarray(image.convert("RGB").reduce(2))
    path = folder.parent / name
    pixels = pictured(printed, known, Glass(turn_deg=0.5, sensor=SRGB, quality=0))
    Image.fromarray(pixels).save(path, dpi=(150, 150), **save)
    return path


def read_back(scan: Path, folder: Path, out: Path, *more: object) -> dict[str, Any]:
    return run("proof", "--chart-read", scan, "--chart-list", folder / "chart.txt",
               "--out", out, *more, "--json")  # fmt: skip


@pytest.fixture(scope="module")
def vivid_scan(chart_folder: Path) -> Path:
    return scanned(chart_folder, vivid(fogra39()))


@pytest.mark.slow
def test_what_is_known_of_the_scanner_decides_what_a_scan_says(
    chart_folder: Path, vivid_scan: Path, tmp_path: Path
) -> None:
    guessed = read_back(vivid_scan, chart_folder, tmp_path / "guessed.toml")
    managed = read_back(
        vivid_scan, chart_folder, tmp_path / "managed.toml", "--colour-managed",
        "--icc", tmp_path / "managed.icc",
    )  # fmt: skip
    assert guessed["printer"]["scanner"] == "doubtful"
    codes = {one["code"] for one in guessed["findings"]}
    assert "chart-scanner" in codes
    assert "chart-chroma" not in codes  # how vivid it prints is just what a guess cannot say
    assert managed["printer"]["scanner"] == "managed"
    found = {one["code"]: one for one in managed["findings"]}
    assert "sRGB" in found["chart-scanned"]["what"]
    truth = vivid(fogra39()).relative(np.eye(3))
    asked = srgb_to_lab(np.eye(3))
    reached = np.hypot(*truth[:, 1:].T) / np.hypot(*asked[:, 1:].T)
    said = found["chart-chroma"]["measures"]["chroma_reached"]
    for hue, share in zip(("red", "green", "blue"), reached, strict=True):
        assert said[hue] == pytest.approx(share, abs=0.04)
    assert managed["files"] == [str(tmp_path / f"managed.{end}") for end in ("toml", "icc")]
    # the profile serves as a press, as any printer's does
    verdict = run("proof", "#808080", "--profile", tmp_path / "managed.icc", "--json")
    assert verdict["press"] == "managed"
    # and both files are taken up again
    record = tomllib.loads((tmp_path / "managed.toml").read_text())
    assert record["chart"]["scanner"] == "managed"
    for name, says in (("guessed", "could not be told apart"), ("managed", "says what it sees")):
        words = run("proof", "#808080", "--printer", tmp_path / f"{name}.toml", "--json")
        limits = [one["what"] for one in words["findings"] if one["code"] == "press-limits"]
        assert says in limits[0]


@pytest.mark.slow
def test_a_scanner_s_profile_goes_with_numbers_that_mean_nothing_else(
    chart_folder: Path, vivid_scan: Path, tmp_path: Path
) -> None:
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    own, other = tmp_path / "scanner.icc", tmp_path / "other.icc"
    own.write_bytes(srgb)
    other.write_bytes(srgb[:24] + bytes(12) + srgb[36:])
    tagged = scanned(chart_folder, vivid(fogra39()), "tagged.png", icc_profile=srgb)
    plain = read_back(vivid_scan, chart_folder, tmp_path / "a.toml", "--scanner", own)
    same = read_back(tagged, chart_folder, tmp_path / "b.toml", "--scanner", own)
    by_file = read_back(tagged, chart_folder, tmp_path / "c.toml", "--colour-managed")
    assert plain["printer"]["scanner"] == same["printer"]["scanner"] == "profile"
    patches = [tomllib.loads((tmp_path / f"{n}.toml").read_text())["patches"] for n in "abc"]
    assert patches[0] == patches[1] == patches[2]
    assert by_file["printer"]["scanner"] == "managed"
    with pytest.raises(KitloomError, match="names a colour profile of its own"):
        read_back(tagged, chart_folder, tmp_path / "d.toml", "--scanner", other)
    assert not (tmp_path / "d.toml").exists()


def test_an_instrument_needs_no_word_of_a_scanner(chart_folder: Path, tmp_path: Path) -> None:
    file = tmp_path / "measured.txt"
    file.write_bytes(
        cgats.write(table_of(chart_folder, ("SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B")))
    )
    with pytest.raises(KitloomError, match="not a scan"):
        read_back(file, chart_folder, tmp_path / "x.toml", "--colour-managed")
    assert list(tmp_path.iterdir()) == [file]


@pytest.mark.slow
def test_a_print_drawn_through_the_chart(tmp_path: Path, dots: np.ndarray) -> None:
    """What the maker's printer is sent differs, and prints as seen; pictures for people stay."""
    known = vivid(fogra39())
    rgb = np.concatenate([grey_ramp(), chart_colours()])
    table = relative_to_print(rgb, known.absolute(rgb / 255.0), len(rgb), "x")
    fit = fit_chart(table.rgb, table.lab)
    record = ChartRecord("", "instrument", rgb, table.lab, fit.choice, fit.error, 0.3)
    (tmp_path / "mine.toml").write_bytes(to_toml(record))
    Image.fromarray(dots).save(tmp_path / "dots.png")
    words = '[[rows]]\nsticker = "header"\ntext = "days"\nfill = "#3b5b7a"\n'
    named = f'[kit]\nname = "Dots"\n{RECIPE}'
    (tmp_path / "plain.toml").write_text(named + words)
    through = named.replace('chart = "mine.toml"', 'chart = "mine.toml"\nconvert = true')
    (tmp_path / "through.toml").write_text(through + words)
    answers = {name: run("make", tmp_path / f"{name}.toml", "--json") for name in NAMES}
    codes = {name: [one["code"] for one in answer["findings"]] for name, answer in answers.items()}
    assert "own-numbers" in codes["through"]
    assert "own-numbers" not in codes["plain"]
    assert codes["through"].count("colour-shift") < codes["plain"].count("colour-shift")
    plain, sent = (opened(tmp_path / name / "sheet-1-print.png") for name in NAMES)
    white = (plain == 255).all(axis=2)
    assert (sent[white] == 255).all()
    asked = srgb_to_lab(plain[~white][::97])
    off = de2000(known.relative(sent[~white][::97] / 255.0), asked)
    before = de2000(known.relative(plain[~white][::97] / 255.0), asked)
    assert off.mean() < 1.0
    assert before.mean() > 2.0
    for name in ("sheet-1.png", "sheet-1.svg", "sheet-1-layers.pdf"):
        assert (tmp_path / "through" / name).read_bytes() == (
            tmp_path / "plain" / name
        ).read_bytes(), name
    lock = json.loads((tmp_path / "through" / "kit.lock.json").read_text())
    digest = hashlib.sha256((tmp_path / "mine.toml").read_bytes()).hexdigest()
    assert lock["drawn_through"] == digest
    assert "drawn_through" not in (tmp_path / "plain" / "kit.lock.json").read_text()


NAMES = ("plain", "through")


def opened(path: Path) -> np.ndarray:
    with Image.open(path) as image:
        assert ("srgb" in image.info) is (path.parent.name == "plain")
        return np.asarray(image)


@pytest.mark.slow
def test_its_pdf_is_in_device_colours_the_picture_of_the_print_png() -> None:
    """Read by pikepdf: no viewer has a profile to convert by, on the artwork or on words."""
    import pikepdf

    words = line_from((5.0, 10.0), "a", 20.0, "#112233")
    sheet = Sheet("x", 30.0, 20.0, 100.0, (), lettering=(words,))
    raster = np.random.default_rng(1).integers(0, 256, (*sheet.raster_px, 3)).astype(np.uint8)
    page = Page(sheet, raster, printer=PrinterNumbers("mine", lambda pixels: 255 - pixels))
    with pikepdf.open(BytesIO(print_pdf(page))) as pdf:
        art = pdf.pages[0].Resources.XObject.Art
        assert art.ColorSpace == "/DeviceRGB"
        assert (np.asarray(pikepdf.PdfImage(art).as_pil_image()) == 255 - raster).all()
        assert [str(one) for one in pdf.pages[0].Resources.ColorSpace.Art] == ["/DeviceRGB"]
        drawn = pdf.pages[0].Contents.read_bytes().decode()
        assert f"{0xEE / 255:.4f} {0xDD / 255:.4f}" in drawn  # 255 - 0x11 and 255 - 0x22
        assert b"ICCBased" not in print_pdf(page)


def test_a_chart_alone_draws_nothing_and_nothing_to_draw_through_is_refused() -> None:
    with pytest.raises(KitloomError, match="neither a chart nor a profile"):
        parse_recipe(RECIPE.replace('chart = "mine.toml"', "convert = true"), Path("kit.toml"))
    assert not parse_recipe(RECIPE, Path("kit.toml")).press.convert


def test_a_print_is_not_drawn_through_a_press_s_cmyk_profile() -> None:
    profile = Path(__file__).parents[1] / "standards" / "data" / "FOGRA39L_coated.icc"
    with pytest.raises(KitloomError, match="drawn in RGB"):
        open_press(profile=profile, convert=True)


READ = ("--chart-read", "s.png", "--chart-list", "l", "--out", "o")


@pytest.mark.parametrize(
    "words",
    [
        [*READ, "--scanner", "p", "--colour-managed"],
        ["#112233", "--colour-managed"],
        ["#112233", "--icc", "mine.icc"],
        ["--chart-read", "scan.png"],
        ["--chart", "a", "--chart-read", "b"],
        ["--chart", "a", "#112233"],
        [],
    ],
)
def test_calls_that_say_too_little_or_too_much(words: list[str]) -> None:
    done = CliRunner().invoke(kitloom, ["proof", *words])
    assert done.exit_code == 2


def test_a_refused_scan_writes_nothing(chart_folder: Path, tmp_path: Path) -> None:
    scan = tmp_path / "scan.png"
    Image.new("RGB", (900, 1200), (250, 250, 250)).save(scan)
    with pytest.raises(KitloomError, match="no corner target"):
        run("proof", "--chart-read", scan, "--chart-list", chart_folder / "chart.txt",
            "--out", tmp_path / "mine.toml")  # fmt: skip
    assert list(tmp_path.iterdir()) == [scan]
