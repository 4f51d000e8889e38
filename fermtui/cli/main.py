"""The words of a call -> the command that they name. Plain commands never import Textual."""

from __future__ import annotations

import importlib
import os
import sys

from fermtui.cli.args import Call, WrongUsage, split
from fermtui.cli.usage import COMMANDS, help_of, overview

DONE, FAULT, WRONG_USAGE, GUARD = 0, 1, 2, 3


def run(words: list[str]) -> int:
    """Exit status: 0 done, 1 input or file at fault, 2 wrong usage, 3 a guard refused. Messages go to stderr."""
    try:
        call = split(words, {name: command.options for name, command in COMMANDS.items()})
        if "help" in call.options and call.command != "bench":  # each sum has a help of its own
            print(help_of(call.command) if call.command else overview())
            return DONE
        if call.operands[:1] == ("help",):
            print(overview())
            return DONE
        return _command(call)
    except WrongUsage as wrong:
        return _say(str(wrong), WRONG_USAGE)
    except _faults() as fault:
        return _say(str(fault), FAULT)
    except BrokenPipeError:
        # Whoever read the output has seen enough; a further write at exit must not complain.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        return 130


def _faults() -> tuple[type[Exception], ...]:
    # Asked for only when something was raised: a sum on the bench needs neither the cellar nor its calendar.
    from fermtui.clock import NotATime
    from fermtui.daybook.cellar import NoCellar
    from fermtui.daybook.files import NotWritten

    return NotATime, NoCellar, NotWritten


def _command(call: Call) -> int:
    from fermtui.refused import Refused

    module = importlib.import_module(f"fermtui.cli.{COMMANDS[call.command].module}")
    try:
        status: int = module.run(call)
    except Refused as refused:
        return _say(str(refused), refused.code)
    return status


def _say(sentence: str, status: int) -> int:
    print(f"fermtui: {sentence}", file=sys.stderr)
    return status

