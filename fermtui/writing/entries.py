"""One entry: fields -> checks and guards -> append. `writing.door` is where both faces come in.

What is refused raises Refused with one sentence and the exit status that fits; what is returned as WrittenEntry is on
the disk.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import NamedTuple, NotRequired, TypedDict, Unpack

from fermtui.cellar.containers import self_contained, with_named
from fermtui.cellar.loaded import LoadedVessel
from fermtui.cellar.store import CellarStore, VesselView
from fermtui.clock import NotATime, within_reach
from fermtui.daybook.append import append_many
from fermtui.daybook.fields import Unfit
from fermtui.daybook.files import NotWritten
from fermtui.daybook.kinds import KINDS
from fermtui.daybook.lines import Scalar, entry_of_line, line_of, new_key
from fermtui.daybook.places import past_names
from fermtui.daybook.problem import UNREAD_LINES
from fermtui.daybook.vessel_file import VesselFile, read_vessel
from fermtui.replay.facts import Facts
from fermtui.schedule.amounts import amounts, entry_fields
from fermtui.schedule.guards import Finding, cautions_for, check
from fermtui.wording.fields import unfit_text
from fermtui.wording.findings import finding_text
from fermtui.wording.plain import plain
from fermtui.wording.tasks import state_text
from fermtui.writing.late_entries import written_late
from fermtui.writing.refused import GUARD, INPUT, Refused
from fermtui.writing.task_names import named, open_ones, task_named

GIVING_UP = {"skip": "leave out", "postpone": "put off"}
TASTED = ("look", "smell", "taste", "score", "text")
FUTURE_SLACK = timedelta(hours=12)
Fields = Mapping[str, Scalar | None]


class When(TypedDict):
    """`at` is when it happened, `now` the clock, `override` the reason given to a guard."""

    at: datetime
    now: datetime
    override: NotRequired[str | None]


class WrittenEntry(NamedTuple):
    """What is on the disk now. `findings` is all that spoke against it; `also` names further vessels."""

    vessel: str
    key: str
    did: str
    at: datetime
    fields: Fields
    findings: tuple[Finding, ...] = ()
    cautions: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    took: str = ""  # what a strike took back, in words


@dataclass(frozen=True, slots=True)
class Prepared:
    """An entry that has not been written yet: what speaks against it, and what to be careful about."""

    vessel: str
    did: str
    at: datetime
    fields: Fields
    findings: tuple[Finding, ...]
    cautions: tuple[str, ...]
    facts: Facts

    @property
    def refusals(self) -> tuple[Finding, ...]:
        return tuple(f for f in self.findings if f.kind == "refusal")


def kept_vessel(store: CellarStore, vessel: str) -> LoadedVessel:
    """The vessel at work of that folder name. Raises Refused with a sentence that names those that there are."""
    loaded = store.vessels.get(vessel) or store.load_one(vessel)
    if loaded is None:
        names = ", ".join(plain(name, 40) for name in list(store.names())[:12]) or "none yet"
        raise Refused(f"there is no vessel {plain(vessel, 60)!r} in this cellar; there are: {names}")
    if loaded.place == "past":
        raise Refused(f"vessel {vessel} has been put away; bring it back before you write in it")
    return loaded


def reason_in(override: str | None) -> str:
    """The reason given to a guard; an empty one is none."""
    return (override or "").strip()


def prepare(
    store: CellarStore,
    vessel: str,
    did: str,
    fields: Fields,
    **when: Unpack[When],
) -> Prepared:
    """Check an entry without writing it. Raises Refused for what cannot be."""
    loaded, at, now = kept_vessel(store, vessel), when["at"], when["now"]
    if did not in KINDS:
        raise Refused(f"{plain(did, 40)!r} is no kind of entry: one of {', '.join(sorted(KINDS))}")
    if at > now + FUTURE_SLACK:
        raise Refused(f"{at:%Y-%m-%d %H:%M} lies in the future: write down what was done, not what will be")
    given = {name: value for name, value in fields.items() if value is not None}
    if reason := reason_in(when.get("override")):
        given["override"] = reason
    try:
        line = line_of("check", did, at, given)
    except Unfit as bad:
        raise unfit(vessel, bad) from None
    if did == "taste" and not given.keys() & set(TASTED):
        asked = f"{vessel}: say at least one thing of the tasting: {{}}"
        words = "look, smell, taste, a score of 20, or a note"
        raise Refused(asked.format(words), typed=asked.format(f"{'=, '.join(TASTED)}="))
    _fits_its_task(store, loaded, did, given, now)
    _within_reach(given, at)
    facts = store.facts_upto(loaded, at)
    others = store.occupied(vessel) if KINDS[did].other_vessels else frozenset()
    settings = store.settings
    if did == "rack" and given.get("into"):
        settings = with_named(settings, (one.facts for one in store.vessels.values()))
        given["into"] = self_contained(str(given["into"]), store.settings, settings)
    findings = check(
        did, given, facts, loaded.head.plan, settings, at,
        occupied=others, vessel=vessel, unread=unread_lines(loaded),
    )  # fmt: skip
    impossible = tuple(f for f in findings if f.kind == "impossible")
    if impossible:
        raise Refused(f"{vessel}: {finding_text(impossible[0], store.settings.units)}", INPUT, impossible)
    findings = (*written_late(store, loaded, did, line), *findings)
    cautions = cautions_for(did, given, facts, loaded.head.plan, at)
    return Prepared(vessel, did, at, given, findings, tuple(cautions), facts)


def unread_lines(loaded: LoadedVessel) -> int:
    """How many lines of its files are in no sum: torn ones, unknown kinds, a head that cannot be read."""
    kinds = UNREAD_LINES if loaded.head_good else UNREAD_LINES | {"head", "no_head"}
    return sum(problem.kind in kinds for problem in loaded.problems)


def unfit(vessel: str, bad: Unfit) -> Refused:
    """The refusal of a field that cannot be."""
    return Refused(f"{vessel}: {unfit_text(bad)}", typed=f"{vessel}: {unfit_text(bad, typed=True)}")


def _fits_its_task(store: CellarStore, loaded: LoadedVessel, did: str, given: Fields, now: datetime) -> None:
    """An entry must not settle a step of another kind: a bottling that never was would stand as done."""
    key = given.get("task")
    if key is None:
        return
    view = store.see(loaded, now)
    task = view.task(str(key))
    if task is None:
        raise Refused(f"{loaded.name} has no task {plain(key, 60)!r}; {open_ones(view)}")
    if did in GIVING_UP:
        if not task.is_open:
            stands = f"{named(task)} of {loaded.name} is {state_text(task)} already"
            raise Refused(f"{stands}, so there is nothing to {GIVING_UP[did]}")
    elif did not in (task.do, "note") and not (did == "rack" and task.do == "pull"):
        raise Refused(f"{named(task)} of {loaded.name} asks for {task.do}, not for {did}: leave task= out")


def _within_reach(given: Fields, at: datetime) -> None:
    until = given.get("until")
    if not isinstance(until, date):
        return
    day = until.date() if isinstance(until, datetime) else until
    try:
        within_reach(day, at.date(), said=f"{day:%Y-%m-%d}", since_said=f"{at:%Y-%m-%d}")
    except NotATime as why:
        raise Refused(str(why)) from None


def write_entry(store: CellarStore, vessel: str, did: str, fields: Fields, **when: Unpack[When]) -> WrittenEntry:
    """Write one entry that touches one vessel. Raises Refused: 1 for input, 3 where a guard wants a reason."""
    ready = prepare(store, vessel, did, fields, **when)
    refuse_unless_overridden(store, ready, when.get("override"))
    key = append_entries(store, [(vessel, did, ready.at, ready.fields)])[0]
    return WrittenEntry(vessel, key, did, ready.at, ready.fields, ready.findings, ready.cautions)


def refuse_unless_overridden(store: CellarStore, ready: Prepared, override: str | None) -> None:
    """Raise Refused (3) when a guard stands in the way and no reason was given."""
    if not ready.refusals or reason_in(override):
        return
    texts = " ".join(finding_text(f, store.settings.units) for f in ready.refusals)
    raise Refused(f"{ready.vessel}: {texts}", GUARD, ready.refusals)


def append_entries(store: CellarStore, acts: list[tuple[str, str, datetime, Fields]]) -> list[str]:
    """Append entries (vessel, did, at, fields) and renew their vessels; their keys. Raises Refused."""
    lines: list[tuple[str, str]] = []
    keys: list[str] = []
    for vessel, did, at, fields in acts:
        key = new_key(store.stamp(), _keys(store, vessel))
        lines.append((vessel, line_of(key, did, at, fields)))
        keys.append(key)
    append_lines(store, lines)
    return keys


def append_lines(store: CellarStore, lines: list[tuple[str, str]]) -> None:
    """Put whole lines on the disk and renew the vessels that they belong to. Raises Refused."""
    with on_the_disk(store, lines):
        append_many(store.cellar, lines)


@contextmanager
def on_the_disk(store: CellarStore, lines: list[tuple[str, str]]) -> Iterator[None]:
    """Have these lines written within it; renew their vessels, and remember what was acknowledged. Raises Refused."""
    try:
        yield
    except NotWritten as fault:
        there = ", ".join(vessel for vessel, _ in fault.written)
        half = f"; its other half stands in {there}, and `fermtui check` tells how to go on" if there else ""
        raise Refused(f"{fault}{half}") from None
    finally:
        for vessel in dict.fromkeys(vessel for vessel, _ in lines):
            store.renew(vessel)
    for vessel, line in lines:
        store.acknowledged.setdefault(vessel, {})[entry_of_line(line).key] = line


def _keys(store: CellarStore, vessel: str) -> list[str]:
    loaded = store.vessels.get(vessel)
    return [act.key for act in loaded.facts.acts] + list(store.acknowledged.get(vessel, {})) if loaded else []


def fields_of_task(
    store: CellarStore, view: VesselView, task_name: str, given: Fields
) -> tuple[str, dict[str, Scalar | None]]:
    """The kind and the fields of the entry that ticking this task would write. Raises Refused."""
    task = task_named(view, task_name)
    if task.state == "done":
        raise Refused(f"{named(task)} of {view.vessel} is done already; strike its entry to do it again")
    if task.state == "dropped":
        raise Refused(
            f"{named(task)} of {view.vessel} is left out; "
            f"`fermtui write {view.vessel} {task.do}` writes it all the same"
        )
    planned: dict[str, Scalar | None] = {}
    for name, value in entry_fields(amounts(task, view.facts, view.head.plan, store.settings)).items():
        if isinstance(value, str | int | float):
            planned[name] = round(value, 3) if isinstance(value, float) else value
    if task.do == "read":
        planned.clear()
    planned.update(given)
    if task.do != "read" or not task.key.startswith("ask-"):
        planned["task"] = task.key
    return task.do, planned


def vessel_file(store: CellarStore, vessel: str) -> VesselFile:
    """The daybook of a vessel at work or put away, struck lines too. Raises Refused."""
    place = "past" if vessel in past_names(store.cellar) and vessel not in store.names() else "vessels"
    if place == "vessels" and vessel not in store.names():
        kept_vessel(store, vessel)
    return read_vessel(store.cellar, vessel, place)
