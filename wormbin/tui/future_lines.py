"""Two futures as charts."""

from __future__ import annotations

from wormbin.farm.views.bin import ChartView, Dated
from wormbin.farm.views.proposals import WhatIfView


def future_charts(view: WhatIfView) -> tuple[ChartView, ...]:
    """Moisture and feed waiting as planned; ``overlays`` gives the other future."""

    def one(code: str, title: str, unit: str, ahead: tuple[Dated, ...]) -> ChartView:
        return ChartView(code, title, unit, (), ahead, (), (None, None), (), view.on)

    return (
        one("moisture", "moisture", "fraction", view.as_planned.moisture),
        one("feed_waiting", "feed waiting", "kg", view.as_planned.feed_waiting_kg),
        one("worms", "worms", "kg", view.as_planned.worms_kg),
    )


def overlays(view: WhatIfView) -> dict[str, tuple[Dated, ...]]:
    """The other future by the code of the chart that it is drawn over."""
    other = view.instead
    return {"moisture": other.moisture, "feed_waiting": other.feed_waiting_kg, "worms": other.worms_kg}
