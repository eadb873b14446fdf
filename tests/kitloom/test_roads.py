"""The four roads walked with the files alone: opened, placed, compared in millimetres.

Readers that are not ours: svgelements for SVG, ezdxf for DXF, PDFium for PDF, Pillow for pictures,
and for HP-GL a few lines here, after the commands' public meaning. Each sticker has a colour of its
own: where its ink ends on the picture, less the bleed, is where its cut line must run.
"""

from __future__ import annotations

import base64
import io
import math
import re
from pathlib import Path
from xml.etree import ElementTree as ET

import ezdxf
import ezdxf.path
import numpy as np
import pypdfium2
import pytest
import svgelements
from PIL import Image

from kitloom.disk import SINGLE_FILES
from kitloom.roads import CAUTIONS, PRINTING, ROADS, spans
from kitloom.roads.table import FACTORS

from .inside import called

ROOT = Path(__file__).parents[2]
SVG = "{http://www.w3.org/2000/svg}"
PAPER_MM = (215.9, 279.4)  # Letter, ANSI/ASME Y14.1
BLEED_MM = 1.5
NEAR_MM = 0.13  # a pixel at 200 dpi
INKS = ("#c4543c", "#3b5b7a", "#6a8a4a", "#8a5ba0", "#d09030", "#2f8f8a")
MARKS_AT = ((22.0, 24.0), (190.0, 24.0), (22.0, 250.0), (190.0, 250.0))
RECIPE = f"""\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "Letter"
dpi = 200
bleed = "{BLEED_MM}mm"
gap = "4mm"
[palette]
colours = 2
[[patterns]]
file = "blue.png"
repeat = "20mm"
[[rows]]
sticker = "half box"
count = 6
fill = {list(INKS)}
""" + "".join(
    f'[[marks]]\nshape = "disc"\nat = "{x}mm x {y}mm"\nsize = "5mm"\n' for x, y in MARKS_AT
)


@pytest.fixture(scope="module")
def kit(tmp_path_factory):
    folder = tmp_path_factory.mktemp("roads")
    Image.new("RGB", (200, 200), "#3b5b7a").save(folder / "blue.png")
    (folder / "kit.toml").write_text(RECIPE, "utf-8")
    done = called("make", folder / "kit.toml", "--out", folder / "kit")
    assert done.returncode == 0, done.stdout + done.stderr
    return folder / "kit"


# ---- what the print shows


def rgb(ink):
    return np.array([int(ink[k : k + 2], 16) for k in (1, 3, 5)])


def printed(picture, size_mm):
    """By ink, where its sticker is printed: left, top, right, bottom in mm of the page."""
    pixels = np.asarray(picture.convert("RGB")).astype(int)
    across, down = pixels.shape[1] / size_mm[0], pixels.shape[0] / size_mm[1]
    found = {}
    for ink in (*INKS, "#000000"):
        close = np.abs(pixels - rgb(ink)).max(axis=2) < 24
        cols, rows = np.flatnonzero(close.any(axis=0)), np.flatnonzero(close.any(axis=1))
        found[ink] = (
            cols[0] / across, rows[0] / down, (cols[-1] + 1) / across, (rows[-1] + 1) / down
        )  # fmt: skip
    return found


def mark_middles(picture, size_mm):
    """The middles of the printed marks, one in each quarter of the page, mm."""
    dark = np.asarray(picture.convert("L")) < 100
    per_mm = dark.shape[1] / size_mm[0]
    middles = []
    for x, y in MARKS_AT:
        window = [slice(round((v - 5) * per_mm), round((v + 5) * per_mm)) for v in (y, x)]
        rows, cols = np.nonzero(dark[window[0], window[1]])
        middles.append(
            (
                (window[1].start + cols.mean() + 0.5) / per_mm,
                (window[0].start + rows.mean() + 0.5) / per_mm,
            )
        )
    return np.array(middles)


def pdf_picture(kit):
    document = pypdfium2.PdfDocument(kit / "sheet-1.pdf")
    size_mm = tuple(points * 25.4 / 72 for points in document[0].get_size())
    picture = document[0].render(scale=200 / 72).to_pil()
    document.close()
    assert size_mm == pytest.approx(PAPER_MM, abs=0.01)
    return picture, size_mm


def compared(cuts, prints):
    """Hold each cut line's box against the ink that it lies in: the bleed on all four sides."""
    assert len(cuts) == len(INKS)
    worst = 0.0
    for ink in INKS:
        ink_box = np.array(prints[ink])
        middle = (ink_box[:2] + ink_box[2:]) / 2
        cut = min(cuts, key=lambda one: np.hypot(*((one[:2] + one[2:]) / 2 - middle)))
        past = np.array([*(cut[:2] - ink_box[:2]), *(ink_box[2:] - cut[2:])])
        worst = max(worst, float(np.abs(past - BLEED_MM).max()))
    assert worst <= NEAR_MM, f"a cut line lies {worst:.2f} mm off its print"


# ---- what the cut files hold


