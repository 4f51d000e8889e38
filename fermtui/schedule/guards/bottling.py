"""Guards of bottling: only what has stopped, and no more pressure than the glass is made for."""

from __future__ import annotations

import re
from datetime import timedelta

from fermtui.must.air import CO2_G_PER_G_SUGAR
from fermtui.must.bottles import glass, pressure_bar_excess
from fermtui.must.csv_tables import keyed
from fermtui.replay.keeping import BATH_C, BATH_H
from fermtui.replay.refermentable import down_to_the_end, finished, refermentable, sweetened_at, unsweetened
from fermtui.replay.stabilised import sorbated, stabilised_at, sulfited_at
from fermtui.replay.stability import END_SLACK_SG, PROVEN, WARM_ENOUGH_C, at_end_now, calm_run, stable_now
from fermtui.schedule.guards.case import Case, Finding, Point, Value
from fermtui.schedule.guards.vessel_state import (
    DRY_SG,
    STILL_DAYS,
    SWEET_END_DAYS,
    at_planned_sweetness,
    could_referment_g_per_l,
    liquid_l,
    only_by_sensor,
    ready_by,
    still,
    watch_is_over,
    watch_readings,
    watch_since,
)

MOST_SUGAR_G_PER_L = 300.0
DAY = timedelta(days=1)
HONEY_WAITS = timedelta(days=2)
"""So long honey lies in a still mead before it is at work again: common practice, no source."""
PLASTIC = frozenset({"plastic", "pet", "squeeze", "squeezy", "squeezable", "polythene", "polyethylene", "plastik",
                     "plastique", "plastico", "plastica"})  # fmt: skip


def not_ready(case: Case) -> Finding | None:
    """Refuse to bottle before the mead is stabilised, finished, or stable at its planned sweetness."""
    if ready_by(case) is not None or held_by_glass(case):
        return None
    if to_be_heated(case):
        observed = Point("sweet_to_heat", {"sugar_g_per_l": could_referment_g_per_l(case)})
        return Finding("advice", "bottle_then_heat", observed, in_the_bottle(case, could_referment_g_per_l(case)),
                       Point("heat_at_once", {"temp_c": BATH_C, "minutes": 60.0 * BATH_H}))  # fmt: skip
    observed, remedy = _why_not(case)
    return Finding("refusal", "bottle_unstable", observed, in_the_bottle(case, could_referment_g_per_l(case)), remedy)


def held_by_glass(case: Case) -> bool:
    """Tell whether the glass bears all that may still ferment, twice its error included, in a room of 30 °C.

    Then it need not have stopped: bottled with its own sugar it makes its own gas. Not while fruit gives juice, and not
    with priming, which is for what has stopped.
    """
    left = refermentable(case.facts, case.at)
    known = left is not None and case.facts.volume_known and not case.facts.fruit_in
    if left is None or not known or glass_of(case) == "still" or primed_g_per_l(case) > 0.0:
        return False
    reason = in_the_bottle(case, left.g_per_l + 2.0 * left.sd_g_per_l)
    warm, limit_bar = reason.values["at_30_bar"], reason.values["limit_bar"]
    assert isinstance(warm, float)
    assert isinstance(limit_bar, float)
    return warm <= limit_bar


def to_be_heated(case: Case) -> bool:
    """Tell whether it is to be pasteurised in the bottle and has made no gas since the honey: then today is the day.

    It had stopped before the honey that went in at most two days ago, or it has stood still for a week since.
    """
    facts = case.facts
    if facts.keep != "heat" or facts.sweetened_g <= 0.0 or facts.racked_at is None or primed_g_per_l(case) > 0.0:
        return False
    sweet_at = sweetened_at(facts)
    just_now = sweet_at is not None and timedelta(0) <= case.at - sweet_at <= HONEY_WAITS
    return still(case) or (just_now and sweet_at is not None and stable_now(unsweetened(facts), STILL_DAYS, sweet_at))


