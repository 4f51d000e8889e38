"""What a reading that is being typed means, before it is written: the gravity at 20 °C, what follows, and any doubt."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from typing import NamedTuple

from fermtui.cellar.loaded import LoadedVessel, measures_of
from fermtui.cellar.store import CellarStore
from fermtui.daybook.entry import Entry
from fermtui.daybook.lines import entry_of_line, line_of
from fermtui.daybook.strikes import live
from fermtui.daybook.vessel_file import read_vessel
from fermtui.forecast.forecast import Forecast
from fermtui.replay.contents import highest_sg, juice_bounds, ledger_must
from fermtui.replay.facts import Facts, Reading
from fermtui.replay.present import Present, present
from fermtui.replay.replay import replay
from fermtui.replay.stability import ROUNDING_SG
from fermtui.units import Units, show_gravity
from fermtui.writing.reading_line import read_line

RISING_SG = 0.002
OG_OFF_SG = 0.010
FASTEST_SG_PER_DAY = 0.030
FORECAST_SPREADS = 1.0  # beyond the 80 % band: nearly four standard deviations from its middle
FORECAST_LEAST_SG = 0.010
TWO_DECIMALS, ONE_DIGIT = re.compile(r"\d\.\d\d\Z"), re.compile(r"\d(\.0)?\Z")


class InterpretedReading(NamedTuple):
    """A typed reading. `before` is the reading before it since the last addition; `doubt` asks to look again.

    `breaks` are the marks that this reading passes: "third break", "end".
    """

    fields: Mapping[str, Decimal]
    at: datetime
    sg: float | None
    after: Present
    before: Reading | None
    passed: tuple[str, ...]
    doubt: str | None
    understood: str = ""


def interpret(store: CellarStore, loaded: LoadedVessel, text: str, now: datetime) -> InterpretedReading:
    """Understand one reading line for a vessel. Raises units.Unreadable with a sentence."""
    typed = read_line(text, now, store.settings.units)
    facts = facts_with(store, loaded, typed.fields, typed.at)
    sg = next((r.sg for r in facts.readings if r.key == "typed"), None)
    older = [r for r in loaded.facts.since_addition if r.at < typed.at and r.by is None]
    return InterpretedReading(
        typed.fields,
        typed.at,
        sg,
        present(facts, max(now, typed.at), store.settings.zone),
        older[-1] if older else None,
        _passed(loaded.facts, sg),
        _doubt(store, loaded, facts, typed.fields, at=typed.at),
        typed.understood,
    )


def facts_with(
    store: CellarStore, loaded: LoadedVessel, fields: Mapping[str, object], at: datetime, did: str = "read"
) -> Facts:
    """The facts as they would be with one more entry, under the key `typed`."""
    given = {name: value for name, value in fields.items() if isinstance(value, str | int | float | Decimal)}
    entry = entry_of_line(line_of("typed", did, at, given))
    file = read_vessel(store.cellar, loaded.name, loaded.place)
    upto = store.upto
    standing, _, _ = live([e for e in file.entries if upto is None or e.at <= upto])
    return replay(loaded.head, [*standing, entry], measures_of(store.settings))


def _passed(facts: Facts, sg: float | None) -> tuple[str, ...]:
    if sg is None or facts.g0 is None or facts.pitched_at is None or facts.sg is None:
        return ()
    marks = (("third break", 1.0 + (facts.g0 - 1.0) * 2 / 3), ("end", facts.end + 0.002))
    return tuple(name for name, mark in marks if sg <= mark + ROUNDING_SG < facts.sg)


def implausibility_of(
    store: CellarStore, loaded: LoadedVessel, fields: Mapping[str, object], *, at: datetime
) -> str | None:
    """One sentence why this reading is hard to believe, or None. It may be right all the same: ask once."""
    if not _tells_gravity(fields):
        return None
    given = {name: value for name, value in fields.items() if name != "override"}
    return _doubt(store, loaded, facts_with(store, loaded, given, at), fields, at=at)


def _tells_gravity(fields: Mapping[str, object]) -> bool:
    return fields.get("sg") is not None or fields.get("brix") is not None


def _doubt(
    store: CellarStore, loaded: LoadedVessel, facts: Facts, fields: Mapping[str, object], *, at: datetime
) -> str | None:
    """The doubt about a reading; `facts` are those with it."""
    if not _tells_gravity(fields):
        return None
    if (slip := _torn_gravity(fields)) is not None:
        return slip
    sg = next((r.sg for r in facts.readings if r.key == "typed"), None)
    if sg is None:
        return next((note for note in facts.notes if note not in loaded.facts.notes), None)
    if facts.pitched_at is None or at <= facts.pitched_at:
        return _doubt_before_pitch(facts)
    before = store.facts_upto(loaded, at)
    out_of_reach = next((note for note in facts.notes if note not in loaded.facts.notes), None)
    if out_of_reach is not None and before.g0 is not None and sg < before.g0:
        return f"{out_of_reach}: read again"
    return _doubt_after_pitch(loaded, before, sg, at, store.settings.units)


def doubt_between(loaded: LoadedVessel, before: Facts, after: Facts, entry: Entry, units: Units) -> str | None:
    """The doubt about a `read` entry, from the facts right before and right after it; the forecast is not asked."""
    if not _tells_gravity(entry.written):
        return None
    if (slip := _torn_gravity(entry.written)) is not None:
        return slip
    sg = next((r.sg for r in after.readings if r.key == entry.key), None)
    new_note = next((note for note in after.notes if note not in before.notes), None)
    if sg is None:
        return new_note
    if after.pitched_at is None or entry.at <= after.pitched_at:
        return _doubt_before_pitch(after)
    if new_note is not None and before.g0 is not None and sg < before.g0:
        return f"{new_note}: read again"
    return _doubt_after_pitch(loaded._replace(answers=None), before, sg, entry.at, units)


def _torn_gravity(fields: Mapping[str, object]) -> str | None:
    """Ask about `1.09 1`: a gravity with two decimals and a temperature of one digit look like 1.091 in two pieces."""
    sg, temp_c = str(fields.get("sg", "")), str(fields.get("temp_c", ""))
    if not TWO_DECIMALS.match(sg) or not ONE_DIGIT.match(temp_c):
        return None
    digit = temp_c[0]
    return f"was that {sg}{digit}, in one piece? {digit} °C is very cold for a sample"


def _doubt_before_pitch(facts: Facts) -> str | None:
    off = facts.og_off_by
    if off is None or abs(off) <= OG_OFF_SG + ROUNDING_SG:
        return None
    return (
        f"this is {_points(off)} {'above' if off > 0 else 'below'} what went in: stir down to the bottom and read again"
    )


def _doubt_after_pitch(loaded: LoadedVessel, facts: Facts, sg: float, at: datetime, units: Units) -> str | None:
    older = [r for r in facts.since_addition if r.at < at and r.sg is not None and r.by is None]
    before = older[-1] if older else None
    lifts, lowers = _juice_moves(facts)
    if before is not None and before.sg is not None:
        rise = sg - before.sg
        if rise > RISING_SG + ROUNDING_SG + lifts:
            return (
                f"the gravity would rise by {_points(rise)} and nothing was added since: "
                "degas the sample and read again"
            )
        days = max((at - before.at).total_seconds() / 86_400.0, 0.25)
        if (-rise - lowers) / days > FASTEST_SG_PER_DAY + ROUNDING_SG:
            return f"that is {_points(-rise)} down in {days:.1f} days, faster than mead ferments: read again"
    else:
        above = _above_all(facts, sg, lifts)
        if above is not None:
            return above
    return _doubt_by_forecast(loaded, sg, at, units)


def _juice_moves(facts: Facts) -> tuple[float, float]:
    """By how much the juice of fruit that still gives some may lift the gravity, and lower it, in SG."""
    must = ledger_must(facts)
    if must is None or not facts.pending:
        return 0.0, 0.0
    bounds = [one.sg for one in juice_bounds(must, facts.pending)]
    return max(0.0, max(bounds) - must.sg), max(0.0, must.sg - min(bounds))


def _above_all(facts: Facts, sg: float, lifts: float) -> str | None:
    """One sentence where the first reading since the last addition is above what the ledger can expect, or None."""
    most, must = highest_sg(facts), ledger_must(facts)
    if most is None or must is None:
        return None
    if facts.last_addition_at is None:
        if sg <= most + RISING_SG + ROUNDING_SG:
            return None
        what = "what went in, fruit and all" if facts.fruit else "the original gravity"
        return f"this is {_points(sg - most)} above {what}: degas the sample and read again"
    expected = must.sg + lifts
    if sg <= expected + OG_OFF_SG + ROUNDING_SG:
        return None
    return (
        f"this is {_points(sg - expected)} above what it comes to with what was added: stir, degas the sample "
        "and read again"
    )


def _doubt_by_forecast(loaded: LoadedVessel, sg: float, at: datetime, units: Units) -> str | None:
    facts = loaded.facts
    if loaded.answers is None or facts.pitched_at is None or len(facts.after_pitch) < 3:
        return None
    low, likely, high = Forecast(loaded.answers, facts.pitched_at, at, facts.g0).expected(at)
    reach = max(FORECAST_SPREADS * (high - low), FORECAST_LEAST_SG)
    if low - reach <= sg <= high + reach:
        return None
    expected = show_gravity(likely, units)
    return f"{_points(abs(sg - likely))} away from the {expected} that was to be expected: read again"


def _points(sg: float) -> str:
    number = f"{abs(sg) * 1000:.0f}"
    return "1 point" if number == "1" else f"{number} points"
