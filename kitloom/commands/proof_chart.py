"""``kitloom proof --chart`` and ``--chart-read``: the maker's own printer, measured."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from kit.recipe import Recipe
    from kitloom.findings import Finding

F = TypeVar("F", bound=Callable[..., Any])


@dataclass(frozen=True)
class ChartRequest:
    """What was asked for on the command line.

    Attributes:
        paths: the positional arguments; a recipe among them says paper and margins.
        folder: where to write a chart, or None.
        read: the scan or table to read back, or None.
        listing: the chart's list.
        paper: the paper to write the chart for.
        out: where to write what was learned.
        scanner: the scanner's profile, or None.
        managed: whether the scan's colours mean what its file says.
        icc: where to write the printer as an ICC profile, or None.
    """

    paths: tuple[Path, ...]
    folder: Path | None
    read: Path | None
    listing: Path | None
    paper: str | None
    out: Path | None
    scanner: Path | None = None
    managed: bool = False
    icc: Path | None = None


_OPTIONS = (
    click.option(
        "--chart",
        type=click.Path(path_type=Path),
        metavar="FOLDER",
        help="Write a colour chart to print: chart.pdf, chart.png and its list chart.txt.",
    ),
    click.option(
        "--paper",
        metavar="NAME",
        help="With --chart: the paper; by default the recipe's, else Letter.",
    ),
    click.option(
        "--chart-read",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="Read a printed chart: a scan or photograph, or an instrument's CGATS or CxF3 file.",
    ),
    click.option(
        "--chart-list",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="With --chart-read: the chart.txt that belongs to the sheet.",
    ),
    click.option(
        "--out",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="With --chart-read: where to write the printer's file, such as my-printer.toml.",
    ),
    click.option(
        "--scanner",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="With --chart-read: the scanner's own ICC profile, if the scan does not hold it.",
    ),
    click.option(
        "--colour-managed",
        is_flag=True,
        help="With --chart-read: trust the profile in the scan's file, or sRGB if it has none.",
    ),
    click.option(
        "--icc",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="With --chart-read: write the printer as an ICC profile too, such as my-printer.icc.",
    ),
)


def chart_options(command: F) -> F:
    """Add the options of the colour chart to a command."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def chart_run(request: ChartRequest, *, overwrite: bool, strict: bool, as_json: bool) -> int:
    """Write a chart, or read one back; return the exit status."""
    if request.folder is not None and request.read is not None:
        raise click.UsageError("Give --chart to write a chart or --chart-read to read one.")
    if request.folder is not None:
        return _write(request, request.folder, overwrite=overwrite, as_json=as_json)
    if request.listing is None or request.out is None:
        raise click.UsageError(
            "--chart-read needs --chart-list chart.txt and --out my-printer.toml."
        )
    return _read(request, overwrite=overwrite, strict=strict, as_json=as_json)


def _recipe_of(paths: Sequence[Path]) -> Recipe | None:
    from kit.recipe import read_recipe
    from kitloom.disk import is_recipe

    named = [path for path in paths if is_recipe(path)]
    if len(named) != len(paths) or len(named) > 1:
        raise click.UsageError("With a chart, name one recipe or nothing.")
    return read_recipe(named[0]) if named else None


def _write(request: ChartRequest, folder: Path, *, overwrite: bool, as_json: bool) -> int:
    from kitloom.charts import chart_files, chart_for
    from kitloom.disk import write_into
    from kitloom.findings import written_finding

    layout = chart_for(_recipe_of(request.paths), request.paper)
    files = chart_files(layout)
    written = write_into(folder, files, reads=request.paths, overwrite=overwrite)
    finding = written_finding(layout.chart, [str(path) for path in written])
    content = {
        "files": [str(path) for path in written],
        "chart": {"id": layout.chart.chart_id, "patches": len(layout.chart.rgb)},
    }
    _tell([finding], content, [str(path) for path in written], as_json=as_json)
    return 0


def _read(request: ChartRequest, *, overwrite: bool, strict: bool, as_json: bool) -> int:
    from kitloom.charts import ScannerWord, read_chart
    from kitloom.disk import write_all_into
    from kitloom.findings import chart_findings, exit_status
    from palette.chart import facts_of
    from palette.press import printer_profile, to_toml

    assert request.read is not None
    assert request.listing is not None
    assert request.out is not None
    recipe = _recipe_of(request.paths)
    if request.scanner is not None and request.managed:
        raise click.UsageError(
            "--scanner does not go with --colour-managed: a scan whose colours mean what its file "
            "says needs no other profile. Leave one out."
        )
    word = ScannerWord(request.scanner, request.managed)
    record, quality = read_chart(request.read, request.listing, word)
    facts = facts_of(record)
    findings = chart_findings(str(request.read), record, facts, quality, recipe)
    made = [(request.out.parent, {request.out.name: to_toml(record)})]
    if request.icc is not None:
        profile = printer_profile(record, request.icc.stem)
        made.append((request.icc.parent, {request.icc.name: profile}))
    reads = [request.read, request.listing, *request.paths]
    reads += [request.scanner] if request.scanner is not None else []
    paths = write_all_into(made, reads=reads, overwrite=overwrite)
    written = [str(path) for path in paths]
    content = {
        "files": written,
        "printer": {
            "chart": record.chart_id,
            "source": record.source,
            "reading": "absolute" if record.paper_lab else "relative",
            "scanner": record.scanner,
            "patches": len(record.rgb),
            "left_out_mean_de2000": round(record.error.mean_de2000, 3),
            "left_out_p95_de2000": round(record.error.p95_de2000, 3),
            "scale_x": 1.0 + record.scale_error[0] if record.scale_error else None,
            "scale_y": 1.0 + record.scale_error[1] if record.scale_error else None,
            "margins_mm": dict(record.margins_mm),
        },
    }
    _tell(findings, content, written, as_json=as_json)
    return exit_status(findings, strict=strict)


def _tell(
    findings: Sequence[Finding],
    content: dict[str, Any],
    written: Sequence[str],
    *,
    as_json: bool,
) -> None:
    from kitloom.present import as_json as shape

    if as_json:
        click.echo(shape.text_of(shape.answer("proof", findings, **content)))
        return
    from rich.markup import escape

    from kitloom.present import console, show_findings, show_verdict

    screen = console()
    for path in written:
        screen.print(f"[green]wrote[/] {escape(path)}")
    show_findings(screen, findings)
    if findings and findings[0].code != "chart-written":  # a chart to print is not judged
        show_verdict(screen, findings)
