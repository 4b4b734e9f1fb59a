"""Holds what was said against what an expert says."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tests.situations.kept import Base, visits, way_of
from tests.situations.laws import amounts, broken
from tests.situations.playing import Said, Stage, UnwrittenError, play
from tests.situations.situation import Amount, Ask, Line, Situation

RANKS = ("steady", "watch", "act")
MOISTURE = re.compile(r"--(?:squeeze|moisture|oven-wet)\b")
READ_DAYS = 5
"""How old a reading of moisture may be that a dose of water rests on: ours."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of a situation: the levels wanted and given to its first question, and all that is not so."""

    situation: Situation
    given: str
    faults: tuple[str, ...]

    @property
    def wanted(self) -> str:
        """The levels that an expert gives to the first question."""
        return "/".join(self.situation.asks[0].level) or "-"


def judge(situation: Situation, stage: Stage, name: str) -> Verdict:
    """Play one situation and hold every answer to it."""
    given, faults = "", []
    read = moisture_read(situation.base, situation.log)
    try:
        for question, said in play(situation, stage, name):
            given = given or level(said, question)
            where = question.words.split()[0]
            found = list(differences(question, said))
            if where in ("round", "away"):
                found += broken(said, moisture_read=read)
            faults += [f"{where}: {each}" for each in dict.fromkeys(found)]
    except UnwrittenError as error:
        faults.append(str(error))
    return Verdict(situation, given, tuple(faults))


def moisture_read(base: Base, lines: Sequence[Line]) -> bool:
    """Whether anybody has read the moisture in the last days."""
    visited = visits(base)
    told = bool(way_of(base).squeeze and visited) and visited[-1] <= READ_DAYS
    return told or any(day >= -READ_DAYS and MOISTURE.search(words) for day, _time, words in lines)


def level(said: Said, question: Ask) -> str:
    """The gravest level of an answer, without the findings that do not count to it."""
    row = said.bin
    if not question.apart:
        return str(row.get("level", ""))
    levels = [each["level"] for each in row.get("findings", ()) if each["code"] not in question.apart]
    return max(levels, key=RANKS.index, default="steady")


def differences(question: Ask, said: Said) -> Iterator[str]:
    """All in which an answer is not what an expert says."""
    if said.code != question.exit:
        yield f"ends with {said.code}, not {question.exit}: {' '.join(said.err.split())[:100]}"
        return
    given = level(said, question)
    if question.level and given not in question.level:
        yield f"level {given}, not {'/'.join(question.level)}"
    words, told = said.words, said.told
    yield from (f"does not say /{each}/" for each in question.wants if not re.search(each, words, re.IGNORECASE))
    for each in question.never:
        found = re.search(each, told, re.IGNORECASE)
        if found:
            yield f"says “{_round_about(told, found)}”"
    if question.feed_g:
        yield from _span("feed up to g", said.bin.get("feed_up_to_kg", 0.0) * 1000, *question.feed_g)
    for path, (least, most) in question.figures.items():
        yield from _span(path, _figure(said.bin, path), least, most)
    for amount in question.amounts:
        yield from _amounts(amount, said)


def _round_about(words: str, found: re.Match[str]) -> str:
    begins = max(words.rfind("\n", 0, found.start()) + 1, found.start() - 30)
    return words[begins : found.end() + 30].split("\n")[0].strip()


def _span(name: str, value: float, least: float, most: float) -> Iterator[str]:
    if not least - 1e-9 <= value <= most + 1e-9:
        yield f"{name} {value:.4g}, not {least:g} to {most:g}"


def _figure(row: object, path: str) -> float:
    for name in path.split("."):
        if isinstance(row, list):
            return sum(_figure(each, name) for each in row)
        row = row.get(name) if isinstance(row, dict) else None
    return float(row) if isinstance(row, int | float) else 0.0


def _amounts(amount: Amount, said: Said) -> Iterator[str]:
    steps = [step for step in said.steps if re.search(amount.about, step, re.IGNORECASE)]
    found = [(value, step) for step in steps for value in amounts(step, amount.unit)]
    if amount.wanted and not found:
        yield f"names no amount for /{amount.about}/"
    for value, step in found:
        if not amount.least - 1e-9 <= value <= amount.most + 1e-9:
            yield f"“{step}” is not {amount.least:g} to {amount.most:g} {amount.unit}"
    if amount.one and len({round(value, 3) for value, _step in found}) > 1:
        yield f"two figures for one thing: {' | '.join(dict.fromkeys(step for _value, step in found))}"
