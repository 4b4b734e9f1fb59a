"""The full-screen program from its start to its end: the front page first, the farm once that is painted."""

from __future__ import annotations

import sys
from datetime import datetime
from typing import TYPE_CHECKING

from wormbin.farm.cache.rows import read_front
from wormbin.tui.app import DEMO, Wormbin
from wormbin.tui.terminal import forgive_writing, speaks_only_ascii

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from wormbin.farm.session import Clock, Session

TURN_SECONDS = 0.001
"""How long the farm's thread may go on with its sums while a key waits to be heard; by itself Python lets it five times
as long, several times a key."""


def open_program(folder: Path, *, on: date | None = None, clock: Clock | None = None, demo: str = "") -> int:
    """Open the full-screen program on a store; the exit status."""
    now = clock() if clock is not None else datetime.now().astimezone()
    front = read_front(folder, now) if on is None else None

    def farm() -> Session:
        from wormbin.farm.session import Session, local_clock

        return Session(folder, clock=clock or local_clock)

    plain = speaks_only_ascii()
    forgive_writing()
    sys.setswitchinterval(TURN_SECONDS)
    app = Wormbin(farm, on=on, ascii=plain, demo=demo, front=front)
    if app.run() == DEMO:
        from wormbin.farm.samples import sample_farm

        with sample_farm(DEMO) as sample:
            app = Wormbin(sample.session(), ascii=plain, demo=DEMO)
            app.run()
    return app.return_code or 0
