"""One set's kit, in whatever process: made, found unchanged, or one line that says why not."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kit.compose import read_lock
from kitloom.cache import KitCache, inputs_digest
from kitloom.disk import check_output, finish_moves, put_right, write_set
from kitloom.findings import Finding
from kitloom.kits import make_kit
from kitloom.make import kit_files, summary_of
from kitloom.present import findings_of
from kitloom.sets.asked import Changes, open_recipe, reads_of
from kitloom.sets.motifs import with_liftable_motifs
from palette.errors import KitloomError, reason_of, short_line


@dataclass(frozen=True, slots=True)
class SetRequest:
    """A kit to make of one set.

    Attributes:
        name: the set's, which is its folder's.
        recipe: the recipe that all share.
        changes: the options; ``patterns`` is the set's folder.
        folder: where the kit goes.
        overwrite: whether a kit that has changed may take an earlier one's place.
    """

    name: str
    recipe: Path
    changes: Changes
    folder: Path
    overwrite: bool


@dataclass(frozen=True, slots=True)
class SetResult:
    """What came of one set; small, since a run holds all of them.

    Attributes:
        name: the set's.
        folder: where its kit is, or was to go.
        error: why there is none, in one line; "" where there is one.
        unchanged: whether an earlier run had made it already.
        title: the kit's name; "" where there is none, as for the rest.
        findings: what its maker should know.
        sheets: how many.
        stickers: how many, on all sheets.
        colours: the palette's, as hex.
        files: what the kit consists of.
    """

    name: str
    folder: Path
    error: str = ""
    unchanged: bool = False
    title: str = ""
    findings: tuple[Finding, ...] = ()
    sheets: int = 0
    stickers: int = 0
    colours: tuple[str, ...] = ()
    files: tuple[Path, ...] = ()


def make_set(request: SetRequest) -> SetResult:
    """Make one set's kit, unless an earlier run did; whatever cannot be used is a result too."""
    try:
        return _made(request)
    except KitloomError as error:
        return fail_set(request, error.line())
    except MemoryError:
        return fail_set(
            request, f"{request.name}: there is not enough memory for it. Use smaller artwork."
        )
    except OSError as error:
        reason = reason_of(error)
        return fail_set(
            request, f"{request.name}: cannot be used ({reason}). Check names and permissions."
        )


def fail_set(request: SetRequest, line: str) -> SetResult:
    """Return the result of a set that has no kit, with the reason."""
    return SetResult(request.name, request.folder, short_line(line))


def _made(request: SetRequest) -> SetResult:
    folder, changes = request.folder, request.changes
    assert changes.patterns is not None
    finish_moves([changes.patterns])
    put_right(folder)
    # an unchanged kit stays, so files that are there are not a fault yet
    recipe, notes = open_recipe(request.recipe, folder, changes, overwrite=True)
    inputs = inputs_digest(recipe, changes.keep, listing=changes.listing)
    cache = KitCache(folder)
    summary = cache.summary(inputs)
    if summary is not None:
        return _result(request, summary, cache.files, unchanged=True)
    reads = reads_of(recipe, changes.keep)
    check_output(folder, reads=reads, overwrite=request.overwrite)
    keep = read_lock(changes.keep) if changes.keep else None
    recipe = with_liftable_motifs(recipe)
    kit = make_kit(recipe, notes, _no_tick, keep, study_with=cache.study)
    drawn: list[Finding] = []
    files = kit_files(kit, _no_tick, inputs, drawn.append, listing=changes.listing)
    written = write_set(folder, files, reads=reads, overwrite=request.overwrite)
    return _result(request, summary_of(kit.with_findings(drawn)), written, unchanged=False)


def _no_tick() -> None:
    """Tell nobody: what is counted is sets."""


def _result(
    request: SetRequest, summary: dict[str, Any], files: list[Path], *, unchanged: bool
) -> SetResult:
    answer = summary["answer"]
    return SetResult(
        request.name,
        request.folder,
        unchanged=unchanged,
        title=summary["name"],
        findings=tuple(findings_of(summary)),
        sheets=len(answer["sheets"]),
        stickers=sum(len(sheet["stickers"]) for sheet in answer["sheets"]),
        colours=tuple(one["hex"] for one in answer["palette"]),
        files=tuple(files),
    )
