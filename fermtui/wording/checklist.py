"""List what to look at when a vessel is in trouble: what its own record says, what helps, and what to leave alone.

Common practice, no source, where none is named.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from fermtui.daybook.head import Plan
from fermtui.daybook.settings import Settings
from fermtui.forecast.trouble import Trouble
from fermtui.must.limits import OutOfRange
from fermtui.must.nutrients import REHYDRATION_C
from fermtui.must.starter import STARTER_SHARE, starter
from fermtui.replay.contents import ledger_must
from fermtui.replay.facts import Facts
from fermtui.schedule.doses import nitrogen_share
from fermtui.schedule.trouble_tasks import NEAR_TOLERANCE_ABV, near_tolerance
from fermtui.units import METRIC, Units, show_gravity, show_mass, show_number, show_temp, show_volume

COOL_C, WARM_C = 16.0, 26.7  # 18.3-26.7 °C for fruit wine, NDSU Extension FN1638; 16 with a margin for cool yeasts
STEADY_C = 8.0  # a spread above this between two looks in a fortnight shocks yeast
SLOW_PH, LOW_PH, HIGH_PH = 3.2, 3.0, 4.6
LATE_DOSE_ABV = 9.0
ENOUGH_SHARE = 0.8  # of the nitrogen that the plan reckons
LOOK_BACK = timedelta(days=14)


def likely_text(chance: float) -> str:
    """`92 % likely`; a forecast never knows for sure, so neither 0 nor 100 is said."""
    percent = round(100 * chance)
    return "over 99 % likely" if percent > 99 else "under 1 % likely" if percent < 1 else f"{percent} % likely"


def trouble_text(trouble: Trouble, units: Units = METRIC) -> str:
    """One line: `stalled at 1.031, 31 points above its end (92 % likely)`."""
    values = trouble.values
    chance = "" if trouble.chance is None else f" ({likely_text(trouble.chance)})"
    if trouble.kind == "stalled":
        above = 1000 * (values["sg"] - values["end_sg"])
        return f"stalled at {show_gravity(values['sg'], units)}, {above:.0f} points above its end{chance}"
    if trouble.kind == "not started":
        return f"no fall in gravity {values['hours']:.0f} hours after pitching{chance}"
    if trouble.kind == "rising":
        rise = 1000 * (values["to_sg"] - values["from_sg"])
        return f"gravity up {rise:.0f} points with nothing added"
    if trouble.kind == "too warm":
        return f"{show_temp(values['temp_c'], units)}, above {show_temp(values['limit_c'], units)}"
    return f"falls slower than nine in ten healthy musts would from here{chance}"


def checklist(
    trouble: Trouble,
    facts: Facts,
    plan: Plan,
    abv_percent: float | None,
    now: datetime,
    settings: Settings,
) -> list[str]:
    """List what to look at, in that order. Each line begins with what this vessel's own record says."""
    units = settings.units
    if trouble.kind == "rising":
        return [
            "Reading: degas the sample, bring it to room temperature and read twice; bubbles lift a hydrometer.",
            "Honey: undissolved honey or fruit juice that comes out late raises the gravity; stir and read again.",
            "If sugar did go in, write it down (feed, fruit, top_up): that explains the rise.",
        ]
    lines = [_warmth(facts, plan, now, units)]
    if trouble.kind == "too warm":
        return [
            *lines,
            "Cool it slowly: a wet cloth and a fan, a water bath, a cooler room; a few degrees a day.",
            "Leave alone: no ice in the must, and no second yeast while it is hot.",
        ]
    lines.append(_nitrogen(facts, plan, abv_percent, settings))
    lines.append(_acid(facts, units))
    lines.append(_alcohol(plan, abv_percent, units))
    if trouble.kind == "not started":
        lines.append("Yeast: was it in date, and neither scalded nor chilled when it was woken? A fresh starter helps.")
        lines.append("Reading: foam and undissolved honey hide an early fall; stir and read again before you pitch.")
    else:
        lines.append("Yeast: swirl up the lees gently and keep it warm for three days.")
    if trouble.kind != "slow":
        lines.append(_restart(facts, trouble, units))
    if trouble.kind == "stalled":
        lines.append(
            "Its end: where nothing moves it, say so with a reason; the guards of bottling still count its sugar."
        )
    lines.append("Leave alone: do not bottle it, add no sugar and no sorbate, and shake no air in at this stage.")
    return lines


def _temps(facts: Facts, now: datetime) -> list[float]:
    """All temperatures written down in the last two weeks, of readings and of warming or cooling since pitching."""
    start = facts.pitched_at
    since = max(now - LOOK_BACK, start) if start is not None else now - LOOK_BACK
    known = [(r.at, r.temp_c) for r in facts.readings if r.temp_c is not None]
    known += [(one.at, one.temp_c) for one in facts.temps]
    return [temp_c for at, temp_c in sorted(known) if at >= since]


