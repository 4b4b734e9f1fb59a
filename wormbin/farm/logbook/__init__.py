"""A bin's log: its lines in words, a line as it would be typed again, and the ledger that lines are written with."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from wormbin.measures import tidy
from wormbin.problems import Problem, RefusedError

if TYPE_CHECKING:
    from wormbin.farm.logbook.ledger import Ledger
    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import LogLine
    from wormbin.farm.words.typed import TypedLine
    from wormbin.records.entries import Entry


def lines(
    session: Session, bin: str, *, kind: str = "", word: str = "", until: date | None = None, struck: bool = True
) -> Sequence[LogLine]:
    """The log, newest last; words are made as lines are asked for, so years cost nothing."""
    from wormbin.farm.words.log import LogView, fits, replaced_by
    from wormbin.records.entries import Kind
    from wormbin.records.kinds.log import BY_NAME

    one, name = session.bin(bin), _namer(session)
    said = tidy(kind).casefold()
    meant = BY_NAME.get(said)
    if said and meant is None:
        raise RefusedError(Problem("kind", kind, "one of " + ", ".join(Kind), "check"))
    every = session.store.entries(one.key)
    replaced = replaced_by(every)
    entries: Sequence[Entry] = every
    until = until or session.asked_on
    if until is not None:
        entries = [entry for entry in entries if entry.when.date() <= until]
    if not struck:
        entries = [entry for entry in entries if entry.struck is None and entry.id not in replaced]
    if meant or word:
        entries = [entry for entry in entries if fits(entry, meant or "", word, name)]
    return LogView(entries, replaced, session.units, name)


def line(session: Session, entry: str) -> LogLine:
    """One line of the log by its id, or by the first letters of it."""
    from wormbin.farm.words.log import LogView, replaced_by

    found = session.store.find(entry)
    return LogView([found], replaced_by(session.store.entries(found.bin)), session.units, _namer(session))[0]


def _namer(session: Session) -> Callable[[str], str]:
    """Gives a material's name. It asks the store for nothing, as lines are made on whatever thread draws them."""
    table, known = session.table, dict[str, str]()

    def name(key: str) -> str:
        if key not in known:
            known[key] = table.get(key).name.lower() if key in table else key
        return known[key]

    return name


def typed_line(session: Session, entry: str) -> TypedLine:
    """A line of either book as it would be typed again."""
    from wormbin.farm.words import typed

    return typed.typed_line(session.store.find_line(entry), ledger_of(session).spoken, session.units)


def ledger_of(session: Session) -> Ledger:
    """The log, to be written in."""
    from wormbin.farm.logbook.ledger import Ledger

    farm, table, now = session.farm(), session.table, session.clock()
    return Ledger(session.store, farm, table, now, session.units, session.random, session.cache.tested)
