"""What is told of plain made-up bins, opened evening by evening as a keeper does, held against the truth.

A *message above steady* is a finding at watch or act that was not there, or steady, on the evening before; the evenings
in a row on which it stands are one message. Everything goes through the farm's own door: files in, the round out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from pathlib import Path

from tests.worlds.logbook import BIN_COLUMNS, LOG_COLUMNS, SETTING_COLUMNS, csv_text, setting_rows
from tests.worlds.plain_keeper import PlainBin, PlainDay, plain_bin
from tests.worlds.plain_story import MISHAP_DAY, WATCHED, Mishap, plain_story
from wormbin.advice.finding import Doing, Finding
from wormbin.farm import log_files, rounds
from wormbin.farm.session import Session
from wormbin.farm.views.round import RoundRow
from wormbin.figures import Level

SEED, MONTH_DAYS, HALF_YEAR = 1, 30.4, 183
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
NEWS = frozenset({"harvest-near", "harvest-due", "harvest-late"})
FITS: Mapping[Mishap, frozenset[str]] = {
    Mishap.OVERFED: frozenset({"overfed", "left-over", "thick-layer", "fed-over"}),
    Mishap.WET: frozenset({"too-wet", "standing-water"}),
    Mishap.DRY: frozenset({"too-dry"}),
    Mishap.HOT: frozenset({"too-hot"}),
    Mishap.COLD: frozenset({"too-cold"}),
    Mishap.ACID: frozenset({"too-sour", "sour", "smell-sour"}),
}
"""The codes that tell of each mishap; a new code of such a trouble is to be added here."""
UNWRITTEN = frozenset({Mishap.WET, Mishap.ACID})
"""The mishaps whose cause stands in the log of every other bin only."""
SO: Mapping[str, Callable[[PlainDay], bool]] = {
    **dict.fromkeys(("overfed", "left-over", "fed-over"), lambda day: day.waiting_days > 7.0),
    "thick-layer": lambda day: day.waiting_kg_m2 > 0.040 * 600.0,
    **dict.fromkeys(("too-wet", "standing-water", "air-short", "dense"), lambda day: day.moisture > 0.85),
    "too-dry": lambda day: day.moisture < 0.68,
    **dict.fromkeys(("too-hot", "heat-to-come"), lambda day: day.temp_c > 27.0),
    "too-cold": lambda day: day.temp_c < 9.0,
    **dict.fromkeys(("too-sour", "sour", "smell-sour"), lambda day: day.ph < 5.8),
    "hungry": lambda day: day.waiting_kg_m2 < 0.1,
    "few-worms": lambda day: day.worms_kg_m2 < 0.6,
    "crowded": lambda day: day.worms_kg_m2 > 4.5,
    "full": lambda day: day.full > 0.88,
    "reading-questioned": lambda day: day.slip > 2.0,
    **dict.fromkeys(NEWS, lambda day: day.castings_share > 0.74),
}  # fmt: skip
"""What must truly be so, on some day from three before a message to three after its end, for it to be borne out.

A code that is not here is borne out by nothing: these bins have no such trouble.
"""


@dataclass(slots=True)
class Message:
    """A finding above steady over evenings in a row, in its first words; ``read`` is that day's check as written."""

    bin: str
    code: str
    first: date
    last: date
    level: Level
    what: str
    why: str
    read: str
    truth: PlainDay
    true: bool = False


@dataclass(frozen=True, slots=True)
class Walked:
    """A well-kept bin opened every evening; ``turned`` is how often its row left steady."""

    bin: str
    evenings: int
    messages: tuple[Message, ...]
    turned: int
    harvests_due: int
    harvests_told: int


@dataclass(frozen=True, slots=True)
class Told:
    """A bin in trouble: days (from the mishap) of the first and second odd reading, and of the first fitting word.

    ``stands`` tells whether a fitting word stood on the day of the second; ``on_first`` and ``on_second`` are what was
    said on those evenings; ``asks`` whether the first made the program ask for another look; ``feed_kg`` how much it
    said may be fed on the evening of the second.
    """

    bin: str
    mishap: Mishap
    began: int
    first: int
    second: int
    word: int | None
    stands: bool
    asks: bool
    on_first: tuple[str, ...]
    on_second: tuple[str, ...]
    headline_first: str
    headline_second: str
    feed_kg: float

    @property
    def late(self) -> int | None:
        """Days from the second odd reading to the first fitting word; None when there was none."""
        return None if self.word is None else max(0, self.word - self.second)


def evenings(made: PlainBin, folder: Path, first: int, last: int) -> Iterator[tuple[PlainDay, RoundRow]]:
    """The bin's row of the round on each evening from its day ``first`` to ``last``, with that day's truth."""
    story = made.story
    settings = {
        "feed_days": [WEEKDAYS[day] for day in story.feed_days],
        "check_every_days": "3",
        "on_hand": [{"material": "shredded-cardboard", "kg": 40.0, "shredded_kg": 40.0}],
    }
    book = folder / "book"
    book.mkdir(parents=True)
    for name, columns, rows in (
        ("bins.csv", BIN_COLUMNS, [made.record]),
        ("log.csv", LOG_COLUMNS, list(made.rows)),
        ("settings.csv", SETTING_COLUMNS, setting_rows(settings)),
    ):
        (book / name).write_text(csv_text(columns, rows), encoding="utf-8", newline="")
    now = [datetime.combine(made.days[-1].on, time(20), UTC)]
    farm = Session(folder / "store", clock=lambda: now[0])
    log_files.bring_in(farm, book)
    for day in made.days[first : last + 1]:
        now[0] = datetime.combine(day.on, time(20), UTC)
        (row,) = rounds.view(farm).rows
        yield day, row


