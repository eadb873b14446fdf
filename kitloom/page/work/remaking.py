"""What does a tile become? Mended, repaired for print, in another colour, or in a whole palette.

In: a tile's study and what it is to become. Out: the new tile with a sentence on what was reached.
All of it is plain functions of plain values, so that it can be done in another process.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from kitloom.colours import RepairResult, joins_kept, palette_of_colours, plan_colourway
from kitloom.findings import (
    FILL_SHARE,
    Finding,
    in_doubt,
    new_seam,
    repair_findings,
    told_of_mend,
)
from kitloom.jobs import State
from kitloom.measure import TileStudy
from palette.arrays import Pixels
from palette.choose import ColourBins, bins_of, recolour
from palette.exchange import NamedColour
from palette.press import Press
from palette.proof import assess_fill, prints_from_screen, repair_pixels
from palette.space import hex_to_lab
from patterns.mend import mend
from patterns.plane import Lattice
from patterns.seams import check_seams


@dataclass(frozen=True)
class Preview:
    """A tile as it could be.

    Attributes:
        state: of the job that makes it; what is made is "done".
        summary: what was done and reached, or why it failed.
        good: whether it reached what it is for.
        unsure: whether no fault is measured in it, but a person must look.
        pixels: the new tile; None until it is done, or where nothing could be done.
        lattice: how it repeats.
        number: by which its job can be stopped.
        lost: whether much of the artwork was given up for it.
        nearer: whether its print is as near to the artwork as the print of the tile as it is.
        told: the same as ``summary`` as findings, graded as the command grades them.
    """

    state: State = "waiting"
    summary: str = ""
    good: bool = False
    unsure: bool = False
    pixels: Pixels | None = None
    lattice: Lattice | None = None
    number: int = 0
    lost: bool = False
    nearer: bool = True
    told: tuple[Finding, ...] = ()

    @property
    def ended(self) -> bool:
        """Whether nothing more will happen."""
        return self.state not in {"waiting", "running"}

    @property
    def ready(self) -> bool:
        """Whether there is something to show or to say of it."""
        return self.state in {"done", "failed"}


def preview_mend(study: TileStudy) -> Preview:
    """Return the tile with its joins mended, checked again."""
    art = study.artwork
    mending = mend(art.pixels, study.check, study.lattice, study.repeat, lossy=art.lossy)
    told = told_of_mend(study.subject, art.pixels, study.check, study.repeat, mending)
    summary = _said(told) or "There was no seam to mend."
    unsure = in_doubt(mending) or (mending.mended and mending.check.seamless is None)
    pixels = mending.pixels if mending.steps else None
    lost = mending.mended and not unsure and any(one.severity == "warn" for one in told)
    return Preview(
        "done",
        summary,
        mending.mended,
        unsure,
        pixels,
        mending.lattice,
        lost=lost,
        told=tuple(told),
    )


def preview_repair(study: TileStudy, open_press: Callable[[], Press]) -> Preview:
    """Return the tile drawn into what the press can print."""
    press = open_press()
    new = repair_pixels(study.artwork.pixels, press)
    plain, repaired = prints_from_screen(study.bins, press)
    before, after = assess_fill(study.bins, press), assess_fill(bins_of(new), press)
    joins = check_seams(new, study.lattice, lossy=study.artwork.lossy)
    kept = joins_kept(study.check, joins)
    told = repair_findings(
        [RepairResult(study.subject, before, after, kept, plain, repaired, kept_hue=False)]
    )
    return Preview(
        "done",
        _said(told),
        good=kept and after.share_out_of_gamut < FILL_SHARE,
        pixels=new,
        lattice=study.lattice,
        nearer=round(repaired, 1) <= round(plain, 1),  # as the sentence writes them
        told=tuple(told),
    )


def preview_recolour(study: TileStudy, shown: Sequence[str], old: str, new: str) -> Preview:
    """Return the tile with one of the palette's colours changed, all others kept."""
    pairs = [(hex_to_lab(one), hex_to_lab(new if one == old else one)) for one in shown]
    return _with_check(study, recolour(study.artwork.pixels, pairs))


def preview_redress(
    study: TileStudy, colours: tuple[NamedColour, ...], all_bins: Mapping[str, ColourBins]
) -> Preview:
    """Return the tile in a whole other palette, matched hue by hue.

    The same tile comes out as from ``kitloom palette --from --colourway`` over the same artwork.

    Args:
        study: the tile.
        colours: the other palette.
        all_bins: the colours of all tiles, which say what is ground and what accent.
    """
    pairs = plan_colourway(study.bins, palette_of_colours(colours, all_bins))
    return _with_check(study, recolour(study.artwork.pixels, pairs))


def _with_check(study: TileStudy, pixels: Pixels) -> Preview:
    """Say whether a tile in other colours joins up as well as it did."""
    check = check_seams(pixels, study.lattice, lossy=study.artwork.lossy)
    sound = joins_kept(study.check, check)
    told = () if sound else (new_seam(study.subject, check),)
    summary = _said(told) or "It repeats as well as before."
    return Preview("done", summary, sound, pixels=pixels, lattice=study.lattice, told=told)


def _said(told: Sequence[Finding]) -> str:
    return " ".join(f"{one.what} {one.why}" for one in told)
