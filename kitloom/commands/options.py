"""Options that several commands share, and how each is said to the maker."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from kitloom.commands.calls import Needed
from palette.surfaces import SURFACES, surfaces_in_words

F = TypeVar("F", bound=Callable[..., Any])


class Number(click.FloatRange):
    """An ordinary number between two others: "nan", which Python takes for one, is none."""

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Return the number."""
        try:
            number = float(value)
        except ValueError:
            number = math.nan
        assert self.min is not None
        assert self.max is not None
        if not self.min <= number <= self.max:  # as it is for nan, too
            self.fail(f'"{value}" is not a number from {self.min:g} to {self.max:g}.', param, ctx)
        return number


RECIPE_DOCS = (
    "A recipe's keys: docs/recipe.md. Kinds of sticker: docs/stickers.md. If a key is "
    "unknown, kitloom lists those that it knows there."
)
json_option = click.option(
    "--json", "as_json", is_flag=True, help="Print one JSON object and nothing else."
)
strict_option = click.option(
    "--strict", is_flag=True, help="Exit with status 1 on warnings too, not only on stops."
)
overwrite_option = click.option(
    "--overwrite",
    is_flag=True,
    help="Replace files that an earlier run wrote, but never what this run reads.",
)
surface_option = click.option(
    "--surface",
    type=click.Choice(list(SURFACES)),
    help=f"What it is printed on: {surfaces_in_words()}.",
)
profile_option = click.option(
    "--profile",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Your printer's own ICC profile, instead of a built-in surface.",
)
printer_option = click.option(
    "--printer",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Your printer as proof --chart-read measured it, instead of a built-in surface.",
)
lattice_option = click.option(
    "--lattice",
    type=click.Choice(["straight", "half-drop", "half-brick", "auto"]),
    default="straight",
    show_default=True,
    help="How the tiles sit beside each other.",
)

resume_option = click.option(
    "--resume",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Save results in this file as they are measured, so that a stopped run can continue.",
)
workers_option = click.option(
    "--workers",
    type=click.IntRange(1, 256),
    metavar="N",
    help="How many tiles at a time; by default one for each core.",
)
cluster_option = click.option(
    "--cluster",
    metavar="ADDRESS",
    help="Work on a Dask cluster, such as tcp://host:8786, instead of on this machine.",
)


def check_press_options(surface: str | None, profile: Path | None, printer: Path | None) -> None:
    """Refuse two of the options that each name the press, rather than ignore one of them."""
    given = {"--surface": surface, "--profile": profile, "--printer": printer}
    named = [option for option, value in given.items() if value is not None]
    if len(named) > 1:
        raise click.UsageError(
            f"{named[0]} does not go with {named[1]}, which says all of what prints: leave one out."
        )


def files_argument(metavar: str = "FILE|FOLDER...", *, required: bool = True) -> Callable[[F], F]:
    """Return the argument for one or more files or folders of artwork."""
    return click.argument(
        "paths", nargs=-1, required=required, type=click.Path(path_type=Path), metavar=metavar
    )


def out_option(help_text: str, *, needed: str = "") -> Callable[[F], F]:
    """Return ``--out FOLDER`` with its own words for this command.

    ``needed`` is for a command that cannot do without: what to say to one who left it out.
    """
    kind: dict[str, Any] = {"cls": Needed, "name_it": needed} if needed else {}
    return click.option(
        "--out", type=click.Path(path_type=Path), metavar="FOLDER", help=help_text, **kind
    )
