"""`fermtui completion SHELL`: a script for the shell, out of completion.bash, .zsh or .fish beside this file.

The script asks back for names: `fermtui completion vessels` and `fermtui completion tasks VESSEL`.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from string import Template

from fermtui.cli.args import ANY, EVERYWHERE, Call, WrongUsage
from fermtui.cli.cellar import folder_of, store_of
from fermtui.cli.usage import COMMANDS
from fermtui.daybook.kinds import KINDS
from fermtui.daybook.places import NoCellar, past_names
from fermtui.wording.plain import plain

OF_VESSELS = tuple(name for name, one in COMMANDS.items() if one.words.lstrip("[").startswith("VESSEL"))
OF_TASKS = ("tick",)
OF_KINDS = ("write",)
SHELLS = ("bash", "zsh", "fish")


def run(call: Call) -> int:
    """Print the script of a shell, or the words that a script asks for."""
    asked = call.operands
    if asked in (("vessels",), ("tasks",)) or (len(asked) == 2 and asked[0] == "tasks"):
        print("\n".join(_words(call)))
    elif len(asked) == 1 and asked[0] in SHELLS:
        print(script(asked[0]), end="")
    else:
        raise WrongUsage(f"completion takes one of {', '.join(SHELLS)}: `fermtui completion bash`")
    return 0


def _words(call: Call) -> list[str]:
    """The vessels of the cellar, or the open tasks of one; none where there is no cellar."""
    try:
        store, now = store_of(call)
    except NoCellar:
        return []
    if call.operands[0] == "vessels":
        return [*store.names(), *past_names(store.cellar)]
    name = folder_of(store, call.operands[1]) if len(call.operands) == 2 else ""
    if name not in store.names():
        return []
    store.load([name])
    store.prepare_forecasts([name])
    return [plain(task.key, 60) for task in store.see(store.vessels[name], now).tasks if task.is_open]


def script(shell: str) -> str:
    """The completion script of one of SHELLS."""
    between = " " if shell == "fish" else "|"
    values = {
        "commands": " ".join(name for name in COMMANDS if name),
        "opening": " ".join(_options("")),
        "vessels": between.join(OF_VESSELS),
        "tasks": between.join(OF_TASKS),
        "of_kinds": between.join(OF_KINDS),
        "kinds": " ".join(KINDS),
    }
    options, described = _OF_SHELL[shell]
    names = [name for name in COMMANDS if name]
    values |= {
        "options": "\n".join(options(name, _options(name)) for name in names),
        "described": "\n".join(described(name, _quoted(COMMANDS[name].does)) for name in names),
    }
    return Template(Path(__file__).with_name(f"completion.{shell}").read_text("utf-8")).substitute(values)


def _options(name: str) -> list[str]:
    known = sorted({*COMMANDS[name].options, *EVERYWHERE} - {ANY})
    return [f"--{option}" for option in known]


def _quoted(text: str) -> str:
    return text.replace("'", "’")


def _of_fish(name: str, options: list[str]) -> str:
    seen = f'complete -c fermtui -n "__fish_seen_subcommand_from {name}"'
    return "\n".join(f"{seen} -l {option.removeprefix('--')}" for option in options)


_OF_SHELL: dict[str, tuple[Callable[[str, list[str]], str], Callable[[str, str], str]]] = {
    "bash": (lambda name, options: f'            {name}) words="{" ".join(options)}" ;;', lambda _name, _does: ""),
    "zsh": (
        lambda name, options: f"            {name}) compadd -- {' '.join(options)} ;;",
        lambda name, does: f"        '{name}:{does}'",
    ),
    "fish": (_of_fish, lambda name, does: f"complete -c fermtui -n __fish_use_subcommand -a {name} -d '{does}'"),
}
"""By shell: the line of a command's options, and the line that describes it."""
