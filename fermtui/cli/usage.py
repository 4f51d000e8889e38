"""The commands: what each is called, what it takes and what it is for. Help, README and the parser come from here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

from fermtui.cli.args import ANY

if TYPE_CHECKING:
    from fermtui.daybook.fields import Field

COMMON = ("text", "task", "override")


class Command(NamedTuple):
    """`module` in fermtui/cli runs it; `options` name what each takes ("" for a flag)."""

    module: str
    words: str
    does: str
    options: Mapping[str, str] = {}


AT = {"at": "WHEN", "override": "REASON", "text": "TEXT"}
BENCH = dict.fromkeys(
    (
        "gravity", "temp", "calibrated", "abv", "offset", "brix", "original", "from", "to", "read-to", "volume",
        "end", "moisture", "index", "juice-gravity", "juice", "feed-at", "feed-to", "demand", "factor", "own",
        "inorganic", "autolysate-n", "effect", "complex", "complex-n", "doses", "spent", "dap-given", "yeast", "ph",
        "molecular", "free", "total", "salt", "bound", "kind", "mass", "treatment", "capacity", "loss-percent",
        "size", "rackings", "fruit-loss", "years", "glass", "fizz", "warmest", "prime-with", "sugar", "start",
        "as", "with", "with-volume", "to-abv", "spirit-abv", "spirit", "distillate", "boiled", "minutes", "units",
        "glass", "acid", "water", "around", "height", "wall", "plato", "oechsle", "baume", "kmw",
        "room", "now", "sugar-percent", "ethanol-percent", "with-gravity", "with-abv",
    ),
    "VALUE",
) | dict.fromkeys(("malolactic", "as-bought", "explain", ANY), "")  # fmt: skip
STATUSES = {
    0: "done",
    1: "input or file at fault",
    2: "wrong usage",
    3: "a guard refused (override=REASON)",
    4: "something is late (due --exit-code)",
}
COMMANDS: dict[str, Command] = {
    "": Command("open_screens", "", "open the cellar", {"theme": "NAME", "version": ""}),
    "demo": Command("demo", "[DIR]", "open a copy of the sample cellar, its dates moved so that its story is today's"),
    "due": Command(
        "due", "[--days N]", "what is late, due, and coming within a week",
        {"days": "N", "brief": "", "exit-code": ""},
    ),
    "show": Command(
        "show", "[VESSEL [--explain [NUMBER]]]", "one vessel whole, or all in a line each", {"explain": ""}
    ),
    "start": Command(
        "start",
        "NAME --volume 4L --gravity 1.095",
        "a new vessel",
        {
            "volume": "VOLUME", "gravity": "SG, 12%, or '1.100 16%' where it is fed", "abv": "PERCENT", "end": "SG",
            "schedule": "NAME", "container": "NAME", "capacity": "VOLUME", "yeast": "NAME", "demand": "low|medium|high",
            "tolerance": "PERCENT", "temp": "TEMP", "fruit": "KIND", "mass": "MASS, pitted",
            "treatment": "WORD",
            "sweet": "SG", "sparkling": "VOLUMES", "spice": "WORDS", "juice": "VOLUME", "juice-sg": "SG",
            "and": "'NAME, VOLUME, MASS FRUIT, in CONTAINER'", "like": "VESSEL", "folder": "NAME",
            "moisture": "PERCENT", "style": "WORDS", "malolactic": "", "dry-run": "",
        },
    ),
    "read": Command("read", "VESSEL TEXT", "a reading, as typed on the reading line", AT),
    "tick": Command("writing", "VESSEL TASK [key=value]", "a task done", AT),
    "write": Command("writing", "VESSEL DID [key=value]", "any entry", AT),
    "strike": Command(
        "writing", "VESSEL [ENTRY]", "take back the last entry, or that one", {"by": "SENSOR (all its readings)"}
    ),
    "undo": Command("writing", "[VESSEL]", "take back what was done last, once more what was done before it"),
    "redo": Command("writing", "[VESSEL]", "what undo took back stands again"),
    "needs": Command("needs", "[--days N]", "what the tasks of the next 30 days use up, less the stock", {"days": "N"}),
    "calendar": Command(
        "calendar", "[--out FILE]", "what is to come, for a calendar program (iCalendar)",
        {"out": "FILE", "days": "N (60)", "vessel": "VESSEL", "alarm": "HOUR|none (9)"},
    ),
    "page": Command("page", "[--out DIR]", "a read-only site of the cellar, for a phone or paper", {"out": "DIR"}),
    "record": Command(
        "record", "VESSEL [--markdown]", "its whole record, to print", {"markdown": "", "html": "", "ascii": ""}
    ),
    "export": Command("export", "[VESSEL] [--out FILE]", "readings and entries as CSV or JSON", {"out": "FILE"}),
    "import": Command(
        "importing",
        "[VESSEL FILE|-]",
        "readings from a table; without one, what the sensors of cellar.toml logged",
        {
            "by": "SENSOR", "every": "12h", "columns": "time=TITLE,sg=TITLE", "dates": "day-first|month-first",
            "unit": "sg|plato|oechsle|baume|kmw|kg/m3|g/ml", "again": "", "dry-run": "", "override": "REASON",
        },
    ),
    "compare": Command("compare", "VESSEL VESSEL ...", "batches side by side, from pitching on"),
    "schedule": Command("schedules", "[show NAME | copy NAME [NEW]]", "the schedules, and a copy to edit"),
    "bottles": Command("batches", "", "what is left to drink, until when, and its scores"),
    "past": Command("batches", "", "the vessels put away, with their strength and scores"),
    "label": Command("label", "VESSEL", "text for the labels of its bottles"),
    "put-away": Command("putting", "VESSEL", "put a finished vessel away", {"anyway": ""}),
    "bring-back": Command("putting", "VESSEL", "bring a vessel back that was put away"),
    "sync": Command(
        "syncing", "[--wait SECONDS]", "exchange entries with your other computers through your own git",
        {"wait": "SECONDS"},
    ),
    "check": Command("check", "[VESSEL]", "everything that is wrong with the files, with file and line"),
    "bench": Command("bench", "WHAT ...", "sums without a vessel", BENCH),
    "completion": Command("completion", "bash|zsh|fish", "what a shell needs to complete commands, vessels and tasks"),
    "manual": Command("manual", "", "this as a page for `man`: fermtui manual | man -l -"),
}  # fmt: skip


def overview() -> str:
    """All commands, a line each."""
    lines = ["fermtui: a dashboard for mead fermentations in progress", ""]
    for name, command in COMMANDS.items():
        lines.append(f"  {' '.join(('fermtui', name, command.words)).rstrip():<46} {command.does}")
    lines += [
        "",
        "Everywhere: --cellar DIR (or FERMTUI_CELLAR), --on WHEN (2026-03-18, yesterday 18:30, RFC 3339), --json.",
        f"Exit status: {', '.join(f'{status} {meaning}' for status, meaning in STATUSES.items())}.",
        "`fermtui --theme NAME` opens the cellar in another theme (the palette lists them).",
        "`fermtui COMMAND --help` tells what one command takes, `fermtui --version` (-V) which version this is.",
    ]
    return "\n".join(lines)


def help_of(name: str) -> str:
    """One command: its words, what it is for, its options."""
    command = COMMANDS[name]
    lines = [" ".join(("fermtui", name, command.words)).rstrip(), f"  {command.does}"]
    lines += [f"  --{option} {takes}".rstrip() for option, takes in command.options.items()]
    return "\n".join([*lines, *(_entries() if name in ("write", "tick") else ())])


def _entries() -> list[str]:
    """Every kind of entry with its fields: label, bounds in the unit of a bare number, an example."""
    from fermtui.daybook.kinds import KINDS  # only this help names them
    from fermtui.wording.kinds import KINDS as WORDS

    lines = ["", "Entries; * must be given. A bare number is in the unit shown; 1kg, 2lb, 68F name their own."]
    for did, kind in KINDS.items():
        lines += ["", f"  {did}: {WORDS[did].to_do}"]
        for name in (name for name in kind.fields if name not in COMMON):
            mark = "*" if name in kind.struct.required else " "
            lines.append(f"   {mark}{name + '=':<25} {_about(kind.fields[name])}".rstrip())
        if kind.any_of:
            lines.append(f"    at least one of {', '.join(kind.any_of)}")
    common = "Each may carry text= (a note), task= (the task that it answers), override= (why all the same)."
    return [*lines, "", common]


def _about(field: Field) -> str:
    parts = [field.label]
    if field.reads in ("number", "whole"):
        parts.append(f"{field.low:,.10g} to {field.high:,.10g} {field.unit}".rstrip())
    return ", ".join(parts) + (f" (e.g. {field.example})" if field.example else "")
