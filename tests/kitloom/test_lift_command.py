"""``kitloom lift``: files, their resolution, what is said where nothing can be lifted."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image, ImageDraw

from kitloom.cli import kitloom


def lift(*words: object) -> tuple[int, dict]:
    """Return the exit status and the answer of one call."""
    called = [str(word) for word in ("lift", *words, "--json")]
    done = CliRunner().invoke(kitloom, called, standalone_mode=False)
    assert done.exception is None, done.exception
    return done.return_value, json.loads(done.stdout)


@pytest.mark.slow
def test_lifted_motifs_are_clear_pictures_that_say_their_size(tmp_path: Path) -> None:
    tile = Image.new("RGB", (300, 240), "#f4ecdc")
    for x in (0, 300):
        ImageDraw.Draw(tile).ellipse((x - 50, 70, x + 50, 170), fill="#3b5b7a")
    tile.save(tmp_path / "discs.png")
    noise = np.random.default_rng(3).integers(0, 255, (200, 200, 3), dtype=np.uint8)
    Image.fromarray(noise).save(tmp_path / "noise.png")
    out = tmp_path / "motifs"

    status, answer = lift(tmp_path / "discs.png", tmp_path / "noise.png", "--out", out)
    assert status == 0
    assert sorted(one.name for one in out.iterdir()) == ["discs-1.png"]
    with Image.open(out / "discs-1.png") as made:
        assert made.mode == "RGBA"
        assert made.size == (101, 101)
        assert made.info["dpi"] == pytest.approx((300.0, 300.0), abs=0.1)
        assert made.getpixel((0, 0))[3] == 0
        assert made.getpixel((50, 50)) == (0x3B, 0x5B, 0x7A, 255)
    codes = [one["code"] for one in answer["findings"]]
    assert sorted(codes) == ["licence", "nothing-lifted"]

    _, answer = lift(tmp_path / "discs.png", "--size", "20mm", "--out", tmp_path / "large")
    coarse = next(one for one in answer["findings"] if one["code"] == "motif-coarse")
    assert "discs-1.png 128" in coarse["what"], "101 pixels over 20 mm"

    status, answer = lift(tmp_path / "noise.png", "--out", tmp_path / "none", "--strict")
    assert status == 1
    assert not (tmp_path / "none").exists()
