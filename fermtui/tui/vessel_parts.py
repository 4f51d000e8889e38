"""One vessel as the pieces of its screen: facts, steps, daybook. No Textual."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, tzinfo

from fermtui.cellar.agenda import by_time
from fermtui.cellar.store import VesselView, View
from fermtui.daybook.entry import Entry
from fermtui.daybook.head import LEFT_ALONE, WELL_FED
from fermtui.daybook.kinds import Strike
from fermtui.daybook.settings import Settings
from fermtui.daybook.vessel_file import VesselFile
from fermtui.reports.runs import Run
from fermtui.reports.vessel_text import logged_together
from fermtui.schedule.task import Task
from fermtui.tui.row_builders import advice_lines, standing_lines
from fermtui.tui.widgets.lines import Line, fit, wrapped
from fermtui.tui.widgets.rows import ListItem
from fermtui.tui.widgets.track import ASCII_SIGN, SIGN, spent_bar
from fermtui.units import Units, show_gravity, show_number, show_volume
from fermtui.wording.checklist import checklist, likely_text, trouble_text
from fermtui.wording.dates import bears_year, day_month, day_text
from fermtui.wording.forecasts import likeness_text, next_reading_text, own_batches_text
from fermtui.wording.kinds import done_text
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text
from fermtui.wording.said import in_units
from fermtui.wording.tasks import ONCE_READ, reason_sentence, span_text, task_text
from fermtui.wording.vessels import gravity_note, standing_name

DETAIL = 3
"""Lines for the step or entry under the cursor."""
STANDS_SG_PER_DAY = 0.00005
"""Slower than this is shown as 0.0 points a day, which says nothing."""
CHECK_LABEL = 14
"""cells of a label on the check list"""
NAMES = 13
"""cells of a fact's name"""
SPENT = "sugar spent"
STATE_SIGN = {**SIGN, "waiting": " ", "dropped": "x"}
STATE_ASCII = {**ASCII_SIGN, "waiting": " ", "dropped": "x"}
STATE_ROLE = {"done": "quiet", "late": "late", "due": "due", "coming": "text", "waiting": "quiet", "dropped": "struck"}


def head_line(view: VesselView, width: int) -> Line:
    """Name, stage and trouble to the left; the day and the container to the right."""
    left: list[Run] = [(f"  {plain(view.name, 40)}", "strong"), (f"   {view.stage}", "quiet")]
    if view.trouble:
        left.append((f"  {view.trouble}!", "warn"))
    right = [f"day {view.day}"] if view.day is not None else []
    if view.facts.container:
        right.append(plain(view.facts.container, 24))
    text = "   ".join(right)
    used = sum(len(part) for part, _ in left)
    return [*left, (" " * max(2, width - used - len(text) - 2), "quiet"), (text, "quiet")]


def fact_lines(
    view: VesselView, units: Units, width: int, height: int, *, ascii_only: bool, check_key: str
) -> list[Line]:
    """The numbers of a vessel with their uncertainty, the ones that decide first; what is not known is left out.

    Where the height has no room for both, what is the matter shrinks to a line: the facts below it are needed to judge.
    """
    alarm = _alarm_lines(view, units, width, check_key)
    stalled = view.trouble == "stalled" and view.forecast is not None  # then the alarm on top says its chance
    core = _core_lines(view, units, width, [] if stalled else _forecast_lines(view, width), ascii_only=ascii_only)
    if len(alarm) > 1 and len(alarm) + len(core) > height:
        alarm = _short_alarm(view, width, check_key)
        core = _core_lines(view, units, width, _forecast_lines(view, width), ascii_only=ascii_only)
        core.sort(key=lambda line: line[0][0].startswith(SPENT))  # the bar is the first that may go
    lines = [*alarm, *core, *_sensor_lines(view, units, width)]
    if (view.speed_sg_per_day or 0.0) >= STANDS_SG_PER_DAY and view.stage in ("fermenting", "on fruit"):
        lines.append(_row(width, "falls", show_number((view.speed_sg_per_day or 0.0) * 1000, 1, units), "points a day"))
    if view.volume_l:
        room = "" if view.headspace_l is None else f"{show_volume(max(0.0, view.headspace_l), units)} free"
        lines.append(_row(width, "volume", show_volume(view.volume_l, units), room))
    if view.refermentable_g_per_l and view.refermentable_g_per_l >= 0.5 and view.stage != "must":
        spread = show_number(view.refermentable_plus_minus or 0.0, 0, units)
        left = f"{show_number(view.refermentable_g_per_l, 0, units)} g/L"
        lines.append(_row(width, "to its end", left, f"± {spread} of sugar"))
    if view.facts.ph is not None:
        lines.append(_row(width, "pH", show_number(view.facts.ph, 2, units)))
    if view.facts.og is not None:
        lines.append(_row(width, "began at", show_gravity(view.facts.og, units)))
    lines += _leaning_lines(view, width)
    for note in view.facts.notes:
        lines += [[], *wrapped(in_units(plain(note, 300), units), "quiet", width, 4, indent="")]
    return lines


