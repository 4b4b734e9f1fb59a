"""What the farm shows of castings after the harvest: frozen views, SI figures with their words beside them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from wormbin.castings.loads import FromLoad
from wormbin.castings.lot import Lot
from wormbin.castings.orders import Promise, Stand
from wormbin.castings.origin import Went
from wormbin.figures import Band
from wormbin.records.lots import LotLine


@dataclass(frozen=True, slots=True)
class LotView(Lot):
    """One lot with what it takes in litres, by its own measure (``litres_read``) or the table's. None is below nought.

    ``short`` says that more went out than came in, and what to do; empty when all is well.
    """

    litres: float = 0.0
    bins: tuple[str, ...] = ()
    words: str = ""
    short: str = ""
    called_back: str = ""
    """Why it is called back: the load that turned out bad; empty while none did."""

    @property
    def litres_read(self) -> bool:
        """Whether somebody measured its room; else it is worked out."""
        return self.kg_per_litre is not None

    @property
    def where(self) -> str:
        """ "stock" for what is ready, "coming" for what is on its way, "" for what is all gone."""
        return "stock" if self.in_stock else "coming" if self.kg else ""


@dataclass(frozen=True, slots=True)
class LotLineView:
    """One line of a lot, with what was in it afterwards."""

    entry: str
    on: date
    kind: str
    words: str
    by: str
    note: str
    after_kg: float
    struck: bool = False
    why: str = ""

    @classmethod
    def of(cls, line: LotLine, words: str, after_kg: float = 0.0, why: str | None = None) -> LotLineView:
        """A line in these words; ``why`` it no longer counts, where it does not."""
        day, kind = line.when.date(), line.kind.value
        return cls(line.id, day, kind, words, line.by, line.note, after_kg, why is not None, why or "")


@dataclass(frozen=True, slots=True)
class Given:
    """A feedstock or bedding: key, everyday name, fresh kg."""

    material: str
    name: str
    kg: float


@dataclass(frozen=True, slots=True)
class OriginView:
    """One harvest behind a lot, and what its bin was given since the harvest before."""

    bin: str
    name: str
    on: date
    entry: str
    kg: float
    share: float
    since: date
    feeds: tuple[Given, ...]
    beddings: tuple[Given, ...]
    loads: tuple[FromLoad, ...] = ()


@dataclass(frozen=True, slots=True)
class LotPage:
    """A lot opened: where it came from, and its lines."""

    lot: LotView
    origins: tuple[OriginView, ...]
    lines: tuple[LotLineView, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WentView(Went):
    """Castings of one harvest of a bin in a lot."""

    lot: LotView


@dataclass(frozen=True, slots=True)
class StockView:
    """What is ready to go, lot by lot, and what is on its way. Masses in wet kg, room in litres."""

    kg: float
    litres: float
    waiting_kg: float
    lots: tuple[LotView, ...]


@dataclass(frozen=True, slots=True)
class DeliveryView:
    """What one bin (or tray) can bring to a plan: when it is ripe and how much, and how likely it is by the day.

    ``on`` is the day to take it off, ``harvest_by`` the last day on which that is in time, ``cure_days`` later.
    """

    bin: str
    name: str
    ready: float
    kg: Band
    earliest: date | None
    likely: date | None
    latest: date | None
    harvest_by: date
    on: date | None = None
    cure_days: int = 0
    due_since: date | None = None


@dataclass(frozen=True, slots=True)
class CameView:
    """What came off one bin since a plan was asked for, and in time for it: finished kg, the last of it on a day."""

    bin: str
    name: str
    kg: float
    on: date


@dataclass(frozen=True, slots=True)
class PlanView:
    """A plan: so much by a day, what is in stock, what the bins can bring, and how likely it is that it is enough.

    ``asked_on`` is the day of the plan; ``came`` is None while that is today.
    """

    kg: float
    by: date
    in_stock_kg: float
    on_the_way_kg: float
    brings: Band
    likelihood: float
    cure_days: int
    kept: float
    bins: tuple[DeliveryView, ...]
    words: tuple[str, ...]
    promised_kg: float = 0.0
    needed: tuple[str, ...] = ()
    """The bins that the plan needs; the others are in reserve."""
    weeks: tuple[NeedView, ...] = ()
    begin: tuple[str, ...] = ()
    """What must begin this week."""
    instead: tuple[str, ...] = ()
    """What would make it likely, where it is not."""
    asked_on: date | None = None
    came: tuple[CameView, ...] | None = None
    open: bool = False
    """Whether its day is still to come, so that more may."""


@dataclass(frozen=True, slots=True)
class PromiseView(Promise):
    """A promise, how it stands, and how likely what is there by its day is enough for all so far.

    ``likelihood`` is None for what is no longer open, for worms, and beyond the look-ahead.
    """

    stand: Stand = Stand.OPEN
    likelihood: float | None = None


@dataclass(frozen=True, slots=True)
class NeedView:
    """What a plan asks for in one week, from Monday ``week``; ``money`` is None where no load tells a price."""

    week: date
    harvest: tuple[str, ...]
    harvest_kg: float
    sieve_kg: float
    feed_kg: float
    bedding_kg: float
    minutes: float
    money: float | None


@dataclass(frozen=True, slots=True)
class UseLine:
    """One use: ``said`` by the keeper, litres of castings, and of ``other`` that goes with them; what to do."""

    said: str
    castings_l: float
    other_l: float
    other: str
    do: str
    source: str


@dataclass(frozen=True, slots=True)
class UseView:
    """Uses together. ``stock_l`` is ready, ``waiting_kg`` still cures; ``cautions`` are sentences."""

    uses: tuple[UseLine, ...]
    needed_l: float
    stock_l: float
    waiting_kg: float
    cautions: tuple[str, ...]
