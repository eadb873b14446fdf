"""Where the measurements cannot decide, the maker does: said truly, kept, and asked again in time.

No published source: what the page promises is checked against what it does.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from starlette.testclient import TestClient

from kit.recipe import read_recipe
from kitloom.findings import QUESTIONS, Finding, doubts, mend_findings
from kitloom.kits import make_kit
from kitloom.measure import Request, study
from kitloom.page.edits import Form, Incoming
from kitloom.page.edits.table import apply
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt
from kitloom.page.state.workspace import Workspace
from kitloom.page.views.steps import step_rows
from kitloom.page.work import Previews, remaking
from patterns.mend import MendResult
from patterns.mend.axis import MendStep
from patterns.mend.tile import Doubt
from patterns.plane import STRAIGHT
from patterns.seams import check_seams

from .conftest import ROOT, Here, draw, lines_file, take_artwork, tile_file

pytestmark = pytest.mark.slow

LOOKED = Form({"tile": "lines", "good": "yes"})


@pytest.fixture
def kit(bench: Bench, tmp_path: Path) -> Bench:
    for path in (tile_file(tmp_path / "waves.png"), lines_file(tmp_path / "lines.png")):
        take_artwork(bench, Incoming(path.name, path.read_bytes()))
    draw(bench)
    return bench


def unsure(found: tuple[Finding, ...]) -> list[Finding]:
    return [one for one in found if one.code == "seam-unsure"]


def drawn(bench: Bench) -> list[Finding]:
    draw(bench)
    assert bench.drawing.job is not None
    return unsure(bench.drawing.job.findings)


def line_of(bench: Bench, slug: str) -> tuple[str, str]:
    return next((row.line, row.mark) for row in step_rows(bench) if row.slug == slug)


def test_looking_silences_the_yellow_and_undo_brings_it_back(kit: Bench) -> None:
    assert [one.severity for one in drawn(kit)] == ["warn"]
    assert line_of(kit, "tiles") == ("1 tile to look at", "warn")
    warned = line_of(kit, "sheet")
    apply(kit, "looked", LOOKED)
    assert [one.severity for one in drawn(kit)] == ["note"]
    assert "1 seamless, 1 accepted by you" in line_of(kit, "tiles")[0]
    assert line_of(kit, "tiles")[1] == "good"
    assert line_of(kit, "sheet") != warned
    kit.undo()
    assert [one.severity for one in drawn(kit)] == ["warn"]
    assert line_of(kit, "sheet") == warned


def test_it_is_there_after_a_restart_and_the_command_respects_it(kit: Bench) -> None:
    apply(kit, "looked", LOOKED)
    again = Bench(Workspace(kit.workspace.folder), Here())
    assert [one.severity for one in drawn(again)] == ["note"]
    job = make_kit(read_recipe(kit.workspace.recipe), [], lambda: None)
    found = unsure(job.findings)
    assert [one.severity for one in found] == ["note"]
    assert "You looked at it" in found[0].what


def test_the_command_tells_what_to_write_once_one_has_looked(kit: Bench) -> None:
    job = make_kit(read_recipe(kit.workspace.recipe), [], lambda: None)
    asked = unsure(job.findings)[0].remedy
    apply(kit, "looked", LOOKED)
    written = next(row for row in kit.workspace.text().splitlines() if row.startswith("looked"))
    assert written in asked


def test_other_bytes_are_asked_about_again(kit: Bench) -> None:
    apply(kit, "looked", LOOKED)
    lines_file(kit.workspace.artwork / "lines.png", "#3b5b7b")
    kit.changed()
    assert [one.severity for one in drawn(kit)] == ["warn"]
    assert line_of(kit, "tiles")[1] == "warn"


def test_another_lattice_has_other_joins(kit: Bench) -> None:
    apply(kit, "looked", LOOKED)
    apply(kit, "lattice", Form({"tile": "lines", "lattice": "half-drop"}))
    assert "looked" not in kit.workspace.text()


def test_a_seam_is_the_makers_to_accept(kit: Bench) -> None:
    """A verdict that is wrong must not stop a kit whose maker has looked."""
    take_artwork(kit, Incoming("cut.png", _sample("cropped").read_bytes()))

    def seams() -> list[Finding]:
        draw(kit)
        assert kit.drawing.job is not None
        return [one for one in kit.drawing.job.findings if one.code == "seam"]

    asked = seams()
    assert asked
    assert {one.severity for one in asked} == {"stop"}
    mark = kit.cache.mark(kit.workspace.artwork / "cut.png")
    assert all(f'looked = "{mark}"' in kit_words(kit, one) for one in asked)
    apply(kit, "looked", Form({"tile": "cut", "good": "yes"}))
    told = seams()
    assert {one.severity for one in told} == {"note"}
    assert all("You looked at it" in one.what for one in told)
    assert all(one.measures["accepted"] for one in told)
    assert line_of(kit, "tiles")[1] == "warn"  # for the other one
    apply(kit, "looked", LOOKED)
    assert line_of(kit, "tiles") == ("1 seamless, 2 accepted by you", "good")


def kit_words(bench: Bench, one: Finding) -> str:
    """What the command says of it, which knows the recipe's words."""
    job = make_kit(read_recipe(bench.workspace.recipe), [], lambda: None)
    same = [other for other in job.findings if other.code == one.code]
    return " ".join(other.remedy for other in same)


def test_a_look_without_effect_says_so(kit: Bench) -> None:
    """Or a maker believes that a tile was accepted which was never asked about."""
    text = rt.with_pattern_value(kit.workspace.text(), 0, "looked", "0123456789ab")
    text = rt.with_pattern_value(text, 1, "looked", "0123456789ab")
    kit.edit("by hand", lambda _: text)
    draw(kit)
    assert kit.drawing.job is not None
    idle = {one.subject: one for one in kit.drawing.job.findings if one.code == "looked-idle"}
    assert {one.severity for one in idle.values()} == {"note"}
    said = {Path(subject).stem: one.what for subject, one in idle.items()}
    assert "seamless as measured" in said["waves"]
    assert "its file has changed since" in said["lines"]