def _sensor_lines(view: VesselView, units: Units, width: int) -> list[Line]:
    """What each sensor shows too much or too little by the hand readings near its own."""
    lines: list[Line] = []
    for one in view.facts.sensors:
        points = f"{show_number(1000.0 * one.offset_sg, 1, units)} points"
        way = "taken off" if one.applied else "too much" if one.offset_sg >= 0.0 else "too little"
        near = show_number(1000.0 * one.sd_sg, 1, units)
        lines.append(_row(width, plain(one.name, NAMES - 1), points.removeprefix("-"), f"± {near} {way}"))
    return lines


def _alarm_lines(view: VesselView, units: Units, width: int, check_key: str) -> list[Line]:
    """What cannot be read and what is the matter, whole, and the key to the check list."""
    lines: list[Line] = standing_lines(view, units, width, 12, indent="")
    for problem in view.problems[:2]:
        lines += wrapped(plain(problem_text(problem), 300), "warn", width, 3, indent="")
    if view.trouble_found is not None:
        lines += wrapped(trouble_text(view.trouble_found, units), "warn", width, 3, indent="")
        look: Line = [(check_key, "key"), (" what to look at", "quiet")]
        used = sum(len(text) for text, _ in lines[-1])
        if used + 3 + sum(len(text) for text, _ in look) <= width:
            lines[-1] = [*lines[-1], ("   ", "quiet"), *look]
        else:
            lines.append(look)
    return lines


def _short_alarm(view: VesselView, width: int, check_key: str) -> list[Line]:
    """A line each: what stands against it, the file at fault as far as it fits, the trouble by its name and the key
    that says the rest.
    """
    lines: list[Line] = [[(fit(f"{standing_name(one)}!", width), "warn")] for one in view.standing]
    lines += [[(fit(plain(problem_text(problem), 300), width), "warn")] for problem in view.problems[:1]]
    if view.trouble_found is not None:
        name = f"{view.trouble_found.kind}!  "
        fits = [words for words in (" what to look at", " says more") if len(name + check_key + words) <= width]
        lines.append([(name, "warn"), (check_key, "key"), (fits[0] if fits else " more", "quiet")])
    return lines


def _core_lines(view: VesselView, units: Units, width: int, forecast: list[Line], *, ascii_only: bool) -> list[Line]:
    """Gravity, strength, sugar spent and the finish."""
    lines: list[Line] = []
    if view.gravity is not None:
        lines.append(_row(width, "gravity", show_gravity(view.gravity, units), gravity_note(view)))
    if view.abv_percent is not None and view.day is not None:
        spread = show_number(view.abv_plus_minus or 0.0, 1, units)
        lines.append(_row(width, "strength", f"{show_number(view.abv_percent, 1, units)} %", f"± {spread}"))
    if view.sugar_spent_percent is not None:
        bar = spent_bar(view.sugar_spent_percent, max(4, min(10, width - NAMES - 7)), ascii_only=ascii_only)
        lines.append([(fit(SPENT, NAMES), "quiet"), (f"{view.sugar_spent_percent:.0f} %  ", "text"), *bar])
    return [*lines, *forecast]


