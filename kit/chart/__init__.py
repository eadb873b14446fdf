"""The colour chart as a sheet to print.

In: patches and a paper. Out: where each lies, and the page. Not done here: which patches
(``palette.chart``), or reading a print back (``palette.scan``).
"""

from kit.chart.chart_layout import ChartLayout, lay_chart
from kit.chart.chart_sheet import ChartWords, chart_page

__all__ = [
    "ChartLayout",
    "ChartWords",
    "chart_page",
    "lay_chart",
]
