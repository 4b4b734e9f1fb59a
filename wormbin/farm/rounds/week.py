"""What falls due on which day: for the calendar, and for the weekly sheet that hangs beside the bin."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from types import MappingProxyType

from wormbin.drawing.marks import plain
from wormbin.exchange.calendar import Due
from wormbin.farm.bins.row import AWAY_AHEAD, also, do_now, headline, mind, steps_now
from wormbin.farm.bins.scene import Scene
from wormbin.farm.cache.rows import Meal
from wormbin.farm.views.round import Layout
from wormbin.measures import mass
from wormbin.measures.dates import day_words
from wormbin.schedule.days import checks, is_away
from wormbin.schedule.pace import turns, who_writes

WIDTH = 78
WEEK, LAID_DAYS = 7, 60
NOBODY: Mapping[date, str] = MappingProxyType({})


def dues(scene: Scene, days: int) -> Iterator[Due]:
    """Feedings with their amounts, checks, and the steps of the harvest, for so many days from the day looked at."""
    one, units, last = scene.bin, scene.settings.units, scene.on + timedelta(days=days)
    where = scene.in_tray
    if scene.next_feeding == scene.on and scene.ration.kg > 0:
        along = scene.with_bedding(scene.ration.kg)
        yield Due(scene.on, one.key, "feed", f"Feed {one.name}: up to {mass(scene.ration.kg, units)}{where}{along}")
    for each in scene.feedings_to_come:
        if each.on <= last and each.feed_kg > 0:
            words = f"with {mass(each.bedding_kg, units)} of bedding as usual" if each.bedding_kg > 0.005 else ""
            along = scene.with_bedding(each.feed_kg)
            yield Due(
                each.on, one.key, "feed", f"Feed {one.name}: about {mass(each.feed_kg, units)}{where}{along}", words
            )
    for check in checks(one.key, scene.entries, scene.settings, scene.next_check, last):
        yield Due(check, one.key, "check", f"Check {one.name}", "smell, squeeze, temperature, what is left of the feed")
    away, told = scene.next_absence, next((each for each in scene.findings if each.code == AWAY_AHEAD), None)
    if away is not None and told is not None:
        until = day_words(away[1], away[0])
        yield Due(
            scene.eve or away[0], one.key, "away", f"{one.name}: before you leave until {until}"[:200],
            "; ".join(told.do),
        )  # fmt: skip
        yield from _meanwhile(scene, away[1] + timedelta(days=1))
    for step in scene.harvest_steps:
        if step.on <= last:
            yield Due(step.on, one.key, "harvest", f"{one.name}: {step.what}"[:200], step.what, slot=step.code)


def _meanwhile(scene: Scene, back: date) -> Iterator[Due]:
    """Who looks in while nobody is here, and the first look of whoever comes back."""
    one, found = scene.bin, scene.leaving
    for day in found.visits if found is not None else ():
        words = "squeeze a handful; water if it crumbles, feed a little if nothing is left; “going away” has a page"
        yield Due(day, one.key, "visit", f"{one.name}: somebody looks in"[:200], words)
    words = "smell, squeeze, what is left: write a check before anything else; then feed half of the usual"
    yield Due(back, one.key, "back", f"{one.name}: back, look first"[:200], words)


def meals(scene: Scene) -> tuple[Meal, ...]:
    """What the bin is likely given from tomorrow on."""
    return tuple(Meal(each.on, each.feed_kg, each.bedding_kg) for each in scene.feedings_to_come)


def by_rounds(every: Iterable[Due], names: Mapping[str, str], whose: Mapping[date, str] = NOBODY) -> Iterator[Due]:
    """The dues for a calendar: the feedings and checks of one day are one event, so that a day is not a wall of them.

    Its identity is the day alone: it stays while bins come and go. The steps of harvests stay events of their own.
    """
    rounds: dict[date, list[Due]] = {}
    for due in every:
        if due.kind in ("check", "feed"):
            rounds.setdefault(due.on, []).append(due)
        else:
            yield due
    for on, dues_then in rounds.items():
        parts = []
        for kind in ("check", "feed"):
            bins = list(dict.fromkeys(due.bin for due in dues_then if due.kind == kind))
            if bins:
                parts.append(f"{kind} {names.get(bins[0], bins[0]) if len(bins) == 1 else f'{len(bins)} bins'}")
        words = "\n".join(due.title + (f" ({due.words})" if due.words else "") for due in dues_then)
        words += f"\nTurns: {whose[on]}" if on in whose else ""
        yield Due(on, "", "round", f"Round: {', '.join(parts)}", words)


def sheet(
    scene: Scene, keepers: Sequence[str] = (), whose: Mapping[date, str] = NOBODY, laid: Layout | None = None
) -> tuple[str, ...]:
    """One page for a week: what to do, whose turn it is, and room to write down by hand what the log wants to know.

    ``whose`` are the turns of each day, by the rota; without one ``keepers`` take turns, or those who signed of late.
    ``laid`` is how the work on all bins is laid out.
    """
    one, first = scene.bin, scene.on
    last = first + timedelta(days=WEEK - 1)
    steps = do_now(scene)
    if laid is not None:
        steps = laid.over_steps(one.key, scene.harvest.day, steps, [each.kind for each in steps_now(scene)])
    # What is told of a trouble is no "nothing to do", though no step of today's comes of it.
    quiet = not also(scene)
    lines = [
        f"WORM BIN: {plain(one.name, 40).rstrip()}   {first.isoformat()} to {last.isoformat()}",
        "=" * WIDTH,
        "To begin with:",
        *(line for step in steps for line in _boxed(step)),
        *(() if steps else wrapped(f"nothing to do: {headline(scene)}" if quiet else headline(scene), WIDTH)),
        *(wrapped(f"also: {'; '.join(also(scene))}", WIDTH) if also(scene) else ()),
        *(wrapped(f"mind: {mind(scene)}", WIDTH) if mind(scene) else ()),
        "",
        "day         squeeze  temp  left   smell      fed (what, how much)    who",
        "-" * WIDTH,
    ]
    ahead = tuple(dues(scene, LAID_DAYS))
    every = ahead if laid is None else laid.over_dues(one.key, ahead)
    taken_off = next((each.on for each in every if each.slot == "harvest"), scene.harvest.day)
    due = [each for each in every if each.on <= first + timedelta(days=WEEK)]
    named = sorted({each.on for each in due if each.kind in ("check", "feed")})
    turn = {} if whose else turns(who_writes(keepers, scene.entries, scene.on), scene.entries, named, scene.on)
    for number in range(WEEK):
        day = first + timedelta(days=number)
        then = [each for each in due if each.on == day]
        lines.append(f"{day:%a} {day.day:>2} {day:%b}  ________ _____ ____%  _________  ______________________  ____")
        lines += [
            f"            {line}"
            for words in (*_day_words(scene, taken_off, day, then, turn.get(day, "")), *_turn_words(whose.get(day, "")))
            for line in wrapped(words, WIDTH - 12)
        ]
        lines.append("")
    lines += [
        "-" * WIDTH,
        "squeeze: dry / damp (no drop comes) / sponge (a drop or two: right) / dripping",
        "left: how much of the last feeding is still there. Over a third: do not feed.",
        "Worms on the lid, dying, or a bad smell: lid off, loosen it, no feed, tell us.",
        "Wash hands afterwards, and eat nothing here. No meat, no pet waste.",
        "Dust and mould: damp it down; with asthma or an allergy stand a step back.",
        "Adults chop and lift. Your own rules at home or at school come first.",
    ]
    return tuple(lines)


def _day_words(scene: Scene, harvest: date | None, day: date, then: Sequence[Due], who: str) -> list[str]:
    """What is due on a day of the sheet: look and feed, each step of the harvest, or that nobody is there."""
    absence = is_away(scene.settings.away, day, scene.bin.key)
    if absence is not None:
        return [f"nobody is here{f': {absence.why}' if absence.why else ''}"]
    feed = next((each for each in then if each.kind == "feed"), None)
    marks = [kind for kind in ("check", "feed") if any(each.kind == kind for each in then)]
    amount = f" ({feed.title.rsplit(': ', 1)[-1]})" if feed else ""
    turn = f"; whose turn: {plain(who, 40).rstrip()}" if who else ""
    said = [f"due: {', '.join(marks)}{amount}{turn}"] if marks else []
    for each in then:
        if each.kind == "away":
            said.append(f"before you leave: {each.words}")
        if each.kind in ("visit", "back"):
            said.append(f"{'somebody looks in' if each.kind == 'visit' else 'back, look first'}: {each.words}")
        if each.kind == "harvest":
            before = "" if harvest is None or each.on >= harvest else f"for the harvest on {plain_day(harvest)}: "
            said.append(f"{before or 'harvest: '}{each.words}")
    return said


def _turn_words(whose: str) -> tuple[str, ...]:
    return (f"turns: {plain(whose).rstrip()}",) if whose else ()


def plain_day(day: date) -> str:
    """ "Tue 3 Mar"."""
    return f"{day:%a} {day.day} {day:%b}"


def _boxed(words: str) -> list[str]:
    """Something to tick off, in as many lines as it needs."""
    return [("  [ ] " if number == 0 else "      ") + line for number, line in enumerate(wrapped(words, WIDTH - 6))]


def wrapped(words: str, width: int) -> list[str]:
    """Words in lines of at most ``width`` cells."""
    import textwrap

    return textwrap.wrap(plain(words), width) or [""]
