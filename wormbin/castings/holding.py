"""What a change of the castings book must not do: take out more than is in, step back, mix fresh into ready ones."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wormbin.castings.lot import ROUNDING_KG, Lot, Moved, lots
from wormbin.measures import mass
from wormbin.problems import Problem, RefusedError
from wormbin.records.kinds.castings import Bad, Heat, Left, Load, Opened, Piled, Released
from wormbin.records.lots import STEPS, Intake, LotLine, LotStep, Measured, Sale, Stepped, Use, lot_key, standing_lots

MOST_GAIN = 2.0
"""A lot that weighs more than twice what the log knows of holds castings that nobody wrote down."""


@dataclass(frozen=True, slots=True)
class _Fault:
    line: LotLine
    problem: Problem
    short_kg: float = 0.0


def hold(before: Sequence[LotLine], after: Sequence[LotLine], units: str) -> None:
    """Raise RefusedError with what this change would do wrong; what was wrong before it does not stop it."""
    known = {line.id for line in standing_lots(list(before))}
    old = {fault.line.id: fault.short_kg for fault in _faults(before, known, units)}
    problems = [
        fault.problem
        for fault in _faults(after, known, units)
        if fault.line.id not in old or fault.short_kg > old[fault.line.id] + ROUNDING_KG
    ]
    if problems:
        raise RefusedError(problems)


def _faults(lines: Sequence[LotLine], known: set[str], units: str) -> Iterator[_Fault]:
    found = lots(lines)
    for lot in found:
        for at, move in enumerate(lot.moves):
            new = move.line.id not in known
            problem = _short(lot, move, known, units) or (_odd(lot, at) if new else None)
            problem = problem or _gained(lot, move, known, units)
            if problem is not None:
                yield _Fault(move.line, problem, move.short_kg)
    there = {lot_key(lot.name) for lot in found}
    gone: defaultdict[str, float] = defaultdict(float)
    for line in standing_lots([each for each in lines if each.about == "lot"]):
        key, what = lot_key(line.lot), line.what
        out_kg = what.kg if isinstance(what, Sale | Use) else 0.0
        if key not in there and (out_kg or line.id not in known):
            gone[key] += out_kg
            yield _Fault(line, _nothing_in(line, line.id in known, units), gone[key])
    yield from (_Fault(line, problem, short) for line, problem, short in _feedstock(lines, units))


def _feedstock(lines: Sequence[LotLine], units: str) -> Iterator[tuple[LotLine, Problem, float]]:
    """What is wrong with loads and piles: two under one name, lines of what there is not, more off than was put on."""
    came: dict[tuple[str, str], LotLine] = {}
    on_kg: defaultdict[str, float] = defaultdict(float)
    for line in standing_lots([each for each in lines if each.about in ("load", "pile")]):
        what, key, on = line.what, lot_key(line.lot), line.when.date().isoformat()
        if isinstance(what, Piled):
            on_kg[key] += what.kg
        elif isinstance(what, Heat | Released) and key not in on_kg:
            yield line, Problem("pile", line.lot, f"a pile that something was put on by {on}"), 0.0
        elif isinstance(what, Released):
            on_kg[key] -= what.kg
            if on_kg[key] < -ROUNDING_KG:
                allowed = f"up to {mass(on_kg[key] + what.kg, units)}, as no more was put on pile {line.lot}"
                yield line, Problem("amount", mass(what.kg, units), allowed), -on_kg[key]
        if isinstance(what, Load | Released):
            first = came.setdefault(("load", key), line)
            same = isinstance(what, Released) and isinstance(first.what, Released)
            if first is not line and not (same and first.what.material == what.material):  # type: ignore[union-attr]
                allowed = "a name that no other load has, so that a bag can be traced"
                yield line, Problem("load", line.lot, allowed, f"{line.lot}-2"), 0.0
        elif isinstance(what, Opened | Left | Bad) and ("load", key) not in came:
            yield line, Problem("load", line.lot, f"a load that came in by {on}"), 0.0


def _nothing_in(line: LotLine, was_there: bool, units: str) -> Problem:
    what = line.what
    if was_there and isinstance(what, Sale | Use):
        return _strike_first(line.lot, f"that {_gone(line, units)}", "nothing would be left in it")
    return Problem(
        "lot", line.lot, "a lot that castings were harvested into", "wormbin harvest kitchen 4kg --lot spring"
    )


def _gone(line: LotLine, units: str) -> str:
    what = line.what
    assert isinstance(what, Sale | Use)
    done = "sold" if isinstance(what, Sale) else "used"
    return f"{mass(what.kg, units)} were {done} on {line.when.date().isoformat()} (line {line.id})"


def _short(lot: Lot, move: Moved, known: set[str], units: str) -> Problem | None:
    if not move.short_kg:
        return None
    on = move.line.when.date().isoformat()
    there = mass(max(0.0, move.before_kg), units)
    if move.line.id not in known:
        return Problem("amount", mass(move.out_kg, units), f"up to {there}, which is what lot {lot.name} held on {on}")
    new = [each for each in lot.moves if each.out_kg and each.line.id not in known]
    if new:
        most = mass(max(0.0, new[0].out_kg - move.short_kg), units)
        return Problem("amount", mass(new[0].out_kg, units), f"up to {most}, since {_gone(move.line, units)}")
    return _strike_first(lot.name, f"that {_gone(move.line, units)}", f"only {there} would have been in it")


def _strike_first(lot: str, what: str, why: str) -> Problem:
    """The refusal of what another line rests on."""
    return Problem("lot", lot, "another line", said=f"first strike {what}. Else {why}.")


def _gained(lot: Lot, move: Moved, known: set[str], units: str) -> Problem | None:
    what = move.line.what
    if not isinstance(what, Stepped | Measured) or what.kg is None or what.kg <= MOST_GAIN * move.before_kg:
        return None
    there, read = mass(max(0.0, move.before_kg), units), mass(what.kg, units)
    if move.line.id not in known:
        return Problem("mass", read, f"up to twice the {there} that the log knows of; write the missing harvest first")
    on = move.line.when.date().isoformat()
    return _strike_first(
        lot.name, f"that it weighed {read} on {on} (line {move.line.id})", f"only {there} came into it"
    )


def _odd(lot: Lot, at: int) -> Problem | None:
    """What is wrong with a new line where it stands among the others of its lot."""
    move = lot.moves[at]
    what, on = move.line.what, move.line.when.date().isoformat()
    came = [each for each in lot.moves[:at] if isinstance(each.line.what, Intake)]
    reached = [each.line.what for each in lot.moves[:at] if isinstance(each.line.what, Stepped)]
    step = reached[-1].step if reached else LotStep.HARVESTED
    if isinstance(what, Intake):
        if STEPS.index(step) >= STEPS.index(LotStep.SCREENED):
            allowed = (
                f"a lot that is not {_is(step)} yet, so that a bag can be traced; give fresh castings one of their own"
            )
            return Problem("lot", lot.name, allowed, "harvest kitchen 4kg --lot may-2")
        return None
    if not came:
        return Problem("lot", lot.name, f"a day on which castings were in it already (it was opened later than {on})")
    if isinstance(what, Stepped) and STEPS.index(what.step) <= STEPS.index(step):
        later = ", ".join(STEPS[STEPS.index(step) + 1 :])
        if not later:
            whole = (
                f"lot {lot.name} is in stock already, and no step comes after that. Was a step wrong? Strike its line."
            )
            return Problem("step", what.step.value, "nothing", whole=whole)
        return Problem("step", what.step.value, f"a step after {step.value}: {later}")
    return None


def _is(step: LotStep) -> str:
    return "in stock" if step is LotStep.STOCK else step.value
