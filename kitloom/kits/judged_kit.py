"""One line from a recipe to sheets: what ``make``, ``trial`` and the page share.

In: a recipe. Out: a ``JudgedKit`` with everything that was measured and decided on the way. Values
flow one way, from stage to stage, and each stage is given only what it needs: tiles are measured,
the palette is chosen and judged, sheets are composed, findings are made.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

from kit.compose import Kit, Lock, Pattern, compose
from kit.fills import Fields
from kit.recipe import Recipe
from kitloom.colours import (
    PaletteVerdict,
    fill_coverages,
    judge_palette,
    palette_of_colours,
    parse_allowed,
)
from kitloom.findings import (
    Finding,
    fill_findings,
    fills_ink,
    foreign_findings,
    in_order,
    keeping_findings,
    kit_findings,
    look_findings,
    opening_findings,
    palette_findings,
    plain_findings,
    resolution_findings,
    seam_findings,
    sheet_colour_findings,
    sized_findings,
    stickers_ink,
    thin_findings,
)
from kitloom.inks import InkVerdict, inks_on, judge_inks
from kitloom.kits.request import KitRequest, PaletteRequest, resolve
from kitloom.measure import (
    Request,
    TileStudy,
    UsedPattern,
    lean_study,
    mark_of,
    measure_all,
    thin_lines,
    use_all,
)
from palette.choose import ColourBins, Palette, belonging, choose
from palette.memory import Remember, afresh
from palette.press import Press
from palette.proof import ThinStroke
from patterns.plane import Plane


@dataclass(frozen=True)
class JudgedKit:
    """One kit with all that was measured and decided.

    Attributes:
        recipe: what was asked for.
        press: what it is judged for.
        patterns: the recipe's patterns, in its order.
        verdict: the palette and its measurements.
        kit: the sheets and how they came about.
        inks: the plain colours and drawings on the sheets, and what becomes of them in print.
        findings: what a maker should know, the gravest first.
    """

    recipe: Recipe
    press: Press
    patterns: tuple[UsedPattern, ...]
    verdict: PaletteVerdict
    kit: Kit
    inks: InkVerdict
    findings: tuple[Finding, ...]

    @property
    def title(self) -> str:
        """What the kit is called: its name, or its recipe's."""
        return self.recipe.kit.name or self.recipe.file.stem

    def with_findings(self, more: Sequence[Finding]) -> JudgedKit:
        """Return the kit with what was found after it was judged, the gravest first."""
        return replace(self, findings=in_order([*self.findings, *more])) if more else self


def make_kit(
    recipe: Recipe,
    notes: Sequence[Finding],
    tick: Callable[[], None],
    keep: Lock | None = None,
    *,
    study_with: Callable[[Request], TileStudy] = lean_study,
    choose_with: Callable[..., Palette] = choose,
    thin_with: Callable[[TileStudy, float], tuple[ThinStroke, ...]] = thin_lines,
    fields_with: Callable[[str, Plane], Fields] | None = None,
    remember: Remember = afresh,
) -> JudgedKit:
    """Measure the artwork, choose the palette and compose the sheets.

    Args:
        recipe: a checked recipe.
        notes: findings about how the recipe was changed on the way here.
        tick: called after each tile and after the palette and the layout.
        keep: an earlier run's record whose decisions are to stay.
        study_with: studies one tile; another that remembers gives the same kit sooner.
        choose_with: chooses the palette, likewise.
        thin_with: finds a tile's thin lines at so many pixels an inch, likewise.
        fields_with: as of ``kit.fills.choose_windows``, likewise.
        remember: gives what an edit of one sticker mostly leaves as it was, likewise.

    Raises:
        KitloomError: artwork, profile or recipe that cannot be used.
    """
    request = resolve(recipe, keep)
    tiles = measure_all(request.patterns, tick, study_with)
    bins = {one.name: tile.bins for one, tile in zip(request.patterns, tiles, strict=True)}
    with ThreadPoolExecutor(1) as pool:  # neither of the two rests on the other
        chosen = pool.submit(choose_palette, request.palette, bins, choose_with)
        patterns = use_all(request.patterns, tiles, request.press, thin_with, remember)
        palette = chosen.result()
    allowed = parse_allowed(request.palette.allowed, palette)
    colours = judge_palette(palette, request.press, allowed)
    tick()
    planes = [_plane(one) for one in patterns]
    kit = compose(request.recipe, planes, palette, keep, fields_with=fields_with, remember=remember)
    tick()
    inks = judge_inks(inks_on(request.recipe, kit, remember), request.press, remember)
    found = _findings(request, patterns, colours, kit, inks, remember=remember)
    findings = in_order([*notes, *found])
    return JudgedKit(request.recipe, request.press, patterns, colours, kit, inks, findings)


