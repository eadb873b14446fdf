"""One example of every finding, said by kitloom itself.

Most come from runs on the samples and on a few small tiles drawn here, each with its fault. Those
about a printer's chart come from a published press that stands in for a printer, with the figures
that are not in a press (scale, margins, a rough fit) set by hand: the page says which. A sticker
that is left bare is drawn so here.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, ImageChops, ImageDraw

from kit.recipe import parse_recipe
from kit.render import render_page
from kit.shapes import Rect, rounded_rectangle
from kit.sheet import ColourFill, Placement, Sheet
from kitloom.charts import ReadingQuality
from kitloom.findings import Finding, bare_findings, chart_findings
from palette.chart import Evenness, chart_colours, facts_of, grey_ramp
from palette.press import ChartRecord, fit_chart, open_press, to_toml
from palette.press.chart_fit import FitError
from palette.scan import PrintFaults, ScanReading
from palette.scan.frame import Frame
from palette.scan.print_size import PrintedSize
from palette.scan.scanner import ScannerReading
from palette.space import srgb_to_lab
from reference.running import ROOT, desk, run

FAULTY, DAY, EVENING = (f"samples/allotment/{name}" for name in ("faulty", "tiles", "evening"))

_ODD = """\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A5"
gap = "0.8mm"
bleed = "0.2mm"
registration = "0.5mm"
ruler_reads = "109.7mm"
[palette]
colours = 6
[fills]
variety = {variety}
[[patterns]]
name = "{name}"
file = "{tile}.png"
repeat = "30mm"
[[rows]]
sticker = "full box"
count = 2
panel = "white"
border = "1mm"
fill = ["#3b5b7a", "#3c5c7b"]
[[rows]]
sticker = "half box"
count = 2
fill = ["#0030c0", "#0000c0"]
[[rows]]
sticker = "half box"
count = 4
fill = "{name}"
[[rows]]
sticker = "label"
text = ["Water the tomatoes, the beans and the courgettes"]
fill = "palette"
"""

_FLOWERS = _ODD.format(name="flowers", tile=f"{DAY}/sprigs", variety=0)
_STRIPES = _ODD.format(name="stripes", tile="diagonal", variety=0.5) + '[press]\nsurface = "matt"\n'

_OWN = """\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A5"
[palette]
colours = 6
[[patterns]]
file = "samples/allotment/tiles/sprigs.png"
repeat = "30mm"
looked = "0123456789ab"
[[coordinates]]
kind = "gingham"
colours = ["#d8c8a8", "#dccca9"]
size = "8mm"
[[rows]]
sticker = "custom"
count = 1
outline = "jar.svg"
size = "30mm x 30mm"
[[rows]]
sticker = "icon"
count = 1
picture = "moon.png"
size = "30mm x 30mm"
distance = "0mm"
[[rows]]
sticker = "dot"
count = 2
fill = "palette"
held = [{ fill = "#ff00aa" }]
[cut]
offset = "-0.35mm 0.2mm"
turn = "0.04deg"
"""
_LOUD = """\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A5"
[[patterns]]
file = "samples/allotment/faulty/neon.png"
repeat = "30mm"
[[coordinates]]
kind = "gingham"
colours = ["#f7efdf", "#ff00aa"]
size = "8mm"
[[rows]]
sticker = "full box"
count = 2
fill = ["neon", "gingham"]
"""
_JAR = """\
<svg xmlns="http://www.w3.org/2000/svg"><circle cx="50" cy="50" r="60"/>
<path d="M0 0 H49.5 V60 H50.5 V0 H100 V100 H0 Z"/></svg>
"""

_THROUGH = """\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A5"
bleed = "2mm"
registration = "0.3mm"
[cut]
through = "both"
[palette]
colours = 6
[[marks]]
shape = "disc"
at = "65mm x 100mm"
size = "5mm"
[[patterns]]
file = "samples/allotment/tiles/sprigs.png"
repeat = "30mm"
[[rows]]
sticker = "half box"
count = 4
[[rows]]
sticker = "quarter box"
count = 4
fill = "palette"
"""

_PLACED = """\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A5"
[[patterns]]
file = "samples/allotment/tiles/sprigs.png"
repeat = "30mm"
[[rows]]
sticker = "full box"
count = 1
at = "90mm x 120mm"
"""

_RUNS: tuple[tuple[str, ...], ...] = (
    ("check", FAULTY, "lines.png"),
    ("check", "library", "--workers", "1"),
    ("check", "dark.png"),
    ("check", "wide.png"),
    ("check", "framed.png"),
    ("mend", f"{FAULTY}/fringe.png", "patchwork.png", "--out", "mended"),
    ("proof", "#ff3ea5", f"{FAULTY}/neon.png"),
    ("proof", f"{FAULTY}/neon.png", "--repair", "repaired"),
    ("proof", f"{DAY}/fern-lines.png", "--repeat", "18mm"),
    ("proof", "dark.png", "--profile", "coated.icc"),
    ("palette", DAY, "--pin", "#ff2bd6", "--pin", "#ff3ae0", "--out", "p"),
    ("palette", DAY, "--pin", "#60c030", "--pin", "#00ff00"),
    ("palette", DAY, f"{FAULTY}/neon.png"),
    ("proof", "loud.toml", "--repair", "repaired-kit"),
    ("palette", EVENING, "--from", "p/palette.json"),
    (
        *("palette", "faint.png", "--from", "p/palette.json", "--colourway", "worn"),
        *("--pair", "#808080=#ffffff", "--pair", "#828282=#203040"),
    ),
    ("draft", "worn", "--box", "4.2mm x 50mm", "--out", "small.toml"),
    ("proof", "--chart", "chart"),
    ("rescale", f"{FAULTY}/too-small.png", "--repeat", "40mm", "--out", "rescaled"),
    ("lift", f"{DAY}/rain.jpg", f"{DAY}/pods.png", "--size", "40mm", "--out", "motifs"),
    ("make", "flowers.toml"),
    ("make", "stripes.toml"),
    ("make", "own.toml"),
    ("make", "through.toml"),
    ("make", "placed.toml", "--box", "60mm x 70mm", "--out", "placed"),
    ("make", "printed.toml"),
    ("make", "flowers.toml", "--keep", "flowers/kit.lock.json", "--out", "again"),
    ("make", "samples/allotment/kit.toml", "--patterns", EVENING, "--out", "kit"),
)


def examples() -> dict[str, dict[str, Any]]:
    """Return the first finding of each code that the runs give, as ``--json`` shows it."""
    found: dict[str, dict[str, Any]] = {}
    with desk() as folder:
        _draw(folder)
        for words in _RUNS:
            for one in json.loads(run([*words, "--json"], folder))["findings"]:
                found.setdefault(one["code"], one)
    for one in [*_charts(), *_bare()]:
        found.setdefault(one.code, one.as_dict())
    return found


def _draw(folder: Path) -> None:
    """Put tiles and recipes with known faults into the folder."""
    lines = Image.new("RGB", (240, 240), "#f4eedc")
    pen = ImageDraw.Draw(lines)
    for x in range(0, 240, 40):  # one line lies on the join
        pen.line((x, 0, x, 239), fill="#3b5b7a", width=3)
    lines.save(folder / "lines.png")
    (folder / "library").mkdir()
    sprigs = Image.open(ROOT / DAY / "sprigs.png").convert("RGB")
    sprigs.save(folder / "library" / "sprigs.png")
    wide = Image.new("RGB", (1080, 960))
    for x in (0, 960):
        wide.paste(sprigs, (x, 0))
    wide.save(folder / "wide.png")
    framed = Image.new("RGB", (1080, 1080), "#fafaf7")
    framed.paste(sprigs, (60, 60))
    framed.save(folder / "framed.png")
    moved = ImageChops.offset(sprigs.resize((600, 600)), 140, 90)
    moved.save(folder / "library" / "sprigs-web.png")
    whole = (folder / "library" / "sprigs.png").read_bytes()
    (folder / "library" / "half-a-download.png").write_bytes(whole[: len(whole) // 2])
    faint = Image.new("RGB", (240, 240), "#808080")
    pen = ImageDraw.Draw(faint)
    pen.ellipse((180, 60, 300, 180), fill="#828282")  # cut off, but nobody sees it
    pen.rectangle((40, 40, 80, 80), fill="#c04040")
    faint.save(folder / "faint.png")
    (folder / "coated.icc").symlink_to(ROOT / "tests/standards/data/FOGRA39L_coated.icc")
    Image.new("RGB", (240, 240), "#101018").save(folder / "dark.png")
    across, down = np.meshgrid(np.arange(240), np.arange(240))
    stripes = np.where((across + down) % 40 < 20, 60, 235).astype(np.uint8)
    Image.fromarray(stripes).save(folder / "diagonal.png")
    # every patch of another colour, paler from edge to edge: nothing in it hides its join
    patches = np.random.default_rng(0).integers(0, 256, (12, 9, 3))
    shade = np.linspace(0.1, 1.0, 144)[None, :, None]
    patchwork = (np.kron(patches, np.ones((12, 16, 1))) * shade).astype(np.uint8)
    Image.fromarray(patchwork).save(folder / "patchwork.png")
    haze = Image.new("RGBA", (300, 300), (240, 220, 140, 12))
    ImageDraw.Draw(haze).ellipse((100, 100, 200, 200), fill=(240, 220, 140, 255))
    haze.save(folder / "moon.png")
    (folder / "jar.svg").write_text(_JAR, "utf-8")
    (folder / "own.toml").write_text(_OWN, "utf-8")
    (folder / "loud.toml").write_text(_LOUD, "utf-8")
    (folder / "through.toml").write_text(_THROUGH, "utf-8")
    (folder / "placed.toml").write_text(_PLACED, "utf-8")
    through = '[press]\nchart = "my-printer.toml"\nconvert = true\n'
    (folder / "printed.toml").write_text(_OWN + through, "utf-8")
    (folder / "my-printer.toml").write_bytes(to_toml(_measured()))
    (folder / "flowers.toml").write_text(_FLOWERS, "utf-8")
    (folder / "stripes.toml").write_text(_STRIPES, "utf-8")


def _bare() -> Sequence[Finding]:
    """What is said where a sticker's fill was drawn too small: no run does that."""
    box = Rect(20.0, 20.0, 30.0, 30.0)
    fill = ColourFill("#3b5b7a")
    drawn = Placement("custom", box, rounded_rectangle(box), fill, box.grow(-4.0))
    sheet = Sheet("Example", 100.0, 100.0, 100.0, (drawn,))
    return bare_findings([sheet], [render_page(sheet, {}).unprinted])


