"""A feeding before it is given: what it does to the bin, what would be right instead, and the buckets of the house."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from wormbin.farm.heading import NOW, Heading, of_the_day
from wormbin.farm.logbook import ledger_of
from wormbin.measures import tidy
from wormbin.problems import Problem, RefusedError

if TYPE_CHECKING:
    from wormbin.farm.feedings.view import AdvisedBucket
    from wormbin.farm.session import Session
    from wormbin.farm.views.proposals import FeedingPreview


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
    from wormbin.farm.feedings import view

    ledger, today = ledger_of(session), session.moment(None).date()
    entries = ledger.feeding(ledger.bin(bin), portions, bedding, water, of_the_day(heading, session.asked_on))
    moment = entries[0].when
    scene = session.scene(bin, moment.date())
    if heading.replaces:
        # The wrong line is struck when this one is written: its feed is not in the bin beside the right one's.
        # And it is judged as of its own time, by nothing that was seen or done later.
        scene = session.cache.without(scene, ledger.line_id(heading.replaces), moment)
    return view.preview(scene, entries, done=moment.date() < today)


def advised_bucket(session: Session, view: FeedingPreview) -> AdvisedBucket:
    """The same feeding cut down to what the bin can take, in words that can be typed again."""
    from wormbin.farm.feedings.view import advised, allowed_share, taken
    from wormbin.materials.material import Role

    belongs = tuple(each for each in view.portions if session.table.get(each.material).role is not Role.KEEP_OUT)
    view = replace(view, portions=belongs, total_kg=sum(each.kg for each in belongs))
    share = allowed_share(view)
    cut = taken(view, share)
    if cut:
        # The bedding and the water are those of what is taken, not of the whole bucket.
        right = preview(session, view.bin, cut)
        view = replace(view, add=right.add, add_water_kg=right.add_water_kg)
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
