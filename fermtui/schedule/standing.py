"""Judge the entries of a vessel as they stand now: what a guard refuses, and bottles that may burst.

A guard sees what comes before its entry when it is written. Where the entries of two computers come together, a file is
edited or an entry struck, something else may come before it. So every guarded entry is judged again, for as long as
what was found can still hurt. An entry with an `override` has been answered; live bottles have not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from fermtui.daybook.entry import Entry
from fermtui.daybook.head import Head
from fermtui.daybook.kinds import kind_of
from fermtui.daybook.settings import Settings
from fermtui.replay.facts import Facts, Lot, Rest
from fermtui.replay.keeping import heated_enough
from fermtui.replay.stage import bottles_left, nothing_left
from fermtui.schedule.guards import bottling, check, dosing, priming
from fermtui.schedule.guards.case import Case, Finding, Point, as_things_stand
from fermtui.schedule.guards.table import GUARDS
from fermtui.schedule.guards.vessel_state import ready_by

if TYPE_CHECKING:
    from fermtui.replay.state import Measures

COLD_C = 10.0
"""A chill down to this keeps yeast from going on: common practice, no source."""
_JUDGED = (frozenset(GUARDS) | {"open"}) - {"rack", "heat", "chill", "read", "aerate"}
"""What the guards of a reading or of air say is advice, and of a racking, heating or chilling over once it is done. An
opening has none of its own, but can take out more than there is."""
_ADVISERS = frozenset({
    dosing.past_third, dosing.above_plan, dosing.soon_after_last, priming.closure_of_age, bottling.stopped_not_dry,
})  # fmt: skip
"""They refuse nothing."""
_OF_BOTTLES = frozenset({"bottle_unstable", "bottle_then_heat", "bottle_pressure", "priming_in_still_glass"})
_UNTIL_READY = frozenset({
    "sorbate_while_live", "sorbate_without_sulfite", "sorbate_outside", "sorbate_malolactic", "sweeten_while_live",
})  # fmt: skip
_STAYS_IN = frozenset({
    "dap_ceiling", "dap_too_strong", "dose_beyond_need", "sulfite_ceiling", "sorbate_ceiling",
    "no_must", "before_pitching", "has_its_own_kind",
})  # fmt: skip
_NO_MORE_ROOM = frozenset({"rack", "level", "split", "bottle", "filter"})
_OVER_BY: Mapping[str, frozenset[str]] = {
    "fruit_overflow": _NO_MORE_ROOM | {"pull"},
    "runs_over": _NO_MORE_ROOM,
    "level_above_rim": _NO_MORE_ROOM,
    "pitch_after_sulfite": frozenset({"read"}),
    "pitch_hot": frozenset({"read"}),
    "sealing_live_ferment": frozenset({"chore", "read", "aerate", "degas", "punch", "dose", "add", "open"})
    | _NO_MORE_ROOM,
    "bottled_already": frozenset({"level"}),
    "end_elsewhere": frozenset({"read", "feed", "fruit", "pitch", "end"}),
    "end_not_calm": frozenset({"read", "feed", "fruit", "pitch", "end"}),
    "more_out_than_in": frozenset({"level"}),
}
"""By finding: the kinds of later entries with which it is over."""
_ANSWER_A_BURST = frozenset({"open", "note", "chore", "chill"})


class Standing(NamedTuple):
    """One thing that stands against a vessel until it is answered.

    `kind` is `live_bottles`, `burst_bottle`, `no_schedule` or the key of the guard's finding; `key` and `did` are those
    of the entry that it is about (empty where it is about none), `line` its line in the daybook where that is known.
    """

    kind: str
    key: str
    did: str
    finding: Finding
    line: int | None = None


class _Found(NamedTuple):
    entry: Entry
    place: int
    findings: tuple[Finding, ...]


class Judged(NamedTuple):
    """A vessel's facts, what it takes to go on from them, and what stands against it, bottles first."""

    facts: Facts
    rest: Rest
    standing: tuple[Standing, ...] = ()


def judged(head: Head, entries: Iterable[Entry], measures: Measures, settings: Settings, vessel: str) -> Judged:
    """Return the facts of a vessel's live entries, and what stands against it.

    `vessel` is the folder's name. Pure, without a clock; never raises.
    """
    from fermtui.replay.replay import replayed  # a vessel whose files are known is not replayed

    ordered: list[Entry] = []
    found: list[_Found] = []

    def look(entry: Entry, facts: Callable[[], Facts]) -> None:
        if entry.did in _JUDGED and (not entry.override or entry.did == "bottle"):
            against = _refusals(entry, facts(), head, settings, vessel)
            if against:
                found.append(_Found(entry, len(ordered), against))
        ordered.append(entry)

    facts, rest = replayed(head, entries, measures, before=look)
    if not found and not any(lot.burst for lot in facts.lots):
        return Judged(facts, rest)
    stands = [*_burst(facts, ordered)]
    ready = _can_be_bottled(head, facts)
    for one in found:
        stands += _still_true(one, facts, ordered, ready=ready)
    return Judged(facts, rest, tuple(sorted(stands, key=lambda standing: standing.did not in ("open", "bottle"))))


