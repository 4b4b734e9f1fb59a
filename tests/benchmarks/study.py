"""The study of the learning and of the warnings over made-up bins, its tables, and their place in the method page.

``python -m tests.benchmarks.study`` prints the tables; ``--write`` puts them into the method page as well. Bins of
``TUNE_SEED`` may be looked at while the model is worked on; those of ``REPORT_SEED`` and
``BESIDE_SEED`` are only reported on.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from multiprocessing import get_context
from textwrap import wrap

from tests.benchmarks.alarm_tally import alarm_table
from tests.benchmarks.alarms import LEARNED_FROM_DAY, Judgement, judge, warned
from tests.benchmarks.forecasts import Said, forecasts, without_readings
from tests.benchmarks.made_logs import kept
from tests.benchmarks.tally import beside_line, by_day_table, coverage_table, harvest_line
from tests.process import method_page as method
from tests.published import outcomes
from tests.worlds.life import make_bin
from tests.worlds.study import study_story

TUNE_SEED, REPORT_SEED, BESIDE_SEED = 101, 2026, 707
BINS, ALARM_BINS, BESIDE_BINS = 200, 60, 60
WIDTH = 118
PAGE = method.PAGE


@dataclass(frozen=True, slots=True)
class Task:
    """One bin of a study, and whether its warnings are to be walked through as well."""

    seed: int
    number: int
    alarms: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """What one bin came to. ``learned`` and ``untaught`` are None where warnings were not walked through."""

    said: tuple[Said, ...]
    refused: int
    learned: Judgement | None = None
    untaught: Judgement | None = None


def one(task: Task) -> Found:
    """Make a bin, keep its log, ask it, and judge its warnings from ``LEARNED_FROM_DAY`` on."""
    made = kept(make_bin(task.seed, study_story(task.number, task.seed)))
    said = tuple(forecasts(made))
    if not task.alarms:
        return Found(said, made.refused)
    learned = judge(made, warned(made, made.entries), LEARNED_FROM_DAY)
    untaught = judge(made, warned(made, without_readings(made.entries)), LEARNED_FROM_DAY)
    return Found(said, made.refused, learned, untaught)


def run(tasks: Sequence[Task], cores: int) -> list[Found]:
    """Every task, on so many cores, in order."""
    if cores <= 1:
        return [one(task) for task in tasks]
    with get_context("spawn").Pool(cores) as pool:
        return pool.map(one, tasks, chunksize=1)


def tasks(bins: int, alarm_bins: int, seed: int) -> list[Task]:
    """Bins ``0 .. bins - 1`` of a seed; warnings are walked through in the first ``alarm_bins``."""
    return [Task(seed, number, number < alarm_bins) for number in range(bins)]


def tables(found: Sequence[Found], seed: int, beside: Sequence[Found] = ()) -> dict[str, list[str]]:
    """The study's tables by name, in Markdown; each says what it was made of. ``beside`` are of ``BESIDE_SEED``."""
    said = [each for one in found for each in one.said]
    walked = [(one.learned, one.untaught) for one in found if one.learned is not None and one.untaught is not None]
    refused = sum(one.refused for one in found)
    made_of = f"{len(found)} made-up bins of 300 days, seed {seed}; the door refused {refused} mistyped lines."
    out = {
        "coverage": [made_of, "", *coverage_table(said), "", *wrap(harvest_line(said), WIDTH)],
        "by-day": by_day_table(said),
    }
    if beside:
        others = [each for one in beside for each in one.said]
        out["coverage"] += ["", *wrap(beside_line(others, len(beside), BESIDE_SEED) + ".", WIDTH)]
    if walked:
        learned, untaught = [each for each, _ in walked], [each for _, each in walked]
        out["alarms"] = alarm_table(learned, untaught, seed)
    return out


def write(found: dict[str, list[str]]) -> None:
    """Put tables into the method page, and bring its parameters and residuals up to date."""
    page = PAGE.read_text(encoding="utf-8")
    made = {name: list(table) for name, table in method.own_tables().items()}
    found = {**made, "residuals": outcomes.residual_table(outcomes.residuals()), **found}
    for name, lines in found.items():
        page = method.with_table(page, name, lines)
    PAGE.write_text(page, encoding="utf-8", newline="\n")


def main(arguments: Iterable[str] | None = None) -> None:
    """Run the study from the command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.study", description=__doc__.splitlines()[0])
    parser.add_argument("--bins", type=int, default=BINS)
    parser.add_argument("--alarm-bins", type=int, default=ALARM_BINS)
    parser.add_argument("--beside-bins", type=int, default=BESIDE_BINS)
    parser.add_argument("--seed", type=int, default=REPORT_SEED)
    parser.add_argument("--cores", type=int, default=min(2, os.cpu_count() or 1))
    parser.add_argument("--write", action="store_true", help="put the tables into the method page")
    parser.add_argument("--no-study", action="store_true", help="only bring parameters and residuals up to date")
    asked = parser.parse_args(list(arguments) if arguments is not None else None)
    found: dict[str, list[str]] = {}
    if not asked.no_study:
        beside = run(tasks(asked.beside_bins, 0, BESIDE_SEED), asked.cores)
        found = tables(run(tasks(asked.bins, asked.alarm_bins, asked.seed), asked.cores), asked.seed, beside)
    for lines in found.values():
        print("\n".join([*lines, ""]))
    if asked.write:
        write(found)


if __name__ == "__main__":
    main()
