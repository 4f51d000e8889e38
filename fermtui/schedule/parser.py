"""Parse a schedule file into a Schedule, or list everything wrong with it by file, line and reason."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path

from fermtui.daybook.fields import NAME, Unfit
from fermtui.daybook.kinds import kind_of
from fermtui.daybook.problem import Problem
from fermtui.daybook.toml_file import FILE_MOST, Malformed, parse_toml
from fermtui.schedule.condition_parser import condition_from, number_in
from fermtui.schedule.conditions import AtOnce, Condition, Every
from fermtui.schedule.planned_steps import WHENS
from fermtui.schedule.steps import DOABLE, Schedule, Step

STEPS_MOST = 60  # a chain of steps is walked by recursion
TEXT_MOST = 500
TAKEN = ("ask-", "bottle-rest")  # keys of what the program asks for by itself
STEP_FIELDS = ("key", "do", "what", "due", "drop", "grace_days", "when", "share", "say")
TOP_FIELDS = ("title", "about", "like", "leave_out", "step")
LIBRARY = Path(__file__).parent / "library"
_STEP_LINE = rb"\s*\[\[\s*step\s*\]\]"
Result = tuple[Schedule | None, tuple[Problem, ...]]


@lru_cache(maxsize=256)
def schedule_from(data: bytes, path: str) -> Result:
    """Parse the bytes of a schedule file; `path` is what problems name, ending in NAME.toml.

    Either a sound schedule and no problem, or None and at least one. Never raises. Kept by its bytes.
    """
    if len(data) > FILE_MOST:
        return _bad(path, None, f"the file has {len(data)} bytes; {FILE_MOST} are the most")
    try:
        table = parse_toml(data)
    except Malformed as fault:
        return _bad(path, fault.line, str(fault))
    schedule, problems = _from_table(table, data, path)
    if schedule is None:
        return None, problems
    from fermtui.schedule.consistency import faults  # a schedule that was found sound before needs it no more

    wrong = tuple(Problem("step", path, step.line, (repr(step.key), reason)) for step, reason in faults(schedule))
    return (None, wrong) if wrong else (schedule, ())


def sound_schedule(table: Mapping[str, object], data: bytes, path: str) -> Schedule | None:
    """The schedule of bytes that were found sound before, from their table; None where the table is another one."""
    return _from_table(table, data, path)[0]


def _from_table(table: Mapping[str, object], data: bytes, path: str) -> Result:
    lines = _step_lines(data)
    problems: list[Problem] = []
    title = about = None
    base: tuple[Mapping[str, object], ...] = ()
    try:
        title, about = _words(table, "title", required=True), _words(table, "about")
        base = _base(table)
    except Unfit as unfit:
        problems.append(Problem("schedule", path, _line_of(data, unfit.field), (str(unfit),)))
    for name in table:
        if name not in TOP_FIELDS:
            reason = f"{name[:40]} does not belong here; a schedule holds {', '.join(TOP_FIELDS)}"
            problems.append(Problem("schedule", path, _line_of(data, name), (reason,)))
    tables = table.get("step", [] if base else None)
    if not isinstance(tables, list) or not (tables or base) or not all(isinstance(one, dict) for one in tables):
        return None, (
            *problems,
            Problem("schedule", path, None, ("a schedule needs steps, each under a line [[step]]",)),
        )
    own = [(one, lines[at] if len(lines) == len(tables) else None) for at, one in enumerate(tables)]
    whole = _merged(base, own)
    if len(whole) > STEPS_MOST:
        return None, (*problems, Problem("schedule", path, None, (f"{len(whole)} steps; {STEPS_MOST} are the most",)))
    steps: list[Step] = []
    for number, (one, line) in enumerate(whole):
        try:
            steps.append(_step(one, line, {step.key for step in steps}))
        except Unfit as unfit:
            problems.append(Problem("step", path, line, (_called(one, number), str(unfit))))
    if problems:
        return None, tuple(problems)
    name = path.rpartition("/")[2].removesuffix(".toml")
    return Schedule(name, title or name, tuple(steps), path, about), ()


def _base(table: Mapping[str, object]) -> tuple[Mapping[str, object], ...]:
    """The steps of the library's schedule that this one is `like`, without those that it leaves out. Raises Unfit."""
    left_out = table.get("leave_out", [])
    if "like" not in table:
        if "leave_out" in table:
            raise Unfit("{} belongs beside like: it names steps of the schedule that this one is like", "leave_out")
        return ()
    name = table["like"]
    if not isinstance(name, str) or not NAME.match(name) or not (LIBRARY / f"{name}.toml").is_file():
        known = ", ".join(sorted(path.stem for path in LIBRARY.glob("*.toml")))
        raise Unfit(f"{{}} names a schedule of the library, one of {known}", "like")
    steps = _library_steps(name)
    keys = [str(step["key"]) for step in steps]
    if not isinstance(left_out, list) or not all(key in keys for key in left_out):
        raise Unfit(f"{{}} is a list of steps of {name}: {', '.join(keys)}", "leave_out")
    return tuple(step for step in steps if step["key"] not in left_out)


