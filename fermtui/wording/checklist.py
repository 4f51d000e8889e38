"""List what to look at when a vessel is in trouble: its own numbers, what helps, and what to leave alone.

Common practice, no source, where none is named.
"""

from __future__ import annotations

from fermtui.daybook.head import Plan
from fermtui.forecast.trouble import Trouble
from fermtui.replay.facts import Facts
from fermtui.units import METRIC, Units, show_gravity, show_number, show_temp

COOL_C, WARM_C = 16.0, 26.7  # 18.3-26.7 °C for fruit wine, NDSU Extension FN1638; 16 with a margin for cool yeasts
LOW_PH, HIGH_PH = 3.0, 4.6
NEAR_TOLERANCE_ABV = 1.0
LATE_DOSE_ABV = 9.0


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
    trouble: Trouble, facts: Facts, plan: Plan, abv_percent: float | None, units: Units = METRIC
) -> list[str]:
    """List what to look at, in that order. Each line begins with what is known of this vessel."""
    if trouble.kind == "rising":
        return [
            "Reading: degas the sample, bring it to room temperature and read twice; bubbles lift a hydrometer.",
            "Honey: undissolved honey or fruit juice that comes out late raises the gravity; stir and read again.",
            "If sugar did go in, write it down (feed, fruit, top_up): that explains the rise.",
        ]
    lines = [_warmth(facts, plan, units)]
    if trouble.kind == "too warm":
        return [
            *lines,
            "Cool it slowly: a wet cloth and a fan, a water bath, a cooler room; a few degrees a day.",
            "Leave alone: no ice in the must, and no second yeast while it is hot.",
        ]
    lines.append(_nitrogen(facts, abv_percent, units))
    lines.append(_acid(facts, units))
    lines.append(_alcohol(plan, abv_percent, units))
    if trouble.kind == "not started":
        lines.append("Yeast: was it in date, and neither scalded nor chilled when it was woken? A fresh starter helps.")
        lines.append("Reading: foam and undissolved honey hide an early fall; stir and read again before you pitch.")
    else:
        lines.append("Yeast: swirl the lees up gently and keep it warm for three days before anything else.")
        lines.append(
            "If it still does not fall: a strong starter of a tolerant yeast, fed bit by bit with this must."
        )
    lines.append("Leave alone: do not bottle it, add no sugar and no sorbate, and shake no air in at this stage.")
    return lines


def _warmth(facts: Facts, plan: Plan, units: Units) -> str:
    last = next((r.temp_c for r in reversed(facts.readings) if r.temp_c is not None), None)
    if last is None:
        wanted = f", the plan wants {show_temp(plan.temp_c, units)}" if plan.temp_c is not None else ""
        return f"Temperature: none written down{wanted}; measure the must, not the room."
    shown = show_temp(last, units)
    if last < COOL_C:
        return f"Temperature: {shown} is cold for most yeasts; bring it to {show_temp(19.0, units)} over a day."
    if last > WARM_C:
        return f"Temperature: {shown} is warm; most yeasts work cleaner below {show_temp(WARM_C, units)}."
    return f"Temperature: {shown} is in order; keep it steady."


def _nitrogen(facts: Facts, abv_percent: float | None, units: Units) -> str:
    given_g = facts.dap_g + facts.autolysate_g + facts.complex_g
    if given_g <= 0.0:
        given = "none was given, and honey has next to none"
    else:
        given = f"{show_number(given_g, 1, units)} g of nutrient in {facts.doses} dose{'s' if facts.doses != 1 else ''}"
    if abv_percent is not None and abv_percent >= LATE_DOSE_ABV:
        return f"Nitrogen: {given}; at this strength only a little autolysate, no DAP."
    return f"Nitrogen: {given}; a smell of rotten eggs is a sign of too little."


def _acid(facts: Facts, units: Units) -> str:
    if facts.ph is None:
        return "pH: not measured; below 3.0 yeast suffers, and honey must can fall that far."
    shown = show_number(facts.ph, 2, units)
    if facts.ph < LOW_PH:
        return f"pH: {shown} is low; potassium carbonate in small steps up to 3.2, measured each time."
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
    if abv_percent >= tolerance - NEAR_TOLERANCE_ABV:
        return f"Alcohol: {shown} is close to the {tolerance:g} % vol that this yeast takes: it may simply be done."
    return f"Alcohol: {shown}, well below the {tolerance:g} % vol that this yeast takes."
