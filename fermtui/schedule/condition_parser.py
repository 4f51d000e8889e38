"""Parse the conditions of a schedule file. Every mistake raises Unfit with one sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime

from fermtui.daybook.fields import FIRST_YEAR, GRAVITY, LAST_YEAR, NAME, TEMP_C, Unfit, fit_number
from fermtui.daybook.kinds import kinds_that
from fermtui.schedule.conditions import (
    ADDED,
    FIRST_SIGN,
    AbvAtLeast,
    After,
    AllOf,
    AnyOf,
    AtEnd,
    Before,
    Condition,
    Every,
    GravityAtLeast,
    GravityAtMost,
    MeasuredAtLeast,
    MeasuredAtMost,
    On,
    StableDays,
    SugarLeftAtMost,
    SugarSpent,
)

MOST_DAYS = 3650
MOST_HOURS = 1000
MOST_WEEKS = 520
MOST_MONTHS = 240
MOST_PARTS = 12
DEEPEST = 4
MOST_ABV = 25
PH = (2.0, 7.0)
MOST_SUGAR_G_PER_L = 300
EVENTS = kinds_that(lambda kind: kind.event) | {"bottled", FIRST_SIGN}
SPANS = ("days", "hours", "weeks", "months")
ADDED_MOST = 40  # characters of the name of an addition


def condition_from(table: object, deep: int = 0) -> Condition:
    """Parse the table of one condition. Raises Unfit."""
    if not isinstance(table, Mapping):
        raise Unfit('a condition is a table, as in { after = "pitch", days = 2 }')
    if deep > DEEPEST:
        raise Unfit(f"conditions are nested deeper than {DEEPEST} levels")
    heads = [name for name in table if name in _READ]
    if not heads:
        unknown = ", ".join(str(name)[:40] for name in table) or "nothing"
        raise Unfit(f"no condition in a table that holds {unknown}; the conditions are {', '.join(_READ)}")
    if len(heads) > 1:
        raise Unfit(f"one table holds {' and '.join(heads)}; give each its own table, inside all = [...]")
    name = heads[0]
    for other in table:
        if other != name and other not in _BESIDE.get(name, ()):
            beside = ", ".join(_BESIDE.get(name, ())) or "nothing else"
            raise Unfit(f"{name} does not take {str(other)[:40]}; it takes {beside}")
    return _READ[name](table, deep)


def number_in(table: Mapping[str, object], name: str, low: float, high: float) -> float:
    """Return a number of a table within its range. Raises Unfit."""
    return float(fit_number(name, table[name], low, high))


def _whole(table: Mapping[str, object], name: str, low: int, high: int) -> int:
    given = number_in(table, name, low, high)
    if given != int(given):
        raise Unfit(f"{name} is a whole number; for parts of a day use hours")
    return int(given)


def _ref(table: Mapping[str, object], name: str) -> tuple[str, bool]:
    value = table[name]
    if not isinstance(value, str):
        raise Unfit(f'{name} is text in quotes, as in {name} = "step:fruit"')
    if value.startswith("step:"):
        key = value.removeprefix("step:")
        if not NAME.match(key):
            raise Unfit(f"{name} names no step in {value[:60]!r}")
        return key, True
    if value.startswith(ADDED):
        added = value.removeprefix(ADDED).strip().lower()
        if not 1 <= len(added) <= ADDED_MOST:
            raise Unfit(f'{name} names an addition by up to {ADDED_MOST} characters, as in {name} = "{ADDED}oak"')
        return ADDED + added, False
    if value not in EVENTS:
        known = ", ".join(sorted(EVENTS))
        raise Unfit(f'{name} is "step:KEY", "{ADDED}NAME" or one of {known}, not {value[:40]!r}')
    return value, False


def _after(table: Mapping[str, object], _deep: int) -> Condition:
    ref, is_step = _ref(table, "after")
    spans = [name for name in SPANS if name in table]
    if len(spans) > 1:
        raise Unfit(f"after takes one of {', '.join(SPANS)}, not {' and '.join(spans)}")
    where_done = table.get("where_done", False)
    if not isinstance(where_done, bool):
        raise Unfit("where_done is true or false")
    if where_done and is_step:
        raise Unfit('where_done needs an event such as "sulfite", not a step')
    return After(
        ref,
        is_step,
        _whole(table, "days", 0, MOST_DAYS) if "days" in table else 0,
        number_in(table, "hours", 0, MOST_HOURS) if "hours" in table else 0.0,
        _whole(table, "months", 0, MOST_MONTHS) if "months" in table else 0,
        where_done,
        _whole(table, "weeks", 0, MOST_WEEKS) if "weeks" in table else 0,
    )


def _before(table: Mapping[str, object], _deep: int) -> Condition:
    ref, is_step = _ref(table, "before")
    if not is_step:
        raise Unfit('before names a step, as in before = "step:fruit"')
    if sum(name in table for name in ("days", "hours", "weeks")) > 1:
        raise Unfit("before takes one of days, hours, weeks, not two of them")
    return Before(
        ref,
        _whole(table, "days", 0, MOST_DAYS) if "days" in table else 0,
        number_in(table, "hours", 0, MOST_HOURS) if "hours" in table else 0.0,
        _whole(table, "weeks", 0, MOST_WEEKS) if "weeks" in table else 0,
    )


def _spent(table: Mapping[str, object], _deep: int) -> Condition:
    value = table["sugar_spent"]
    if isinstance(value, str):
        top, stroke, bottom = value.partition("/")
        if not (stroke and top.strip().isdecimal() and bottom.strip().isdecimal() and 0 < int(bottom) <= 100):
            raise Unfit('sugar_spent is a number from 0 to 1, or a fraction in quotes, as in "1/3"')
        share = int(top) / int(bottom)
    else:
        share = number_in(table, "sugar_spent", 0, 1)
    if not 0 < share < 1:
        raise Unfit("sugar_spent lies between 0 (nothing fermented) and 1 (all of it), ends left out")
    return SugarSpent(share)


def _abv(table: Mapping[str, object], _deep: int) -> Condition:
    if "below_tolerance" not in table:
        return AbvAtLeast(number_in(table, "abv_at_least", 0.5, MOST_ABV))
    return AbvAtLeast(number_in(table, "abv_at_least", 0.5, MOST_ABV), number_in(table, "below_tolerance", 0, 10))


def _at_end(table: Mapping[str, object], _deep: int) -> Condition:
    if table["at_end"] is not True:
        raise Unfit("at_end = true is the only way to write it")
    return AtEnd()


def _on(table: Mapping[str, object], _deep: int) -> Condition:
    value = table["on"]
    if isinstance(value, datetime) or not isinstance(value, date):
        raise Unfit("on is a date without quotes, as in on = 2026-05-01")
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise Unfit(f"on lies between the years {FIRST_YEAR} and {LAST_YEAR}, not {value.year}")
    return On(value)


def _every(table: Mapping[str, object], deep: int) -> Condition:
    if deep:
        raise Unfit("every cannot be inside any or all")
    days, hours = 0, 0.0
    if "every" in table:
        days = _whole(table, "every", 1, MOST_DAYS)
    elif "every_weeks" in table:
        days = 7 * _whole(table, "every_weeks", 1, MOST_WEEKS)
    else:
        hours = number_in(table, "every_hours", 1, MOST_HOURS)
    for name in ("from", "until"):
        if name not in table:
            raise Unfit(f"every needs {name}, or it would never {'begin' if name == 'from' else 'end'}")
    start, until = (condition_from(table[name], deep + 1) for name in ("from", "until"))
    if type(start) is type(until) and start == until:
        raise Unfit("every begins and ends with the same condition, so it can never come due")
    return Every(days, start, until, hours)


def _parts(table: Mapping[str, object], name: str, deep: int) -> tuple[Condition, ...]:
    value = table[name]
    if not isinstance(value, list) or not 1 <= len(value) <= MOST_PARTS:
        raise Unfit(f"{name} is a list of 1 to {MOST_PARTS} conditions, as in {name} = [ {{ ... }}, {{ ... }} ]")
    parts = tuple(condition_from(part, deep + 1) for part in value)
    if name == "any" and any(isinstance(part, After) and part.where_done for part in parts):
        raise Unfit("where_done belongs inside all, with a condition that always counts")
    return parts


_READ: dict[str, Callable[[Mapping[str, object], int], Condition]] = {
    "after": _after,
    "before": _before,
    "gravity_at_most": lambda table, _deep: GravityAtMost(number_in(table, "gravity_at_most", *GRAVITY)),
    "gravity_at_least": lambda table, _deep: GravityAtLeast(number_in(table, "gravity_at_least", *GRAVITY)),
    "ph_at_most": lambda table, _deep: MeasuredAtMost("ph", number_in(table, "ph_at_most", *PH)),
    "temp_c_at_most": lambda table, _deep: MeasuredAtMost("temp_c", number_in(table, "temp_c_at_most", *TEMP_C)),
    "temp_c_at_least": lambda table, _deep: MeasuredAtLeast("temp_c", number_in(table, "temp_c_at_least", *TEMP_C)),
    "sugar_left_at_most": lambda table, _deep: SugarLeftAtMost(
        number_in(table, "sugar_left_at_most", 1, MOST_SUGAR_G_PER_L)
    ),
    "sugar_spent": _spent,
    "abv_at_least": _abv,
    "stable_days": lambda table, _deep: StableDays(number_in(table, "stable_days", 1, 365)),
    "at_end": _at_end,
    "on": _on,
    "every": _every,
    "every_hours": _every,
    "every_weeks": _every,
    "any": lambda table, deep: AnyOf(_parts(table, "any", deep)),
    "all": lambda table, deep: AllOf(_parts(table, "all", deep)),
}
CONDITIONS = tuple(_READ)
_BESIDE: dict[str, tuple[str, ...]] = {
    "after": (*SPANS, "where_done"),
    "before": ("days", "hours", "weeks"),
    "abv_at_least": ("below_tolerance",),
    "every": ("from", "until"),
    "every_hours": ("from", "until"),
    "every_weeks": ("from", "until"),
}