def _library_steps(name: str) -> list[Mapping[str, object]]:
    """The steps of a schedule of the library, which may be like another one in turn."""
    table = parse_toml(library_file(name))
    own = table.get("step", [])
    assert isinstance(own, list)
    return [step for step, _ in _merged(_base(table), [(step, None) for step in own])]


def _merged(
    base: Sequence[Mapping[str, object]], own: Sequence[tuple[Mapping[str, object], int | None]]
) -> list[tuple[Mapping[str, object], int | None]]:
    """The steps of the base, each with the fields that an own step of its key gives.

    An own step that is new stands before the next own one that the base has, else at the end.
    """
    if not base:
        return list(own)
    keys = [step["key"] for step in base]  # no set: what stands under key in a file may be anything
    changes = {str(step.get("key")): (step, line) for step, line in own if step.get("key") in keys}
    new: list[tuple[Mapping[str, object], int | None]] = []
    ahead: dict[str, list[tuple[Mapping[str, object], int | None]]] = {}
    for step, line in own:
        if step.get("key") in keys:
            ahead.setdefault(str(step["key"]), []).extend(new)
            new = []
        else:
            new.append((step, line))
    whole: list[tuple[Mapping[str, object], int | None]] = []
    for step in base:
        change, line = changes.get(str(step["key"]), ({}, None))
        whole += [*ahead.get(str(step["key"]), ()), ({**step, **change}, line)]
    return whole + new


@lru_cache(maxsize=32)
def library_file(name: str) -> bytes:
    """The bytes of a schedule that comes with the program. Raises FileNotFoundError."""
    return (LIBRARY / f"{name}.toml").read_bytes()


def _bad(path: str, line: int | None, reason: str) -> Result:
    return None, (Problem("schedule", path, line, (reason,)),)


def _step_lines(data: bytes) -> list[int]:
    return [number for number, raw in enumerate(data.split(b"\n"), start=1) if re.match(_STEP_LINE, raw)]


def _line_of(data: bytes, name: str) -> int | None:
    start = name.encode("utf-8", "replace")
    return next((n for n, raw in enumerate(data.split(b"\n"), start=1) if raw.lstrip(b" \t[").startswith(start)), None)


def _called(table: Mapping[str, object], number: int) -> str:
    key = table.get("key")
    return repr(key[:40]) if isinstance(key, str) else f"number {number + 1}"


def _words(table: Mapping[str, object], name: str, *, required: bool = False) -> str | None:
    value = table.get(name)
    if value is None and not required:
        return None
    if not isinstance(value, str) or not value.strip():
        raise Unfit("{} is missing or no text in quotes", name)
    if len(value) > TEXT_MOST:
        raise Unfit(f"{{}} holds {len(value)} characters; {TEXT_MOST} is the most", name)
    return value


def _step(table: Mapping[str, object], line: int | None, taken: set[str]) -> Step:
    for name in table:
        if name not in STEP_FIELDS:
            raise Unfit(f"{str(name)[:40]} does not belong here; a step holds {', '.join(STEP_FIELDS)}")
    key = table.get("key")
    if not isinstance(key, str) or not NAME.match(key):
        raise Unfit('key is missing or no name of letters, digits and hyphens, as in key = "dose-1"')
    if key in taken:
        raise Unfit("an earlier step has the same key; each step needs its own")
    if key.startswith(TAKEN):
        raise Unfit(f"keys that begin with {' or '.join(TAKEN)} are kept for the program's own tasks")
    do = table.get("do")
    if not isinstance(do, str) or do not in DOABLE:
        raise Unfit(f"do is one of {', '.join(sorted(DOABLE))}, not {str(do)[:40]!r}")
    due: Condition = _in("due", condition_from, table["due"]) if "due" in table else AtOnce()
    drop: Condition | None = _in("drop", condition_from, table["drop"]) if "drop" in table else None
    if isinstance(drop, Every):
        raise Unfit("drop cannot repeat: give one condition, without every")
    return Step(
        key, do, due, _words(table, "what"), drop, _grace(table, do), _when(table), _share(table, do),
        _words(table, "say"), line,
    )  # fmt: skip


def _in(name: str, read: Callable[[object], Condition], value: object) -> Condition:
    try:
        return read(value)
    except Unfit as unfit:
        raise Unfit(f"{name}: {unfit}") from None


def _grace(table: Mapping[str, object], do: str) -> float | None:
    if "grace_days" not in table:
        return kind_of(do).grace_days
    return number_in(table, "grace_days", 0, 3650)


def _when(table: Mapping[str, object]) -> str | None:
    when = table.get("when")
    if when is None:
        return None
    if not isinstance(when, str) or when.removeprefix("not ") not in WHENS:
        raise Unfit(f'when is one of {", ".join(WHENS)}, or "not " before one of them, not {str(when)[:40]!r}')
    return when


def _share(table: Mapping[str, object], do: str) -> float | None:
    if "share" not in table:
        return None
    if do != "dose":
        raise Unfit("share belongs to a step that does a dose")
    share = number_in(table, "share", 0, 1)
    if share == 0:
        raise Unfit("share is above 0, the part of all nutrient that goes in with this dose")
    return share
