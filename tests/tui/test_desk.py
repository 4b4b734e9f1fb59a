"""One thread does the farm's work: in order, saves first, faults come back, and the end waits for every save."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Iterator
from contextlib import aclosing

import pytest

from tests.screens.fake_farm import FakeFarm
from wormbin.farm import rounds
from wormbin.problems import Problem, RefusedError
from wormbin.tui.desk import ASK, FILL, SAVE, Desk


async def test_an_answer_comes_back_from_another_thread() -> None:
    desk = Desk(FakeFarm())
    assert await desk.ask(lambda farm: threading.current_thread().name) == "farm"
    assert [row.name for row in await desk.ask(lambda farm: list(rounds.rows(farm)))] == ["Kitchen bin"]
    desk.close()


async def test_what_is_refused_is_raised_where_it_was_asked() -> None:
    desk = Desk(FakeFarm())
    refused = RefusedError(Problem("water", "wet", "an amount"))

    def job(_: object) -> None:
        raise refused

    with pytest.raises(RefusedError) as raised:
        await desk.ask(job)
    assert raised.value is refused
    desk.close()


async def test_a_save_goes_before_a_question_and_a_question_before_a_fill() -> None:
    desk, order, gate = Desk(FakeFarm()), list[str](), threading.Event()
    held = asyncio.create_task(desk.ask(lambda _: gate.wait(10)))
    await asyncio.sleep(0)
    asked = [
        asyncio.create_task(desk.ask(lambda _, name=name: order.append(name), rank))  # type: ignore[misc]
        for name, rank in (("fill", FILL), ("ask", ASK), ("save one", SAVE), ("save two", SAVE))
    ]
    await asyncio.sleep(0)
    gate.set()
    await asyncio.gather(held, *asked)
    assert order == ["save one", "save two", "ask", "fill"]
    desk.close()


async def test_closing_finishes_every_save_and_drops_the_rest() -> None:
    desk, order, gate = Desk(FakeFarm()), list[str](), threading.Event()
    held = asyncio.create_task(desk.ask(lambda _: gate.wait(10)))
    await asyncio.sleep(0)
    asked = [
        asyncio.create_task(desk.ask(lambda _, name=name: order.append(name), rank))  # type: ignore[misc]
        for name, rank in (("look", ASK), ("save", SAVE))
    ]
    await asyncio.sleep(0)
    asked[1].cancel()
    await asyncio.sleep(0)
    gate.set()
    await asyncio.to_thread(desk.close)
    assert "save" in order
    for task in (held, *asked):
        task.cancel()


async def test_a_question_that_was_called_off_is_not_worked_on() -> None:
    desk, order, gate = Desk(FakeFarm()), list[str](), threading.Event()
    held = asyncio.create_task(desk.ask(lambda _: gate.wait(10)))
    called_off = asyncio.create_task(desk.ask(lambda _: order.append("look")))
    await asyncio.sleep(0)
    called_off.cancel()
    await asyncio.sleep(0)
    gate.set()
    await held
    await desk.ask(lambda _: order.append("next"))
    assert order == ["next"]
    desk.close()


async def test_work_beside_leaves_the_farms_thread_free_and_is_stopped_when_it_is_left() -> None:
    desk, gate, given = Desk(FakeFarm()), threading.Event(), list[int]()

    def work() -> Iterator[int]:
        yield 1
        gate.wait(10)
        given.append(2)
        yield 2
        given.append(3)

    async with aclosing(desk.beside(work())) as made:
        async for each in made:
            assert each == 1
            # The work waits, and a save is done meanwhile.
            assert await desk.ask(lambda _: "saved", SAVE) == "saved"
            break
    gate.set()
    assert [each async for each in desk.beside(iter([1, 2, 3]))] == [1, 2, 3]
    assert 3 not in given, "it goes no further than what it was at"
    desk.close()


async def test_a_fault_in_work_beside_comes_back_to_whoever_waits() -> None:
    desk = Desk(FakeFarm())

    def work() -> Iterator[int]:
        yield 1
        raise OSError("gone")

    with pytest.raises(OSError, match="gone"):
        [each async for each in desk.beside(work())]
    desk.close()
