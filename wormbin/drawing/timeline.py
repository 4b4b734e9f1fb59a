"""Steps and windows on a strip of dates: earliest, likely and latest day of each, one line apiece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from wormbin.drawing.axes import date_marks, day_month, spread
from wormbin.drawing.marks import basis_mark, plain, width_of
from wormbin.drawing.picture import Canvas, Picture
from wormbin.figures import Basis

NAME, WINDOW, LIKELY, DONE, WHEN, TODAY, AXIS = "name", "window", "likely", "done", "when", "today", "axis"
LEAST_STRIP = 12


@dataclass(frozen=True, slots=True)
class Stretch:
    """One line of a timeline: a window of days, or one day when all three are the same.

    A day that is None lies beyond what can be seen ahead: a stretch without ``latest`` runs out of the strip, one
    without ``earliest`` is only named. ``basis`` says whether it happened (``read``, ``said``) or is expected.
    """

    name: str
    earliest: date | None
    likely: date | None = None
    latest: date | None = None
    basis: Basis = Basis.WORKED_OUT

    @classmethod
    def day(cls, name: str, on: date, *, done: bool = False) -> Stretch:
        """A step on one day."""
        return cls(name, on, on, on, Basis.SAID if done else Basis.WORKED_OUT)

    def words(self) -> str:
        """The days in words: ``12 Apr``, ``12 Apr – 3 May``, ``from 12 Apr``."""
        if self.earliest is None:
            return "not in sight"
        if self.latest is None:
            return f"from {day_month(self.earliest)}"
        if self.earliest == self.latest:
            return day_month(self.earliest)
        return f"{day_month(self.earliest)} – {day_month(self.latest)}"


def timeline(
    stretches: Sequence[Stretch],
    width: int,
    *,
    first: date | None = None,
    last: date | None = None,
    today: date | None = None,
    axis: bool = True,
    ascii: bool = False,
) -> Picture:
    """Draw one line for each stretch, and a line of dates under them unless ``axis`` is False.

    Without ``first`` and ``last`` everything is shown, today too, and a little more where a window has no end. Roles:
    ``name``, ``window``, ``likely``, ``done``, ``when``, ``today``, ``axis``.
    """
    days = [day for one in stretches for day in (one.earliest, one.likely, one.latest) if day is not None]
    days += [day for day in (today,) if day is not None]
    start, end = first or min(days, default=None), last or max(days, default=None)
    if last is None and start is not None and end is not None and any(one.latest is None for one in stretches):
        end = date.fromordinal(min(end.toordinal() + max((end - start).days // 8, 3), date.max.toordinal()))
    canvas = Canvas(width, len(stretches) + (1 if axis else 0), ascii=ascii)
    if width < 1:
        return canvas.picture()
    names = min(max((width_of(plain(one.name, ascii=ascii)) for one in stretches), default=0), max(width // 3, 4))
    words = max((width_of(plain(one.words(), ascii=ascii)) for one in stretches), default=0)
    strip = width - names - words - 4
    shown = strip >= LEAST_STRIP and start is not None and end is not None
    if not shown:
        strip = 0
    for row, one in enumerate(stretches):
        canvas.write(0, row, plain(one.name, names, ascii=ascii), NAME)
        at = names + 2 + (strip + 2 if shown else 0)
        canvas.write(at, row, plain(one.words(), max(width - at, 0), ascii=ascii), WHEN)
    if not shown or start is None or end is None:
        return canvas.picture()
    start, end = min(start, end), max(start, end)
    left = names + 2
    if today is not None and start <= today <= end:
        for row in range(len(stretches)):
            canvas.set(left + _cell(today, start, end, strip), row, "|" if ascii else "┊", TODAY)
    for row, one in enumerate(stretches):
        _draw(canvas, row, one, left, strip, start, end)
    if axis:
        _dates(canvas, len(stretches), left, strip, start, end, today)
    return canvas.picture()


def _cell(day: date, first: date, last: date, cells: int) -> int:
    """The cell of a day; -1 before the strip, ``cells`` after it."""
    if day < first:
        return -1
    if day > last:
        return cells
    return round((day - first).days / max((last - first).days, 1) * (cells - 1))


def _draw(canvas: Canvas, row: int, one: Stretch, left: int, cells: int, first: date, last: date) -> None:
    if one.earliest is None:
        return
    ascii = canvas.ascii
    start = _cell(one.earliest, first, last, cells)
    end = cells if one.latest is None else _cell(max(one.latest, one.earliest), first, last, cells)
    for cell in range(max(start, 0), min(end, cells - 1) + 1):
        canvas.set(left + cell, row, ":" if ascii else "▒", WINDOW)
    if end >= cells:
        canvas.set(left + cells - 1, row, ">" if ascii else "►", WINDOW)
    if start < 0:
        canvas.set(left, row, "<" if ascii else "◄", WINDOW)
    if one.likely is not None and 0 <= (at := _cell(one.likely, first, last, cells)) < cells:
        done = one.basis in (Basis.READ, Basis.SAID)
        canvas.set(left + at, row, basis_mark(one.basis, ascii=ascii), DONE if done else LIKELY)


def _dates(canvas: Canvas, row: int, left: int, cells: int, first: date, last: date, today: date | None) -> None:
    labels = [(_cell(day, first, last, cells), text) for day, text in date_marks(first, last, cells)]
    sure = today is not None and first <= today <= last
    if today is not None and sure:
        labels.insert(0, (_cell(today, first, last, cells), "today"))
    for start, text in spread(labels, cells, int(sure)):
        canvas.write(left + start, row, text, TODAY if text == "today" else AXIS)
