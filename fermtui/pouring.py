"""Acts that touch two vessels: a split, and topping up from another vessel. The giving half is written first."""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime
from typing import Any

from fermtui.acts import Fields, Written, append_lines, kept_vessel, prepare, refuse_unless_overridden
from fermtui.daybook.cellar import past_names
from fermtui.daybook.fields import NAME
from fermtui.daybook.files import NotWritten
from fermtui.daybook.head import Head
from fermtui.daybook.lines import line_of, new_key
from fermtui.daybook.start import start_vessel
from fermtui.must.composition import Must, take_volume
from fermtui.must.limits import OutOfRange
from fermtui.refused import Refused
from fermtui.story.present import must_at
from fermtui.view import Watched
from fermtui.wording.plain import plain


def poured(watched: Watched, vessel: str, volume_l: float, at: datetime) -> Must:
    """What so many litres of a vessel hold, measured at that moment. Raises Refused."""
    kept = kept_vessel(watched, vessel)
    must = must_at(kept.facts, at)
    if must is None or not kept.facts.volume_known:
        raise Refused(f"what stands in {vessel} is not known: write its mix or level first")
    try:
        return take_volume(must, volume_l)[0]
    except OutOfRange as more:
        raise Refused(f"{vessel}: {more}") from None


def split(
    watched: Watched, vessel: str, fields: Fields, *, at: datetime, now: datetime, override: str | None
) -> Written:
    """Pour a part of a vessel into a new one, or into another one that stands there. Raises Refused."""
    into = str(fields.get("into") or "")
    litres = _litres(fields)
    if not NAME.match(into):
        raise Refused("split needs into=, the folder name of the vessel that it goes into (letters, digits, hyphens)")
    if into in past_names(watched.cellar):
        raise Refused(f"a vessel {plain(into, 60)} has been put away already: give the new one another name")
    ready = prepare(watched, vessel, "split", {**fields, "into": into}, at=at, now=now, override=override)
    parent = kept_vessel(watched, vessel)
    taken = poured(watched, vessel, litres, at)
    gives, takes = _two_keys(watched, vessel, into)
    receive: dict[str, Any] = {
        "from": vessel, "entry": gives, "volume_l": round(litres, 3), "water_g": round(taken.water_g, 1),
        "sugar_g": round(taken.sugar_g, 1), "ethanol_g": round(taken.ethanol_g, 1),
    }  # fmt: skip
    standing = into in watched.names()
    if standing:
        other = prepare(watched, into, "receive", receive, at=at, now=now, override=override)
        refuse_unless_overridden(watched, other, override)
    refuse_unless_overridden(watched, ready, override)
    given = {**ready.fields, "entry": takes}
    if not standing:
        _start_child(watched, into, vessel, parent.head, litres)
    lines = [(vessel, line_of(gives, "split", at, given)), (into, line_of(takes, "receive", at, receive))]
    if not standing and parent.facts.pitched_at is not None:
        # The child counts its days from the parent's pitching: it is the same ferment in another glass.
        pitch_key = new_key(watched.stamp(), [gives, takes])
        lines.append((into, line_of(pitch_key, "pitch", parent.facts.pitched_at, {"text": f"with {vessel}"})))
    append_lines(watched, lines)
    return Written(vessel, gives, "split", at, given, ready.advice, ready.cautions, (into,))


def _start_child(watched: Watched, into: str, parent_name: str, parent: Head, volume_l: float) -> None:
    plan = {name: value for name, value in asdict(parent.plan).items() if name not in ("extra", "doses")}
    plan["volume_l"] = round(volume_l, 3)
    plan["sweet"] = plan.pop("sweet_to") or plan["sweet"]
    plan["sparkling"] = plan.pop("co2_volumes") or plan["sparkling"]
    table = {"name": into, "parent": parent_name, "schedule": parent.schedule, "plan": plan}
    try:
        start_vessel(watched.cellar, into, table)
    except NotWritten as fault:
        raise Refused(str(fault)) from None


def top_up_from(
    watched: Watched, vessel: str, fields: Fields, *, at: datetime, now: datetime, override: str | None
) -> Written:
    """Top up from another vessel: its gravity and strength are those of the mead that is poured. Raises Refused."""
    source = str(fields.get("from") or "")
    litres = _litres(fields)
    if source == vessel:
        raise Refused(f"{vessel} cannot be topped up from itself: name another vessel in from=")
    taken = poured(watched, source, litres, at)
    given = {**fields, "sg": round(taken.sg, 4), "abv_percent": round(taken.abv_percent, 2)}
    ready = prepare(watched, vessel, "top_up", given, at=at, now=now, override=override)
    refuse_unless_overridden(watched, ready, override)
    gives, takes = _two_keys(watched, source, vessel)
    leaving: dict[str, Any] = {"into": vessel, "volume_l": round(litres, 3), "entry": takes}
    prepare(watched, source, "split", leaving, at=at, now=now)
    filled = {**ready.fields, "entry": gives}
    append_lines(
        watched, [(source, line_of(gives, "split", at, leaving)), (vessel, line_of(takes, "top_up", at, filled))]
    )
    return Written(vessel, takes, "top_up", at, filled, ready.advice, ready.cautions, (source,))


def _litres(fields: Fields) -> float:
    value = fields.get("volume_l")
    if value is None or isinstance(value, str):
        raise Refused("volume_l is missing: say how much is poured, as in volume_l=4.5")
    return float(value)  # type: ignore[arg-type]  # a date is refused by the check of the fields


def _two_keys(watched: Watched, first: str, second: str) -> tuple[str, str]:
    taken = [act.key for name in (first, second) if (kept := watched.kept.get(name)) for act in kept.facts.acts]
    one = new_key(watched.stamp(), taken)
    return one, new_key(watched.stamp(), [*taken, one])