def _why_not(case: Case) -> tuple[Point, Point]:
    facts = case.facts
    moving = facts.sweetened_g <= 0.0 and not still(case)
    if stabilised_at(facts, case.at) is not None and not moving:
        if facts.racked_at is None:
            return Point("not_racked", {"sg": facts.sg}), Point("rack_and_watch")
        if only_by_sensor(facts, case.at):
            return _by_sensor_alone(case)
        run = watch_readings(facts, case.at)
        if run and watch_is_over(facts, run[-1].at):  # all that is wanting is that the newest is old
            age_days = (case.at - run[-1].at) / DAY
            return Point("old_reading", {"sg": run[-1].sg, "age_days": age_days}), Point("read_once_more")
        return _watch_short(case), Point("watch_seven_days")
    if facts.sweetened_g > 0.0:
        added = could_referment_g_per_l(case)
        values: dict[str, Value] = {
            "sugar_g_per_l": added, "sulfite": sulfited_at(facts) is not None, "sorbate": sorbated(facts),
        }  # fmt: skip
        return Point("sweet_unstabilised", values), Point("stabilise_and_watch")
    if not still(case):
        observed = not_still(case)
        if observed.kind == "old_reading":
            return observed, Point("read_once_more")
        return observed, Point("wait_for_still", {"warm_c": WARM_ENOUGH_C})
    if only_by_sensor(facts, case.at):
        return _by_sensor_alone(case)
    days = _calm_days(case)
    if at_planned_sweetness(case):
        return Point("sweet_end_too_soon", {"sg": facts.sg, "end_sg": facts.end, "days": days}), Point(
            "wait_sixty_days", {"days": SWEET_END_DAYS}
        )
    if at_end_now(facts):
        left = refermentable(facts, case.at)
        assert left is not None  # at_end_now has seen a gravity
        values = {"sg": facts.sg, "end_sg": left.end_sg, "left_g_per_l": left.g_per_l, "sd_g_per_l": left.sd_g_per_l,
                "days": days}  # fmt: skip
        return Point("may_go_on", values), Point("prove_the_end", {"days": PROVEN.days, "warm_c": WARM_ENOUGH_C})
    return Point("above_end", {"sg": facts.sg, "end_sg": facts.end, "days": days}), Point("finish_or_stabilise")


def _by_sensor_alone(case: Case) -> tuple[Point, Point]:
    values: dict[str, Value] = {
        "sensor": calm_run(case.facts, case.at)[0].by, "sg": case.facts.sg, "days": _calm_days(case),
    }  # fmt: skip
    return Point("only_sensor", values), Point("read_by_hand")


def not_still(case: Case) -> Point:
    """Say why a vessel does not count as stable over seven days."""
    facts = case.facts
    readings = [reading for reading in facts.since_addition if reading.at <= case.at]
    if not readings:
        return Point("no_reading", {"since": facts.last_addition_at})
    run = calm_run(facts, case.at)
    if not run:
        return Point("only_cold", {"count": len(readings), "warm_c": WARM_ENOUGH_C, "sg": readings[-1].sg})
    age_days = (case.at - run[-1].at) / DAY
    values: dict[str, Value] = {"sg": run[-1].sg, "count": len(run), "days": _calm_days(case), "age_days": age_days}
    earlier = [r for r in readings if r.at < run[0].at and r.by == run[0].by]
    if earlier and earlier[-1].sg is not None and run[-1].sg is not None:
        values["fell_points"] = 1000.0 * (earlier[-1].sg - run[-1].sg)
        values["fell_days"] = (run[-1].at - earlier[-1].at) / DAY
    if age_days > 4.0 and _calm_days(case) >= STILL_DAYS - 0.5 and len(run) >= 3:
        return Point("old_reading", values)
    return Point("not_still", values)


def _calm_days(case: Case) -> float:
    run = calm_run(case.facts, case.at)
    return (run[-1].at - run[0].at) / DAY if run else 0.0


def _watch_short(case: Case) -> Point:
    facts, run, begun = case.facts, watch_readings(case.facts, case.at), watch_since(case.facts, case.at)
    days = max(0.0, (case.at - begun) / DAY) if begun is not None else 0.0
    newest = run[-1].sg if run else None
    return Point("watch_short", {"days": days, "count": len(run), "sg": newest, "sweetened": facts.sweetened_g > 0.0})


def in_the_bottle(case: Case, sugar_g_per_l: float) -> Point:
    """Compute the pressure of this much sugar in the bottle of the entry, against what its glass takes."""
    sugar = min(MOST_SUGAR_G_PER_L, max(0.0, sugar_g_per_l))
    bottle_ml = min(30_000.0, max(20.0, case.number("size_ml") or 750.0))
    kind = glass_of(case)
    values: dict[str, Value] = {
        "sugar_g_per_l": sugar,
        "at_20_bar": pressure_bar_excess(sugar, 20.0, bottle_ml=bottle_ml),
        "at_30_bar": pressure_bar_excess(sugar, 30.0, bottle_ml=bottle_ml),
        "cool_c": 20.0,
        "warm_c": 30.0,
        "limit_bar": glass(kind).limit_bar,
        "warm_limit_bar": glass(kind).warm_limit_bar,
        "glass": kind,
    }
    return Point("in_the_bottle", values)