def _warmth(facts: Facts, plan: Plan, now: datetime, units: Units) -> str:
    temps = _temps(facts, now)
    if not temps:
        wanted = f", the plan wants {show_temp(plan.temp_c, units)}" if plan.temp_c is not None else ""
        return f"Temperature: none written down in two weeks{wanted}; measure the must, not the room."
    last, coldest, warmest = temps[-1], min(temps), max(temps)
    shown = show_temp(last, units)
    warm_up = f"bring it to {show_temp(19.0, units)} over a day"
    if last < COOL_C:
        return f"Temperature: {shown} is cold for most yeasts; {warm_up}."
    if last > WARM_C:
        return f"Temperature: {shown} is warm; most yeasts work cleaner below {show_temp(WARM_C, units)}."
    if coldest < COOL_C:
        was = f"{show_temp(coldest, units)} within the last two weeks"
        return f"Temperature: {shown} now, but {was}: yeast that fell asleep wants stirring up."
    if warmest - coldest > STEADY_C:
        span = f"{show_temp(coldest, units)} to {show_temp(warmest, units)}"
        return f"Temperature: {span} within two weeks; so much up and down tires yeast, keep it steady."
    lowest = "" if len(temps) == 1 else f", and never below {show_temp(coldest, units)} in two weeks"
    return f"Temperature: {shown} is in order{lowest}; keep it steady."


def _nitrogen(facts: Facts, plan: Plan, abv_percent: float | None, settings: Settings) -> str:
    given_g = facts.dap_g + facts.autolysate_g + facts.complex_g
    share = nitrogen_share(facts, plan, settings.nutrients)
    if given_g <= 0.0:
        given = "none was given, and honey has next to none"
    else:
        doses = f"{facts.doses} dose{'s' if facts.doses != 1 else ''}"
        given = f"{show_mass(given_g, settings.units)} of nutrient in {doses}"
        given += "" if share is None else f", {100 * share:.0f} % of the need"
    if share is not None and share >= ENOUGH_SHARE:
        return f"Nitrogen: {given}; that is enough."
    if abv_percent is not None and abv_percent >= LATE_DOSE_ABV:
        return f"Nitrogen: {given}; at this strength only a little autolysate, no DAP."
    return f"Nitrogen: {given}; a smell of rotten eggs is a sign of too little."


def _acid(facts: Facts, units: Units) -> str:
    if facts.ph is None:
        return "pH: not measured; below 3.2 yeast slows down, below 3.0 it stops, and honey must can fall that far."
    shown = show_number(facts.ph, 2, units)
    if facts.ph < SLOW_PH:
        stops = "too low for most yeast" if facts.ph < LOW_PH else "low, and slows yeast down"
        return f"pH: {shown} is {stops}; potassium carbonate in small steps up to 3.4, measured each time."
    if facts.ph > HIGH_PH:
        return f"pH: {shown} is above 4.6 and does not hold back spoilage; add acid down to about 3.8."
    return f"pH: {shown} is in order."


def _alcohol(plan: Plan, abv_percent: float | None, units: Units) -> str:
    tolerance = plan.yeast.tolerance_abv
    if abv_percent is None:
        return "Alcohol: not known without an original gravity."
    shown = f"{show_number(abv_percent, 1, units)} % vol"
    if tolerance is None:
        return f"Alcohol: {shown}; the yeast's tolerance is not in the plan."
    stands = f"{show_number(tolerance, 1, units)} % vol that this yeast takes"
    if abv_percent >= tolerance - NEAR_TOLERANCE_ABV:
        return f"Alcohol: {shown} is close to the {stands}: it may simply be done."
    return f"Alcohol: {shown}, well below the {stands}."


def _restart(facts: Facts, trouble: Trouble, units: Units) -> str:
    """The starter in its amounts; where the yeast is at its limit, none is recommended."""
    if near_tolerance(facts):
        return "Restart: so near to what yeast stands a second one seldom does more; rather take this for its end."
    must = ledger_must(facts)
    try:
        made = None if must is None or not facts.volume_known else starter(must.volume_l)
    except OutOfRange:
        made = None
    low_c, high_c = REHYDRATION_C
    low = show_temp(low_c, units).partition(" ")[0]
    which = "fresh yeast" if trouble.kind == "not started" else "a yeast that stands more alcohol"
    if made is None:
        return f"Restart: a strong starter of {which}, fed bit by bit with this must."
    return (
        f"Restart: wake {show_mass(made.yeast_g, units)} of {which} in {show_number(made.water_ml, 0, units)} mL of "
        f"water at {low} to {show_temp(high_c, units)}; feed it spoon by spoon with this must up to "
        f"{show_volume(made.volume_l, units)} ({100 * STARTER_SHARE:.0f} % of the vessel); pour it in while it foams."
    )