def judged_on(
    head: Head, known: Judged, more: Sequence[Entry], measures: Measures, settings: Settings, vessel: str
) -> Judged | None:
    """Go on from facts that nothing stands against; None where what was added wants a look at all entries."""
    from fermtui.replay.replay import can_go_on, go_on  # a vessel whose files are known is not replayed

    if known.standing or any(lot.burst for lot in known.facts.lots):
        return None
    if not all(can_go_on(known.facts, entry) for entry in more):
        return None
    questioned = False

    def look(entry: Entry, facts: Callable[[], Facts]) -> None:
        nonlocal questioned
        if entry.did in _JUDGED and (not entry.override or entry.did == "bottle"):
            questioned = questioned or bool(_refusals(entry, facts(), head, settings, vessel))

    facts, rest = go_on(head, known.facts, known.rest, more, measures, look)
    return None if questioned or any(lot.burst for lot in facts.lots) else Judged(facts, rest)


def without_schedule(name: str) -> Standing:
    """Return what stands against a vessel whose schedule cannot be used: it asks for nothing, however much is due."""
    saw = Point("schedule_unusable", {"schedule": name})
    finding = Finding("refusal", "no_schedule", saw, Point("no_task_comes_due"), Point("mend_the_schedule"))
    return Standing("no_schedule", "", "", finding)


def _refusals(entry: Entry, facts: Facts, head: Head, settings: Settings, vessel: str) -> tuple[Finding, ...]:
    """Return what speaks against an entry that stands. That a reading was old is no harm now: then the day of that
    reading decides.
    """
    at, fields = entry.at, {name: value for name, value in entry.written.items() if name != "at"}
    found = check(entry.did, fields, facts, head.plan, settings, at, vessel=vessel, but=_ADVISERS)
    if any(finding.observed.kind == "old_reading" for finding in found):
        at = max(reading.at for reading in facts.readings if reading.sg is not None)
        found = check(entry.did, fields, facts, head.plan, settings, at, vessel=vessel, but=_ADVISERS)
    return tuple(finding for finding in found if finding.kind != "advice" or finding.key == "bottle_then_heat")


def _can_be_bottled(head: Head, facts: Facts) -> bool:
    """Whether a way to the bottle was open at the last reading: then what went in has come to rest."""
    readings = facts.after_pitch
    return bool(readings) and ready_by(Case("bottle", {}, facts, head.plan, readings[-1].at)) is not None


def _still_true(one: _Found, facts: Facts, ordered: Sequence[Entry], *, ready: bool) -> Iterable[Standing]:
    entry = one.entry
    stands = partial(Standing, key=entry.key, did=entry.did)
    if entry.did == "bottle":
        lot = next((lot for lot in facts.lots if lot.key == entry.key), None)
        later = ordered[one.place + 1 :]
        if lot is None or lot.opened >= lot.bottles or _chilled(later) or heated_enough(later) is not None:
            return
        live = next((found for found in one.findings if found.key in _OF_BOTTLES and _is_live(found, entry)), None)
        if live is not None:
            yield stands("live_bottles", finding=_live_bottles(lot, live))
        elif not entry.override:
            yield stands(one.findings[0].key, finding=as_things_stand(one.findings[0], entry.did, entry.at))
        return
    for finding in one.findings:
        if _lasts(finding, one, facts, ordered, ready=ready):
            yield stands(finding.key, finding=as_things_stand(finding, entry.did, entry.at))
            return


def _lasts(finding: Finding, one: _Found, facts: Facts, ordered: Sequence[Entry], *, ready: bool) -> bool:
    gone = nothing_left(facts)
    if finding.key in _STAYS_IN:
        return not gone or bottles_left(facts) > 0
    if one.entry.did == "open":
        return finding.kind == "impossible"
    if finding.key in _UNTIL_READY:
        return not gone and not ready
    over_by = _OVER_BY.get(finding.key)
    if over_by is None or any(later.did in over_by for later in ordered[one.place + 1 :]):
        return False
    if finding.kind == "impossible":
        return kind_of(one.entry.did).brings and (not gone or bottles_left(facts) > 0)
    return not gone


def _chilled(later: Sequence[Entry]) -> bool:
    return any(entry.did == "chill" and (getattr(entry, "temp_c", None) or 0.0) <= COLD_C for entry in later)


def _is_live(finding: Finding, entry: Entry) -> bool:
    """Whether they hold what may ferment; where the maker gave a reason, more than the glass bears in a warm room."""
    if finding.reason is None or finding.reason.kind != "in_the_bottle":
        return False
    values = finding.reason.values
    sugar, warm, limit = (values[name] for name in ("sugar_g_per_l", "at_30_bar", "warm_limit_bar"))
    assert isinstance(sugar, float)
    assert isinstance(warm, float)
    assert isinstance(limit, float)
    return sugar > 0.0 if not entry.override else warm > limit


def _live_bottles(lot: Lot, finding: Finding) -> Finding:
    assert finding.reason is not None
    values = {
        **finding.observed.values, **finding.reason.values,
        "then": finding.observed.kind, "bottles": lot.bottles - lot.opened, "bottled_at": lot.at,
    }  # fmt: skip
    return Finding("refusal", "live_bottles", Point("live_bottles", values), Point("live_glass", values),
                   Point("open_one_chill_rest"))  # fmt: skip


def _burst(facts: Facts, ordered: Sequence[Entry]) -> Iterable[Standing]:
    """The newest burst bottle, until someone wrote what he found or did."""
    burst = [place for place, entry in enumerate(ordered) if getattr(entry, "why", None) == "burst"]
    left = bottles_left(facts)
    if not burst or not left or any(entry.did in _ANSWER_A_BURST for entry in ordered[burst[-1] + 1 :]):
        return
    entry = ordered[burst[-1]]
    saw = Point("bottle_burst", {"burst_at": entry.at, "bottles": left})
    finding = Finding("refusal", "burst_bottle", saw, Point("others_may_burst"), Point("check_the_others"))
    yield Standing("burst_bottle", entry.key, entry.did, finding)
