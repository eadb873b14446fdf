"""A worker shares a kit's work: same values, same errors, and no need of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from kit.recipe import read_recipe
from kitloom.jobs import Runner
from kitloom.kits import lock_of, make_kit
from kitloom.make import SharedWork
from kitloom.measure import Request
from patterns.artwork_error import ArtworkError

RECIPE = """\
[planner]
box = "30mm x 40mm"
[sheet]
paper = "A5"
dpi = 100
[palette]
colours = 4
[[patterns]]
file = "large.png"
repeat = "25mm"
[[patterns]]
file = "small.jpg"
repeat = "auto"
[[patterns]]
file = "other.png"
repeat = "12mm"
lattice = "half-drop"
[[rows]]
sticker = "full box"
count = 3
fill = "patterns"
"""


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    turn = np.arange(900) * 2.0 * np.pi / 900
    wave = np.sin(7 * turn)[:, None] + np.cos(5 * turn)[None]
    colours = np.stack([120 + 50 * wave, 90 - 40 * wave, 140 + 20 * wave], axis=-1)
    large = np.rint(colours).astype(np.uint8)  # over 2 MB: its pixels lie on disk
    Image.fromarray(large).save(tmp_path / "large.png")
    Image.fromarray(large[::5, ::5]).save(tmp_path / "small.jpg", quality=90)
    Image.fromarray(large[:300, :180]).save(tmp_path / "other.png")
    (tmp_path / "kit.toml").write_text(RECIPE)
    return tmp_path / "kit.toml"


@pytest.fixture(params=["a worker", "one that breaks"])
def shared(request: pytest.FixtureRequest) -> Iterator[SharedWork]:
    most = {} if request.param == "a worker" else {"most_bytes": 1}
    with Runner(1, **most) as runner:
        yield SharedWork(runner, lambda _: None, lambda: None)


@pytest.mark.slow
def test_a_kit_is_the_same_whoever_measures_it(recipe: Path, shared: SharedWork) -> None:
    alone = make_kit(read_recipe(recipe), [], lambda: None)
    together = make_kit(
        read_recipe(recipe),
        [],
        lambda: None,
        study_with=shared.study,
        choose_with=shared.choose,
        thin_with=shared.thin,
    )
    assert lock_of(together) == lock_of(alone)
    assert together.findings == alone.findings
    for one, other in zip(together.patterns, alone.patterns, strict=True):
        assert np.array_equal(one.study.artwork.pixels, other.study.artwork.pixels)
        assert one.thin == other.thin


@pytest.mark.slow
def test_a_file_that_cannot_be_used_is_the_same_error(tmp_path: Path, shared: SharedWork) -> None:
    (tmp_path / "broken.png").write_bytes(b"no picture")
    with pytest.raises(ArtworkError) as error:
        shared.study(Request(tmp_path / "broken.png"))
    assert "broken.png" in error.value.where
