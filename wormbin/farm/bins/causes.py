"""What signs may mean, ranked by what the log shows; and the five steps for worms that are dying or leaving."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from wormbin.advice.finding import Finding
from wormbin.advice.rules import signs
from wormbin.advice.rules.signs import emergency, seen_and_smelt
from wormbin.farm.bins.scene import Scene
from wormbin.figures import Level
from wormbin.measures import told
from wormbin.records.entries import Check, Entry

# Which findings of the model speak for the cause that a sign points to.
_SPEAK_FOR = {
    "smell-rotten": ("overfed", "left-over", "too-wet", "air-short", "standing-water"),
    "smell-ammonia": ("nitrogen-rich", "too-alkaline", "overfed"),
    "smell-sour": ("sour", "too-sour", "overfed", "left-over"),
    "red-mites": ("too-wet", "overfed", "sour", "too-sour", "left-over"),
    "mites": ("too-wet", "overfed", "sour", "too-sour", "left-over"),
    "flies": ("overfed", "fed-over", "left-over", "thick-layer"),
    "soldier-flies": ("overfed", "left-over", "nitrogen-rich", "too-hot"),
    "ants": ("too-dry",),
    "mould": ("overfed", "left-over", "new-bin"),
    "pale-worms": ("hungry", "crowded", "harvest-due", "harvest-late", "falling"),
    "swollen-worms": ("nitrogen-rich", "overfed", "sour", "too-sour", "heat-to-come"),
    "pot-worms": ("sour", "too-sour", "too-wet"),
    "dying": ("too-hot", "too-cold", "too-dry", "too-wet", "air-short", "too-sour", "sour", "nitrogen-rich"),
    "leaving": ("too-wet", "standing-water", "air-short", "too-dry", "too-hot", "too-sour", "sour", "crowded"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Cause:
    """One sign's likely cause as a finding, and what the log says to it; ``supported`` when it speaks for it."""

    finding: Finding
    supported: bool
    log_says: str


def causes(scene: Scene, check: Entry) -> tuple[Cause, ...]:
    """A cause for every sign of ``check`` (not saved): emergencies first, then those that the log speaks for."""
    assert isinstance(check.what, Check)
    seen = [replace(check, what=Check(seen=(sign,))) for sign in check.what.seen]
    if check.what.smell:
        seen.append(replace(check, what=Check(smell=check.what.smell)))
    found: dict[str, Cause] = {}
    for entry in seen:
        case = replace(scene.case, entries=(*_without_checks_of_today(scene), entry))
        for finding in (emergency(case), seen_and_smelt(case)):
            if finding is not None and finding.code not in found:
                found[finding.code] = _cause(finding, scene.findings)
    return tuple(sorted(found.values(), key=_order))


def _without_checks_of_today(scene: Scene) -> tuple[Entry, ...]:
    return tuple(
        entry for entry in scene.entries if not (isinstance(entry.what, Check) and entry.when.date() == scene.on)
    )


def _cause(finding: Finding, known: Sequence[Finding]) -> Cause:
    speaking = [
        each for each in known if each.code in _SPEAK_FOR.get(finding.code, ()) and each.level is not Level.STEADY
    ]
    if speaking:
        return Cause(finding, True, "speaks for it: " + "; ".join(each.what for each in speaking[:2]))
    return Cause(finding, False, "nothing in it speaks for or against this")


def _order(cause: Cause) -> tuple[bool, bool, int, float, str]:
    finding = cause.finding
    return (not finding.emergency, not cause.supported, -finding.level.rank, -finding.urgency, finding.code)


def five_steps(scene: Scene | None) -> tuple[str, ...]:
    """The steps, with the amounts for this bin where there is one."""
    if scene is None:
        return signs.five_steps()
    seen = Entry("emergency0", scene.bin.key, scene.now, Check(seen=("worms dying",)))
    found = signs.emergency(replace(scene.case, entries=(*scene.entries, seen)))
    steps = found.do if found is not None else signs.five_steps()
    return tuple(told(step, scene.settings.units) for step in steps)
