"""``kitloom check`` on a library: the audit, its files, and a short summary.

In: the command's options. Out: the exit status. Rows are shown as they come; nothing holds all of
them but the JSON object, where that is asked for.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import click
from rich.markup import escape

from kitloom.disk import check_apart, check_free, unique_stems, write_all_into
from kitloom.findings import Finding, exit_status
from kitloom.library.audit import Row
from kitloom.library.exports import csv_lines, json_lines
from kitloom.library.journal import Journal
from kitloom.library.overview import MOST_TILES, common_folder, page
from kitloom.library.run import Summary, audit, check_task, requests_of, row_verdict
from kitloom.present import as_json as shape
from kitloom.present import axis_words, console, progress, show_verdict, tile_table
from kitloom.system import cores

SHOWN = 25
VERDICTS = ("unreadable", "seam", "unsure", "seamless")


@dataclass(frozen=True, slots=True)
class CheckRequest:
    """What to check, and which files to write of it."""

    files: Sequence[Path]
    lattice: str
    csv: Path | None
    jsonl: Path | None
    page: Path | None
    pictures: Path | None
    resume: Path | None

    @property
    def reads(self) -> list[Path]:
        """Every file that the check reads."""
        return [*self.files, *([self.resume] if self.resume else [])]


def check_library(
    request: CheckRequest,
    workers: int | None,
    cluster: str | None,
    *,
    strict: bool,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Audit a library and return the exit status.

    Raises:
        KitloomError: an output, the journal or the cluster cannot be used.
    """
    outputs = [path for path in (request.csv, request.jsonl, request.page) if path is not None]
    for path in outputs:
        check_free(path, overwrite=overwrite)
    check_apart(outputs, request.reads)
    requests = requests_of(request.files, request.lattice)
    with Journal(request.resume, "check") as journal:
        with progress("Checking", len(requests), quiet=as_json) as tick:

            def tell(row: Row) -> None:
                tick()
                if not as_json and row_verdict(row) != "seamless":
                    click.echo(_line(row))

            task = check_task(request.lattice)
            audit(requests, journal, tell, task, workers=workers or cores(), cluster=cluster)
        summary = Summary(journal, requests)
        counts = Counter(row_verdict(row) for row in summary.rows())
        _write(request, summary, counts, overwrite=overwrite)
        findings = _findings(summary)
        if as_json:
            tiles = [row["tile"] for row in summary.rows() if row["tile"] is not None]
            click.echo(shape.text_of(shape.answer("check", findings, tiles=tiles)))
        else:
            _show(summary, counts, findings)
    return exit_status(findings, strict=strict)


def _line(row: Row) -> str:
    if row["tile"] is None:
        return f"unreadable  {row['file']}: {row['findings'][0]['what']}"
    axes = row["tile"]["axes"]
    across, down = axis_words(axes["x"]), axis_words(axes["y"])
    return f"{row_verdict(row):10}  {row['file']}: left and right {across}; top and bottom {down}"


def _findings(summary: Summary) -> list[Finding]:
    return [Finding(**one) for row in summary.rows() for one in row["findings"]]


def _write(
    request: CheckRequest, summary: Summary, counts: Counter[str], *, overwrite: bool
) -> None:
    sets: list[tuple[Path, Mapping[str, bytes] | Mapping[str, Iterable[bytes]]]] = []
    if request.csv is not None:
        sets.append((request.csv.parent, {request.csv.name: csv_lines(summary.rows())}))
    if request.jsonl is not None:
        sets.append((request.jsonl.parent, {request.jsonl.name: json_lines(summary.rows())}))
    if request.page is not None:
        title = _title(request.files)
        shown = summary.worst_first(MOST_TILES)
        ordered = {name: counts[name] for name in VERDICTS}
        pieces = page(title, ordered, shown, common_folder(request.files))
        sets.append((request.page.parent, {request.page.name: pieces}))
    if request.pictures is not None:
        sets.append((request.pictures, _Pictures(request, summary)))
    write_all_into(sets, reads=request.reads, overwrite=overwrite)


def _title(files: Sequence[Path]) -> str:
    folder = common_folder(files)
    return folder.absolute().name if folder else f"{len(files)} tiles"


class _Pictures(Mapping[str, bytes]):
    """A picture of each join that shows or is in doubt, drawn when it is asked for."""

    def __init__(self, request: CheckRequest, summary: Summary) -> None:
        stems = unique_stems(request.files)
        rows = zip(request.files, stems, summary.rows(), strict=True)
        self._lattice = request.lattice
        self._tiles = {
            f"{stem}.seam.png": path
            for path, stem, row in rows
            if row_verdict(row) in {"seam", "unsure"}
        }

    def __getitem__(self, name: str) -> bytes:
        from kitloom.measure import Request, study
        from kitloom.report import picture_bytes
        from patterns.seams import seam_picture

        tile = study(Request(self._tiles[name], self._lattice))
        return picture_bytes(seam_picture(tile.artwork.pixels, tile.check))

    def __iter__(self) -> Iterator[str]:
        return iter(self._tiles)

    def __len__(self) -> int:
        return len(self._tiles)


def _show(summary: Summary, counts: Counter[str], findings: Sequence[Finding]) -> None:
    screen = console()
    said = ", ".join(f"{counts[name]} {name}" for name in VERDICTS if counts[name])
    screen.print(f"[bold]{len(summary)} tiles[/]: {said}")
    tiles = [row["tile"] for row in summary.worst_first(SHOWN) if row["tile"] is not None]
    faulty = [tile for tile in tiles if tile["seamless"] is not True]
    if faulty:
        screen.print(tile_table(faulty))
    for one in list(summary.duplicates.values())[:SHOWN]:
        screen.print(f"[dim]note  {escape(one.file)}: the same artwork as {escape(one.like)}[/]")
    if len(summary.duplicates) > SHOWN:
        more = f"and {len(summary.duplicates) - SHOWN} more near-duplicates"
        screen.print(f"[dim]{more}; --csv, --jsonl and --page name all[/]")
    show_verdict(screen, findings)
