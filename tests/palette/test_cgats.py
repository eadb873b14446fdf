"""CGATS text: read as instruments write it, written so that it reads back."""

from __future__ import annotations

import numpy as np
import pytest

from palette.errors import PaletteError
from palette.exchange import CgatsTable
from palette.exchange.cgats import colours, read, write
from palette.space import lab_to_xyz

# the form of the file is that of the public FOGRA39L table; the numbers are its first two solids
PLAIN = b"""CGATS.17
ORIGINATOR "A ""quoted"" maker"   # a comment
DESCRIPTOR "M\xe4rz"
KEYWORD "ROOM"
ROOM "two words"
NUMBER_OF_FIELDS 5
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 2
BEGIN_DATA
1 "A 1" 55,00 -37,00 -50,00
2 A2 48.00\t74.00 -3.0e0 # another
END_DATA
"""


def test_quotes_comments_commas_and_latin_1() -> None:
    table = read(PLAIN, "chart.txt")
    assert table.keywords["ORIGINATOR"] == 'A "quoted" maker'
    assert table.keywords["DESCRIPTOR"] == "März"
    assert table.texts("SAMPLE_NAME") == ("A 1", "A2")
    assert colours(table, "x").tolist() == [[55.0, -37.0, -50.0], [48.0, 74.0, -3.0]]


def test_line_ends_and_rows_broken_over_lines() -> None:
    broken = PLAIN.replace(b'1 "A 1" 55,00', b'1 "A 1"\n55,00')
    for ends in (b"\r\n", b"\r"):
        assert read(broken.replace(b"\n", ends), "x").rows == read(PLAIN, "x").rows


def test_xyz_is_turned_into_lab() -> None:
    lab = np.array([[55.0, -37.0, -50.0], [95.0, 0.0, -2.0]])
    rows = tuple(tuple(f"{v:.5f}" for v in xyz) for xyz in lab_to_xyz(lab) * 100.0)
    table = CgatsTable({}, ("XYZ_X", "XYZ_Y", "XYZ_Z"), rows)
    assert np.abs(colours(table, "x") - lab).max() < 1e-3


def test_what_is_written_reads_back() -> None:
    table = read(PLAIN, "x")
    again = read(write(table), "x")
    assert again.rows == table.rows
    assert dict(again.keywords) == dict(table.keywords)
    assert b'KEYWORD "ROOM"' in write(table)


@pytest.mark.parametrize(
    ("change", "by", "says"),
    [
        (b"NUMBER_OF_SETS 2", b"NUMBER_OF_SETS 3", "announces 3"),
        (b"-50,00", b"", "do not fill rows"),
        (b"BEGIN_DATA\n", b"", "no table"),
        (b"55,00", b"x", "not a number"),
        (b"55,00", b"nan", "not a number"),
        (b"55,00", b"955,00", "no print has"),
        (b"LAB_B", b"LAB_A", "named twice"),
        (b"LAB_B", b"SPECTRAL_500", "neither Lab nor XYZ"),
        (b'"two words"', b'"D65, 10 degree"', "D65"),
    ],
)
def test_faults_are_told(change: bytes, by: bytes, says: str) -> None:
    assert change in PLAIN
    with pytest.raises(PaletteError, match=says):
        colours(read(PLAIN.replace(change, by), "x"), "x")
