"""``kitloom trial``: before the good paper, a fit sheet and one strip of sticker paper."""

from __future__ import annotations

import math
from pathlib import Path

import click

from kitloom.commands.options import json_option, out_option, overwrite_option


@click.command()
@click.argument("recipe", type=click.Path(path_type=Path))
@out_option("Where the trial's files go; by default a folder beside the recipe.")
@click.option(
    "--edges",
    metavar='"RIGHT BOTTOM"',
    help="The two millimetre readings of the fit sheet; prints the recipe's box.",
)
@click.option(
    "--combs",
    metavar='"A B C D E F"',
    multiple=True,
    help="One strip's readings of its combs; give it again for each strip. Prints the recipe's "
    "registration and, from three strips on, the cut's offset and turn.",
)
@overwrite_option
@json_option
def trial(
    recipe: Path,
    out: Path | None,
    edges: str | None,
    combs: tuple[str, ...],
    overwrite: bool,
    as_json: bool,
) -> int:
    """Write a trial: the day box on plain paper, and a strip of colours, fills and combs.

    The strip takes a few centimetres of a sheet. With --edges and --combs nothing is written: your
    readings become the lines to put into the recipe. From 3 to 5 strips, each on a sheet of its
    own, it also works out what your cutter misses by every time.
    """
    from kit.recipe import check_files, paths_of, read_recipe
    from kitloom.disk import check_earlier_set, check_output, finish_moves, folder_beside, write_set
    from kitloom.kits import make_kit
    from kitloom.make import (
        box_line,
        cut_lines,
        habit_from,
        left_out,
        registration_line,
        trial_files,
    )
    from kitloom.present import as_json as shape
    from kitloom.present import console, progress

    wanted = read_recipe(recipe)
    finish_moves(wanted.folder / part.file for part in wanted.patterns)
    check_files(wanted)
    strips = [_numbers(text, "--combs") for text in combs]
    box = None if edges is None else _two(_numbers(edges, "--edges"))
    reading = box is not None or bool(strips)
    folder = out or folder_beside(recipe, "-trial")
    if not reading:
        check_earlier_set(folder)
        check_output(folder, reads=paths_of(wanted), overwrite=overwrite)
    with progress("Measuring", len(wanted.patterns) + 2, quiet=as_json) as tick:
        job = make_kit(wanted, [], tick)
    lines: list[tuple[str, str]] = []
    written: list[Path] = []
    if box is not None:
        lines.append(("planner", box_line(job, *box)))
    if strips:
        habit = habit_from(job, strips)
        lines.append(("sheet", registration_line(habit)))
        lines += [("cut", line) for line in cut_lines(wanted.cut, habit)]
    if not reading:
        files = trial_files(job)
        written = write_set(folder, files, reads=paths_of(wanted), overwrite=overwrite)
    if as_json:
        names = [str(path) for path in written]
        texts = [line for _, line in lines]
        click.echo(shape.text_of(shape.answer("trial", [], files=names, recipe_lines=texts)))
        return 0
    screen = console()
    for table, line in lines:
        screen.print(f"Put into the recipe, [{table}]:  {line}", markup=False)
    if written:
        screen.print(f"Wrote the trial; start with {folder / 'trial.txt'}.", markup=False)
        if told := left_out(job):
            screen.print(told, markup=False)
    return 0


def _numbers(text: str, option: str) -> list[float]:
    try:
        numbers = [float(part) for part in text.replace(",", " ").split()]
    except ValueError:
        numbers = [math.nan]
    if not all(map(math.isfinite, numbers)):
        raise click.BadParameter(f'"{text}" holds something other than numbers.', param_hint=option)
    return numbers


def _two(numbers: list[float]) -> tuple[float, float]:
    if len(numbers) != 2:
        raise click.BadParameter("give two numbers, right and bottom.", param_hint="--edges")
    return numbers[0], numbers[1]
