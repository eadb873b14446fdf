"""A stop really stops: the worker that does the work has ended, and nothing was changed."""

from __future__ import annotations

import os
import re
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from signal import SIGKILL, raise_signal
from typing import Any

import pytest

from kitloom.jobs import Runner, StoppedError
from kitloom.page.edits import Incoming
from kitloom.page.page_error import PageError
from kitloom.page.server.safety import Door
from kitloom.page.state import Bench
from kitloom.page.state.workspace import Workspace
from kitloom.page.views import step_views
from kitloom.page.work import Batch, Previews, batch, plan_recolour, uses
from kitloom.page.work.batch import NewTiles
from kitloom.page.work.remaking import Preview
from palette.errors import KitloomError
from palette.space import parse_hex

from .conftest import Here, draw, entered, take_artwork, tile_file
from .waiting import HANGS_SECONDS, until

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        os.name == "nt", reason="whether a process has ended is asked in the way of POSIX systems"
    ),
]
AGES: Any = partial(time.sleep, 600)  # work that no test could wait for


@pytest.fixture
def kit(tmp_path: Path) -> Iterator[Bench]:
    made = Bench(Workspace(tmp_path / "work"), Here(), Runner(1))
    for i, name in enumerate(("waves", "ripples")):
        content = tile_file(tmp_path / "art" / f"{name}.png", i).read_bytes()
        take_artwork(made, Incoming(f"{name}.png", content))
    draw(made)
    yield made
    assert made.close(HANGS_SECONDS)


@pytest.fixture
def previews(kit: Bench) -> Previews:
    return Previews(kit)


def worker_of(kit: Bench) -> int:
    """The one process that makes previews; it answers only while it makes none."""
    return kit.preview_runner.submit(os.getpid).result(HANGS_SECONDS)


def has_ended(process: int) -> bool:
    try:
        state = Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except OSError:
        try:
            os.kill(process, 0)
        except OSError:
            return True
        return False
    return state == "Z"


def test_a_stopped_preview_ends_its_worker_and_stays_stopped_until_asked_again(
    kit: Bench, previews: Previews
) -> None:
    process = worker_of(kit)
    number = previews.now("slow", AGES).number
    until(lambda: previews.now("slow", AGES).state == "running")
    previews.stop(number)
    until(lambda: has_ended(process))
    with pytest.raises(StoppedError):
        previews.result("slow", AGES)
    assert previews.now("slow", AGES) == Preview("stopped", number=number)
    previews.again(number)
    quick = partial(Preview, "done", "as good as new")
    assert previews.result("slow", quick).summary == "as good as new"
    assert previews.now("slow", AGES).summary == "as good as new"  # a second look costs nothing


def test_a_preview_stopped_before_it_begins_never_does(kit: Bench, previews: Previews) -> None:
    first, second = previews.now("first", AGES), previews.now("second", AGES)
    previews.stop(second.number)
    previews.stop(first.number)
    until(lambda: previews.now("second", AGES).state == "stopped")
    assert worker_of(kit) > 0


def test_a_fault_is_said_in_its_own_words(previews: Previews) -> None:
    work: Any = partial(parse_hex, "mauve", where="here")
    with pytest.raises(KitloomError, match=r"here: .*not a colour"):
        previews.result("odd", work)
    assert "not a colour" in previews.now("odd", work).summary


def test_work_that_breaks_its_worker_is_said_in_the_pages_words(previews: Previews) -> None:
    with pytest.raises(PageError, match=r"the new tile: could not be made .*crashed the program"):
        previews.result("deadly", partial(raise_signal, SIGKILL))  # type: ignore[arg-type]


def test_the_end_of_the_page_ends_its_work(kit: Bench, previews: Previews) -> None:
    process = worker_of(kit)
    previews.now("slow", AGES)
    until(lambda: previews.now("slow", AGES).state == "running")
    kit.preview_runner.close()
    assert has_ended(process)
    with pytest.raises(StoppedError):
        previews.result("other", AGES)


