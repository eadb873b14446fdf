"""Which tile is tried, and which tries are used: mend, repair, recolour and re-dress on the page.

In: the bench, its tries and what the address or a form asks for. Out: the try to show, or a chore
that changes the recipe. Nothing is computed here, and nothing while the bench is locked.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import partial

from kit.recipe import PatternPart, Recipe
from kitloom.kits import Job
from kitloom.measure import TileStudy
from kitloom.page.edits import OWN, Form, colours_of, recipe_of
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench, with_value
from kitloom.page.work.chores import Chores, Made, Plan
from kitloom.page.work.remade import mended, recoloured, redressed, repaired
from kitloom.page.work.tries import use, use_and
from palette.press import Press, open_press

DULL_SHARE = 0.05
RECOLOURED_SHARE = 0.002


def plan_mend(bench: Bench, recipe: Recipe, part: PatternPart) -> Plan:
    """Return the key and the making of a tile mended."""
    study = _study(bench, recipe, part)
    return ("mend", *_identity(study)), partial(mended, study)


def plan_repair(bench: Bench, recipe: Recipe, part: PatternPart) -> Plan:
    """Return the key and the making of a tile repaired for print."""
    study, press = _study(bench, recipe, part), _job(bench).press
    return ("repair", press.name, *_identity(study)), partial(repaired, study, press_of(recipe))


def press_of(recipe: Recipe) -> Callable[[], Press]:
    """Return how a recipe's press is opened; an opened one cannot go to another process."""
    wanted = recipe.press
    return partial(
        open_press,
        wanted.surface,
        recipe.folder / wanted.profile if wanted.profile else None,
        intent=wanted.intent,
        black_point_compensation=wanted.black_point_compensation,
        chart=recipe.folder / wanted.chart if wanted.chart else None,
    )


def plan_recolour(bench: Bench, recipe: Recipe, part: PatternPart, old: str, new: str) -> Plan:
    """Return the key and the making of a tile with one colour changed."""
    study = _study(bench, recipe, part)
    shown = tuple(swatch.hex for swatch in _job(bench).judged.palette.swatches)
    key = ("recolour", shown, old, new, *_identity(study))
    return key, partial(recoloured, study, shown, old, new)


def plan_redress(bench: Bench, recipe: Recipe, part: PatternPart, name: str) -> Plan:
    """Return the key and the making of a tile in a whole other palette.

    Raises:
        KitloomError: there is no palette of that name.
    """
    study, job = _study(bench, recipe, part), _job(bench)
    wear = colours_of(bench, job, name)
    everything = tuple(_identity(used.study) for used in job.patterns)
    bins = {used.name: used.study.bins for used in job.patterns}
    key = ("redress", wear, everything, *_identity(study))
    return key, partial(redressed, study, wear, bins)


def use_mended(chores: Chores, form: Form) -> None:
    """Use the mended tile instead of the old one."""
    recipe = recipe_of(chores.bench)
    part = _part(recipe, form)
    _use(chores, f"mended {part.label}", "mended", [(part, plan_mend(chores.bench, recipe, part))])


def use_repaired(chores: Chores, form: Form) -> None:
    """Use the repaired tile, or repaired tiles for all that look different in print."""
    bench = chores.bench
    recipe, job = recipe_of(bench), _job(bench)
    if form.text("all") == "yes":
        dull = {used.name for used in job.patterns if used.printed.share_out_of_gamut >= DULL_SHARE}
        parts = [part for part in recipe.patterns if part.label in dull]
    else:
        parts = [_part(recipe, form)]
    names = ", ".join(part.label for part in parts)
    plans = [(part, plan_repair(bench, recipe, part)) for part in parts]
    _use(chores, f"repaired {names}", "repaired", plans)


def use_recoloured(chores: Chores, form: Form) -> None:
    """Change one colour in every tile that shows it, and in the palette."""
    bench = chores.bench
    recipe, old, new = recipe_of(bench), form.colour("colour"), form.colour("to")
    parts = [part for part in recipe.patterns if part.label in wearing(_job(bench), old)]
    plans = [(part, plan_recolour(bench, recipe, part, old, new)) for part in parts]
    _use(chores, f"{old} became {new} in {len(parts)} tiles", "recoloured", plans)


def use_redressed(chores: Chores, form: Form) -> None:
    """Use a tile, or all of them, in a whole other palette.

    Colours that were held go with the palette that they were of, once no tile wears it any more.
    """
    bench, name = chores.bench, form.text("wear")
    recipe, everything = recipe_of(bench), form.text("all") == "yes"
    parts = list(recipe.patterns) if everything else [_part(recipe, form)]
    what = f"all {len(parts)} tiles" if everything else parts[0].label
    label = f"dressed {what} in {name}"
    plans = [(part, plan_redress(bench, recipe, part, name)) for part in parts]

    def freed(text: str) -> str:
        gone = everything and name != OWN and recipe.palette.pinned
        return with_value(text, "palette", "pinned", None) if gone else text

    def finish(made: Made) -> None:
        use_and(bench, label, "redressed", made, freed)

    chores.begin(label, plans, finish)


def stop_try(chores: Chores, form: Form) -> None:
    """Stop a try that is being made."""
    chores.tries.stop(form.whole("number", 1, 999_999))


def try_again(chores: Chores, form: Form) -> None:
    """Let a stopped try be made after all."""
    chores.tries.again(form.whole("number", 1, 999_999))


def stop_chore(chores: Chores, form: Form) -> None:
    """Stop what is being made of several tiles."""
    del form
    chores.stop()


def _use(chores: Chores, label: str, word: str, plans: list[tuple[PatternPart, Plan]]) -> None:
    chores.begin(label, plans, lambda made: use(chores.bench, label, word, made))


def wearing(job: Job, colour: str) -> list[str]:
    """Return the patterns in which a palette colour takes a visible share."""
    swatch = next((one for one in job.judged.palette.swatches if one.hex == colour), None)
    if swatch is None:
        return []
    return [name for name, share in swatch.sources.items() if share >= RECOLOURED_SHARE]


REMAKES: dict[str, Callable[[Chores, Form], None]] = {
    "use-mended": use_mended,
    "use-repaired": use_repaired,
    "use-recoloured": use_recoloured,
    "use-redressed": use_redressed,
    "stop-try": stop_try,
    "try-again": try_again,
    "stop-chore": stop_chore,
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
