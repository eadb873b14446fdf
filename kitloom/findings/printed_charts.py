"""Findings about the maker's own printer: what its chart says, and what the reading is worth."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kitloom.findings.codes import Finding, finding
from palette.press import ChartRecord

if TYPE_CHECKING:  # what reads a chart takes long to load, and few findings are about one
    from kit.recipe import Recipe
    from kitloom.charts import ReadingQuality
    from palette.chart import ChartFacts, ChartList

ROUGH_DE2000 = 3.0  # of patches left out: worse than a built-in press of the same kind
SCALE_ERROR = 0.0015  # a scanner's own resolution is no truer than that
MARGIN_SLACK_MM = 0.5


def written_finding(chart: ChartList, files: Sequence[str]) -> Finding:
    """Say what to do with the chart."""
    return finding(
        "chart-written",
        f"chart {chart.chart_id}",
        what=f"{len(chart.rgb)} patches to print; keep {files[-1]} to read them back.",
        why="No table in the world knows this printer with this paper.",
        remedy="Print chart.pdf at actual size, scan it, then kitloom proof --chart-read SCAN "
        f"--chart-list {files[-1]} --out my-printer.toml.",
        patches=len(chart.rgb),
    )


def chart_findings(
    subject: str,
    record: ChartRecord,
    facts: ChartFacts,
    quality: ReadingQuality,
    recipe: Recipe | None,
) -> list[Finding]:
    """Say what a chart that was read back tells about its printer."""
    found = [_fit(subject, record, quality)]
    if record.source == "scan":
        found.append(_scan_finding(subject, record))
    found += _facts(subject, facts)
    found += _scale(subject, record)
    if recipe is not None:
        found += _margins(record, recipe)
    return found


def _fit(subject: str, record: ChartRecord, quality: ReadingQuality) -> Finding:
    error = record.error
    rough = error.mean_de2000 > ROUGH_DE2000
    aside = f" {quality.left_out} patches were not used." if quality.left_out else ""
    return finding(
        "chart-rough" if rough else "chart-fit",
        subject,
        what=f"Each of {len(record.rgb)} patches, left out in turn, is foretold to "
        f"{error.mean_de2000:.1f} on average, 95% within {error.p95_de2000:.1f} (CIEDE2000)."
        + aside,
        why="So far off is a forecast for this printer, the reading's own error apart.",
        remedy="Print and read the chart once more if the fit is rough: a clogged nozzle or a "
        "damp print shows here."
        if rough
        else 'Name the file in the recipe: [press] chart = "my-printer.toml".',
        left_out_mean_de2000=round(error.mean_de2000, 2),
        left_out_p95_de2000=round(error.p95_de2000, 2),
    )


def _scan_finding(subject: str, record: ChartRecord) -> Finding:
    return finding(
        "chart-scanned",
        subject,
        what="A scanner is no colorimeter: colours are relative to the paper, and about "
        f"{record.reading_de2000:.0f} (CIEDE2000) uncertain; a tone or tint of the whole print is "
        "put down to the scanner.",
        why="Trust which colours merge, where greys end and how far vivid colours fall short; "
        "absolute colours need an instrument.",
        remedy="Borrow an instrument to know more, or compare a print with the proof by eye.",
        reading="relative",
        reading_de2000=round(record.reading_de2000, 1),
    )


def _facts(subject: str, facts: ChartFacts) -> list[Finding]:
    found = []
    if facts.merges:
        worst = facts.merges[0]
        found.append(
            finding(
                "chart-merges",
                subject,
                what=f"{len(facts.merges)} pairs of chart colours are one in print, such as "
                f"{worst.a} and {worst.b}, {worst.screen_de2000:.0f} apart on screen.",
                why="Detail between such colours is lost on paper.",
                remedy="Keep such colours apart in a palette; kitloom palette judges its pairs.",
                pairs=[[one.a, one.b] for one in facts.merges[:12]],
            )
        )
    if facts.black_up_to > 0 or facts.white_down_to < 255:
        found.append(
            finding(
                "chart-ramp",
                subject,
                what=f"Greys up to {facts.black_up_to} print as black, from {facts.white_down_to} "
                "on as paper (of 0 to 255).",
                why="Shadows or pale tints beyond them show no detail.",
                remedy="Keep drawn detail between these greys.",
                black_up_to=facts.black_up_to,
                white_down_to=facts.white_down_to,
            )
        )
    reached = ", ".join(f"{name} {share:.0%}" for name, share in facts.chroma_reached.items())
    found.append(
        finding(
            "chart-chroma",
            subject,
            what=f"Of the chroma asked for it prints: {reached}.",
            why="These hues look duller on paper than on screen.",
            remedy="See each colour's own shift with kitloom proof.",
            chroma_reached={name: round(share, 3) for name, share in facts.chroma_reached.items()},
        )
    )
    return found


def _scale(subject: str, record: ChartRecord) -> list[Finding]:
    if record.scale_error is None:
        return []
    x, y = record.scale_error
    if max(abs(x), abs(y)) < SCALE_ERROR:
        return []
    return [
        finding(
            "print-scale",
            subject,
            what=f"The print is {x:+.2%} across and {y:+.2%} down.",
            why=f"Over 200 mm that is {abs(x) * 200:.1f} and {abs(y) * 200:.1f} mm: cuts land off.",
            remedy="Lay a ruler on the printed ones to make sure it is the printer and not the "
            "scanner; then write what the rulers of a printed sheet read into sheet.ruler_reads, "
            "with sheet.correct_scale = true.",
            scale_x=round(1.0 + x, 5),
            scale_y=round(1.0 + y, 5),
            correction_x=round(1.0 / (1.0 + x), 5),
            correction_y=round(1.0 / (1.0 + y), 5),
        )
    ]


def _margins(record: ChartRecord, recipe: Recipe) -> list[Finding]:
    """Set the recipe's margins against the white that the printer left."""
    said = recipe.sheet.margin
    short = {
        edge: (float(getattr(said, edge)), mm)
        for edge, mm in record.margins_mm.items()
        if mm > float(getattr(said, edge)) + MARGIN_SLACK_MM
    }
    if not short:
        return []
    words = ", ".join(f"{edge} {mm:.1f} mm" for edge, (_, mm) in short.items())
    return [
        finding(
            "print-margin",
            recipe.file.name,
            what=f"The printer left more white than the recipe's margin: {words}.",
            why="What lies there is cut off in print.",
            remedy="Write in the recipe: margin = { "
            + ", ".join(
                f'{edge} = "{max(mm + 0.5, float(getattr(said, edge))):.1f}mm"'
                for edge, mm in record.margins_mm.items()
            )
            + " }.",
            printed_margins_mm=dict(record.margins_mm),
        )
    ]
