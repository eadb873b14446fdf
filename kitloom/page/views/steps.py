"""The steps of the work, in its order, each with the one question that it asks.

In: the bench. Out: for each step its title, its question, a line on how it stands, and whether
anything in it stops the work. The order is the order of the work; nothing forces the maker through.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kit.recipe import Recipe
from kitloom.findings import FILL_SHARE
from kitloom.kits import JudgedKit
from kitloom.page.state import Bench
from kitloom.page.views.findings_view import count_things, on_sheets_alone
from kitloom.page.views.tiles_view import is_here
from kitloom.present import plural

Line = Callable[[Bench, Recipe, JudgedKit | None], tuple[str, str]]


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step as the list shows it.

    Attributes:
        slug: its address.
        number: from 1.
        title: its name.
        question: what there is to decide.
        line: how it stands.
        mark: "stop", "warn", "good" or "" for nothing to say.
    """

    slug: str
    number: int
    title: str
    question: str
    line: str
    mark: str


def step_rows(bench: Bench) -> list[StepRow]:
    """Return all steps as they are."""
    recipe, job = bench.recipe(), bench.drawing.job
    rows = []
    for number, (slug, title, question, line) in enumerate(STEPS, start=1):
        summary, mark = line(bench, recipe, job) if recipe else ("", "")
        rows.append(StepRow(slug, number, title, question, summary, mark))
    return rows


def _artwork(bench: Bench, recipe: Recipe, job: JudgedKit | None) -> tuple[str, str]:
    del bench, job
    there = sum(is_here(recipe, part) for part in recipe.patterns)
    missing = len(recipe.patterns) - there
    if missing:
        return f"{plural(there, 'tile')}, {missing} still to be dropped", "stop"
    return plural(there, "tile"), "good"


def _tiles(bench: Bench, recipe: Recipe, job: JudgedKit | None) -> tuple[str, str]:
    del job
    studies = [bench.known(recipe, part) for part in recipe.patterns]
    known = [(p, study) for p, study in zip(recipe.patterns, studies, strict=True) if study]
    lacking = sum(not is_here(recipe, part) for part in recipe.patterns)
    if lacking or (len(known) < len(studies) and bench.stuck):
        not_here = f", {lacking} not here" if lacking else ""
        return f"{len(known)} of {len(studies)} measured{not_here}", "stop"
    if len(known) < len(studies):
        return f"measuring, {len(known)} of {len(studies)} done", ""
    in_doubt = [study.check.seamless for part, study in known if not bench.accepted(part, study)]
    seams, unsure = in_doubt.count(False), in_doubt.count(None)
    accepted = len(known) - len(in_doubt)
    if seams:
        return f"{plural(seams, 'tile')} with a seam that shows", "stop"
    if unsure:
        return f"{plural(unsure, 'tile')} to look at", "warn"
    if accepted:
        return f"{len(known) - accepted} seamless, {accepted} accepted by you", "good"
    return "every tile repeats without a visible seam", "good"


def _palette(bench: Bench, recipe: Recipe, job: JudgedKit | None) -> tuple[str, str]:
    del recipe
    if job is None and bench.stuck:
        return "not chosen yet", ""
    if job is None:
        return "being chosen", ""
    shifts = sum(one.grade == "will shift" for one in job.verdict.colours)
    summary = plural(len(job.verdict.colours), "colour")
    verb = "prints" if shifts == 1 else "print"
    return (f"{summary}, {shifts} of them {verb} duller", "warn") if shifts else (summary, "good")


def _surface_words(recipe: Recipe) -> str:
    if recipe.press.chart:
        return "your printer, measured"
    return "your printer's profile" if recipe.press.profile else f"{recipe.press.surface} paper"


def _print(bench: Bench, recipe: Recipe, job: JudgedKit | None) -> tuple[str, str]:
    del bench
    paper = _surface_words(recipe)
    if job is None:
        return paper, ""
    tiles = sum(used.printed.share_out_of_gamut >= FILL_SHARE for used in job.patterns)
    plain = [one for one in job.findings if one.severity != "note" and on_sheets_alone(job, one)]
    drawings = sum(one.code == "fill-shift" for one in plain)
    counts = {"tile": tiles, "drawing": drawings, "other colour": len(plain) - drawings}
    dull = [plural(count, noun) for noun, count in counts.items() if count]
    if dull:
        verb = "prints" if sum(counts.values()) == 1 else "print"
        return f"{paper}; {', '.join(dull)} {verb} duller", "warn"
    return f"{paper}; every tile prints true", "good"


def _kit(bench: Bench, recipe: Recipe, job: JudgedKit | None) -> tuple[str, str]:
    del job
    wide, high = recipe.planner.box
    total = sum(row.count for row in recipe.rows)
    summary = f"{plural(total, 'sticker')} for a box of {wide:g} × {high:g} mm"
    return summary, "stop" if bench.drawing.fault is not None else "good"


def _sheet(bench: Bench, recipe: Recipe, job: JudgedKit | None) -> tuple[str, str]:
    if bench.drawing.fault is not None:
        return "cannot be laid out yet", "stop"
    if job is None:
        return "being laid out", ""
    summary = f"{plural(len(job.kit.sheets), 'sheet')} of {recipe.sheet.paper.name}"
    stops = count_things(one for one in job.findings if one.severity == "stop")
    warns = count_things(one for one in job.findings if one.severity == "warn")
    if stops:
        return f"{summary}, {plural(stops, 'thing')} to fix", "stop"
    return (f"{summary}, {plural(warns, 'warning')}", "warn") if warns else (summary, "good")


def _home(bench: Bench, recipe: Recipe, job: JudgedKit | None) -> tuple[str, str]:
    del recipe, job
    return ("files have been made", "") if bench.workspace.made.is_dir() else ("", "")


STEPS: tuple[tuple[str, str, str, Line], ...] = (
    ("artwork", "Artwork", "For which planner, on which paper, with which patterns?", _artwork),
    ("tiles", "Tiles", "Does each tile repeat without a seam, and how large should it be?", _tiles),
    ("palette", "Palette", "Which colours belong to the kit?", _palette),
    ("print", "Proof", "What is it printed on, and what becomes of the colours?", _print),
    ("kit", "The kit", "Which stickers, for which planner, on which paper?", _kit),
    ("sheet", "The sheet", "Is everything where you want it?", _sheet),
    ("home", "Save files", "Happy with it? Make the files.", _home),
)
SLUGS = tuple(slug for slug, *_ in STEPS)
