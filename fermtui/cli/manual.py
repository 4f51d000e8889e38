"""`fermtui manual`: the commands as a page for `man`, in the macros of man(7)."""

from __future__ import annotations

from collections.abc import Iterator

from fermtui import __version__
from fermtui.cli.args import ANY, EVERYWHERE, Call, WrongUsage
from fermtui.cli.usage import COMMANDS, STATUSES, Command

OF_EVERYWHERE = {
    "cellar": "the folder with the vessels; else FERMTUI_CELLAR, else the usual place for data",
    "on": "the clock: 2026-03-18, yesterday 18:30, or RFC 3339",
    "json": "the answer for scripts",
    "help": "what a command takes",
}


def run(call: Call) -> int:
    """Print the page."""
    if call.operands or call.pairs:
        raise WrongUsage("manual takes no operands: `fermtui manual | man -l -`")
    print("\n".join(_page()))
    return 0


def _page() -> Iterator[str]:
    yield f'.TH FERMTUI 1 "" "fermtui {__version__}"'
    yield from (".SH NAME", "fermtui \\- a dashboard for mead fermentations in progress")
    yield from (".SH SYNOPSIS", ".B fermtui", "[\\fICOMMAND\\fR] [\\fIOPTION\\fR ...]")
    yield ".SH COMMANDS"
    for name, command in COMMANDS.items():
        yield from _command(name, command)
    yield ".SH EVERYWHERE"
    for option, takes in EVERYWHERE.items():
        yield from (".TP", f".B {_shown(f'--{option} {takes}'.rstrip())}", _shown(OF_EVERYWHERE[option]))
    yield ".SH EXIT STATUS"
    for status, meaning in STATUSES.items():
        yield from (".TP", f".B {status}", _shown(meaning))
    yield from (".SH ENVIRONMENT", ".TP", ".B FERMTUI_CELLAR", "the folder of the cellar")
    yield from (".TP", ".B FERMTUI_CACHE", "where answers are kept; deleting it changes nothing but speed")


def _command(name: str, command: Command) -> Iterator[str]:
    yield from (".TP", f".B {_shown(' '.join(part for part in ('fermtui', name, command.words) if part))}")
    yield _shown(command.does)
    taken = {option: takes for option, takes in command.options.items() if option != ANY}
    options = [_shown(f"--{option} {takes}".rstrip()) for option, takes in taken.items()]
    if options:
        yield from (".br", f"Takes {', '.join(options)}.")


def _shown(text: str) -> str:
    """Text as man(7) takes it: no hyphen turns into a dash, no line begins a request."""
    escaped = text.replace("\\", "\\e").replace("-", "\\-")
    return f"\\&{escaped}" if escaped[:1] in (".", "'") else escaped