def test_a_long_preview_keeps_no_dropped_file_waiting(
    kit: Bench, previews: Previews, tmp_path: Path
) -> None:
    for name in "abc":
        previews.now(name, AGES)
    content = tile_file(tmp_path / "art" / "more.png", 3).read_bytes()
    assert take_artwork(kit, Incoming("more.png", content)) == "more"


def test_a_preview_is_stopped_on_the_page_and_made_after_all(
    kit: Bench, door: Door, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(step_views, "plan_mend", lambda *_: (("slow",), AGES))
    process = worker_of(kit)
    with entered(kit, door) as client:
        place = "/step/tiles?tile=waves&try=mend"
        page = client.get(place).text
        assert "Mending" in page
        number = re.search(r'name="number" value="(\d+)"', page)
        assert number is not None
        form = {"number": number.group(1), "back": place}
        assert client.post("/edit/stop-try", data=form).status_code == 303
        until(lambda: "Stopped. Nothing was changed." in client.get(place).text)
        # looking again has not begun it again: the worker has nothing to do
        assert worker_of(kit) >= process
        assert client.post("/edit/try-again", data=form).status_code == 303
        assert "Mending" in client.get(place).text
        number = re.search(r'name="number" value="(\d+)"', client.get(place).text)
        assert number is not None
        client.post("/edit/stop-try", data={"number": number.group(1), "back": place})
        until(lambda: "Stopped. Nothing was changed." in client.get(place).text)


def test_many_tiles_show_how_far_they_are_and_stop_in_the_middle_of_one(
    kit: Bench, door: Door, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(batch, "GRACE_SECONDS", 0.05)
    quick = (("quick",), partial(Preview, "done"))
    plans = {"waves": quick, "ripples": (("slow",), AGES)}
    monkeypatch.setattr(uses, "plan_redress", lambda *given: plans[given[2].label])
    text = kit.workspace.text()
    process = worker_of(kit)
    with entered(kit, door) as client:
        form = {"tile": "waves", "wear": "x.csv", "all": "yes", "back": "/step/palette"}
        assert client.post("/edit/use-redressed", data=form).status_code == 303
        until(lambda: "1 of 2" in client.get("/step/kit").text)
        refused = client.post("/edit/use-redressed", data=form)
        assert refused.status_code == 422
        assert "something else is being made" in refused.text
        assert client.post("/edit/stop-chore", data={"back": "/step/kit"}).status_code == 303
        until(lambda: "Stopped: recoloured all 2 tiles" in client.get("/step/kit").text)
        until(lambda: has_ended(process))
    assert kit.workspace.text() == text
    assert {p.name for p in kit.workspace.artwork.iterdir()} == {"waves.png", "ripples.png"}


def test_a_tile_changed_meanwhile_is_not_overwritten(
    kit: Bench, previews: Previews, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(batch, "GRACE_SECONDS", HANGS_SECONDS)
    recipe = kit.recipe()
    assert recipe is not None
    part = recipe.patterns[0]
    plan = plan_recolour(kit, recipe, part, "#0f5c5c", "#336699")
    kit.edit("took it out", lambda text: text.replace("artwork/waves.png", "artwork/other.png"))

    def finish(tiles: NewTiles) -> None:
        uses.use(kit, "coloured waves", "recoloured", tiles)

    with pytest.raises(PageError, match="changed since"):
        Batch(kit, previews).begin("coloured waves", [(part, plan)], finish)
    assert "recoloured" not in kit.workspace.text()


def test_a_batch_that_fails_for_an_unforeseen_reason_says_so(
    kit: Bench,
    previews: Previews,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(batch, "GRACE_SECONDS", HANGS_SECONDS)
    recipe = kit.recipe()
    assert recipe is not None
    work: Any = partial(divmod, 1, 0)
    batches = Batch(kit, previews)
    with pytest.raises(PageError, match=r"dressed: could not be done .*Nothing was changed"):
        batches.begin("dressed", [(recipe.patterns[0], ("odd", work))], print)
    assert "ZeroDivisionError" in capsys.readouterr().err
    assert batches.progress is None
