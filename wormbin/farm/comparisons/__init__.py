"""Bins held against each other: the line that began it, the differences of their readings and of their estimates.

What the readings say alone (``science/paired``) and what the model makes of both logs stand apart, and the answer rests
on one quantity, chosen when the comparison begins: who looks at seven finds one that differs by chance.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from wormbin.measures import parse_date
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Comparison, Entry
from wormbin.records.habits import fed_kg
from wormbin.records.kinds.log import Measured

if TYPE_CHECKING:
    from wormbin.farm.bins.scene import Scene
    from wormbin.farm.session import Session
    from wormbin.farm.views.comparison import ComparisonView, Side

USUAL_DAYS = 120
SIDE_BY_SIDE = "how do they differ?"


def lines(session: Session) -> tuple[Entry, ...]:
    """The lines that stand and begin a comparison, the latest last."""
    found = [e for _, log in session.cache.counted for e in log if isinstance(e.what, Comparison)]
    return tuple(sorted(found, key=lambda each: (each.when, each.id)))


def until(begun: Sequence[Entry], key: str, on: date) -> date | None:
    """The last day of the comparison that a bin is in on a day, of the lines that began one; None while in none."""
    found = [
        each.what.until
        for each in begun
        if isinstance(each.what, Comparison)
        and key in (each.bin, *each.what.others)
        and each.when.date() <= on <= each.what.until
    ]
    return max(found, default=None)


def compare(
    session: Session, bins: Sequence[str] = (), about: str = "", first: str = "", last: str = "", on: date | None = None
) -> ComparisonView:
    """The comparison that these bins are in, else these bins side by side; without any the latest one of the farm.

    ``about``, ``first`` and ``last`` stand in for what its line says. RefusedError where there is nothing to compare.
    """
    today = on or session.moment(None).date()
    keys = [session.bin(words).key for words in bins]
    found = [e for e in lines(session) if e.when.date() <= today and set(keys) <= {e.bin, *_others(e)}]
    line = found[-1] if found else None
    if line is not None:
        keys = [line.bin, *_others(line)]
    if len(set(keys)) < 2 and len(session.bins()) == 2:
        keys = [one.key for one in session.bins()]
    if len(set(keys)) < 2:
        held = "" if not keys else f"{keys[0]} is in none; "
        whole = f"There is no comparison yet: {held}name two bins (compare paper leaves), or begin one (comparison)."
        raise RefusedError(Problem("compare", " ".join(bins), "two bins", "paper leaves", whole=whole))
    ones = [session.bin(key) for key in dict.fromkeys(keys)]
    what = _what(line)
    begins = parse_date(first, today, "--from") if first else line.when.date() if line else None
    begins = max(*(one.started for one in ones), begins or today - timedelta(days=USUAL_DAYS - 1))
    ends = parse_date(last, today, "--until", toward="future") if last else what.until if what else today
    if ends <= begins and not (first or last):
        whole = f"They stand side by side from {begins.isoformat()} on: come back the day after."
        raise RefusedError(Problem("compare", "", "a day later", whole=whole))
    if ends <= begins:
        allowed = f"a day after {begins.isoformat()}, when it begins"
        raise RefusedError(Problem("--until", ends.isoformat(), allowed, today.isoformat()))
    until = min(today, ends)
    day = None if until == session.clock().date() else until
    scenes = [session.scene(one.key, day).back_to(begins) for one in ones]
    chosen = _about(about) or (what.about if what else Measured.WORKED)
    return _view(scenes, line, chosen, begins, ends)


def _what(line: Entry | None) -> Comparison | None:
    return line.what if line is not None and isinstance(line.what, Comparison) else None


def _others(line: Entry) -> tuple[str, ...]:
    return what.others if (what := _what(line)) else ()


def _about(words: str) -> Measured | None:
    from wormbin.farm.words.spoken import choice

    return choice(Measured, words, "about") if words.strip() else None


def _view(scenes: Sequence[Scene], line: Entry | None, chosen: Measured, begins: date, ends: date) -> ComparisonView:
    from wormbin.farm.comparisons.alike import equal, pairs_words, unequal
    from wormbin.farm.comparisons.sums import difference
    from wormbin.farm.comparisons.told import agree_words, harvest_words
    from wormbin.farm.views.comparison import ComparisonView

    on, units, what = scenes[0].on, scenes[0].settings.units.value, _what(line)
    order = (chosen, *(each for each in Measured if each is not chosen))
    differences = [
        difference(about, scenes[0], other, begins, ends, main=about is chosen, line=line.id if line else "")
        for about in order
        for other in scenes[1:]
    ]
    main = differences[0]
    return ComparisonView(
        entry=line.id if line else "",
        question=what.question if what is not None else SIDE_BY_SIDE,
        same=what.same if what is not None else (),
        first=begins,
        last=min(ends, *(scene.bin.ended or ends for scene in scenes)),
        on=on,
        sides=tuple(_side(scene, begins) for scene in scenes),
        differences=tuple(differences),
        answer=main.words,
        made_answer=main.made_words,
        agree=agree_words(main),
        unequal=tuple(words for other in scenes[1:] for words in unequal(scenes[0], other, begins)),
        equal=() if what is not None else equal(scenes),
        pairs=pairs_words(len(scenes)),
        harvests=harvest_words([(scene.bin.name, scene.harvest) for scene in scenes], on),
        units=units,
    )


def _side(scene: Scene, begins: date) -> Side:
    from wormbin.farm.bins.page import material_name
    from wormbin.farm.views.comparison import Side

    one, read = scene.bin, [each for each in scene.past.judged if each.when.date() >= begins]
    keeps = ", ".join(map(material_name(scene), (*one.beddings, *one.feeds)))
    return Side(one.key, one.name, keeps, fed_kg(scene.entries, begins, scene.on), len(read))
