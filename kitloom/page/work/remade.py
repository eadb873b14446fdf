"""What does a tile become? Mended, repaired for print, in another colour, or in a whole palette.

In: a tile's study and what is wanted. Out: the new tile with a sentence on what was reached. All of
it is plain functions of plain values, so that it can be done in another process.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from kitloom.colours import worn_palette
from kitloom.findings import in_doubt, mend_findings, off_screen
from kitloom.measure import TileStudy
from palette.choose import ColourBins, bins_of, choose, matched, recolour
from palette.exchange import NamedColour
from palette.press import Press
from palette.proof import assess_fill, prints_from_screen, repair_pixels
from palette.space import hex_to_lab
from patterns.mend import mend
from patterns.plane import Lattice
from patterns.plane.light import Pixels
from patterns.seams import check_seams


@dataclass(frozen=True)
class Try:
    """A tile as it could be.

    Attributes:
        state: "working" until it is made, or stopped.
        said: what was done and reached.
        good: whether it reached what it is for.
        unsure: whether no fault is measured in it, but a person must look.
        pixels: the new tile; None while working, or where nothing could be done.
        lattice: how it repeats.
        number: by which it can be stopped.
    """

    state: Literal["working", "made", "stopped"] = "working"
    said: str = ""
    good: bool = False
    unsure: bool = False
    pixels: Pixels | None = None
    lattice: Lattice | None = None
    number: int = 0


def mended(study: TileStudy) -> Try:
    """Return the tile with its joins mended, checked again."""
    art = study.artwork
    made = mend(art.pixels, study.check, study.lattice, study.repeat, lossy=art.lossy)
    size_px = study.artwork.width_px, study.artwork.height_px
    found = mend_findings(study.subject, study.check, made, size_px)
    said = f"{found[0].what} {found[0].why}" if found else "There was nothing to mend."
    unsure = in_doubt(made) or (made.mended and made.check.seamless is None)
    pixels = made.pixels if made.steps else None
    return Try("made", said, made.mended, unsure, pixels, made.lattice)


def repaired(study: TileStudy, opened: Callable[[], Press]) -> Try:
    """Return the tile drawn into what the press can print."""
    press = opened()
    new = repair_pixels(study.artwork.pixels, press)
    off = off_screen(*prints_from_screen(study.bins, press))
    before, after = assess_fill(study.bins, press), assess_fill(bins_of(new), press)
    said = (
        f"{before.share_out_of_gamut:.0%} of it looked different in print, now "
        f"{after.share_out_of_gamut:.0%} does: the new tile prints as it looks on screen. {off}"
    ).strip()
    good = after.share_out_of_gamut < 0.05
    return Try("made", said, good, pixels=new, lattice=study.lattice)


def recoloured(study: TileStudy, shown: Sequence[str], old: str, new: str) -> Try:
    """Return the tile with one of the palette's colours changed, all others kept."""
    pairs = [(hex_to_lab(one), hex_to_lab(new if one == old else one)) for one in shown]
    return _checked(study, recolour(study.artwork.pixels, pairs), "colour")


def redressed(
    study: TileStudy, wear: tuple[NamedColour, ...], all_bins: Mapping[str, ColourBins]
) -> Try:
    """Return the tile in a whole other palette, matched by role and likeness.

    The same tile comes out as from ``kitloom palette --from --colourway`` over the same artwork.

    Args:
        study: the tile.
        wear: the colours to wear.
        all_bins: the colours of all tiles, which say what is ground and what accent.
    """
    source = choose({study.artwork.path.stem: study.bins}, "auto")
    pairs = matched(source, worn_palette(wear, all_bins))
    return _checked(study, recolour(study.artwork.pixels, pairs), "colours")


def _checked(study: TileStudy, pixels: Pixels, noun: str) -> Try:
    """Say whether a tile in other colours joins up as well as it did."""
    check = check_seams(pixels, study.lattice, lossy=study.artwork.lossy)
    sound = study.check.seamless is not True or check.seamless is True
    said = "It repeats as well as before." if sound else f"Its joins show in the new {noun}."
    return Try("made", said, sound, pixels=pixels, lattice=study.lattice)
