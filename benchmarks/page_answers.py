"""How soon does the page answer: a dropped tile with its verdict, a moved slider with a picture?

Run: python benchmarks/page_answers.py [TILE ...]. Needs Playwright and Chromium; Linux, for the CPU
time of the server with its measuring processes (proc(5)). Each tile is dropped on a fresh page by
itself; the time runs from the change of the file field to the verdict's mark on the page, the
server's processes being warm, as they are a few seconds after its start. Beside other
programs the wall time says little; the CPU time is the most it takes without them. Baseline in the
same run: the same study of the same tile in this process, without page and browser, modules loaded.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))
from kitloom.measure import Request, study

TILES = ROOT / "samples" / "allotment" / "tiles"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
SLIDE = """async () => {
  const slide = document.querySelector('#repeat-slide');
  const cloth = document.querySelector('.cloth'), exact = document.querySelector('.exact');
  const coarse = [];
  for (let i = 1; i <= 15; i++) {
    const start = performance.now();
    slide.value = +slide.min + i; slide.dispatchEvent(new Event('input', {bubbles: true}));
    cloth.getBoundingClientRect();
    await new Promise(requestAnimationFrame);
    coarse.push(performance.now() - start);
  }
  const start = performance.now();
  slide.dispatchEvent(new Event('change', {bubbles: true}));
  const shown = () => { const e = document.querySelector('.exact'); return e && !e.hidden; };
  while (!shown()) await new Promise(requestAnimationFrame);
  return [coarse, performance.now() - start];
}"""


def main(paths: list[Path]) -> None:
    """Drop each tile, move its slider, and print what it took."""
    study(Request(paths[0]))  # loads the modules
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        print(f"{'':20}{'drop to verdict':>24}{'study alone':>19}{'ratio':>7}")
        print(f"{'tile':20}{'wall':>12}{'CPU':>12}{'CPU':>19}{'CPU':>7}", end="")
        print(f"{'slider, coarse':>16}{'exact':>9}")
        for path in paths:
            start = time.process_time()
            study(Request(path))
            alone = time.process_time() - start
            wall, cpu, coarse, exact = once(browser, Path(scratch) / path.stem, path)
            print(f"{path.stem:20}{wall:10.2f} s{cpu:10.2f} s{alone:17.2f} s", end="")
            print(f"{cpu / alone:7.1f}", end="")
            print(f"{coarse:13.0f} ms{exact:6.0f} ms", flush=True)
        browser.close()


def once(browser, folder: Path, path: Path) -> tuple[float, float, float, float]:
    """Return seconds to the verdict (wall, CPU), and milliseconds to both pictures."""
    command = [sys.executable, "-m", "kitloom", "serve", str(folder), "--no-browser"]
    server = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)
    try:
        url = next(line for line in server.stdout if "Open: " in line).split("Open: ")[1].strip()
        page = browser.new_page()
        page.goto(url)
        page.wait_for_selector("#drop")
        time.sleep(6.0)
        start, used = time.perf_counter(), cpu_of(server.pid)
        page.set_input_files("#files", str(path))
        page.wait_for_selector(".card .mark")
        wall, cpu = time.perf_counter() - start, cpu_of(server.pid) - used
        page.goto(url.split("/enter")[0] + "/step/tiles")
        page.wait_for_selector(".exact:not([hidden])")
        coarse, exact = page.evaluate(SLIDE)
        page.close()
    finally:
        server.terminate()
        server.wait()
        server.stdout.close()
    return wall, cpu, statistics.median(coarse), exact


def cpu_of(process: int) -> float:
    """Return the CPU seconds of a process and of those it has started."""
    found = {}
    for status in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            fields = status.read_text().rsplit(")", 1)[1].split()
            found[int(status.parent.name)] = int(fields[1]), int(fields[11]) + int(fields[12])
    family, more = set(), {process}
    while more:
        family |= more
        more = {one for one, (parent, _) in found.items() if parent in more} - family
    return sum(found[one][1] for one in family if one in found) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    given = [Path(one) for one in sys.argv[1:]]
    main(given or [TILES / f"{name}.png" for name in ("gingham", "pods", "bees")])
