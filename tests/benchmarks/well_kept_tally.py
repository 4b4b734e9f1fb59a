"""The tables of well-kept and of troubled plain bins: messages a bin-month by code, and who was told in time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from statistics import median

from tests.benchmarks.well_kept import MONTH_DAYS, NEWS, Message, Told, Walked
from tests.worlds.plain_story import Mishap
from wormbin.figures import Level

EXAMPLES, WORST = 3, 4


def months(walked: Sequence[Walked]) -> float:
    """Bin-months that were opened evening by evening."""
    return sum(each.evenings for each in walked) / MONTH_DAYS


def messages(walked: Sequence[Walked]) -> list[Message]:
    """Every message of every bin."""
    return [said for each in walked for said in each.messages]


def a_month(walked: Sequence[Walked]) -> float:
    """Messages above steady a bin-month, whatever they tell."""
    return len(messages(walked)) / max(months(walked), 1e-9)


def in_time(told: Sequence[Told]) -> float:
    """Share of troubled bins of which a fitting word stood on the evening of the second odd reading."""
    return sum(each.stands for each in told) / max(1, len(told))


def message_table(walked: Sequence[Walked]) -> list[str]:
    """Messages above steady by code, in Markdown, then the totals and each bin's own count."""
    said, over = messages(walked), max(months(walked), 1e-9)
    lines = [
        f"{len(walked)} well-kept bins opened every evening: {over:.1f} bin-months, {len(said)} messages above steady.",
        "",
        "| code | messages | a bin-month | of them act | borne out | false a bin-month | evenings each stood |",
        "| --- | --- | --- | --- | --- | --- | --- |",
    ]
    for code, count in Counter(each.code for each in said).most_common():
        some = [each for each in said if each.code == code]
        true = sum(each.true for each in some)
        stood = median((each.last - each.first).days + 1 for each in some)
        act = sum(each.level is Level.ACT for each in some)
        false = (count - true) / over
        lines.append(f"| {code} | {count} | {count / over:.2f} | {act} | {true} | {false:.2f} | {stood:g} |")
    plain = [each for each in said if each.code not in NEWS]
    untrue = sum(not each.true for each in said)
    act = sum(each.level is Level.ACT for each in said)
    met_of = f"{sum(each.harvests_told for each in walked)} of {sum(each.harvests_due for each in walked)}"
    turned = sum(each.turned for each in walked) / over
    lines.append(
        f"| all | {len(said)} | {len(said) / over:.2f} | {act} | {len(said) - untrue} | {untrue / over:.2f} | |"
    )
    lines += [
        "",
        f"Without the news of a harvest {len(plain) / over:.2f} a bin-month; rows left steady {turned:.2f} times.",
    ]
    lines.append(f"Harvests told within ten days of being due: {met_of}.")
    lines.append("By bin: " + ", ".join(f"{each.bin} {len(each.messages)}" for each in walked) + ".")
    return lines


def example_lines(walked: Sequence[Walked]) -> list[str]:
    """A few messages of each of the worst codes that the truth did not bear out: day, words, last check, truth."""
    false = [each for each in messages(walked) if not each.true]
    lines = ["Not borne out, some of each of the worst codes:"]
    for code, count in Counter(each.code for each in false).most_common(WORST):
        some = [each for each in false if each.code == code]
        lines.append(f"{code} ({count}):")
        for each in some[:: max(1, len(some) // EXAMPLES)][:EXAMPLES]:
            so, evenings = each.truth, (each.last - each.first).days + 1
            truth = (
                f"moisture {so.moisture:.1%}, {so.waiting_days:.0f} days of work ({so.waiting_kg_m2:.1f} kg/m2), "
                f"{so.temp_c:.1f} C, pH {so.ph:.1f}, worms {so.worms_kg_m2:.1f} kg/m2, castings {so.castings_share:.0%}"
            )
            lines.append(f"  {each.bin} {each.first} {each.level.value}, {evenings} evenings: {each.what}")
            lines += [f"      why: {each.why}", f"      read {each.read}; truth: {truth}"]
    return lines


def told_table(told: Sequence[Told]) -> list[str]:
    """Who was told of which trouble by the second odd reading, in Markdown, then each bin that was not."""
    lines = [
        "| trouble | bins | told by 2nd odd reading | on 1st | days late | second look asked | fed on 2nd, most g |",
        "| --- | --- | --- | --- | --- | --- | --- |",
    ]
    for mishap in Mishap:
        some = [each for each in told if each.mishap is mishap]
        if some:
            lines.append(f"| {mishap.value} {_row(some)}")
    lines += [f"| all {_row(told)}", ""]
    for each in told:
        if not each.stands or each.late != 0:
            when = "never told" if each.word is None else f"told on day {each.word}"
            lines.append(
                f"{each.mishap.value}, {each.bin}: so from {each.began}, read on {each.first}, {each.second}; {when}"
            )
            lines.append(f"    on the first: {', '.join(each.on_first) or 'steady'}: {each.headline_first}")
            lines.append(f"    on the second: {', '.join(each.on_second) or 'steady'}: {each.headline_second}")
    return lines


def _row(some: Sequence[Told]) -> str:
    late = ", ".join("never" if each.late is None else str(each.late) for each in some) if len(some) <= 8 else ""
    first = sum(each.word is not None and each.word <= each.first for each in some)
    fed = [each.feed_kg for each in some if each.feed_kg > 0]
    most = f", {1000 * max(fed):.0f}" if fed else ""
    return (
        f"| {len(some)} | {sum(each.stands for each in some)} | {first} | {late} "
        f"| {sum(each.asks for each in some)} | {len(fed)}{most} |"
    )
