"""The files of a kit: for each sheet one of each output format, and once palette and report."""

from __future__ import annotations

from collections.abc import Callable

from kit.lock import lock_text
from kit.render import render_page
from kit.writers import WRITERS
from kitloom.colours import palette_answer
from kitloom.job import Job, lock_of
from kitloom.palette_files import palette_files
from kitloom.present.as_json import text_of
from kitloom.report import report_html


def kit_files(job: Job, tick: Callable[[], None]) -> dict[str, bytes]:
    """Return every file of a kit by its name; the same job gives the same bytes.

    Args:
        job: a finished job.
        tick: called when the sheets are rendered and when the report is written.
    """
    pages = [render_page(sheet, job.kit.planes) for sheet in job.kit.sheets]
    tick()
    files = {
        f"sheet-{number}{writer.suffix}": writer.write(page)
        for number, page in enumerate(pages, start=1)
        for writer in WRITERS.values()
    }
    files["palette.json"] = text_of(palette_answer(job.judged)).encode()
    title = job.recipe.kit.name or job.recipe.file.stem
    files |= palette_files(job.judged.palette, job.press, title)
    files["kit.lock.json"] = lock_text(lock_of(job)).encode()
    files["report.html"] = report_html(job, pages)
    tick()
    return files
