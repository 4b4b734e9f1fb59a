"""Made-up lines of castings books and logs."""

from __future__ import annotations

from datetime import UTC, date, datetime

from wormbin.records.bins import Bin
from wormbin.records.entries import Bedding, Entry, Feeding, Harvest, Portion
from wormbin.records.lots import Intake, LotLine, LotStep, LotWhat, Measured, Sale, Stepped, Use

KITCHEN = Bin("kitchen", "Kitchen", 0.6, 0.4, 0.3, date(2025, 1, 1))


def at(month: int, day: int, hour: int = 12, year: int = 2026) -> datetime:
    return datetime(year, month, day, hour, tzinfo=UTC)


def line(name: str, when: datetime, what: LotWhat, lot: str = "spring") -> LotLine:
    return LotLine(name, lot, when, what)


def came(name: str, when: datetime, kg: float, moisture: float | None = None, *, source: str = "kitchen") -> LotLine:
    return line(f"{name}~", when, Intake(source, kg, moisture))


def sold(name: str, when: datetime, kg: float, price: float | None = None) -> LotLine:
    return line(name, when, Sale(kg, "market", price))


def used(name: str, when: datetime, kg: float) -> LotLine:
    return line(name, when, Use(kg, "pots"))


def step(name: str, when: datetime, to: LotStep, kg: float | None = None, moisture: float | None = None) -> LotLine:
    return line(name, when, Stepped(to, kg, None, moisture))


def measured(name: str, when: datetime, kg: float | None = None, litres: float | None = None) -> LotLine:
    return line(name, when, Measured(kg, litres))


def fed(name: str, when: datetime, kg: float, material: str = "melon-rind", part: int = 0) -> Entry:
    return Entry(name, "kitchen", when, Feeding((Portion(material, kg),)), compartment=part)


def bedded(name: str, when: datetime, kg: float) -> Entry:
    return Entry(name, "kitchen", when, Bedding((Portion("shredded-cardboard", kg),)))


def harvest(name: str, when: datetime, kg: float, lot: str = "spring", part: int = 0) -> Entry:
    return Entry(name, "kitchen", when, Harvest(kg, lot=lot), compartment=part)
