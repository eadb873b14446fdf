"""The files of a kit: for each sheet one of each output format, and once palette and report.

Sheet after sheet is drawn, written and put by, on disk where they are many, so memory hardly grows
with their number; what does not wait for one another is done side by side.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import Future

from kit.compose import lock_text
from kit.render import CutPage, Page, render_sheet
from kit.writers import WRITERS
from kitloom.cache import LOCK_NAME, sealed
from kitloom.colours import palette_files
from kitloom.kits import Job, lock_of
from kitloom.make.kept_files import KeptFiles
from kitloom.make.memory import give_back
from kitloom.make.sharing import Sharing
from kitloom.make.summary import told_of
from kitloom.present import palette_answer, text_of
from kitloom.report import report_html, sheet_picture, template


def kit_files(
    job: Job, tick: Callable[[], None], inputs: str = "", sharing: Sharing | None = None
) -> Mapping[str, bytes]:
    """Return every file of a kit by its name; the same job gives the same bytes.

    Args:
        job: a finished job.
        tick: called when the sheets are rendered and when the report is written.
        inputs: hash of all that it is made from, for the lock; "" where nobody will ask.
        sharing: how its measuring was shared out, to go on with.
    """
    if sharing is None:
        with Sharing(job.recipe) as own:
            return kit_files(job, tick, inputs, own)
    files = KeptFiles()
    title = job.recipe.kit.name or job.recipe.file.stem
    sharing.pool.submit(template)
    colours = sharing.pool.submit(palette_files, job.judged.palette, job.press, title)
    bare = [CutPage(sheet) for sheet in job.kit.sheets]
    pictures: list[Future[bytes]] = []
    cut_files = [_cut_files(page, sharing) for page in bare]
    sharing.ask_no_more()
    for number, page in enumerate(bare, start=1):
        raster = render_sheet(page.sheet, job.kit.planes)
        give_back()
        drawn = Page(page.sheet, raster, page)
        _ = drawn.printed
        preview = sharing.pool.submit(WRITERS["preview"].write, drawn)
        pictures.append(sharing.pool.submit(_picture, preview, len(bare)))
        begun = {**cut_files[number - 1], WRITERS["preview"].suffix: preview}
        written = _sheet_files(drawn, begun, sharing)
        files.update((f"sheet-{number}{suffix}", made) for suffix, made in written.items())
    tiles = sharing.parts(job.patterns, job.press)
    tick()
    files["palette.json"] = text_of(palette_answer(job.judged)).encode()
    files.update(colours.result())
    files["report.html"] = report_html(
        job, (picture.result() for picture in pictures), [tile.result() for tile in tiles]
    )
    lock = sealed(lock_of(job), inputs, files, told_of(job))
    files[LOCK_NAME] = lock_text(lock).encode()
    tick()
    return files


def _picture(preview: Future[bytes], sheets: int) -> bytes:
    """Make the report's picture of a sheet as soon as its preview is there."""
    return sheet_picture(preview.result(), sheets)


def _cut_files(page: CutPage, sharing: Sharing) -> dict[str, Future[bytes]]:
    """Begin the files of a sheet that need not wait for its raster, by their suffix."""
    _ = page.cuts  # kept by the page, and not to be made twice at a time
    only_cut = [one for one in WRITERS.values() if one.cuts and not one.prints]
    return {one.suffix: sharing.cut_file(one, page) for one in only_cut}


def _sheet_files(
    page: Page, begun: Mapping[str, Future[bytes]], sharing: Sharing
) -> dict[str, bytes]:
    """Return one sheet in every format, by its suffix; what several formats need is made first."""
    _ = page.flate, page.printed_flate
    waiting = {
        one.suffix: begun.get(one.suffix) or sharing.pool.submit(one.write, page)
        for one in WRITERS.values()
    }
    return {suffix: future.result() for suffix, future in waiting.items()}
