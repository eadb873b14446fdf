"""Coordinates from the artwork: a set that goes with it, its files, and what is told of a kit's."""

from __future__ import annotations

import json
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from kit.recipe import parse_recipe
from kitloom.coordinates import LINES_NAME, TileMotif, coordinate_files, propose, table_lines
from kitloom.coordinates.proposals import (
    LEAST_DE2000,
    LINE_MM,
    TEMPLATES,
    TONE_DE2000,
    UNLIKE,
    size_of,
)
from palette.choose import Palette, bins_of, choose
from palette.errors import PaletteError
from palette.pairs import colour_pairs
from palette.press import open_press
from patterns.lift import Motif
from patterns.seams import check_seams
from tests.kitloom.inside import called

GARDEN = ("#f7efdf", "#5d8a55", "#b8435a", "#5f8797", "#25443a", "#efc06b", "#b9cd90")
NIGHT = ("#191c38", "#2a2f52", "#5c4a78", "#b7a3cb", "#3f7077", "#b8607a")
PRESSES = ("glossy", "matt")


def palette_of(colours: tuple[str, ...]) -> Palette:
    """A palette of broad bands in these colours, the first with most area."""
    picture = Image.new("RGB", (400, 60 * len(colours)), colours[0])
    pen = ImageDraw.Draw(picture)
    for i, colour in enumerate(colours[1:], start=1):
        pen.rectangle((0, 60 * i, 300 - 20 * i, 60 * i + 59), fill=colour)
    return choose({"bands": bins_of(np.asarray(picture))}, len(colours), colours)


@pytest.mark.parametrize("press", PRESSES)
@pytest.mark.parametrize("colours", [GARDEN, NIGHT], ids=["garden", "night"])
def test_colours_stay_apart_on_paper(colours: tuple[str, ...], press: str) -> None:
    """Else a bought set's companions print as plain fills."""
    for one in propose(palette_of(colours), open_press(press), 9.0):
        printed = [pair.de2000_printed for pair in colour_pairs(one.colours, open_press(press))]
        assert min(filter(None, printed)) >= LEAST_DE2000
        assert one.contrast_de2000 == pytest.approx(min(filter(None, printed)))
        assert set(one.colours) <= {*colours, "#ffffff"}


@pytest.mark.parametrize("colours", [GARDEN, NIGHT], ids=["garden", "night"])
def test_there_are_light_middle_and_bold_ones(colours: tuple[str, ...]) -> None:
    """Else the sheet's boxes all weigh the same."""
    made = propose(palette_of(colours), open_press("glossy"), 9.0)
    assert [one.weight for one in made] == ["light", "light", "middle", "middle", "bold", "bold"]
    assert len({one.name for one in made}) == len(made)
    mean = {
        weight: np.mean([one.mean_l for one in made if one.weight == weight])
        for weight in ("light", "middle", "bold")
    }
    assert mean["light"] > mean["middle"] + 5.0 > mean["bold"] + 10.0
    assert len({one.colours for one in made}) >= len(made) - 1


def test_tone_on_tone_is_two_tones_of_one_colour() -> None:
    press = open_press("glossy")
    for one in propose(palette_of(GARDEN), press, 9.0, tone_on_tone=True):
        (pair,) = colour_pairs(one.colours, press)
        assert pair.de2000_printed is not None
        assert TONE_DE2000[0] <= pair.de2000_printed <= TONE_DE2000[1]
        assert one.colours[0] in {*GARDEN, "#ffffff"}


@pytest.mark.parametrize("artwork_mm", [2.0, 4.5, 8.7, 13.0, 26.0])
def test_sizes_are_unlike_the_artworks_and_print(artwork_mm: float) -> None:
    """Else a dot and a motif are in one place, and the two fight; or a line breaks up in print."""
    for template in TEMPLATES:
        size = size_of(template, artwork_mm)
        if size is None:  # a tartan beside artwork as large as a sticker
            assert (template.kind, artwork_mm) == ("tartan", 26.0)
            continue
        times = size / template.parts / artwork_mm
        assert times >= UNLIKE - 1e-9 or times <= 1.0 / UNLIKE + 1e-9, template
        assert template.figure(size).narrowest_mm >= LINE_MM - 1e-9
        assert size % 0.5 == 0.0


def _disc_motif(tile: str, ink: tuple[int, int, int], side: int = 150) -> TileMotif:
    y, x = np.mgrid[:side, :side] - (side - 1) / 2.0
    alpha = np.where(np.hypot(y, x) < side / 2.0, 255, 0).astype(np.uint8)
    colour = np.broadcast_to(np.array(ink, np.uint8), (side, side, 3)).copy()
    motif = Motif(0, 0, colour, alpha, float((alpha > 0).sum()))
    return TileMotif(tile, 2, motif, (247.0, 239.0, 223.0))


