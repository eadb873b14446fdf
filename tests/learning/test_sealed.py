"""Is the sealed set what its list says, by digest, and seamless as drawn?"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from learning.sealed.drawings import SEALED
from learning.sealed.fetch import fetch, read_packages


def test_other_bytes_than_the_list_names_are_refused(tmp_path: Path) -> None:
    """Else the figures in the docs are told of artwork that nobody can name."""
    package = replace(read_packages()[0], file="picture.deb")
    (tmp_path / "picture.deb").write_bytes(b"something else")
    with pytest.raises(ValueError, match="not the bytes"):
        fetch(package, tmp_path)


@pytest.mark.slow
def test_drawings_go_on_over_their_edges() -> None:
    """Else a clean tile is a faulty one, and a right verdict is counted as a false alarm.

    No published source: across the edge lines differ no more than three lines inside do.
    """
    for families in SEALED.values():
        for name, draw in families.items():
            tile = draw(np.random.default_rng(3)).astype(np.float64)
            for axis in (0, 1):
                steps = np.abs(tile - np.roll(tile, 1, axis)).sum(-1).mean(1 - axis)
                assert steps[0] <= np.sort(steps)[-3], (name, axis)