def svg_groups(path):
    """By group of the drawing, its outlines' boxes in mm; and the drawing's size in mm."""
    drawing = svgelements.SVG.parse(str(path), reify=True, ppi=25.4)  # an inch is 25.4 units: mm
    groups = {}
    for group in drawing:
        if isinstance(group, svgelements.Group) and group.id:
            boxes = [one.bbox() for one in group.select(lambda e: isinstance(e, svgelements.Path))]
            groups[group.id] = [np.array(box) for box in boxes]
    return groups, (float(drawing.width), float(drawing.height))


def dxf_layers(path):
    """By layer its outlines' boxes, y turned to run down from the paper's top."""
    drawing = ezdxf.readfile(path)
    layers = {}
    for one in drawing.modelspace():
        points = list(ezdxf.path.make_path(one).flattening(0.01))
        x, y = [p.x for p in points], [PAPER_MM[1] - p.y for p in points]
        layers.setdefault(one.dxf.layer, []).append(np.array([min(x), min(y), max(x), max(y)]))
    return layers


def hpgl_boxes(path):
    """The boxes of what the pen draws, in mm from the paper's top left: 40 units a millimetre."""
    boxes, at, down, line = [], (0.0, 0.0), False, []
    for word in path.read_text("ascii").replace("\n", "").split(";"):
        name, numbers = word[:2], [float(n) for n in re.findall(r"-?[\d.]+", word[2:])]
        if name == "PU":
            if down and line:
                boxes.append(line)
            down, line = False, []
        if name == "PD" and not down:
            down, line = True, [at]
        if name in {"PU", "PD"} and numbers:
            at = (numbers[-2], numbers[-1])
            line += [at] if down else []
        if name == "AA":
            cx, cy, sweep = numbers[:3]
            radius = math.dist(at, (cx, cy))
            start = math.atan2(at[1] - cy, at[0] - cx)
            for k in range(1, 33):
                angle = start + math.radians(sweep) * k / 32
                line.append((cx + radius * math.cos(angle), cy + radius * math.sin(angle)))
            at = line[-1]
    ends = [np.array(one) / 40 for one in boxes]
    return [
        np.array([*one.min(axis=0), *one.max(axis=0)])[[0, 3, 2, 1]] * (1, -1, 1, -1)
        + (0, PAPER_MM[1], 0, PAPER_MM[1])
        for one in ends
    ]


def middles_of(boxes):
    return np.array([(box[:2] + box[2:]) / 2 for box in boxes])


# ---- the roads


@pytest.mark.slow
def test_road_one_picture_and_lines_in_one_drawing(kit):
    """Else the program prints a picture that its own cut lines do not fit."""
    root = ET.parse(kit / "sheet-1-all.svg").getroot()  # noqa: S314  our own file
    image = next(root.iter(f"{SVG}image"))
    href = next(value for key, value in image.attrib.items() if key.endswith("href"))
    picture = Image.open(io.BytesIO(base64.b64decode(href.split(",")[1])))
    wide, high = float(image.attrib["width"]), float(image.attrib["height"])
    left, top = float(image.attrib.get("x", 0)), float(image.attrib.get("y", 0))
    groups, size = svg_groups(kit / "sheet-1-all.svg")
    assert size == pytest.approx(PAPER_MM, abs=0.01)
    assert (left, top) == (0.0, 0.0)
    compared(groups["kiss-cut"], printed(picture, (wide, high)))


@pytest.mark.slow
def test_road_one_picture_and_lines_apart_centre_on_centre(kit):
    with Image.open(kit / "sheet-1-print.png") as picture:
        size_mm = tuple(
            px / dpi * 25.4 for px, dpi in zip(picture.size, picture.info["dpi"], strict=True)
        )
        prints = printed(picture, size_mm)
    groups, _ = svg_groups(kit / "sheet-1.svg")
    whole = np.array([box for boxes in groups.values() for box in boxes])
    middle = (whole[:, :2].min(axis=0) + whole[:, 2:].max(axis=0)) / 2
    move = np.array(size_mm) / 2 - middle
    compared([box + np.tile(move, 2) for box in groups["kiss-cut"]], prints)


@pytest.mark.slow
@pytest.mark.parametrize("pixels_an_inch", FACTORS)
def test_the_factors_make_a_drawing_as_large_as_it_is(kit, pixels_an_inch):
    """A program that passes over the millimetres takes the numbers of the view box for pixels."""
    root = ET.parse(kit / "sheet-1.svg").getroot()  # noqa: S314  our own file
    numbers = [float(n) for n in root.attrib["viewBox"].split()]
    comes_in_mm = np.array(numbers[2:]) / pixels_an_inch * 25.4
    factor = float(FACTORS[pixels_an_inch].removesuffix("%")) / 100
    assert comes_in_mm * factor == pytest.approx(PAPER_MM, abs=0.01)


