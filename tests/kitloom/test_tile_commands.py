"""mend, palette and proof as commands: what they write, what they say, how they exit."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from pathlib import Path

import click
import numpy as np
import pytest
from click.testing import CliRunner, Result
from PIL import Image

from kit.recipe import parse_recipe
from kitloom.cli import kitloom
from kitloom.colours import measure_repair, proof_fills, proofing
from kitloom.findings import left_findings, repair_findings
from palette.errors import KitloomError
from palette.press import open_press
from palette.proof import repair_plain
from palette.space import de2000, hex_of, hex_to_lab, srgb_to_lab
from patterns.plane import STRAIGHT
from patterns.seams import check_seams

PROFILE = Path(__file__).parents[1] / "standards" / "data" / "FOGRA39L_coated.icc"
FAULTY = Path(__file__).parents[2] / "samples" / "allotment" / "faulty"


def run(*words: object) -> Result:
    return CliRunner().invoke(kitloom, [str(word) for word in words], standalone_mode=False)


def answer_of(result: Result) -> dict:
    assert result.exception is None, result.exception
    return json.loads(result.stdout)


def save(pixels: np.ndarray, path: Path) -> Path:
    Image.fromarray(np.ascontiguousarray(pixels)).save(path)
    return path


# each faulty sample with what the check must call it, and on which axis
KINDS = {
    "cut-motif.png": ("x", "cut-motif"),
    "doubled-row.png": ("y", "doubled-line"),
    "mis-cropped-stripe.png": ("x", "rhythm"),
    "fringe.png": ("x", "fringe"),
    "drift.png": ("x", "drift"),
    "cropped.png": ("x", "crop"),
    "enlarged.png": ("x", "clamped"),
}


def test_every_faulty_sample_is_caught_by_name() -> None:
    answer = answer_of(run("check", *(FAULTY / name for name in KINDS), "--json"))
    for tile in answer["tiles"]:
        axis, kind = KINDS[Path(tile["file"]).name]
        assert tile["axes"][axis]["verdict"] == "seam", tile["file"]
        assert tile["axes"][axis]["faults"][0]["kind"] == kind, tile["file"]


@pytest.mark.parametrize(
    ("names", "count"),
    [
        (["tiles/artichoke-trellis.png", "tiles/gingham.png"], 2),
        pytest.param(["tiles", "evening"], 21, marks=pytest.mark.slow),
    ],
)
def test_the_good_samples_are_seamless(names: list[str], count: int) -> None:
    files = [FAULTY.parent / name for name in names]
    tiles = answer_of(run("check", *files, "--lattice", "auto", "--json"))
    assert len(tiles["tiles"]) == count
    assert [tile["file"] for tile in tiles["tiles"] if tile["seamless"] is not True] == []
    trellis = next(t for t in tiles["tiles"] if "trellis" in t["file"])
    assert trellis["lattice"] == "half-drop"


@pytest.mark.parametrize("size", [240, pytest.param(900, marks=pytest.mark.slow)])
def test_mend_drops_a_doubled_row_and_shows_it(size: int, dots: np.ndarray, tmp_path: Path) -> None:
    """A small tile with three rows twice, and the sample's with one."""
    file = tmp_path / "doubled-row.png"
    if size == 240:
        save(np.concatenate([dots, dots[:3]]), file)
    else:
        shutil.copyfile(FAULTY / file.name, file)
    result = run("mend", file, "--out", tmp_path / "out", "--json")
    (tile,) = answer_of(result)["tiles"]
    assert result.return_value == 0
    assert tile["mended"] is True
    assert (tile["width_px"], tile["height_px"]) == (size, size)
    assert [step["kind"] for step in tile["steps"]] == ["doubled-line"]
    again = answer_of(run("check", tmp_path / "out" / "doubled-row.png", "--json"))
    assert again["tiles"][0]["seamless"] is True
    assert (tmp_path / "out" / "doubled-row.before-after.png").exists()


