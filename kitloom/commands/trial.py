"""``kitloom trial``: before the good paper, a fit sheet and one strip of sticker paper."""

from __future__ import annotations

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
    metavar='"A B C D"',
    help="The four readings of the strip's combs; prints the recipe's registration.",
)
@overwrite_option
@json_option
def trial(
    recipe: Path,
    out: Path | None,
    edges: str | None,
    combs: str | None,
    overwrite: bool,
    as_json: bool,
) -> int:
    """Write a trial: the planner's box on plain paper, and a strip of colours, fills and combs.

    The strip costs a few centimetres of one sheet. With --edges and --combs nothing is written:
    what you read off the trial becomes the lines to put into the recipe.
    """
    from kit.recipe import check_files, paths_of, read_recipe
    from kitloom.disk import check_output, finish_moves, folder_beside, write_set
    from kitloom.kits import make_kit
    from kitloom.make import box_line, left_out, registration_line, registration_of, trial_files
    from kitloom.present import as_json as shape
    from kitloom.present import console, progress

    wanted = read_recipe(recipe)
    finish_moves(wanted.folder / part.file for part in wanted.patterns)
    check_files(wanted)
    readings = [_numbers(text, name) for text, name in ((edges, "--edges"), (combs, "--combs"))]
    reading = edges is not None or combs is not None
    folder = out or folder_beside(recipe, "-trial")
    if not reading:
        check_output(folder, reads=paths_of(wanted), overwrite=overwrite)
    with progress("Measuring", len(wanted.patterns) + 2, quiet=as_json) as tick:
        job = make_kit(wanted, [], tick)
    lines: list[str] = []
    written: list[Path] = []
    if edges is not None:
        lines.append(box_line(job, *_two(readings[0])))
    if combs is not None:
        lines.append(registration_line(registration_of(job, readings[1])))
    if not reading:
        files = trial_files(job)
        written = write_set(folder, files, reads=paths_of(wanted), overwrite=overwrite)
    if as_json:
        names = [str(path) for path in written]
        click.echo(shape.text_of(shape.answer("trial", [], files=names, recipe_lines=lines)))
        return 0
    screen = console()
    for line in lines:
        screen.print(f"Put into the recipe:  {line}", markup=False)
    if written:
        screen.print(f"Wrote the trial; start with {folder / 'trial.txt'}.", markup=False)
        if told := left_out(job):
            screen.print(told, markup=False)
    return 0


def _numbers(text: str | None, option: str) -> list[float]:
    try:
        return [float(part) for part in (text or "").replace(",", " ").split()]
    except ValueError:
        raise click.BadParameter(
            f'"{text}" holds something other than numbers.', param_hint=option
        ) from None


def _two(numbers: list[float]) -> tuple[float, float]:
    if len(numbers) != 2:
        raise click.BadParameter("give two numbers, right and bottom.", param_hint="--edges")
    return numbers[0], numbers[1]
