"""The whole job, from a checked recipe to sheets: what ``make``, the report and the page share.

In: a recipe. Out: a ``Job`` with everything that was measured and decided on the way, nothing of it
computed twice. Data flows one way: artwork, tiles, colours, kit.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from kit.compose import (
    FORMAT,
    Kit,
    Lock,
    LockedPattern,
    LockedSticker,
    Pattern,
    compose,
    places_in_rows,
    with_lock,
)
from kit.recipe import PatternPart, Recipe, place_in
from kit.recipe_error import RecipeError
from kitloom import __version__
from kitloom.cache import check_text
from kitloom.colours import (
    PaletteVerdict,
    judge_palette,
    parse_allowed,
    read_palette_file,
    worn_palette,
)
from kitloom.findings import (
    Finding,
    fill_findings,
    fills_ink,
    in_order,
    kept_findings,
    kit_findings,
    opening_findings,
    palette_findings,
    plain_findings,
    resolution_findings,
    seam_findings,
    stickers_ink,
    thin_findings,
)
from kitloom.measure import Request, UsedPattern, Wanted, mark_of, measure, study_all
from palette.choose import ColourBins, Palette, choose
from palette.press import Press, open_press
from patterns.artwork import digest


@dataclass(frozen=True)
class Job:
    """One kit with all that was measured and decided.

    Attributes:
        recipe: what was asked for.
        press: what it is judged for.
        patterns: the recipe's patterns, in its order.
        judged: the palette and its measurements.
        kit: the sheets and how they came about.
        findings: what a maker should know, the gravest first.
    """

    recipe: Recipe
    press: Press
    patterns: tuple[UsedPattern, ...]
    judged: PaletteVerdict
    kit: Kit
    findings: tuple[Finding, ...]


def make_kit(
    recipe: Recipe,
    notes: Sequence[Finding],
    tick: Callable[[], None],
    keep: Lock | None = None,
    *,
    measure_with: Callable[[Wanted, Press], UsedPattern] = measure,
    choose_with: Callable[..., Palette] = choose,
) -> Job:
    """Measure the artwork, choose the palette and compose the sheets.

    Args:
        recipe: a checked recipe.
        notes: findings about how the recipe was changed on the way here.
        tick: called after each tile and after the palette and the layout.
        keep: an earlier run's record whose decisions are to stay.
        measure_with: measures one pattern; another that remembers gives the same kit sooner.
        choose_with: chooses the palette, likewise.

    Raises:
        KitloomError: artwork, profile or recipe that cannot be used.
    """
    own_pins = recipe.palette.pinned
    now = _digests(recipe) if keep is not None else {}
    if keep is not None:
        recipe = with_lock(recipe, keep, now)
    press = open_press(**press_words(recipe))

    def measured(part: PatternPart) -> UsedPattern:
        return measure_with(_wanted(recipe, part), press)

    used = tuple(study_all(recipe.patterns, measured, tick))
    bins = {one.name: one.study.bins for one in used}
    names = keep.names if keep is not None else {}
    chosen = _palette(recipe, bins, choose_with, own_pins)
    chosen = _named_by(names, _pinned_by(own_pins, chosen))
    allowed = parse_allowed([",".join(pair) for pair in recipe.palette.allow], chosen)
    judged = judge_palette(chosen, press, allowed)
    tick()
    kit = compose(recipe, [_pattern(one) for one in used], judged.palette, keep)
    tick()
    inks = {one.name: one.ink for one in used}
    heavy = [*fills_ink(bins, press, inks), *stickers_ink(kit.sheets, inks, press)]
    of_kit = [*kit_findings(recipe, kit, press), *heavy]
    if keep is not None:
        of_kit += kept_findings(recipe, keep, kit, now)
    found = [*notes, *_pattern_findings(used, press), *palette_findings(judged), *of_kit]
    return Job(recipe, press, used, judged, kit, in_order(found))


def press_words(recipe: Recipe) -> dict[str, Any]:
    """Return what ``open_press`` is to be asked for."""
    part = recipe.press
    return {
        "surface": part.surface,
        "profile": recipe.folder / part.profile if part.profile else None,
        "intent": part.intent,
        "black_point_compensation": part.black_point_compensation,
        "chart": recipe.folder / part.chart if part.chart else None,
    }


def _digests(recipe: Recipe) -> dict[str, str]:
    """The hash of each pattern's file as it is now; files that are missing are told of later."""
    files = {part.label: recipe.folder / part.file for part in recipe.patterns}
    return {label: digest(path) for label, path in files.items() if path.is_file()}


