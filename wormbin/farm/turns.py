"""Whose turn it is: today's pupils, the rota of a month, who is away, who swaps, the holidays of a calendar file."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from types import MappingProxyType
from typing import TYPE_CHECKING

from wormbin.farm.settings import change_setting, keepers
from wormbin.farm.views.bin import Recorded
from wormbin.measures import counted, parse_date, shown, tidy
from wormbin.problems import Problem, RefusedError

if TYPE_CHECKING:
    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import BinView
    from wormbin.farm.views.round import RoundRow
    from wormbin.schedule.turns import Duty


JOB_OF = {"feeding": "feed", "check": "check", "watering": "water", "weighing": "measure"}
"""The job that a kind of line is the work of."""
MOST_HOLIDAYS = 200
NOBODY_SAID: Mapping[str, bool] = MappingProxyType({})
NEVER_SAID: Mapping[str, Collection[date]] = MappingProxyType({})


def duties(session: Session, first: date, last: date) -> tuple[Duty, ...]:
    """Every duty from ``first`` to ``last``; none where nobody takes turns."""
    from wormbin.schedule.turns import rota

    farm = session.farm()
    return rota(farm.settings, farm.keepers, first, last) if farm.settings.turns.days else ()


def taken(session: Session) -> bool:
    """Whether turns are taken at all."""
    return bool(session.farm().settings.turns.days)


def today_words(session: Session, on: date | None = None, fed: Mapping[str, bool] = NOBODY_SAID) -> str:
    """ "feed Ana & Ben · check Cleo": who does what today; empty without a rota or on a day off.

    ``fed`` tells by a bin's name whether it is fed today: where none is, "Ana & Ben look, do not feed".
    """
    day = session.moment(on).date()
    return " · ".join(duty_words(duty, fed) for duty in duties(session, day, day))


def duty_words(duty: Duty, fed: Mapping[str, bool] = NOBODY_SAID) -> str:
    """ "feed Ana & Ben": a job with whose it is, and of the feeding which of the bins are fed."""
    who, given = " & ".join(duty.names), [name for name, is_fed in fed.items() if is_fed]
    if duty.job != "feed" or not fed:
        return f"{duty.job} {who}"
    if not given:
        return f"{who} looks, does not feed" if len(duty.names) == 1 else f"{who} look, do not feed"
    if len(given) < len(fed):
        return f"feed {who} (only {', '.join(given)})"
    return f"feed {who}" if len(fed) == 1 else f"feed {who} ({'both' if len(fed) == 2 else f'all {len(fed)}'} bins)"


def is_fed(view: RoundRow | BinView, on: date) -> bool:
    """Whether a bin was fed on the day that its view is of, or is to be."""
    return view.fed_today or (view.next_feeding == on and view.feed_up_to_kg > 0)


def fed_today(rows: Iterable[RoundRow], on: date) -> dict[str, bool]:
    """The same of all bins of a round, by their names."""
    return {row.name: is_fed(row, on) for row in rows}


def by_day(
    session: Session, first: date, days: int, fed: Mapping[str, Collection[date]] = NEVER_SAID
) -> Mapping[date, str]:
    """The same for each of so many days from ``first`` on which somebody has a turn; ``fed``: each bin's feedings."""
    found: dict[date, list[str]] = {}
    for duty in duties(session, first, first + timedelta(days=days)):
        given = {name: duty.on in fed_on for name, fed_on in fed.items()}
        found.setdefault(duty.on, []).append(duty_words(duty, given))
    return {day: "; ".join(words) for day, words in found.items()}


def offered(session: Session, bin: str, kind: str) -> tuple[str, ...]:
    """Who has the turn today for a line of this kind and has not written one yet, in the order of the rota."""
    from wormbin.records.entries import standing  # no start waits for it

    day = session.moment(None).date()
    written = {
        each.by for each in standing(session.entries(bin)) if each.when.date() == day and each.kind.value == kind
    }
    mine = [duty for duty in duties(session, day, day) if duty.job == JOB_OF.get(kind, "check")]
    return tuple(name for duty in mine for name in duty.names if name not in written)


def present(session: Session) -> tuple[str, ...]:
    """Everybody on the list who is not away today."""
    from wormbin.schedule.turns import here

    farm = session.farm()
    return here(farm.settings.turns, farm.keepers, session.moment(None).date())


