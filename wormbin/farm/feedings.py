"""A feeding before it is given: what it does to the bin, what would be right instead, and the usual buckets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from wormbin.advice.feeding import FeedingEffect, feeding_effect
from wormbin.advice.mixing import Proposal
from wormbin.advice.trays import part_name
from wormbin.farm.bins.page import material_name
from wormbin.farm.bins.scene import Scene
from wormbin.farm.heading import NOW, Heading, of_the_day
from wormbin.farm.logbook import ledger_of
from wormbin.farm.session import Session
from wormbin.farm.views import shown_as
from wormbin.farm.views.proposals import PortionView
from wormbin.farm.words.log import portion_words
from wormbin.farm.words.unlikely import kept_out_words, not_meant
from wormbin.figures import Level, Working
from wormbin.measures import mass, tidy
from wormbin.measures.dates import day_words
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Bedding, Entry, Feeding, Portion
from wormbin.schedule.days import feeding_after
from wormbin.science.addition import amount_working


@dataclass(frozen=True, slots=True)
class FeedingPreview(FeedingEffect):
    """What a feeding does to a bin, before it is saved: each portion as it was understood."""

    bin: str
    portions: tuple[PortionView, ...]
    bedding: tuple[PortionView, ...]
    opened: tuple[Working, ...] = ()
    """Each amount that the proposal adds opened, its water last: inputs, formula, source."""
    done: bool = False
    """Given on a day that is over: the level and the verdict tell what it was, and nothing is held back."""

    @property
    def too_much(self) -> bool:
        """Whether it is held back until somebody says to save it anyway."""
        return self.level is Level.ACT and not self.done


@dataclass(frozen=True, slots=True)
class AdvisedBucket:
    """The same feeding cut down to what the bin can take, with the bedding and water to go with it, in words."""

    portions: tuple[str, ...]
    bedding: str
    water: str
    words: str


def _previewed(
    scene: Scene, entries: Sequence[Entry], *, done: bool = False, barred: Sequence[str] = ()
) -> FeedingPreview:
    """What these entries (a feeding with its bedding and water) would do; nothing is saved.

    ``barred`` is why it should not go in, whatever the amount.
    With ``done`` they were given on a day that is over, or a larger line is put right: what they did is told and
    judged, and nothing of it is held.
    """
    feed = tuple(_fed(entries))
    bedding = tuple(portion for entry in entries if isinstance(entry.what, Bedding) for portion in entry.what.portions)
    after = scene.with_written(entries)
    effect = feeding_effect(
        scene.case, after.case, feed, bedding, feeding_after(scene.bin.key, scene.settings, scene.on)
    )
    view = shown_as(
        FeedingPreview, effect, bin=scene.bin.key, portions=tuple(portion_view(each, scene) for each in feed),
        bedding=tuple(portion_view(each, scene) for each in bedding), opened=tuple(_opened(effect.proposal)),
    )  # fmt: skip
    where = next((entry.compartment for entry in entries if isinstance(entry.what, Feeding)), 0)
    if feed and (told := _where(scene, where)):
        view = replace(view, lines=(told, *view.lines))
    if out := (*kept_out_words((*feed, *bedding), scene.table), *barred):
        # Held back until somebody says that it did go in; what to do about it is for the findings.
        effect = replace(effect, level=Level.ACT, verdict="; ".join(out))
        view = replace(view, level=Level.ACT, verdict=effect.verdict)
    if not done:
        until = scene.rests_until
        if feed and until is not None:
            why = f"the harvest is planned for {day_words(until, scene.on)}: feed given now puts it off"
            view = replace(view, lines=(why, *view.lines))
        return view
    was = effect.verdict if out else _was(effect, scene.settings.units)
    verdict = f"a record of {scene.on.isoformat()}: {was}"
    return replace(view, done=True, verdict=verdict, hold_back_kg=0.0, findings=())


def _was(effect: FeedingEffect, units: str) -> str:
    """What a feeding of a day that is over was, in words; what to do about it is for today's findings."""
    if effect.level is Level.STEADY:
        return "right for that day"
    over = effect.total_kg - effect.up_to_kg
    if effect.hold_back_kg > 0 and over > 0:
        could = f"up to {mass(effect.up_to_kg, units)} was right" if effect.up_to_kg > 0 else "best was none"
        much = "too much" if effect.level is Level.ACT else "a little too much"
        return f"{much} for that day, {could}"
    return "; ".join(finding.what for finding in effect.findings) or "more than was right for that day"


def _where(scene: Scene, compartment: int) -> str:
    """Which tray or half the feed goes into, and which it should go into where that is another; "" in a plain bin."""
    advised = scene.tray_to_feed
    if not advised:
        return ""
    put = compartment or scene.past.replay.run.active + 1

    def name(number: int) -> str:
        return part_name(number, scene.bin.compartments, scene.bin.sideways)

    said = f"it goes into the {name(put)}"
    if put == advised:
        return said
    return f"{said}, but the {name(advised)} is the one to feed now: name it as part {advised}"


def _opened(proposal: Proposal) -> Iterator[Working]:
    """Each amount to add opened; one that no balance gives by itself (an aim that gives way) is left out."""
    names = [each.name for each in proposal.beddings] + (["water"] if proposal.water_kg > 0 else [])
    for name in names:
        with suppress(ValueError, StopIteration):
            yield amount_working(proposal.addition, name)


