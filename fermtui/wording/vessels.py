"""How a vessel stands, in a few words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import TYPE_CHECKING

from fermtui.schedule.standing import Standing
from fermtui.units import Units, show_gravity, show_number, show_volume
from fermtui.wording.dates import ago, days_since
from fermtui.wording.findings import finding_text, remedy_text
from fermtui.wording.kinds import KINDS
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.cellar.store import VesselView
    from fermtui.replay.one_moment import OrderCounts

UNREAD_DAYS = 14  # a must at work that nobody has looked at for so long is worth a word; common practice, no source


def folder_tags(names: Mapping[str, str]) -> dict[str, str]:
    """By folder: the folder where another vessel has the same shown name, else nothing."""
    counts = Counter(names.values())
    return {folder: folder if counts[name] > 1 else "" for folder, name in names.items()}


def gravity_note(view: VesselView) -> str:
    """Where the gravity that is shown comes from: `today`, `9 days ago`, `reckoned`, `by the plan`."""
    if view.facts.sg_from == "ledger":
        return "reckoned"
    last = next((reading for reading in reversed(view.facts.readings) if reading.sg is not None), None)
    if last is None:
        return "by the plan"
    when = ago(last.at, view.now, view.zone)
    return f"{when} by {plain(last.by, 20)}" if last.by else when


def unread_text(view: VesselView) -> str:
    """`not read for 70 days` where a must at work has been left alone; else nothing."""
    readings = view.facts.after_pitch
    since = readings[-1].at if readings else view.facts.pitched_at
    if since is None or view.stage not in ("fermenting", "on fruit"):
        return ""
    days = days_since(since, view.now, view.zone)
    return f"not read for {days} days" if days >= UNREAD_DAYS else ""


def not_poured_text(view: VesselView) -> str:
    """`its part of damson is not poured yet` where a vessel waits for a part of another's must; else nothing."""
    facts, parent = view.facts, view.head.parent
    if parent is None or facts.level_l is not None or facts.pitched_at is not None or facts.emptied_at is not None:
        return ""
    return f"its part of {plain(parent, 40)} is not poured yet"


def trouble_name(view: VesselView) -> str:
    """What is the matter, and how likely: `stalled (92 % likely)`."""
    from fermtui.wording.checklist import likely_text  # brings the forecast: not needed for the first picture

    trouble = view.trouble_found
    if trouble is None:
        return ""
    return trouble.kind if trouble.chance is None else f"{trouble.kind} ({likely_text(trouble.chance)})"


def standing_name(standing: Standing) -> str:
    """`bottles may burst`, `a bottle burst`, `check the sorbate`: what stands against a vessel, in a list."""
    named = {"live_bottles": "bottles may burst", "burst_bottle": "a bottle burst", "no_schedule": "no schedule"}
    return named.get(standing.kind) or f"check the {KINDS[standing.did].noun}"


def standing_act(standing: Standing, units: Units) -> str:
    """What to do about it, where there is room for no more."""
    return remedy_text(standing.finding, units)


def standing_text(standing: Standing, units: Units) -> str:
    """The same whole: what it is, why it matters, what to do."""
    return finding_text(standing.finding, units)


def vessel_text(view: VesselView, units: Units) -> str:
    """Name, stage, trouble, day, volume, container and strength in one line."""
    parts = [plain(view.name, 40), view.stage + (f", {trouble_name(view)}" if view.trouble else "")]
    if waits := not_poured_text(view):
        parts.append(waits)
    if unread := unread_text(view):
        parts.append(unread)
    if view.day is not None:
        parts.append(f"day {view.day}")
    if view.volume_l:
        place = f" in {plain(view.facts.container, 20)}" if view.facts.container else ""
        parts.append(f"{show_volume(view.volume_l, units)}{place}")
    if view.abv_percent is not None and view.day is not None:
        parts.append(f"{show_number(view.abv_percent, 1, units)} % vol")
    return " · ".join(parts)


def one_moment_text(one: OrderCounts, kinds: Mapping[str, str], line: int | None, units: Units) -> str:
    """Two entries of one moment, and the number that their order decides; `kinds` by key, `line` of the first."""
    first, second = (KINDS[kinds[key]].noun for key in (one.first, one.second))
    where = "" if line is None else f" of line {line}"
    if one.number == "strength":
        now, then = (f"{show_number(value, 1, units)} % vol" for value in (one.is_now, one.would_be))
    else:
        now, then = (show_gravity(value, units) for value in (one.is_now, one.would_be))
    return (
        f"this {second} and the {first}{where} are of one moment and count in the order of writing, which makes the "
        f"{one.number} {now}; the other way round it would be {then}: if it was so, change the hour of one of them"
    )