def _pinned_by(own: Sequence[str], palette: Palette) -> Palette:
    """The palette with only those colours called pinned that the recipe itself pins."""
    wanted = {colour.lower() for colour in own}
    return replace(
        palette,
        swatches=tuple(
            replace(one, pinned=one.pinned and one.hex in wanted) for one in palette.swatches
        ),
    )


def _named_by(names: Mapping[str, str], palette: Palette) -> Palette:
    """The palette with each colour called as in the run that is kept; a file has its own names."""
    swatches = tuple(replace(one, name=names.get(one.hex, one.name)) for one in palette.swatches)
    return replace(palette, swatches=swatches)


def _palette(
    recipe: Recipe,
    bins: Mapping[str, ColourBins],
    choose_with: Callable[..., Palette],
    own_pins: Sequence[str],
) -> Palette:
    """The palette that the recipe asks for: read from a file, or chosen from its tiles."""
    part = recipe.palette
    if part.tiles:
        unknown = [name for name in part.tiles if name not in bins]
        if unknown:
            raise RecipeError(
                f'palette.tiles: "{unknown[0]}" is not a pattern of this recipe',
                where=place_in(recipe, "palette", "tiles"),
                remedy=f"Choose from {', '.join(bins)}.",
            )
        bins = {name: bins[name] for name in part.tiles}
    # other pins than the recipe's own are all the colours of an earlier run that is to be kept
    if part.source is not None and part.pinned == own_pins:
        place = recipe.folder / part.source
        return worn_palette(read_palette_file(place), bins, part.pinned, where=str(place))
    return choose_with(bins, part.colours, part.pinned)


def lock_of(job: Job) -> Lock:
    """Return the record of a job: what it was made from, and every decision."""
    kit = job.kit
    return Lock(
        FORMAT,
        __version__,
        digest(job.recipe.file),
        tuple(
            LockedPattern(
                one.name,
                one.study.artwork.path.name,
                digest(one.study.artwork.path),
                one.plane.repeat_mm,
                one.plane.lattice.name,
                check_text(part.lattice, one.study.check),
            )
            for part, one in zip(job.recipe.patterns, job.patterns, strict=True)
        ),
        tuple(swatch.hex for swatch in job.judged.palette.swatches),
        tuple(_locked_stickers(kit)),
        {swatch.hex: swatch.name for swatch in job.judged.palette.swatches},
    )


def _locked_stickers(kit: Kit) -> list[LockedSticker]:
    places = places_in_rows(kit.slots)
    return [
        LockedSticker(
            slot.row,
            place,
            wish,
            slot.kind.name,
            slot.width_mm,
            slot.height_mm,
            choice.fill,
            choice.panel,
            offset,
            panel_offset,
            slot.made_from,
        )
        for slot, place, wish, choice, offset, panel_offset in zip(
            kit.slots,
            places,
            kit.wishes,
            kit.choices,
            kit.windows.offsets_mm,
            kit.windows.panel_offsets_mm,
            strict=True,
        )
    ]


def _wanted(recipe: Recipe, part: PatternPart) -> Wanted:
    request = Request(recipe.folder / part.file, part.lattice, part.subject)
    half_box = recipe.planner.box[0], recipe.planner.box[1] / 2.0
    return Wanted(part.label, request, part.repeat, half_box, recipe.sheet.dpi, part.looked)


def _pattern(used: UsedPattern) -> Pattern:
    bins = used.study.bins
    return Pattern(used.name, used.plane, bins.weight @ bins.lab)


def _pattern_findings(used: Sequence[UsedPattern], press: Press) -> list[Finding]:
    return [
        found
        for one in used
        for found in (
            *_joins(one),
            *resolution_findings(one.study.subject, one.plane.effective_dpi, one.plane.repeat_mm),
            *fill_findings(one.study.subject, one.printed, press),
            *plain_findings(one.study.subject, one.study.artwork),
            *thin_findings(one.study.subject, one.thin, "note"),
            *opening_findings(one.study.subject, one.study.artwork),
        )
    ]


def _joins(used: UsedPattern) -> list[Finding]:
    study = used.study
    mark = mark_of(study.artwork.path) if study.check.seamless is None else ""
    return seam_findings(study.subject, study.check, looked=used.looked, mark=mark)
