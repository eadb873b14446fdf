"""The colour chart's way from recipe to files, and back from a scan or table to a printer's file.

In: a recipe or a paper's name; later a scan, a photograph or a table, and the chart's list. Out:
files' bytes; a ``ChartRecord`` with how well the reading went. A room of its own beside
``kitloom.colours``, since what reads a scan takes long to load and a kit needs none of it. Not done
here: sentences about a reading (``kitloom.findings.printed_charts``), writing.
"""

from kitloom.charts.printed_chart import (
    ReadingQuality,
    ScannerWord,
    chart_files,
    chart_for,
    read_chart,
)

__all__ = ["ReadingQuality", "ScannerWord", "chart_files", "chart_for", "read_chart"]
