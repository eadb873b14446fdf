"""A chart is read back from scans; a scan that cannot be trusted is refused with its reason.

The prints and scans are synthetic (``benchmarks/chart_prints.py``): known presses, noise, rotation,
perspective, fall-off, JPEG 85, a scanner's own matrix and curve.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageDraw

from benchmarks.chart_prints import (
    BROAD,
    SRGB,
    Glass,
    KnownPress,
    fogra39,
    pictured,
    swop,
    tinted,
    unmanaged,
    vivid,
)
from kit.chart import ChartLayout, ChartWords, chart_page, lay_chart
from kit.recipe import find_paper
from palette.chart import evenness_of
from palette.errors import ProfileError
from palette.press import ChartRecord, fit_chart
from palette.press.chart_press import ChartPress
from palette.scan import (
    CELLS,
    SRGB_SCANNER,
    ProfiledScanner,
    ScanReading,
    code_cells,
    open_scanner,
    read_scan,
)
from palette.scan.code import read_code
from palette.scan.refusals import REMEDIES, ScanError
from palette.space import D50, de2000, lab_to_xyz, srgb_to_lab, xyz_to_lab

DPI = 150.0
SLOW = pytest.mark.slow  # more of a kind that is in the line once
FRESH = np.random.default_rng(42).random((500, 3))
ASKED = srgb_to_lab(FRESH)
PLAIN = Glass(turn_deg=0.7)


@cache
def sheet(paper: str = "A5") -> tuple[ChartLayout, NDArray[np.uint8]]:
    layout = lay_chart(find_paper(paper))
    return layout, np.array(chart_page(layout, ChartWords("Colour chart"), dpi=DPI).raster)


@cache
def plain_scan() -> NDArray[np.uint8]:
    return pictured(sheet()[1], fogra39(), PLAIN)


def read(
    pixels: NDArray[np.uint8],
    dpi: float | None = DPI,
    paper: str = "A5",
    scanner: ProfiledScanner | None = None,
) -> ScanReading:
    return read_scan(pixels, dpi, sheet(paper)[0].chart, "scan.jpg", scanner)


def refused(pixels: NDArray[np.uint8], dpi: float | None = DPI) -> str:
    with pytest.raises(ScanError) as caught:
        read(pixels, dpi)
    error = caught.value
    assert error.what
    assert error.remedy == REMEDIES[error.kind]
    return error.kind


def resized(pixels: NDArray[np.uint8], across: float, down: float) -> NDArray[np.uint8]:
    image = Image.fromarray(pixels)
    size = (round(image.width * across), round(image.height * down))
    return np.asarray(image.resize(size, Image.Resampling.LANCZOS))


def known_swop() -> KnownPress:
    press = swop()
    if press is None:
        pytest.skip("Debian's libgs-common (default_cmyk.icc) is not installed")
    return press


@pytest.mark.parametrize(
    ("make", "glass"),
    [
        pytest.param(fogra39, Glass(turn_deg=3.0, gamma=1.8), marks=SLOW),
        (fogra39, Glass(turn_deg=-3.0, lean=0.02, gamma=2.4, seed=2)),
        pytest.param(
            known_swop, Glass(turn_deg=-1.5, lean=0.05, mirrored=True, seed=3), marks=SLOW
        ),
    ],
)
def test_fresh_colours_and_verdicts(make: Callable[[], KnownPress], glass: Glass) -> None:
    known = make()
    scan = read(pictured(sheet("Letter")[1], known, glass), paper="Letter")
    rgb, lab = sheet("Letter")[0].chart.rgb[scan.clean], scan.scanner.lab[scan.clean]
    fit = fit_chart(rgb, lab)
    press = ChartPress(ChartRecord("", "scan", rgb, lab, fit.choice, fit.error, 2.0), "mine")
    truth = known.relative(FRESH)
    assert de2000(press.to_print(ASKED), truth).mean() <= 4.0
    same = (press.shift(ASKED) >= 3.0) == (de2000(ASKED, truth) >= 3.0)
    assert same.mean() >= 0.90
    assert scan.frame.mirrored is glass.mirrored
    assert scan.scanner.fit is not None
    assert scan.scanner.fit.gamma == pytest.approx(glass.gamma, rel=0.06)
    assert not scan.scanner.fit.doubtful


def test_a_tint_in_the_greys_is_the_printer_s() -> None:
    glass = Glass(gamma=2.2, cross_talk=0.04)
    chart = sheet()[0].chart
    read_lab = read(pictured(sheet()[1], tinted(fogra39()), glass)).scanner.lab
    truth = tinted(fogra39()).relative(chart.rgb / 255.0)
    grey = chart.neutral & (chart.rgb[:, 0] > 60) & (chart.rgb[:, 0] < 230)
    off = (read_lab - truth)[grey][:, 1:]
    assert np.abs(truth[grey][:, 1:]).max() > 5.0  # there is a tint to be found
    assert np.abs(off).mean() < 1.5


def missed_by(known: KnownPress, scan: ScanReading) -> float:
    """The mean CIEDE2000 by which a reading's patches are off."""
    chart = sheet()[0].chart
    off = de2000(scan.scanner.lab, known.relative(chart.rgb / 255.0))
    return float(off[scan.clean].mean())