def test_mend_leaves_a_good_tile_alone(dots: np.ndarray, tmp_path: Path) -> None:
    good = save(dots, tmp_path / "dots.png")
    result = run("mend", good, "--out", tmp_path / "out", "--json")
    (tile,) = answer_of(result)["tiles"]
    assert (tile["mended"], tile["written"], tile["steps"]) == (None, None, [])
    assert result.return_value == 0


def test_a_tile_of_one_pixel_is_a_colour(tmp_path: Path) -> None:
    one = save(np.full((1, 1, 3), (200, 30, 40), np.uint8), tmp_path / "one.png")
    mended = answer_of(run("mend", one, "--out", tmp_path / "out", "--json"))
    assert mended["ok"]
    assert mended["tiles"][0]["steps"] == []
    rescaled = answer_of(run("rescale", one, "--repeat", "1in", "--out", tmp_path / "r", "--json"))
    assert rescaled["findings"] == []  # nothing in it can look soft
    assert np.unique(np.asarray(Image.open(rescaled["tiles"][0]["file"]))).size == 3


@pytest.mark.parametrize("size", [(12_000, 1), (1, 5_000), (5_000, 2), (3, 4_000)])
def test_a_thin_tile_is_mended_or_left(size: tuple[int, int], tmp_path: Path) -> None:
    grain = np.random.default_rng(7).integers(0, 256, (*size, 3), dtype=np.uint8)
    thin = save(grain, tmp_path / "thin.png")
    result = run("mend", thin, "--out", tmp_path / "out", "--json")
    assert answer_of(result)["tiles"][0]["height_px"] <= size[0]


def test_a_palette_is_taken_over_another_season(dots: np.ndarray, tmp_path: Path) -> None:
    old = save(dots, tmp_path / "old.png")
    new = save(dots[:, :, ::-1], tmp_path / "new.png")  # red and blue exchanged
    answer_of(run("palette", old, "--out", tmp_path / "p", "--json"))
    for name in ("palette.json", "palette.tokens.json", "palette.csv", "palette.cxf"):
        worn = answer_of(run("palette", new, "--from", tmp_path / "p" / name, "--json"))
        assert {one["hex"] for one in worn["palette"]} >= {"#3b5b7a", "#c4543c"}, name
        (belongs,) = worn["belonging"]
        assert belongs["share_near"] < 0.5
    assert "stranger" in {one["code"] for one in worn["findings"]}
    own = answer_of(run("palette", old, "--from", tmp_path / "p" / "palette.json", "--json"))
    assert own["belonging"][0]["share_near"] > 0.95
    assert "stranger" not in {one["code"] for one in own["findings"]}


def test_pinned_colours_go_beside_those_of_a_file(dots: np.ndarray, tmp_path: Path) -> None:
    tile, card = save(dots, tmp_path / "dots.png"), tmp_path / "card.csv"
    card.write_text("name,hex\nmy gold,#e0b040\nsage,#8fa67a\n", encoding="utf-8")
    asked = ("palette", tile, "--from", card, "--pin", "#3b5b7a", "--pin", "tomato")
    worn = answer_of(run(*asked, "--pin", "my-gold", "--json"))["palette"]
    assert {one["hex"] for one in worn} == {"#e0b040", "#8fa67a", "#3b5b7a", "#ff6347"}
    assert {"my gold", "sage"} < {one["name"] for one in worn}
    assert len({one["name"] for one in worn}) == 4


def test_a_colour_may_be_pinned_by_the_name_that_it_is_shown_under(
    dots: np.ndarray, tmp_path: Path
) -> None:
    tile = save(dots, tmp_path / "dots.png")
    shown = answer_of(run("palette", tile, "--json"))["palette"]
    for one in shown:
        pinned = answer_of(run("palette", tile, "--pin", one["name"].upper(), "--json"))["palette"]
        assert [p["hex"] for p in pinned if p["pinned"]] == [one["hex"]]


