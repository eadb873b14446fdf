"""A measured printer as an ICC profile: read by three programs, and true there and back.

Outside readers: LittleCMS by way of Pillow; the International Color Consortium's own reference
implementation (``iccdev``), which also validates the file against the specification; Argyll's
``icclu``, where it is installed.
"""

from __future__ import annotations

import shutil
import subprocess
from functools import cache
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageCms

from benchmarks.chart_prints import KnownPress, fogra39, unmanaged, vivid
from palette.chart import chart_colours, grey_ramp
from palette.chart.measurement import relative_to_print
from palette.press import ChartRecord, fit_chart, printer_profile, to_toml
from palette.press.chart_press import ChartPress
from palette.press.icc import open_profile
from palette.press.icc_bytes import PrinterTables, lab_nodes, profile_bytes
from palette.press.neugebauer import with_black
from palette.press.register import open_press
from palette.space import D50, de2000, lab_to_oklab, lab_to_srgb, srgb_to_lab, to_polar

SLOW = pytest.mark.slow
Floats = NDArray[np.float64]
PRINTERS = {
    "plain": fogra39,
    "vivid": lambda: vivid(fogra39()),
    "unmanaged": unmanaged,
}
RANDOM = np.random.default_rng(31).random((3000, 3))


def record_of(known: KnownPress) -> ChartRecord:
    """An instrument's reading of the chart, off by 0.3 a coordinate (common practice)."""
    rgb = np.concatenate([grey_ramp(), chart_colours(), np.full((20, 3), 255, np.uint8)])
    noise = np.random.default_rng(5).normal(0.0, 0.3, (len(rgb), 3))
    table = relative_to_print(rgb, known.absolute(rgb / 255.0) + noise, len(rgb), "test")
    fit = fit_chart(table.rgb, table.lab)
    return ChartRecord(
        "0a1b2c", "instrument", table.rgb, table.lab, fit.choice, fit.error, 0.3,
        table.paper_lab, table.black_lab,
    )  # fmt: skip


@cache
def measured(name: str) -> ChartRecord:
    return record_of(PRINTERS[name]())


@cache
def profile_of(name: str) -> bytes:
    return printer_profile(measured(name), "my printer")


def small_tables() -> PrinterTables:
    """A printer that prints sRGB exactly, in tables of few nodes."""
    steps = np.linspace(0.0, 1.0, 9)
    rgb = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1)
    nodes = lab_nodes(9)
    sent = nodes, lab_to_srgb(nodes.colours()).reshape(9, 9, 9, 3)
    tags = "B2A0", "B2A1", "B2A2"
    outside = lab_nodes(3), np.zeros((3, 3, 3))
    return PrinterTables(srgb_to_lab(rgb), dict.fromkeys(tags, sent), outside, D50)


def through(profile: bytes, rgb: NDArray[np.uint8], *, bpc: bool = True) -> NDArray[np.uint8]:
    """What LittleCMS sends to the printer for sRGB, relative colorimetric."""
    printer = ImageCms.ImageCmsProfile(BytesIO(profile))
    flags = ImageCms.Flags.BLACKPOINTCOMPENSATION if bpc else ImageCms.Flags(0)
    screen, relative = ImageCms.createProfile("sRGB"), ImageCms.Intent.RELATIVE_COLORIMETRIC
    how = ImageCms.buildTransform(screen, printer, "RGB", "RGB", relative, flags)
    sent = ImageCms.applyTransform(Image.fromarray(rgb.reshape(1, -1, 3)), how)
    assert sent is not None
    return np.asarray(sent).reshape(-1, 3)


def test_littlecms_reads_the_bytes_and_whites_and_greys_are_nodes() -> None:
    data = profile_bytes(small_tables(), "Näh Maschine")
    profile = ImageCms.ImageCmsProfile(BytesIO(data))
    assert ImageCms.getProfileDescription(profile).strip() == "N?h Maschine"
    greys = np.repeat(np.array([[0], [255]], np.uint8), 3, axis=1)
    assert through(data, greys).tolist() == greys.tolist()
    assert profile_bytes(small_tables(), "Näh Maschine") == data


@SLOW
@pytest.mark.parametrize("name", PRINTERS)
def test_the_reference_implementation_finds_no_fault(name: str) -> None:
    """ICC.1:2001-04 and its successors, as the consortium's own validator has them."""
    import iccdev

    result = iccdev.validate_profile(profile_of(name))
    assert (result.status, result.report.strip()) == (iccdev.ValidationStatus.OK, "")


def by_reference(path: Path, values: Floats, *, into: bool) -> Floats:
    """Answers of the consortium's reference implementation in floats: RGB to CIELAB, or back."""
    import iccdev

    spaces = (iccdev.ColorSpace.RGB, iccdev.ColorSpace.Lab)
    cmm = iccdev.IccCmm(*(spaces if into else spaces[::-1]), into)
    relative = iccdev.RenderingIntent.RelativeColorimetric
    cmm.attach(str(path), intent=relative, interp=iccdev.Interpolation.Tetrahedral)
    cmm.begin()
    low, wide = np.array([0.0, -128.0, -128.0]), np.array([100.0, 255.0, 255.0])
    asked = values if into else (values - low) / wide
    answers = np.array(cmm.apply_multi(asked.tolist()))
    return answers * wide + low if into else answers