def _row(width: int, name: str, value: str, note: str = "") -> Line:
    fits = len(note) <= width - NAMES - len(value) - 2
    return [(fit(name, NAMES), "quiet"), (f"{value}  ", "text"), (note if fits else "", "quiet")]


def _chance(chance: float, width: int) -> str:
    """`92 % likely`; in a narrow column without its last word, for half a word is worse."""
    text = likely_text(chance)
    return text if NAMES + len(text) <= width else text.removesuffix(" likely")


def _forecast_lines(view: VesselView, width: int) -> list[Line]:
    """When it will finish, and how likely it is that it has stopped short of its end: always side by side."""
    if view.forecast is None:
        if view.stage == "bottled":
            return []
        words = view.forecast_reason or ("" if view.forecast_ready else "the forecast is being made")
        return wrapped(words, "quiet", width, 3, indent="")
    chances, finish = view.forecast.chances, view.forecast.finish
    lines: list[Line] = []
    if chances.finished >= 0.5:
        lines.append([(fit("has stopped", NAMES), "quiet"), (_chance(chances.finished, width), "text")])
    elif finish is not None:
        latest = "or later" if finish.latest is None else f"to {day_month(finish.latest.date())}"
        lines.append([(fit("finish", NAMES), "quiet"), (day_month(finish.likely.date()), "strong")])
        span = f"{day_month(finish.earliest.date())} {latest}"
        lines.append([(" " * max(0, min(NAMES, width - len(span))), "quiet"), (span, "quiet")])
    if chances.stalled >= 0.1 or chances.finished >= 0.5:
        lines.append([(fit("ends high", NAMES), "quiet"), (_chance(chances.stalled, width), "text")])
    if chances.confidence == "little":
        lines += wrapped("little known yet", "quiet", width, 1, indent=" " * NAMES)
    return lines


def _leaning_lines(view: VesselView, width: int) -> list[Line]:
    """What the forecast leans on, how to say it better, and which reading would tell more."""
    forecast = view.forecast
    if forecast is None or forecast.chances.finished >= 0.5:
        return []
    leans = likeness_text(forecast)
    if view.facts.fed is None:
        leans += f" (a chore '{WELL_FED}' or '{LEFT_ALONE}' says so)"
    texts = (leans, own_batches_text(forecast), next_reading_text(forecast, view.now, view.zone))
    lines: list[Line] = []
    for text in texts:
        if text:
            lines += wrapped(text, "quiet", width, 3, indent="")
    return [[], *lines]


def _day_of(task: Task) -> datetime | None:
    return task.likely if task.is_open else task.settled_at


def step_items(view: VesselView, now: datetime, *, ascii_only: bool) -> tuple[ListItem, ...]:
    """Every step in the order of time: sign, day, what."""
    signs = STATE_ASCII if ascii_only else STATE_SIGN
    tasks = by_time(view.tasks)
    days = [_step_day(task, now) for task in tasks]
    wide = max([8, *map(len, days)]) + 1
    return tuple(
        ListItem(task.key, _step_runs(task, signs[_sign_of(task)], fit(day, wide)))
        for task, day in zip(tasks, days, strict=True)
    )


def _sign_of(task: Task) -> str:
    return "foreseen" if task.state == "coming" and task.forecast else task.state


def _step_day(task: Task, now: datetime) -> str:
    """` 17 Mar`, `~30 Mar` where it is foreseen, ` 17 Mar '27` where it could be taken for one of this year."""
    at = _day_of(task)
    if at is None:
        return " waiting" if task.state == "waiting" else ""
    if task.floats:
        return f" {ONCE_READ}"
    about = "~" if task.state == "coming" and task.forecast else " "
    year = f" '{at:%y}" if bears_year(at.date(), now.date()) else ""
    return f"{about}{day_month(at.date())}{year}"