def test_a_mistyped_colour_is_answered_with_the_nearest(dots: np.ndarray, tmp_path: Path) -> None:
    tile = save(dots, tmp_path / "dots.png")
    assert 'Did you mean "turquoise"' in str(run("palette", tile, "--pin", "turqoise").exception)
    name = answer_of(run("palette", tile, "--json"))["palette"][0]["name"]
    wrong = run("palette", tile, "--allow", f"{name}x,#ffffff").exception
    assert f'Did you mean "{name}"' in str(wrong)


def test_what_no_colour_of_the_palette_is_near_is_told(dots: np.ndarray, tmp_path: Path) -> None:
    tile = save(dots, tmp_path / "dots.png")
    all_of_it = answer_of(run("palette", tile, "--json"))
    assert all_of_it["rest"]["dots"] < 0.1
    one_colour = run("palette", tile, "--colours", "1")
    assert "of the artwork is close to no palette colour" in one_colour.stdout
    told = answer_of(run("palette", tile, "--colours", "1", "--json"))
    shares = sum(one["share"] for one in told["palette"])
    assert told["rest"]["dots"] + shares == pytest.approx(1.0, abs=1e-4)
    assert told["rest"]["dots"] > 0.1


@pytest.fixture(scope="module")
def repaired_neon(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict]:
    """The sample's neon tile, repaired once for all who look at it, and what was told of it."""
    folder = tmp_path_factory.mktemp("neon") / "r"
    return folder, answer_of(run("proof", FAULTY / "neon.png", "--repair", folder, "--json"))


def prints_off(folder: Path) -> tuple[float, float]:
    """How far the prints of the sample's neon tile and of its repair lie from the screen's."""
    press = open_press("glossy")
    seen, new = (
        srgb_to_lab(np.asarray(Image.open(path).convert("RGB"))[::4, ::4].reshape(-1, 3))
        for path in (FAULTY / "neon.png", folder / "neon.png")
    )
    plain, repaired = (float(de2000(seen, press.to_print(one)).mean()) for one in (seen, new))
    return plain, repaired


def test_a_repair_prints_no_farther_off_than_none_and_asks_for_no_other(
    repaired_neon: tuple[Path, dict],
) -> None:
    """The figures are those of the two prints, measured here on the written file itself."""
    neon = FAULTY / "neon.png"
    folder, answer = repaired_neon
    said = {one["code"]: one for one in answer["findings"]}
    plain, repaired = prints_off(folder)
    measures = said["repaired"]["measures"]
    assert measures["plain_off"] == pytest.approx(plain, abs=0.3)
    assert measures["repaired_off"] == pytest.approx(repaired, abs=0.3)
    assert repaired < plain + 0.3
    assert measures["share_after"] < 0.01
    assert not measures["kept_hue"]
    figures = (
        f"{measures['repaired_off']:.1f} off on average, unrepaired {measures['plain_off']:.1f}"
    )
    told = f"about as close to your original: {figures}"
    assert told in said["repaired"]["what"]
    assert "--repair" not in said["fill-shift"]["remedy"]
    assert str(folder / "neon.png") in said["fill-shift"]["remedy"]
    alone = answer_of(run("proof", neon, "--json"))["findings"]
    assert "--repair" in next(one for one in alone if one["code"] == "fill-shift")["remedy"]


