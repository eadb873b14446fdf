"""The files of a kit: for each sheet one of each output format, and once palette and report.

Sheet after sheet is drawn, written and forgotten, so memory does not grow with their number; what
does not wait for one another is done side by side.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import Executor, Future, ThreadPoolExecutor

from kit.lock import lock_text
from kit.render import render_page
from kit.sheet import Page
from kit.writers import WRITERS
from kitloom.colours import palette_answer
from kitloom.job import Job, lock_of
from kitloom.palette_files import palette_files
from kitloom.present.as_json import text_of
from kitloom.report import report_html, tile_part
from kitloom.telling import told_of
from kitloom.unchanged import LOCK_NAME, sealed

_MOST_THREADS = 8


def kit_files(job: Job, tick: Callable[[], None], inputs: str = "") -> dict[str, bytes]:
    """Return every file of a kit by its name; the same job gives the same bytes.

    Args:
        job: a finished job.
        tick: called when the sheets are rendered and when the report is written.
        inputs: hash of all that it is made from, for the lock; "" where nobody will ask.
    """
    files: dict[str, bytes] = {}
    title = job.recipe.kit.name or job.recipe.file.stem
    with ThreadPoolExecutor(min(_MOST_THREADS, os.cpu_count() or 1)) as pool:
        colours = pool.submit(palette_files, job.judged.palette, job.press, title)
        for number, sheet in enumerate(job.kit.sheets, start=1):
            written = _sheet_files(render_page(sheet, job.kit.planes), pool)
            files |= {f"sheet-{number}{suffix}": made for suffix, made in written.items()}
        tiles = [pool.submit(tile_part, used, job) for used in job.patterns]
        tick()
        previews = [
            files[f"sheet-{number}{WRITERS['preview'].suffix}"]
            for number in range(1, len(job.kit.sheets) + 1)
        ]
        files["palette.json"] = text_of(palette_answer(job.judged)).encode()
        files |= colours.result()
        files["report.html"] = report_html(job, previews, [tile.result() for tile in tiles])
        lock = sealed(lock_of(job), inputs, files, told_of(job))
        files[LOCK_NAME] = lock_text(lock).encode()
    tick()
    return files


def _sheet_files(page: Page, pool: Executor) -> dict[str, bytes]:
    """Return one sheet in every format, by its suffix; what several formats need is made first."""
    _ = page.cuts, page.printed  # kept by the page, and not to be made twice at a time
    cut_files = {
        one.suffix: pool.submit(one.write, page) for one in WRITERS.values() if not one.prints
    }
    _ = page.flate, page.printed_flate
    waiting: dict[str, Future[bytes]] = {
        one.suffix: cut_files.get(one.suffix) or pool.submit(one.write, page)
        for one in WRITERS.values()
    }
    return {suffix: future.result() for suffix, future in waiting.items()}