def portion_view(portion: Portion, scene: Scene) -> PortionView:
    """A portion as it was understood."""
    name = material_name(scene)
    words = portion_words(portion, scene.settings.units, name)
    return PortionView(portion.material, name(portion.material), portion.kg, portion.said, words)


def allowed_share(view: FeedingPreview) -> float:
    """The share of the bucket that the bin can take today."""
    return min(1.0, view.up_to_kg / view.total_kg) if view.total_kg > 0 else 0.0


def taken(view: FeedingPreview, share: float) -> tuple[str, ...]:
    """Every portion cut to ``share``, in words that read back; what is under a gram is left out."""
    return tuple(f"{typed(each.kg * share)} {each.material}" for each in view.portions if each.kg * share >= 0.001)


def advised(view: FeedingPreview, units: str) -> AdvisedBucket:
    """Every portion cut in the same share to what the bin can take today; amounts that read back as they are said."""
    share = allowed_share(view)
    portions = taken(view, share)
    bedding = ", ".join(f"{typed(each.kg)} {each.material}" for each in view.proposal.beddings if each.kg >= 0.001)
    water = typed(view.proposal.water_kg, "mL", "L") if view.proposal.water_kg >= 0.001 else ""
    hold = view.total_kg * (1 - share)
    if not portions:
        words = "nothing today: freeze it all"
    elif hold > 0.001:
        words = f"{mass(view.total_kg * share, units)} today. Freeze the other {mass(hold, units)}"
    else:
        words = "right as it is"
    return AdvisedBucket(portions, bedding, water, words)


def typed(kg: float, small: str = "g", large: str = "kg") -> str:
    """A mass that reads back as nearly itself: "135 g", "1.35 kg"."""
    if kg < 1:
        return f"{max(1, round(kg * 1000))} {small}"
    return f"{kg:.2f}".rstrip("0").rstrip(".") + f" {large}"


def preview(
    session: Session,
    bin: str,
    portions: Sequence[str],
    *,
    bedding: Sequence[str] = (),
    water: str = "",
    heading: Heading = NOW,
) -> FeedingPreview:
    """What a feeding does to the bin; nothing is saved."""
    ledger, today = ledger_of(session), session.moment(None).date()
    entries = ledger.feeding(ledger.bin(bin), portions, bedding, water, of_the_day(heading, session.asked_on))
    moment = entries[0].when
    scene = session.scene(bin, moment.date())
    if heading.replaces:
        # The wrong line is struck when this one is written: its feed is not in the bin beside the right one's.
        # And it is judged as of its own time, by nothing that was seen or done later.
        scene = session.cache.without(scene, ledger.line_id(heading.replaces), moment)
    lowered = bool(heading.replaces) and _lowers(session, ledger.line_id(heading.replaces), entries)
    barred = [
        words
        for each in entries
        if isinstance(each.what, Bedding | Feeding)
        for words in not_meant(session, scene.bin, each.what)
    ]
    return _previewed(scene, entries, done=lowered or moment.date() < today, barred=tuple(dict.fromkeys(barred)))


def _lowers(session: Session, wrong: str, entries: Sequence[Entry]) -> bool:
    """Whether no more went in than the wrong line says, and nothing more that should be kept out.

    Held back, the larger line would stay in the log.
    """
    was, now = _fed([session.store.find(wrong)]), _fed(entries)
    known = {each.material for each in was}
    other = [each for each in now if each.material not in known]
    return sum(each.kg for each in now) <= sum(each.kg for each in was) and not kept_out_words(other, session.table)


def _fed(entries: Sequence[Entry]) -> list[Portion]:
    return [portion for entry in entries if isinstance(entry.what, Feeding) for portion in entry.what.portions]


def advised_bucket(session: Session, view: FeedingPreview) -> AdvisedBucket:
    """The same feeding cut down to what the bin can take, in words that can be typed again."""
    from wormbin.materials.material import Role

    belongs = tuple(each for each in view.portions if session.table.get(each.material).role is not Role.KEEP_OUT)
    view = replace(view, portions=belongs, total_kg=sum(each.kg for each in belongs))
    share = allowed_share(view)
    cut = taken(view, share)
    if cut:
        # The bedding and the water are those of what is taken, not of the whole bucket.
        view = replace(view, proposal=preview(session, view.bin, cut).proposal)
    return advised(view, session.units)


def last_bucket(session: Session, bin: str) -> tuple[str, ...]:
    """What the last feeding was, in words that read back the same: "the same as last time"."""
    from wormbin.farm.words.typed import portion_words
    from wormbin.records.entries import Feeding
    from wormbin.records.habits import last_feeding

    scene = session.scene(bin)
    entry = last_feeding(scene.entries, scene.on)
    if entry is None or not isinstance(entry.what, Feeding):
        return ()
    return portion_words(entry.what.portions, ledger_of(session).spoken, session.units)


def bucket(session: Session, name: str) -> tuple[str, ...]:
    """What is in one of the usual buckets."""
    buckets = session.settings().buckets
    for each in buckets:
        if each.name.casefold() == tidy(name).casefold():
            return each.portions
    known = ", ".join(each.name for each in buckets) or "none yet: see wormbin settings bucket"
    raise RefusedError(Problem("bucket", name, f"one of the usual buckets ({known})"))