def test_a_vivid_driver_is_read_where_the_scanner_is_taken_at_its_word() -> None:
    """Without it all that vividness is put down to the scanner, and the reading says so."""
    known = vivid(fogra39())
    pixels = pictured(sheet()[1], known, Glass(sensor=SRGB))
    guessed, taken = read(pixels), read(pixels, scanner=SRGB_SCANNER)
    assert missed_by(known, taken) < 0.9
    assert missed_by(known, guessed) > 2.0
    assert guessed.scanner.fit is not None
    assert guessed.scanner.fit.doubtful
    assert taken.scanner.fit is None


@SLOW
def test_a_scanner_s_own_profile_is_taken_at_its_word() -> None:
    known = vivid(fogra39())
    pixels = pictured(sheet()[1], known, Glass(sensor=BROAD))
    assert missed_by(known, read(pixels, scanner=ProfiledScanner("own", BROAD.to_xyz))) < 1.0
    assert missed_by(known, read(pixels)) > 2.0


@SLOW
def test_the_depth_of_black_is_read_where_the_scanner_is_taken_at_its_word() -> None:
    scan = read(plain_sensor_scan(), scanner=SRGB_SCANNER)
    ends = lab_to_xyz(fogra39().absolute(np.array([[0.0] * 3, [1.0] * 3])))
    truth = float(xyz_to_lab(ends[0, 1] / ends[1, 1] * D50)[0])
    assert scan.scanner.black_l == pytest.approx(truth, abs=0.6)


@cache
def plain_sensor_scan() -> NDArray[np.uint8]:
    return pictured(sheet()[1], fogra39(), Glass(sensor=SRGB))


def srgb_profile() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def test_a_profile_read_through_8_bits_gives_what_the_formula_gives() -> None:
    """LittleCMS's own sRGB against ours: a reading is no coarser for going through Pillow."""
    scanner = open_scanner(srgb_profile(), "scanner.icc")
    values = np.random.default_rng(3).random((200, 3))
    ours, theirs = (xyz_to_lab(one.to_xyz(values)) for one in (SRGB_SCANNER, scanner))
    off = de2000(ours, theirs)
    assert off.mean() < 0.08
    assert off.max() < 0.4
    ends = np.array([[0.0] * 3, [1.0] * 3])
    assert xyz_to_lab(scanner.to_xyz(ends))[:, 0] == pytest.approx([0.0, 100.0], abs=0.05)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (srgb_profile()[:300], "cut short"),
        (b"no profile at all", "not an ICC profile"),
        (srgb_profile()[:12] + b"prtr" + srgb_profile()[16:], "prtr"),
        (srgb_profile()[:16] + b"CMYK" + srgb_profile()[20:], "CMYK"),
    ],
)
def test_what_is_no_scanner_s_profile_is_refused(data: bytes, says: str) -> None:
    with pytest.raises(ProfileError, match=says):
        open_scanner(data, "scanner.icc")


