"""``kitloom mend``: write tiles with their seams mended, or cut out of larger pictures."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kitloom.commands.options import (
    files_argument,
    json_option,
    lattice_option,
    out_option,
    overwrite_option,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from kitloom.findings import Finding
    from kitloom.measure import Request
    from patterns.artwork import Artwork
    from patterns.mend import MendResult
    from patterns.plane import Lattice
    from patterns.repeats import Repeat
    from patterns.seams import SeamCheck


_OFFER = {
    False: "kitloom mend --unmended FOLDER writes the new tile: if it is good, use it",
    True: "If it is good, use the new tile",
}


@dataclass(frozen=True)
class _Result:
    """One file and what became of it."""

    artwork: Artwork
    lattice: Lattice
    check: SeamCheck
    repeat: Repeat | None
    mended: MendResult


@click.command()
@files_argument()
@lattice_option
@out_option(
    "Where the mended tiles go, each with a picture of before and after.",
    needed="name a folder for the mended tiles",
)
@click.option(
    "--unmended",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Also write tiles that were tried, but may not be mended, into this folder.",
)
@overwrite_option
@json_option
def mend(
    paths: tuple[Path, ...],
    lattice: str,
    out: Path,
    unmended: Path | None,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Mend tiles that show a seam, each kind of fault by its own remedy, and check the result.

    From a larger picture of repeated artwork it cuts the smallest clean tile. A border that
    runs all round is taken off; a tile that closes as a half-drop or half-brick is left as it
    is. The original is never touched. The folder gets mended tiles alone. If a seam still
    shows, you get a picture of it, or of before and after, instead of the tile, and the exit
    status is 1. If the join passes the check but some place looks like nothing else in the
    tile, it says where to look, and the exit status is 0. --unmended writes such tiles too,
    into a folder of their own.
    """
    from rich.markup import escape

    from kitloom.disk import artwork_files, check_apart, unique_stems, write_all_into
    from kitloom.findings import exit_status, told_of_mend
    from kitloom.measure import Request, study_all
    from kitloom.present import as_json as shape
    from kitloom.present import console, progress, show_findings, show_verdict

    files = artwork_files(paths)
    _check_two_folders(out, unmended)
    folders = [folder for folder in (out, unmended) if folder is not None]
    stems = unique_stems(files)
    check_apart((folder / f"{stem}.png" for folder in folders for stem in stems), files)
    requests = [Request(path, lattice) for path in files]
    with progress("Mending", len(files), quiet=as_json) as tick:
        results = list(study_all(requests, _mend, tick))
    findings: list[Finding] = []
    for path, result in zip(files, results, strict=True):
        findings += told_of_mend(
            str(path),
            result.artwork.pixels,
            result.check,
            result.repeat,
            result.mended,
            offer=_OFFER[unmended is not None],
        )
    sets = [(out, _pictures(results, stems))]
    tried = _tiles(results, stems, mended=False)
    if unmended is not None and tried:
        sets.append((unmended, tried))
    written = write_all_into(sets, reads=files, overwrite=overwrite)
    if as_json:
        tiles = [
            _dict(path, out, unmended, stem, one)
            for path, stem, one in zip(files, stems, results, strict=True)
        ]
        click.echo(shape.text_of(shape.answer("mend", findings, tiles=tiles)))
    else:
        screen = console()
        for path, result in zip(files, results, strict=True):
            screen.print(f"{path}: {_in_words(result)}")
        for path in written:
            screen.print(f"[green]wrote[/] {escape(str(path))}")
        show_findings(screen, findings)
        show_verdict(screen, findings)
    return exit_status(findings)


def _mend(request: Request) -> _Result:
    from patterns.artwork import open_artwork
    from patterns.mend import mend as mend_pixels
    from patterns.repeats import check_as, find_repeat

    artwork = open_artwork(request.path)
    pixels = artwork.pixels
    lattice, check = check_as(pixels, request.lattice, lossy=artwork.lossy)
    repeat = find_repeat(pixels)
    made = mend_pixels(pixels, check, lattice, repeat, lossy=artwork.lossy)
    return _Result(artwork, lattice, check, repeat, made)