def choose_palette(
    request: PaletteRequest,
    bins: Mapping[str, ColourBins],
    choose_with: Callable[..., Palette] = choose,
) -> Palette:
    """Return the palette that is asked for: a file's, or one chosen from the tiles.

    Args:
        request: which colours.
        bins: the colours of each pattern, by name.
        choose_with: chooses the palette, with the parameters of ``palette.choose.choose``.

    Raises:
        PaletteError: more colours than a palette may have.
    """
    tiles = {name: bins[name] for name in request.tiles}
    if request.file_colours is None:
        palette = choose_with(
            tiles, request.colours, request.pinned, names=request.names, without=request.without
        )
    else:
        palette = palette_of_colours(
            request.file_colours,
            tiles,
            request.pinned,
            names=request.names,
            without=request.without,
            where=request.where,
        )
    swatches = tuple(
        replace(one, pinned=one.pinned and one.hex in request.own_pins) for one in palette.swatches
    )
    return replace(palette, swatches=swatches)


def _plane(used: UsedPattern) -> Pattern:
    bins = used.study.bins
    return Pattern(used.name, used.plane, bins.weight @ bins.lab)


def _findings(
    request: KitRequest,
    patterns: Sequence[UsedPattern],
    colours: PaletteVerdict,
    kit: Kit,
    inks: InkVerdict,
    *,
    remember: Remember,
) -> list[Finding]:
    """All findings: about the tiles, the colours and the sheets."""
    recipe, press = request.recipe, request.press
    totals = {one.name: one.ink for one in patterns}
    found = [one for used in patterns for one in _pattern_findings(used, press)]
    found += sized_findings(patterns, kit)
    found += palette_findings(colours, inks.inks.colours)
    found += _foreign(recipe, patterns, colours.palette)
    known = {one.hex for one in colours.palette.swatches}
    found += sheet_colour_findings(inks, press, known)
    found += kit_findings(recipe, kit, press)
    drawn = inks.inks.coordinates
    bins = {one.name: one.study.bins for one in patterns}
    found += fills_ink({**bins, **drawn}, press, {**totals, **fill_coverages(drawn, press)})
    found += stickers_ink(inks.inks, totals, press, remember)
    if request.keep is not None:
        found += keeping_findings(recipe, request.keep, kit, request.digests)
    return found


def _foreign(recipe: Recipe, patterns: Sequence[UsedPattern], palette: Palette) -> list[Finding]:
    """Say whether the tiles go with a palette that is a file's."""
    source = recipe.palette.source
    if source is None or not len(palette):
        return []
    belongs = {one.name: belonging(one.study.bins, palette.labs) for one in patterns}
    return foreign_findings(belongs, source.name, where="palette.from")


def _pattern_findings(used: UsedPattern, press: Press) -> list[Finding]:
    study, plane = used.study, used.plane
    subject, check = study.subject, study.check
    mark = mark_of(study.artwork.path) if check.seamless is not True else ""
    return [
        *seam_findings(subject, check, accepted=used.accepted, mark=mark),
        *look_findings(subject, used.look),
        *resolution_findings(subject, plane.effective_dpi, plane.repeat_mm),
        *fill_findings(subject, used.printed, press),
        *plain_findings(subject, study.artwork),
        *thin_findings(subject, used.thin, "note", width_px=study.artwork.width_px),
        *opening_findings(subject, study.artwork),
    ]
