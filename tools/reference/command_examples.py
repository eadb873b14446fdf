"""What is shown on each command's page: real words, run on the samples, and how much is kept."""

from __future__ import annotations

import re
from dataclasses import dataclass

from reference.running import desk, first_lines, run


@dataclass(frozen=True, slots=True)
class Example:
    """One call for a command's page.

    Attributes:
        words: what is after ``kitloom``.
        lines: how many lines of its output are kept.
        says: what to see in it.
        goes_on: whether the command runs until it is stopped.
    """

    words: tuple[str, ...]
    lines: int
    says: str
    goes_on: bool = False


EXAMPLES = {
    "check": Example(
        ("check", "samples/allotment/faulty", "--pictures", "looks"),
        17,
        "One line for each tile, then what to do; `looks/` gets a picture of each such join.",
    ),
    "rescale": Example(
        ("rescale", "samples/allotment/tiles/pods.png", "--repeat", "0.75in", "--out", "scaled"),
        12,
        "The written tile is 225 pixels wide: 0.75 in at 300 pixels per inch.",
    ),
    "mend": Example(
        (
            *("mend", "samples/allotment/faulty/fringe.png"),
            *("samples/allotment/faulty/shop-preview.jpg", "--out", "mended"),
        ),
        12,
        "A pale edge is redrawn; from a picture of repeated artwork the tile is cut out.",
    ),
    "lift": Example(
        (
            *("lift", "samples/allotment/tiles/pods.png", "samples/allotment/tiles/rain.jpg"),
            *("--out", "motifs", "--size", "12mm"),
        ),
        14,
        "Pods, leaves and peas come off their plain ground; a wash has nothing to lift.",
    ),
    "palette": Example(
        ("palette", "samples/allotment/tiles", "--colours", "6", "--out", "colours"),
        12,
        "One palette for thirteen tiles. On a terminal the first two columns show the colours.",
    ),
    "proof": Example(
        (
            "proof",
            "#ff3ea5",
            "#3b5b7a",
            "samples/allotment/faulty/neon.png",
            "--repair",
            "repaired",
        ),
        18,
        "A neon pink, a dull blue, and a tile in neon colours with its repair.",
    ),
    "draft": Example(
        ("draft", "samples/allotment/evening", "--out", "evening.toml"),
        6,
        "The recipe is ready for `kitloom make`; only the day box is yours to measure.",
    ),
    "trial": Example(
        (
            *("trial", "samples/allotment/kit.toml"),
            *("--edges", "0.5 0", "--combs", "2 1 1 2 1 1"),
            *("--combs", "1 1 0 1 1 0", "--combs", "2 1 1 1 1 0"),
        ),
        6,
        "Without readings it writes the trial's files and the steps, `trial.txt`. With them it "
        "says what to put into the recipe: here the day box is half a millimetre wider, "
        "and of three strips the cut lands a little to the right and low.",
    ),
    "make": Example(
        ("make", "samples/allotment/kit.toml", "--out", "kit"),
        28,
        "The sample kit of the first page, with every file that is written.",
    ),
    "serve": Example(
        ("serve", "my-kit", "--port", "8765", "--no-browser"),
        2,
        "Open the address in a browser on the same machine. Ctrl-C ends it.",
        goes_on=True,
    ),
}


def output_of(example: Example) -> str:
    """Run an example and return what is kept of its output."""
    with desk() as folder:
        if example.goes_on:
            text = first_lines(example.words, folder, example.lines)
        else:
            text = run(example.words, folder)
        text = text.replace(f"{folder}/", "")
    text = re.sub(r"([?#]\w+=)[\w-]{12,}", r"\1…", text)  # the page's one-time key
    lines = text.splitlines()
    more = ["…"] if len(lines) > example.lines else []
    return "\n".join([*lines[: example.lines], *more])
