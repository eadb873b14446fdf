"""What is on the chart and where: all that reading it back needs, as one small text file.

A ``ChartList`` holds the patches with the colour sent to the printer and their place in millimetres
from the sheet's top left corner, y down; the corner targets; the row of cells with the chart's
number; the bars that run to the paper's edges. It is kept as CGATS.17 text beside the chart, so
that an instrument's program can use it too: RGB runs 0 to 255.

Not done here: choosing or drawing any of it (``kit.chart.chart_sheet``).
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Mask, Pixels
from palette.errors import KitloomError, ProfileError
from palette.exchange import CgatsTable, cgats

EDGES = ("top", "right", "bottom", "left")
_FIELDS = ("SAMPLE_ID", "SAMPLE_NAME", "RGB_R", "RGB_G", "RGB_B", "X_MM", "Y_MM", "W_MM", "H_MM")


@dataclass(frozen=True, slots=True, eq=False)
class ChartList:
    """A chart as data.

    Attributes:
        chart_id: six hexadecimal digits; no two different charts share them.
        paper_mm: width and height of the sheet.
        names: what each patch is called on the sheet, such as "B7".
        rgb: (n, 3) sRGB uint8 sent to the printer.
        boxes_mm: (n, 4) left, top, width, height.
        targets_mm: (4, 2) centres: top left, top right, bottom right, bottom left.
        target_radius_mm: of the targets' rings.
        code_mm: left, top, width, height of the row of cells.
        bars_mm: (m, 4) start and end of the bars that run to the edges, the end on the edge.
    """

    chart_id: str
    paper_mm: tuple[float, float]
    names: tuple[str, ...]
    rgb: Pixels
    boxes_mm: Floats
    targets_mm: Floats
    target_radius_mm: float
    code_mm: tuple[float, float, float, float]
    bars_mm: Floats

    def __post_init__(self) -> None:
        for values in (self.rgb, self.boxes_mm, self.targets_mm, self.bars_mm):
            values.setflags(write=False)

    @property
    def centres_mm(self) -> Floats:
        """The patches' middles, (n, 2)."""
        middles: Floats = self.boxes_mm[:, :2] + self.boxes_mm[:, 2:] / 2.0
        return middles

    @property
    def white(self) -> Mask:
        """Which patches are plain paper, (n,)."""
        plain: Mask = (self.rgb == 255).all(axis=1)
        return plain

    @property
    def black(self) -> Mask:
        """Which patches ask for black, (n,)."""
        dark: Mask = (self.rgb == 0).all(axis=1)
        return dark

    @property
    def neutral(self) -> Mask:
        """Which patches ask for a grey, white and black among them, (n,)."""
        grey: Mask = (self.rgb == self.rgb[:, :1]).all(axis=1)
        return grey


def number_of(paper_mm: tuple[float, float], rgb: Pixels, boxes_mm: Floats) -> str:
    """Return the number of a chart: a digest of its paper, colours and places."""
    digest = hashlib.sha256(repr((paper_mm, rgb.tolist())).encode())
    digest.update(repr(np.round(boxes_mm, 2).tolist()).encode())
    return digest.hexdigest()[:6]


def to_cgats(chart: ChartList) -> CgatsTable:
    """Return the list as a table to be written."""
    keywords = {
        "ORIGINATOR": "kitloom",
        "DESCRIPTOR": "Colour chart; RGB 0 to 255 as sent to the printer",
        "CHART_ID": chart.chart_id,
        "PAPER_MM": _join(chart.paper_mm),
        "TARGETS_MM": _join(chart.targets_mm.ravel()),
        "TARGET_RADIUS_MM": _join([chart.target_radius_mm]),
        "CODE_MM": _join(chart.code_mm),
        "BARS_MM": _join(chart.bars_mm.ravel()),
    }
    rows = tuple(
        (str(i), name, *(str(v) for v in rgb), *(f"{mm:.3f}" for mm in box))
        for i, (name, rgb, box) in enumerate(
            zip(chart.names, chart.rgb.tolist(), chart.boxes_mm.tolist(), strict=True), start=1
        )
    )
    return CgatsTable(keywords, _FIELDS, rows)


def _join(values: Sequence[float] | Floats) -> str:
    return " ".join(f"{float(v):.3f}" for v in values)


def from_cgats(data: bytes, where: str) -> ChartList:
    """Return the chart of a list that kitloom wrote.

    Raises:
        ProfileError: the file is not such a list, or was changed.
    """
    try:
        table = cgats.read(data, where)
        rgb = table.numbers(("RGB_R", "RGB_G", "RGB_B"), where)
        boxes = table.numbers(("X_MM", "Y_MM", "W_MM", "H_MM"), where)
        names = table.texts("SAMPLE_NAME")
        if rgb is None or boxes is None or names is None:
            raise KeyError("columns")
        lengths = {k: [float(v) for v in table.keywords[k].split()] for k in _LENGTHS}
        paper = (lengths["PAPER_MM"][0], lengths["PAPER_MM"][1])
        code = lengths["CODE_MM"]
        chart = ChartList(
            chart_id=table.keywords["CHART_ID"],
            paper_mm=paper,
            names=names,
            rgb=np.rint(rgb).clip(0, 255).astype(np.uint8),
            boxes_mm=boxes,
            targets_mm=np.array(lengths["TARGETS_MM"]).reshape(4, 2),
            target_radius_mm=lengths["TARGET_RADIUS_MM"][0],
            code_mm=(code[0], code[1], code[2], code[3]),
            bars_mm=np.array(lengths["BARS_MM"]).reshape(-1, 4),
        )
    except (KeyError, ValueError, IndexError, KitloomError) as error:
        raise _not_a_list(where, "it was not written by kitloom proof --chart") from error
    if chart.chart_id != number_of(chart.paper_mm, chart.rgb, chart.boxes_mm):
        raise _not_a_list(where, "its patches were changed after it was written")
    return chart


_LENGTHS = ("PAPER_MM", "TARGETS_MM", "TARGET_RADIUS_MM", "CODE_MM", "BARS_MM")


def _not_a_list(where: str, why: str) -> ProfileError:
    return ProfileError(
        "is not the list of a chart",
        where=where,
        why=why,
        remedy="Give the chart.txt that was written with the printed chart.",
    )
