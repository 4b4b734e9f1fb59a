"""Dates said as a keeper says them: "today", "14 March", with the year only when it is needed."""

from __future__ import annotations

from datetime import date

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
NEAR_DAYS = 120


def day_words(day: date, today: date) -> str:
    """ "today", "tomorrow", "yesterday", "14 March"; with the year when it is another's and not near."""
    gap = (day - today).days
    if gap in (-1, 0, 1):
        return ("yesterday", "today", "tomorrow")[gap + 1]
    year = "" if day.year == today.year or abs(gap) < NEAR_DAYS else f" {day.year}"
    return f"{day.day} {MONTHS[day.month - 1]}{year}"


def on_day(day: date, today: date) -> str:
    """ "today", "tomorrow", "on 6 March": a day in the middle of a sentence."""
    return day_words(day, today) if abs((day - today).days) <= 1 else f"on {day_words(day, today)}"


def days_words(count: float) -> str:
    """A number of days: "1 day", "2.5 days", "9 days", "over 60 days"; half days only under three."""
    if not count <= 60:
        return "over 60 days"
    if count < 2.75:
        half = round(max(0.0, count) * 2) / 2
        return "1 day" if half == 1 else f"{half:g} days"
    return f"{count:.0f} days"
