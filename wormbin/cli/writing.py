"""The commands that write one line of the log, or strike one through."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from wormbin.cli.desk import Desk
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


def feed(desk: Desk) -> Exit:
    """Show what a feeding does, hold it back when it is too much, save it."""
    args, farm = desk.args, desk.farm
    portions = list(args.portions)
    if args.bucket:
        portions += feedings.bucket(farm, args.bucket)
    if args.same:
        portions += feedings.last_bucket(farm, args.bin)
    preview = feedings.preview(farm, args.bin, portions, bedding=args.bedding, water=args.water, heading=desk.heading)
    if args.only_try:
        return _told(desk, preview)
    if preview.too_much and not args.yes:
        _told(desk, preview)
        if not ask("Save it all the same?"):
            complain(preview.verdict, "Nothing was saved. --yes saves it all the same.")
            return Exit.HELD_BACK
    recorded = record_feeding(
        farm, args.bin, portions, bedding=args.bedding, water=args.water, heading=desk.heading, anyway=True
    )
    _told(desk, preview, recorded.ids)
    if not desk.paper.json:
        desk.recorded(recorded)
    return Exit.DONE


def _told(desk: Desk, preview: FeedingPreview, ids: Sequence[str] = ()) -> Exit:
    """What the feeding does; with ``--explain`` what to add is opened below."""
    from wormbin.pages.documents import document
    from wormbin.pages.feeding import bucket, feeding
    from wormbin.pages.page import GAP
    from wormbin.pages.sums import sums

    opened = preview.opened if desk.args.explain else ()
    page = [*bucket(preview, bedding=True), *feeding(preview), *(b for each in opened for b in (GAP, *sums(each)))]
    more = {"add_opened": opened} if desk.args.explain else {}
    return desk.answer(page, {**document(preview), "entries": ids, **more})


def check(desk: Desk) -> Exit:
    """Save a check, once unlikely values are asked about."""
    from dataclasses import fields

    from wormbin.farm.views.proposals import CheckDraft

    args, farm, heading = desk.args, desk.farm, desk.heading
    draft = CheckDraft(**{field.name: getattr(args, field.name) or "" for field in fields(CheckDraft)})
    questions = () if args.yes else recording.questions(farm, args.bin, draft, heading)
    for question in questions:
        if not ask(question.words):
            complain(question.words, f"Nothing was saved. Put {question.field} right or leave it out, or add --yes.")
            return Exit.HELD_BACK
    desk.recorded(record_check(farm, args.bin, draft, heading))
    return Exit.DONE


def bedding(desk: Desk) -> Exit:
    """Save bedding."""
    return desk.asked(lambda head: record_bedding(desk.farm, desk.args.bin, desk.args.portions, head))


def water(desk: Desk) -> Exit:
    """Save water put in."""
    return desk.asked(lambda head: record_water(desk.farm, desk.args.bin, desk.args.amount, head))


def drain(desk: Desk) -> Exit:
    """Save water let out."""
    return desk.asked(lambda head: record_drain(desk.farm, desk.args.bin, desk.args.amount, head))


def weigh(desk: Desk) -> Exit:
    """Save a weighing."""
    args = desk.args
    desk.recorded(record_weighing(desk.farm, args.bin, args.amount, with_box=args.with_box, heading=desk.heading))
    return Exit.DONE


def stock(desk: Desk) -> Exit:
    """Save worms put in or taken out."""
    args = desk.args
    return desk.asked(lambda head: record_stocking(desk.farm, args.bin, args.amount, out=args.out, heading=head))


def survey(desk: Desk) -> Exit:
    """Save a survey, with what it says."""
    from wormbin.drawing.marks import plain

    args, sample = desk.args, desk.args.sample or ""
    if args.only_try:
        view = recording.preview_survey(desk.farm, args.bin, args.samples, sample, desk.heading)
        if desk.paper.json:
            desk.paper.document({"worms_kg": view.worms_kg, "more_samples": view.more_samples})
        else:
            desk.paper.lines([plain(view.words)])
        return Exit.DONE

    return desk.asked(lambda head: record_survey(desk.farm, args.bin, args.samples, sample, head))


def move(desk: Desk) -> Exit:
    """Save worms moved."""
    return desk.asked(lambda head: record_move(desk.farm, desk.args.bin, desk.args.to, desk.args.amount, head))


def harvest(desk: Desk) -> Exit:
    """Save castings taken off."""
    args = desk.args
    return desk.asked(
        lambda head: record_harvest(
            desk.farm,
            args.bin,
            args.amount,
            moisture=args.moisture or "",
            worms_out=args.worms_out or "",
            left_behind=args.left_behind or "",
            lot=args.lot,
            heading=head,
        )
    )


def fluff(desk: Desk) -> Exit:
    """Save that it was loosened."""
    desk.recorded(record_fluff(desk.farm, desk.args.bin, desk.heading))
    return Exit.DONE


def note(desk: Desk) -> Exit:
    """Save words."""
    desk.recorded(record_note(desk.farm, desk.args.bin, desk.args.words, desk.heading))
    return Exit.DONE


def start(desk: Desk) -> Exit:
    """Propose a new bin, or write it."""
    from dataclasses import fields

    from wormbin.cli.layout import wrapped
    from wormbin.drawing.marks import plain
    from wormbin.farm.views.proposals import BinDraft

    args = desk.args
    said = {field.name: getattr(args, field.name) for field in fields(BinDraft) if field.name != "key"}
    if not said["started"].strip() and desk.on is not None:
        said["started"] = desk.on.isoformat()
    draft = BinDraft(key=args.bin, **said)
    if args.yes:
        desk.recorded(starts.start(desk.farm, draft))
        return Exit.DONE
    proposal = starts.propose(desk.farm, draft)
    if desk.paper.json:
        desk.paper.document(
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
    desk.paper.lines(text for line in proposal.lines for text in wrapped(line, desk.paper.width, rest="   "))
    desk.paper.lines(["", "To have ready:", *(f"  [ ] {plain(line)}" for line in proposal.shopping), ""])
    desk.paper.lines(text for line in proposal.cautions for text in wrapped(line, desk.paper.width))
    tell("Nothing was saved yet. --yes writes the bin with this bedding, water and worms.")
    return Exit.DONE


def strike(desk: Desk) -> Exit:
    """Strike a line through."""
    args = desk.args
    return desk.agreed(
        lambda asks: recording.strike(desk.farm, args.entry, args.why, desk.keeper, ask=asks), "--yes strikes it."
    )


def undo(desk: Desk) -> Exit:
    """Take the last change back."""
    desk.recorded(recording.undo(desk.farm, desk.keeper))
    return Exit.DONE


def redo(desk: Desk) -> Exit:
    """Do again what was taken back."""
    desk.recorded(recording.redo(desk.farm, desk.keeper))
    return Exit.DONE


def amend(desk: Desk) -> Exit:
    """Write a right line for a wrong one; what is not said again the command itself takes from the wrong one."""
    from wormbin.cli.grammar import parser

    line = logbook.right_line(desk.farm, desk.args.entry)
    command, words = line.command, line.words
    rest = list(desk.args.rest)
    if not rest:
        complain(
            f"amend {line.entry}: what is right instead?",
            f"Give what {command[0]} takes: wormbin amend {line.entry} ... (wormbin {command[0]} --help)",
        )
        return Exit.NOT_UNDERSTOOD
    everywhere = [f"--{name}={value}" for name in ("store", "on", "units") if (value := getattr(desk.args, name))]
    everywhere += ["--json"] if desk.paper.json else []
    amounts = [word for word in rest if not word.startswith("-")]
    if command[0] == "move" and len(amounts) == 1 and amounts[0] == rest[0]:  # they went where they went
        rest = [words[0], *rest]
    elif rest[0].startswith("-"):
        # Words with a hyphen first would be taken for options, but after the sign that there are none any more.
        rest = [*rest, "--", *words] if any(word.startswith("-") for word in words) else [*words, *rest]
    argv = [*everywhere, *command[:-1], f"--replaces={line.entry}", command[-1], *rest]
    again = desk.again(parser(argv).parse_args(argv))
    run: Exit = again.run()
    return run