@pytest.mark.slow
@pytest.mark.parametrize("ends", ["svg", "dxf"])
def test_road_two_corner_on_corner_and_the_marks_where_they_are_printed(kit, ends):
    picture, size_mm = pdf_picture(kit)
    groups = (
        svg_groups(kit / "sheet-1.svg")[0] if ends == "svg" else dxf_layers(kit / "sheet-1.dxf")
    )
    names = {"svg": ("kiss-cut", "page", "marks"), "dxf": ("KISS_CUT", "PAGE", "MARKS")}[ends]
    cuts, (page,), marks = (groups[name] for name in names)
    assert page == pytest.approx((0, 0, *PAPER_MM), abs=0.01)
    compared([box - np.tile(page[:2], 2) for box in cuts], printed(picture, size_mm))
    there = middles_of(marks)
    for middle in mark_middles(picture, size_mm):
        assert np.hypot(*(there - middle).T).min() <= NEAR_MM


@pytest.mark.slow
@pytest.mark.parametrize(("turn_deg", "move"), [(0.0, (0.0, 0.0)), (1.7, (6.0, -4.0))])
def test_road_three_points_under_a_pointer(kit, turn_deg, move):
    """The sheet lies askew on the bed; three points are enough, and the fourth shows it."""
    picture, size_mm = pdf_picture(kit)
    angle = math.radians(turn_deg)
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])

    def on_bed(points):
        return points @ turn.T + move

    groups, _ = svg_groups(kit / "sheet-1.svg")
    pointed = on_bed(mark_middles(picture, size_mm))
    there = middles_of(groups["marks"])
    page_marks = np.array([there[np.hypot(*(there - at).T).argmin()] for at in MARKS_AT])
    # as a program does it: the turn and move that take three points to where they were pointed at
    a, b = page_marks[:3] - page_marks[:3].mean(axis=0), pointed[:3] - pointed[:3].mean(axis=0)
    u, _, vt = np.linalg.svd(a.T @ b)
    found = (u @ np.diag([1, np.linalg.det(u @ vt)]) @ vt).T
    shift = pointed[:3].mean(axis=0) - found @ page_marks[:3].mean(axis=0)
    assert found @ page_marks[3] + shift == pytest.approx(pointed[3], abs=NEAR_MM)
    # the cut lines on the bed, seen from the paper
    seen = []
    for box in groups["kiss-cut"]:
        corners = np.array([box[:2], box[2:]])
        seen.append(((corners @ found.T + shift - move) @ turn).ravel())
    compared(seen, printed(picture, size_mm))


@pytest.mark.slow
@pytest.mark.parametrize("ends", ["svg", "hpgl"])
def test_road_four_corner_of_the_mat(kit, ends):
    picture, size_mm = pdf_picture(kit)
    groups, _ = svg_groups(kit / "sheet-1.svg")
    cuts = groups["kiss-cut"] if ends == "svg" else hpgl_boxes(kit / "sheet-1.hpgl")
    bottom_left = np.array([groups["page"][0][0], groups["page"][0][3]])
    assert bottom_left == pytest.approx((0.0, PAPER_MM[1]), abs=0.01)
    compared(cuts, printed(picture, size_mm))


# ---- the texts


def test_the_cautions_are_short_and_name_what_hurts():
    """Else a maker learns from a burn or a cut what nobody said."""
    said = " ".join(CAUTIONS)
    for word in (
        "instructions", "local rules", "laser printer", "hot laminator", "dry", "sprays",
        "solvents", "blades", "carriages", "children", "small parts",
    ):  # fmt: skip
        assert word in said
    assert max(map(len, CAUTIONS)) <= 180


def test_how_to_print_names_all_that_spoils_a_sheet():
    """Common practice, no published source: each of these has spoilt a sheet of good paper."""
    said = " ".join(PRINTING)
    for word in (
        "single sheets", "printable side", "paper type", "100%", "Fit to page", "borderless",
        "manage colour", "mirrored", "both sides", "several pages", "rulers", "its number",
    ):  # fmt: skip
        assert word in said
    text = (ROOT / "docs/print-and-cut.md").read_text("utf-8")
    assert "".join(f"- {sentence}\n" for sentence in PRINTING) in text


@pytest.mark.parametrize("name", ["README.md", "docs/first-kit.md", "docs/print-and-cut.md"])
def test_each_text_that_leads_to_the_cutter_shows_the_cautions(name):
    text = (ROOT / name).read_text("utf-8")
    assert "".join(f"- {sentence}\n" for sentence in CAUTIONS) in text


@pytest.mark.parametrize("road", ROADS, ids=lambda road: road.key)
def test_a_road_has_five_steps_and_names_files_that_there_are(road):
    """Else a maker looks for a file that no kit has."""
    from kit.writers import WRITERS

    known = {f"sheet-1{one.suffix}" for one in WRITERS.values()} | set(SINGLE_FILES)
    assert len(road.steps) == 5
    named = set()
    for text in (*road.steps, road.check):
        named |= {piece for piece, code in spans(text) if code and piece.startswith("sheet-")}
    assert named == set(road.files)
    assert set(road.files) <= known
