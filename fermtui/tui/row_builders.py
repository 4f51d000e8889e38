"""The view as rows of the shelf: what is due, and every vessel's stretch of the time line. No Textual."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime

from fermtui.cellar.agenda import AgendaItem, agenda, amounts_of, guard_of
from fermtui.cellar.store import VesselView, View
from fermtui.daybook.kinds import kind_of
from fermtui.schedule.task import Task
from fermtui.tui.actions import key_of, keymap
from fermtui.tui.first import First
from fermtui.tui.widgets.duelist import DueRow, State
from fermtui.tui.widgets.lines import Line, whole_sentences, wrapped
from fermtui.tui.widgets.timeline import VesselRow
from fermtui.tui.widgets.track import Mark, MarkKind
from fermtui.units import Units, gravity_unit, show_degrees, show_number
from fermtui.wording.amounts import amounts_text
from fermtui.wording.dates import DAYS, day_month, day_text
from fermtui.wording.findings import finding_text
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text
from fermtui.wording.said import in_units
from fermtui.wording.tasks import is_alarm, pressing_text, reason_sentence, reason_text, task_text
from fermtui.wording.vessels import folder_tags, standing_act, standing_name, standing_text, trouble_name, vessel_text

DETAIL = 3
"""Lines between the two lists."""
THEN = "then"
"""In place of a day that moves on until a reading shows it: `once read` would widen the column of every row."""
ROOMY = 76
"""Below this width a row cuts its amount, so the lines under the list say it whole."""


def due_rows(view: View) -> tuple[DueRow, ...]:
    """The due list: what stands against a vessel, then late, due, and likely within a week, most pressing first."""
    folders = _tags(view)
    stands = [
        DueRow(
            vessel=vessel.vessel, task="", state="trouble", when="CHECK", name=plain(vessel.name, 40),
            do=standing_name(one), why=standing_act(one, view.settings.units), tag=folders[vessel.vessel],
        )
        for vessel in view.vessels
        for one in vessel.standing
    ]  # fmt: skip
    return (*stands, *(_due_row(item, view, folders[item.view.vessel]) for item in agenda(view)))


def vessel_rows(view: View) -> tuple[DueRow, ...]:
    """One row a vessel: all that it asks for in one line, most pressing first; then those that ask for nothing."""
    folders, units = _tags(view), view.settings.units
    asked: dict[str, list[DueRow]] = {}
    for row in due_rows(view):
        asked.setdefault(row.vessel, []).append(row)
    rows: list[DueRow] = []
    for name in [*asked, *(one.vessel for one in view.vessels if one.vessel not in asked)]:
        vessel = view.vessel(name)
        if vessel is None:
            continue
        own = asked.get(name, [])
        stands = "" if vessel.gravity is None else show_degrees(vessel.gravity, units)
        first = own[0] if own else DueRow(name, "", "calm", "", plain(vessel.name, 40), "", tag=folders[name])
        words = ", ".join(_in_short(row, first) for row in own) or _calm_in_short(vessel)
        rows.append(first._replace(do=words, amount="", since="", why="", stands=stands or "-"))
    return tuple(rows)


def _in_short(row: DueRow, first: DueRow) -> str:
    """`dose 1 of 4`, `dose 1 of 4 at 18:40`, `Fri fruit in`: the day only where it is not that of the row."""
    if row.state != "coming" or row.when == first.when:
        return row.do
    return f"{row.do} at {row.when}" if ":" in row.when else f"{row.when} {row.do}"


def _calm_in_short(vessel: VesselView) -> str:
    """How a vessel stands that asks for nothing this week, and what comes next."""
    ahead = [(task.likely, task.key, task) for task in vessel.tasks if task.state == "coming" and task.likely]
    likely, _, task = min(ahead) if ahead else (None, "", None)
    comes = f"; {task_text(task)} {day_text(likely.date())}" if task is not None and likely is not None else ""
    return f"{vessel.stage}{comes}"


def _tags(view: View) -> dict[str, str]:
    return folder_tags({vessel.vessel: plain(vessel.name, 40) for vessel in view.vessels})


def _due_row(item: AgendaItem, view: View, tag: str) -> DueRow:
    task = item.task
    state: State = "late" if task.state == "late" else "due" if task.state == "due" else "coming"
    if is_alarm(task):
        state = "trouble"
    return DueRow(
        vessel=item.view.vessel,
        task=task.key,
        state=state,
        when=_when(task, view.now),
        name=plain(item.view.name, 40),
        do=task_text(task),
        amount=_amount_words(item, view),
        since=pressing_text(task, view),
        why=reason_text(task, view.settings, view.now),
        tag=tag,
    )


def first_of(view: View) -> First:
    """The shelf as the next start may draw it at once."""
    look = view.settings.look
    return First(
        view.now.date(), shelf_rows(view), due_rows(view), calm_words(view), len(view.all_problems),
        look.theme, look.ascii, look.mouse, view.settings.keys,
    )  # fmt: skip


def _amount_words(item: AgendaItem, view: View) -> str:
    """The numbers; what is pulled is said by the task's name already."""
    return amounts_text({name: is_ for name, is_ in item.amounts.items() if name != "what"}, view.settings.units)


