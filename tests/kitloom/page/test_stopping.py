"""A stop really stops: the process that does the work has ended, and nothing was changed."""

from __future__ import annotations

import os
import re
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from starlette.testclient import TestClient

from kitloom.page.edits import Incoming, take_artwork
from kitloom.page.page_error import PageError
from kitloom.page.server.app import page_app
from kitloom.page.server.safety import Door
from kitloom.page.state import Bench, StoppedError
from kitloom.page.state.aside import Aside
from kitloom.page.state.workspace import Workspace
from kitloom.page.views import step_views
from kitloom.page.work import Chores, Tries, remakes
from kitloom.page.work import chores as chores_module
from kitloom.page.work.remade import Try
from palette.space import parse_hex

from .conftest import ORIGIN, LentAside, Unsheltered, tile_file
from .waiting import HANGS_SECONDS, until

pytestmark = pytest.mark.skipif(
    os.name == "nt", reason="whether a process has ended is asked in the way of POSIX systems"
)
AGES: Any = partial(time.sleep, 600)  # work that no test could wait for


@pytest.fixture
def kit(tmp_path: Path, aside: LentAside) -> Iterator[Bench]:
    made = Bench(Workspace(tmp_path / "work"), Unsheltered(), aside)  # type: ignore[arg-type]
    for i, name in enumerate(("waves", "ripples")):
        content = tile_file(tmp_path / "art" / f"{name}.png", i).read_bytes()
        take_artwork(made, Incoming(f"{name}.png", content))
    made._draw(made.revision)
    yield made
    made.close()


def at_work(aside: Aside) -> list[int]:
    """The processes that do work."""
    return [one for pool in list(aside._busy.values()) for one in list(pool._processes or ())]


def begun(aside: Aside) -> int:
    """Wait until one process is at work and return which."""
    until(lambda: len(at_work(aside)) == 1)
    return at_work(aside)[0]


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


def test_stopped_work_ends_its_process_and_the_next_works(
    aside: LentAside, in_thread: Callable[[Callable[[], Any]], list[Any]]
) -> None:
    number = aside.number()
    came = in_thread(lambda: aside.run(number, AGES))
    process = begun(aside)
    aside.stop(number)
    until(lambda: bool(came) and has_ended(process))
    assert isinstance(came[0], StoppedError)
    assert aside.run(aside.number(), partial(abs, -3)) == 3


@pytest.fixture
def in_thread() -> Iterator[Callable[[Callable[[], Any]], list[Any]]]:
    threads: list[Thread] = []

    def start(work: Callable[[], Any]) -> list[Any]:
        came: list[Any] = []

        def run() -> None:
            try:
                came.append(work())
            except Exception as error:
                came.append(error)

        threads.append(Thread(target=run, daemon=True))
        threads[-1].start()
        return came

    yield start
    for thread in threads:
        thread.join(HANGS_SECONDS)
        assert not thread.is_alive()


def test_work_stopped_before_it_begins_never_does(aside: LentAside) -> None:
    number = aside.number()
    aside.stop(number)
    with pytest.raises(StoppedError):
        aside.run(number, AGES)


def test_a_fault_crosses_over_with_its_words(aside: LentAside) -> None:
    with pytest.raises(PageError, match="not a colour") as caught:
        aside.run(aside.number(), partial(parse_hex, "mauve", where="here"))
    assert caught.value.where == "here"


def test_work_that_breaks_its_process_is_told(aside: LentAside) -> None:
    with pytest.raises(PageError, match="broke its process"):
        aside.run(aside.number(), partial(os._exit, 3))


def test_the_end_of_the_page_ends_its_work(
    in_thread: Callable[[Callable[[], Any]], list[Any]],
) -> None:
    own = Aside()
    came = in_thread(lambda: own.run(own.number(), AGES))
    process = begun(own)
    own.close()
    until(lambda: bool(came) and has_ended(process))
    with pytest.raises(StoppedError):
        own.run(own.number(), AGES)


def test_a_try_is_stopped_on_the_page_and_made_after_all(
    kit: Bench, door: Door, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(step_views, "plan_mend", lambda *_: (("slow",), AGES))
    with TestClient(
        page_app(kit, door), base_url=ORIGIN, headers={"origin": ORIGIN}, follow_redirects=False
    ) as client:
        client.get("/enter", params={"key": door.key})
        place = "/step/tiles?tile=waves&try=mend"
        page = client.get(place).text
        assert "Mending" in page
        number = re.search(r'name="number" value="(\d+)"', page)
        assert number is not None
        process = begun(kit.aside)
        form = {"number": number.group(1), "back": place}
        assert client.post("/edit/stop-try", data=form).status_code == 303
        until(lambda: has_ended(process))
        until(lambda: "Stopped. Nothing was changed." in client.get(place).text)
        assert at_work(kit.aside) == []  # looking again has not begun it again
        assert client.post("/edit/try-again", data=form).status_code == 303
        assert "Mending" in client.get(place).text
        number = re.search(r'name="number" value="(\d+)"', client.get(place).text)
        assert number is not None
        begun(kit.aside)
        client.post("/edit/stop-try", data={"number": number.group(1), "back": place})
        until(lambda: at_work(kit.aside) == [])


def test_many_tiles_show_how_far_they_are_and_stop_in_the_middle_of_one(
    kit: Bench, door: Door, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(chores_module, "GRACE_SECONDS", 0.05)
    made = (("quick",), partial(Try, "made"))
    plans = {"waves": made, "ripples": (("slow",), AGES)}
    monkeypatch.setattr(remakes, "plan_redress", lambda *given: plans[given[2].label])
    text = kit.workspace.text()
    with TestClient(
        page_app(kit, door), base_url=ORIGIN, headers={"origin": ORIGIN}, follow_redirects=False
    ) as client:
        client.get("/enter", params={"key": door.key})
        form = {"tile": "waves", "wear": "x.csv", "all": "yes", "back": "/step/palette"}
        assert client.post("/edit/use-redressed", data=form).status_code == 303
        until(lambda: "1 of 2" in client.get("/step/kit").text)
        process = begun(kit.aside)
        refused = client.post("/edit/use-redressed", data=form)
        assert refused.status_code == 422
        assert "something else is being made" in refused.text
        assert client.post("/edit/stop-chore", data={"back": "/step/kit"}).status_code == 303
        until(lambda: "Stopped: dressed all 2 tiles" in client.get("/step/kit").text)
        until(lambda: has_ended(process))
    assert kit.workspace.text() == text
    assert {p.name for p in kit.workspace.artwork.iterdir()} == {"waves.png", "ripples.png"}


def test_a_tile_changed_meanwhile_is_not_overwritten(
    kit: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(chores_module, "GRACE_SECONDS", HANGS_SECONDS)
    recipe = kit.recipe()
    assert recipe is not None
    part = recipe.patterns[0]
    chores = Chores(kit, Tries(kit))
    plan = remakes.plan_recolour(kit, recipe, part, "#0f5c5c", "#336699")
    kit.edit("took it out", lambda text: text.replace("artwork/waves.png", "artwork/other.png"))
    with pytest.raises(PageError, match="changed meanwhile"):
        remakes._use(chores, "coloured waves", "recoloured", [(part, plan)])
    assert "recoloured" not in kit.workspace.text()
