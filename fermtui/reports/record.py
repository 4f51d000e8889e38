"""A vessel's whole record, to print and to keep: what it is, what was done, what came of it, how it was reckoned."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from datetime import datetime

from fermtui.cellar.agenda import by_time
from fermtui.cellar.store import VesselView
from fermtui.daybook.entry import Entry
from fermtui.daybook.kinds import Taste
from fermtui.daybook.settings import Settings
from fermtui.daybook.vessel_file import VesselFile
from fermtui.explain.explained import Explained, all_lines
from fermtui.explain.forecast_numbers import explain_forecast
from fermtui.explain.vessel_numbers import explain_vessel
from fermtui.reports.document import WIDTH, Block, Pairs, Part, Points, Section, Table
from fermtui.reports.lots import bottle_rows
from fermtui.reports.plot_cells import plot_lines
from fermtui.reports.plot_scale import PlotData
from fermtui.reports.vessel_plot import plot_data
from fermtui.reports.vessel_text import (
    fact_rows,
    forecast_rows,
    logged_text,
    logged_together,
    one_a_day,
)
from fermtui.units import (
    Units,
    gravity_unit,
    show_degrees,
    show_gravity,
    show_mass,
    show_number,
    show_temp,
    show_volume,
)
from fermtui.wording.amounts import amounts_text
from fermtui.wording.fields import as_written
from fermtui.wording.kinds import done_text
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text
from fermtui.wording.tasks import reason_text, state_text, task_text, when_text

PLOT_HEIGHT = 16
STRENGTH = ("gravity", "G0", "strength", "alcohol", "strength, give or take")
LONG = 400


def title_of(view: VesselView) -> str:
    """Name and folder."""
    return f"{plain(view.name, 60)} ({view.vessel})"


def record(
    view: VesselView,
    file: VesselFile,
    settings: Settings,
    now: datetime,
    *,
    ascii_only: bool = False,
    only: Collection[str] | None = None,
) -> Iterator[Section]:
    """The sections of the record, or `only` those of these titles; those with nothing in them are left out."""
    units = settings.units

    def plot() -> list[str]:
        drawn = plot_of(view, file, settings, now)
        return plot_lines(drawn, WIDTH - 2, PLOT_HEIGHT, ascii_only=ascii_only) if drawn.readings else []

    def forecast_steps() -> list[str]:
        return all_lines(explain_forecast(view.forecast, view.facts, view.head.plan, settings.zone), units)

    gravity = f"{gravity_unit(units)} at {show_temp(20.0, units)}"
    notes = view.facts.notes
    parts: tuple[tuple[str, Callable[[], Part]], ...] = (
        ("Vessel", lambda: Pairs(_head_rows(view, now, settings))),
        ("Plan", lambda: Pairs(_plan_rows(view, units))),
        ("As it stands", lambda: Pairs(fact_rows(view, units) + forecast_rows(view, settings, now))),
        ("Gravity", lambda: Block(plot())),
        ("Readings", lambda: Table(("when", gravity, "sample", "pH", "free SO2 in mg/L"), _readings(view, settings))),
        ("Steps", lambda: Table(("state", "when", "what", "why"), _steps(view, settings, now))),
        ("What was done", lambda: Table(("when", "entry"), _entries(file, settings))),
        ("Against a guard", lambda: Points(_overrides(file, settings))),
        ("Bottles", lambda: Pairs(bottle_rows(view, settings))),
        ("Tastings", lambda: Table(("when", "of 20", "notes"), _tastings(file, settings))),
        ("How the strength is reckoned", lambda: Block(all_lines(_explained(view, settings, now), units))),
        ("How the forecast is reckoned", lambda: Block(forecast_steps())),
        ("To be told", lambda: Points([*(plain(note, LONG) for note in notes), *map(problem_text, view.problems)])),
    )
    for name, made in parts:
        if only is None or name in only:
            part = made()
            if part[-1]:
                yield Section(name, part)


def plot_of(view: VesselView, file: VesselFile, settings: Settings, now: datetime) -> PlotData:
    """What the plot of a record shows: up to today, or up to the last that happened to a bottled batch."""
    until, named = _plot_end(view, now)
    return plot_data(view, file, until, settings.zone, "all", settings.units)._replace(now_is=named)


def _plot_end(view: VesselView, now: datetime) -> tuple[datetime, str]:
    """The instant up to which the gravity is drawn, and what stands there.

    A batch that lies in bottles is drawn up to the last that happened to it as a whole, and no further.
    """
    bottled = [act.at for act in view.facts.acts if act.did == "bottle"]
    last = max([*bottled, *(reading.at for reading in view.facts.readings)], default=now)
    if view.stage != "bottled" or last.astimezone(now.tzinfo).date() >= now.date():
        return now, "today"
    return last, "bottled" if last in bottled else ""


def _head_rows(view: VesselView, now: datetime, settings: Settings) -> list[tuple[str, str]]:
    head, facts = view.head, view.facts
    rows = [("record of", _day(now, settings)), ("name", plain(head.name, 80)), ("folder", view.vessel)]
    for label, value in (("style", head.style), ("schedule", head.schedule), ("split from", head.parent),
                         ("container", facts.container or head.container)):  # fmt: skip
        if value:
            rows.append((label, plain(value, 80)))
    if facts.capacity_l:
        rows.append(("holds", show_volume(facts.capacity_l, settings.units)))
    for label, at in (("mixed", facts.mixed_at), ("pitched", facts.pitched_at), ("emptied", facts.emptied_at)):
        if at is not None:
            rows.append((label, _day(at, settings)))
    return rows


def _plan_rows(view: VesselView, units: Units) -> list[tuple[str, str]]:
    plan = view.head.plan
    rows: list[tuple[str, str]] = []
    if plan.volume_l is not None:
        rows.append(("volume", show_volume(plan.volume_l, units)))
    if plan.gravity is not None:
        rows.append(("gravity", show_gravity(plan.gravity, units)))
    if plan.abv_percent is not None:
        rows.append(("strength", f"{show_number(plan.abv_percent, 1, units)} % vol"))
    rows.append(("end", show_gravity(plan.end, units)))
    if plan.temp_c is not None:
        rows.append(("temperature", show_temp(plan.temp_c, units)))
    yeast = plan.yeast
    if yeast.name:
        takes = "" if yeast.tolerance_abv is None else f", to {yeast.tolerance_abv:g} % vol"
        rows.append(("yeast", f"{plain(yeast.name, 60)}, {yeast.demand} demand of nitrogen{takes}"))
    if plan.fruit is not None:
        grams = f"{show_mass(plan.fruit.mass_g, units)} " if plan.fruit.mass_g else ""
        rows.append(("fruit", f"{grams}{plain(plan.fruit.kind, 40)} {plain(plan.fruit.treatment or '', 20)}".rstrip()))
    if plan.doses:
        rows.append(("nutrient", amounts_text(plan.doses, units)))
    if plan.sweet:
        rows.append(("sweet", show_gravity(plan.sweet_to, units) if plan.sweet_to else "yes"))
    if plan.sparkling:
        rows.append(("sparkling", f"{plan.co2_volumes:g} volumes" if plan.co2_volumes else "yes"))
    if plan.juice_l:
        rows.append(("juice", show_volume(plan.juice_l, units)))
    if plan.spice:
        rows.append(("spice", plain(plan.spice, 200)))
    rows += [(label, said) for label, said in (("fed", plan.fed), ("kept sweet", plan.keep)) if said]
    if plan.malolactic:
        rows.append(("malolactic", "planned"))
    return rows


def _readings(view: VesselView, settings: Settings) -> list[tuple[str, ...]]:
    units = settings.units
    return [
        (
            _minute(reading.at, settings),
            "" if reading.sg is None else show_degrees(reading.sg, units, 4),
            "" if reading.temp_c is None else show_temp(reading.temp_c, units),
            "" if reading.ph is None else show_number(reading.ph, 2, units),
            "" if reading.free_so2_mg_per_l is None else show_number(reading.free_so2_mg_per_l, 0, units),
        )
        for reading in one_a_day(view.facts.readings, settings.zone)
    ]


def _steps(view: VesselView, settings: Settings, now: datetime) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for task in by_time(view.tasks):
        when = when_text(task, now, settings.zone)
        if task.settled_at is not None:
            when = _day(task.settled_at, settings)
        rows.append((state_text(task), when, task_text(task), reason_text(task, settings, now)))
    return rows


def _entries(file: VesselFile, settings: Settings) -> list[tuple[str, str]]:
    rows = []
    for entries in logged_together(file):
        entry = entries[0]
        if len(entries) > 1:
            until = _minute(entries[-1].at, settings)
            rows.append((_minute(entry.at, settings), f"{logged_text(entries, settings.units)}, to {until}"))
            continue
        struck = " (taken back)" if entry.key in file.struck else ""
        rows.append((_minute(entry.at, settings), done_text(entry.did, entry.written, settings.units) + struck))
    return rows


def _overrides(file: VesselFile, settings: Settings) -> list[str]:
    return [
        f"{_minute(entry.at, settings)}, {_act(entry, settings)}: {plain(entry.override, LONG)}"
        + (" (taken back)" if entry.key in file.struck else "")
        for entry in file.entries
        if entry.override
    ]


def _act(entry: Entry, settings: Settings) -> str:
    return done_text(entry.did, entry.written, settings.units)


def _tastings(file: VesselFile, settings: Settings) -> list[tuple[str, str, str]]:
    rows = []
    for entry in file.live:
        if isinstance(entry, Taste):
            notes = [f"{label}: {plain(value, LONG)}" for label, value in
                    (("look", entry.look), ("smell", entry.smell), ("taste", entry.taste), ("", entry.text))
                    if value]  # fmt: skip
            score = "" if entry.score is None else as_written(entry.score, settings.units)
            rows.append((_day(entry.at, settings), score, "; ".join(notes).replace("; : ", "; ").removeprefix(": ")))
    return rows


def _explained(view: VesselView, settings: Settings, now: datetime) -> list[Explained]:
    steps = explain_vessel(view.facts, view.head.plan, view.present, settings, now)
    return [step for step in steps if step.name in STRENGTH]


def _day(at: datetime, settings: Settings) -> str:
    return f"{at.astimezone(settings.zone):%Y-%m-%d}"


def _minute(at: datetime, settings: Settings) -> str:
    return f"{at.astimezone(settings.zone):%Y-%m-%d %H:%M}"
