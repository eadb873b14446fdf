"""Which chart is this? Its number as a row of dark and light cells, and the number read back.

Thirty-six cells: four that are always dark, light, dark, dark; twenty-four bits of the chart's
number; eight of a check sum, so that a smear is not taken for another chart. The row is not the
same read backwards or upside down, which also tells how the sheet lies on the glass.

Source: a cyclic redundancy check over x^8 + x^2 + x + 1 (as in ITU-T I.432.1), value from memory.
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Mask

START = (True, False, True, True)
ID_BITS = 24
CELLS = len(START) + ID_BITS + 8
_POLYNOMIAL = 0x07
_CLEAR = 0.3  # the least step between dark and light, as a share of their distance


def code_cells(chart_id: str) -> Mask:
    """Return which of the cells are dark, for a number of six hexadecimal digits."""
    value = int(chart_id, 16)
    bits = [bool(value >> i & 1) for i in reversed(range(ID_BITS))]
    check = _check(value)
    return np.array([*START, *bits, *(bool(check >> i & 1) for i in reversed(range(8)))])


def read_code(levels: Floats) -> str | None:
    """Return the chart's number from the cells' grey levels, or None where there is none.

    Args:
        levels: (CELLS,) light, higher is lighter, in any unit.
    """
    dark = levels[[0, 2, 3]].mean()
    light = levels[1]
    if light - dark < 0.25 * max(light, 1e-9):
        return None
    share = (light - levels) / (light - dark)
    if (np.abs(share - 0.5) < 0.5 - _CLEAR).any():
        return None
    bits = share > 0.5
    if tuple(bool(b) for b in bits[: len(START)]) != START:
        return None
    value = _value(bits[len(START) : len(START) + ID_BITS])
    return f"{value:06x}" if _value(bits[-8:]) == _check(value) else None


def _value(bits: Mask) -> int:
    return int("".join("1" if b else "0" for b in bits), 2)


def _check(value: int) -> int:
    rest = 0x5A  # not 0, so that an all-light row fails
    for byte in value.to_bytes(3, "big"):
        rest ^= byte
        for _ in range(8):
            rest = (rest << 1 ^ _POLYNOMIAL if rest & 0x80 else rest << 1) & 0xFF
    return rest
