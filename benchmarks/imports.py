"""Does ``kitloom --help`` answer at once? Beside bare Python and ``import click``.

Run ``python -m benchmarks.imports [RUNS]`` (41 runs, in turn). Prints the median processor time of
a whole process in milliseconds and its ratio to ``python -c "import click"``.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
COMMANDS = {
    'python -c "pass"': ["-c", "pass"],
    'python -c "import click"': ["-c", "import click"],
    "kitloom --help": ["-m", "kitloom", "--help"],
    "kitloom --version": ["-m", "kitloom", "--version"],
}


def processor_ms(words: list[str]) -> float:
    process = subprocess.Popen([sys.executable, *words], stdout=subprocess.DEVNULL, cwd=ROOT)
    _, _, usage = os.wait4(process.pid, 0)
    process.returncode = 0
    return (usage.ru_utime + usage.ru_stime) * 1e3


def main() -> None:
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 41
    taken: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for _ in range(runs):
        for name, words in COMMANDS.items():
            taken[name].append(processor_ms(words))
    base = statistics.median(taken['python -c "import click"'])
    for name, times in taken.items():
        middle = statistics.median(times)
        print(f"{name:26} {middle:6.1f} ms  {middle / base:5.2f} x import click")


if __name__ == "__main__":
    main()
