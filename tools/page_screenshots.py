"""Take the pictures of the local page for the docs: every step, light and dark, wide and narrow.

Run: python tools/page_screenshots.py [FOLDER]. Needs Playwright and a Chromium; writes JPEG files
of modest size into the folder, or, without one, those into docs/page that a document shows. The
kit in them is the samples' own, with two faulty tiles.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from io import BytesIO
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).parents[1]
DOCS = ROOT / "docs"
SAMPLES = ROOT / "samples" / "allotment"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
TILES = ("pods", "marigolds", "radishes", "watering-cans", "bees", "fern-lines", "sprigs", "dots")
SHOTS = (
    # name, address, what must be there first
    ("1-artwork", "artwork", ".card .mark"),
    ("2-tiles", "tiles?tile=pods", ".exact:not([hidden])"),
    ("2-tiles-mend", "tiles?tile=cropped&try=mend", "#use-mended"),
    ("3-palette", "palette", ".swatch"),
    ("3-palette-swap", "palette?swap=FIRST&tile=radishes", ".eye"),
    ("3-palette-wear", "palette?wear=autumn.csv&tile=marigolds", "#use-redressed"),
    ("4-print", "print?tile=neon&try=repair", "#use-repaired"),
    ("5-kit", "kit", ".row-strip"),
    ("6-sheet", "sheet?sticker=0", ".window"),
    ("7-home", "home?road=prints", "#everything"),
)
AUTUMN = b"""name,hex
oat,#f4e7cf
rust,#8c2f1b
ochre,#d98c2b
moss,#4a4a1f
plum,#5b2a3c
"""
LOOKS = (("wide-light", 1280, "light"), ("wide-dark", 1280, "dark"), ("narrow-light", 768, "light"))
MOST_BYTES = 150_000
SCALE = 0.75
HIGHEST = 2600  # pixels of a picture before it is made smaller


def main(out: Path) -> None:
    """Serve a fresh kit, walk through its steps and write the pictures."""
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "allotment-week"
        command = [sys.executable, "-m", "kitloom", "serve", str(folder), "--no-browser"]
        # the home folder of these pictures, so that they show "~/allotment-week"
        home = {**os.environ, "HOME": scratch, "PYTHONPATH": str(ROOT)}
        server = subprocess.Popen(command, cwd=ROOT, env=home, stdout=subprocess.PIPE, text=True)
        try:
            assert server.stdout is not None
            url = (
                next(line for line in server.stdout if "Open: " in line).split("Open: ")[1].strip()
            )
            _walk(url, out)
        finally:
            server.terminate()
            server.wait()


def _walk(url: str, out: Path) -> None:
    origin = url.split("/enter", maxsplit=1)[0]
    with sync_playwright() as playwright:
        binary = shutil.which("chromium")
        browser = playwright.chromium.launch(executable_path=binary, args=FLAGS)
        page = browser.new_page(viewport={"width": 1280, "height": 960})
        page.set_default_timeout(90_000)
        page.goto(url)
        page.wait_for_selector("#drop")
        if _wanted(out / "0-empty-wide-light.jpg"):
            _save(page, out / "0-empty-wide-light.jpg")
        files = [SAMPLES / "tiles" / f"{name}.png" for name in TILES]
        files += [SAMPLES / "faulty" / "cropped.png", SAMPLES / "faulty" / "neon.png"]
        page.set_input_files("#files", [str(path) for path in files])
        while page.locator(".card .mark").count() < len(files):
            time.sleep(0.2)
        page.goto(f"{origin}/step/palette")
        page.wait_for_selector(".swatch")
        page.select_option("#colours", "8")
        autumn = {"name": "autumn.csv", "mimeType": "text/csv", "buffer": AUTUMN}
        page.set_input_files("#palette-file", files=[autumn])
        page.click("#give-palette")
        page.wait_for_selector("#use-redressed")
        _drawn(page, origin, "home")
        page.click("#make")
        page.wait_for_selector("#everything")
        for look, wide, scheme in LOOKS:
            page.set_viewport_size({"width": wide, "height": 960})
            page.emulate_media(color_scheme=scheme)
            _shots(page, origin, out, look)
        browser.close()


def _shots(page: Page, origin: str, out: Path, look: str) -> None:
    swap = ""
    for name, address, first in SHOTS:
        if address != "palette" and not _wanted(out / f"{name}-{look}.jpg"):
            continue
        _drawn(page, origin, address.replace("FIRST", swap))
        if address == "palette":
            colour = page.locator("[id^=swatch-]").nth(1).get_attribute("id") or ""
            swap = f"%23{colour.removeprefix('swatch-')}"
        page.wait_for_selector(first)
        time.sleep(1.0)
        if _wanted(out / f"{name}-{look}.jpg"):
            _save(page, out / f"{name}-{look}.jpg")


def _wanted(path: Path) -> bool:
    """Tell whether a picture is kept: in docs/page only what a document shows."""
    if path.parent != DOCS / "page":
        return True
    documents = [ROOT / "README.md", *DOCS.glob("*.md")]
    shown = re.compile(rf"\(\S*page/{re.escape(path.name)}\)")
    return any(shown.search(one.read_text("utf-8")) for one in documents)


def _drawn(page: Page, origin: str, address: str) -> None:
    page.goto(f"{origin}/step/{address}")
    while page.inner_text("#part-status") != "The sheet is drawn.":
        time.sleep(0.1)


def _save(page: Page, path: Path) -> None:
    """Write the page as a JPEG, as good as its size allows.

    As in a window that is high enough for all of it, if that is no higher than ``HIGHEST``: what
    stays at the window's foot is at the picture's foot, and not in mid-page.
    """
    window = page.viewport_size
    assert window is not None
    high = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size({**window, "height": min(max(window["height"], high), HIGHEST)})
    page.evaluate("scrollTo(0, 0)")
    page.wait_for_timeout(500)
    image: Any = Image.open(BytesIO(page.screenshot())).convert("RGB")
    page.set_viewport_size(window)
    image = image.resize((round(image.width * SCALE), round(image.height * SCALE)))
    for quality in (74, 66, 58, 50):
        content = BytesIO()
        image.save(content, "JPEG", quality=quality)
        if content.tell() <= MOST_BYTES:
            break
    path.write_bytes(content.getvalue())


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else DOCS / "page")
