"""The commands that write one line of the log, or strike one through."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from wormbin.cli.call import Call
from wormbin.cli.exits import Exit, ask, complain, tell
from wormbin.farm import feedings, logbook, recording, starts
from wormbin.farm.recording.lines import (
    record_bedding,
    record_check,
    record_drain,
    record_feeding,
    record_fluff,
    record_harvest,
    record_move,
    record_note,
    record_stocking,
    record_survey,
    record_water,
    record_weighing,
)

if TYPE_CHECKING:
    from wormbin.farm.views.proposals import FeedingPreview


def feed(call: Call) -> Exit:
    """Show what a feeding does, hold it back when it is too much, save it."""
    args, farm = call.args, call.farm
    portions = list(args.portions)
    if args.bucket:
        portions += feedings.bucket(farm, args.bucket)
    if args.same:
        portions += feedings.last_bucket(farm, args.bin)
    preview = feedings.preview(farm, args.bin, portions, bedding=args.bedding, water=args.water, heading=call.heading)
    if args.only_try:
        return _told(call, preview)
    if preview.too_much and not args.yes:
        _told(call, preview)
        if not ask("Save it all the same?"):
            complain(preview.verdict, "Nothing was saved. --yes saves it all the same.")
            return Exit.HELD_BACK
    recorded = record_feeding(
        farm, args.bin, portions, bedding=args.bedding, water=args.water, heading=call.heading, anyway=True
    )
    _told(call, preview, recorded.ids)
    if not call.paper.json:
        call.recorded(recorded)
    return Exit.DONE


def _told(call: Call, preview: FeedingPreview, ids: Sequence[str] = ()) -> Exit:
    """What the feeding does; with ``--explain`` what to add is opened below."""
    from wormbin.pages.documents import document
    from wormbin.pages.feeding import bucket, feeding
    from wormbin.pages.page import GAP
    from wormbin.pages.sums import sums

    opened = preview.opened if call.args.explain else ()
    page = [*bucket(preview, bedding=True), *feeding(preview), *(b for each in opened for b in (GAP, *sums(each)))]
    more = {"add_opened": opened} if call.args.explain else {}
    return call.answer(page, {**document(preview), "entries": ids, **more})


def check(call: Call) -> Exit:
    """Save a check, once unlikely values are asked about."""
    from dataclasses import fields

    from wormbin.farm.views.proposals import CheckDraft

    args, farm, heading = call.args, call.farm, call.heading
    draft = CheckDraft(**{field.name: getattr(args, field.name) or "" for field in fields(CheckDraft)})
    questions = () if args.yes else recording.questions(farm, args.bin, draft, heading)
    for question in questions:
        if not ask(question.words):
            complain(question.words, f"Nothing was saved. Put {question.field} right or leave it out, or add --yes.")
            return Exit.HELD_BACK
    call.recorded(record_check(farm, args.bin, draft, heading))
    return Exit.DONE


def bedding(call: Call) -> Exit:
    """Save bedding."""
    return call.asked(lambda head: record_bedding(call.farm, call.args.bin, call.args.portions, head))


def water(call: Call) -> Exit:
    """Save water put in."""
    return call.asked(lambda head: record_water(call.farm, call.args.bin, call.args.amount, head))


def drain(call: Call) -> Exit:
    """Save water let out."""
    return call.asked(lambda head: record_drain(call.farm, call.args.bin, call.args.amount, head))


def weigh(call: Call) -> Exit:
    """Save a weighing."""
    args = call.args
    call.recorded(record_weighing(call.farm, args.bin, args.amount, with_box=args.with_box, heading=call.heading))
    return Exit.DONE


def stock(call: Call) -> Exit:
    """Save worms put in or taken out."""
    args = call.args
    return call.asked(lambda head: record_stocking(call.farm, args.bin, args.amount, out=args.out, heading=head))


def survey(call: Call) -> Exit:
    """Save a survey, with what it says."""
    from wormbin.drawing.marks import plain

    args, sample = call.args, call.args.sample or ""
    if args.only_try:
        view = recording.preview_survey(call.farm, args.bin, args.samples, sample, call.heading)
        if call.paper.json:
            call.paper.document({"worms_kg": view.worms_kg, "more_samples": view.more_samples})
        else:
            call.paper.lines([plain(view.words)])
        return Exit.DONE

    return call.asked(lambda head: record_survey(call.farm, args.bin, args.samples, sample, head))


def move(call: Call) -> Exit:
    """Save worms moved."""
    return call.asked(lambda head: record_move(call.farm, call.args.bin, call.args.to, call.args.amount, head))


def harvest(call: Call) -> Exit:
    """Save castings taken off."""
    args = call.args
    return call.asked(
        lambda head: record_harvest(
            call.farm,
            args.bin,
            args.amount,
            moisture=args.moisture or "",
            worms_out=args.worms_out or "",
            left_behind=args.left_behind or "",
            lot=args.lot,
            heading=head,
        )
    )


def fluff(call: Call) -> Exit:
    """Save that it was loosened."""
    call.recorded(record_fluff(call.farm, call.args.bin, call.heading))
    return Exit.DONE


def note(call: Call) -> Exit:
    """Save words."""
    call.recorded(record_note(call.farm, call.args.bin, call.args.words, call.heading))
    return Exit.DONE


def start(call: Call) -> Exit:
    """Propose a new bin, or write it."""
    from dataclasses import fields

    from wormbin.cli.layout import wrapped
    from wormbin.drawing.marks import plain
    from wormbin.farm.views.proposals import BinDraft

    args = call.args
    said = {field.name: getattr(args, field.name) for field in fields(BinDraft) if field.name != "key"}
    if not said["started"].strip() and call.on is not None:
        said["started"] = call.on.isoformat()
    draft = BinDraft(key=args.bin, **said)
    if args.yes:
        call.recorded(starts.start(call.farm, draft))
        return Exit.DONE
    proposal = starts.propose(call.farm, draft)
    if call.paper.json:
        call.paper.document(
            {
                "bin": proposal.bin,
                "bedding": [{"material": each.material, "kg": each.kg} for each in proposal.beddings],
                "water_kg": proposal.water_kg,
                "worms_kg": proposal.worms_kg,
                "feed_kg_week": proposal.feed_kg_week,
                "cautions": proposal.cautions,
            }
        )
        return Exit.DONE
    call.paper.lines(text for line in proposal.lines for text in wrapped(line, call.paper.width, rest="   "))
    call.paper.lines(["", "To have ready:", *(f"  [ ] {plain(line)}" for line in proposal.shopping), ""])
    call.paper.lines(text for line in proposal.cautions for text in wrapped(line, call.paper.width))
    tell("Nothing was saved yet. --yes writes the bin with this bedding, water and worms.")
    return Exit.DONE


def strike(call: Call) -> Exit:
    """Strike a line through."""
    args = call.args
    return call.agreed(
        lambda asks: recording.strike(call.farm, args.entry, args.why, call.keeper, ask=asks), "--yes strikes it."
    )


def undo(call: Call) -> Exit:
    """Take the last change back."""
    call.recorded(recording.undo(call.farm, call.keeper))
    return Exit.DONE


def redo(call: Call) -> Exit:
    """Do again what was taken back."""
    call.recorded(recording.redo(call.farm, call.keeper))
    return Exit.DONE


def amend(call: Call) -> Exit:
    """Write a right line for a wrong one; what is not said again the command itself takes from the wrong one."""
    line = logbook.right_line(call.farm, call.args.entry)
    command, words = line.command, line.words
    rest = list(call.args.rest)
    if not rest:
        complain(
            f"amend {line.entry}: what is right instead?",
            f"Give what {command[0]} takes: wormbin amend {line.entry} ... (wormbin {command[0]} --help)",
        )
        return Exit.NOT_UNDERSTOOD
    everywhere = [f"--{name}={value}" for name in ("store", "on", "units") if (value := getattr(call.args, name))]
    everywhere += ["--json"] if call.paper.json else []
    amounts = [word for word in rest if not word.startswith("-")]
    if command[0] == "move" and len(amounts) == 1 and amounts[0] == rest[0]:  # they went where they went
        rest = [words[0], *rest]
    elif rest[0].startswith("-"):
        # Words with a hyphen first would be taken for options, but after the sign that there are none any more.
        rest = [*rest, "--", *words] if any(word.startswith("-") for word in words) else [*words, *rest]
    argv = [*everywhere, *command[:-1], f"--replaces={line.entry}", command[-1], *rest]
    again = call.again(argv)
    run: Exit = again.run()
    return run
