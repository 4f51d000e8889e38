"""Make a sentence of the reason of a task, with its numbers, in the cellar's zone and the maker's units."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, tzinfo
from typing import NamedTuple

from fermtui.replay.keeping import BY_CHORE
from fermtui.schedule.why import EXPECTED, KNOWN, WAITING, Why, WhyValues
from fermtui.units import METRIC, Units, show_gravity, show_number, show_temp
from fermtui.wording.dates import MONTHS, narrows
from fermtui.wording.plain import plain
from fermtui.wording.step_names import counted, rhythm, step_name
from fermtui.wording.trouble_acts import act_reason

_SHARES = {1 / 4: "a quarter", 1 / 2: "half", 2 / 3: "two thirds", 3 / 4: "three quarters"}


class Speech(NamedTuple):
    """How to write it: the zone, the clock (years and what has passed depend on it) and the maker's units."""

    zone: tzinfo
    now: datetime | None
    units: Units = METRIC

    def gravity(self, sg: float) -> str:
        """As in 1.066, or in Brix where the maker reads that."""
        return show_gravity(sg, self.units)

    def measured(self, what: str, value: float) -> str:
        """As in pH 3.4, 19.5 °C."""
        return show_temp(value, self.units) if what == "temp_c" else f"pH {show_number(value, 2, self.units)}"

    def day(self, at: datetime) -> str:
        """As in 4 Mar; with the year where that is another one than the clock's."""
        local = at.astimezone(self.zone)
        year = "" if self.now is None or local.year == self.now.astimezone(self.zone).year else f" {local.year}"
        return f"{local.day} {MONTHS[local.month - 1]}{year}"

    def moment(self, at: datetime) -> str:
        """As in 4 Mar 18:30."""
        return f"{self.day(at)} {at.astimezone(self.zone):%H:%M}"

    def span(self, window: Sequence[datetime | None]) -> str:
        """As in 4 to 6 Mar, 28 Feb to 3 Mar, 4 Mar, or from 4 Mar, likely 6 Mar where the end is open."""
        first, likely, last = window
        assert first is not None
        assert likely is not None
        if last is None:
            return f"from {self.day(first)}, likely {self.day(likely)}"
        start, end = self.day(first), self.day(last)
        if start == end:
            return start
        same_month = first.astimezone(self.zone).strftime("%Y%m") == last.astimezone(self.zone).strftime("%Y%m")
        return f"{first.astimezone(self.zone).day} to {end}" if same_month else f"{start} to {end}"


def why_text(why: Why, zone: tzinfo, now: datetime | None = None, units: Units = METRIC) -> str:
    """One sentence without a full stop, as in 'one-third sugar break, at 1.066: forecast 4 to 6 Mar, from 3 readings'.

    With `now`, dates of other years carry their year and lists leave out what has passed. Text of files is plain().
    """
    return _say(why, Speech(zone, now, units))


def _say(why: Why, speech: Speech) -> str:
    return _SENTENCES.get(why.kind, _unsaid)(why, speech)


def _unsaid(why: Why, _speech: Speech) -> str:
    return plain(why.kind, 80)


# --- conditions --------------------------------------------------------------------------------------------------


def label(why: Why, speech: Speech) -> str:
    """Write a condition without its date, as in '1.005 or less' or 'two days after pitching'."""
    values = why.values
    kind = why.kind
    if kind == "after":
        name = step_name(values, values["ref"])
        name = f"{name} was left out" if values.get("skipped") else name
        return f"{counted(values['count'], values['unit'])} after {name}" if values["count"] else f"after {name}"
    if kind == "before":
        return f"{counted(values['count'], values['unit'])} before {step_name(values, values['ref'])}"
    if kind == "gravity":
        return f"{speech.gravity(values['sg'])} or less{' once more' if values.get('again') else ''}"
    if kind == "gravity-up":
        return f"{speech.gravity(values['sg'])} or more"
    if kind in ("at-most", "at-least"):
        which = "or less" if kind == "at-most" else "or more"
        return f"{speech.measured(str(values['what']), values['limit'])} {which}"
    if kind == "sugar-left":
        at = f", at {speech.gravity(values['sg'])}" if "sg" in values else ""
        return f"{show_number(values['g_per_l'], 0, speech.units)} g/L or less that may still ferment{at}"
    if kind == "spent":
        return _break(values, speech)
    if kind == "abv":
        return f"{values['abv_percent']:g} % vol" + (f", at {speech.gravity(values['sg'])}" if "sg" in values else "")
    if kind == "stable":
        return f"stable for {counted(values['days'], 'days')}"
    if kind == "end":
        return f"the planned end, {speech.gravity(values['sg'])} or less"
    if kind == "decided":
        return f"taken to be at its end at {speech.gravity(values['sg'])}"
    if kind in ("all", "any"):
        return _listed([label(part, speech) for part in why.parts], "and" if kind == "all" else "or")
    return _say(why, speech)