def signer(session: Session, said: str, *, ask: bool = False) -> str:
    """The name that was meant by first letters; one that is on no list is taken as it is.

    With ``ask`` such a name is asked about first (``DoubtedError``), and so is nobody where turns are taken.
    """
    from wormbin.farm.errors import DoubtedError, Question
    from wormbin.farm.words.names import meant, name_doubt

    farm = session.farm()
    if not tidy(said):
        if ask and farm.settings.turns.days:
            raise DoubtedError((Question("who", "", "Who is it? The first letters of a name are enough."),))
        return ""
    if name := meant(said, farm.keepers):
        return name
    if ask:
        words = name_doubt(said) or f"“{shown(said)}” is on no list of who writes. Keep it?"
        raise DoubtedError((Question("who", said, words),))
    return tidy(said)


def near_name(session: Session, by: str) -> str:
    """What to ask about a name that is on no list: an instrument, or close to one of two or more; "" for nothing."""
    from difflib import get_close_matches

    from wormbin.farm.words.names import INSTRUMENTS, name_doubt

    listed, word = {each.casefold(): each for each in keepers(session)}, tidy(by).casefold()
    if word in INSTRUMENTS - listed.keys():
        return name_doubt(by)
    near = get_close_matches(word, listed, 1) if len(listed) > 1 and word and word not in listed else ()
    return f"“{shown(by)}” is on no list of who writes; {listed[near[0]]} is. Keep “{shown(by)}”?" if near else ""


def set_away(session: Session, words: str) -> Recorded:
    """A pupil away: "Ana: today", "Ana: 2026-10-05 to 2026-10-07", "Ana: none"; whoever is next steps in."""
    if not taken(session):
        whole = 'Nothing was kept: nobody takes turns yet. First: wormbin settings school-days "monday to friday"'
        raise RefusedError(Problem("pupil-away", shown(words), "turns to be away from", whole=whole))
    name, colon, days = words.partition(":")
    return _named(session, "pupil-away", f"{_pupil(session, name)}:{days}" if colon else words)


def swap(session: Session, words: str) -> Recorded:
    """Somebody who stands in on a day: "2026-10-05: Ana instead of Ben", Ben having a turn then."""
    from wormbin.farm.words.turns import INSTEAD

    day, colon, names = words.partition(":")
    name, joined, other = names.replace(" for ", INSTEAD).partition(INSTEAD)
    if not (colon and joined):
        return _named(session, "swap", words)
    on = parse_date(day, session.clock().date(), "swap", toward="future")
    name, other = _pupil(session, name), _pupil(session, other)
    busy = [each for duty in duties(session, on, on) for each in duty.names]
    if other not in busy:
        allowed = f"somebody with a turn on {on.isoformat()}: " + (", ".join(busy) or "nobody has one")
        example = f"{on.isoformat()}: {name} instead of {busy[0]}" if busy and name not in busy else ""
        raise RefusedError(Problem("swap", other, allowed, example))
    return _named(session, "swap", f"{on.isoformat()}: {name}{INSTEAD}{other}")


def _named(session: Session, name: str, words: str) -> Recorded:
    recorded = change_setting(session, name, words)
    today = today_words(session)
    return replace(recorded, sentence=f"{recorded.sentence}. Today: {today}" if today else recorded.sentence)


def _pupil(session: Session, said: str) -> str:
    from wormbin.farm.words.names import meant

    listed = keepers(session)
    name = meant(said, listed, "pupil")
    if not name:
        allowed = "one of " + ", ".join(listed) if listed else "a name on the list: wormbin keepers --add"
        raise RefusedError(Problem("pupil", shown(said), allowed))
    return name


def take_holidays(session: Session, file: str, *, only_try: bool = False) -> Recorded:
    """Add the all-day events of a calendar file to the days off; those that are known already are passed over."""
    from wormbin.exchange.calendar import days_off_in
    from wormbin.farm.words.turns import span_words

    known = {(each.first, each.last) for each in session.farm().settings.away}
    new = tuple(each for each in days_off_in(file) if (each.first, each.last) not in known)
    if len(new) > MOST_HOLIDAYS:
        raise RefusedError(Problem("holidays", counted(len(new), "day off", "days off"), f"up to {MOST_HOLIDAYS}"))
    if not only_try and new:
        session.store.change_farm(
            lambda farm: replace(
                farm,
                settings=replace(
                    farm.settings, away=tuple(sorted((*farm.settings.away, *new), key=lambda each: each.first))
                ),
            )
        )
    listed = "; ".join(f"{span_words(each.first, each.last)}{f' {each.why}' if each.why else ''}" for each in new)
    would = " would be added" if only_try else " added"
    return Recorded((), f"{counted(len(new), 'holiday')}{would}{f': {listed}' if listed else ''}")


