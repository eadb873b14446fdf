"""What mend says is what it did: what was given up, what the check says, and what is drawn.

No published source: the sentences are held against the tiles and files that were made.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image, ImageDraw

from kitloom.cli import kitloom
from kitloom.findings import exit_status, mend_findings, told_of_mend
from kitloom.measure import Request, study
from kitloom.page.work import remaking
from patterns.mend import MendResult
from patterns.mend.axis import Candidate, MendStep
from patterns.mend.doubt import describe_doubt
from patterns.mend.tile import Doubt
from patterns.plane import STRAIGHT
from patterns.seams import SeamCheck, check_seams

SAMPLE = Path(__file__).parents[2] / "samples" / "allotment" / "faulty" / "doubled-row.png"

GROUND = (244, 238, 220)


def plain(width: int, height: int) -> np.ndarray:
    """A ground with one motif in its middle, which repeats."""
    tile = np.full((height, width, 3), GROUND, np.uint8)
    tile[height // 3 : height // 2, width // 3 : width // 2] = (59, 91, 122)
    return tile


def let_in_to(width: int, height: int, *steps: MendStep) -> MendResult:
    tile = plain(width, height)
    return MendResult(tile, STRAIGHT, steps, check_seams(tile), mended=True)


def test_a_strip_that_was_given_up_is_told_with_its_share_and_warned_of() -> None:
    made = let_in_to(200, 160, MendStep("let-in", "y", 40))
    (found,) = mend_findings("a.png", check_seams(plain(200, 200)), made, (200, 200))
    assert (found.code, found.severity) == ("mended", "warn")
    assert "took away a strip of 40 px (20% of the height)" in found.what
    assert "motifs in it are gone" in found.what
    assert "do you miss what is gone" in found.remedy
    assert found.measures["given_up_share"] == pytest.approx(0.2)


def test_two_strips_count_together() -> None:
    made = let_in_to(194, 194, MendStep("let-in", "x", 6), MendStep("let-in", "y", 6))
    (found,) = mend_findings("a.png", check_seams(plain(200, 200)), made, (200, 200))
    assert found.severity == "warn"  # 3 % each way
    assert "strips of 6 px (3% of the width) and 6 px (3% of the height)" in found.what
    assert found.measures["given_up_share"] == pytest.approx(1 - 0.97**2, abs=1e-4)


@pytest.mark.parametrize(
    "step", [MendStep("let-in", "x", 4), MendStep("doubled-line", "x", 1)], ids=lambda s: s.kind
)
def test_little_or_nothing_given_up_is_a_note(step: MendStep) -> None:
    made = let_in_to(200 - step.width_px, 200, step)
    (found,) = mend_findings("a.png", check_seams(plain(200, 200)), made, (200, 200))
    assert found.severity == "note"
    assert ("took away" in found.what) is (step.kind == "let-in")
    assert "miss" not in found.remedy


def test_a_recipe_is_told_what_its_repeat_becomes_where_the_width_changed() -> None:
    """Or the one repeat cut out of many prints as large as all of them did."""
    cut = let_in_to(50, 80, MendStep("cut-out", "both", 4))
    (found,) = mend_findings("a.png", check_seams(plain(200, 200)), cut, (200, 200))
    assert "multiply that by 0.25" in found.remedy
    lower = let_in_to(200, 196, MendStep("let-in", "y", 4))
    (found,) = mend_findings("a.png", check_seams(plain(200, 200)), lower, (200, 200))
    assert "multiply" not in found.remedy  # a repeat is a width


def bowls(width: int, height: int) -> np.ndarray:
    """A large sparse tile of bowls and pods, one of them cut off at its right edge."""
    image = Image.new("RGB", (width, height), "#f4e3d0")
    pen = ImageDraw.Draw(image)
    for x, y, colour in ((90, 60, "#b43c30"), (260, 130, "#2c5270"), (120, 250, "#b43c30")):
        pen.pieslice((x - 40, y - 40, x + 40, y + 40), 0, 180, fill=colour)
        pen.ellipse((x - 40, y - 8, x + 40, y + 8), fill="#ecd591")
    return np.asarray(image)


def doubtful(score: float, *, place: tuple[int, int] | None, plain: bool) -> MendResult:
    tile = bowls(400, 320)
    step, doubt = MendStep("patched", "x", 50), Doubt("x", score, place, cut=False, plain=plain)
    check = check_seams(tile)
    assert check.seamless is True
    return MendResult(tile, STRAIGHT, (step,), check, mended=False, doubts=(doubt,))


def test_where_the_check_passes_the_place_of_doubt_is_told_and_an_eye_asked() -> None:
    made = doubtful(1.35, place=(122, 176), plain=False)
    (found,) = mend_findings("a.png", made.check, made, (400, 320))
    assert (found.code, found.severity) == ("seam-unsure", "warn")
    assert exit_status([found]) == 0
    assert "shows no seam" in found.what
    assert "from 122 to 176 px" in found.what
    assert "looks like nothing else in the tile" in found.what
    assert "A seam still shows" not in found.what
    assert "If it is good, use the new tile" in found.remedy
    assert found.measures["doubts"] == [{"axis": "x", "score": 1.35, "from_px": 122, "to_px": 176}]


def test_a_plain_fault_stops_though_the_check_passes_and_says_both() -> None:
    made = doubtful(1.84, place=None, plain=True)
    (found,) = mend_findings("a.png", made.check, made, (400, 320))
    assert (found.code, found.severity) == ("not-mended", "stop")
    assert "No seam is left after this" in found.what
    assert "A seam still shows" not in found.what


def test_doubt_is_plain_from_the_score_at_which_an_edge_shows_whatever_else() -> None:
    tile = bowls(400, 320)
    spoilt = tile.copy()
    rng = np.random.default_rng(3)
    spoilt[200:232, -16:] = rng.integers(0, 256, (32, 16, 3))  # like nothing in the artwork
    step = MendStep("patched", "x", 16)
    for score, plain_fault in ((1.3, False), (1.6, True), (1.0, True)):
        made = Candidate(spoilt, STRAIGHT, (step,), score, 0.0)
        doubt = describe_doubt(tile, spoilt, STRAIGHT, "x", made)
        assert doubt.plain is plain_fault
        assert doubt.place_px is not None
        first, last = doubt.place_px
        assert 184 <= first <= 204
        assert 228 <= last <= 248
    assert describe_doubt(tile, tile, STRAIGHT, "x", made).place_px is None


def test_the_folder_holds_mended_tiles_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was tried without success is written only if asked for, and elsewhere."""
    made = doubtful(1.35, place=(122, 176), plain=False)
    monkeypatch.setattr("patterns.mend.mend", lambda *_, **__: made)
    path, out, other = tmp_path / "bowls.png", tmp_path / "out", tmp_path / "tried"
    Image.fromarray(bowls(400, 320)).save(path)

    def answer(*words: str) -> tuple[dict, dict]:
        call = ["mend", str(path), "--out", str(out), "--json", "--overwrite", *words]
        said = json.loads(CliRunner().invoke(kitloom, call, standalone_mode=False).stdout)
        return said["tiles"][0], said["findings"][0]

    tile, found = answer()
    assert tile["written"] is None
    assert tile["picture"] == str(out / "bowls.before-after.png")
    assert [each.name for each in out.iterdir()] == ["bowls.before-after.png"]
    assert "--unmended FOLDER writes the new tile" in found["remedy"]
    tile, found = answer("--unmended", str(other))
    assert tile["written"] == str(other / "bowls.png")
    assert [each.name for each in out.iterdir()] == ["bowls.before-after.png"]
    assert [each.name for each in other.iterdir()] == ["bowls.png"]
    assert "If it is good, use the new tile" in found["remedy"]


