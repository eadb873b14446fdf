"""An instrument's table of a chart, as colours relative to the paper.

In: a CGATS table or CxF3 objects with CIELAB, and the ``ChartList``. Rows are matched by the
patch's name, else its number, else by the RGB in the table, else by their order if there are just
as many. Out: the list's colours and what was measured, relative to the mean of the white patches
and to the printed black, with both kept absolute: an instrument supports absolute colours.

Source: media-relative colorimetry (ICC.1:2022, 6.3.2) and black point compensation (ISO 18619:2015)
as in ``neugebauer.paper_relative``. Not done here: reading files.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Indices, Pixels
from palette.chart.listing import ChartList
from palette.errors import ProfileError
from palette.exchange import CgatsTable, NamedColour, cgats
from palette.space import D50, lab_to_xyz, srgb_to_lab, triple_of, xyz_to_lab

LEAST_SHARE = 0.8  # of the patches that must be measured
LEAST_ORDER = 0.8  # correlation of lightness asked and measured


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredChart:
    """A chart measured by an instrument.

    Attributes:
        rgb: (n, 3) uint8 sent to the printer.
        lab: (n, 3) relative to paper and black.
        paper_lab: the paper, absolute.
        black_lab: the printed black, absolute.
        noise_de2000: spread of the copies of plain paper.
    """

    rgb: Pixels
    lab: Floats
    paper_lab: tuple[float, float, float]
    black_lab: tuple[float, float, float]
    noise_de2000: float


def from_table(table: CgatsTable, chart: ChartList, where: str) -> MeasuredChart:
    """Return a CGATS table's measurements.

    Raises:
        PaletteError: the table has no usable colours.
        ProfileError: it is not of this chart.
    """
    lab = cgats.colours(table, where)
    table_id = table.keywords.get("CHART_ID", chart.chart_id)
    if table_id != chart.chart_id:
        raise _other(where, f"it is of chart {table_id}, the list of chart {chart.chart_id}")
    keys = [table.texts("SAMPLE_NAME"), table.texts("SAMPLE_ID"), table.texts("SAMPLEID")]
    at = _match([one for one in keys if one], chart, len(lab))
    rgb = table.numbers(("RGB_R", "RGB_G", "RGB_B"), where)
    if at is None and rgb is not None:
        at = _by_rgb(rgb, chart)
    if at is None:
        raise _other(where, f"its {len(lab)} rows do not name this chart's patches")
    if rgb is not None and np.abs(_as_bytes(rgb) - chart.rgb[at]).max() > 2.0:
        raise _other(where, "its RGB columns are not this chart's")
    return relative_to_print(chart.rgb[at], lab, len(chart.rgb), where)


def from_colours(colours: Sequence[NamedColour], chart: ChartList, where: str) -> MeasuredChart:
    """Return the measurements of named colours, such as CxF3 objects.

    Raises:
        ProfileError: they are not of this chart.
    """
    at = _match([tuple(one.name for one in colours)], chart, len(colours))
    if at is None:
        raise _other(where, f"its {len(colours)} colours are not named as this chart's patches")
    return relative_to_print(
        chart.rgb[at], np.array([c.lab for c in colours]), len(chart.rgb), where
    )


def _match(columns: Sequence[Sequence[str]], chart: ChartList, count: int) -> Indices | None:
    """Return each row's patch by name or number, or by order where the count is the same."""
    names = {name.upper(): i for i, name in enumerate(chart.names)}
    numbers = {str(i + 1): i for i in range(len(chart.names))}
    for known in (names, numbers):
        for column in columns:
            rows = [known.get(word.strip().upper().lstrip("0") or "0") for word in column]
            if all(i is not None for i in rows) and len(set(rows)) == len(rows):
                return np.array(rows, dtype=np.intp)
    return np.arange(count) if count == len(chart.names) else None


def _as_bytes(rgb: Floats) -> Floats:
    """Return RGB columns as 0 to 255; some programs write them as per cent."""
    return rgb * 2.55 if rgb.max() <= 100.5 else rgb


def _by_rgb(rgb: Floats, chart: ChartList) -> Indices | None:
    expected = {tuple(one): i for i, one in enumerate(chart.rgb.tolist())}
    rows = [expected.get(tuple(one)) for one in np.rint(_as_bytes(rgb)).astype(int).tolist()]
    if any(i is None for i in rows):
        return None
    return np.array(rows, dtype=np.intp)


def relative_to_print(rgb: Pixels, lab: Floats, expected: int, where: str) -> MeasuredChart:
    """Return measurements relative to paper and black.

    Args:
        rgb: (n, 3) uint8 sent to the printer.
        lab: (n, 3) measured, absolute.
        expected: how many patches the chart has.
        where: names the file in errors.

    Raises:
        ProfileError: too few patches, no paper or black among them, or another print.
    """
    white, black = (rgb == 255).all(axis=1), (rgb == 0).all(axis=1)
    if len(rgb) < LEAST_SHARE * expected or not white.any() or not black.any():
        raise ProfileError(
            f"holds {len(rgb)} of {expected} patches",
            where=where,
            why="plain paper, black and four fifths of the others are needed",
            remedy="Measure the whole chart.",
        )
    paper, dark = lab[white].mean(axis=0), lab[black].mean(axis=0)
    order = np.corrcoef(srgb_to_lab(rgb)[:, 0], lab[:, 0])[0, 1]
    if paper[0] < 60.0 or paper[0] - dark[0] < 20.0 or not order > LEAST_ORDER:
        raise _other(where, "its light and dark do not follow the chart")
    light = lab_to_xyz(lab) / lab_to_xyz(paper)
    depth = float((lab_to_xyz(dark) / lab_to_xyz(paper))[1])
    return MeasuredChart(
        rgb=np.array(rgb),
        lab=xyz_to_lab((light - depth) / (1.0 - depth) * D50),
        paper_lab=triple_of(paper),
        black_lab=triple_of(dark),
        noise_de2000=float(np.linalg.norm(lab[white] - paper, axis=1).mean()),
    )


def _other(where: str, why: str) -> ProfileError:
    return ProfileError(
        "does not measure this chart",
        where=where,
        why=why,
        remedy="Give the chart.txt that was written with the sheet, and measure its patches by "
        "their names or in their order.",
    )
