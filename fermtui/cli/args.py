"""Words of a command line -> options and operands.

Our own few lines instead of argparse, because values may begin with a minus (`--temp -2C`), `--cellar`, `--on` and
`--json` may stand before or after the command, and a plain command should not wait for a parser to load.
"""

from collections import deque
from collections.abc import Mapping
from typing import NamedTuple

from fermtui.wording.plain import nearest

ANY = "*"
"""Among the options of a command: one that is not listed is passed on, for the command knows better what is missing."""
SHORT = {"-h": "--help", "-V": "--version"}
EVERYWHERE = {"cellar": "DIR", "on": "WHEN", "json": "", "help": ""}


class WrongUsage(Exception):
    """The words of the call are off; the message is one sentence. Exit status 2."""


class Call(NamedTuple):
    """`options` by name without dashes (a flag is "yes"); `operands` in order; `pairs` are the key=value operands."""

    command: str
    options: Mapping[str, str]
    operands: tuple[str, ...]
    pairs: Mapping[str, str]


def split(words: list[str], takes: Mapping[str, Mapping[str, str]]) -> Call:
    """Read the words. `takes` gives for each command its options and what each takes ("" for a flag).

    Raises WrongUsage.
    """
    command = _command(words, takes)
    known = {**EVERYWHERE, **takes.get(command, {})}
    options: dict[str, str] = {}
    operands: list[str] = []
    pairs: dict[str, str] = {}
    rest = deque(words)
    seen_command = False
    while rest:
        word = SHORT.get(rest[0], rest[0])
        rest.popleft()
        if word == "--":
            operands.extend(rest)
            rest.clear()
        elif word.startswith("--") and len(word) > 2:
            _option(word, rest, known, options, command)
        elif not seen_command and word == command:
            seen_command = True
        elif "=" in word and word.split("=", 1)[0].replace("_", "").isalnum() and not word[0].isdigit():
            name, value = word.split("=", 1)
            if name in pairs:
                raise WrongUsage(f"{name}= is given twice: give it once")
            pairs[name] = value
        else:
            operands.append(word)
    return Call(command, options, tuple(operands), pairs)


def _command(words: list[str], takes: Mapping[str, Mapping[str, str]]) -> str:
    # Before the command is known, an option takes a value when it takes one in any command (`--theme NAME`).
    valued = {name for known in (EVERYWHERE, *takes.values()) for name, value in known.items() if value}
    skip = False
    for word in words:
        if skip:
            skip = False
        elif word == "--":
            break
        elif word.startswith("--"):
            name = word[2:]
            skip = name in valued
        elif word in SHORT:
            continue
        elif word in takes:
            return word
        else:
            names = sorted(name for name in takes if name)
            which = nearest(word, names) or f"one of {', '.join(names)}"
            raise WrongUsage(f"there is no command {word[:40]!r}: {which}")
    return ""


def _option(word: str, rest: deque[str], known: Mapping[str, str], options: dict[str, str], command: str) -> None:
    name, equals, value = word[2:].partition("=")
    takes = known.get(name)
    if takes is None and ANY in known:
        bare = not equals and rest and not rest[0].startswith("--")
        options[name] = rest.popleft() if bare else value
        return
    if takes is None:
        having = nearest(name, sorted(known), "--") or f"it has {', '.join(f'--{n}' for n in sorted(known))}"
        raise WrongUsage(f"{command or 'fermtui'} has no option --{name[:40]}: {having}")
    if not takes:
        if equals:
            raise WrongUsage(f"--{name} takes no value")
        value = "yes"
    elif not equals:
        if not rest:
            raise WrongUsage(f"--{name} needs a value ({takes})")
        value = rest.popleft()
    if name in options and takes:
        raise WrongUsage(f"--{name} is given twice: give it once")
    options[name] = value