def with_bands(raster: NDArray[np.uint8], every: int, share: float) -> NDArray[np.uint8]:
    """One row of pixels in so many has less ink: a clogged nozzle."""
    banded = raster.copy()
    ink = 255.0 - banded[::every].astype(np.float64)
    banded[::every] = np.rint(255.0 - ink * (1.0 - share))
    return banded


def patchily(raster: NDArray[np.uint8], depth: float) -> NDArray[np.uint8]:
    """Ink is heavier here and lighter there, over some 3 cm."""
    coarse = np.random.default_rng(1).uniform(-1.0, 1.0, (6, 6)).astype(np.float32)
    size = (raster.shape[1], raster.shape[0])
    field = np.asarray(Image.fromarray(coarse).resize(size, Image.Resampling.BICUBIC))
    ink = (255.0 - raster) * (1.0 + depth * field[..., None])
    return np.clip(255.0 - ink, 0.0, 255.0).astype(np.uint8)


def patchy(scan: ScanReading) -> bool:
    chart = sheet()[0].chart
    rgb, lab = chart.rgb[scan.clean], scan.scanner.lab[scan.clean]
    return evenness_of(rgb, chart.centres_mm[scan.clean], fit_chart(rgb, lab)).patchy


def test_a_sound_print_has_no_fault_and_bands_are_noticed() -> None:
    sound = read(plain_scan())
    assert (sound.faults.banded, sound.faults.burnt) == (False, False)
    banded = read(pictured(with_bands(sheet()[1], 9, 0.3), fogra39(), PLAIN))
    assert banded.faults.banded
    assert banded.faults.banding > 10.0 * sound.faults.banding


@SLOW
def test_bands_of_a_sheet_that_lies_on_its_side_are_noticed() -> None:
    pixels = np.rot90(pictured(with_bands(sheet()[1], 20, 0.5), fogra39(), PLAIN))
    assert read(np.ascontiguousarray(pixels)).faults.banded


@SLOW
def test_paper_at_the_end_of_the_scale_is_noticed_before_it_is_refused() -> None:
    assert not read(pictured(sheet()[1], fogra39(), Glass(exposure=1.0))).faults.burnt
    assert read(pictured(sheet()[1], fogra39(), Glass(exposure=1.1))).faults.burnt


@SLOW
def test_a_patchy_print_is_noticed() -> None:
    assert patchy(read(pictured(patchily(sheet()[1], 0.1), fogra39(), PLAIN)))


@SLOW
@pytest.mark.parametrize("make", [lambda: vivid(fogra39()), lambda: tinted(fogra39()), unmanaged])
def test_a_sound_print_of_any_printer_has_no_fault(make: Callable[[], KnownPress]) -> None:
    for glass, word in ((Glass(noise=0.012, seed=5), None), (Glass(sensor=SRGB), SRGB_SCANNER)):
        scan = read(pictured(sheet()[1], make(), glass), scanner=word)
        assert (scan.faults.banded, scan.faults.burnt, patchy(scan)) == (False, False, False)


@pytest.mark.slow
def test_however_the_sheet_lies_it_reads_the_same() -> None:
    once = read(plain_scan())
    for turned in (np.rot90(plain_scan()), plain_scan()[::-1], plain_scan()[::-1, ::-1]):
        again = read(np.ascontiguousarray(turned))
        assert np.nanmax(de2000(again.scanner.lab, once.scanner.lab)) < 0.8
        assert again.size.x_error == pytest.approx(once.size.x_error or 0.0, abs=2e-4)


