"""The colour chart's way from recipe to files, and back from a scan or table to a printer's file.

In: a recipe or a paper's name; later the file that was read and the chart's list. Out: the files'
bytes; a ``ChartRecord`` with how well the reading went. The only words are those printed on the
sheet. Not done here: sentences about a reading (``kitloom.findings.printed_charts``), writing.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from kit.chart import ChartLayout, ChartWords, chart_page, lay_chart
from kit.recipe import Recipe, find_paper
from kit.writers import print_pdf, print_png
from palette.chart import ChartList, MeasuredChart, from_cgats, from_colours, from_table, to_cgats
from palette.errors import ProfileError
from palette.exchange import cgats, cxf
from palette.file_bytes import read_bytes
from palette.press import ChartRecord, fit_chart
from palette.scan import ScanReading, read_scan
from patterns.artwork import SUFFIXES, open_artwork

WORDS = ChartWords(
    "Colour chart",
    (
        "Print at actual size, in colour, with the paper and settings of your stickers. Let it dry "
        "for a day. Lay it flat on the scanner: the whole sheet, 150 to 300 dpi, no automatic "
        "corrections.",
    ),
)
# light that escapes every model of a scanner: other dyes than it was made for, flare; a guess
SCANNER_DE2000 = 2.0
MOST_TABLE_BYTES = 8_000_000


@dataclass(frozen=True)
class ReadingQuality:
    """How a reading went.

    Attributes:
        scan: what was measured on the way from a scan, or None from an instrument.
        left_out: patches that were not used.
    """

    scan: ScanReading | None
    left_out: int


def chart_for(recipe: Recipe | None, paper: str | None) -> ChartLayout:
    """Return the chart for a recipe's paper and margins, or for a paper's name.

    Raises:
        RecipeError: no such paper, or too small a one.
    """
    if recipe is None:
        return lay_chart(find_paper(paper or "Letter", where="--paper"))
    sheet = find_paper(paper, where="--paper") if paper else recipe.sheet.paper
    return lay_chart(sheet, recipe.sheet.margin)


def chart_files(layout: ChartLayout) -> dict[str, bytes]:
    """Return the chart's files by name."""
    page = chart_page(layout, WORDS)
    return {
        "chart.pdf": print_pdf(page),
        "chart.png": print_png(page),
        "chart.txt": cgats.write(to_cgats(layout.chart)),
    }


def read_chart(file: Path, listing: Path) -> tuple[ChartRecord, ReadingQuality]:
    """Read a chart back from a scan, a photograph or an instrument's file.

    Raises:
        KitloomError: a file that cannot be read, or is not of this chart.
    """
    chart = from_cgats(_bytes(listing), str(listing))
    if file.suffix.lower() in SUFFIXES:
        return _from_scan(file, chart)
    data, where = _bytes(file), str(file)
    if data.lstrip()[:1] == b"<":
        measured = from_colours(cxf.read(data, where), chart, where)
    else:
        measured = from_table(cgats.read(data, where), chart, where)
    return _from_instrument(measured, chart)


def _from_instrument(
    measured: MeasuredChart, chart: ChartList
) -> tuple[ChartRecord, ReadingQuality]:
    fit = fit_chart(measured.rgb, measured.lab)
    record = ChartRecord(
        chart_id=chart.chart_id,
        source="instrument",
        rgb=measured.rgb,
        lab=measured.lab,
        choice=fit.choice,
        error=fit.error,
        reading_de2000=measured.noise_de2000,
        paper_lab=measured.paper_lab,
        black_lab=measured.black_lab,
    )
    return record, ReadingQuality(None, len(chart.rgb) - len(measured.rgb))


def _from_scan(file: Path, chart: ChartList) -> tuple[ChartRecord, ReadingQuality]:
    picture = open_artwork(file)
    scan = read_scan(picture.pixels, picture.dpi, chart, str(file))
    rgb, lab = chart.rgb[scan.clean], scan.scanner.lab[scan.clean]
    fit = fit_chart(rgb, lab)
    size = scan.size
    known = size.x_error is not None and size.y_error is not None
    record = ChartRecord(
        chart_id=chart.chart_id,
        source="scan",
        rgb=rgb,
        lab=lab,
        choice=fit.choice,
        error=fit.error,
        reading_de2000=SCANNER_DE2000 + scan.noise_de2000,
        scale_error=(size.x_error or 0.0, size.y_error or 0.0) if known else None,
        margins_mm={edge: mm for edge, mm in size.margins_mm.items() if mm is not None},
    )
    return record, ReadingQuality(scan, int((~scan.clean).sum()))


def _bytes(path: Path) -> bytes:
    return read_bytes(path, MOST_TABLE_BYTES, ProfileError, noun="table of measurements")
