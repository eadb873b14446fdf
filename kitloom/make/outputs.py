"""The files of a kit: for each sheet one of each output format, and once palette and report.

Sheet after sheet is drawn, written and put by, on disk where they are many, so memory hardly grows
with their number; what does not wait for one another is done side by side in threads, because array
arithmetic, JPEG and deflate release the interpreter.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor

from kit.compose import lock_text
from kit.render import Page, render_page
from kit.writers import WRITERS
from kitloom.cache import LOCK_NAME, sealed
from kitloom.colours import palette_files
from kitloom.jobs.system import cores
from kitloom.kits import Job, lock_of
from kitloom.make.kept_files import KeptFiles
from kitloom.make.summary import told_of
from kitloom.present import palette_answer, text_of
from kitloom.report import report_html, sheet_picture, tile_part

MOST_THREADS = 8


def kit_files(job: Job, tick: Callable[[], None], inputs: str = "") -> Mapping[str, bytes]:
    """Return every file of a kit by its name; the same job gives the same bytes.

    Args:
        job: a finished job.
        tick: called when the sheets are rendered and when the report is written.
        inputs: hash of all that it is made from, for the lock; "" where nobody will ask.
    """
    files = KeptFiles()
    pictures: list[bytes] = []
    for number, sheet in enumerate(job.kit.sheets, start=1):
        for suffix, content in _sheet_files(render_page(sheet, job.kit.planes)).items():
            files[f"sheet-{number}{suffix}"] = content
        preview = files[f"sheet-{number}{WRITERS['preview'].suffix}"]
        pictures.append(sheet_picture(preview, len(job.kit.sheets)))
    tick()
    title = job.recipe.kit.name or job.recipe.file.stem
    files["palette.json"] = text_of(palette_answer(job.judged)).encode()
    files.update(palette_files(job.judged.palette, job.press, title))
    with _threads() as pool:
        tiles = list(
            pool.map(
                lambda one: tile_part(one, job.press, len(job.patterns), job.recipe.planner.box),
                job.patterns,
            )
        )
    files["report.html"] = report_html(job, pictures, tiles)
    lock = sealed(lock_of(job), inputs, files, told_of(job))
    files[LOCK_NAME] = lock_text(lock).encode()
    tick()
    return files


def _sheet_files(page: Page) -> dict[str, bytes]:
    """Return one sheet in every format, by its suffix; what several formats need is made first."""
    _ = page.cuts, page.flate, page.printed_flate
    with _threads() as pool:
        writers = WRITERS.values()
        written = pool.map(lambda one: one.write(page), writers)
        return {one.suffix: content for one, content in zip(writers, written, strict=True)}


def _threads() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(min(MOST_THREADS, cores()))
