"""What is there to tell of a finished kit? Plain values, ready for JSON.

They also stand in the lock, so that a later run that finds nothing changed can say the same again
without making the kit. How they are shown is told in ``kitloom.present.kit_lines``.
"""

from __future__ import annotations

from typing import Any

from kitloom.kits import Job
from kitloom.measure import TileStudy
from kitloom.present import as_json as shape


def told_of(job: Job) -> dict[str, Any]:
    """Return what is told of a job, but for where its files are."""
    answer = shape.answer(
        "make",
        job.findings,
        sheets=[shape.sheet_dict(sheet) for sheet in job.kit.sheets],
        tiles=[_tile(used.study) for used in job.patterns],
        palette=shape.palette_dicts(job.judged.palette, job.judged.fitness),
        pairs=shape.pair_dicts(job.judged.pairs),
        colours=shape.colour_dicts(job.judged.colours),
        fills=[
            shape.fill_dict(used.study.subject, used.printed, used.plane.effective_dpi)
            for used in job.patterns
        ],
        windows=shape.window_dicts(job.kit.windows),
    )
    name = job.recipe.kit.name or job.recipe.file.stem
    return {"name": name, "paper": job.recipe.sheet.paper.name, "answer": answer}


def _tile(study: TileStudy) -> dict[str, Any]:
    """One tile's measurements, without the repeats inside it: a kit has no use for them."""
    return {key: value for key, value in shape.tile_dict(study).items() if key != "repeat"}