@pytest.mark.slow
def test_fall_off_is_taken_out() -> None:
    chart = sheet()[0].chart
    even = read(pictured(sheet()[1], fogra39(), Glass(falloff=0.0))).scanner.lab
    dim = read(pictured(sheet()[1], fogra39(), Glass(falloff=0.15)))
    assert dim.falloff > 0.03
    assert de2000(even, dim.scanner.lab)[dim.clean].mean() < 0.5
    assert de2000(dim.scanner.lab[chart.white], np.array([100.0, 0.0, 0.0])).max() < 1.5


@pytest.mark.slow
@pytest.mark.parametrize("paper", [pytest.param("A4", marks=SLOW), "11in x 8.5in"])
def test_other_papers(paper: str) -> None:
    layout, raster = sheet(paper)
    scan = read_scan(pictured(raster, fogra39(), Glass()), DPI, layout.chart, "x")
    off = de2000(scan.scanner.lab, fogra39().relative(layout.chart.rgb / 255.0))
    assert np.nanmean(off) < 2.0


def test_the_printer_s_scale_is_read_across_and_down() -> None:
    size = read(resized(plain_scan(), 1.006, 0.992)).size
    # of the pixels' own rounding 0.05 % may be left
    assert size.x_error == pytest.approx(0.006, abs=7e-4)
    assert size.y_error == pytest.approx(-0.008, abs=7e-4)
    assert read(plain_scan(), None).size.x_error is None
    assert read(plain_scan(), 72.0).size.x_error is None  # what programs write unasked


def test_margins_that_stayed_white_are_measured() -> None:
    raster = sheet()[1].copy()
    per_mm = DPI / 25.4
    raster[: round(4.0 * per_mm)] = 255
    raster[-round(6.5 * per_mm) :] = 255
    raster[:, : round(2.0 * per_mm)] = 255
    margins = read(pictured(raster, fogra39(), PLAIN)).size.margins_mm
    assert margins["top"] == pytest.approx(4.0, abs=0.35)
    assert margins["bottom"] == pytest.approx(6.5, abs=0.35)
    assert margins["left"] == pytest.approx(2.0, abs=0.35)
    assert margins["right"] == pytest.approx(0.0, abs=0.35)
    cut = plain_scan()[:, 70:]  # the picture ends before the sheet's left edge does
    assert read(cut).size.margins_mm["left"] is None


@pytest.mark.parametrize("share", [0.12, pytest.param(0.4, marks=SLOW)])
def test_cropped_is_refused(share: float) -> None:
    rows, cols = plain_scan().shape[:2]
    assert refused(plain_scan()[: int(rows * (1 - share))]) == "cropped"
    assert refused(plain_scan()[:, int(cols * share) :]) == "cropped"


def _corner_over(image: Image.Image) -> Image.Image:
    wide, tall = image.size
    shape = [(wide, tall), (wide * 0.7, tall), (wide, tall * 0.75)]
    ImageDraw.Draw(image).polygon(shape, fill=(238, 238, 238))
    return image


def _creased(image: Image.Image) -> Image.Image:
    wide, tall = image.size
    line = [(0, tall * 0.45), (wide, tall * 0.5)]
    ImageDraw.Draw(image).line(line, fill=(140, 140, 140), width=4)
    return image


def _valley(image: Image.Image) -> Image.Image:
    across = np.arange(image.width) / image.width
    shade = 1.0 - 0.25 * np.exp(-(((across - 0.6) / 0.02) ** 2))
    return Image.fromarray((np.asarray(image) * shade[None, :, None]).astype(np.uint8))


