"""The path data of SVG (SVG 1.1, chapter 8) as closed or open runs of cubic Bézier curves.

In: the text of a ``d`` attribute, in whatever unit its file uses, y down. Out: one ``Run`` for each
sub-path. fontTools follows the commands; as it passes over what it cannot read and splits "010" in
two, the words are checked here first and handed on in their plainest form.

Not done here: files (``kit.drawings.outline_file``), and units: an outline is fitted to a stated
size.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from fontTools.svgLib.path.parser import parse_path

from kit.shapes import Run
from kit.shapes.pen import CubicPen

MOST_SEGMENTS = 20_000
FARTHEST = 1e7

ARITY = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_COMMAND = re.compile(r"[\s,]*([MLHVCSQTAZmlhvcsqtaz])")
_NUMBER = re.compile(rf"[\s,]*({NUMBER})")
_FLAG = re.compile(r"[\s,]*([01])")


class PathError(ValueError):
    """Path data that is not a path; its text says what is wrong."""


def read_path(data: str) -> list[Run]:
    """Return the sub-paths of path data; those without any piece are left out.

    Raises:
        PathError: not path data, or more or farther than any drawing needs.
    """
    pen = CubicPen()
    parse_path(" ".join(_plain(data)), pen)
    return [run for run in pen.runs if run.pieces]


def check_number(text: str) -> str:
    """Return a number's text with all digits.

    Raises:
        PathError: larger than any drawing needs.
    """
    value = float(text)
    if not abs(value) <= FARTHEST:
        raise PathError(f'has a number too large for a drawing, "{text[:20]}"')
    return repr(value)


def _plain(data: str) -> Iterator[str]:
    """Yield each command with its numbers, repeated commands written out."""
    before = ""
    for count, (command, numbers) in enumerate(_commands(data)):
        kind = command.upper()
        if not before and kind != "M":
            raise PathError(f'has a path that begins with "{command}" instead of a move')
        if count >= MOST_SEGMENTS:
            raise PathError(f"has a path of over {MOST_SEGMENTS} segments")
        if before == "Z" and kind != "M":
            yield "m 0 0"  # drawing goes on from where the last sub-path closed
        yield from (command, *numbers)
        before = kind


def _commands(data: str) -> Iterator[tuple[str, list[str]]]:
    """Yield each command and the text of its numbers; repeated numbers repeat the command."""
    data = data.rstrip(", \t\r\n\f\v")
    place, command = 0, ""
    while place < len(data):
        match = _COMMAND.match(data, place)
        if match:
            command, place = match[1], match.end()
        elif not command or command in "Zz":
            raise PathError(f'has a path without a command at "{data[place : place + 12].strip()}"')
        elif command in "Mm":
            command = "L" if command == "M" else "l"  # further pairs of a move are lines
        numbers: list[str] = []
        for k in range(ARITY[command.upper()]):
            flag = command in "Aa" and k in {3, 4}  # flags need no space between them
            match = (_FLAG if flag else _NUMBER).match(data, place)
            if match is None:
                raise PathError(
                    f'has a path with a number missing after "{command}" '
                    f'at "{data[place : place + 12]}"'
                )
            numbers.append(match[1] if flag else check_number(match[1]))
            place = match.end()
        yield command, numbers