def _when(task: Task, now: datetime) -> str:
    if task.state == "late":
        return "LATE"
    if task.state == "due":
        return "CHECK" if is_alarm(task) else "due"
    if task.floats:
        return THEN
    likely = task.likely or now
    if likely.date() == now.date():
        return "today" if task.is_date or task.forecast else f"{likely:%H:%M}"
    return DAYS[likely.weekday()]


def calm_words(view: View) -> str:
    """What stands in the due list when it is empty."""
    if not view.vessels:
        return f"No vessel yet. Press {key_of('start', keymap(view.settings.keys)[0])} to plan the first mead."
    troubled = [f"{plain(vessel.name, 20)}, {trouble_name(vessel)}" for vessel in view.vessels if vessel.trouble]
    if troubled:
        more = f" and {len(troubled) - 1} more" if len(troubled) > 1 else ""
        return f"Nothing is due, but look at {troubled[0]}{more}."
    ahead = [(task.likely, vessel, task) for vessel in view.vessels for task in vessel.tasks
             if task.state == "coming" and task.likely is not None]  # fmt: skip
    if not ahead:
        return "Nothing is due."
    likely, vessel, task = min(ahead, key=lambda one: one[0])
    return f"Nothing is due this week. Next: {plain(vessel.name, 30)}, {task_text(task)}, {day_text(likely.date())}."


def shelf_rows(view: View) -> tuple[VesselRow, ...]:
    """The time line."""
    folders = _tags(view)
    return tuple(_row(vessel, view, folders[vessel.vessel]) for vessel in view.vessels)


def _row(vessel: VesselView, view: View, tag: str) -> VesselRow:
    units = view.settings.units
    abv = "" if vessel.abv_percent is None or vessel.day is None else show_number(vessel.abv_percent, 1, units)
    return VesselRow(
        key=vessel.vessel,
        name=plain(vessel.name, 40),
        stage=vessel.stage,
        trouble=vessel.trouble or "",
        gravity="" if vessel.gravity is None else show_degrees(vessel.gravity, units),
        gravity_unit=gravity_unit(units),
        abv=abv,
        spent_percent=vessel.sugar_spent_percent,
        marks=tuple(_marks(vessel, view.now)),
        damaged=bool(vessel.problems),
        tag=tag,
        finish=finish_words(vessel),
    )


def finish_words(vessel: VesselView) -> str:
    """`~30 Mar`, the likely day of its finish while it ferments; `stopped` once that is past; else nothing."""
    if vessel.forecast is None or vessel.trouble == "stalled" or vessel.stage not in ("fermenting", "on fruit"):
        return ""
    finish = vessel.forecast.finish
    if finish is None:
        return ""
    return "stopped" if finish.likely <= vessel.now else f"~{day_month(finish.likely.date())}"


