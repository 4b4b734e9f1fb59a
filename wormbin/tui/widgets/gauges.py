"""A bin's gauges under each other, one or two lines each as the room allows, the chosen one opened by a key."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from wormbin.drawing.gauge import Gauge, gauges
from wormbin.drawing.picture import Picture
from wormbin.farm.views import GaugeView
from wormbin.figures import Basis
from wormbin.measures import length, mass, percent, temperature
from wormbin.tui.widgets.picture_view import PictureView


class Gauges(PictureView):
    """Shows ``GaugeView``s; those that find no room are left to the place where numbers are opened."""

    def show_gauges(self, views: Sequence[GaugeView], *, ascii: bool, units: str) -> None:
        """Draw these from now on."""
        made = tuple(gauge_of(view, units) for view in views)

        def draw(width: int, height: int) -> Picture:
            fitting = made[:height]
            two = width < 44 and height >= 2 * len(fitting)
            return gauges(fitting, width, two_lines=two, ascii=ascii)

        self.show(draw)


def gauge_of(view: GaugeView, units: str) -> Gauge:
    """The drawing's input for a farm's view: the reading itself when the figure was read, else the estimate."""
    say, factor = speech(view.unit, units)
    read = view.basis is Basis.READ and view.reading is not None
    return Gauge(
        name=view.title,
        value=view.reading if read else view.band.p50,
        low=view.scale[0],
        high=view.scale[1],
        target=view.target,
        band=view.band,
        basis=view.basis,
        level=view.level,
        say=say,
        factor=factor,
    )


def speech(unit: str, units: str) -> tuple[Callable[[float], str], float]:
    """How a figure of this unit is said in the keeper's measures, and the factor for a difference."""
    us = units == "us"
    if unit == "kg":
        return (lambda kg: mass(kg, units)), (2.204622622 if us else 1.0)
    if unit == "m":
        return (lambda m: length(m, units)), (39.37007874 if us else 100.0)
    if unit in ("degC", "°C", "C"):
        return (lambda c: temperature(c, units)), (1.8 if us else 1.0)
    if unit in ("fraction", "", "1"):
        return percent, 100.0
    if unit in ("d", "days"):
        return (lambda days: f"{days:.0f} d"), 1.0
    return (lambda value: f"{value:.3g}"), 1.0
