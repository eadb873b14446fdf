"""Checked tiles at the terminal: a table, one line a tile, the surest seam first.

In: tiles as ``check --json`` shows them. Nothing is measured here.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from kitloom.findings import Finding, seam_name
from kitloom.present.terminal import console, show_findings, show_verdict

if TYPE_CHECKING:
    from rich.table import Table

Tile = Mapping[str, Any]

WORDS = {True: "[green]seamless[/]", False: "[bold red]seam[/]", None: "[yellow]unsure[/]"}
_RANKS = {False: 0, None: 1, True: 2}


def show_tiles(tiles: Sequence[Tile], findings: Sequence[Finding]) -> None:
    """Print the table, the findings and the verdict on all."""
    screen = console()
    screen.print(tile_table(sorted(tiles, key=worst_first)))
    show_findings(screen, findings)
    show_verdict(screen, findings)


def worst_first(tile: Tile) -> tuple[int, float]:
    """Return what sorts tiles worst first: the surest seam, then doubts, then the rest."""
    return _RANKS[tile["seamless"]], -max(axis["score"] for axis in tile["axes"].values())


def tile_table(tiles: Iterable[Tile]) -> Table:
    """Return one line a tile, in the order given; of files in one folder, only their names."""
    from rich.markup import escape
    from rich.table import Table

    from kitloom.findings import crisp_to_mm, floor_to_tenth

    table = Table(box=None, pad_edge=False, header_style="dim")
    columns = "verdict", "tile", "pixels", "crisp to", "left and right", "top and bottom", "lattice"
    for column in columns:
        table.add_column(column, overflow="fold")
    tiles = list(tiles)
    names = _short([tile["file"] for tile in tiles])
    for tile in tiles:
        table.add_row(
            WORDS[tile["seamless"]],
            escape(names[tile["file"]]),
            f"{tile['width_px']} × {tile['height_px']}",
            f"{floor_to_tenth(crisp_to_mm(tile['width_px']))} mm",
            axis_words(tile["axes"]["x"]),
            axis_words(tile["axes"]["y"]),
            tile["lattice"],
        )
    return table


def _short(files: Sequence[str]) -> dict[str, str]:
    """Return what to call each file: its path from the folder that holds them all."""
    if len(files) < 2:
        return {file: file for file in files}
    parents = [str(PurePath(file).parent) for file in files]
    try:
        shared = os.path.commonpath(parents)
    except ValueError:  # some absolute, some not
        return {file: file for file in files}
    return {file: str(PurePath(file).relative_to(shared)) for file in files}


def axis_words(axis: Mapping[str, Any]) -> str:
    """Return an axis' verdict and where its worst fault lies."""
    if not axis["faults"]:
        return str(axis["verdict"])
    worst = max(axis["faults"], key=lambda fault: float(fault["shift_de2000"]))
    return f"{axis['verdict']}: {seam_name(worst['kind'])}, {worst['from_px']}-{worst['to_px']} px"
