"""Log files brought in on the screen: it says how far it is, can be stopped without harm, and begun again."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from threading import Event

import pytest

from tests.screens.driving import at, comes, opened, types, until
from wormbin.farm import log_files
from wormbin.farm.samples import copy_sample
from wormbin.farm.session import Session
from wormbin.farm.views.bin import Recorded
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.start import WelcomeScreen

NOW = datetime(2026, 10, 30, 20, 0, tzinfo=UTC)


async def test_an_import_says_how_far_it_is_and_stopped_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy_sample("apartment", tmp_path / "other")
    logs = tmp_path / "logs"
    log_files.write_out(Session(tmp_path / "other", clock=lambda: NOW), logs)
    farm = Session(tmp_path / "store", clock=lambda: NOW)
    at_fifty, go_on = Event(), Event()
    whole = log_files.bring_in

    def held_up(
        farm: Session, folder: Path, *, only_try: bool = False, heard: Callable[[int], None] | None = None
    ) -> Recorded:
        def waiting(lines: int) -> None:
            assert heard is not None
            heard(lines)
            if lines == 50:
                at_fifty.set()
                assert go_on.wait(60)

        return whole(farm, folder, only_try=only_try, heard=waiting)

    monkeypatch.setattr(log_files, "bring_in", held_up)
    async with opened(farm) as pilot:
        screen = await at(pilot, WelcomeScreen)
        await pilot.press("i")
        await types(pilot, str(logs))
        await pilot.press("enter")
        await until(pilot, at_fifty.is_set, "the fiftieth line")
        await comes(pilot, "50 lines read and checked")
        await pilot.press("escape")
        go_on.set()
        await comes(pilot, "Stopped; nothing was saved.")
        assert pilot.app.screen_stack[-2] is screen
        assert Session(farm.folder).bins() == ()
        await pilot.press("enter")
        await at(pilot, BinScreen)
    assert [one.key for one in Session(farm.folder).bins()] == [one.key for one in Session(tmp_path / "other").bins()]
