"""A bin's gauges under each other, one or two lines each as the room allows; the chosen one is opened by a key."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.events import Click
from textual.geometry import Size
from textual.message import Message

from wormbin.drawing.gauge import Gauge, gauges
from wormbin.drawing.picture import Picture
from wormbin.farm.views.bin import GaugeView
from wormbin.figures import Basis
from wormbin.measures import length, mass, percent, temperature
from wormbin.tui.showing import Piece, lines_of
from wormbin.tui.widgets.picture_view import PictureView


class Gauges(PictureView, can_focus=True):
    """Shows ``GaugeView``s; those that find no room are left to the place where numbers are opened."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,k", "move(-1)", "the gauge above", show=False),
        Binding("down,j", "move(1)", "the gauge below", show=False),
        Binding("enter", "open", "open this number", show=False),
    ]

    class Opened(Message):
        """The number of gauge ``code`` is to be opened."""

        def __init__(self, code: str) -> None:
            super().__init__()
            self.code = code

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._views: tuple[GaugeView, ...] = ()
        self._at = 0
        self._lines_each = 1

    def show_gauges(self, views: Sequence[GaugeView], *, ascii: bool, units: str) -> None:
        """Draw these from now on."""
        if not self._views:
            # What the worst finding is about is chosen first.
            self._at = max(range(len(views)), key=lambda at: (views[at].level.rank, -at), default=0)
        self._views = tuple(views)
        made = tuple(gauge_of(view, units) for view in views)

        def draw(width: int, height: int) -> Picture:
            fitting = tuple(made[at] for at in self._fitted(height))
            apart = height >= 2 * len(fitting)
            self._lines_each = 2 if apart else 1
            return gauges(fitting, width, two_lines=apart and width < 60, ascii=ascii)

        self.show(draw)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """A line a gauge."""
        return len(self._views)

    def _fitted(self, height: int) -> list[int]:
        """Which gauges stand in so many lines: those that a finding is about before the others."""
        wanted = sorted(range(len(self._views)), key=lambda at: (-self._views[at].level.rank, at))
        return sorted(wanted[: max(height, 0)])

    def _seen(self) -> list[int]:
        return self._fitted(self.content_size.height)

    def render(self) -> Content:
        """The gauges, the chosen one marked while the keys go here."""
        width, height = self.content_size
        if self._maker is None or width < 1 or height < 1:
            return Content("")
        gap = 2 if width > 30 else 0
        picture = self._maker(width - gap, height)
        lines: list[list[Piece]] = []
        seen = self._seen()
        at = seen.index(self._at) if self._at in seen else -1
        spaced = self._lines_each == 2 and picture.height < 2 * min(len(self._views), height)
        for row in range(picture.height):
            chosen = self.has_focus and row == at * (1 if spaced else self._lines_each)
            lines.append([(("> " if chosen else "  ")[:gap], "key"), *picture.pieces(row)])
            if spaced:
                lines.append([])
        return lines_of(lines)

    def action_move(self, by: int) -> None:
        """Choose another gauge of those in sight."""
        seen = self._seen()
        if seen:
            at = seen.index(self._at) if self._at in seen else 0
            self._at = seen[max(0, min(at + by, len(seen) - 1))]
        self.refresh()

    def action_open(self) -> None:
        """Open the chosen gauge's number."""
        if self._views:
            self.post_message(self.Opened(self._views[self._at].code))

    def on_click(self, event: Click) -> None:
        """A click chooses and opens."""
        at, seen = int(event.y) // max(self._lines_each, 1), self._seen()
        if 0 <= at < len(seen):
            self._at = seen[at]
            self.action_open()

    def on_focus(self) -> None:
        """Mark the chosen one."""
        self.refresh()

    def on_blur(self) -> None:
        """And no longer."""
        self.refresh()


NO_FIGURE = "-"
"""What a view says in place of a figure that there is none of."""


def gauge_of(view: GaugeView, units: str) -> Gauge:
    """The drawing's input for a farm's view: the estimate, with the reading of today in words."""
    say, there = speech(view.unit, units), view.likely != NO_FIGURE
    read = view.basis is Basis.READ and view.age_days is not None
    return Gauge(
        name=f"{view.title}, {'today' if not view.age_days else f'{view.age_days} d ago'}" if read else view.title,
        value=view.band.p50 if there else None,
        low=view.scale[0],
        high=view.scale[1],
        target=view.target,
        band=view.band if there else None,
        basis=view.basis,
        level=view.level,
        say=say,
        factor=factor_of(say(view.band.p50), view.unit),
        beside=view.beside,
        note=view.read_words,
        read=view.reading if view.read_words else None,
    )


def speech(unit: str, units: str) -> Callable[[float], str]:
    """How a figure of this unit is said in the keeper's measures."""
    if unit == "kg":
        return lambda kg: weighed(kg, units)
    if unit == "m":
        return lambda m: length(m, units)
    if unit in ("degC", "°C", "C"):
        return lambda c: temperature(c, units)
    if unit in ("fraction", "", "1"):
        return percent
    if unit == "pH":
        return "{:.1f}".format
    if unit in ("d", "days"):
        return lambda days: f"{days:.0f} d"
    return lambda value: f"{value:.0f}" if abs(value) >= 10 else f"{value:.2g}"


PRINTED = {
    "g": 1000.0, "kg": 1.0, "oz": 35.27396195, "lb": 2.204622622, "cm": 100.0, "m": 1.0, "in": 39.37007874,
    "ft": 3.280839895, "°F": 1.8,
}  # fmt: skip
"""What a difference in the SI unit is to be multiplied with, by the unit in which the value is printed."""


def factor_of(said: str, unit: str) -> float:
    """The factor for a difference, to the unit that stands in ``said``."""
    if unit in ("fraction", "", "1"):
        return 100.0
    return PRINTED.get(said.rpartition(" ")[2], 1.0)


def weighed(kg: float, units: str) -> str:
    """A mass as a kitchen scale would tell it: nobody weighs the milligrams of a bin."""
    if units == "us":
        return "under 0.1 oz" if 0.0 < kg < 0.05 / PRINTED["oz"] else mass(kg, units)
    if 0.0 < kg < 0.0005:
        return "under 1 g"
    return mass(round(kg, 3), units)
