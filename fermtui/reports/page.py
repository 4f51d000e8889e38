"""Pages to read on a phone, on paper or by ear: one file each, nothing asked of any other place, no script.

Names and notes are escaped by the template library (autoescape), which is loaded here and nowhere else.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from fermtui import __version__
from fermtui.cellar.agenda import SOON, agenda, amounts_of
from fermtui.cellar.store import VesselView, View
from fermtui.daybook.settings import Settings
from fermtui.daybook.vessel_file import VesselFile
from fermtui.reports.curve_svg import curve_of, lanes_of
from fermtui.reports.document import Block, Section, Table
from fermtui.reports.lots import bottle_rows
from fermtui.reports.record import plot_of, record, title_of
from fermtui.units import show_gravity, show_number, show_volume
from fermtui.wording.amounts import amounts_text
from fermtui.wording.checklist import trouble_text
from fermtui.wording.dates import short_window
from fermtui.wording.plain import plain
from fermtui.wording.problems import problem_text
from fermtui.wording.tasks import is_alarm, reason_text, task_text
from fermtui.wording.vessels import standing_name, standing_text

if TYPE_CHECKING:
    from jinja2 import Environment

INDEX = "index.html"
LAST_READINGS = 12
CURVE = "Gravity"
ON_A_PAGE = ("As it stands", CURVE, "Steps", "Readings", "Bottles", "Tastings")
"""The sections of the record that a vessel's page has."""
IN_WORDS = tuple(name for name in ON_A_PAGE if name != CURVE)


class Page(NamedTuple):
    """A file of the site: its name and its text."""

    name: str
    text: str


@cache
def _templates() -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(Path(__file__).with_name("templates")), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip


def _rendered(template: str, now: datetime, **values: Any) -> str:
    written = f"{now:%Y-%m-%d %H:%M}"
    return _templates().get_template(template).render(version=__version__, written=written, **values)


def site(view: View, title: str, file_of: Callable[[str], VesselFile]) -> Iterator[Page]:
    """The pages of a cellar: the index, then one for each vessel at work. `file_of` gives a vessel's daybook."""
    yield Page(INDEX, index_page(view, title))
    for vessel in view.vessels:
        text = vessel_page(vessel, file_of(vessel.vessel), view.settings, view.now, home=INDEX)
        yield Page(link_to(vessel.vessel), text)


def link_to(vessel: str) -> str:
    """The name of a vessel's file: a folder's name holds nothing that a link cannot."""
    return f"vessel-{vessel}.html"


def vessel_page(vessel: VesselView, file: VesselFile, settings: Settings, now: datetime, *, home: str = "") -> str:
    """One vessel: facts with their errors, the curve with its forecast, steps, last readings, bottles."""
    found = {section.title: section for section in record(vessel, file, settings, now, only=IN_WORDS)}
    if any(reading.sg is not None for reading in vessel.facts.readings):
        found[CURVE] = Section(CURVE, Block(()))  # drawn as a picture, not in the cells of a terminal
    readings = found.get("Readings")
    if readings is not None and isinstance(readings.part, Table) and len(readings.part.rows) > LAST_READINGS:
        newest = Table(readings.part.head, readings.part.rows[-LAST_READINGS:])
        found["Readings"] = Section(f"Last {LAST_READINGS} of {len(readings.part.rows)} readings", newest)
    return _page_of(vessel, file, settings, now, [found[name] for name in ON_A_PAGE if name in found], home)


def record_page(vessel: VesselView, file: VesselFile, settings: Settings, now: datetime) -> str:
    """The whole record of one batch with its curve."""
    return _page_of(vessel, file, settings, now, record(vessel, file, settings, now), "")


def _page_of(
    vessel: VesselView, file: VesselFile, settings: Settings, now: datetime, sections: Iterable[Section], home: str
) -> str:
    drawn = plot_of(vessel, file, settings, now)
    return _rendered(
        "vessel.html", now, title=title_of(vessel), home=home, sections=list(sections),
        troubles=list(_troubles(vessel, settings)), curve=curve_of(drawn, settings.units),
    )  # fmt: skip


def _troubles(vessel: VesselView, settings: Settings) -> Iterator[tuple[str, str]]:
    if vessel.trouble_found is not None:
        yield vessel.trouble_found.kind, trouble_text(vessel.trouble_found, settings.units)
    for one in vessel.standing:
        yield standing_name(one), standing_text(one, settings.units)


def index_page(view: View, title: str) -> str:
    """What is due, what is in trouble, and every vessel on one line of time."""
    items = [item for item in agenda(view, SOON) if not is_alarm(item.task)]
    links = {vessel.vessel: link_to(vessel.vessel) for vessel in view.vessels}
    states = [item.task.state for item in items]
    counts = [f"{states.count(state)} {state}" for state in ("late", "due", "coming") if state in states]
    troubles = [
        (plain(vessel.name, 60), links[vessel.vessel], name, text)
        for vessel in view.vessels
        for name, text in _troubles(vessel, view.settings)
    ]
    return _rendered(
        "index.html", view.now, title=title, troubles=troubles,
        counted=", ".join([*([f"{len(troubles)} to check"] if troubles else []), *counts]) or "nothing is due",
        tasks=[_task_row(item.view, item.task, view, links) for item in items],
        lanes=lanes_of(view, links),
        vessels=[_vessel_row(vessel, view, links) for vessel in view.vessels],
        bottles=[row for vessel in view.vessels for row in bottle_rows(vessel, view.settings)],
        problems=[problem_text(problem) for problem in view.all_problems],
    )  # fmt: skip


def _task_row(vessel: VesselView, task: Any, view: View, links: dict[str, str]) -> dict[str, str]:
    coming = task.state == "coming"
    return {
        "state": task.state,
        "when": short_window(task.window, view.now, view.settings.zone) if coming and task.window else task.state,
        "name": plain(vessel.name, 60),
        "link": links[vessel.vessel],
        "act": task_text(task),
        "amounts": amounts_text(amounts_of(vessel, task, view.settings), view.settings.units),
        "why": reason_text(task, view.settings, view.now),
    }


def _vessel_row(vessel: VesselView, view: View, links: dict[str, str]) -> dict[str, Any]:
    units, zone = view.settings.units, view.settings.zone
    said = []
    if vessel.gravity is not None:
        said.append(show_gravity(vessel.gravity, units))
    if vessel.abv_percent is not None:
        near = show_number(vessel.abv_plus_minus or 0.0, 1, units)
        said.append(f"{show_number(vessel.abv_percent, 1, units)} ± {near} % vol")
    if vessel.sugar_spent_percent is not None:
        said.append(f"{vessel.sugar_spent_percent:.0f} % of the sugar spent")
    if vessel.volume_l is not None:
        said.append(show_volume(vessel.volume_l, units))
    finish = vessel.forecast.finish if vessel.forecast is not None else None
    ahead = finish is not None and finish.likely > view.now and vessel.trouble != "stalled"
    return {
        "name": plain(vessel.name, 60),
        "link": links[vessel.vessel],
        "stage": vessel.stage + (f", {vessel.trouble}" if vessel.trouble else ""),
        "trouble": bool(vessel.trouble or vessel.standing),
        "said": ", ".join(said),
        "next": f"likely finished {short_window(finish, view.now, zone)}" if ahead and finish is not None else "",
    }