def glass_of(case: Case) -> str:
    """Return the glass that the entry names; still where it names none or an unknown one."""
    named = case.text("glass") or "still"
    return named if named in keyed("glass") else "still"


def too_much_pressure(case: Case) -> Finding | None:
    """Refuse priming, or sugar that nothing holds back, beyond what the glass is made for."""
    ready, sugar = ready_by(case), primed_g_per_l(case)
    if ready is None or (sugar > 0.0 and glass_of(case) == "still"):
        return None  # not_ready and priming.in_still_glass say it
    if ready in ("dry", "sweet end") and sugar > 0.0:  # what is poured still and plain, ready_by has judged
        sugar += _beside_priming_g_per_l(case)
    reason = in_the_bottle(case, sugar)
    at_20, at_30 = reason.values["at_20_bar"], reason.values["at_30_bar"]
    assert isinstance(at_20, float)
    assert isinstance(at_30, float)
    if sugar <= 0.0 or glass(glass_of(case)).holds(at_20, at_30):
        return None
    observed = Point("sugar_in_bottle", {"sugar_g_per_l": sugar, "priming_g": case.number("priming_g")})
    remedy = Point("less_or_stronger_glass" if primed_g_per_l(case) > 0.0 else "stabilise_and_watch")
    return Finding("refusal", "bottle_pressure", observed, reason, remedy)


def _beside_priming_g_per_l(case: Case) -> float:
    """What yeast that takes the priming may take besides, in g/L: all down to the lowest end, unless it stopped dry."""
    facts = case.facts
    dry = facts.sg is not None and facts.sg <= DRY_SG + END_SLACK_SG
    if finished(facts, case.at) == "proven" and dry:
        return 0.0
    return 0.0 if facts.sg is None else down_to_the_end(facts, case.at).g_per_l


def stopped_not_dry(case: Case) -> Finding | None:
    """Say what the bottles would hold if a mead that stopped above its lowest end were to start again."""
    if ready_by(case) not in ("dry", "sweet end") or primed_g_per_l(case) > 0.0:
        return None  # what priming finds beside it, too_much_pressure says
    left = down_to_the_end(case.facts, case.at)
    reason = in_the_bottle(case, left.g_per_l)
    at_30, limit_bar = reason.values["at_30_bar"], reason.values["limit_bar"]
    assert isinstance(at_30, float)
    assert isinstance(limit_bar, float)
    if left.g_per_l <= left.sd_g_per_l or at_30 <= limit_bar:
        return None
    values: dict[str, Value] = {
        "sg": case.facts.sg, "days": _calm_days(case), "end_sg": left.end_sg, "left_g_per_l": left.g_per_l,
        "sd_g_per_l": left.sd_g_per_l,
    }  # fmt: skip
    return Finding(
        "advice",
        "stopped_not_dry",
        Point("stopped_above", values),
        reason,
        Point("open_one_in_a_month", {"warm_c": 20.0}),
    )


def primed_g_per_l(case: Case) -> float:
    """Return the priming as grams of hexose a litre of what the entry bottles, or of all that there is."""
    priming_g = case.number("priming_g") or 0.0
    count, size_ml = case.number("count"), case.number("size_ml")
    litres = count * size_ml / 1000.0 if count and size_ml else liquid_l(case.facts)
    if priming_g <= 0.0 or not litres or litres <= 0.0:
        return 0.0
    row = keyed("priming").get(case.text("priming_kind") or "sucrose") or keyed("priming")["sucrose"]
    return priming_g / litres * float(row["co2_g_per_g"]) / CO2_G_PER_G_SUGAR


def plastic(case: Case) -> Finding | None:
    """Advise against bottles of plastic, which let air in and of which most hold no pressure."""
    said = " ".join(case.text(name) or "" for name in ("glass", "closure", "text")).casefold()
    if not set(re.findall(r"[a-z]+", said)) & PLASTIC:
        return None
    return Finding("advice", "plastic_bottles", Point("in_plastic"), Point("plastic_breathes"), Point("take_glass"))
