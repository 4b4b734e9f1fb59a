"""One possible course of a bin: its compartments carried forward together, and what entries do to them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log

from wormbin.materials.pieces import pieces
from wormbin.measures.units import HANDY
from wormbin.process import pools
from wormbin.process.flows import Box, Own
from wormbin.process.parameters import Parameters
from wormbin.process.pools import CASTINGS, DRAINED, LEFT, LEFT_RAW, WATER, WORMS, Compartment, Materials
from wormbin.process.step import STEP_DAYS, advance
from wormbin.process.unknown import material_of
from wormbin.records.bins import Bin, Cover
from wormbin.records.entries import Portion
from wormbin.science import response
from wormbin.science.constants import TENTH_SD


@dataclass(slots=True)
class Course:
    """Compartments from the lowest (or left) up, and what this course holds true: logs of the bin's factors.

    ``log_rate`` and ``log_drying`` are against the book; ``log_input`` is how far the keeper's amounts of feed and
    bedding lie off; ``log_fibre`` how fast its fibre goes beside the rest, ``log_yield`` how
    much of what is worked becomes castings.
    """

    parts: list[Compartment]
    log_rate: float = 0.0
    log_drying: float = 0.0
    log_input: float = 0.0
    log_fibre: float = 0.0
    log_yield: float = 0.0

    def copy(self) -> Course:
        """The same course, free to go another way."""
        return Course(
            [part.copy() for part in self.parts],
            self.log_rate,
            self.log_drying,
            self.log_input,
            self.log_fibre,
            self.log_yield,
        )

    @property
    def own(self) -> Own:
        """What this course holds to be the bin's own against the book."""
        return Own(exp(self.log_rate), exp(self.log_drying), exp(self.log_fibre), exp(self.log_yield))

    @property
    def worms_kg(self) -> float:
        """All live worms, kg."""
        return sum(part[WORMS] for part in self.parts)


@dataclass(frozen=True, slots=True)
class Housing:
    """The box that all courses share: one ``Box`` a compartment when it is the uppermost, and when others lie above."""

    open_above: tuple[Box, ...]
    covered: tuple[Box, ...]
    sideways: bool
    depth_m: float
    area_m2: float

    def boxes(self, parts: Sequence[Sequence[float]]) -> tuple[Box, ...]:
        """The box of each compartment as things lie now: in a stack only the uppermost filled tray dries freely."""
        if self.sideways or len(parts) == 1:
            return self.open_above
        top = max((i for i, part in enumerate(parts) if part[WATER] > 0.0 or part[0] > 0.0), default=0)
        return tuple(self.open_above[i] if i >= top else self.covered[i] for i in range(len(parts)))


def housing_of(
    bin_: Bin, p: Parameters, bulk: float = 1.0, *, held: bool = False, humidity: float | None = None
) -> Housing:
    """The boxes of a bin; trays above the lowest always let water through. ``bulk`` as learned from the ruler."""
    dries = {
        Cover.OPEN: p.evaporation_open,
        Cover.LOOSE: p.evaporation_loose,
        Cover.CLOSED: p.evaporation_closed,
    }[bin_.cover]

    def box(number: int, evaporation: float) -> Box:
        drained = bin_.drainage or (number > 0 and not bin_.sideways)
        return Box(bin_.surface_m2, evaporation, drained, str(bin_.species.value), bulk, held, humidity)

    numbers = range(max(1, bin_.compartments))
    return Housing(
        tuple(box(n, dries) for n in numbers),
        tuple(box(n, dries * p.evaporation_under) for n in numbers),
        bin_.sideways,
        bin_.depth_m,
        bin_.surface_m2,
    )


def forward(
    course: Course, days: float, housing: Housing, site_c: float, p: Parameters, step_days: float = STEP_DAYS
) -> None:
    """Carry all compartments on by ``days`` (at most about one); water runs down, the herd follows the feed."""
    parts = course.parts
    own = course.own
    if len(parts) == 1:
        advance(parts[0], days, housing.open_above[0], site_c, own, p, step_days)
        return
    boxes = housing.boxes(parts)
    for i in range(len(parts) - 1, -1, -1):
        part = parts[i]
        before = part[DRAINED]
        advance(part, days, boxes[i], site_c, own, p, step_days)
        if i > 0 and not housing.sideways:
            parts[i - 1][WATER] += part[DRAINED] - before
            part[DRAINED] = before
    _follow_the_feed(parts, days, p)