def walk(number: int, folder: Path, days: int = HALF_YEAR, seed: int = SEED, first: int = 1) -> Walked:
    """Open a well-kept bin every evening from its day ``first`` on, and gather the messages."""
    made = plain_bin(plain_story(number, seed, days), seed)
    messages: list[Message] = []
    turned, was, told = 0, Level.STEADY, set[date]()
    for day, row in evenings(made, folder, first, days - 1):
        gather(messages, made, day, row.findings)
        if any(each.code in NEWS for each in row.findings):
            told.add(day.on)
        turned += was is Level.STEADY and row.level is not Level.STEADY
        was = row.level
    for said in messages:
        said.true = borne_out(made, said)
    due: list[date] = []
    for before, day in pairwise(made.days):
        if before.castings_share < 0.80 <= day.castings_share and not (due and (day.on - due[-1]).days < 40):
            due.append(day.on)
    met = sum(any(abs((on - each).days) <= 10 for on in told) for each in due)
    return Walked(made.story.key, days - first, tuple(messages), turned, len(due), met)


def gather(messages: list[Message], made: PlainBin, day: PlainDay, findings: Sequence[Finding]) -> None:
    """Take in an evening's findings: one above steady goes on from the evening before, or is a message of its own."""
    yesterday = day.on - timedelta(days=1)
    for found in findings:
        if found.level is Level.STEADY or any(each.code == found.code and each.last == day.on for each in messages):
            continue
        said = next((each for each in messages if each.code == found.code and each.last == yesterday), None)
        if said is None:
            read = read_on(made, day.on)
            messages.append(
                Message(made.story.key, found.code, day.on, day.on, found.level, found.what, found.why, read, day)
            )
        else:
            said.last = day.on
            said.level = max(said.level, found.level, key=lambda each: each.rank)


def read_on(made: PlainBin, on: date) -> str:
    """The last check up to a day, as it was written."""
    hidden = ("when", "bin", "kind", "by", "moisture_by")
    checks = [row for row in made.rows if row["kind"] == "check" and row["when"][:10] <= on.isoformat()]
    if not checks:
        return "no check yet"
    cells = ", ".join(f"{name} {value}" for name, value in checks[-1].items() if name not in hidden)
    return f"{checks[-1]['when'][5:10]}: {cells}"


def borne_out(made: PlainBin, said: Message) -> bool:
    """Whether the truth bore a message out, on some day about it; for worms lost and hunger over the weeks before."""
    start = made.days[0].on
    first, last = (said.first - start).days, (said.last - start).days
    if said.code == "falling":
        before = made.days[max(0, first - 28)].worms_kg_m2
        return made.days[first].worms_kg_m2 < 0.9 * before
    if said.code == "readings-old":
        checks = [row["when"][:10] for row in made.rows if row["kind"] == "check"]
        return not any((said.first - timedelta(days=9)).isoformat() <= on <= said.first.isoformat() for on in checks)
    so = SO.get(said.code)
    return so is not None and any(so(day) for day in made.days[max(0, first - 3) : last + 4])


def troubled(mishap: Mishap, count: int, folder: Path, seed: int = SEED) -> list[Told]:
    """``count`` bins with this mishap whose keepers read it twice, opened from the first odd reading on until told."""
    found: list[Told] = []
    number = 0
    while len(found) < count:
        story = plain_story(number, seed, MISHAP_DAY + WATCHED[mishap], mishap)
        number += 1
        made = plain_bin(story, seed)
        odd = [at for at, day in enumerate(made.days) if day.odd]
        if len(odd) >= 2:
            found.append(_told(made, mishap, odd[0], odd[1], folder / f"{mishap.name}-{number}"))
    return found


def _told(made: PlainBin, mishap: Mishap, first: int, second: int, folder: Path) -> Told:
    began = next(at for at, day in enumerate(made.days) if day.trouble)
    rows: dict[int, RoundRow] = {}
    word = None
    for at, (_day, row) in enumerate(evenings(made, folder, first, len(made.days) - 1), start=first):
        rows[at] = row
        if word is None and FITS[mishap] & set(loud_codes(row)):
            word = at
        if at >= second and word is not None:
            break
    early, late = rows[first], rows[second]
    return Told(
        bin=made.story.key + ("" if made.story.written or mishap not in UNWRITTEN else ", cause not written"),
        mishap=mishap,
        began=began - MISHAP_DAY, first=first - MISHAP_DAY, second=second - MISHAP_DAY,
        word=None if word is None else word - MISHAP_DAY,
        stands=bool(FITS[mishap] & set(loud_codes(late))),
        asks=any(action.kind is Doing.MEASURE for each in early.findings for action in each.actions),
        on_first=loud_codes(early), on_second=loud_codes(late),
        headline_first=early.headline, headline_second=late.headline, feed_kg=late.feed_up_to_kg,
    )  # fmt: skip


def loud_codes(row: RoundRow) -> tuple[str, ...]:
    """The codes of a row's findings at watch or act, the worst first; act with a mark."""
    return tuple(each.code for each in row.findings if each.level is not Level.STEADY)
