"""A library audit: how much do two processes gain, and does memory stay flat?

Run ``python -m benchmarks.library [--tiles N] [--side PX] [--workers 1,2] [--cluster]`` (200 tiles
of 1800 px, one and two workers). Tiles are links to the twelve of ``benchmarks.twelve``. Printed:
wall and processor seconds of the whole run, milliseconds of processor a tile, the speed-up against
the first number of workers by wall, and the peak of all processes' memory together, shared pages
counted once (PSS). With ``--cluster``, a local Dask cluster of two workers as well.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

from benchmarks.processes import ROOT, compiled, option
from benchmarks.twelve import drawn, names


def linked(folder: Path, source: Path, count: int) -> Path:
    """Return a folder with that many tiles."""
    folder.mkdir(exist_ok=True)
    known = [source / name for name in names()]
    for i in range(count):
        tile = known[i % len(known)]
        os.link(tile, folder / f"{i:05}{tile.suffix}")
    return folder


def family(pid: int) -> list[int]:
    """Return a process and all that it started."""
    found = [pid]
    for parent in found:
        for children in Path(f"/proc/{parent}/task").glob("*/children"):  # of each of its threads
            try:
                found += [int(child) for child in children.read_text().split()]
            except OSError:
                continue
    return found


def pss_mb(pid: int) -> float:
    total = 0
    for one in family(pid):
        try:
            rollup = Path(f"/proc/{one}/smaps_rollup").read_text()
        except OSError:
            continue
        total += int(rollup.split("Pss:")[1].split()[0])
    return total / 1024


def measured(words: list[str], command: str = "check") -> tuple[float, float, float]:
    """Return wall seconds, processor seconds and peak PSS of a command with these words."""
    compiled()
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    process = subprocess.Popen(
        [sys.executable, "-m", "kitloom", command, *words],
        stdout=subprocess.DEVNULL,
        env=environment,
    )
    peak = 0.0

    def watch() -> None:
        nonlocal peak
        while process.poll() is None:
            peak = max(peak, pss_mb(process.pid))
            time.sleep(0.25)

    watcher = threading.Thread(target=watch)
    watcher.start()
    watcher.join()
    wall, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return wall, cpu, peak


def main() -> None:
    count, side = int(option("--tiles", "200")), int(option("--side", "1800"))
    with tempfile.TemporaryDirectory() as scratch:
        source = Path(scratch) / "source"
        drawn(source, side_px=side)
        library = str(linked(Path(scratch) / "library", source, count))
        print(f"{count} tiles of {side} px      wall s   cpu s  ms a tile  speed-up  peak MB (PSS)")
        base = 0.0
        for workers in option("--workers", "1,2").split(","):
            wall, cpu, peak = measured([library, "--workers", workers])
            base = base or wall
            figures = f"{wall:8.1f}{cpu:8.1f}{cpu / count * 1e3:11.0f}{base / wall:10.2f}"
            print(f"{workers} workers{'':14}{figures}{peak:10.0f}")
        if "--cluster" in sys.argv:
            on_cluster(library, count, base)


def on_cluster(library: str, count: int, base: float) -> None:
    from distributed import LocalCluster

    with LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=":0", env={"PYTHONPATH": str(ROOT)}
    ) as cluster:
        wall, *_ = measured([library, "--cluster", cluster.scheduler_address])
        print(f"Dask, 2 workers {count:6} tiles {wall:8.1f} s wall, speed-up {base / wall:.2f}")


if __name__ == "__main__":
    main()
