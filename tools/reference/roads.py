"""Roads, cautions and how to print in the README and docs/, from the lists that the page shows."""

from __future__ import annotations

import re

from kitloom.roads import CAUTIONS, PRINTING, ROADS, Road

_PLACE = re.compile(r"(<!-- roads: .*? -->\n).*?(<!-- end of the roads -->\n)", re.DOTALL)
_CAUTIONS = re.compile(r"(<!-- cautions: .*? -->\n).*?(<!-- end of the cautions -->\n)", re.DOTALL)


_PRINTING = re.compile(r"(<!-- printing: .*? -->\n).*?(<!-- end of printing -->\n)", re.DOTALL)


def with_cautions(before: str) -> str:
    """Return a page with its cautions made again; the rest stays."""
    cautions = "".join(f"- {sentence}\n" for sentence in CAUTIONS)
    return _CAUTIONS.sub(lambda found: f"{found[1]}\n{cautions}\n{found[2]}", before)


def page(before: str) -> str:
    """Return the page with its parts about roads and cautions made again; the rest stays."""
    roads = "\n".join(map(_road, ROADS))
    before = _PLACE.sub(lambda found: f"{found[1]}\n{roads}\n{found[2]}", before)
    printing = "".join(f"- {sentence}\n" for sentence in PRINTING)
    before = _PRINTING.sub(lambda found: f"{found[1]}\n{printing}\n{found[2]}", before)
    return with_cautions(before)


def _road(road: Road) -> str:
    steps = "".join(f"{number}. {step}\n" for number, step in enumerate(road.steps, start=1))
    files = ", ".join(f"`{name}`" for name in road.files)
    return f"### {road.title}\n\nFiles: {files}.\n\n{steps}\n**Check.** {road.check}\n"
