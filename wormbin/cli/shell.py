"""What a shell asks of the commands: how a line may go on, and a page for the manual, both made from their table."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence

from wormbin import farm
from wormbin.cli.call import Call
from wormbin.cli.grammar import Commands, Parser, option
from wormbin.cli.output import Exit

COMMANDS = Commands()
SCRIPTS = {
    "bash": """\
_wormbin() {
    local IFS=$'\\n'
    COMPREPLY=($(wormbin completion words -- "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null | cut -f1 | sed 's/ /\\\\ /g'))
}
complete -o default -o nosort -F _wormbin wormbin
""",
    "zsh": """\
#compdef wormbin
_wormbin() {
    local -a found
    local line=("${(@)words[2,CURRENT]}")
    found=("${(@f)$(wormbin completion words -- "$line[@]" 2>/dev/null | sed -e 's/:/\\\\:/g' -e 's/\\t/:/')}")
    [[ -n "${found[1]}" ]] && _describe 'wormbin' found || _files
}
compdef _wormbin wormbin
""",
    "fish": """\
function __wormbin
    set -l begun (commandline -ct)
    wormbin completion words -- (commandline -opc)[2..-1] "$begun" 2>/dev/null
end
complete -c wormbin -f -a '(__wormbin)'
complete -c wormbin -F -n '__fish_seen_subcommand_from import export report calendar store'
""",
}
ENTRIES_OFFERED = 30


@COMMANDS.add(
    "completion",
    "text that makes your shell finish commands, options, bins, lots and ids; or a manual page",
    option("shell", metavar="WHAT", choices=(*SCRIPTS, "man", "words"), help="bash, zsh, fish; man: the manual page"),
    option("line", metavar="WORD", nargs=argparse.REMAINDER, help="for the shell itself: the words so far"),
    examples=["completion bash", "completion man"],
    more="bash  wormbin completion bash > ~/.local/share/bash-completion/completions/wormbin\n"
    "zsh   wormbin completion zsh > a folder of $fpath/_wormbin\n"
    "fish  wormbin completion fish > ~/.config/fish/completions/wormbin.fish\n"
    "man   wormbin completion man > ~/.local/share/man/man1/wormbin.1",
)
def _completion(call: Call) -> Exit:
    if call.args.shell == "words":
        call.output.lines("\t".join(filter(None, each)) for each in finished(call, call.args.line))
    else:
        call.output.raw(manual(call.args.whole()) if call.args.shell == "man" else SCRIPTS[call.args.shell])
    return Exit.DONE


def finished(call: Call, line: Sequence[str]) -> Iterator[tuple[str, str]]:
    """What the last word of the line may become, with what it is."""
    *before, begun = line or [""]
    at: Parser = call.args.whole()
    place, waits = 0, None
    for word in before:
        if waits is not None:
            waits = None
        elif word.startswith("-"):
            waits = next((each for each in at._actions if word in each.option_strings and each.nargs is None), None)
            if isinstance(waits, argparse._StoreTrueAction | argparse._HelpAction):
                waits = None
        elif (inner := _inner(at, word)) is not None:
            at, place = inner, 0
        else:
            place += 1
    for word, what in _offers(call, at, place, waits, begun):
        if word.startswith(begun):
            yield word, what


def _inner(at: Parser, word: str) -> Parser | None:
    found = (each.choices.get(word) for each in at._actions if isinstance(each, argparse._SubParsersAction))
    return next((each for each in found if isinstance(each, Parser)), None)


def _offers(call: Call, at: Parser, place: int, waits: argparse.Action | None, begun: str) -> Iterator[tuple[str, str]]:
    if waits is None and begun.startswith("-"):
        for each in at._actions:
            for word in each.option_strings:
                yield word, each.help or ""
        return
    rows = [each for each in at._actions if not each.option_strings]
    if waits is None and rows:
        row = rows[min(place, len(rows) - 1)]
        waits = row if place < len(rows) or row.nargs in ("*", "+") else None
    if isinstance(waits, argparse._SubParsersAction):
        for word, each in waits.choices.items():
            if each.prog.endswith(f" {word}"):  # not the name that it had before
                yield word, (each.description or "").partition(".")[0]
    elif waits is not None and waits.choices is not None:
        yield from ((str(each), "") for each in waits.choices)
    elif waits is not None:
        yield from _known(call, str(waits.metavar or waits.dest))


def _known(call: Call, what: str) -> Iterator[tuple[str, str]]:
    """The bins, lots, ids or settings of this store; nothing of what cannot be read."""
    from wormbin.problems import RefusedError

    if what.startswith("{"):
        yield from ((each, "") for each in what.strip("{}").split(","))
        return
    session = call.farm
    try:
        match what.upper():
            case "BIN" | "INTO":
                yield from ((one.key, one.name) for one in session.bins())
            case "LOT":
                yield from ((lot.name, lot.words) for lot in farm.lots.Lots(session).all())
            case "ENTRY":
                lines = sorted((entry for _, log in session.logs for entry in log), key=lambda each: each.when)
                for entry in lines[: -ENTRIES_OFFERED - 1 : -1]:
                    yield entry.id, f"{entry.when:%Y-%m-%d} {entry.bin} {entry.kind}"
            case "SETTING":
                yield from farm.settings.setting_words(session).items()
            case "MATERIAL" | "WORD":
                yield from ((each.key, each.name) for each in session.table)
            case "KEEPER" | "NAME":
                yield from ((name, "") for name in session.farm().keepers)
    except (RefusedError, OSError):
        return


def manual(whole: Parser) -> str:
    """A page of the manual in the form that ``man`` reads (man(7)), of the program's parser."""
    from wormbin import __version__

    def plain(text: str) -> str:
        lines = text.replace("\\", "\\e").replace("-", "\\-").splitlines()
        return "\n".join(f"\\&{line}" if line[:1] in (".", "'") else line for line in lines)

    made = [
        f'.TH WORMBIN 1 "" "wormbin {__version__}"',
        ".SH NAME",
        "wormbin \\- the log of a worm bin, and a look ahead",
    ]
    made += [".SH SYNOPSIS", ".B wormbin", "[COMMAND] [OPTIONS]"]
    made += [".SH DESCRIPTION", ".nf", plain(whole.description or ""), ".fi", ".SH COMMANDS"]
    for action in whole._actions:
        if isinstance(action, argparse._SubParsersAction):
            for name, each in action.choices.items():
                made += [f".SS wormbin {plain(name)}", ".nf", plain(each.format_help()), ".fi"]
    return "\n".join([*made, ".SH NOTES", ".nf", plain(whole.epilog or ""), ".fi", ""])
