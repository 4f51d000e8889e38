"""What a step, an event and a span of time are called in a sentence."""

from collections.abc import Mapping

from fermtui.schedule.conditions import ADDED, FIRST_SIGN
from fermtui.schedule.why import WhyValues
from fermtui.wording.kinds import KINDS
from fermtui.wording.plain import plain

_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_ORDINALS = ("", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
ACTS: Mapping[str, str] = {
    **{did: words.doing for did, words in KINDS.items()},
    "bottled": "bottling",
    FIRST_SIGN: "the first sign of fermentation",
}


def counted(count: float, unit: str) -> str:
    """As in one day, two days, 24 hours, 1.5 days."""
    whole = int(count) if count == int(count) else None
    number = _COUNTS[whole] if whole is not None and whole < len(_COUNTS) else f"{count:g}"
    return f"{number} {unit.removesuffix('s') if count == 1 else unit}"


def step_name(values: WhyValues, key: str) -> str:
    """Name a step or an event in a sentence: the act, and which of them where there are more than one.

    As in pitching, dose 2, the second racking, the chore's own words; `values` are those of the reason.
    """
    do, what, (place, count) = values.get("do"), values.get("what"), values.get("nth") or (1, 1)
    if do is None:
        return event_name(key)
    if do == "chore":
        return plain(what or key, 80)
    if do == "dose" and count > 1:
        return f"dose {place}"
    name = ACTS.get(str(do)) or plain(key, 80)
    if do == "add" and what:
        name = f"adding {plain(what, 30)}"
    elif do == "pull" and what not in (None, "fruit"):
        name = f"pulling the {plain(what, 30)}"
    elif do == "read" and what:
        name = f"the reading of {'pH' if what == 'ph' else plain(what, 20)}"
    if count < 2:
        return name
    which = _ORDINALS[place] if place < len(_ORDINALS) else f"{place}th"
    return f"the {which} {name.removeprefix('the ')}"


def event_name(event: str) -> str:
    """Name an event that is no step: pitching, adding oak, the first sign of fermentation."""
    if event.startswith(ADDED):
        return f"adding {plain(event.removeprefix(ADDED), 40)}"
    return ACTS.get(event) or plain(event, 80)


def rhythm(days: float) -> str:
    """As in every day, every 14 days, every 12 hours."""
    if days != int(days):
        return f"every {counted(round(24.0 * days, 6), 'hours')}"
    return "every day" if days == 1 else f"every {counted(days, 'days')}"