def test_tiles_not_mended_get_a_folder_of_their_own(tmp_path: Path) -> None:
    call = ["mend", str(SAMPLE), "--out", str(tmp_path), "--unmended", str(tmp_path)]
    result = CliRunner().invoke(kitloom, call)
    assert result.exit_code == 2
    assert "another folder" in result.stderr


def test_page_and_terminal_say_the_same_of_a_mend(monkeypatch: pytest.MonkeyPatch) -> None:
    """Who gives up 20 % of the artwork is warned on both."""
    made = let_in_to(200, 160, MendStep("let-in", "y", 40))
    monkeypatch.setattr(remaking, "mend", lambda *_, **__: made)
    study_of = study(Request(SAMPLE))
    pixels = study_of.artwork.pixels
    (told,) = told_of_mend("", pixels, study_of.check, study_of.repeat, made)
    preview = remaking.preview_mend(study_of)
    assert preview.summary == f"{told.what} {told.why}"
    assert told.severity == "warn"
    assert (preview.good, preview.lost) == (True, True)
    less = let_in_to(200, 196, MendStep("let-in", "y", 4))
    monkeypatch.setattr(remaking, "mend", lambda *_, **__: less)
    assert not remaking.preview_mend(study_of).lost


@pytest.mark.parametrize(("name", "code", "status"), [("lines", "seam-unsure", 0), ("", "", 1)])
def test_where_nothing_helps_the_join_is_drawn_and_no_tile_is_promised(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, code: str, status: int
) -> None:
    """A seam stops; a join that the check cannot decide is asked about, as check asks."""
    path = SAMPLE
    if name:
        path = tmp_path / "lines.png"
        lines = Image.new("RGB", (240, 240), "#f4eedc")
        for x in range(0, 240, 40):
            ImageDraw.Draw(lines).line((x, 0, x, 239), fill="#3b5b7a", width=3)
        lines.save(path)

    def helpless(pixels: np.ndarray, check: SeamCheck, *_: object, **__: object) -> MendResult:
        return MendResult(pixels, STRAIGHT, (), check, mended=False)

    monkeypatch.setattr("patterns.mend.mend", helpless)
    out = tmp_path / "out"
    words = ["mend", str(path), "--out", str(out), "--json"]
    result = CliRunner().invoke(kitloom, words, standalone_mode=False)
    assert result.return_value == status
    said = json.loads(result.stdout)
    (tile,) = said["tiles"]
    assert tile["written"] is None
    assert tile["picture"] == str(out / f"{path.stem}.seam.png")
    assert [each.name for each in out.iterdir()] == [f"{path.stem}.seam.png"]
    found = next(one for one in said["findings"] if one["code"] == (code or "not-mended"))
    assert "before and after" not in found["remedy"]
    assert "picture of" in found["remedy"]
    if not name:
        assert "no new tile was made" in found["what"]
        assert "duplicated" in found["what"]


def test_a_half_drop_is_told_by_its_size_and_left_as_it_is(tmp_path: Path) -> None:
    """Beside its straight neighbours it shows a seam; that its repeat was not found is not true."""
    tile = np.full((160, 120, 3), GROUND, np.uint8)
    drawn = Image.fromarray(tile)
    for x, y in ((0, 30), (120, 110), (60, 130)):
        ImageDraw.Draw(drawn).ellipse((x - 22, y - 22, x + 22, y + 22), fill="#3b5b7a")
    path = tmp_path / "drops.png"
    drawn.save(path)

    def answer(*words: str) -> dict:
        found = CliRunner().invoke(kitloom, [*words, "--json"], standalone_mode=False)
        return json.loads(found.stdout)

    checked = answer("check", str(path))["findings"]
    mended = answer("mend", str(path), "--out", str(tmp_path / "out"))
    for findings in (checked, mended["findings"]):
        (found,) = [one for one in findings if one["severity"] == "stop"]
        assert found["code"] == "seam"
        assert "repeats as a half-drop of 120 × 160 px" in found["remedy"]
        assert "repeat-unseen" not in [one["code"] for one in findings]
    assert mended["tiles"][0]["written"] is None
    assert mended["tiles"][0]["steps"] == []