def _pleated(image: Image.Image) -> Image.Image:
    wide, tall = image.size
    image = image.copy()
    image.paste(image.crop((0, tall // 2 + 25, wide, tall)), (0, tall // 2))
    return image


@pytest.mark.parametrize(
    ("bend", "kinds"),
    [
        (_corner_over, {"cropped", "folded"}),  # a corner folded over hides its target
        (_creased, {"folded"}),
        (_valley, {"folded"}),
        (_pleated, {"folded"}),
    ],
)
def test_folded_is_refused(bend: Callable[[Image.Image], Image.Image], kinds: set[str]) -> None:
    assert refused(pictured(sheet()[1], fogra39(), PLAIN, bend)) in kinds


@pytest.mark.parametrize("radius", [2.5, *(pytest.param(r, marks=SLOW) for r in (5.0, 12.0))])
def test_blurred_is_refused(radius: float) -> None:
    assert refused(pictured(sheet()[1], fogra39(), Glass(blur_px=radius))) == "blurred"


def test_a_slightly_soft_scan_is_read() -> None:
    assert read(pictured(sheet()[1], fogra39(), Glass(blur_px=0.8))).blur_mm < 0.3


@pytest.mark.parametrize("exposure", [1.5, pytest.param(2.5, marks=SLOW)])
def test_saturated_is_refused(exposure: float) -> None:
    assert refused(pictured(sheet()[1], fogra39(), Glass(exposure=exposure))) == "saturated"


def test_crushed_shadows_are_refused() -> None:
    dark = np.clip(plain_scan().astype(np.int64) - 100, 0, 255).astype(np.uint8)
    assert refused(dark) == "crushed"


def test_wrong_scale_is_refused() -> None:
    assert refused(resized(plain_scan(), 0.93, 0.93)) == "scale"
    assert refused(resized(plain_scan(), 1.06, 1.06)) == "scale"
    assert refused(resized(plain_scan(), 1.0, 0.95)) == "scale"
    assert refused(resized(plain_scan(), 0.95, 1.0), None) == "scale"


def test_fit_to_page_is_seen_without_a_resolution() -> None:
    raster = sheet()[1]
    small = resized(raster, 0.93, 0.93)
    page = np.full_like(raster, 255)
    top, left = ((a - b) // 2 for a, b in zip(raster.shape[:2], small.shape[:2], strict=True))
    page[top : top + small.shape[0], left : left + small.shape[1]] = small
    assert refused(page, None) == "scale"


def test_too_few_pixels_are_refused() -> None:
    assert refused(resized(plain_scan(), 0.55, 0.55), DPI * 0.55) == "resolution"


def test_another_chart_is_refused() -> None:
    layout, raster = sheet("A4")
    assert layout.chart.chart_id != sheet()[0].chart.chart_id
    assert refused(pictured(raster, fogra39(), PLAIN)) == "another chart"


def test_grey_and_chartless_pictures_are_refused() -> None:
    grey = np.repeat(plain_scan().mean(axis=2, keepdims=True), 3, axis=2).astype(np.uint8)
    assert refused(grey) == "grey"
    assert refused(np.full((1240, 874, 3), 240, np.uint8)) in {"no chart", "blurred"}
    noise = np.random.default_rng(3).integers(0, 256, (900, 700, 3)).astype(np.uint8)
    assert refused(noise) == "no chart"


def test_a_hair_spoils_its_patches_alone() -> None:
    chart = sheet()[0].chart
    raster = sheet()[1].copy()
    left, top, wide, tall = (chart.boxes_mm[60] * DPI / 25.4).astype(int)
    raster[top + tall // 2 - 3 : top + tall // 2 + 3, left : left + wide] = 10
    raster[top : top + tall, left + wide // 2 - 8 : left + wide // 2] = 10
    scan = read(pictured(raster, fogra39(), PLAIN))
    assert not scan.clean[60]
    assert scan.clean.mean() > 0.9


def test_the_code_reads_back_and_never_as_another() -> None:
    for number in ("000000", "ffffff", "0a86d0"):
        cells = code_cells(number)
        assert cells.shape == (CELLS,)
        levels = np.where(cells, 30.0, 220.0)
        assert read_code(levels) == number
        for i in range(CELLS):
            smeared = levels.copy()
            smeared[i] = 250.0 - smeared[i]
            assert read_code(smeared) is None
        assert read_code(levels[::-1]) != number
    assert read_code(np.full(CELLS, 200.0)) is None
