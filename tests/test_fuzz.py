"""A hundred broken files and more for every reader: read or refused, never anything else.

``python -m fuzz.run`` does the same for as long as one likes. The named cases are what longer runs
found.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from fuzz.mutate import mutated
from fuzz.readers import READERS, SLOW, seeds
from fuzz.run import tried

CASES, SLOW_CASES = 120, 12


@pytest.mark.parametrize("reader", READERS)
def test_every_seed_is_read(reader: str) -> None:
    said = {path.name: tried(reader, path) for path in seeds(reader)}
    assert set(said.values()) == {"read"} or said == {
        "FOGRA39L_coated.icc": "read",
        "srgb.icc": "refused",  # a profile of a screen
    }


@pytest.mark.filterwarnings("ignore")  # Pillow warns of what it then refuses or mends
@pytest.mark.parametrize("reader", READERS)
def test_broken_files_are_read_or_refused(reader: str, tmp_path: Path) -> None:
    files, names = zip(*((path.read_bytes(), path.suffix) for path in seeds(reader)), strict=True)
    source = random.Random(11)
    for _ in range(SLOW_CASES if reader in SLOW else CASES):
        path = tmp_path / f"case{source.choice(names)}"
        path.write_bytes(mutated(files, source))
        said = tried(reader, path)
        assert said in {"read", "refused"}, said


NEST = b"[" * 3000
FOUND = {
    "recipe": ("kit.toml", b"a = " + NEST),
    "chart": ("printer.toml", b"a = " + NEST),
    "cgats": (
        "rgb.txt",
        "CGATS.17\nNUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\nRGB_R LAB_L LAB_A LAB_B\n"
        "END_DATA_FORMAT\nNUMBER_OF_SETS ³\nBEGIN_DATA\n0 0 0 0\nEND_DATA\n".encode(),
    ),
    "outline": (
        "leaf.svg",
        b'<svg xmlns="http://www.w3.org/2000/svg"><path transform="scale(1e999)" '
        b'd="M0 0C1 2 3 4 5 6L9 0Z"/></svg>',
    ),
}


@pytest.mark.parametrize("reader", FOUND)
def test_what_longer_runs_found(reader: str, tmp_path: Path) -> None:
    name, content = FOUND[reader]
    (tmp_path / name).write_bytes(content)
    assert tried(reader, tmp_path / name) in {"read", "refused"}


@pytest.mark.parametrize("reader", ["cxf", "outline"])
def test_entities_are_not_expanded(reader: str, tmp_path: Path) -> None:
    """A billion laughs: each entity ten times the one before it."""
    lines = "".join(f'<!ENTITY e{i} "{f"&e{i - 1};" * 10}">' for i in range(1, 10))
    bomb = f'<!DOCTYPE a [<!ENTITY e0 "ha">{lines}]><a>&e9;</a>'
    suffix = {"cxf": "palette.cxf", "outline": "leaf.svg"}[reader]
    (tmp_path / suffix).write_text(bomb)
    assert tried(reader, tmp_path / suffix) == "refused"