def _charts() -> Sequence[Finding]:
    """Findings about a printer that prints as uncoated offset does."""
    record = _measured()
    quality = ReadingQuality(None, 3)
    recipe = parse_recipe(
        _ODD.format(name="flowers", tile="samples/allotment/tiles/sprigs", variety=0),
        Path("kit.toml"),
    )
    good = chart_findings("scan.png", record, facts_of(record), quality, recipe)
    poor = replace(record, error=FitError(4.1, 9.6), scanner="doubtful")
    clipped = replace(facts_of(record), black_up_to=24, white_down_to=250)
    spoilt = ReadingQuality(_spoilt_scan(), 3, Evenness(0.024, patchy=True))
    known = replace(record, scanner="managed")
    return [
        *good,
        *chart_findings("scan.png", poor, clipped, spoilt, None),
        *chart_findings("scan.png", known, facts_of(known), quality, None),
    ]


def _measured() -> ChartRecord:
    sent = np.concatenate([chart_colours(), grey_ramp()]).astype(np.uint8)
    lab = open_press("matt").to_print(srgb_to_lab(sent))
    return ChartRecord(
        *("example", "scan", sent, lab, fit_chart(sent, lab).choice, FitError(1.1, 2.6), 2.0),
        scale_error=(-0.004, -0.002),
        margins_mm={"top": 4.2, "bottom": 14.0},
        scanner="fitted",
    )


def _spoilt_scan() -> ScanReading:
    """A scan that lies as in a mirror, of a print with bands, a little too light."""
    frame = Frame(
        np.eye(3), np.zeros((4, 2)), mirrored=True, turn_deg=0.0, px_per_mm=6.0, leaning=0.0
    )
    return ScanReading(
        frame=frame,
        scanner=ScannerReading(np.zeros((1, 3)), None, None),
        clean=np.ones(1, dtype=bool),
        size=PrintedSize(None, None, {}),
        faults=PrintFaults(banding=0.066, banded=True, overexposed=0.09, burnt=True),
        falloff=0.0,
        blur_mm=0.1,
        noise_de2000=0.3,
    )
