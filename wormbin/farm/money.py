"""Money of a farm, simply: by month, year, lot and bin; and all of it written out for a spreadsheet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from wormbin.castings.lot import lots
from wormbin.castings.money import NONE, Account, Entered, Made, account
from wormbin.farm.session import Session
from wormbin.farm.views.bin import Recorded
from wormbin.measures import counted, written_exactly
from wormbin.problems import Problem, RefusedError

COLUMNS = ("date", "what", "name", "bin", "kg", "hours", "who", "taken", "spent", "currency")
EXAMPLE = "money.csv"


def costs(session: Session, on: date | None = None) -> AccountView:
    """What was taken and spent up to a day, by month and year, and for each lot and bin."""
    found = _account(session, on)
    names = {one.key: one.name for one in session.bins()}
    return AccountView(
        currency=session.settings().currency,
        taken=found.taken,
        spent=found.spent,
        months=_spans(found, lambda on: f"{on:%Y-%m}"),
        years=_spans(found, lambda on: f"{on:%Y}"),
        lots=found.lots,
        bins=tuple((names.get(key, key), *amounts) for key, amounts in found.bins.items()),
        rest=tuple(found.rest.items()),
        entered=found.entered,
        own_hours=sum((each.own for each in found.entered), NONE),
    )


def _account(session: Session, on: date | None) -> Account:
    until = on or session.asked_on
    book = [line for line in session.store.lot_lines() if until is None or line.when.date() <= until]
    logs = {
        one.key: [each for each in log if until is None or each.when.date() <= until]
        for one, log in session.cache.counted
    }
    return account(book, lots(book), session.cache.larder(on), logs, session.settings().hour_rate)


def _spans(found: Account, name: Callable[[date], str]) -> tuple[Span, ...]:
    by: defaultdict[str, list[Entered]] = defaultdict(list)
    for each in found.entered:
        by[name(each.on)].append(each)
    return tuple(
        Span(
            span,
            sum((each.amount for each in there if each.amount > 0), NONE),
            -sum((each.amount for each in there if each.amount < 0), NONE),
            sum(each.kg or 0.0 for each in there if each.what == "sale"),
        )
        for span, there in sorted(by.items())
    )


def export(session: Session, name: str, on: date | None = None, *, over: bool = False) -> Recorded:
    """Write every amount as a row of a CSV file. Raises OSError, and RefusedError for a file that is something else."""
    from wormbin.exchange.tables import table_of
    from wormbin.store import hand_out, in_the_way, named

    path = named(name, "file", EXAMPLE)
    if not over and (blocked := in_the_way(path, ",".join(COLUMNS).encode(), "list of amounts")):
        whole = f"{blocked}. Choose another name, or add --yes to write over it."
        raise RefusedError(Problem("file", name, "a name that is not taken", EXAMPLE, whole=whole))
    view = costs(session, on)
    rows = [
        {
            "date": each.on.isoformat(),
            "what": each.what,
            "name": each.name,
            "bin": each.bin,
            "kg": "" if each.kg is None else written_exactly(each.kg),
            "hours": "" if each.hours is None else written_exactly(each.hours),
            "who": each.who,
            "taken": f"{each.amount:.2f}" if each.amount > 0 else "",
            "spent": f"{-each.amount:.2f}" if each.amount < 0 else "",
            "currency": view.currency,
        }
        for each in view.entered
    ]
    plain = ("date", "what", "bin", "kg", "hours", "taken", "spent")
    text, number = table_of(COLUMNS, rows, plain)
    hand_out({path: text})
    return Recorded((), f"{counted(number, 'amount')} written to {path}", ())


@dataclass(frozen=True, slots=True)
class Span:
    """A month or a year: taken, spent, wet kg of castings sold."""

    name: str
    taken: Decimal
    spent: Decimal
    sold_kg: float


@dataclass(frozen=True, slots=True)
class AccountView:
    """All money. ``bins`` are name, taken, spent; ``rest`` is what was spent and is in no lot yet, by where it is."""

    currency: str
    taken: Decimal
    spent: Decimal
    months: tuple[Span, ...]
    years: tuple[Span, ...]
    lots: tuple[Made, ...]
    bins: tuple[tuple[str, Decimal, Decimal], ...]
    rest: tuple[tuple[str, Decimal], ...]
    entered: tuple[Entered, ...]
    own_hours: Decimal
    """How much of what is spent is own hours."""