def month(session: Session, words: str = "") -> RotaView:
    """The rota of a month ("2026-10"; the present one without words), from today on."""
    first = _month(words, session.moment(None).date())
    return _from(session, first, (first.replace(day=28) + timedelta(days=4)).replace(day=1) - timedelta(days=1))


def _from(session: Session, first: date, last: date) -> RotaView:
    from wormbin.schedule.days import is_away
    from wormbin.schedule.turns import half_day

    farm, today = session.farm(), session.moment(None).date()
    turns, names = farm.settings.turns, farm.keepers
    begins = max(first, today)
    found = duties(session, begins, last)
    days: list[RotaDay] = []
    for day in (begins + timedelta(days=number) for number in range((last - begins).days + 1)):
        off = is_away(farm.settings.away, day)
        mine = {duty.job: duty.names for duty in found if duty.on == day}
        gone = tuple(each.name for each in turns.away if each.first <= day <= each.last and each.name in names)
        if mine or off is not None:
            why = "" if off is None else off.why or "nobody is here"
            days.append(RotaDay(day, mine, why, half_day(turns, day) and not why, () if why else gone))
    jobs, bins = tuple(job.name for job in turns.jobs), tuple(one.name for one in farm.bins if one.ended is None)
    term = (turns.first, turns.last) if turns.days and names else (None, None)
    return RotaView(first, last, today, jobs, tuple(days), *term, bins)


def _month(words: str, today: date) -> date:
    """The first day of a month: "2026-12", or "december" for the next one of that name; this one without words."""
    said = tidy(words).casefold() or f"{today:%Y-%m}"
    for ahead in range(12):
        day = (today.replace(day=1) + timedelta(days=31 * ahead)).replace(day=1)
        if len(said) > 2 and f"{day:%B}".casefold().startswith(said):
            return day
    try:
        return parse_date(f"{said}-01", today, "month")
    except RefusedError:
        allowed = "the year and the month in figures, or the name of a month"
        raise RefusedError(Problem("month", shown(words), allowed, f"{today:%Y-%m}")) from None


def calendar(session: Session, words: str = "") -> str:
    """The rota as an iCalendar file: of a month, without words to the end of the term; one all-day event each day."""
    from wormbin.exchange import calendar as files

    today, ends = session.moment(None).date(), session.farm().settings.turns.last
    view = _from(session, today, ends) if not words and ends and ends > today else month(session, words)
    dues = [
        files.Due(day.on, "", "turns", "Worm bin: " + day.words[:190], day.words) for day in view.days if day.duties
    ]
    return files.calendar(dues, session.clock())


@dataclass(frozen=True, slots=True)
class RotaDay:
    """One day: who does what, or why nobody is there; who is away."""

    on: date
    duties: Mapping[str, tuple[str, ...]]
    off: str = ""
    half: bool = False
    away: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """ "feed Ana & Ben, check Cleo"."""
        return ", ".join(f"{job} {' & '.join(names)}" for job, names in self.duties.items())


@dataclass(frozen=True, slots=True)
class RotaView:
    """A month of turns from ``today`` on; ``since`` and ``until`` are the ends of the term, None without a rota.

    Days before today are left out: the list was made at one time and grew, so who did what is only in the log.
    """

    first: date
    last: date
    today: date
    jobs: tuple[str, ...]
    days: tuple[RotaDay, ...]
    since: date | None
    until: date | None
    bins: tuple[str, ...] = ()

    @property
    def document(self) -> dict[str, object]:
        """What goes out as JSON."""
        days = [
            {"date": day.on, "off": day.off, "half": day.half, "away": day.away, "turns": dict(day.duties)}
            for day in self.days
        ]
        return {"first": self.first, "last": self.last, "jobs": self.jobs, "days": days}
