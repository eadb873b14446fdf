"""Findings about colours: what shifts in print, and which colours cannot be told apart.

Pairs under CIEDE2000 5 warn, and fills side by side under 2.5 stop: common practice, no published
source. The grades of the print shift are the press's own (``palette.proof.assess``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from kitloom.colours import JudgedPalette
from kitloom.findings.codes import Finding, Severity, finding

if TYPE_CHECKING:
    from kitloom.colours import Repaired
from palette.choose import Belonging, Fitness, Palette, share_words
from palette.pairs import LostPair, Pair
from palette.press import Press
from palette.proof import AS_SEEN, HEAVY, MAX_PLACES, ColourAssessment, FillAssessment, ThinStroke
from palette.space import TEXT_RATIO

LEAST_TOLD_REST = 0.05  # of all the area, or of one tile
CLOSE_DE2000 = 5.0
SAME_DE2000 = 2.5
FILL_SHARE = 0.05
HEAVY_SHARE = 0.25
HEAVY_BESIDE_BLACK = 0.5  # half the ink of plain black: less is worth no note
_INK_REMEDY = (
    "Choose the right paper type in the driver and let it dry longer; follow the maker's "
    "instructions for ink and for wet prints."
)
BELONGS_SHARE = 0.7  # less of the area near the palette's colours reads as another set


def colour_findings(colours: Sequence[ColourAssessment], press: Press) -> list[Finding]:
    """Say which colours the press cannot reach, and how far the forecast is to be trusted."""
    found = [
        finding(
            "colour-shift",
            one.hex,
            what=f"It prints as {one.printed_hex}, a shift of {one.shift_de2000:.1f} (CIEDE2000).",
            why=f"It lies outside what {press.name} prints; on paper it looks duller.",
            remedy=nudge_or_leave(one),
            shift_de2000=round(one.shift_de2000, 2),
            printed_hex=one.printed_hex,
            nearest_hex=one.nearest_hex,
            nearest_de2000=round(one.nearest_de2000, 2),
            grade=one.grade,
        )
        for one in colours
        if one.grade == "will shift"
    ]
    return [*found, press_finding(press)]


def nudge_or_leave(one: ColourAssessment) -> str:
    """Say how far off a colour prints, how far off the advised one lies, and which to take.

    The last sentence is the same for all colours of one advice, so that many are told short.
    """
    plain, other = f"{one.shift_de2000:.1f}", f"{one.nearest_de2000:.1f}"
    figures = (
        f"As it is, it prints {plain} away from the colour you chose; {one.nearest_hex}, the "
        f"nearest that prints as it is seen, lies {other} away (CIEDE2000)."
    )
    if plain != other and one.shift_de2000 < one.nearest_de2000:
        return (
            f"{figures} Left as it is, it prints nearer to what you chose; use the other only if "
            "screen and print should look the same."
        )
    return f"{figures} Use the other, or accept the shift."


def press_finding(press: Press) -> Finding:
    """Say what a forecast of this press is worth."""
    return finding(
        "press-limits",
        press.name,
        what=press.limits,
        why="Paper, ink and driver settings decide what really prints.",
        remedy="Print a trial strip (kitloom trial), give your printer's own ICC profile, or "
        "measure the printer with a chart (kitloom proof --chart).",
    )


def pen_findings(fits: Sequence[Fitness]) -> list[Finding]:
    """Name the colours on which none of the common pens reads well (WCAG 2.2, 4.5 to 1)."""
    return [
        finding(
            "pen-contrast",
            one.hex,
            what=f"The best of the common pens, {one.best_pen}, reaches a contrast of only "
            f"{one.best_pen_ratio:.2f} to 1 on it.",
            why="Under 4.5 to 1 small writing is hard to read (WCAG 2.2, 1.4.3).",
            remedy="Use it behind a white panel, or write on it with a white pen.",
            pen_ratio=round(one.best_pen_ratio, 2),
        )
        for one in fits
        if one.best_pen_ratio < TEXT_RATIO
    ]


def sight_findings(lost: Sequence[LostPair]) -> list[Finding]:
    """Name the pairs that fall together without one kind of cone (Machado and others, 2009)."""
    return [
        finding(
            "sight",
            f"{pair.a} and {pair.b}",
            what=f"They differ by {pair.de2000:.1f}, but by {pair.de2000_seen:.1f} in "
            f"{pair.sight} sight (CIEDE2000).",
            why="Some people cannot tell them apart.",
            remedy="Do not let the two colours alone carry a meaning.",
            sight=str(pair.sight),
            de2000_seen=round(pair.de2000_seen, 2),
        )
        for pair in lost
    ]


def belonging_findings(belongs: Mapping[str, Belonging], palette: Palette) -> list[Finding]:
    """Name the artwork that has many colours the palette lacks."""
    found = []
    for name, one in belongs.items():
        if one.share_near >= BELONGS_SHARE:
            continue
        foreign = ", ".join(f"{s.hex} ({s.share:.0%})" for s in one.strangers[:3])
        near = palette.swatches[one.strangers[0].nearest].name if one.strangers else ""
        found.append(
            finding(
                "stranger",
                name,
                what=f"{one.share_near:.0%} of its area is near a colour of the palette; "
                f"it also has {foreign}.",
                why="Beside the rest of the kit it looks like part of another one.",
                remedy="Dress it in the palette with kitloom palette --from PALETTE --colourway "
                f"FOLDER; its largest stranger would become {near or 'another colour'}.",
                share_near=round(one.share_near, 4),
                mean_de2000=round(one.mean_de2000, 2),
            )
        )
    return found


def fill_findings(
    subject: str, fill: FillAssessment, press: Press, repaired: str = ""
) -> list[Finding]:
    """Say when a good part of a fill moves visibly in print.

    Args:
        subject: the fill.
        fill: what becomes of it.
        press: what prints.
        repaired: the file that this same run repairs it into, if it does.
    """
    if fill.share_out_of_gamut < FILL_SHARE:
        return []
    share = f"{fill.share_out_of_gamut:.0%}"
    return [
        finding(
            "fill-shift",
            subject,
            what=f"{share} of it lies outside what {press.name} prints; "
            f"it moves by {fill.mean_shift_de2000:.1f} on average (CIEDE2000).",
            why="These areas look duller on paper than on screen, and may lose detail.",
            remedy=f"Compare it with {repaired}, which this run drew into what prints."
            if repaired
            else "Compare before and after (kitloom proof --pictures FOLDER, or the report of "
            "make); kitloom proof --repair FOLDER writes a tile that keeps its contrast within "
            "what prints.",
            share_out_of_gamut=round(fill.share_out_of_gamut, 4),
            mean_shift_de2000=round(fill.mean_shift_de2000, 2),
            p95_shift_de2000=round(fill.p95_shift_de2000, 2),
        )
    ]


def thin_findings(
    subject: str, strokes: Sequence[ThinStroke], severity: Severity = "warn"
) -> list[Finding]:
    """Say where lines are thinner than a press holds at this repeat, dark and light in one."""
    kinds = (("positive", "dark", "break up"), ("reversed", "light", "fill in"))
    own = {kind: [stroke for stroke in strokes if stroke.kind == kind] for kind, _, _ in kinds}
    some = [(own[kind], tone, looks) for kind, tone, looks in kinds if own[kind]]
    if not some:
        return []
    told = " and ".join(
        f"{len(lines)}{' or more' if len(lines) >= MAX_PLACES else ''} {tone} "
        f"line{'' if len(lines) == 1 else 's'} under "
        f"{lines[0].limit_mm:.2f} mm, the longest at {lines[0].x_px}, {lines[0].y_px} px"
        for lines, tone, _ in some
    )
    may = " and ".join(f"{tone} ones may {looks}" for _, tone, looks in some)
    most = max(own.values(), key=len)
    return [
        finding(
            "thin-lines",
            subject,
            severity=severity,
            what=f"At this repeat it has {told}.",
            why=f"Lines this thin are hard to print: {may} on paper.",
            remedy="Use a larger repeat, or thicker lines; the pictures ring the places.",
            kind=most[0].kind,
            count=sum(map(len, own.values())),
            limit_mm=most[0].limit_mm,
            **{f"{kind}_count": len(own[kind]) for kind in own},
            **{f"{kind}_limit_mm": lines[0].limit_mm for kind, lines in own.items() if lines},
        )
    ]


def ink_limit_findings(coverages: Mapping[str, float], heavy: Mapping[str, float]) -> list[Finding]:
    """Warn of fills with much area over the ink limit; only for a press whose inks are known."""
    return [
        finding(
            "ink",
            name,
            severity="warn",
            what=f"{share:.0%} of it lays down more than {HEAVY:.0%} of ink; {coverages[name]:.0%} "
            "on average, all inks added up.",
            why="Heavy ink dries slowly, smears under rollers and may pucker the paper.",
            remedy=_INK_REMEDY,
            mean_coverage=round(coverages[name], 3),
            share_heavy=round(share, 4),
        )
        for name, share in heavy.items()
        if share >= HEAVY_SHARE
    ]


def ink_findings(what_are: str, beside_black: Mapping[str, float]) -> list[Finding]:
    """Say which fills or stickers are heavy with ink beside the others and beside plain black.

    Args:
        what_are: "fills" or "stickers".
        beside_black: the ink of each by name, as a share of a plain black fill's.
    """
    order = sorted(beside_black, key=lambda name: -beside_black[name])
    if not order or beside_black[order[0]] < HEAVY_BESIDE_BLACK:
        return []
    first, *others = (f"{beside_black[name]:.0%}" for name in order[:3])
    told = ", ".join(
        [f"{order[0]} takes {first}"]
        + [f"{name} {share}" for name, share in zip(order[1:3], others, strict=True)]
    )
    light = order[-1]
    lightest = f"; the lightest, {light}, {beside_black[light]:.0%}" if len(order) > 3 else ""
    return [
        finding(
            "ink",
            what_are,
            what=f"Of the ink of a plain black fill {told}{lightest}.",
            why="Heavy ink dries slowly and smears. How much a printer really lays down is its "
            "driver's business: trust the order more than the figures.",
            remedy=_INK_REMEDY,
            beside_black={name: round(beside_black[name], 3) for name in order},
        )
    ]


def off_screen(plain: float, repaired: float) -> str:
    """Say which print lies nearer to the tile's own screen colours (CIEDE2000, means).

    Nothing is said where the plain print moves so little that nobody sees it.
    """
    if plain < AS_SEEN:
        return ""
    if f"{repaired:.1f}" != f"{plain:.1f}" and repaired < plain:
        return (
            f"Its print lies {repaired:.1f} from the old screen colours on average, the plain "
            f"tile's {plain:.1f} (CIEDE2000)."
        )
    return (
        "Its print comes no nearer to the old screen colours than the plain tile's: "
        f"{repaired:.1f} and {plain:.1f} off on average (CIEDE2000); what it keeps is tones apart "
        "and in order."
    )


def repair_findings(results: Sequence[Repaired]) -> list[Finding]:
    """Say what a repair reached, and where joins came out worse."""
    return [
        finding(
            "repaired",
            one.file,
            severity="note" if one.joins_kept else "warn",
            what=(
                f"{one.before.share_out_of_gamut:.1%} of it shifted in print, now "
                f"{one.after.share_out_of_gamut:.1%} does"
                f"{'.' if one.joins_kept else '; its joins show more than before.'} "
                + off_screen(one.plain_off, one.repaired_off)
            ).strip(),
            why="The new tile prints as it looks on screen.",
            remedy="Compare the four pictures: the tile on screen and in print, the repaired one "
            "on screen and in print; keep the one whose print you like better.",
            share_before=round(one.before.share_out_of_gamut, 4),
            share_after=round(one.after.share_out_of_gamut, 4),
            plain_off=round(one.plain_off, 2),
            repaired_off=round(one.repaired_off, 2),
        )
        for one in results
    ]


def pair_findings(pairs: Sequence[Pair]) -> list[Finding]:
    """Name the palette colours that are hard to tell apart, on screen or only once printed."""
    found = []
    for pair in pairs:
        printed = pair.de2000_printed
        subject = f"{pair.a} and {pair.b}"
        if pair.de2000 < CLOSE_DE2000:
            found.append(
                finding(
                    "pair-close",
                    subject,
                    what=f"They differ by only {pair.de2000:.1f} (CIEDE2000).",
                    why="Side by side on a sheet they look like one colour.",
                    remedy="Ask for fewer colours, or do not put them side by side.",
                    de2000=round(pair.de2000, 2),
                    de2000_printed=None if printed is None else round(printed, 2),
                )
            )
        elif printed is not None and printed < CLOSE_DE2000:
            found.append(
                finding(
                    "pair-merges",
                    subject,
                    what=f"They differ by {pair.de2000:.1f} on screen but only {printed:.1f} in "
                    "print (CIEDE2000).",
                    why="On paper they look like one colour.",
                    remedy="Use only one of them, or move one to a colour that prints.",
                    de2000=round(pair.de2000, 2),
                    de2000_printed=round(printed, 2),
                )
            )
    return found


def palette_findings(judged: JudgedPalette) -> tuple[Finding, ...]:
    """Say what a maker should know of a palette: pairs, shifts, pens, and other people's sight."""
    pairs = [pair for pair in judged.pairs if frozenset((pair.a, pair.b)) not in judged.allowed]
    return (
        *pair_findings(pairs),
        *colour_findings(judged.colours, judged.press),
        *pen_findings(judged.fitness),
        *sight_findings(judged.lost),
    )


def rest_told(palette: Palette) -> str:
    """Say how much of the artwork is near none of the colours, and in which tile most.

    Empty where that is hardly any.
    """
    if not palette.rest:
        return ""
    mean = sum(share for _, share in palette.rest) / len(palette.rest)
    name, most = max(palette.rest, key=lambda one: one[1])
    if max(mean, most) < LEAST_TOLD_REST:
        return ""
    return (
        f"{share_words(mean)} of the area is near none of them (CIEDE2000 5 or more), most in "
        f"{name}, {most:.0%}: blurs along outlines, tones of washes, colours left out."
    )
