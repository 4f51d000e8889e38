"""Whether a vessel has stopped, and whether it has stopped where it was meant to: two different things."""

from __future__ import annotations

from datetime import datetime, timedelta

from fermtui.replay.facts import Facts, Reading

SPREAD_SG = 0.001
FRESH = timedelta(days=4)
WARM_ENOUGH_C = 15.0
END_SLACK_SG = 0.002
# Gravities are compared as they are written, to four places: 1.0030 - 1.0020 must count as 0.001.
ROUNDING_SG = 0.00005
# A reading on the seventh day counts although it may be taken some hours earlier in the day than the first.
SAME_DAY = timedelta(hours=12)
REFERMENTABLE_G_PER_L_PER_SG = 2500.0


def calm_run(facts: Facts, upto: datetime | None = None) -> tuple[Reading, ...]:
    """The newest readings since the last addition that lie within 0.001 SG of each other, oldest first.

    Readings colder than 15 °C prove nothing and are left out; one without a temperature counts.
    With `upto`, later readings are left out.
    """
    run: list[Reading] = []
    low = high = None
    for reading in reversed(facts.since_addition):
        if upto is not None and reading.at > upto:
            continue
        if reading.temp_c is not None and reading.temp_c < WARM_ENOUGH_C:
            continue
        sg = reading.sg
        assert sg is not None
        new_low = sg if low is None else min(low, sg)
        new_high = sg if high is None else max(high, sg)
        if new_high - new_low > SPREAD_SG + ROUNDING_SG:
            break
        low, high = new_low, new_high
        run.append(reading)
    return tuple(reversed(run))


def stable_since(facts: Facts, days: float, upto: datetime | None = None) -> datetime | None:
    """When stability over `days` was shown by the newest readings: the time of the reading that showed it, or None.

    At least 2 readings (3 from 7 days on) that span the days since the last addition, spread at most 0.001 SG,
    at 15 °C or more. Common practice, no source.
    """
    run = calm_run(facts, upto)
    needed = 3 if days >= 7 else 2
    for count, reading in enumerate(run, start=1):
        if count >= needed and reading.at - run[0].at >= timedelta(days=days) - SAME_DAY:
            return reading.at
    return None


def stable_now(facts: Facts, days: float, now: datetime) -> bool:
    """Whether it stands stable over `days` at the clock: shown, and the newest reading at most 4 days old."""
    run = calm_run(facts, now)
    return bool(run) and now - run[-1].at <= FRESH and stable_since(facts, days, now) is not None


def at_or_below(facts: Facts, sg: float) -> datetime | None:
    """When a reading since the last addition first stood at `sg` or below, or None. Once met it stays met."""
    return next((r.at for r in facts.since_addition if r.sg is not None and r.sg <= sg + ROUNDING_SG), None)


def at_end_since(facts: Facts) -> datetime | None:
    """When the gravity first stood at the plan's end (within 0.002) since the last addition, or None."""
    return at_or_below(facts, facts.end + END_SLACK_SG)


def at_end_now(facts: Facts) -> bool:
    """Whether the newest reading since the last addition stands at the plan's end (within 0.002)."""
    newest = facts.since_addition[-1:]
    return bool(newest) and newest[0].sg is not None and newest[0].sg <= facts.end + END_SLACK_SG + ROUNDING_SG


def refermentable_g_per_l(facts: Facts, now: datetime, volume_l: float | None, sg: float | None = None) -> float | None:
    """Sugar that could ferment again, in g/L: sugar added since the ferment stopped, plus 2.5 g/L for each 0.001 SG
    above the plan's end; zero where it is stable 7 days and at end with nothing added. None without a gravity.

    `sg` is the gravity at the clock where fruit juice has moved it since the last entry.
    """
    sg = facts.sg if sg is None else sg
    if sg is None:
        return None
    added = facts.sweetened_g / volume_l if facts.sweetened_g and volume_l else 0.0
    if not added and stable_now(facts, 7, now) and at_end_now(facts):
        return 0.0
    base = _gravity_before_sweetening(facts) if facts.sweetened_g else sg
    return added + max(0.0, base - facts.end) * REFERMENTABLE_G_PER_L_PER_SG


def _gravity_before_sweetening(facts: Facts) -> float:
    """The last gravity read before honey went in for taste; what stood above the end then still stands.

    Where none was read, the one that the ledger had.
    """
    sweetened = next((c.at for c in facts.changes if c.did == "sweeten"), None)
    before = [r.sg for r in facts.after_pitch if r.sg is not None and sweetened is not None and r.at <= sweetened]
    if before:
        return before[-1]
    if facts.g0 is None or facts.spent_frozen_percent is None:
        return facts.end
    return facts.g0 - facts.spent_frozen_percent / 100.0 * (facts.g0 - 1.0)
