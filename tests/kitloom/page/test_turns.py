"""A drop's tiles join the kit in the drop's own order, whichever is measured first."""

from __future__ import annotations

import time
from collections.abc import Sequence
from threading import Thread

import pytest

from kitloom.page import turns as module
from kitloom.page.turns import Turns


def joined(turns: Turns, drop: str, order: Sequence[int], refused: Sequence[int] = ()) -> list[int]:
    """Let the files of a drop come in this order, and return the order in which they join."""
    joining: list[int] = []

    def come(number: int) -> None:
        if number not in refused:
            turns.wait_for(drop, number)
            joining.append(number)
        turns.end(drop, number)

    threads = []
    for number in order:
        threads.append(Thread(target=come, args=(number,), daemon=True))
        threads[-1].start()
        time.sleep(0.01)  # so that it is there before the next one
    for thread in threads:
        thread.join(10)
        assert not thread.is_alive()
    return joining


@pytest.mark.parametrize("order", [(0, 1, 2, 3), (3, 2, 1, 0), (2, 0, 3, 1)])
def test_they_join_in_the_order_of_the_drop(order: tuple[int, ...]) -> None:
    assert joined(Turns(), "a", order) == [0, 1, 2, 3]


def test_a_refused_one_holds_nobody_up() -> None:
    assert joined(Turns(), "a", (3, 2, 1, 0), refused=(0, 2)) == [1, 3]


def test_drops_do_not_wait_for_each_other() -> None:
    turns = Turns()
    waiting = Thread(target=turns.wait_for, args=("a", 1), daemon=True)
    waiting.start()
    assert joined(turns, "b", (1, 0)) == [0, 1]
    assert waiting.is_alive()
    turns.end("a", 0)
    waiting.join(10)
    assert not waiting.is_alive()


def test_a_file_alone_need_not_wait() -> None:
    start = time.monotonic()
    Turns().wait_for("", 0)
    Turns().wait_for("", 5)
    assert time.monotonic() - start < 1.0


def test_one_that_never_comes_stops_those_behind_it_only_for_a_while(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(module, "LONGEST_SECONDS", 0.2)
    start = time.monotonic()
    assert joined(Turns(), "a", (1,)) == [1]
    assert time.monotonic() - start > 0.15


def test_only_so_many_drops_are_remembered() -> None:
    turns = Turns()
    for i in range(100):
        turns.end(f"drop {i}", 0)
    assert len(turns._had) == module._KEPT
    assert "drop 99" in turns._had