def test_the_tiles_step_asks_and_takes_the_answer(client: TestClient, kit: Bench) -> None:
    assert kit.recipe() is not None
    asked = client.get("/step/tiles?tile=lines").text
    assert "does the line along the join belong to the design?" in asked
    assert "I looked: it is good" in asked
    fields = {"back": "/step/tiles?tile=lines", "tile": "lines", "good": "yes"}
    assert client.post("/edit/looked", data=fields).status_code == 303
    told = client.get("/step/tiles?tile=lines").text
    assert "you looked at it" in told
    assert "I looked: it is good" not in told
    client.post("/edit/looked", data={"back": "/step/tiles", "tile": "lines"})
    assert "I looked: it is good" in client.get("/step/tiles?tile=lines").text


def test_every_question_that_a_join_can_raise_has_its_words() -> None:
    room = ROOT / "patterns" / "seams"
    source = (room / "verdict.py").read_text() + (room / "check.py").read_text()
    assert all(f'"{code}"' in source for code in QUESTIONS)  # none that is never raised
    noise = np.random.default_rng(1).integers(0, 255, (4, 4, 3), np.uint8)
    said = doubts(check_seams(noise))
    assert said.count("too few pixels to measure") == 2  # both joins


@pytest.mark.parametrize(("sure", "passes"), [(True, True), (False, False)])
def test_a_mend_says_passes_only_where_the_check_is_sure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, sure: bool, passes: bool
) -> None:
    doubtful = study(Request(lines_file(tmp_path / "lines.png")))
    sound = study(Request(tile_file(tmp_path / "waves.png")))
    check = sound.check if sure else doubtful.check
    step = MendStep("let-in", "x", 12)
    made = MendResult(doubtful.artwork.pixels, STRAIGHT, (step,), check, mended=True)
    monkeypatch.setattr(remaking, "mend", lambda *_, **__: made)
    preview = remaking.preview_mend(doubtful)
    assert ("passes the same check" in preview.summary) is passes
    assert preview.unsure is not passes
    assert ("check it by eye" in preview.summary) is not passes
    found = mend_findings("a", doubtful.check, made, (240, 240))
    assert [one.severity for one in found] == ["note" if sure else "warn"]


@pytest.mark.parametrize("plain", [True, False])
def test_a_mend_that_only_an_eye_can_judge_is_no_failed_one(
    client: TestClient, kit: Bench, monkeypatch: pytest.MonkeyPatch, *, plain: bool
) -> None:
    """The check passes: in doubt it is offered with a question, a plain fault only after no."""
    sound = study(Request(tile_file(kit.workspace.folder / "other.png")))
    step, doubt = MendStep("patched", "x", 12), Doubt("x", 1.3, (4, 9), cut=False, plain=plain)
    made = MendResult(
        sound.artwork.pixels, STRAIGHT, (step,), sound.check, mended=False, doubts=(doubt,)
    )
    monkeypatch.setattr(remaking, "mend", lambda *_, **__: made)
    preview = remaking.preview_mend(sound)
    assert not preview.good
    assert preview.unsure is not plain
    assert "from 4 to 9 px" in preview.summary
    monkeypatch.setattr(Previews, "now", lambda *_: preview)
    page = client.get("/step/tiles?tile=waves&try=mend").text
    assert ("not mended" in page) is plain
    assert ("one place to check by eye" in page) is not plain
    assert ("It is good: use it" in page) is not plain
    assert ("Use it anyway" in page) is plain
    assert page.index("Leave it as it is") != -1
    first = page.index("Leave it as it is") < page.index('id="use-mended"')
    assert first is plain  # what is offered first


def test_a_mend_that_gives_up_motifs_shows_no_tick(
    client: TestClient, kit: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else the maker takes a tile for sound that has lost a third of its motifs."""
    pixels = study(Request(tile_file(kit.workspace.folder / "other.png"))).artwork.pixels
    preview = remaking.Preview("done", "A strip was given up.", good=True, pixels=pixels, lost=True)
    monkeypatch.setattr(Previews, "now", lambda *_: preview)
    drawer = client.get("/step/tiles?tile=waves&try=mend").text.split('id="try-title"')[1]
    verdict = drawer.split("A strip was given up.")[0]
    assert "motifs are gone" in verdict
    assert 'class="mark warn"' in verdict
    assert 'class="mark good"' not in verdict


@pytest.mark.parametrize("nearer", [True, False])
def test_a_repair_that_prints_farther_off_is_not_the_main_button(
    client: TestClient, kit: Bench, monkeypatch: pytest.MonkeyPatch, *, nearer: bool
) -> None:
    """Else the maker takes a repair whose own figure says that the tile as it is prints nearer."""
    pixels = study(Request(tile_file(kit.workspace.folder / "other.png"))).artwork.pixels
    preview = remaking.Preview("done", "It is repaired.", good=True, pixels=pixels, nearer=nearer)
    monkeypatch.setattr(Previews, "now", lambda *_: preview)
    drawer = client.get("/step/print?tile=waves&try=repair").text.split('id="try-title"')[1]
    use = drawer.index('id="use-repaired"')
    assert drawer[use:].startswith('id="use-repaired">') is nearer
    assert (drawer.index("Leave it as it is") > use) is nearer
    assert drawer.count("Leave it as it is") == 1


def _sample(name: str) -> Path:
    return ROOT / "samples" / "allotment" / "faulty" / f"{name}.png"