def test_a_repair_names_what_it_leaves_of_a_recipe() -> None:
    """A hex in a coordinate does not follow the repaired tiles, and no longer matches them."""
    text = (
        '[planner]\nbox = "30mm x 24mm"\n[sheet]\npaper = "A5"\n[[patterns]]\nfile = "a.png"\n'
        '[[coordinates]]\nkind = "gingham"\ncolours = ["ground", "#FF00AA"]\nsize = "8mm"\n'
        '[[coordinates]]\nkind = "grid"\ncolours = ["#f7efdf", "#808080"]\nsize = "8mm"\n'
        '[[rows]]\nsticker = "full box"\ncount = 1\n'
    )
    press = open_press("glossy")
    (one,) = left_findings([parse_recipe(text, Path("kit.toml"))], press)
    drawn = repair_plain(np.array([[255, 0, 170]], np.uint8), press)[0]
    assert one.measures["becomes"] == {"#ff00aa": hex_of(drawn)}
    assert "gingham" in one.what
    assert "grid" not in one.what, "what prints as it is needs no repair"


def test_a_repair_that_makes_a_seam_of_a_doubtful_join_says_so(
    dots: np.ndarray, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A join in doubt lies between one that is seamless and one that is a seam, as on the page."""
    press, path = open_press("glossy"), save(dots, tmp_path / "dots.png")
    (fill,) = proof_fills([(path, None)], press, lambda: None)
    sound = check_seams(dots)
    doubtful = replace(sound, x=replace(sound.x, verdict="unsure"))
    monkeypatch.setattr(proofing, "check_as", lambda *_, **__: (STRAIGHT, doubtful))
    for new, kept in ((dots, True), (dots[:, :200], False)):
        (one,) = repair_findings([measure_repair(fill, new, fill.bins, press)])
        assert one.severity == ("note" if kept else "warn")
        assert ("a seam shows" in one.what) is not kept


def test_a_repair_that_keeps_hues_says_what_it_costs(tmp_path: Path) -> None:
    words = "proof", FAULTY / "neon.png", "--keep-hue"
    answer = answer_of(run(*words, "--repair", tmp_path / "r", "--json"))
    (one,) = [one for one in answer["findings"] if one["code"] == "repaired"]
    plain, repaired = prints_off(tmp_path / "r")
    assert repaired > plain + 0.5
    assert one["measures"]["kept_hue"]
    assert one["measures"]["repaired_off"] == pytest.approx(repaired, abs=0.3)
    assert "does not print closer to your original" in one["what"]
    assert "hues stay what they are" in one["what"]
    refused = run(*words)
    assert isinstance(refused.exception, click.UsageError)
    assert "--repair" in str(refused.exception)


def test_a_repair_of_what_prints_as_seen_says_nothing_of_the_screen(
    dots: np.ndarray, tmp_path: Path
) -> None:
    tile = save(dots, tmp_path / "dots.png")
    answer = answer_of(run("proof", tile, "--repair", tmp_path / "r", "--json"))
    (one,) = [one for one in answer["findings"] if one["code"] == "repaired"]
    assert one["measures"]["plain_off"] < 1.5
    assert "screen colours" not in one["what"]


def test_before_and_after_a_repair_are_four_pictures_with_words_above(
    repaired_neon: tuple[Path, dict],
) -> None:
    folder, _ = repaired_neon
    tile = np.asarray(Image.open(FAULTY / "neon.png").convert("RGB"))
    new = np.asarray(Image.open(folder / "neon.png").convert("RGB"))
    shown = np.asarray(Image.open(folder / "neon.before-after.png").convert("RGB"))
    height, width = tile.shape[:2]
    top, gap = shown.shape[0] - height - 24, 24
    assert shown.shape[1] == 4 * width + 5 * gap
    panels = [shown[top : top + height, gap + i * (width + gap) :][:, :width] for i in range(4)]
    np.testing.assert_array_equal(panels[0], tile)
    np.testing.assert_array_equal(panels[2], new)
    for i in range(4):  # words are above each
        assert shown[: top - 2, gap + i * (width + gap) :][:, :width].min() < 100


def test_a_colourway_wears_the_palette_and_keeps_its_joins(
    dots: np.ndarray, tmp_path: Path
) -> None:
    tile = save(dots, tmp_path / "dots.png")
    card = tmp_path / "card.csv"
    card.write_text(
        "name,hex\nplum,#4a2545\nrose,#d6698f\nsage,#8fa67a\nshell,#f7e9e3\n", encoding="utf-8"
    )
    result = run(
        *("palette", tile, "--from", card, "--colourway", tmp_path / "cw"),
        *("--pair", "#3b5b7a=#8fa67a", "--json"),
    )
    findings = answer_of(result)["findings"]
    (stranger,) = [one for one in findings if one["code"] == "stranger"]
    assert f"Use {tmp_path / 'cw' / 'dots.png'}" in stranger["remedy"]  # not: recolour it
    codes = [one["code"] for one in findings]
    assert codes.count("licence") == 1
    assert "colourway-seam" not in codes
    worn = np.asarray(Image.open(tmp_path / "cw" / "dots.png").convert("RGB"))
    # a flat area of the paired blue, and one of the ground, land on their new colours within 1
    flat = worn[(dots == (59, 91, 122)).all(axis=2)]
    assert float(de2000(srgb_to_lab(flat), hex_to_lab("#8fa67a")).max()) < 1.0
    targets = np.array([hex_to_lab(c) for c in ("#4a2545", "#d6698f", "#8fa67a", "#f7e9e3")])
    ground = srgb_to_lab(worn[(dots == (244, 238, 220)).all(axis=2)][:1])
    assert float(de2000(ground, targets).min()) < 1.0


def test_a_colourway_needs_a_palette(dots: np.ndarray, tmp_path: Path) -> None:
    result = run("palette", save(dots, tmp_path / "a.png"), "--colourway", tmp_path / "cw")
    assert "needs --from" in str(result.exception)


def test_pinned_and_allowed_colours(dots: np.ndarray, tmp_path: Path) -> None:
    tile = save(dots, tmp_path / "dots.png")
    pinned = answer_of(run("palette", tile, "--pin", "#3c5c7c", "--json"))
    assert next(one for one in pinned["palette"] if one["hex"] == "#3c5c7c")["pinned"]
    two = ("palette", tile, "--pin", "#3b5b7a", "--pin", "#40607f")
    warned = answer_of(run(*two, "--json"))
    assert "pair-close" in {one["code"] for one in warned["findings"]}
    allowed = answer_of(run(*two, "--allow", "#3b5b7a,#40607f", "--json"))
    assert "pair-close" not in {one["code"] for one in allowed["findings"]}


def test_repair_makes_a_neon_tile_printable_and_its_palette_match(
    repaired_neon: tuple[Path, dict],
) -> None:
    """After printing, each palette colour stands within CIEDE2000 1 in the printed tile."""
    folder, answer = repaired_neon
    assert answer["fills"][0]["share_out_of_gamut"] > 0.5
    repaired = answer_of(run("proof", folder / "neon.png", "--json"))
    assert repaired["fills"][0]["share_out_of_gamut"] < 0.02
    palette = json.loads((folder / "palette.json").read_text())["palette"]
    hexes = [one["hex"] for one in palette if one["share"] > 0.01]
    press = open_press("glossy")
    tile = np.asarray(Image.open(folder / "neon.png").convert("RGB")).reshape(-1, 3)
    colours = srgb_to_lab(np.unique(tile, axis=0))
    printed = press.to_print(colours)
    for colour in hexes:
        plain = press.to_print(hex_to_lab(colour)[None])
        assert float(de2000(printed, plain).min()) < 1.0, colour
    joins = answer_of(run("check", folder / "neon.png", "--json"))
    assert joins["tiles"][0]["seamless"] is True


def test_proof_pictures_ring_lines_that_are_too_thin(tmp_path: Path) -> None:
    """A 1 px black line at 600 dpi is 0.04 mm; the press holds about 0.18 mm (common practice)."""
    page = np.full((200, 200, 3), 250, np.uint8)
    page[100, 20:180] = 0
    tile = save(page, tmp_path / "line.png")
    repeat = f"{200 / 600 * 25.4:.3f}mm"
    out = tmp_path / "pics"
    answer = answer_of(run("proof", tile, "--repeat", repeat, "--pictures", out, "--json"))
    assert "thin-lines" in {one["code"] for one in answer["findings"]}
    ringed = np.asarray(Image.open(out / "line.thin.png").convert("RGB"), dtype=int)
    assert (np.abs(ringed - (15, 92, 92)).max(axis=2) < 8).sum() > 100
    thick = page.copy()
    thick[96:106, 20:180] = 0
    answer = answer_of(run("proof", save(thick, tmp_path / "t.png"), "--repeat", repeat, "--json"))
    assert "thin-lines" not in {one["code"] for one in answer["findings"]}


@pytest.mark.slow
@pytest.mark.parametrize("surface", ["glossy", "matt"])
def test_a_recipe_can_be_proofed(surface: str) -> None:
    recipe = FAULTY.parent / "kit.toml"
    answer = answer_of(run("proof", recipe, "--surface", surface, "--json"))
    assert len(answer["fills"]) == 13
    assert all(fill["dpi_at_repeat"] > 300 for fill in answer["fills"])
    assert surface in answer["press"]


@pytest.mark.slow
def test_draft_and_make_are_enough_for_a_folder_of_artwork(
    dots: np.ndarray, tmp_path: Path
) -> None:
    art = tmp_path / "my art"
    art.mkdir()
    save(np.kron(dots, np.ones((3, 3, 1), np.uint8)), art / "dots.png")
    save(np.kron(dots[:, :, ::-1], np.ones((3, 3, 1), np.uint8)), art / "other dots.png")
    recipe = tmp_path / "kit.toml"
    assert run("draft", art, "--out", recipe).exception is None
    made = answer_of(run("make", recipe, "--json"))
    assert len(made["sheets"]) == 1
    assert {t["seamless"] for t in made["tiles"]} == {True}
    assert "my art/other dots.png" in recipe.read_text()


@pytest.mark.slow
def test_draft_says_which_tiles_will_trouble_the_kit(dots: np.ndarray, tmp_path: Path) -> None:
    art, recipe = tmp_path / "art", tmp_path / "kit.toml"
    art.mkdir()
    large = np.kron(dots, np.ones((3, 3, 1), np.uint8))
    save(large, art / "good.png")
    save(large[:, : large.shape[1] * 5 // 6 + 7], art / "cut.png")
    save(dots[::3, ::3], art / "tiny.png")
    answer = answer_of(run("draft", art, "--out", recipe, "--json"))
    said = {(Path(one["subject"]).name, one["code"], one["severity"]) for one in answer["findings"]}
    assert {("cut.png", "seam", "warn"), ("tiny.png", "resolution", "note")} <= said
    assert answer["ok"]
    assert {one[1:] for one in said if "good" in one[0]} <= {("seam-unsure", "warn")}
    told = run("draft", art, "--out", recipe, "--overwrite").stdout
    lines = [line for line in told.splitlines() if line.startswith("warn")]
    assert any("cut.png" in line and "a seam shows" in line for line in lines)
    assert any("tiny.png" in line and "80 px are enough for 6.7 mm" in line for line in lines)
    assert not any("good.png" in line for line in lines)
    blocks = {name: block for block in recipe.read_text().split("[[patterns]]")[1:]
              for name in ("good", "cut", "tiny") if f"{name}.png" in block}  # fmt: skip
    assert "# a seam shows" in blocks["cut"]
    assert "# its 80 px are enough for no more" in blocks["tiny"]
    assert "seam" not in blocks["good"]


def test_draft_suits_the_planner_and_names_what_it_passed_over(
    dots: np.ndarray, tmp_path: Path
) -> None:
    art = tmp_path / "art"
    art.mkdir()
    save(np.kron(dots, np.ones((3, 3, 1), np.uint8)), art / "dots.png")
    for name in ("sketch.heic", "notes.txt", ".hidden"):
        (art / name).write_bytes(b"x")
    repeats = []
    for box in ("40mm x 52mm", "20mm x 26mm"):
        recipe = tmp_path / "kit.toml"
        answer = answer_of(
            run("draft", art, "--out", recipe, "--box", box, "--overwrite", "--json")
        )
        passed = [Path(one["subject"]).name for one in findings_of(answer, "unreadable")]
        assert passed == ["sketch.heic"]
        text = recipe.read_text()
        assert f'box = "{box}"' in text
        repeats.append(float(re.search(r'repeat = "([\d.]+)mm"', text)[1]))
    assert repeats[1] == pytest.approx(repeats[0] / 2.0, abs=0.1)
    told = run("draft", art, "--out", tmp_path / "art.toml").stdout
    assert "sketch.heic" in told
    # the kit's own place would be the artwork's folder
    assert told.rstrip().endswith(f"--out {tmp_path / 'art-kit'}")
    with pytest.raises(KitloomError, match="--box"):
        raise run("draft", art, "--out", recipe, "--box", "4", "--overwrite").exception


def test_check_says_to_what_size_a_tile_prints_crisply(dots: np.ndarray, tmp_path: Path) -> None:
    """At 300 pixels to the inch 240 px are 20.32 mm and 720 px 60.96 mm: arithmetic."""
    save(dots, tmp_path / "small.png")
    save(np.kron(dots, np.ones((3, 3, 1), np.uint8)), tmp_path / "large.png")
    answer = answer_of(run("check", tmp_path, "--json"))
    sizes = {Path(tile["file"]).name: tile["crisp_to_mm"] for tile in answer["tiles"]}
    assert sizes == {"small.png": 20.32, "large.png": 60.96}
    (note,) = findings_of(answer, "resolution")
    assert note["severity"] == "note"
    assert "small.png" in note["subject"]
    assert "20.3 mm or less" in note["remedy"]
    assert "60.9 mm" in run("check", tmp_path).stdout


def test_files_of_one_name_lose_nothing(dots: np.ndarray, tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        save(dots[:, :200] if name == "b" else dots, tmp_path / name / "x.png")
    both = (tmp_path / "a" / "x.png", tmp_path / "b" / "x.png")
    answer_of(run("proof", *both, "--repair", tmp_path / "r", "--json"))
    assert {"x.png", "x-2.png"} <= {path.name for path in (tmp_path / "r").iterdir()}
    answer_of(run("rescale", *both, "--repeat", "9mm", "--out", tmp_path / "s", "--json"))
    assert {"x.png", "x-2.png"} == {path.name for path in (tmp_path / "s").iterdir()}


def test_one_file_at_two_repeats_is_judged_at_each(dots: np.ndarray, tmp_path: Path) -> None:
    """240 px over 40 mm are 152.4 per inch, over 20 mm 304.8: arithmetic."""
    save(dots, tmp_path / "dots.png")
    pattern = '[[patterns]]\nfile = "dots.png"\nname = "{}"\nrepeat = "{}"\n'
    recipe = '[planner]\nbox = "4cm x 5cm"\n[sheet]\npaper = "A4"\n'
    recipe += pattern.format("large", "40mm") + pattern.format("small", "20mm")
    (tmp_path / "kit.toml").write_text(recipe + '[[rows]]\nsticker = "full box"\ncount = 1\n')
    fills = answer_of(run("proof", tmp_path / "kit.toml", "--json"))["fills"]
    assert [fill["dpi_at_repeat"] for fill in fills] == [152.4, 304.8]


def findings_of(answer: dict, code: str) -> list[dict]:
    return [one for one in answer["findings"] if one["code"] == code]


def test_colours_that_fall_together_in_print_are_named() -> None:
    """Two blues, 6.2 apart on screen and 3.2 apart as the built-in glossy press prints them."""
    answer = answer_of(run("proof", "#0000ff", "#0033ff", "#7a8894", "--json"))
    (merged,) = findings_of(answer, "pair-merges")
    assert "#0000ff and #0033ff" in merged["subject"]
    assert len(answer["pairs"]) == 3
    assert findings_of(answer_of(run("proof", "#0000ff", "#7a8894", "--json")), "pair-merges") == []


def test_ink_is_a_note_until_the_inks_are_known(tmp_path: Path) -> None:
    dark = save(np.full((60, 60, 3), (18, 24, 30), np.uint8), tmp_path / "dark.png")
    pale = save(np.full((60, 60, 3), (225, 232, 228), np.uint8), tmp_path / "pale.png")
    (note,) = findings_of(answer_of(run("proof", dark, pale, "--json")), "ink")
    assert note["severity"] == "note"
    shares = note["measures"]["beside_black"]
    assert shares[str(dark)] > 0.7
    assert shares[str(pale)] < 0.2
    assert findings_of(answer_of(run("proof", pale, "--json")), "ink") == []
    known = answer_of(run("proof", dark, pale, "--profile", PROFILE, "--json"))
    warned = [one for one in findings_of(known, "ink") if one["severity"] == "warn"]
    assert [one["subject"] for one in warned] == [str(dark)]


def test_folders_of_mended_and_repaired_tiles_are_folders_of_artwork(
    dots: np.ndarray, tmp_path: Path
) -> None:
    """What mend, proof and check --pictures draw beside tiles is not taken for tiles."""
    mended = tmp_path / "mended"
    fringe = save(np.concatenate([dots, dots[:3]]), tmp_path / "fringe.png")
    cut = save(dots[:, :200], tmp_path / "cut-motif.png")
    assert run("mend", fringe, "--out", mended).exception is None
    run("check", cut, "--pictures", mended)
    run("proof", mended / "fringe.png", "--repair", mended / "new", "--pictures", mended)
    drawn = {path.name for path in mended.glob("*.*.png")}
    assert {"fringe.before-after.png", "cut-motif.seam.png", "fringe.print.png"} <= drawn
    tiles = answer_of(run("check", mended, "--json"))["tiles"]
    assert [Path(tile["file"]).name for tile in tiles] == ["fringe.png"]
    recipe = tmp_path / "kit.toml"
    assert run("draft", mended, "--out", recipe).exception is None
    assert recipe.read_text().count("[[patterns]]") == 1
    repaired = answer_of(run("check", mended / "new", "--json"))["tiles"]
    assert [Path(tile["file"]).name for tile in repaired] == ["fringe.png"]
    # named on its own a picture is taken
    named = answer_of(run("check", mended / "fringe.before-after.png", "--json"))["tiles"]
    assert len(named) == 1


def test_a_draft_leaves_a_collage_out_with_a_word(dots: np.ndarray, tmp_path: Path) -> None:
    folder = tmp_path / "art"
    folder.mkdir()
    prints = np.random.default_rng(2).integers(0, 256, (6, 30, 30, 3), np.uint8)
    cover = np.full((420, 620, 3), 252, np.uint8)
    for number, colours in enumerate(prints):
        y, x = 20 + 200 * (number // 3), 20 + 200 * (number % 3)
        cover[y : y + 180, x : x + 180] = colours.repeat(6, axis=0).repeat(6, axis=1)
    save(cover, folder / "cover.png")
    alone = run("draft", folder, "--out", tmp_path / "alone.toml")
    assert isinstance(alone.exception, KitloomError)
    assert "holds no tile" in alone.exception.line()
    save(dots, folder / "dots.png")
    result = run("draft", folder, "--out", tmp_path / "kit.toml")
    assert "cover.png: left out. It looks like 6 pictures" in " ".join(result.stdout.split())
    assert "cover.png" not in (tmp_path / "kit.toml").read_text()