def test_one_all_over_of_a_lifted_motif_is_among_them() -> None:
    """Else the maker never learns that a companion can be made of the artwork's own motif."""
    press, palette = open_press("glossy"), palette_of(GARDEN)
    motifs = [_disc_motif("pods", (150, 40, 60)), _disc_motif("coarse", (150, 40, 60), side=30)]
    made = propose(palette, press, 9.0, motifs=motifs)
    (one,) = [found for found in made if found.kind == "all-over"]
    assert [found for found in made if found is not one] == list(propose(palette, press, 9.0))
    assert (one.name, one.source, one.motif) == ("pods all-over", "pods", 2), "coarse in print"
    assert one.colours[0] in GARDEN
    assert one.contrast_de2000 >= LEAST_DE2000
    assert UNLIKE * one.size_mm <= 9.0
    text = '[planner]\nbox = "30mm x 40mm"\n[sheet]\npaper = "A5"\n'
    text += '[[patterns]]\nfile = "pods.png"\n'
    rows = '[[rows]]\nsticker = "dot"\ncount = 1\n'
    (part,) = parse_recipe(text + table_lines(one) + rows, Path("kit.toml")).coordinates
    assert (part.source, part.motif, part.size) == ("pods", 2, one.size_mm)
    assert not [
        found
        for found in propose(palette, press, 9.0, motifs=motifs, tone_on_tone=True)
        if found.kind == "all-over"
    ]


def test_a_motif_of_one_colour_makes_no_all_over() -> None:
    """A blob over and over is a coarse polka dot beside the finer one."""
    plain = _disc_motif("dots", (150, 40, 60))
    assert not plain.is_drawn
    plain.motif.colour[60:90, 20:130] = (240, 200, 90)
    assert plain.is_drawn


def test_a_bunch_is_busier_than_one_flower() -> None:
    """An all-over of a bunch is a rag of colours, in which nobody knows the artwork again."""
    one, bunch = _disc_motif("one", (150, 40, 60)), _disc_motif("bunch", (150, 40, 60))
    one.motif.colour[60:90, 60:90] = (240, 200, 90)
    for top in range(0, 150, 30):
        bunch.motif.colour[top : top + 15] = (240, 200, 90)
    assert one.busyness < 10.0 < bunch.busyness
    motifs = [bunch, one]
    (chosen,) = (
        found
        for found in propose(palette_of(GARDEN), open_press("glossy"), 9.0, motifs=motifs)
        if found.kind == "all-over"
    )
    assert chosen.source == "one"


def test_few_colours_make_a_set_of_fewer_kinds() -> None:
    made = propose(palette_of(GARDEN[:2]), open_press("glossy"), 9.0)
    assert "tartan" not in {one.kind for one in made}
    assert {one.weight for one in made} == {"light", "middle", "bold"}


def test_one_pale_colour_makes_none_and_says_what_to_do() -> None:
    with pytest.raises(PaletteError, match="Ask for more colours, or add --tone-on-tone"):
        propose(palette_of(GARDEN[:1]), open_press("glossy"), 9.0)


@pytest.mark.slow
def test_pictures_are_seamless_and_of_their_size_and_the_lines_draw_the_same() -> None:
    made = propose(palette_of(GARDEN), open_press("glossy"), 9.0)
    files = coordinate_files(made)
    rows = '[[rows]]\nsticker = "dot"\ncount = 1\n'
    text = '[planner]\nbox = "30mm x 40mm"\n[sheet]\npaper = "A5"\n[[patterns]]\nfile = "a.png"\n'
    recipe = parse_recipe(text + files[LINES_NAME].decode() + rows, Path("kit.toml"))
    assert [part.label for part in recipe.coordinates] == [one.name for one in made]
    for part, one in zip(recipe.coordinates, made, strict=True):
        assert (part.size, part.colours) == (one.size_mm, one.colours)
        assert part.figure() == one.coordinate().figure
        with Image.open(BytesIO(files[f"{one.name.replace(' ', '-')}.png"])) as picture:
            repeats = picture.width * 25.4 / picture.info["dpi"][0] / one.size_mm
            pixels = np.asarray(picture.convert("RGB"))
        assert repeats == pytest.approx(round(repeats), abs=0.002)
        assert picture.info["dpi"][0] == pytest.approx(300.0, rel=0.02)
        assert check_seams(pixels).seamless is not False, one.name


