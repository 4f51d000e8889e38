"""`fermtui bench WHAT --option value`: sums without a vessel, as text or JSON, explained when asked."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from textwrap import wrap
from typing import TextIO

from fermtui.bench.options import Option, WrongOptions, with_usual
from fermtui.bench.result import Sum, cautions_of, rows, unit_of, worth
from fermtui.bench.table import DEFAULTS, SUMS, solve
from fermtui.cli.args import ANY, EVERYWHERE, Call, WrongUsage
from fermtui.daybook.files import expanded
from fermtui.daybook.places import Cellar, default_path
from fermtui.daybook.problem import Problem
from fermtui.daybook.settings import Settings, settings_of
from fermtui.explain.explained import Explained, all_lines
from fermtui.must.cautions import way_out
from fermtui.must.limits import OutOfRange
from fermtui.units import METRIC, Units, Unreadable
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text

OPTIONS: Mapping[str, str] = {
    **{option.name: "" if option.kind == "flag" else option.like for kind in SUMS.values() for option in kind.options},
    "explain": "",
    ANY: "",
}
"""Every option of every sum with what it takes, for `args.split`; what is none is for the sum to refuse."""
OWN = frozenset({*EVERYWHERE, "explain"})
WIDTH = 78


def run(call: Call, out: TextIO | None = None, err: TextIO | None = None) -> int:
    """Do the sum of a call. 0 done, 1 a value is at fault, 2 the call is.

    Units and defaults come from the cellar.toml of the cellar, where there is one; what is wrong in it is told.
    """
    out = sys.stdout if out is None else out
    err = sys.stderr if err is None else err
    try:
        settings, problems = _settings(call.options.get("cellar"))
        err.writelines(f"fermtui: {plain(problem_text(problem), 400)}\n" for problem in problems)
        what = _what(call)
        if what is None or "help" in call.options:
            out.write(overview() if what is None else help_text(what, settings))
            return 0
        sum_ = solve(what, _given(call), settings)
    except (WrongOptions, WrongUsage) as fault:
        said = fault.dashed if isinstance(fault, WrongOptions) else fault
        err.write(f"fermtui: {plain(said, 600)}\n")
        return 2
    except (Unreadable, OutOfRange) as fault:
        err.write(f"fermtui: {plain(fault, 400)}\n")
        return 1
    explained = "explain" in call.options
    if "json" in call.options:
        out.write(json_text(sum_, explained=explained) + "\n")
    else:
        out.writelines(line + "\n" for line in text_lines(sum_, settings.units, explained=explained))
    return 0


def _settings(folder: str | None) -> tuple[Settings, tuple[Problem, ...]]:
    """The settings of the cellar, all defaults where there is none. Raises Unreadable where a named one is missing."""
    path = expanded(folder) if folder else default_path()
    if folder and not path.is_dir():
        raise Unreadable(f"there is no cellar at {path}")
    return settings_of(Cellar(path))[:2]


def _what(call: Call) -> str | None:
    if not call.operands:
        if _given(call):
            raise WrongUsage(f"bench needs the name of a sum before its options: one of {', '.join(SUMS)}")
        return None
    if len(call.operands) > 1:
        raise WrongUsage(f"bench does one sum at a time, and {call.operands[1][:40]!r} is one word too many")
    if call.operands[0] not in SUMS:
        raise WrongUsage(f"there is no sum {call.operands[0][:40]!r}: one of {', '.join(SUMS)}")
    return call.operands[0]


def _given(call: Call) -> dict[str, str]:
    given = {name: text for name, text in call.options.items() if name not in OWN}
    for name, text in call.pairs.items():
        name = name.replace("_", "-")
        if name in given:
            raise WrongUsage(f"{name} is given twice: give it once")
        given[name] = text
    return given


def text_lines(sum_: Sum, units: Units = METRIC, *, explained: bool = False) -> list[str]:
    """The numbers under each other, then what is asked about and the cautions, then where the numbers come from."""
    found = list(rows(sum_, units))
    wide = max((len(label) for label, _ in found), default=0)
    lines = [f"{label:<{wide}}  {text}".rstrip() for label, text in found]
    for question in sum_.asks:
        lines += wrap(f"? {question}", WIDTH, subsequent_indent="  ")
    ways = sum_.values.get("ways_out")
    if isinstance(ways, tuple):
        lines.append("")
        for way in ways:
            lines += wrap(f"- {way_out(str(way))}", WIDTH, subsequent_indent="  ")
    for caution in cautions_of(sum_):
        lines += ["", *wrap(f"! {caution.text}", WIDTH, subsequent_indent="  ")]
    return [*lines, "", *all_lines(sum_.steps, units)] if explained else lines


def json_text(sum_: Sum, *, explained: bool = False) -> str:
    """The numbers by name, the cautions, and with `explained` the steps. The names are a promise to scripts."""
    import json

    values = {
        name: worth(value, "SG" if name.endswith("_sg") else unit_of(name)) for name, value in sum_.values.items()
    }
    table: dict[str, object] = {"what": sum_.what, **values}
    table["asks"] = list(sum_.asks)
    table["cautions"] = [{"key": caution.key, "text": caution.text} for caution in cautions_of(sum_)]
    if explained:
        table["explain"] = [_step(step) for step in sum_.steps]
    return json.dumps(table, allow_nan=False)


def _step(step: Explained) -> dict[str, object]:
    inputs = [{**given._asdict(), "value": worth(given.value, given.unit)} for given in step.inputs]
    return {**step._asdict(), "value": worth(step.value, step.unit), "inputs": inputs}


def overview() -> str:
    """Every sum in a line."""
    wide = max(len(name) for name in SUMS)
    lines = [f"  {name:<{wide}}  {kind.says}" for name, kind in SUMS.items()]
    head = "fermtui bench WHAT --option value ... [--json] [--explain]"
    tail = "Values take units: 4L, 1gal, 3lb, 68F, 1.042, 1042, 10.4bx, 4,5L. fermtui bench WHAT --help says more."
    return "\n".join([head, "", *lines, "", tail]) + "\n"


def help_text(what: str, settings: Settings = DEFAULTS) -> str:
    """What one sum takes."""
    kind = SUMS[what]
    options = with_usual(kind.options, settings)
    names = [f"--{option.name} {'' if option.kind == 'flag' else option.like}".rstrip() for option in options]
    wide = max(len(name) for name in names)
    lines = [f"  {name:<{wide}}  {option.says}{_standing(option)}" for name, option in zip(names, options, strict=True)]
    return "\n".join([f"fermtui bench {what}: {kind.says}", "", *lines]) + "\n"


def _standing(option: Option) -> str:
    choices = f" ({', '.join(option.choices)})" if option.choices else ""
    if option.usual is not None:
        return f"{choices} [{option.usual}]"
    return choices if option.optional else f"{choices}, required"