def _break(values: WhyValues, speech: Speech) -> str:
    share = values["share"]
    if values["third"]:
        name = "one-third sugar break"
    else:
        part = next((word for known, word in _SHARES.items() if abs(known - share) < 0.001), f"{100 * share:.0f} %")
        name = f"{part} of the sugar spent"
    return f"{name}, at {speech.gravity(values['sg'])}" if "sg" in values else name


def _listed(words: Sequence[str], last: str) -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def _dated(why: Why, speech: Speech) -> str:
    """Write a condition with what is known of its date."""
    values = why.values
    name = label(why, speech)
    if values.get("opens"):
        return f"{name}, which may come any day now"
    if why.state == KNOWN:
        if why.kind in ("after", "before"):
            return f"{name}, {speech.moment(values['at']) if values['unit'] == 'hours' else speech.day(values['at'])}"
        shown = ", shown" if why.kind == "stable" else ", reached"
        return f"{name}{shown} {speech.day(values['at'])}"
    if why.state == EXPECTED:
        if values.get("passed"):
            return f"{name}: likely there by now, a reading will tell"
        if why.kind == "after":
            return f"{name}, which is still to come: {speech.span(values['window'])}"
        return f"{name}: forecast {speech.span(values['window'])}{_from_readings([why])}"
    if why.kind == "after":
        return f"waits for {step_name(values, values['ref'])}"
    if why.kind == "before":
        return f"waits for a date for {step_name(values, values['ref'])}"
    if why.kind == "stable":
        name = counted(values["days"], "calm days")
    return f"waits for {name}{_so_far(why, speech)}"


def _from_readings(whys: Sequence[Why]) -> str:
    counts = [count for why in whys if (count := why.values.get("readings")) is not None]
    if not counts:
        return ""
    return ", from no reading yet" if max(counts) == 0 else f", from {counted(max(counts), 'readings')}"


def _so_far(why: Why, speech: Speech) -> str:
    values = why.values
    if values.get("unlikely"):
        return "; the forecast does not get there"
    if why.kind == "stable":
        if values.get("count", 0) < 2:
            return "; no two readings agree yet"
        return f"; the newest {counted(values['count'], 'readings')} agree since {speech.day(values['since'])}"
    if "last_value" in values:
        shown = speech.measured(str(values["what"]), values["last_value"])
        return f"; last {shown} on {speech.day(values['last_at'])}"
    if "last_sg" in values:
        return f"; last reading {speech.gravity(values['last_sg'])} on {speech.day(values['last_at'])}"
    if values.get("since_addition"):
        return "; no reading yet since the last addition"
    return "; no original gravity is known" if why.kind == "spent" and "sg" not in values else "; no reading yet"


def _all(why: Why, speech: Speech) -> str:
    values = why.values
    parts = why.parts
    if why.state == KNOWN:
        last = parts[values["which"]]
        return f"{_say(last, speech)}, the last of {counted(len(parts), 'conditions')}"
    if why.state == EXPECTED:
        open_parts = [part for part in parts if not _is_past(part, speech)] or list(parts)
        if len(open_parts) == 1:
            return _say(open_parts[0], speech)
        names = _listed([label(part, speech) for part in open_parts], "and")
        return f"{names}: forecast {speech.span(values['window'])}{_from_readings(parts)}"
    if why.state == WAITING:
        waiting = [part for part in parts if part.state == WAITING]
        return "; ".join(_say(part, speech) for part in waiting)
    return _say(next((part for part in parts if part.state == why.state), parts[0]), speech)


def _is_past(why: Why, speech: Speech) -> bool:
    at = why.values.get("at")
    return why.state == KNOWN and at is not None and speech.now is not None and at <= speech.now


def _any(why: Why, speech: Speech) -> str:
    values = why.values
    if "which" not in values:
        return _listed([_say(part, speech) for part in why.parts], "or")
    first = why.parts[values["which"]]
    if values["met"] or len(why.parts) == 1:
        return _say(first, speech)
    others = [part for part in why.parts if part is not first]
    sooner = [
        f"{label(part, speech)}{_so_far(part, speech)}" if part.state == WAITING else _say(part, speech)
        for part in others
    ]
    return f"{_say(first, speech)}; or sooner: {_listed(sooner, 'or')}"


# --- the rest ----------------------------------------------------------------------------------------------------


def _every(why: Why, speech: Speech) -> str:
    values = why.values
    last = values["last"]
    return f"{rhythm(values['days'])}, {'for the first time' if last is None else f'last on {speech.day(last)}'}"


def _dropped(why: Why, speech: Speech) -> str:
    return f"no longer needed since {_at(why, speech)}: {_say(why.parts[0], speech)}"


def _postponed(why: Why, speech: Speech) -> str:
    reason = why.values.get("reason")
    because = f" ({plain(reason, 200)})" if reason else ""
    until = why.values["until"]
    return f"put off until {speech.day(until)}{because}; {_say(why.parts[0], speech)}"


def _doubted(why: Why, speech: Speech) -> str:
    over, due = why.parts
    return f"take a gravity first: {label(over, speech)}, has probably passed; {_say(due, speech)}"


