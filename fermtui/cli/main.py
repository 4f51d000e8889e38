"""The words of a call -> the command that they name. Plain commands never import Textual."""

from __future__ import annotations

import importlib
import os
import sys
from io import TextIOWrapper

from fermtui import __version__
from fermtui.cli.args import Call, WrongUsage, split
from fermtui.cli.files_out import close_output
from fermtui.cli.usage import COMMANDS, help_of, overview
from fermtui.clock import NotATime
from fermtui.daybook.files import NotWritten
from fermtui.daybook.places import NoCellar
from fermtui.wording.plain import plain
from fermtui.writing.refused import Refused

DONE, FAULT, WRONG_USAGE, GUARD = 0, 1, 2, 3


def run(words: list[str]) -> int:
    """Exit status: 0 done, 1 input or file at fault, 2 wrong usage, 3 a guard refused. Messages go to stderr."""
    _show_anything()
    try:
        call = split(words, {"help": {}, **{name: command.options for name, command in COMMANDS.items()}})
        if call.command == "help":
            call = Call(_asked(call.operands), {"help": "yes"}, (), {})
        if "help" in call.options and call.command != "bench":  # each sum has a help of its own
            print(help_of(call.command) if call.command else overview())
            return DONE
        if "version" in call.options:
            print(f"fermtui {__version__}")
            return DONE
        status = _command(call)
        sys.stdout.flush()
        return status
    except WrongUsage as wrong:
        return _say(str(wrong), WRONG_USAGE)
    except _faults() as fault:
        return _say(str(fault), FAULT)
    except BrokenPipeError:
        close_output()  # whoever read it has seen enough
        return DONE
    except OSError as fault:
        close_output()
        return _say(f"the system says: {fault.strerror or fault}", FAULT)
    except KeyboardInterrupt:
        return 130


def _asked(operands: tuple[str, ...]) -> str:
    if operands and operands[0] not in COMMANDS:
        raise WrongUsage(f"there is no command {operands[0][:40]!r}: `fermtui help` lists them")
    return operands[0] if operands else ""


def _faults() -> tuple[type[Exception], ...]:
    # Asked for only when something was raised: a sum on the bench needs neither the cellar nor its calendar.
    return NotATime, NoCellar, NotWritten


def _command(call: Call) -> int:
    module = importlib.import_module(f"fermtui.cli.{COMMANDS[call.command].module}")
    try:
        status: int = module.run(call)
    except Refused as refused:
        # What can hurt is not waved through by a hint; a reading that is hard to believe may be right all the same.
        doubted = refused.code == GUARD and not refused.findings
        hint = " (--override REASON writes it all the same)" if doubted else ""
        return _say(f"{refused.typed}{hint}", refused.code)
    return status


def _show_anything() -> None:
    # A closed descriptor would be that of the next file that is opened, and messages would be written into it.
    for number, mode in enumerate("rww"):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)  # takes the lowest number that is free
        name = ("stdin", "stdout", "stderr")[number]
        if getattr(sys, name) is None:
            setattr(sys, name, open(number, mode, closefd=False, encoding="utf-8"))  # noqa: SIM115 - as long as we run
    # A terminal or pipe that knows fewer letters shows a question mark in their place, and no traceback.
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")


def _say(sentence: str, status: int) -> int:
    try:
        print(f"fermtui: {plain(sentence, 2000)}", file=sys.stderr)
    except OSError:
        return status  # there is nobody to tell
    return status
