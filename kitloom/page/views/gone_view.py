"""What did the address ask for that is gone? An undo or another tab may have taken it away.

In: what a step was made from, and what it shows. Out: a sentence for each choice that the step can
no longer show; none while the sheet is being drawn, when that is not known yet.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kitloom.page.views.settings_view import asked_row
from kitloom.page.views.step_views import StepRequest

ALL_GONE = "What you chose is not there any more."  # there is no kit
_STEPS_OF_TILES = ("tiles", "palette", "print")


def gone_view(slug: str, request: StepRequest, view: Mapping[str, Any]) -> list[str]:
    """Return what is to be said of choices that are gone."""
    asked, said = request.query, []
    labels = [part.label for part in request.recipe.patterns]
    if slug in _STEPS_OF_TILES and (label := asked.get("tile")) and label not in labels:
        said.append(f'There is no tile "{label}" any more.')
    if slug == "kit" and asked.get("row") and asked_row(request.recipe, asked) is None:
        said.append("The row that you chose is not there any more.")
    drawing = request.bench.drawing
    if drawing.revision != request.bench.revision or drawing.fault is not None:
        return said
    if slug == "palette" and (hex_ := asked.get("swap")) and not view.get("swap"):
        said.append(f"{hex_} is not in the palette any more.")
    if slug == "palette" and (name := asked.get("wear")) and not view.get("wear"):
        said.append(f'There is no palette "{name}" any more.')
    if slug == "sheet" and asked.get("sticker") and not view.get("sticker"):
        said.append("The sticker that you chose is not on the sheet any more.")
    return said