def _skipped(why: Why, speech: Speech) -> str:
    reason = why.values.get("reason")
    return f"left out on {_at(why, speech)}" + (f": {plain(reason, 200)}" if reason else "")


def _ended(why: Why, speech: Speech) -> str:
    times = why.values["times"]
    done = "never done" if not times else "done once" if times == 1 else f"done {counted(times, 'times')}"
    return f"over on {_at(why, speech)}, {done}"


def _passed(why: Why, speech: Speech) -> str:
    values = why.values
    return f"it belongs before {step_name(values, values['ref'])}, which was over on {_at(why, speech)}"


def _at(why: Why, speech: Speech) -> str:
    return speech.day(why.values["at"])


def _for(why: Why) -> str:
    return step_name(why.values, why.values["for_task"])


def _ask_crossing(why: Why, speech: Speech) -> str:
    part = why.parts[0]
    if part.kind == "spent":
        return f"to catch the {_dated(part, speech)}"
    return f"for {_for(why)}: {_dated(part, speech)}"


def _ask_stable(why: Why, _speech: Speech) -> str:
    days = why.values["days"]
    return f"to show that it has been stable for {counted(days, 'days')}, for {_for(why)}"


def _no_sorbate(why: Why) -> str:
    reason, values = str(why.values.get("reason")), why.values
    if "too weak" in reason and "abv_percent" in values:
        return f"sorbate holds no mead of {values['abv_percent']:.1f} % vol"
    if "pH too high" in reason:
        known = "limit" in values
        return f"sorbate holds nothing at pH {values['limit']:.1f}" if known else "sorbate holds nothing at its pH"
    return "sorbate after a malolactic ferment smells of geranium"


def _keep(why: Why, _speech: Speech) -> str:
    first, *others = BY_CHORE
    acid = "; or add acid and read the pH" if str(why.values.get("reason")) == "pH too high" else ""
    return f"{_no_sorbate(why)}: {first}, or write what = {_listed(others, 'or')}{acid}"


_SENTENCES: Mapping[str, Callable[[Why, Speech], str]] = {
    **dict.fromkeys(
        (
            "after", "before", "gravity", "gravity-up", "at-most", "at-least", "sugar-left", "spent", "abv", "stable",
            "end",
        ),
        _dated,
    ),
    "decided": lambda why, speech: f"{label(why, speech)} since {_at(why, speech)}",
    "its-end": lambda why, speech: f"it was taken to be at its end on {_at(why, speech)}",
    "held-trouble": lambda why, _speech: f"waits: it has {why.values['reason']}, and that comes first",
    "trouble": lambda why, speech: act_reason(why.values, speech.gravity),
    "all": _all,
    "any": _any,
    "at-once": lambda _why, _speech: "the first thing to do",
    "on": lambda why, speech: f"on {_at(why, speech)}",
    "every": _every,
    "impossible": lambda _why, _speech: "it depends on a step that this vessel's plan does not have",
    "done": lambda why, speech: f"done on {_at(why, speech)}",
    "skipped": _skipped,
    "missed": lambda why, speech: f"the dose of {_at(why, speech)} stood for it too",
    "in-dose": lambda why, _speech: f"what it would have been is in {step_name(why.values, why.values['ref'])}",
    "made-up": lambda why, speech: f"{_say(why.parts[0], speech)}; for {counted(why.values['count'] + 1, 'doses')}",
    "after-dose": lambda _why, _speech: "half a day after the last dose",
    "all-given": lambda why, speech: f"all of it had been given by {_at(why, speech)}",
    "dropped": _dropped,
    "postponed": _postponed,
    "doubted": _doubted,
    "ended": _ended,
    "emptied": lambda why, speech: f"the vessel was emptied on {_at(why, speech)}",
    "bottled": lambda why, speech: f"all of it was bottled on {_at(why, speech)}",
    "no-fruit": lambda _why, _speech: "there is no fruit in it",
    "strong-enough": lambda why, _speech: f"what is in it comes to {why.values['abv_percent']:g} % vol by itself",
    "passed": _passed,
    "one-must": lambda why, _speech: (
        f"one must for two: {why.values['volume_l']:.3g} L of it are for {plain(why.values['into'], 40)}"
    ),
    "rest": lambda why, speech: f"{why.values['left_l']:.2g} L were left on {_at(why, speech)}",
    "ask-gravity": lambda why, speech: f"for {_for(why)}: {_dated(why.parts[0], speech)}",
    "ask-crossing": _ask_crossing,
    "ask-stable": _ask_stable,
    "ask-telling": lambda why, _speech: f"it {narrows(why.values['days_now'], why.values['days'])}",
    "later-fruit": lambda why, speech: f"fruit went in on {speech.day(why.values['at'])}, three weeks on it",
    "ask-held": lambda why, _speech: f"{_for(why)} waits for it",
    "keep": _keep,
    "held-keep": lambda why, _speech: f"{_no_sorbate(why)}; it waits for the choice how to keep it sweet",
    "held-ph": lambda _why, _speech: "the dose depends on the pH, and none is known",
    "ask-ph": lambda why, _speech: f"the dose for {_for(why)} depends on the pH, and none is known",
}
