"""What makers are told about colours: the way into print weighed, alike warnings, shares, keys.

No published source: sentences are checked against the figures that they tell of.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result
from PIL import Image

from kit.draft import DraftTile, draft_recipe
from kit.recipe import parse_recipe
from kitloom.cli import kitloom
from kitloom.disk import own_files
from kitloom.findings import Finding, colour_findings, nudge_or_leave
from kitloom.findings.codes import finding
from kitloom.present import console, show_findings
from palette.choose import share_words
from palette.press import open_press
from palette.proof import assess_colours
from palette.space import de2000, hex_to_lab


def run(*words: object) -> Result:
    return CliRunner().invoke(kitloom, [str(word) for word in words], standalone_mode=False)


def test_the_advised_colours_are_weighed_against_the_plain_print() -> None:
    """A colour farther off than doing nothing was advised as the nearest."""
    for one in assess_colours(["#ff00c8", "#00ff00", "#8a2be2", "#ffff00"], open_press()):
        for colour, far in (
            (one.nearest_hex, one.nearest_de2000),
            (one.same_hue_hex, one.same_hue_de2000),
        ):
            off = float(de2000(hex_to_lab(one.hex), hex_to_lab(colour)))
            assert far == pytest.approx(off)
        assert one.nearest_de2000 <= min(one.shift_de2000, one.same_hue_de2000)
        said = nudge_or_leave(one)
        assert f"Printed unchanged, it is {one.shift_de2000:.1f} from" in said
        assert f"the nearest is {one.nearest_hex}, {one.nearest_de2000:.1f} away" in said
        assert len(said) <= 300


def test_a_colour_of_the_same_hue_is_a_choice_where_it_gains_something() -> None:
    """Nearer than the print, or truer in hue; else it only costs."""
    pink, violet = assess_colours(["#ff00c8", "#8a2be2"], open_press())
    assert not pink.print_keeps_hue
    assert f"own hue is {pink.same_hue_hex}, {pink.same_hue_de2000:.1f} away" in nudge_or_leave(
        pink
    )
    assert violet.print_keeps_hue
    assert violet.same_hue_de2000 > violet.shift_de2000
    assert "own hue" not in nudge_or_leave(violet)


def test_nothing_is_advised_that_lies_farther_off_than_doing_nothing() -> None:
    (pink,) = assess_colours(["#ff00c8"], open_press())
    lost = replace(pink, nearest_de2000=11.0, print_keeps_hue=True)
    assert nudge_or_leave(lost).endswith("is nearer: accept the shift.")


def test_colour_that_shifts_has_all_figures_in_json() -> None:
    told = json.loads(run("proof", "#ff00c8", "--json").stdout)
    (shift,) = (one for one in told["findings"] if one["code"] == "colour-shift")
    for key in ("nearest_hex", "nearest_de2000", "same_hue_hex", "same_hue_de2000"):
        assert shift["measures"][key] == told["colours"][0][key]
    assert shift["measures"]["nearest_de2000"] <= shift["measures"]["shift_de2000"]


def shown(findings: list[Finding], capsys: pytest.CaptureFixture[str]) -> str:
    show_findings(console(), findings)
    return capsys.readouterr().out


def test_what_alike_warnings_share_is_told_once(capsys: pytest.CaptureFixture[str]) -> None:
    press = open_press()
    colours = assess_colours(["#ffff00", "#ff00dc", "#00ff00"], press)
    found = [one for one in colour_findings(colours, press) if one.severity == "warn"]
    out = shown(found, capsys)
    assert out.count("on paper it looks duller") == 1
    assert out.count("Use one of these if") == 1
    for one in colours:
        assert f"{one.hex}  A colour prints duller\n    It prints as {one.printed_hex}," in out
        assert f"the nearest is {one.nearest_hex}," in out
    assert "All 3: It is outside" in out


def test_warnings_that_differ_are_told_whole(capsys: pytest.CaptureFixture[str]) -> None:
    def warning(subject: str, why: str, remedy: str) -> Finding:
        return finding("pair-close", subject, what=f"{subject} is.", why=why, remedy=remedy)

    first, other = warning("a", "One why.", "Do this."), warning("b", "Another why.", "Do this.")
    out = shown([first, other], capsys)
    assert "a is. One why.\n    → Do this.\n" in out
    assert "b is. Another why.\n    → Do this.\n" in out
    out = shown([first, other, warning("c", "One why.", "Do that. Do this.")], capsys)
    folded = out.index("c is.\n    → Do that.\n    All 2: One why.\n    → Do this.\n")
    assert out.index("a is.\n") < folded < out.index("b is. Another why.")
    out = shown([first, warning("c", "One why.", "Do that.")], capsys)
    assert out.endswith("a is.\n    → Do this.\n" + out[out.index("warn  c") :])
    assert out.endswith("c is.\n    → Do that.\n    All 2: One why.\n")


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "none"),
        (0.00001, "under 0.1%"),
        (0.0004, "under 0.1%"),
        (0.001, "0.1%"),
        (1, "100.0%"),
    ],
)
def test_a_little_share_is_not_told_as_nothing(share: float, words: str) -> None:
    assert share_words(share) == words


def test_the_draft_shows_how_a_loud_tile_is_left_out() -> None:
    tiles = [
        DraftTile("art/two/fern.png", 30.0, "straight", name='fern "2"'),
        DraftTile("art/fern.png", 30.0, "straight"),
        DraftTile("art/neon.png", 30.0, "straight"),
    ]
    text = draft_recipe("Kit", "kit.toml", tiles).text
    assert parse_recipe(text, Path("kit.toml")).palette.tiles == ()
    assert text.count("\n# tiles = ") == 1
    recipe = parse_recipe(text.replace("\n# tiles = ", "\ntiles = "), Path("kit.toml"))
    assert recipe.palette.tiles == ('fern "2"',)
    assert set(recipe.palette.tiles) < {part.label for part in recipe.patterns}


def test_a_number_of_colours_beside_from_is_refused(tmp_path: Path) -> None:
    tile, out = tmp_path / "tile.png", tmp_path / "out"
    Image.fromarray(np.full((20, 20, 3), (90, 140, 80), dtype=np.uint8)).save(tile)
    assert run("palette", tile, "--out", out).exception is None
    assert own_files(out) == sorted(out.iterdir())
    given = out / "palette.json"
    assert run("palette", tile, "--from", given).exception is None
    for count in ("4", "auto"):
        refused = CliRunner().invoke(
            kitloom, ["palette", str(tile), "--from", str(given), "--colours", count]
        )
        assert refused.exit_code == 2
        assert "--colours does not go with --from" in refused.output


@pytest.mark.parametrize(("colours", "times"), [(1, 1), (3, 0)])
def test_the_report_says_once_what_no_colour_stands_for(
    dots: np.ndarray, tmp_path: Path, colours: int, times: int
) -> None:
    Image.fromarray(dots).save(tmp_path / "dots.png")
    (tmp_path / "kit.toml").write_text(
        f'[planner]\nbox = "30mm x 24mm"\n[sheet]\npaper = "A5"\n[palette]\ncolours = {colours}\n'
        '[[patterns]]\nfile = "dots.png"\nrepeat = "10mm"\n'
        '[[rows]]\nsticker = "full box"\ncount = 1\nfill = "dots"\n'
    )
    assert run("make", tmp_path / "kit.toml").exception is None
    report = (tmp_path / "kit" / "report.html").read_text("utf-8")
    assert report.count("of the artwork is close to no palette colour") == times
