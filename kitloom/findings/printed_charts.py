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
        why="Nobody has published data for your printer with this paper.",
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
        found.append(_scan_finding(subject, record, quality))
        found += _scanner_faults(subject, record, quality)
    found += _facts(subject, facts)
    if record.trusted:
        found.append(_chroma(subject, facts))
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
        what=f"Tested on patches it had not seen, each of {len(record.rgb)} in turn, the forecast "
        f"is {error.mean_de2000:.1f} off on average, 95% within {error.p95_de2000:.1f} (CIEDE2000)."
        + aside,
        why="Expect forecasts for this printer to be that far off, plus the error of the reading.",
        remedy="Print and read the chart again if the fit is rough: a clogged nozzle or a "
        "damp print shows here."
        if rough
        else 'Name the file in the recipe: [press] chart = "my-printer.toml".',
        left_out_mean_de2000=round(error.mean_de2000, 2),
        left_out_p95_de2000=round(error.p95_de2000, 2),
    )


def _scan_finding(subject: str, record: ChartRecord, quality: ReadingQuality) -> Finding:
    if record.trusted:
        what = (
            f"The scanner's numbers are taken as {quality.scanner or 'its profile says'}: tone, "
            "tint and vividness of the print are the printer's. Colours are relative to the paper."
        )
        why = "The result is as true as the scanner's colours, and a little less so for other inks."
        remedy = "Compare a print with the proof by eye; absolute colours need an instrument."
    else:
        what = (
            "Nothing is known of the scanner, so its colours are guessed from the patches: a tone, "
            "tint or vividness of the whole print is put down to the scanner."
        )
        why = "Trust which colours merge and where greys end, not how far vivid ones fall short."
        remedy = (
            "Scan with the scanner's colour management on and read it with --colour-managed, or "
            "give its profile with --scanner; or borrow an instrument."
        )
    return finding(
        "chart-scanned",
        subject,
        what=what,
        why=why,
        remedy=remedy,
        reading="relative",
        reading_de2000=round(record.reading_de2000, 1),
    )


def _scanner_faults(subject: str, record: ChartRecord, quality: ReadingQuality) -> list[Finding]:
    """Say what is wrong with a scan or its print, short of refusing it."""
    found = []
    scan = quality.scan
    if record.scanner == "doubtful":
        found.append(
            finding(
                "chart-scanner",
                subject,
                what="Printer and scanner cannot be told apart here: greys and quiet colours are "
                "not where they should be, or the scanner would have to be a very odd one.",
                why="Either of them may be the cause, so a forecast may hold or be off by 5 and "
                "more.",
                remedy="Scan again with the scanner's colour management on and --colour-managed, "
                "or with --scanner PROFILE.icc. Until then use press.surface.",
            )
        )
    if scan is None:
        return found
    if scan.faults.burnt:
        found.append(
            finding(
                "chart-overexposed",
                subject,
                what=f"Plain paper is at the end of the scanner's scale in "
                f"{scan.faults.overexposed:.0%} of its pixels.",
                why="Pale colours then read as paper, and light ones come out too light.",
                remedy="Scan again a little darker, with automatic exposure off.",
                overexposed=round(scan.faults.overexposed, 3),
            )
        )
    if scan.faults.banded:
        found.append(
            finding(
                "chart-banded",
                subject,
                what=f"The ink lies in bands: lines of a patch differ by {scan.faults.banding:.0%} "
                "of its depth.",
                why="A nozzle is clogged or the head out of line, so every colour reads too pale.",
                remedy="Clean and align the print head, print the chart again and read that.",
                banding=round(scan.faults.banding, 3),
            )
        )
    if quality.evenness is not None and quality.evenness.patchy:
        found.append(
            finding(
                "chart-patchy",
                subject,
                what="Whole areas of the sheet are heavier or lighter than others, by some "
                f"{quality.evenness.share:.1%} of a colour's depth.",
                why="The same colour then differs from place to place, and the chart with it.",
                remedy="Let the print dry, check ink and head, close the scanner's lid, then print "
                "and read the chart again.",
                unevenness=round(quality.evenness.share, 4),
            )
        )
    if scan.frame.mirrored:
        found.append(
            finding(
                "chart-mirrored",
                subject,
                what="The sheet looks mirrored.",
                why="If the print itself is mirrored, every sticker will be: some drivers have "
                "such a setting, for transfers.",
                remedy="Look at the words on the sheet. If they run backwards, switch that setting "
                "off; if you can read them, only the picture was turned over, and all is well.",
            )
        )
    return found


def _facts(subject: str, facts: ChartFacts) -> list[Finding]:
    found = []
    if facts.merges:
        worst = facts.merges[0]
        found.append(
            finding(
                "chart-merges",
                subject,
                what=f"{len(facts.merges)} pairs of chart colours look the same in print, such as "
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
    return found


def _chroma(subject: str, facts: ChartFacts) -> Finding:
    """Say how vivid it prints, which only a reading can that knows its scanner."""
    reached = ", ".join(f"{name} {share:.0%}" for name, share in facts.chroma_reached.items())
    return finding(
        "chart-chroma",
        subject,
        what=f"It prints this much of the vividness asked for: {reached}.",
        why="These hues look duller or stronger on paper than on screen.",
        remedy="See each colour's own shift with kitloom proof.",
        chroma_reached={name: round(share, 3) for name, share in facts.chroma_reached.items()},
    )


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
            what=f"The print is off by {x:+.2%} across and {y:+.2%} down.",
            why=f"Over 200 mm that is {abs(x) * 200:.1f} and {abs(y) * 200:.1f} mm: cuts land off.",
            remedy="Lay your ruler along the printed rulers, to make sure that it is the printer "
            "and not the scanner. Then write what your ruler reads into sheet.ruler_reads, and set "
            "sheet.correct_scale = true.",
            scale_x=round(1.0 + x, 5),
            scale_y=round(1.0 + y, 5),
            correction_x=round(1.0 / (1.0 + x), 5),
            correction_y=round(1.0 / (1.0 + y), 5),
        )
    ]


def _margins(record: ChartRecord, recipe: Recipe) -> list[Finding]:
    """Set what the sheets leave white at their edges against the white that the printer left."""
    said, bleed = recipe.sheet.margin, recipe.sheet.bleed
    short = {
        edge: mm
        for edge, mm in record.margins_mm.items()
        if mm + bleed > float(getattr(said, edge)) + MARGIN_SLACK_MM
    }
    if not short:
        return []
    words = ", ".join(f"{edge} {mm:.1f} mm" for edge, mm in short.items())
    return [
        finding(
            "print-margin",
            recipe.file.name,
            what=f"The printer left white what the recipe's margin and bleed print to: {words}.",
            why="The printer cuts off what lies there, and the outer stickers lose their bleed.",
            remedy="Write in the recipe: margin = { "
            + ", ".join(
                f'{edge} = "{max(mm + bleed + 0.5, float(getattr(said, edge))):.1f}mm"'
                for edge, mm in record.margins_mm.items()
            )
            + " }.",
            printed_margins_mm=dict(record.margins_mm),
        )
    ]
