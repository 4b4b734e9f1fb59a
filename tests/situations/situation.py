"""One situation as its file tells it: a log, the questions to it, and what an expert says to each."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from tests.situations.kept import Base

LOGS = Path(__file__).parent / "logs"
Range = tuple[float, float]
Line = tuple[int, str, str]
"""Days from today, the time, the command without its bin."""


@dataclass(frozen=True, slots=True)
class Amount:
    """Every amount in a step that fits ``about`` lies within ``least`` to ``most`` (kg or L, by ``unit``).

    ``wanted``: there is one at all. ``one``: all of them are the same figure.
    """

    about: str
    unit: str
    least: float = 0.0
    most: float = float("inf")
    wanted: bool = False
    one: bool = False


@dataclass(frozen=True, slots=True)
class Ask:
    """A question in the words of a command, and what an expert answers.

    ``level`` is one or several that may be given; ``apart`` are codes of findings that do not count to it. ``wants``
    and ``never`` are regular expressions over all that is said (``never`` without the whys), case ignored. ``feed_g``
    is the span of what may be fed today. ``figures`` are spans of numbers of the JSON document, a list's added up.
    ``exit`` is the status.
    """

    words: str = "round"
    level: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()
    wants: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    feed_g: Range | None = None
    amounts: tuple[Amount, ...] = ()
    figures: Mapping[str, Range] = field(default_factory=dict)
    exit: int = 0


@dataclass(frozen=True, slots=True)
class Situation:
    """A bin, what was written of it, and what is to be said."""

    name: str
    group: str
    source: str
    why: str
    base: Base
    log: tuple[Line, ...]
    asks: tuple[Ask, ...]


def _lines(text: str) -> tuple[Line, ...]:
    """ "-3 08:00 check --ph 4.2" or without a time, each on its line."""
    found = []
    for line in filter(None, map(str.strip, text.splitlines())):
        day, rest = line.split(" ", 1)
        time, _, words = rest.strip().partition(" ")
        if ":" not in time:
            time, words = "17:00", rest.strip()
        found.append((int(day), time, words))
    return tuple(found)


def _many(said: Any) -> tuple[str, ...]:
    return (said,) if isinstance(said, str) else tuple(said)


def _ask(said: Mapping[str, Any]) -> Ask:
    plain = dict(said)
    for name in ("level", "apart", "wants", "never"):
        plain[name] = _many(plain.get(name, ()))
    plain["amounts"] = tuple(Amount(**each) for each in plain.get("amounts", ()))
    if "feed_g" in plain:
        plain["feed_g"] = tuple(plain["feed_g"])
    return Ask(**plain)


def _situation(group: str, said: Mapping[str, Any]) -> Situation:
    unknown = said.get("unknown")
    base = Base(
        name=said.get("base", "kept"),
        age=said.get("age", 60),
        quiet=said.get("quiet", 4),
        unknown=tuple(unknown) if unknown else None,
        but=tuple(said.get("but", {}).items()),
    )
    known = {"name", "source", "why", "base", "age", "quiet", "unknown", "but", "log", "ask"}
    assert set(said) <= known, f"{said['name']}: no such word: {sorted(set(said) - known)}"
    asks = tuple(map(_ask, said["ask"]))
    return Situation(said["name"], group, said["source"], said.get("why", ""), base, _lines(said.get("log", "")), asks)


@cache
def every() -> tuple[Situation, ...]:
    """All situations, group by group."""
    return tuple(
        _situation(path.stem, each)
        for path in sorted(LOGS.glob("*.toml"))
        for each in tomllib.loads(path.read_text("utf-8"))["situation"]
    )