def _check_two_folders(out: Path, unmended: Path | None) -> None:
    """Raise a usage error where tiles that are not mended would lie beside those that are."""
    if unmended is not None and out.resolve() == unmended.resolve():
        raise click.UsageError(
            "--unmended: name another folder than --out, which gets mended tiles alone."
        )


def _tiles(results: Sequence[_Result], stems: Sequence[str], *, mended: bool) -> dict[str, bytes]:
    """The tiles that were mended, or those on which something was tried: PNG by name."""
    from kitloom.report import png_bytes

    return {
        f"{stem}.png": png_bytes(
            one.mended.pixels, dpi=(one.artwork.dpi, one.artwork.dpi) if one.artwork.dpi else None
        )
        for one, stem in zip(results, stems, strict=True)
        if one.mended.steps and one.mended.mended is mended
    }


def _pictures(results: Sequence[_Result], stems: Sequence[str]) -> dict[str, bytes]:
    """The mended tiles, and before and after or the join that nothing mended: PNG by name."""
    from kitloom.report import picture_bytes
    from patterns.mend import before_after_picture
    from patterns.seams import seam_picture

    tiles = _tiles(results, stems, mended=True)
    files: dict[str, bytes] = {}
    for one, stem in zip(results, stems, strict=True):
        if not one.mended.steps:
            if one.check.seamless is not True:
                shown = seam_picture(one.artwork.pixels, one.check)
                files[f"{stem}.seam.png"] = picture_bytes(shown)
            continue
        if f"{stem}.png" in tiles:
            files[f"{stem}.png"] = tiles[f"{stem}.png"]
        files[f"{stem}.before-after.png"] = picture_bytes(
            before_after_picture(
                one.artwork.pixels, one.mended.pixels, one.lattice, one.mended.lattice
            )
        )
    return files


def _in_words(result: _Result) -> str:
    """Return what became of a tile, and what its new size asks of a recipe that names it."""
    from kitloom.findings import SIDES, closes_otherwise, in_doubt, repeat_factor, step_name

    mended = result.mended
    if not mended.steps:
        if closes_otherwise(mended, result.check):
            return f"[yellow]left as it was[/]: it closes as a {mended.lattice.name}"
        if mended.check.seamless:
            return "[dim]no seam to mend[/]"
        return "[yellow]left as it was[/]" if in_doubt(mended) else "[red]not mended[/]"
    done = ", ".join(f"{step_name(step.kind)} ({SIDES[step.axis]})" for step in mended.steps)
    if in_doubt(mended):
        return f"[yellow]check it by eye[/], tried: {done}"
    if not mended.mended:
        return f"[red]not mended[/], tried: {done}"
    factor = repeat_factor(mended, result.artwork.width_px)
    sized = "" if factor == 1.0 else f"; multiply its repeat in a recipe by {factor:.3g}"
    return f"[green]mended[/]: {done}{sized}"


def _dict(path: Path, out: Path, unmended: Path | None, stem: str, one: _Result) -> dict[str, Any]:
    height, width = one.mended.pixels.shape[:2]
    folder = out if one.mended.mended else unmended
    written = folder / f"{stem}.png" if folder and one.mended.steps else None
    ending = ".before-after.png" if one.mended.steps else ".seam.png"
    pictured = bool(one.mended.steps) or one.check.seamless is not True
    return {
        "file": str(path),
        "written": str(written) if written else None,
        "picture": str(out / f"{stem}{ending}") if pictured else None,
        "mended": one.mended.mended if one.mended.steps or not one.check.seamless else None,
        "lattice": one.mended.lattice.name,
        "width_px": width,
        "height_px": height,
        "steps": [
            {"kind": step.kind, "axis": step.axis, "width_px": step.width_px}
            for step in one.mended.steps
        ],
    }
