"""Which tile is tried, and which tries are used: mend, repair and recolour on the page.

In: the bench, its tries and what the address or a form asks for. Out: the try to show, or a changed
recipe. Computing is done before the bench is locked, so that other tabs need not wait.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable

from kit.recipe import PatternPart, Recipe
from kitloom.job import Job
from kitloom.page.bench import Bench
from kitloom.page.edit import recipe_of
from kitloom.page.errors import PageError
from kitloom.page.forms import Form
from kitloom.page.tries import Tries, Try, mended, recoloured, repaired, use
from kitloom.studies import TileStudy

DULL_SHARE = 0.05
RECOLOURED_SHARE = 0.002


def plan_mend(
    bench: Bench, recipe: Recipe, part: PatternPart
) -> tuple[Hashable, Callable[[], Try]]:
    """Return the key and the making of a tile mended."""
    study = _study(bench, recipe, part)
    return ("mend", *_identity(study)), lambda: mended(study)


def plan_repair(
    bench: Bench, recipe: Recipe, part: PatternPart
) -> tuple[Hashable, Callable[[], Try]]:
    """Return the key and the making of a tile repaired for print."""
    study, press = _study(bench, recipe, part), _job(bench).press
    return ("repair", press.name, *_identity(study)), lambda: repaired(study, press)


def plan_recolour(
    bench: Bench, recipe: Recipe, part: PatternPart, old: str, new: str
) -> tuple[Hashable, Callable[[], Try]]:
    """Return the key and the making of a tile with one colour changed."""
    study = _study(bench, recipe, part)
    shown = tuple(swatch.hex for swatch in _job(bench).judged.palette.swatches)
    key = ("recolour", shown, old, new, *_identity(study))
    return key, lambda: recoloured(study, shown, old, new)


def use_mended(bench: Bench, tries: Tries, form: Form) -> None:
    """Use the mended tile instead of the old one."""
    recipe = recipe_of(bench)
    part = _part(recipe, form)
    made = tries.now(*plan_mend(bench, recipe, part))
    use(bench, f"mended {part.label}", "mended", [(part, made)])


def use_repaired(bench: Bench, tries: Tries, form: Form) -> None:
    """Use the repaired tile, or repaired tiles for all that look different in print."""
    recipe, job = recipe_of(bench), _job(bench)
    if form.text("all") == "yes":
        dull = {used.name for used in job.patterns if used.printed.share_out_of_gamut >= DULL_SHARE}
        parts = [part for part in recipe.patterns if part.label in dull]
    else:
        parts = [_part(recipe, form)]
    made = [(part, tries.now(*plan_repair(bench, recipe, part))) for part in parts]
    names = ", ".join(part.label for part in parts)
    use(bench, f"repaired {names}", "repaired", made)


def use_recoloured(bench: Bench, tries: Tries, form: Form) -> None:
    """Change one colour in every tile that shows it, and in the palette."""
    recipe, old, new = recipe_of(bench), form.colour("colour"), form.colour("to")
    parts = [part for part in recipe.patterns if part.label in wearing(_job(bench), old)]
    plans = [(part, plan_recolour(bench, recipe, part, old, new)) for part in parts]
    made = [(part, tries.now(*plan)) for part, plan in plans]
    use(bench, f"{old} became {new} in {len(parts)} tiles", "recoloured", made)


def wearing(job: Job, colour: str) -> list[str]:
    """Return the patterns in which a palette colour takes a visible share."""
    swatch = next((one for one in job.judged.palette.swatches if one.hex == colour), None)
    if swatch is None:
        return []
    return [name for name, share in swatch.sources.items() if share >= RECOLOURED_SHARE]


REMAKES: dict[str, Callable[[Bench, Tries, Form], None]] = {
    "use-mended": use_mended,
    "use-repaired": use_repaired,
    "use-recoloured": use_recoloured,
}


def _part(recipe: Recipe, form: Form) -> PatternPart:
    label = form.text("tile")
    part = next((one for one in recipe.patterns if one.label == label), None)
    if part is None:
        raise PageError(f'there is no tile "{label}"', where="tile", remedy="Choose another.")
    return part


def _study(bench: Bench, recipe: Recipe, part: PatternPart) -> TileStudy:
    return bench.memory.study(bench.request(recipe, part))


def _job(bench: Bench) -> Job:
    if bench.drawn.job is None:
        raise PageError("is not drawn yet", where="the kit", remedy="Wait a moment.")
    return bench.drawn.job


def _identity(study: TileStudy) -> tuple[Hashable, ...]:
    path = study.artwork.path
    return str(path), path.stat().st_mtime_ns, study.lattice.name
