"""Findings about ink: which fills and stickers are heavy beside the others, or over a limit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from kitloom.colours import fill_coverages, plain_coverages, shares_of_black, sticker_coverages
from kitloom.findings.codes import Finding, finding
from kitloom.findings.places import place_dicts, where_words
from palette.choose import ColourBins
from palette.memory import Remember, afresh
from palette.press import InkPress, Press
from palette.proof import HEAVY, mean_coverage, share_heavy

if TYPE_CHECKING:
    from kitloom.inks import SheetInks

HEAVY_SHARE = 0.25  # of a fill over the limit
HEAVY_BESIDE_BLACK = 0.5  # half the ink of plain black: less needs no note
AREAS = ("fill", "border", "panel")  # lines and words take little area
_WHY_LIMIT = "Heavy ink dries slowly, smears under rollers and may pucker the paper."
_REMEDY = (
    "Choose the right paper type in the driver and let it dry longer; follow the maker's "
    "instructions for ink and for wet prints."
)


def fills_ink(
    bins: Mapping[str, ColourBins], press: Press, totals: Mapping[str, float] | None = None
) -> list[Finding]:
    """Say which fills are heavy beside the others, and over a limit where the inks are known.

    Args:
        bins: colours of the fills.
        press: what they are printed by.
        totals: their mean total area coverages, where these are known already.
    """
    totals = totals or fill_coverages(bins, press)
    found = ink_findings("fills", shares_of_black(totals, press))
    if isinstance(press, InkPress):
        heavy = {name: share_heavy(own, press) for name, own in bins.items()}
        found += ink_limit_findings(totals, heavy)
    return found


def stickers_ink(
    inks: SheetInks, fills: Mapping[str, float], press: Press, remember: Remember = afresh
) -> list[Finding]:
    """Say which stickers are heavy beside the others, and over a limit where the inks are known.

    Args:
        inks: all ink of the kit's sheets.
        fills: the mean total area coverage of each pattern by its name.
        press: what prints.
        remember: as of ``sticker_coverages``.
    """
    known = {**fills, **fill_coverages(inks.coordinates, press)}
    totals = sticker_coverages(inks.stickers, known, press, remember)
    found = ink_findings("stickers", shares_of_black(totals, press))
    if isinstance(press, InkPress):
        found += _plain_over_limit(inks, press)
        for one in inks.drawings:
            mean = {one.file: mean_coverage(one.ink.bins, press)}
            found += ink_limit_findings(mean, {one.file: share_heavy(one.ink.bins, press)})
    return found


def _plain_over_limit(inks: SheetInks, press: InkPress) -> list[Finding]:
    """Warn of plain fills, borders and panels over the ink limit, each colour once."""
    areas = {
        colour: [place for place in places if place.use.split()[0] in AREAS]
        for colour, places in inks.colours.items()
    }
    return [
        finding(
            "ink",
            colour,
            severity="warn",
            what=f"It lays down {total:.0%} of ink, all inks added up; over {HEAVY:.0%} is heavy: "
            f"{where_words(areas[colour])}.",
            why=_WHY_LIMIT,
            remedy=_REMEDY,
            mean_coverage=round(total, 3),
            places=place_dicts(areas[colour]),
        )
        for colour, total in plain_coverages([one for one in areas if areas[one]], press).items()
        if total > HEAVY
    ]


def ink_findings(what_are: str, share_of_black: Mapping[str, float]) -> list[Finding]:
    """Say which fills or stickers are heavy with ink beside the others and beside plain black.

    Args:
        what_are: "fills" or "stickers".
        share_of_black: the ink of each by name, as a share of a plain black fill's.
    """
    order = sorted(share_of_black, key=lambda name: -share_of_black[name])
    if not order or share_of_black[order[0]] < HEAVY_BESIDE_BLACK:
        return []
    first, *others = (f"{share_of_black[name]:.0%}" for name in order[:3])
    told = ", ".join(
        [f"{order[0]} {first}"]
        + [f"{name} {share}" for name, share in zip(order[1:3], others, strict=True)]
    )
    light = order[-1]
    lightest = f"; the lightest, {light}, {share_of_black[light]:.0%}" if len(order) > 3 else ""
    return [
        finding(
            "ink",
            what_are,
            what=f"Ink used, compared with solid black: {told}{lightest}.",
            why="Heavy ink dries slowly and smears. How much a printer really lays down is up to "
            "its driver: trust the order more than the figures.",
            remedy=_REMEDY,
            beside_black={name: round(share_of_black[name], 3) for name in order},
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
            why=_WHY_LIMIT,
            remedy=_REMEDY,
            mean_coverage=round(coverages[name], 3),
            share_heavy=round(share, 4),
        )
        for name, share in heavy.items()
        if share >= HEAVY_SHARE
    ]
