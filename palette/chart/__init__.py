"""A colour chart to print: which patches it holds, and what a measured one says.

In: a press or nothing for the patches, an instrument's table for the measured ones. Out: patches,
the chart's listing, colours relative to the paper, and facts that need no fit. Not done here:
drawing the chart (``kit.chart``), reading a scan of it (``palette.scan``).
"""

from palette.chart.evenness import Evenness, evenness_of
from palette.chart.facts import ChartFacts, facts_of
from palette.chart.listing import EDGES, ChartList, from_cgats, number_of, to_cgats
from palette.chart.measurement import MeasuredChart, from_colours, from_table
from palette.chart.patches import COLOURS, WHITES, chart_colours, grey_ramp

__all__ = [
    "COLOURS",
    "EDGES",
    "WHITES",
    "ChartFacts",
    "ChartList",
    "Evenness",
    "MeasuredChart",
    "chart_colours",
    "evenness_of",
    "facts_of",
    "from_cgats",
    "from_colours",
    "from_table",
    "grey_ramp",
    "number_of",
    "to_cgats",
]