def _follow_the_feed(parts: list[Compartment], days: float, p: Parameters) -> None:
    """Part of the herd goes where feed it likes lies damp; a little stays wherever there is bedding."""
    herd = sum(part[WORMS] for part in parts)
    if herd <= 0.0:
        return
    pull = [
        (
            p.like_quick * c[0] + p.like_steady * c[1] + p.like_slow * c[2] + p.like_aged * c[3] + p.like_fibre * c[4]
            + 0.01 * c[5]
        )
        * (0.05 + response.moist_eating(pools.moisture(c)))
        for c in parts
    ]  # fmt: skip
    whole = sum(pull)
    if whole <= 0.0:
        return
    goes = 1.0 - exp(-p.moving * days)
    for part, each in zip(parts, pull, strict=True):
        part[WORMS] += goes * (herd * each / whole - part[WORMS])


AMOUNTS_SD = 0.10
"""How unsure an amount is that was weighed or measured out, standard deviation of its natural log (ours)."""
HANDY_SD = 0.25
"""The same of handfuls, pieces and the like, whose size the keeper has said (ours)."""


def times_as_unsure(portion: Portion) -> float:
    """How many times less sure the amount is than one that was weighed; 1 for what was weighed or measured out."""
    number, _, word = portion.said.rpartition(" ")
    measure = next((each for each in (word, word.removesuffix("s"), word.removesuffix("es")) if each in HANDY), "")
    if not measure:
        return 1.0
    piece = pieces().get((measure, portion.material))
    try:
        if piece is not None and piece.is_ours(portion.kg, float(number)):
            return max(1.0, log(piece.high / piece.low) / (2.0 * TENTH_SD) / AMOUNTS_SD)
    except ValueError:
        pass  # "half a"
    return HANDY_SD / AMOUNTS_SD


def put_in(course: Course, part: int, portions: Sequence[Portion], table: Materials, *, feed: bool) -> None:
    """Put portions into a compartment; a feeding starts the count of what is left of it anew."""
    c = course.parts[part]
    for portion in portions:
        material = material_of(table, portion.material, feed=feed)
        kg = portion.kg * exp(course.log_input * times_as_unsure(portion))
        pools.add(c, material, kg, portion.moisture, feed=feed)
    if feed:
        for i in range(LEFT, LEFT + 4):
            c[i] = 1.0
        c[LEFT_RAW] = c[LEFT_RAW + 1] = 1.0


def take_worms(course: Course, part: int, kg: float) -> None:
    """Take live worms out, first from one compartment, then from all; some always stay behind."""
    for c in [course.parts[part], *course.parts]:
        taken = min(kg, 0.98 * c[WORMS])
        c[WORMS] -= taken
        kg -= taken
        if kg <= 1e-12:
            return


ALONG = 0.25
"""Castings come off with some bedding and feed among them: dry matter of these, a share of the castings (ours)."""


def take_castings(course: Course, part: int, wet_kg: float, moisture: float | None) -> None:
    """Take castings off: dry castings first, then what lies with them, each with the water of the harvest.

    No more than ``ALONG`` of what is not castings comes along: what goes beyond that cannot have been castings, and
    the bin is not believed to be the emptier, and its next harvest the nearer, for it.
    """
    c = course.parts[part]
    wet = pools.moisture(c) if moisture is None else moisture
    wanted = wet_kg * (1.0 - wet)
    there = pools.castings(c)
    finished = min(wanted, 0.97 * there)
    if there > 0.0:
        pools.scale_pool(c, CASTINGS, 1.0 - finished / there)
    rest = pools.dry(c) - pools.castings(c)
    along = min(wanted - finished, ALONG * there, 0.95 * rest)
    if along > 0.0:
        for pool in range(CASTINGS):
            pools.scale_pool(c, pool, 1.0 - along / rest)
    off = (finished + along) / wanted if wanted > 0.0 else 1.0
    c[WATER] -= min(off * wet_kg * wet, 0.95 * c[WATER])


def drain(course: Course, part: int, kg: float) -> None:
    """Let water out at the base, kg; never all of it."""
    c = course.parts[part]
    c[WATER] -= min(kg, 0.95 * c[WATER])


def left_of_feeding(c: Compartment, shares: Sequence[float]) -> float:
    """Share of the last feeding that is left, 0-1; ``shares`` is how its fresh mass was spread over the four paces."""
    whole = sum(shares)
    if whole <= 0.0:
        return 0.0
    return sum(share * c[LEFT + i] for i, share in enumerate(shares)) / whole


def fresh_spread(portions: Sequence[Portion], table: Materials) -> list[float]:
    """Fresh mass of a feeding by pace (quick, steady, slow, aged), kg; fibre is left out."""
    spread = [0.0] * 4
    for portion in portions:
        pool = pools.POOL_OF[material_of(table, portion.material, feed=True).pace]
        if pool < len(spread):
            spread[pool] += portion.kg
    return spread
