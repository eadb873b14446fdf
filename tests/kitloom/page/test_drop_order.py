"""A drop's tiles join the kit in the drop's own order, whichever is measured first."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from kitloom.page.server.drop_order import MOST_DROPS, DropOrder
from kitloom.page.state import Bench

from .conftest import tile_file
from .waiting import HANGS_SECONDS


def run(work: Coroutine[Any, Any, Any]) -> Any:
    """Run it on a loop of its own; this thread may have a browser's loop already."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, asyncio.wait_for(work, HANGS_SECONDS)).result()


async def settled() -> None:
    """Let every task go on until it waits."""
    for _ in range(20):
        await asyncio.sleep(0)


async def joined(
    order: DropOrder, drop: str, arriving: Sequence[int], refused: Sequence[int] = ()
) -> list[int]:
    """Let the files of a drop come in this order, and return the order in which they join."""
    joining: list[int] = []

    async def come(number: int) -> None:
        if number not in refused:
            await order.wait_for_those_before(drop, number)
            joining.append(number)
        order.passed(drop, number)

    tasks = []
    for number in arriving:
        tasks.append(asyncio.create_task(come(number)))
        await settled()
    await asyncio.gather(*tasks)
    return joining


def never() -> DropOrder:
    """An order in which nobody gives up waiting."""
    return DropOrder(2 * HANGS_SECONDS)


@pytest.mark.parametrize("arriving", [(0, 1, 2, 3), (3, 2, 1, 0), (2, 0, 3, 1)])
def test_they_join_in_the_order_of_the_drop(arriving: tuple[int, ...]) -> None:
    assert run(joined(never(), "a", arriving)) == [0, 1, 2, 3]


def test_a_refused_one_holds_nobody_up() -> None:
    assert run(joined(never(), "a", (3, 2, 1, 0), refused=(0, 2))) == [1, 3]


def test_drops_do_not_wait_for_each_other() -> None:
    async def check() -> None:
        order = never()
        waiting = asyncio.create_task(order.wait_for_those_before("a", 1))
        assert await joined(order, "b", (1, 0)) == [0, 1]
        assert not waiting.done()
        order.passed("a", 0)
        await waiting

    run(check())


def test_a_file_alone_need_not_wait() -> None:
    async def check() -> None:
        for number in (0, 5):
            task = asyncio.create_task(never().wait_for_those_before("", number))
            await settled()
            assert task.done()

    run(check())


def test_one_that_never_comes_stops_those_behind_it_only_for_a_while() -> None:
    run(DropOrder(0.01).wait_for_those_before("a", 1))


def test_only_the_latest_drops_are_remembered() -> None:
    async def check() -> None:
        order = DropOrder(0.01)
        for i in range(MOST_DROPS + 1):
            order.passed(f"drop {i}", 0)
        late = asyncio.create_task(order.wait_for_those_before(f"drop {MOST_DROPS}", 1))
        await settled()
        assert late.done()
        forgotten = asyncio.create_task(order.wait_for_those_before("drop 0", 1))
        await settled()
        assert not forgotten.done()
        await forgotten

    run(check())


def test_the_page_keeps_the_drops_order_whichever_file_comes_first(
    client: TestClient, bench: Bench, tmp_path: Path
) -> None:
    def send(turn: int) -> int:
        content = tile_file(tmp_path / f"{turn}.png", turn).read_bytes()
        fields = {"drop": "one", "turn": str(turn)}
        files = {"files": (f"tile {turn}.png", content)}
        return client.post("/upload", data=fields, files=files).status_code

    with ThreadPoolExecutor(3) as pool:
        assert list(pool.map(send, (2, 1, 0))) == [303, 303, 303]
    recipe = bench.recipe()
    assert recipe is not None
    assert [part.label for part in recipe.patterns] == ["tile 0", "tile 1", "tile 2"]
