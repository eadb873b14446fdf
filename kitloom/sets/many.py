"""``kitloom make --each``: a kit of every set, and the page of them all.

In: the command's options. Out: the exit status. A set that fails stops no other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click
from rich.markup import escape

from kit.recipe import read_recipe
from kitloom.disk import (
    OutputError,
    artwork_files,
    check_free,
    check_inputs_apart,
    check_name,
    write_into,
)
from kitloom.findings import exit_status
from kitloom.jobs import Runner
from kitloom.present import as_json as shape
from kitloom.present import console, plural, progress
from kitloom.sets.asked import Changes, reads_of
from kitloom.sets.one_set import SetRequest, SetResult, fail_set, make_set
from kitloom.sets.overview import MARK, page
from kitloom.system import cores
from palette.errors import KitloomError

PAGE = "index.html"


@dataclass(frozen=True, slots=True)
class EachRequest:
    """The kits to make.

    Attributes:
        recipe: the recipe that all share.
        sets: the folder whose folders are the sets.
        out: where the kits' folders and the page go.
        changes: the options.
        workers: how many kits at a time; one a core where None.
        cluster: a Dask scheduler's address, to work there instead.
    """

    recipe: Path
    sets: Path
    out: Path
    changes: Changes
    workers: int | None = None
    cluster: str | None = None


def make_each(request: EachRequest, *, strict: bool, overwrite: bool, as_json: bool) -> int:
    """Make a kit of each set and return the exit status.

    Raises:
        KitloomError: recipe, folders or cluster cannot be used; nothing is made then.
    """
    recipe, sets, out = request.recipe, request.sets, request.out
    folders = _set_folders(sets)
    requests = [
        SetRequest(
            one.name, recipe, request.changes._replace(patterns=one), out / one.name, overwrite
        )
        for one in folders
    ]
    reads = _check_apart(recipe, sets, requests)
    replace = overwrite or _is_our_page(out / PAGE)
    check_free(out / PAGE, overwrite=replace)
    results: list[SetResult] = []
    with progress("Making", len(requests), quiet=as_json) as tick:
        for one in _results(requests, request.workers, request.cluster):
            tick()
            results.append(one)
            if not as_json:
                click.echo(_line(one))
    results.sort(key=lambda one: one.name)
    write_into(out, {PAGE: page(sets.absolute().name, results)}, reads=reads, overwrite=replace)
    if as_json:
        click.echo(shape.text_of(_answer(results, out / PAGE)))
    else:
        _show(results, out / PAGE)
    status = exit_status([found for one in results for found in one.findings], strict=strict)
    return int(status or any(one.error for one in results))


def _set_folders(sets: Path) -> list[Path]:
    """Return the folders in ``sets``, sorted by name; hidden ones are not sets."""
    if not sets.is_dir():
        raise KitloomError(
            "no such folder", where=str(sets), remedy="Name the folder that holds the sets."
        )
    folders = sorted(one for one in sets.iterdir() if one.is_dir() and one.name[0] != ".")
    if not folders:
        raise KitloomError(
            "holds no folders",
            where=str(sets),
            why="each set of artwork is a folder",
            remedy="Put each set into a folder of its own, or use --patterns for one set.",
        )
    for one in folders:
        check_name(str(one))
    return folders


def _check_apart(recipe: Path, sets: Path, requests: Sequence[SetRequest]) -> list[Path]:
    """Refuse folders of kits that hold what any set reads; return all that the run reads."""
    out = requests[0].folder.parent
    if sets.resolve() in {out.resolve(), *out.resolve().parents}:
        raise OutputError(
            "lies in the folder of the sets",
            where=str(out),
            why="the next run would take the kits for artwork",
            remedy="Give --out a folder beside it.",
        )
    reads = [recipe, *reads_of(read_recipe(recipe), requests[0].changes.keep)]
    for one in requests:
        assert one.changes.patterns is not None
        with suppress(KitloomError):  # reported when its turn comes
            reads += artwork_files([one.changes.patterns])
    for one in requests:
        check_inputs_apart(one.folder, reads)
    return reads


def _is_our_page(path: Path) -> bool:
    """Whether the page of an earlier run is there, which a resumed one may replace."""
    try:
        with path.open("rb") as file:
            return MARK.encode() in file.read(500)
    except OSError:
        return False


def _results(
    requests: Sequence[SetRequest], workers: int | None, cluster: str | None
) -> Iterator[SetResult]:
    """Yield the result of each set as soon as it is there, in whatever order."""
    if cluster is not None:
        from kitloom.library.cluster import on_cluster

        yield from on_cluster(requests, make_set, cluster, batch=1)
        return
    with Runner(min(workers or cores(), len(requests))) as runner:
        for request, job in runner.each(make_set, requests, attempts=2):
            try:
                one = job.result()
            except KitloomError as error:  # its worker broke under it, twice
                one = fail_set(request, f"{request.name}: {error.what}. {error.remedy}")
            yield one


def _line(one: SetResult) -> str:
    if one.error:
        return f"failed     {one.name}: {one.error}"
    said = [plural(one.sheets, "sheet"), plural(one.stickers, "sticker"), *_grave(one)]
    return f"{'unchanged' if one.unchanged else 'made':9}  {one.name}: {', '.join(said)}"


def _grave(one: SetResult) -> list[str]:
    counts = {
        word: sum(found.severity == severity for found in one.findings)
        for severity, word in (("stop", "to fix"), ("warn", "to look at"))
    }
    return [f"{count} {word}" for word, count in counts.items() if count]


def _answer(results: Sequence[SetResult], index: Path) -> dict[str, Any]:
    entries = [
        {
            "set": one.name,
            "ok": not one.error and exit_status(one.findings) == 0,
            "error": one.error or None,
            "unchanged": one.unchanged,
            "folder": str(one.folder),
            "name": one.title,
            "sheets": one.sheets,
            "stickers": one.stickers,
            "palette": list(one.colours),
            "findings": [found.as_dict() for found in one.findings],
            "files": [str(path) for path in one.files],
        }
        for one in results
    ]
    answer = shape.answer("make", [], kits=entries, page=str(index))
    return {**answer, "ok": all(entry["ok"] for entry in entries)}


def _show(results: Sequence[SetResult], index: Path) -> None:
    screen = console()
    failed = sum(bool(one.error) for one in results)
    kept = sum(one.unchanged for one in results)
    counts = {"made": len(results) - failed - kept, "unchanged": kept, "failed": failed}
    said = ", ".join(f"{count} {word}" for word, count in counts.items() if count)
    screen.print(f"[bold]{plural(len(results), 'kit')}[/]: {said}")
    screen.print(f"all sheets and findings on one page: {escape(str(index))}")
