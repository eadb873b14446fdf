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


@dataclass(frozen=True)
class _Result:
    """One file and what became of it."""

    artwork: Artwork
    lattice: Lattice
    check: SeamCheck
    repeat: Repeat | None
    mended: MendResult


@click.command()
@files_argument("FILE...")
@lattice_option
@out_option(
    "Where the mended tiles go, each with a picture of before and after.",
    needed="name a folder for the mended tiles",
)
@overwrite_option
@json_option
def mend(paths: tuple[Path, ...], lattice: str, out: Path, overwrite: bool, as_json: bool) -> int:
    """Mend tiles that show a seam, each kind of fault by its own remedy, and check the result.

    From a larger picture of repeated artwork it cuts the smallest clean tile. The original is
    never touched. A new tile that still shows a seam is written too, said to be not
    mended, and the exit status is 1; where nothing made it better, a picture of the join is
    written instead. Where the join passes the check but a place looks like nothing else in the
    tile, it says where to look, and the exit status is 0.
    """
    from rich.markup import escape

    from kitloom.disk import artwork_files, check_apart, unique_stems, write_into
    from kitloom.findings import exit_status, mend_findings, repeat_unseen_findings
    from kitloom.measure import Request, study_all
    from kitloom.present import as_json as shape
    from kitloom.present import console, progress, show_findings, show_verdict

    files = artwork_files(paths)
    check_apart((out / f"{stem}.png" for stem in unique_stems(files)), files)
    requests = [Request(path, lattice) for path in files]
    with progress("Mending", len(files), quiet=as_json) as tick:
        results = list(study_all(requests, _mend, tick))
    findings: list[Finding] = []
    for path, result in zip(files, results, strict=True):
        findings += mend_findings(
            str(path),
            result.check,
            result.mended,
            (result.artwork.width_px, result.artwork.height_px),
        )
        if not result.mended.mended:
            pixels = result.artwork.pixels
            findings += repeat_unseen_findings(str(path), pixels, result.check, result.repeat)
    written = write_into(out, _pictures(results), reads=files, overwrite=overwrite)
    if as_json:
        stems = unique_stems(files)
        tiles = [
            _dict(path, out / f"{stem}.png", one)
            for path, stem, one in zip(files, stems, results, strict=True)
        ]
        click.echo(shape.text_of(shape.answer("mend", findings, tiles=tiles)))
    else:
        screen = console()
        for path, result in zip(files, results, strict=True):
            screen.print(f"{path}: {_in_words(result.mended)}")
        for path in written:
            screen.print(f"[green]wrote[/] {escape(str(path))}")
        show_findings(screen, findings)
        show_verdict(screen, findings)
    return exit_status(findings)


def _mend(request: Request) -> _Result:
    from patterns.artwork import open_artwork
    from patterns.mend import mend as mend_pixels
    from patterns.plane import parse_lattice
    from patterns.repeats import find_lattice, find_repeat
    from patterns.seams import check_seams

    artwork = open_artwork(request.path)
    pixels = artwork.pixels
    named = request.lattice
    lattice = find_lattice(pixels) if named == "auto" else parse_lattice(named)
    check = check_seams(pixels, lattice, lossy=artwork.lossy)
    repeat = find_repeat(pixels)
    made = mend_pixels(pixels, check, lattice, repeat, lossy=artwork.lossy)
    return _Result(artwork, lattice, check, repeat, made)


def _pictures(results: Sequence[_Result]) -> dict[str, bytes]:
    """The mended tiles with before and after, or the join that nothing mended: PNG by name."""
    from kitloom.disk import unique_stems
    from kitloom.report import picture_bytes, png_bytes
    from patterns.mend import before_after_picture
    from patterns.seams import seam_picture

    files: dict[str, bytes] = {}
    for one, stem in zip(results, unique_stems([r.artwork.path for r in results]), strict=True):
        if not one.mended.steps:
            if one.check.seamless is not True:
                shown = seam_picture(one.artwork.pixels, one.check)
                files[f"{stem}.seam.png"] = picture_bytes(shown)
            continue
        dpi = (one.artwork.dpi, one.artwork.dpi) if one.artwork.dpi else None
        files[f"{stem}.png"] = png_bytes(one.mended.pixels, dpi=dpi)
        files[f"{stem}.before-after.png"] = picture_bytes(
            before_after_picture(
                one.artwork.pixels, one.mended.pixels, one.lattice, one.mended.lattice
            )
        )
    return files


def _in_words(mended: MendResult) -> str:
    from kitloom.findings import SIDES, in_doubt, step_name

    if not mended.steps:
        if mended.check.seamless:
            return "[dim]no seam to mend[/]"
        return "[yellow]left as it was[/]" if in_doubt(mended) else "[red]not mended[/]"
    done = ", ".join(f"{step_name(step.kind)} ({SIDES[step.axis]})" for step in mended.steps)
    if in_doubt(mended):
        return f"[yellow]check it by eye[/], tried: {done}"
    return f"[green]mended[/]: {done}" if mended.mended else f"[red]not mended[/], tried: {done}"


def _dict(path: Path, written: Path, one: _Result) -> dict[str, Any]:
    height, width = one.mended.pixels.shape[:2]
    ending = ".before-after.png" if one.mended.steps else ".seam.png"
    pictured = bool(one.mended.steps) or one.check.seamless is not True
    return {
        "file": str(path),
        "written": str(written) if one.mended.steps else None,
        "picture": str(written.with_suffix(ending)) if pictured else None,
        "mended": one.mended.mended if one.mended.steps or not one.check.seamless else None,
        "lattice": one.mended.lattice.name,
        "width_px": width,
        "height_px": height,
        "steps": [
            {"kind": step.kind, "axis": step.axis, "width_px": step.width_px}
            for step in one.mended.steps
        ],
    }
