"""A drop's tiles join the kit in the drop's own order, whichever is measured first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from threading import Condition, Event, Thread, current_thread

import pytest

from kitloom.page.state import turns as module
from kitloom.page.state.turns import Turns

from .waiting import HANGS_SECONDS


class File(Thread):
    """A file of a drop on its way, which tells when it waits for its turn or has had it."""

    def __init__(self, come: Callable[[], None]) -> None:
        super().__init__(daemon=True)
        self.there, self.waited = Event(), False
        self._come = come
        self.start()
        assert self.there.wait(HANGS_SECONDS)

    def run(self) -> None:
        self._come()
        self.there.set()

    def arrive(self) -> None:
        self.join(HANGS_SECONDS)
        assert not self.is_alive()


class Told(Condition):
    """A condition of which is known who waits for it."""

    def wait(self, timeout: float | None = None) -> bool:
        file = current_thread()
        assert isinstance(file, File)
        file.waited = True
        file.there.set()  # whoever changes something now needs the lock, which waiting gives back
        return super().wait(timeout)


@pytest.fixture
def turns(monkeypatch: pytest.MonkeyPatch) -> Turns:
    monkeypatch.setattr(module, "Condition", Told)
    monkeypatch.setattr(module, "LONGEST_SECONDS", 2 * HANGS_SECONDS)
    return Turns()


def joined(turns: Turns, drop: str, order: Sequence[int], refused: Sequence[int] = ()) -> list[int]:
    """Let the files of a drop come in this order, and return the order in which they join."""
    joining: list[int] = []

    def come(number: int) -> None:
        if number not in refused:
            turns.wait_for(drop, number)
            joining.append(number)
        turns.end(drop, number)

    for file in [File(partial(come, number)) for number in order]:
        file.arrive()
    return joining


@pytest.mark.parametrize("order", [(0, 1, 2, 3), (3, 2, 1, 0), (2, 0, 3, 1)])
def test_they_join_in_the_order_of_the_drop(turns: Turns, order: tuple[int, ...]) -> None:
    assert joined(turns, "a", order) == [0, 1, 2, 3]


def test_a_refused_one_holds_nobody_up(turns: Turns) -> None:
    assert joined(turns, "a", (3, 2, 1, 0), refused=(0, 2)) == [1, 3]


def test_drops_do_not_wait_for_each_other(turns: Turns) -> None:
    waiting = File(partial(turns.wait_for, "a", 1))
    assert joined(turns, "b", (1, 0)) == [0, 1]
    assert waiting.is_alive()
    turns.end("a", 0)
    waiting.arrive()


def test_a_file_alone_need_not_wait(turns: Turns) -> None:
    for number in (0, 5):
        file = File(partial(turns.wait_for, "", number))
        file.arrive()
        assert not file.waited


def test_one_that_never_comes_stops_those_behind_it_only_for_a_while(
    turns: Turns, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "LONGEST_SECONDS", 0.01)
    file = File(partial(turns.wait_for, "a", 1))
    file.arrive()
    assert file.waited


def test_only_so_many_drops_are_remembered() -> None:
    turns = Turns()
    for i in range(100):
        turns.end(f"drop {i}", 0)
    assert len(turns._had) == module._KEPT
    assert "drop 99" in turns._had
