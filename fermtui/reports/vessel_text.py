"""The text twin of the shelf and of the vessel screen: nothing on those screens is missing here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, tzinfo
from itertools import groupby

from fermtui.cellar.agenda import by_time
from fermtui.cellar.store import VesselView, View
from fermtui.daybook.entry import Entry
from fermtui.daybook.head import LEFT_ALONE, WELL_FED
from fermtui.daybook.kinds import Read
from fermtui.daybook.settings import Settings
from fermtui.daybook.vessel_file import VesselFile
from fermtui.forecast.forecast import Forecast
from fermtui.replay.facts import Reading
from fermtui.replay.stabilised import sulfur_dioxide
from fermtui.schedule.task import Task
from fermtui.units import Units, gravity_unit, show_degrees, show_gravity, show_number, show_temp, show_volume
from fermtui.wording.checklist import checklist, likely_text, trouble_text
from fermtui.wording.dates import ago, short_day, short_window
from fermtui.wording.forecasts import likeness_text, next_reading_text, own_batches_text
from fermtui.wording.kinds import done_text
from fermtui.wording.plain import plain
from fermtui.wording.said import in_units
from fermtui.wording.sensors import offset_text
from fermtui.wording.tasks import reason_text, state_text, task_text, when_text
from fermtui.wording.vessels import gravity_note, not_poured_text, standing_name, standing_text


def cellar_lines(view: View) -> list[str]:
    """Every vessel in a line: stage, day, gravity, strength, sugar spent, volume, next task."""
    if not view.vessels:
        return ["no vessel stands in this cellar yet: `fermtui start NAME --volume 4L --gravity 1.095`"]
    gravity = gravity_unit(view.settings.units)
    rows: list[tuple[str, ...]] = [("vessel", "name", "stage", "day", gravity, "% vol", "spent", "volume", "next")]
    rows += [_row(vessel, view) for vessel in view.vessels]
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]


def _row(vessel: VesselView, view: View) -> tuple[str, ...]:
    units = view.settings.units
    stage = vessel.stage + (f" ({vessel.trouble})" if vessel.trouble else "")
    return (
        vessel.vessel + (" !" if vessel.problems or vessel.standing else ""),
        plain(vessel.name, 24),
        stage,
        "" if vessel.day is None else str(vessel.day),
        "" if vessel.gravity is None else show_degrees(vessel.gravity, units),
        "" if vessel.abv_percent is None else show_number(vessel.abv_percent, 1, units),
        "" if vessel.sugar_spent_percent is None else f"{vessel.sugar_spent_percent:.0f} %",
        "" if vessel.volume_l is None else show_volume(vessel.volume_l, units),
        _next(vessel, view),
    )


def _day(task: Task, now: datetime, zone: tzinfo) -> str:
    if task.settled_at is not None:
        return ago(task.settled_at, now, zone)
    return when_text(task, now, zone)


def _next(vessel: VesselView, view: View) -> str:
    order = {"late": 0, "due": 1, "coming": 2}
    open_tasks = [t for t in vessel.tasks if t.state in order and t.likely is not None]
    if not open_tasks:
        return not_poured_text(vessel)
    task = min(open_tasks, key=lambda t: (order[t.state], t.likely.timestamp() if t.likely else 0.0))
    when = task.state if task.state != "coming" else when_text(task, view.now, view.settings.zone)
    return f"{when}: {task_text(task)}"


def fact_rows(vessel: VesselView, units: Units) -> list[tuple[str, str]]:
    """Label and value of what is known of a vessel, with its uncertainty."""
    facts = vessel.facts
    rows = [("stage", vessel.stage + (f", {vessel.trouble}" if vessel.trouble else ""))]
    if waits := not_poured_text(vessel):
        rows.append(("waits", waits))
    if vessel.day is not None:
        rows.append(("day", str(vessel.day)))
    if vessel.gravity is not None:
        rows.append(("gravity", f"{show_gravity(vessel.gravity, units)}, {gravity_note(vessel)}"))
    if facts.og is not None:
        rows.append(("began at", show_gravity(facts.og, units)))
    if vessel.abv_percent is not None:
        near = show_number(vessel.abv_plus_minus or 0.0, 1, units)
        rows.append(("strength", f"{show_number(vessel.abv_percent, 1, units)} ± {near} % vol"))
    if vessel.sugar_spent_percent is not None:
        rows.append(("sugar spent", f"{vessel.sugar_spent_percent:.0f} % by gravity"))
    if vessel.speed_sg_per_day is not None:
        rows.append(("speed", f"{show_number(1000 * vessel.speed_sg_per_day, 1, units)} points a day"))
    if vessel.volume_l is not None:
        room = "" if vessel.headspace_l is None else f", {show_volume(max(0.0, vessel.headspace_l), units)} headspace"
        rows.append(("volume", show_volume(vessel.volume_l, units) + room if vessel.volume_l >= 0.01 else "empty"))
    if facts.container:
        rows.append(("stands in", plain(facts.container, 40)))
    if facts.ph is not None:
        rows.append(("pH", show_number(facts.ph, 2, units)))
    if facts.sulfite:
        rows += _so2_rows(vessel, units)
    rows += _bottle_rows(vessel)
    return rows


def _so2_rows(vessel: VesselView, units: Units) -> list[tuple[str, str]]:
    found = sulfur_dioxide(vessel.facts)
    if found is None:
        return []
    free, total = (show_number(value, 0, units) for value in (found.free_mg_per_l, found.total_mg_per_l))
    if found.bound_percent is None:
        return [("SO2", f"at most {free} mg/L free of {total}: not measured since")]
    return [("SO2", f"{free} mg/L free of {total}, {found.bound_percent:.0f} % bound")]


def _bottle_rows(vessel: VesselView) -> list[tuple[str, str]]:
    rows = []
    for lot in vessel.facts.lots:
        left = lot.bottles - lot.opened
        burst = f", {lot.burst} BURST" if lot.burst else ""
        rows.append(("bottles", f"{left} of {lot.bottles} left, {lot.size_ml:g} mL{burst}"))
    return rows


def forecast_rows(vessel: VesselView, settings: Settings, now: datetime) -> list[tuple[str, str]]:
    """Label and value of the forecast, or the reason why there is none."""
    forecast = vessel.forecast
    if forecast is None:
        return [("forecast", f"none: {vessel.forecast_reason}")] if vessel.forecast_reason else []
    zone = settings.zone
    # What stands still has no finish to come: `ends high` and the trouble say what is known.
    rows = [] if vessel.trouble == "stalled" else [("finish", _when(forecast, now, settings))]
    if rows and any(task.do in ("feed", "fruit") and task.is_open for task in vessel.tasks):
        rows.append(("", "without the honey or fruit that is still to go in"))
    for name, window in forecast.crossings().items():
        if window is not None and window.likely > now:
            rows.append((name.replace("_", " "), short_window(window, now, zone)))
    chances = forecast.chances
    rows.append(("has stopped", likely_text(chances.finished)))
    if chances.stalled >= 0.05:
        rows.append(("ends high", f"{likely_text(chances.stalled)}: comes to rest above its planned end"))
    if chances.slow >= 0.25 and chances.finished < 0.5 and vessel.stage in ("fermenting", "on fruit"):
        rows.append(("slow", f"{likely_text(chances.slow)}: falls less than the slowest tenth of healthy musts"))
    if chances.confidence == "little":
        rows.append(("", "little is known yet: each reading narrows it"))
    if chances.finished < 0.5:
        rows.append(("", likeness_text(forecast)))
        if vessel.facts.fed is None:
            said = f"fermtui write {vessel.vessel} chore 'what={WELL_FED}', or '{LEFT_ALONE}'"
            rows.append(("", f"if you know better: {said}"))
    own = own_batches_text(forecast)
    if own:
        rows.append(("", own))
    reading = next_reading_text(forecast, now, zone)
    if reading:
        rows.append(("next reading", reading))
    return rows


def _when(forecast: Forecast, now: datetime, settings: Settings) -> str:
    window = forecast.finish
    if window is None:
        return "not in sight"
    day = short_day(window.likely.astimezone(settings.zone).date(), now.astimezone(settings.zone).date())
    span = short_window(window, now, settings.zone)
    if span == day:
        return day
    return f"{day}, {'8 of 10 in ' if window.latest else ''}{span}"


def band_lines(forecast: Forecast, settings: Settings, now: datetime, most: int = 8) -> list[str]:
    """The 80 % band of the gravity from today to the latest finish, in at most so many rows."""
    units, zone = settings.units, settings.zone
    finish = forecast.finish
    last = (finish.latest or finish.likely) if finish is not None else None
    rows = [row for row in forecast.band() if row.at >= now and (last is None or row.at <= last)]
    step = max(1, -(-len(rows) // most))
    return [
        f"  {row.at.astimezone(zone):%Y-%m-%d}        {show_gravity(row.likely, units)}  "
        f"({show_gravity(row.low, units)} to {show_gravity(row.high, units)})"
        for row in rows[::step]
    ]


def one_a_day(readings: Iterable[Reading], zone: tzinfo) -> list[Reading]:
    """All readings by hand, and of each sensor the last of each day."""
    found: dict[object, Reading] = {}
    for reading in readings:
        found[(reading.by, reading.at.astimezone(zone).date()) if reading.by else reading.key] = reading
    return sorted(found.values(), key=lambda reading: reading.at)


def _by(reading: Reading) -> str:
    return f"  by {plain(reading.by, 40)}" if reading.by else ""


def logged_together(file: VesselFile) -> Iterator[tuple[Entry, ...]]:
    """The entries, those together that one sensor logged without anything between."""

    def sensor(entry: Entry) -> object:
        by = entry.by if isinstance(entry, Read) else None
        return (by, "") if by and entry.key not in file.struck else (None, entry.key)

    return (tuple(group) for _, group in groupby(file.entries, key=sensor))


def logged_text(entries: Sequence[Entry], units: Units) -> str:
    """`read 1.095 to 1.041 in 30 readings by float-1`: entries that one sensor logged."""
    reads = [entry for entry in entries if isinstance(entry, Read)]
    gravities = [entry.sg for entry in reads if entry.sg is not None]
    span = f"{show_gravity(gravities[0], units)} to {show_gravity(gravities[-1], units)} in " if gravities else ""
    return f"read {span}{len(reads)} readings by {plain(reads[0].by, 40)}"


def vessel_lines(vessel: VesselView, file: VesselFile, settings: Settings, now: datetime) -> list[str]:
    """One vessel whole: facts, forecast, steps, readings, daybook."""
    units, zone = settings.units, settings.zone
    lines = [f"{plain(vessel.name, 80)} ({vessel.vessel})", ""]
    for label, value in fact_rows(vessel, units) + forecast_rows(vessel, settings, now):
        lines.append(f"  {label:<12} {value}")
    for one in vessel.standing:
        lines += ["", f"{standing_name(one)}: {standing_text(one, units)}"]
    if vessel.trouble_found is not None:
        lines += ["", f"trouble: {trouble_text(vessel.trouble_found, units)}"]
        found = checklist(
            vessel.trouble_found, vessel.facts, vessel.head.plan, vessel.abv_percent, now, settings
        )
        lines += [f"  {line}" for line in found]
    lines += ["", "steps"]
    tasks = by_time(vessel.tasks)
    days = [_day(task, now, zone) for task in tasks]
    wide = max([14, *map(len, days)])
    for task, when in zip(tasks, days, strict=True):
        why = reason_text(task, settings, now) + (f"  [{plain(task.key, 60)}]" if task.is_open else "")
        lines.append(f"  {state_text(task):<8} {when:<{wide}} {task_text(task):<26} {why}")
    lines += ["", "readings"]
    for reading in one_a_day(vessel.facts.readings, zone):
        sg = "" if reading.sg is None else show_gravity(reading.sg, units, 4)
        temp = "" if reading.temp_c is None else show_temp(reading.temp_c, units)
        ph = "" if reading.ph is None else f"pH {show_number(reading.ph, 2, units)}"
        lines.append(f"  {reading.at.astimezone(zone):%Y-%m-%d %H:%M}  {sg:<8} {temp:<9} {ph}".rstrip() + _by(reading))
    lines += [f"sensor: {offset_text(one, units)}" for one in vessel.facts.sensors]
    if vessel.forecast is not None and (band := band_lines(vessel.forecast, settings, now)):
        lines += ["", "gravity to come, likely (8 of 10 in the brackets)", *band]
    lines += ["", "daybook"]
    for entries in logged_together(file):
        entry = entries[-1]
        if len(entries) > 1:
            first, last = (one.at.astimezone(zone) for one in (entries[0], entry))
            lines.append(f"  {first:%Y-%m-%d} to {last:%Y-%m-%d}  {logged_text(entries, units)}")
            continue
        mark = "~" if entry.key in file.struck else " "
        text = done_text(entry.did, entry.written, units)
        lines.append(f" {mark}{entry.at.astimezone(zone):%Y-%m-%d %H:%M}  {text}  [{entry.key}]")
        if entry.override:
            lines.append(f"    in spite of a guard: {plain(entry.override, 200)}")
    for note in vessel.facts.notes:
        lines.append(f"note: {in_units(plain(note, 300), units)}")
    return lines
