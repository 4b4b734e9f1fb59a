"""Nothing that a bin's page says to do is cut in a terminal of 80 by 24: every row that is kept is laid out there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from textual.app import App, ComposeResult

from tests.golden.answers import LOGS, kept
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.figures import Level
from wormbin.tui.widgets.do_now import DoNow, NowPlace


@dataclass(frozen=True)
class Told:
    """A kept row of a round, as the page is told of it."""

    level: Level
    headline: str
    do: tuple[str, ...]
    also: tuple[str, ...]
    mind: str
    findings: tuple[Finding, ...]


def finding(said: dict[str, Any]) -> Finding:
    steps = tuple(Action(Doing.FLUFF, step) for step in said["do"])
    return Finding(said["code"], Level(said["level"]), said["what"], said["why"], steps, said["sure"])


def rows(value: Any) -> Iterator[Told]:
    """Every row of a round in a document."""
    if isinstance(value, list):
        for each in value:
            yield from rows(each)
    elif isinstance(value, dict):
        if {"headline", "do", "findings", "level"} <= value.keys() and value["findings"]:
            yield Told(
                Level(value["level"]), value["headline"], tuple(value["do"]), tuple(value.get("also", ())),
                value.get("caution") or "", tuple(map(finding, value["findings"])),
            )  # fmt: skip
        for each in value.values():
            yield from rows(each)


class Page(App[None]):
    """A bin's page alone, in the lines that it has under its head and tabs and over the foot."""

    CSS = "NowPlace { height: 20; }"

    def compose(self) -> ComposeResult:
        yield NowPlace(id="now")


async def test_every_headline_and_step_is_seen_whole() -> None:
    told = [row for name in (*LOGS, "situations") for row in rows(kept(name))]
    assert len(told) > 30
    app = Page()
    async with app.run_test(size=(80, 24)) as pilot:
        place, panel = app.query_one(NowPlace), app.query_one(DoNow)
        for each in told:
            panel.show(each, each.do)
            place.on_resize()
            await pilot.pause()
            seen = " ".join(str(panel.render()).split())
            for words in (each.headline, *each.do, *each.also):
                assert " ".join(words.split()) in seen, (words, seen)
