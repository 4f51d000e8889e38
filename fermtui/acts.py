"""The only door for writing: words -> entry -> guards -> append. Undo is one more entry.

Both faces come through here. What is refused raises Refused with one sentence and the exit status that fits; what is
returned as Written is on the disk.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

from fermtui.daybook.append import append_many
from fermtui.daybook.cellar import past_names
from fermtui.daybook.fields import Unfit
from fermtui.daybook.files import NotWritten
from fermtui.daybook.lines import Scalar, entry_of_line, line_of, new_key
from fermtui.daybook.records import Entry
from fermtui.daybook.strikes import last_live_key, live
from fermtui.daybook.vessel import VesselFile, read_vessel
from fermtui.kept import Kept, measures_of
from fermtui.refused import GUARD as GUARD  # both faces say acts.Refused
from fermtui.refused import INPUT as INPUT
from fermtui.refused import Refused as Refused
from fermtui.schedule.guards import Finding, cautions_for, check
from fermtui.story.facts import Facts
from fermtui.story.replay import replay
from fermtui.story.stage import nothing_left
from fermtui.view import VesselView, Watched
from fermtui.wording.findings import finding_text
from fermtui.wording.plain import plain

FUTURE_SLACK = timedelta(hours=12)
Fields = Mapping[str, Scalar | None]


class Written(NamedTuple):
    """What is on the disk now. `advice` are findings that were shown and not heeded; `also` names further vessels."""

    vessel: str
    key: str
    did: str
    at: datetime
    fields: Fields
    advice: tuple[Finding, ...] = ()
    cautions: tuple[str, ...] = ()
    also: tuple[str, ...] = ()


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

    @property
    def advice(self) -> tuple[Finding, ...]:
        return tuple(f for f in self.findings if f.kind == "advice")


def kept_vessel(watched: Watched, vessel: str) -> Kept:
    """The vessel at work of that folder name. Raises Refused with a sentence that names those that there are."""
    kept = watched.kept.get(vessel) or watched.load_one(vessel)
    if kept is None:
        names = ", ".join(plain(name, 40) for name in list(watched.names())[:12]) or "none yet"
        raise Refused(f"there is no vessel {plain(vessel, 60)!r} in this cellar; there are: {names}")
    if kept.place == "past":
        raise Refused(f"vessel {vessel} has been put away; bring it back before you write in it")
    return kept


def facts_upto(watched: Watched, kept: Kept, at: datetime) -> Facts:
    """The facts as they stood at that moment, for an entry that is written late."""
    if kept.facts.last_at is None or kept.facts.last_at <= at:
        return kept.facts
    file = read_vessel(watched.cellar, kept.name, kept.place)
    standing, _, _ = live([entry for entry in file.entries if entry.at <= at])
    return replay(kept.head, standing, measures_of(watched.settings))


def occupied(watched: Watched, but: str) -> frozenset[str]:
    """The containers that other vessels stand in."""
    watched.load_missing()
    return frozenset(
        kept.facts.container
        for name, kept in watched.kept.items()
        if name != but and kept.facts.container and not nothing_left(kept.facts)
    )


def prepare(
    watched: Watched,
    vessel: str,
    did: str,
    fields: Fields,
    *,
    at: datetime,
    now: datetime,
    override: str | None = None,
) -> Prepared:
    """Check an entry without writing it. Raises Refused for what cannot be."""
    kept = kept_vessel(watched, vessel)
    if at > now + FUTURE_SLACK:
        raise Refused(f"{at:%Y-%m-%d %H:%M} lies in the future: write down what was done, not what will be")
    given = {name: value for name, value in fields.items() if value is not None}
    if override is not None:
        given["override"] = override
    try:
        entry_of_line(line_of("check", did, at, given))
    except Unfit as bad:
        raise Refused(f"{vessel}, {did}: {bad}") from None
    facts = facts_upto(watched, kept, at)
    others = occupied(watched, vessel) if did in ("rack", "split", "receive", "top_up") else frozenset()
    findings = check(did, given, facts, kept.head.plan, watched.settings, at, occupied=others, vessel=vessel)
    impossible = tuple(f for f in findings if f.kind == "impossible")
    if impossible:
        raise Refused(f"{vessel}: {finding_text(impossible[0], watched.settings.units)}", INPUT, impossible)
    cautions = cautions_for(did, given, facts, kept.head.plan, at)
    return Prepared(vessel, did, at, given, findings, tuple(cautions), facts)


def write(
    watched: Watched,
    vessel: str,
    did: str,
    fields: Fields,
    *,
    at: datetime,
    now: datetime,
    override: str | None = None,
) -> Written:
    """Write one entry. Raises Refused: 1 where the input is at fault, 3 where a guard wants a reason (`override`)."""
    if did in ("split", "receive", "strike"):
        return _special(watched, vessel, did, fields, at=at, now=now, override=override)
    if did == "read":
        _not_implausible(watched, vessel, fields, at=at, override=override)
    if did == "top_up" and fields.get("from"):
        from fermtui.pouring import top_up_from

        return top_up_from(watched, vessel, fields, at=at, now=now, override=override)
    ready = prepare(watched, vessel, did, fields, at=at, now=now, override=override)
    refuse_unless_overridden(watched, ready, override)
    key = put_down(watched, [(vessel, did, at, ready.fields)])[0]
    return Written(vessel, key, did, at, ready.fields, ready.advice, ready.cautions)


def _special(
    watched: Watched, vessel: str, did: str, fields: Fields, *, at: datetime, now: datetime, override: str | None
) -> Written:
    if did == "strike":
        return strike(watched, vessel, str(fields.get("entry") or "") or None, at=at)
    if did == "receive":
        raise Refused("receive is written together with its split: write a split in the vessel that it comes from")
    from fermtui.pouring import split

    return split(watched, vessel, fields, at=at, now=now, override=override)


def refuse_unless_overridden(watched: Watched, ready: Prepared, override: str | None) -> None:
    """Raise Refused (3) when a guard stands in the way and no reason was given. An empty reason is none."""
    if not ready.refusals:
        return
    if override is not None and override.strip():
        return
    texts = " ".join(finding_text(f, watched.settings.units) for f in ready.refusals)
    raise Refused(f"{ready.vessel}: {texts}", GUARD, ready.refusals)


def _not_implausible(watched: Watched, vessel: str, fields: Fields, *, at: datetime, override: str | None) -> None:
    from fermtui.understand import doubt_of

    kept = kept_vessel(watched, vessel)
    doubt = doubt_of(watched, kept, fields, at=at)
    if doubt is not None and not (override and override.strip()):
        raise Refused(f"{vessel}: {doubt}", GUARD)


def put_down(watched: Watched, acts: list[tuple[str, str, datetime, Fields]]) -> list[str]:
    """Append entries (vessel, did, at, fields) and renew their vessels; their keys. Raises Refused."""
    lines: list[tuple[str, str]] = []
    keys: list[str] = []
    for vessel, did, at, fields in acts:
        given = dict(fields)
        key = str(given.pop("key", "") or "") or new_key(watched.stamp(), _keys(watched, vessel))
        lines.append((vessel, line_of(key, did, at, given)))
        keys.append(key)
    append_lines(watched, lines)
    return keys


def append_lines(watched: Watched, lines: list[tuple[str, str]]) -> list[str]:
    """Put whole lines on the disk and renew the vessels that they belong to. Raises Refused."""
    try:
        keys = append_many(watched.cellar, lines)
    except NotWritten as fault:
        raise Refused(str(fault)) from None
    finally:
        for vessel in dict.fromkeys(vessel for vessel, _ in lines):
            watched.renew(vessel)
    for (vessel, line), key in zip(lines, keys, strict=True):
        watched.acknowledged.setdefault(vessel, {})[key] = line
    return list(keys)


def _keys(watched: Watched, vessel: str) -> list[str]:
    kept = watched.kept.get(vessel)
    return [act.key for act in kept.facts.acts] + list(watched.acknowledged.get(vessel, {})) if kept else []


def strike(watched: Watched, vessel: str, entry: str | None, *, at: datetime) -> Written:
    """Take back the last entry, or that one. Of a split both halves go. Raises Refused when there is none to take."""
    kept_vessel(watched, vessel)
    file = read_vessel(watched.cellar, vessel)
    key = entry or last_live_key(file.live)
    if key is None:
        raise Refused(f"{vessel} has no entry that could be taken back")
    found = next((one for one in file.entries if one.key == key), None)
    if found is None:
        raise Refused(f"{vessel} has no entry {plain(key, 80)!r}: `fermtui show {vessel}` lists them")
    if key in file.struck:
        raise Refused(f"entry {key} of {vessel} has been taken back already; strike {file.struck[key]} to restore it")
    acts: list[tuple[str, str, datetime, Fields]] = [(vessel, "strike", at, {"entry": key})]
    also: tuple[str, ...] = ()
    other = _other_half(watched, found)
    if other is not None:
        acts.append((other[0], "strike", at, {"entry": other[1]}))
        also = (other[0],)
    keys = put_down(watched, acts)
    return Written(vessel, keys[0], "strike", at, {"entry": key, "took": found.did}, also=also)


def _other_half(watched: Watched, entry: Entry) -> tuple[str, str] | None:
    """The other half of a split, a receive or a topping up from a vessel, when it still stands."""
    name = getattr(entry, "into", None) if entry.did == "split" else getattr(entry, "from_", None)
    key = getattr(entry, "entry", None) or entry.extra.get("entry")
    if entry.did not in ("split", "receive", "top_up") or not name or not isinstance(key, str):
        return None
    if name in past_names(watched.cellar):
        raise Refused(f"its other half stands in {name}, which has been put away: bring that back first")
    other = read_vessel(watched.cellar, name)
    return (name, key) if any(one.key == key for one in other.live) else None


def tick(
    watched: Watched,
    seen: VesselView,
    task_key: str,
    given: Fields,
    *,
    at: datetime,
    now: datetime,
    override: str | None = None,
) -> Written:
    """Do a task: the planned amounts, with what is given in their place. Raises Refused."""
    did, fields = fields_of_task(watched, seen, task_key, given)
    return write(watched, seen.vessel, did, fields, at=at, now=now, override=override)


def fields_of_task(
    watched: Watched, seen: VesselView, task_key: str, given: Fields
) -> tuple[str, dict[str, Scalar | None]]:
    """The kind and the fields of the entry that ticking this task would write. Raises Refused."""
    from fermtui.schedule.amounts import amounts

    task = seen.task(task_key)
    if task is None:
        open_keys = ", ".join(t.key for t in seen.tasks if t.state in ("due", "late", "coming", "waiting"))
        raise Refused(f"{seen.vessel} has no task {plain(task_key, 60)!r}; open are: {open_keys or 'none'}")
    if task.state in ("done", "dropped"):
        raise Refused(f"{task_key} of {seen.vessel} is {task.state} already; strike its entry to do it again")
    planned: dict[str, Scalar | None] = {}
    for name, value in amounts(task, seen.facts, seen.head.plan, watched.settings).items():
        if name != "instead":
            planned[name] = round(value, 3) if isinstance(value, float) else value
    if task.do == "read":
        planned.clear()
    planned.update(given)
    if not task.key.startswith("ask-"):
        planned["task"] = task.key
    return task.do, planned


def vessel_file(watched: Watched, vessel: str) -> VesselFile:
    """The daybook of a vessel at work or put away, struck lines too. Raises Refused."""
    place = "past" if vessel in past_names(watched.cellar) and vessel not in watched.names() else "vessels"
    if place == "vessels" and vessel not in watched.names():
        kept_vessel(watched, vessel)
    return read_vessel(watched.cellar, vessel, place)

