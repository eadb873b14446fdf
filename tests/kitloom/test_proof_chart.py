"""The front door of the maker's own press: write the chart, read it back, use it in a recipe."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from benchmarks.chart_prints import Glass, fogra39, pictured
from kitloom.cli import kitloom
from palette.chart import from_cgats
from palette.errors import KitloomError
from palette.exchange import CgatsTable, cgats, cxf

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


@pytest.mark.parametrize(
    "words",
    [
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