RECIPE = """\
[planner]
box = "30mm x 40mm"
[sheet]
paper = "A4"
dpi = 100
[palette]
colours = 3
[[patterns]]
file = "bands.png"
repeat = "30mm"
[[coordinates]]
kind = "gingham"
colours = ["#f7efdf", "#00ff00"]
size = "6mm"
[[coordinates]]
kind = "dots"
colours = ["#f7efdf", "#f4ecdc"]
size = "6mm"
[[rows]]
sticker = "full box"
count = 3
fill = "gingham"
[[rows]]
sticker = "full box"
count = 2
fill = ["dots", "bands"]
panel = "gingham"
"""


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("coordinates")
    picture = Image.new("RGB", (360, 360), GARDEN[0])
    pen = ImageDraw.Draw(picture)
    for i, colour in enumerate(GARDEN[1:]):
        pen.ellipse(
            (20 + i % 3 * 110, 40 + i // 3 * 170, 110 + i % 3 * 110, 130 + i // 3 * 170), colour
        )
    picture.save(folder / "bands.png")
    (folder / "kit.toml").write_text(RECIPE)
    return folder


def test_a_kit_is_filled_with_them_and_says_what_print_does(desk: Path) -> None:
    done = called("make", desk / "kit.toml", "--out", desk / "kit", "--json")
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)
    first, second = answer["coordinates"]
    assert (first["name"], first["kind"], first["size_mm"]) == ("gingham", "gingham", 6.0)
    assert second["colours"] == ["#f7efdf", "#f4ecdc"]
    told = {(one["code"], one["subject"]): one for one in answer["findings"]}
    shift = told["colour-shift", "#00ff00"]
    assert "coordinate gingham as fill of full box (row 1)" in shift["what"]
    assert "coordinates.1.colours" in shift["remedy"]
    merges = told["coordinate-merges", "dots"]
    assert "coordinates.2.colours" in merges["remedy"]
    assert ("coordinate-merges", "gingham") not in told
    assert {one["subject"] for one in answer["findings"] if one["code"] == "copies-alike"} == set()
    assert "gingham" not in json.dumps(
        [one for key, one in told.items() if key[0] == "fills-repeat"]
    )
    report = (desk / "kit" / "report.html").read_text()
    assert 'alt="gingham as it prints"' in report
    assert 'alt="dots"' in report


@pytest.mark.slow
def test_a_lock_keeps_them_and_a_run_without_change_is_the_same(desk: Path) -> None:
    called("make", desk / "kit.toml", "--out", desk / "first")
    lock = desk / "first" / "kit.lock.json"
    done = called("make", desk / "kit.toml", "--out", desk / "again", "--keep", lock, "--json")
    assert done.returncode == 0, done.stderr
    kept = next(one for one in json.loads(done.stdout)["findings"] if one["code"] == "kept")
    assert "5 of 5" in kept["what"] or "all" in kept["what"].lower(), kept["what"]
    for name in ("sheet-1.svg", "sheet-1-print.png"):
        assert (desk / "first" / name).read_bytes() == (desk / "again" / name).read_bytes()


@pytest.mark.slow
def test_a_proof_of_the_recipe_knows_them(desk: Path) -> None:
    done = called("proof", desk / "kit.toml", "--json")
    assert done.returncode == 0, done.stderr
    shown = {one["hex"] for one in json.loads(done.stdout)["sheet_colours"]}
    assert {"#00ff00", "#f4ecdc"} <= shown


def test_the_command_writes_the_set_whole_or_not_at_all(desk: Path) -> None:
    out = desk / "set"
    done = called("palette", desk / "bands.png", "--coordinates", out, "--json")
    assert done.returncode == 0, done.stderr
    named = [one["name"] for one in json.loads(done.stdout)["coordinates"]]
    files = {f"{name.replace(' ', '-')}.png" for name in named} | {LINES_NAME}
    assert {path.name for path in out.iterdir()} == files
    again = called("palette", desk / "bands.png", "--coordinates", out)
    assert again.returncode == 2
    assert "--overwrite" in again.stderr


def test_tone_on_tone_alone_is_refused(desk: Path) -> None:
    done = called("palette", desk / "bands.png", "--tone-on-tone")
    assert done.returncode == 2
    assert "needs --coordinates" in done.stderr


@pytest.mark.slow
def test_a_folder_with_a_tile_called_like_a_coordinate_is_drafted(tmp_path: Path) -> None:
    """A maker whose tile is called gingham.png would get no recipe."""
    tiles = Path(__file__).parents[2] / "samples" / "allotment" / "tiles"
    for name in ("gingham.png", "sprigs.png"):
        (tmp_path / name).write_bytes((tiles / name).read_bytes())
    assert called("draft", tmp_path, "--out", tmp_path / "kit.toml").returncode == 0
    recipe = parse_recipe((tmp_path / "kit.toml").read_text(), tmp_path / "kit.toml")
    assert {"gingham", "drawn gingham"} <= {
        one.label for one in (*recipe.patterns, *recipe.coordinates)
    }
    roles = {"ground", "deep", "mid", "accent"}
    used = {colour for one in recipe.coordinates for colour in one.colours}
    assert roles & used, "next month's artwork would keep these colours"
