from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from wormbin.exchange.calendar import Due, calendar, events, uid

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)
FEED = Due(date(2026, 3, 5), "kitchen", "feed", "Feed Küche, box; “1”\\2: up to 300 g " + "🪱" * 40, "bury it\nwell")
STEP = Due(date(2026, 4, 1), "kitchen", "harvest", "stop feeding", slot="stop-feeding")


def unfolded(text: str) -> list[str]:
    return text.replace("\r\n ", "").removesuffix("\r\n").split("\r\n")


def test_no_line_is_longer_than_75_octets_and_no_letter_is_cut() -> None:
    lines = calendar([FEED], NOW).encode().split(b"\r\n")
    assert all(len(line) <= 75 for line in lines)
    assert all(line.decode() is not None for line in lines)


def test_an_event_lasts_its_whole_day_with_the_end_left_out() -> None:
    lines = unfolded(calendar([FEED], NOW))
    assert "DTSTART;VALUE=DATE:20260305" in lines
    assert "DTEND;VALUE=DATE:20260306" in lines


def test_a_step_keeps_its_identity_when_its_day_moves() -> None:
    later = Due(date(2026, 4, 9), "kitchen", "harvest", "stop feeding", slot="stop-feeding")
    assert uid(STEP) == uid(later) != uid(FEED)


def test_a_later_file_carries_a_higher_sequence() -> None:
    def sequence(text: str) -> int:
        return next(int(line.split(":")[1]) for line in unfolded(text) if line.startswith("SEQUENCE"))

    assert sequence(calendar([STEP], NOW)) < sequence(calendar([STEP], NOW.replace(day=3)))


def test_the_file_is_read_by_an_independent_reader() -> None:
    icalendar = pytest.importorskip("icalendar")
    events = icalendar.Calendar.from_ical(calendar([FEED, STEP], NOW)).walk("VEVENT")
    assert [event.decoded("DTSTART") for event in events] == [FEED.on, STEP.on]
    assert str(events[0]["SUMMARY"]) == FEED.title
    assert str(events[0]["DESCRIPTION"]) == FEED.words
    assert len({str(event["UID"]) for event in events}) == 2


def test_the_file_has_a_name_and_every_event_a_reminder_in_its_morning() -> None:
    """By an independent reader: NAME (RFC 7986), and a DISPLAY alarm eight hours into the day (RFC 5545)."""
    read = pytest.importorskip("icalendar").Calendar.from_ical(calendar([FEED, STEP], NOW))
    assert str(read["NAME"]) == str(read["X-WR-CALNAME"]) == "Worm bins"
    for event in read.walk("VEVENT"):
        (alarm,) = event.walk("VALARM")
        assert alarm["ACTION"] == "DISPLAY"
        assert alarm["TRIGGER"].dt == timedelta(hours=8)
        assert alarm["DESCRIPTION"] == event["SUMMARY"]


def test_the_round_of_a_day_is_one_event_with_an_identity_of_its_day() -> None:
    from wormbin.farm.rounds.week import by_rounds

    on = date(2026, 3, 5)
    every = [Due(on, key, "check", f"Check {key}") for key in ("a", "b", "c")]
    every += [Due(on, "a", "feed", "Feed a: about 300 g"), STEP]
    events = list(by_rounds(every, {"a": "Attic"}))
    (round_event,) = (event for event in events if event.kind == "round")
    assert round_event.title == "Round: check 3 bins, feed Attic"
    assert "Feed a: about 300 g" in round_event.words
    assert STEP in events
    assert len(events) == 2
    (fewer,) = by_rounds(every[:1], {})
    assert uid(fewer) == uid(round_event)


def test_what_an_earlier_file_had_and_this_one_has_not_is_sent_as_cancelled() -> None:
    icalendar = pytest.importorskip("icalendar")
    gone = Due(date(2026, 3, 9), "kitchen", "harvest", "take off; 4 kg, “wet”", slot="harvest")
    past = Due(date(2026, 3, 1), "kitchen", "harvest", "lid off", slot="lid-off")
    first = calendar([FEED, STEP, gone, past], NOW)
    later = calendar([FEED, STEP], NOW.replace(hour=9), events(first), NOW.date())
    found = {str(each["UID"]): each for each in icalendar.Calendar.from_ical(later).walk("VEVENT")}
    assert set(found) == {uid(FEED), uid(STEP), uid(gone)}, "what has gone by is left alone"
    cancelled = found[uid(gone)]
    assert str(cancelled["STATUS"]) == "CANCELLED"
    assert cancelled.decoded("DTSTART") == gone.on
    assert str(cancelled["SUMMARY"]) == gone.title
    before = {str(each["UID"]): each for each in icalendar.Calendar.from_ical(first).walk("VEVENT")}
    assert cancelled["SEQUENCE"] > before[uid(gone)]["SEQUENCE"]
    assert "STATUS" not in found[uid(STEP)]


def test_an_event_called_off_stays_so_until_its_day_and_comes_back_when_it_stands_again() -> None:
    gone = Due(date(2026, 3, 9), "kitchen", "harvest", "take off", slot="harvest")
    off = calendar([STEP], NOW, events(calendar([gone, STEP], NOW)), NOW.date())
    again = calendar([STEP], NOW, events(off), NOW.date())
    assert again.count("STATUS:CANCELLED") == 1
    assert "STATUS" not in calendar([gone, STEP], NOW, events(again), NOW.date())
    assert "STATUS" not in calendar([STEP], NOW, events(again), date(2026, 3, 10))


def test_a_file_that_is_no_calendar_of_bins_has_no_events_here() -> None:
    foreign = calendar([STEP], NOW).replace("wormbin", "another")
    assert list(events(foreign)) == list(events("")) == list(events("BEGIN:VEVENT\nUID:x\nEND:VEVENT")) == []