def _marks(vessel: VesselView, now: datetime) -> Iterator[Mark]:
    zone_day = _day_in(now)
    for task in vessel.tasks:
        if task.state == "done" and task.done_at is not None:
            if not kind_of(task.do).quiet:
                yield Mark(zone_day(task.done_at), "done")
        elif task.state == "late":
            yield Mark(zone_day(task.likely or now), "late")
        elif task.state == "due":
            yield Mark(now.date(), "due")
        elif task.state == "coming" and task.window is not None and task.every_days is None:
            first, likely, last = task.window
            kind: MarkKind = "foreseen" if task.forecast else "coming"
            # An end that may never come is drawn as far after the likely day as the earliest lies before it.
            yield Mark(zone_day(likely), kind, zone_day(first), zone_day(last or likely + (likely - first)))
    if vessel.facts.pitched_at is not None:
        yield Mark(zone_day(vessel.facts.pitched_at), "done")


def _day_in(now: datetime) -> Callable[[datetime], date]:
    return lambda at: at.astimezone(now.tzinfo).date()


def task_lines(view: View, folder: str, key: str, width: int) -> list[Line]:
    """One task whole, for the lines between the two lists: its reason, then what stands in the way or what to mind."""
    vessel = view.vessel(folder)
    task = vessel.task(key) if vessel else None
    if vessel is not None and vessel.standing and not key:
        return standing_lines(vessel, view.settings.units, width, DETAIL)
    if vessel is None or task is None:
        return []
    item = AgendaItem(vessel, task, amounts_of(vessel, task, view.settings))
    amount = _amount_words(item, view) if width < ROOMY else ""
    reason = f"{amount}; {reason_text(task, view.settings, view.now)}" if amount else reason_sentence(task, view)
    finding = guard_of(item, view)
    if finding is not None:
        return wrapped(f"not now: {finding_text(finding, view.settings.units)}", "warn", width, DETAIL)
    first = wrapped(reason, "text", width, 2)
    return [*first, *advice_lines(task, width, DETAIL - len(first), view.settings.units)]


def standing_lines(vessel: VesselView, units: Units, width: int, lines: int, indent: str = "  ") -> list[Line]:
    """What stands against a vessel by its entries, each in at most so many lines: what to do, then what it is."""
    found: list[Line] = []
    for one in vessel.standing:
        act = standing_act(one, units)
        text = f"{act} {standing_text(one, units).removesuffix(act)}"
        found += wrapped(plain(text, 600), "warn", width, lines, indent=indent)
    return found


def advice_lines(task: Task, width: int, lines: int, units: Units) -> list[Line]:
    """What a schedule says beside a step: whole sentences."""
    return whole_sentences(in_units(plain(task.say, 300), units), "quiet", width, lines) if task.say else []


def ahead_words(vessel: VesselView) -> str:
    """What is to be done on a vessel now, and the next things that come."""
    now = [task_text(task) for task in vessel.tasks if task.state in ("late", "due")]
    ahead = sorted((task.likely, task.key, task) for task in vessel.tasks if task.state == "coming" and task.likely)
    nexts = [f"{task_text(task)} {day_text(likely.date())}" for likely, _, task in ahead[:3]]
    parts = [f"{label} {', '.join(words)}" for label, words in (("now:", now), ("next:", nexts)) if words]
    return "; ".join(parts)


def vessel_lines(view: View, vessel: VesselView, width: int) -> list[Line]:
    """One vessel in a few lines, for the time line's cursor: how it stands, and what comes next."""
    if vessel.problems:
        second = wrapped(plain(problem_text(vessel.problems[0]), 300), "warn", width, 2)
    else:
        second = wrapped(ahead_words(vessel), "quiet", width, 2)
    return [*wrapped(vessel_text(vessel, view.settings.units), "text", width, 1), *second]
