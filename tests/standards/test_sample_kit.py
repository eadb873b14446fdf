"""The sample kit's files, read back by programs that had no part in writing them.

Letter is 215.9 x 279.4 mm (ANSI/ASME Y14.1-2005, size A). A point is 1/72 inch (ISO 32000-1:2008,
8.3.2.3), and in DXF $INSUNITS 4 is millimetres (DXF reference, header variables): values from
memory. The tolerance of 0.01 mm is our own choice. Readers: pypdf and PDFium for the PDF,
svgelements for the SVG, GDAL (through pyogrio) and ezdxf's recovering reader for the DXF. The
stickers' sizes are compared with what the recipe says, not with what the program says it did.
"""

from __future__ import annotations

import io
import json
import re
import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
import pypdf
import pypdfium2
import pytest
import svgelements
from click.testing import CliRunner
from PIL import Image

from kitloom.cli import kitloom

RECIPE = Path(__file__).parents[2] / "samples" / "allotment" / "kit.toml"
LETTER_MM = (215.9, 279.4)
MM_PER_POINT = 25.4 / 72.0
# of 255, where a viewer smooths the edges of curves by its own rule: value from memory
MOST_OFF_IN_LETTERS = 32
MOTIF_DISTANCE_MM = 2.0  # as docs/recipe.md says of rows that do not say it
CUT_OFF_MM = 0.15  # how far a motif's cut may be off its distance; value from memory