def _step_runs(task: Task, sign: str, day: str) -> Line:
    role = STATE_ROLE[task.state]
    return [(f"{sign} ", role), (day, role if task.state in ("late", "due") else "quiet"), (task_text(task), role)]


def step_line(view: VesselView, key: str | None, cellar_view: View, width: int) -> list[Line]:
    """The date and the reason of the step under the cursor."""
    task = view.task(key) if key else None
    if task is None:
        return []
    when = span_text(task) if task.is_open and task.forecast else ""
    reason = reason_sentence(task, cellar_view)
    first = f"{when}: {reason[:1].lower()}{reason[1:]}" if when else reason
    lines = wrapped(first, "text", width, 2)
    units = cellar_view.settings.units
    return [*lines, *(advice_lines(task, width, DETAIL - len(lines), units) if task.is_open else [])]


def book_items(file: VesselFile, zone: tzinfo, units: Units) -> tuple[ListItem, ...]:
    """The daybook, newest first; struck lines stay readable."""
    rows = [_book_item(entries, file, zone, units) for entries in logged_together(file)]
    return tuple(reversed(rows))


def _book_item(entries: Sequence[Entry], file: VesselFile, zone: tzinfo, units: Units) -> ListItem:
    """One entry, or the newest of those that a sensor logged without anything between, and how many came before it."""
    newest, before = entries[-1], len(entries) - 1
    runs = _book_runs(newest, file, zone, units)
    return ListItem(newest.key, [*runs, (f" and {before} before it", "quiet")] if before else runs)


def _book_runs(entry: Entry, file: VesselFile, zone: tzinfo, units: Units) -> Line:
    at = entry.at.astimezone(zone)
    struck = entry.key in file.struck
    day, words = fit(day_month(at.date()), 7), _words_of(entry, file, units)
    return [("x " if struck else "  ", "struck"), (day, "quiet"), (words, "struck" if struck else "text")]


def _words_of(entry: Entry, file: VesselFile, units: Units) -> str:
    """An entry in a few words; a strike says what it took back, or what it restored, instead of a key."""
    target = _target(entry, file)
    if target is None:
        return done_text(entry.did, entry.written, units)
    restored = _target(target, file)
    if restored is not None:
        return f"restores: {done_text(restored.did, restored.written, units)}"
    return f"takes back: {done_text(target.did, target.written, units)}"


def _target(entry: Entry, file: VesselFile) -> Entry | None:
    if not isinstance(entry, Strike):
        return None
    return next((one for one in file.entries if one.key == entry.entry), None)


def book_line(file: VesselFile, key: str | None, zone: tzinfo, units: Units, width: int) -> list[Line]:
    """The whole entry under the cursor, with the reason given to a guard."""
    entry = next((one for one in file.entries if one.key == key), None)
    if entry is None:
        return []
    at = entry.at.astimezone(zone)
    text = f"{day_text(at.date(), year=True)} {at:%H:%M}: {_words_of(entry, file, units)}"
    if entry.key in file.struck:
        text += " (struck)"
    if entry.override:
        text += f" · in spite of a guard: {plain(entry.override, 200)}"
    return wrapped(text, "text", width, DETAIL)


def check_lines(view: VesselView, settings: Settings, width: int) -> list[Line]:
    """What was found with its chance, then point by point what is known, what helps and what to leave alone."""
    found = view.trouble_found
    if found is None:
        return wrapped("Nothing is the matter with it, as far as its readings tell.", "text", width)
    lines: list[Line] = [[], *wrapped(trouble_text(found, settings.units), "warn", width, 3)]
    for text in checklist(found, view.facts, view.head.plan, view.abv_percent, view.now, settings):
        label, colon, rest = text.partition(": ")
        named = bool(colon) and len(label) < CHECK_LABEL
        rows = wrapped(rest if named else text, "text", width, 4, indent=" " * (CHECK_LABEL + 2))
        head = f"  {label if named else '':<{CHECK_LABEL}}"
        lines += [[(head, "title"), *((run.lstrip(), role) for run, role in rows[0])], *rows[1:]]
    return lines
