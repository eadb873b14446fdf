"""The four roads in docs/print-and-cut.md, from the one list that the page shows too."""

from __future__ import annotations

import re

from kitloom.roads import ROADS, Road

_PLACE = re.compile(r"(<!-- roads: .*? -->\n).*?(<!-- end of the roads -->\n)", re.DOTALL)


def page(before: str) -> str:
    """Return the page with its part about the roads made anew; the rest stays."""
    roads = "\n".join(map(_road, ROADS))
    return _PLACE.sub(lambda found: f"{found[1]}\n{roads}\n{found[2]}", before)


def _road(road: Road) -> str:
    steps = "".join(f"{number}. {step}\n" for number, step in enumerate(road.steps, start=1))
    files = ", ".join(f"`{name}`" for name in road.files)
    return f"### {road.title}\n\nFiles: {files}.\n\n{steps}\n**Check.** {road.check}\n"
