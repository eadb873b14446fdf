"""A profile that cannot be used is refused in one line; one that can is followed."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
from PIL import ImageCms

from palette.errors import ProfileError
from palette.press.icc import INTENTS, MAX_BYTES, open_profile
from palette.space import srgb_to_lab

PROFILE = Path(__file__).parents[1] / "standards" / "data" / "FOGRA39L_coated.icc"


def written(folder: Path, data: bytes) -> Path:
    path = folder / "mine.icc"
    path.write_bytes(data)
    return path


def relabelled(kind: bytes) -> bytes:
    data = PROFILE.read_bytes()
    return data[:12] + kind + data[16:]


@pytest.mark.parametrize("kind", [b"scnr", b"mntr", b"link", b"spac", b"abst", b"nmcl", b"????"])
def test_other_devices_are_refused(tmp_path: Path, kind: bytes) -> None:
    with pytest.raises(ProfileError, match="not of a printer"):
        open_profile(written(tmp_path, relabelled(kind)))


def test_a_screen_profile_is_refused(tmp_path: Path) -> None:
    screen = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    with pytest.raises(ProfileError, match="a screen"):
        open_profile(written(tmp_path, screen))


@pytest.mark.parametrize("size", [0, 3, 127, 131, 132, 200, 1000, 60_000, 121_367])
def test_a_profile_cut_short_is_refused(tmp_path: Path, size: int) -> None:
    with pytest.raises(ProfileError):
        open_profile(written(tmp_path, PROFILE.read_bytes()[:size]))


def test_a_claim_of_a_billion_tags_is_refused(tmp_path: Path) -> None:
    data = bytearray(PROFILE.read_bytes())
    data[128:132] = struct.pack(">I", 1_000_000_000)
    with pytest.raises(ProfileError, match="damaged"):
        open_profile(written(tmp_path, bytes(data)))


def test_no_noise_crashes(tmp_path: Path) -> None:
    """Bytes changed at random: refused, or a press that answers with numbers."""
    clean = PROFILE.read_bytes()
    for seed in range(40):
        rng = np.random.default_rng(seed)
        data = bytearray(clean)
        for at in rng.integers(0, 700 if seed % 2 else len(data), 12):
            data[at] = int(rng.integers(0, 256))
        try:
            press = open_profile(written(tmp_path, bytes(data)))
        except ProfileError:
            continue
        assert np.isfinite(press.to_print(np.array([[50.0, 10.0, 10.0]]))).all()


def test_an_enormous_file_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "huge.icc"
    with path.open("wb") as file:
        file.truncate(MAX_BYTES + 1)
    with pytest.raises(ProfileError, match="too large"):
        open_profile(path)


def test_no_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(ProfileError, match="no such profile"):
        open_profile(tmp_path / "none.icc")
    with pytest.raises(ProfileError, match="is a folder"):
        open_profile(tmp_path)


def test_an_unknown_intent_is_refused() -> None:
    with pytest.raises(ProfileError, match="not an intent"):
        open_profile(PROFILE, "vivid")  # type: ignore[arg-type]


@pytest.mark.parametrize("intent", INTENTS)
def test_every_intent_answers(intent: str) -> None:
    press = open_profile(PROFILE, intent)  # type: ignore[arg-type]
    assert press.to_print(np.array([[60.0, 20.0, 20.0]])).shape == (1, 3)


def test_absolute_shows_the_paper() -> None:
    white = np.array([[100.0, 0.0, 0.0]])
    paper = open_profile(PROFILE, "absolute").to_print(white)[0]
    # FOGRA39L's paper is 95 / 0 / -2; its blue cast is evened out with a little yellow
    np.testing.assert_allclose(paper, [95.0, 0.0, 0.0], atol=1.1)


def test_without_black_point_compensation_black_moves() -> None:
    """5.8 without and 0.65 with it, measured with LittleCMS in doubles on another grid."""
    black = srgb_to_lab(np.zeros((1, 3), dtype=np.uint8))
    assert open_profile(PROFILE, bpc=False).shift(black)[0] > 5.0
    assert open_profile(PROFILE, bpc=True).shift(black)[0] < 2.5


def test_tables_that_turn_greys_about_are_refused(tmp_path: Path) -> None:
    """Tables made for CIELAB in a profile that says XYZ: readable, and wrong in every colour."""
    data = PROFILE.read_bytes()
    with pytest.raises(ProfileError, match="a light grey prints darker"):
        open_profile(written(tmp_path, data[:20] + b"XYZ " + data[24:]))


def test_a_damaged_name_is_no_reason_to_refuse(tmp_path: Path) -> None:
    data = bytearray(PROFILE.read_bytes())
    at = data.index(b"FOGRA39L Coated")
    data[at : at + 15] = b"\xff\xfe\x80\x81" * 3 + b"\xff\xff\xff"
    assert open_profile(written(tmp_path, bytes(data))).name
