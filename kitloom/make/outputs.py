"""The files of a kit: for each sheet one of each output format, and once palette and report.

Sheet after sheet is drawn, written and put by, on disk where they are many, so memory hardly grows
with their number but for ``kit.pdf``, which holds them all; what does not wait for one another is
done side by side in threads, because array arithmetic, JPEG and deflate release the interpreter.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from functools import partial

from kit.compose import lock_text
from kit.render import CutPage, Page, Unprinted, render_page
from kit.writers import WRITERS, cut_files, join_pdfs, marks_csv
from kitloom.cache import LOCK_NAME, with_seal
from kitloom.colours import palette_files
from kitloom.findings import Finding, bare_findings
from kitloom.kits import JudgedKit, lock_of, printer_numbers
from kitloom.make.kept_files import KeptFiles
from kitloom.make.summary import summary_of
from kitloom.present import palette_answer, text_of
from kitloom.report import picture_bytes, print_picture, report_html, sheet_picture, tile_part
from kitloom.system import cores

MOST_THREADS = 8


def kit_files(
    kit: JudgedKit,
    tick: Callable[[], None],
    inputs: str = "",
    tell: Callable[[Finding], object] = lambda _: None,
    *,
    listing: bool = False,
) -> Mapping[str, bytes]:
    """Return every file of a kit by its name; the same kit gives the same bytes.

    Args:
        kit: a judged kit.
        tick: called when the sheets are written and when the report is.
        inputs: hash of all that it is made from, for the lock; "" where nobody will ask.
        tell: is given each finding about a sheet as it was drawn; the report and the lock have it
            anyway.
        listing: whether pictures for a shop's listing are made too.
    """
    files = KeptFiles()
    sheets = kit.kit.sheets
    printer = printer_numbers(kit)
    part = partial(
        tile_part, press=kit.press, count=len(kit.patterns), box_mm=kit.recipe.planner.box
    )
    with ThreadPoolExecutor(min(MOST_THREADS, cores())) as pool:
        cut_pages = [CutPage(sheet) for sheet in sheets]
        cuts = pool.submit(cut_files, cut_pages)
        colours = pool.submit(palette_files, kit.verdict.palette, kit.press, kit.title)
        for_a_shop = _listing(kit, pool) if listing else {}
        tiles, pictures, prints = pool.map(part, kit.patterns), [], []
        unprinted: list[tuple[Unprinted, ...]] = []
        for number, (sheet, cut_page) in enumerate(zip(sheets, cut_pages, strict=True), start=1):
            page = render_page(sheet, kit.kit.planes, printer, cut_page=cut_page)
            unprinted.append(page.unprinted)
            prints.append(pool.submit(print_picture, page, len(sheets)))
            written = {**_drawn_files(page, pool), **cuts.result()[number - 1]}
            files.update({f"sheet-{number}{WRITERS[x].suffix}": written[x] for x in WRITERS})
            preview = files[f"sheet-{number}{WRITERS['preview'].suffix}"]
            pictures.append(pool.submit(sheet_picture, preview, len(sheets)))
        tick()
        drawn = bare_findings(sheets, unprinted)
        kit = kit.with_findings(drawn)
        for one in drawn:
            tell(one)
        pages = [files[f"sheet-{n}{WRITERS['pdf'].suffix}"] for n in range(1, len(sheets) + 1)]
        files["kit.pdf"] = join_pdfs(pages, kit.title)
        if kit.recipe.marks:
            files["marks.csv"] = marks_csv(kit.recipe.marks, kit.recipe.sheet.paper.height_mm)
        files["palette.json"] = text_of(palette_answer(kit.verdict)).encode()
        files.update(colours.result())
        files.update({name: one.result() for name, one in for_a_shop.items()})
        shown, drawn_prints = ([one.result() for one in some] for some in (pictures, prints))
        files["report.html"] = report_html(kit, shown, drawn_prints, list(tiles))
    lock = with_seal(lock_of(kit), inputs, files, summary_of(kit))
    files[LOCK_NAME] = lock_text(lock).encode()
    tick()
    return files


def _listing(kit: JudgedKit, pool: ThreadPoolExecutor) -> dict[str, Future[bytes]]:
    """Have the pictures for a shop's listing drawn; return them by their files' names."""
    from kit.listing import page_picture, stickers_picture

    box = kit.recipe.planner.box
    return {
        "listing-page.png": pool.submit(lambda: picture_bytes(page_picture(kit.kit, box))),
        "listing-stickers.png": pool.submit(lambda: picture_bytes(stickers_picture(kit.kit))),
    }


def _drawn_files(page: Page, pool: ThreadPoolExecutor) -> dict[str, bytes]:
    """Return one sheet in every format that shows it, by the format's name.

    What several formats need is made first, and beside it what needs none of it.
    """
    under_way = {
        name: pool.submit(one.write, page)
        for name, one in WRITERS.items()
        if not (one.cuts or one.prints)
    }
    _ = page.flate, page.printed_flate, page.sent_flate, page.sent_printed_flate
    under_way |= {name: pool.submit(one.write, page) for name, one in WRITERS.items() if one.prints}
    return {name: one.result() for name, one in under_way.items()}