@pytest.fixture(scope="module")
def kit(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("sample") / "kit"
    done = CliRunner().invoke(
        kitloom, ["make", str(RECIPE), "--out", str(folder), "--json"], standalone_mode=False
    )
    assert done.exception is None
    assert done.return_value == 0, "the sample has nothing to mend"
    (folder / "answer").write_text(done.stdout)
    return folder


def size_of(row: dict[str, Any]) -> tuple[float, float]:
    """A row's size by the recipe's own words: a share of a box of 40 x 52 mm, or in millimetres."""
    kinds = {"full box": "1 x 1", "half box": "1 x 0.5", "stitched box": "1 x 0.5"}
    words = row.get("size") or f"{kinds[row['sticker']]} box"
    wide, high = (float(n) for n in re.findall(r"[\d.]+", words))
    if words.endswith("box"):
        wide, high = 40.0 * wide, 52.0 * high
    return round(wide, 2), round(high, 2)


@pytest.fixture(scope="module")
def wanted() -> Counter[tuple[float, float]]:
    """How many cuts of which size; a motif's width follows from its drawing, so it counts as 0."""
    recipe = tomllib.loads(RECIPE.read_text())
    assert recipe["planner"]["box"] == "40mm x 52mm"
    sizes: Counter[tuple[float, float]] = Counter()
    for row in recipe["rows"]:
        wide, high = size_of(row)
        if row["sticker"] == "motif":
            wide, high = 0.0, round(high + 2.0 * MOTIF_DISTANCE_MM, 1)
        sizes[wide, high] += row.get("count", 7)  # days have none
    return sizes


def told_apart(
    sizes: Counter[tuple[float, float]], wanted: Counter[tuple[float, float]]
) -> Counter[tuple[float, float]]:
    """Return the sizes with those of about a motif's height, and no row's, as motifs' ones."""
    lifted_mm = next(high for wide, high in wanted if wide == 0.0)
    apart: Counter[tuple[float, float]] = Counter()
    for (wide, high), number in sizes.items():
        is_motif = (wide, high) not in wanted and abs(high - lifted_mm) <= CUT_OFF_MM
        apart[(0.0, lifted_mm) if is_motif else (wide, high)] += number
    return apart


@pytest.mark.parametrize("name", ["sheet-1.pdf", "sheet-1-layers.pdf"])
def test_the_page_is_letter_to_a_hundredth_of_a_millimetre(kit: Path, name: str) -> None:
    reader = pypdf.PdfReader(kit / name)
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    by_pypdf = float(box.width) * MM_PER_POINT, float(box.height) * MM_PER_POINT
    document = pypdfium2.PdfDocument(kit / name)
    by_pdfium = tuple(points * MM_PER_POINT for points in document[0].get_size())
    document.close()
    assert by_pypdf == pytest.approx(LETTER_MM, abs=0.01)
    assert by_pdfium == pytest.approx(LETTER_MM, abs=0.01)


@pytest.mark.parametrize("name", ["sheet-1.pdf", "sheet-1-layers.pdf"])
def test_the_pdf_shows_the_print_png_and_no_cut_line(kit: Path, name: str) -> None:
    with Image.open(kit / "sheet-1-print.png") as page:
        assert page.size == (2550, 3300)
        assert page.info["dpi"][0] == pytest.approx(300, abs=0.02)
        printed = np.asarray(page.convert("RGB"), dtype=np.int16)
    document = pypdfium2.PdfDocument(kit / name)
    scale = 300 / 72 * (1 - 1e-9)  # pypdfium2 rounds the size up, rounding error and all
    shown = np.asarray(document[0].render(scale=scale).to_pil().convert("RGB"), dtype=np.int16)
    document.close()
    assert shown.shape == printed.shape
    off = np.abs(shown - printed).max(axis=2)
    assert off.max() <= MOST_OFF_IN_LETTERS
    (sheet,) = json.loads((kit / "answer").read_text())["sheets"]
    for one in sheet["stickers"]:
        if one["kind"] in {"header", "label", "pennant", "checklist"}:  # letters are curves there
            left, top = (int(one[key] / 25.4 * 300) for key in ("x_mm", "y_mm"))
            wide, high = (int(one[key] / 25.4 * 300) for key in ("width_mm", "height_mm"))
            off[top : top + high, left : left + wide] = 0
    assert off.max() <= 1


def svg_boxes(drawing: svgelements.SVG) -> dict[str, list[tuple[float, ...]]]:
    """Return the boxes of every path of a cut file, by the group that it lies in."""
    groups = [one for one in drawing if isinstance(one, svgelements.Group)]
    boxes = {
        group.id: [path.bbox() for path in group.select(lambda e: isinstance(e, svgelements.Path))]
        for group in groups
    }
    paths = [one for one in drawing.elements() if isinstance(one, svgelements.Path)]
    assert sum(map(len, boxes.values())) == len(paths)  # none lies outside a group
    return boxes


def test_the_svg_cuts_the_stickers_outside_edges_alone(kit: Path, wanted: Counter) -> None:
    """Beside the cuts lies the paper's outline, to align by; a group of its own."""
    drawing = svgelements.SVG.parse(kit / "sheet-1.svg", ppi=25.4)  # so that 1 unit is 1 mm
    assert (float(drawing.width), float(drawing.height)) == pytest.approx(LETTER_MM, abs=0.001)
    boxes = svg_boxes(drawing)
    assert set(boxes) == {"kiss-cut", "page"}
    sizes = Counter((round(b[2] - b[0], 2), round(b[3] - b[1], 2)) for b in boxes["kiss-cut"])
    assert told_apart(sizes, wanted) == wanted
    (page,) = boxes["page"]
    assert page == pytest.approx((0.0, 0.0, *LETTER_MM), abs=0.001)


def test_the_dxf_holds_the_same_outlines_by_ezdxf(kit: Path, wanted: Counter) -> None:
    import ezdxf.path
    from ezdxf import recover
    from ezdxf.math import BoundingBox

    drawing, audit = recover.read(io.BytesIO((kit / "sheet-1.dxf").read_bytes()))
    assert (len(audit.errors), len(audit.fixes)) == (0, 0)
    assert drawing.header["$INSUNITS"] == 4  # millimetres
    sizes: dict[str, Counter[tuple[float, float]]] = {"KISS_CUT": Counter(), "PAGE": Counter()}
    for line in drawing.modelspace():
        assert line.dxftype() == "LWPOLYLINE"
        assert line.closed
        box = BoundingBox(ezdxf.path.make_path(line).flattening(0.0005)).size
        sizes[line.dxf.layer][round(box.x, 2), round(box.y, 2)] += 1
    assert told_apart(sizes["KISS_CUT"], wanted) == wanted
    assert sizes["PAGE"] == Counter([LETTER_MM])
    plots = {name: bool(drawing.layers.get(name).dxf.plot) for name in sizes}
    assert plots == {"KISS_CUT": True, "PAGE": False}


@pytest.mark.slow
def test_the_dxf_holds_the_same_outlines_by_gdal(kit: Path, wanted: Counter) -> None:
    from pyogrio.raw import read
    from shapely import from_wkb

    _, _, shapes, (layers,) = read(kit / "sheet-1.dxf", columns=["Layer"])
    sizes: dict[str, Counter[tuple[float, ...]]] = {"KISS_CUT": Counter(), "PAGE": Counter()}
    for layer, one in zip(layers, from_wkb(shapes), strict=True):
        extent = np.ptp(np.asarray(one.envelope.exterior.coords), axis=0)
        sizes[layer][tuple(round(float(v), 2) for v in extent)] += 1
    assert told_apart(sizes["KISS_CUT"], wanted) == wanted
    assert sizes["PAGE"] == Counter([LETTER_MM])


def test_what_json_says_is_where_the_cuts_are(kit: Path) -> None:
    (sheet,) = json.loads((kit / "answer").read_text())["sheets"]
    said = sorted(
        (
            round(s["x_mm"], 2),
            round(s["y_mm"], 2),
            round(s["width_mm"], 2),
            round(s["height_mm"], 2),
        )
        for s in sheet["stickers"]
    )
    drawing = svgelements.SVG.parse(kit / "sheet-1.svg", ppi=25.4)
    cut = sorted(
        (round(b[0], 2), round(b[1], 2), round(b[2] - b[0], 2), round(b[3] - b[1], 2))
        for b in svg_boxes(drawing)["kiss-cut"]
    )
    assert len(said) == len(cut)
    assert np.abs(np.array(said) - np.array(cut)).max() <= 0.0101
