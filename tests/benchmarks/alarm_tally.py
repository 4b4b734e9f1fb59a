"""Warnings of many bins put together: share caught in time, false alarms a bin-month, before and after learning."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from tests.benchmarks.alarms import ASKED, CODES, LEARNED_FROM_DAY, MONTH_DAYS, Judgement
from tests.worlds.truth import Trouble


@dataclass(frozen=True, slots=True)
class Alarms:
    """One kind of trouble (or several together) over many bins."""

    met: int
    caught: int
    false: int
    months: float

    @property
    def share(self) -> float:
        """Share of the troubles that were caught in time; 1 when there were none."""
        return self.caught / self.met if self.met else 1.0

    @property
    def false_a_month(self) -> float:
        """False alarms per bin-month."""
        return self.false / self.months if self.months else 0.0


def tallied(judged: Sequence[Judgement], kinds: Sequence[Trouble]) -> Alarms:
    """The tally of some kinds of trouble."""
    troubles = [each for one in judged for each in one.troubles if each.kind in kinds]
    return Alarms(
        met=len(troubles),
        caught=sum(each.caught for each in troubles),
        false=sum(each.kind in kinds for one in judged for each in one.alarms),
        months=sum(one.evenings for one in judged) / MONTH_DAYS,
    )


def blamed(judged: Sequence[Judgement]) -> Counter[str]:
    """How many false alarms each finding's code had a part in."""
    return Counter(code for one in judged for each in one.alarms for code in each.codes)


def alarm_table(learned: Sequence[Judgement], untaught: Sequence[Judgement], seed: int) -> list[str]:
    """The table, in Markdown."""
    months = sum(one.evenings for one in learned) / MONTH_DAYS
    over = f"{len(learned)} of these bins (seed {seed}), every evening from day {LEARNED_FROM_DAY} on"
    lines = [
        f"{over}: {months:.0f} bin-months.",
        "",
        "| trouble | met | caught in time, untaught | learned | false alarms a bin-month, untaught | learned |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    rows: list[tuple[str, Sequence[Trouble]]] = [(kind.value, (kind,)) for kind in CODES]
    rows += [("overfed, air short and due", ASKED), ("all", tuple(CODES))]
    for name, kinds in rows:
        plain, taught = tallied(untaught, kinds), tallied(learned, kinds)
        lines.append(
            f"| {name} | {taught.met} | {_share(plain)} | {_share(taught)} | {plain.false_a_month:.2f} "
            f"| {taught.false_a_month:.2f} |"
        )
    for name, judged in (("untaught", untaught), ("learned", learned)):
        short = [each for one in judged for each in one.troubles if each.kind is Trouble.AIR_SHORT]
        if short:
            let_in = sum(each.fluffed for each in short)
            lines += ["", f"Air short, {name}: in {let_in} of {len(short)} some finding said in time to let air in."]
    return lines


def _share(alarms: Alarms) -> str:
    return f"{alarms.share:.0%}" if alarms.met else "none met"