def own_colours() -> Floats:
    """RGB of all kinds, at the ends of what can be sent, very dark and very light."""
    numbers = np.random.default_rng(32)
    ends = numbers.random((2000, 3))
    ends[np.arange(2000), numbers.integers(0, 3, 2000)] = numbers.integers(0, 2, 2000)
    dark, light = numbers.random((1000, 3)) / 4.0, 1.0 - numbers.random((1000, 3)) / 8.0
    return np.concatenate([RANDOM, ends, dark, light])


@SLOW
@pytest.mark.parametrize("name", PRINTERS)
def test_there_and_back_is_within_1(tmp_path: Path, name: str) -> None:
    """RGB, its print, the RGB for that print, its print: by the second reader.

    A program would print a colour that the printer has as another one.
    """
    path = tmp_path / "mine.icc"
    path.write_bytes(profile_of(name))
    assert path.stat().st_size < 3_000_000
    printed = by_reference(path, own_colours(), into=True)
    again = by_reference(path, by_reference(path, printed, into=False), into=True)
    off = de2000(printed, again)
    assert off.mean() < 0.25
    assert np.percentile(off, 99.0) < 0.8
    # where drivers print several RGB nearly alike, single colours lie farther off
    assert (off > 1.0).mean() < 0.004
    assert off.max() < 2.5
    # and it says what the chart said
    press = ChartPress(measured(name), "mine")
    own = with_black(press.fit.predict(RANDOM), press.black_l)
    assert de2000(by_reference(path, RANDOM, into=True), own).mean() < 0.2


@SLOW
@pytest.mark.parametrize("name", PRINTERS)
def test_what_is_sent_prints_as_seen(name: str) -> None:
    """Held out: colours that the chart has not, on the printer itself. Black and white stay."""
    known = PRINTERS[name]()
    ends = np.repeat(np.array([[0], [255]], np.uint8), 3, axis=1)
    assert through(profile_of(name), ends).tolist() == ends.tolist()
    asked = np.rint(RANDOM * 255.0).astype(np.uint8)
    want = srgb_to_lab(asked)
    plain = de2000(known.relative(asked / 255.0), want)
    drawn = de2000(known.relative(through(profile_of(name), asked) / 255.0), want)
    # of colours well inside what it can print
    inside = ChartPress(measured(name), "mine").gamut.holds(to_polar(lab_to_oklab(want)), -4.0)
    assert inside.sum() > 200
    assert drawn[inside].mean() < 1.0
    assert drawn[inside].mean() < plain[inside].mean() + 0.3


@SLOW
def test_argyll_reads_it(tmp_path: Path) -> None:
    """Icclu of Debian's ``argyll``, a third reader: the same CIELAB as the second."""
    icclu = shutil.which("icclu")
    if icclu is None:
        pytest.skip("Debian's argyll is not installed")
    path = tmp_path / "mine.icc"
    path.write_bytes(profile_of("vivid"))
    text = "\n".join(" ".join(f"{v:.6f}" for v in one) for one in RANDOM[:200])
    words = [icclu, "-v0", "-ff", "-ir", "-pl", str(path)]
    done = subprocess.run(words, input=text, capture_output=True, text=True, check=True)
    theirs = np.array([line.split() for line in done.stdout.splitlines() if line], dtype=float)
    assert de2000(theirs, by_reference(path, RANDOM[:200], into=True)).max() < 0.1


@SLOW
def test_a_press_of_the_profile_judges_as_the_print_that_is_drawn_through_the_chart(
    tmp_path: Path,
) -> None:
    """``profile = "mine.icc"`` and ``chart = "mine.toml"`` with ``convert`` are one printer."""
    chart, icc = tmp_path / "mine.toml", tmp_path / "mine.icc"
    chart.write_bytes(to_toml(measured("vivid")))
    icc.write_bytes(profile_of("vivid"))
    by_chart, by_profile = open_press(chart=chart, convert=True), open_profile(icc)
    lab = srgb_to_lab(RANDOM[:400])
    # the chart's file holds two decimals of what the profile was made from
    assert de2000(by_chart.to_print(lab), by_profile.to_print(lab)).mean() < 0.1
    assert by_chart.name == "mine, measured by instrument, the print drawn through it"
    # a driver's vividness is made up for: inside the gamut colours print as seen
    asked = srgb_to_lab(np.array([[93, 138, 85], [214, 58, 85], [37, 68, 58]], np.uint8))
    assert by_chart.shift(asked).max() < 1.5 < open_press(chart=chart).shift(asked).min()
