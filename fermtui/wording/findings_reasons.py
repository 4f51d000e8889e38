"""Why a finding matters and what would remedy it, in words."""

from __future__ import annotations

from fermtui.units import BEYOND_ALL_GLASS_BAR
from fermtui.wording.findings_observed import Values, Words


def _in_the_bottle(values: Values) -> str:
    limit = "{glass} glass is planned for {limit_bar}"
    if values.get("warm_limit_bar"):
        limit += " at {cool_c} and {warm_limit_bar} at {warm_c}"
    sugar = values.get("sugar_g_per_l")
    if not isinstance(sugar, float) or sugar <= 0.0:
        return f"it may still ferment: every gram of sugar a litre makes 0.3 bar at {{cool_c}}, and {limit}"
    at_20, of_sugar = values.get("at_20_bar"), "{sugar_g_per_l} of sugar"
    if isinstance(at_20, float) and at_20 > BEYOND_ALL_GLASS_BAR:
        return f"{of_sugar} would make {{at_20_bar}}, and no glass holds that"
    made = f"{of_sugar} would make {{at_20_bar}} at {{cool_c}} and {{at_30_bar}} at {{warm_c}}"
    return f"{made}; {limit}, and glass bursts"


def _check_amount(values: Values) -> str:
    named = {"plan_dap_g": "DAP", "plan_autolysate_g": "autolysate", "plan_complex_g": "complex nutrient"}
    planned = " and ".join(f"{{{field}}} {name}" for field, name in named.items() if values.get(field))
    return "look at the unit and the decimal point" + (f": the plan has {planned} in all" if planned else "")


def _named(before: str, none: str) -> Words:
    return lambda values: f"{before}{{free}}" if values.get("free") else none


REASONS: dict[str, Words] = {
    "live_glass": "{sugar_g_per_l} may still ferment; {glass} glass is planned for {limit_bar}, and glass bursts",
    "no_task_comes_due": "until then nothing of it comes due, whatever it needs",
    "others_may_burst": "the others hold the same mead, and broken glass flies",
    "cannot_judge": "so it cannot be judged whether it is safe",
    "in_the_bottle": _in_the_bottle,
    "sorbate_stops_fizz": "the bottles stay flat, or ferment unexpectedly later",
    "closure_flies": "pressure pushes it out",
    "closure_tires": "it lets air in, or leaks, before the bottle is drunk",
    "vessel_bursts": lambda v: "a closed vessel of fermenting mead bursts"
    + ("; {sugar_g_per_l} could still ferment" if v.get("sugar_g_per_l") else ""),
    "yeast_survives": "yeast that survives ferments the honey in the bottle",
    "hot_bottles_burst": "heat drives pressure up in a full, closed bottle, and hot glass bursts",
    "fruit_lifts": "fruit rises with the gas, blocks the airlock, and the vessel runs over or bursts",
    "fruit_guessed": "its strength, its room and the sugar left are a guess from then on",
    "heat_kills_yeast": "above {temp_c} yeast is harmed or killed",
    "any_sugar": "sugar of any name ferments on, also in the bottle, and the calm is counted anew from here",
    "live_yeast_again": "with live yeast or sugar for it, the stabilising no longer counts",
    "cold_sleeps": "below {temp_c} most yeast does not start, and something else may",
    "sour_stops": "below pH 3.0 yeast slows or stops",
    "alcohol_stuns": "dry yeast put straight into so much alcohol mostly dies",
    "air_spoils": "air browns a finished mead and feeds vinegar",
    "hot_live_foams": "it foams over, its alcohol boils off as a vapour that burns, and hot glass cracks",
    "holds_nothing_back": "so little holds no yeast back, and it is not counted as stabilised",
    "sulfite_no_stop": "sulfite does not stop a ferment: what ferments binds it, and it is spent",
    "plastic_breathes": "plastic lets air in, and soft bottles swell and split under pressure",
    "germs_grow": "above pH 4.6 a must does not keep disease germs from growing",
    "may_matter": "one of them may be honey, sulfite or a bottling, and then this is not safe",
    "spills": "it runs over",
    "sums_hang_on_level": "strength, sulfite and pressure are all computed from the level",
    "air_browns": "a mead that no longer gives off gas takes up oxygen",
    "ceiling_unchecked": "it cannot be checked against the limit",
    "sulfite_harms": "that is more than US wine may hold, and can hurt people with asthma; local law goes first",
    "sulfite_tasted": "it can be smelled and tasted, and people with asthma may react; local law may set less",
    "sorbate_no_stop": "sorbate does not stop a live ferment, and once in it cannot be taken out",
    "sorbate_alone": "without sulfite, bacteria turn sorbate into the smell of geraniums",
    "sorbate_weak": "no dose is known to keep such a mead from fermenting again",
    "sorbate_geranium": "its bacteria turn sorbate into the smell of geraniums, which cannot be removed",
    "sorbate_needs_acid": "above pH 3.5 no dose of sorbate is known to help",
    "sorbate_tasted": "that is above the limit of the EU and OIV, and can be tasted",
    "honey_ferments": "the honey ferments out again, and in a bottle it bursts the glass",
    "end_in_guards": "what is taken for the end lets it go on to racking and bottling",
    "leaves_yeast_behind": "much of the yeast stays behind with the lees, and what still ferments may come to a halt",
    "needs_time": "sulfite and sorbate need time to work before new sugar comes in",
    "sulfite_kills_yeast": "it harms or kills the yeast until most of it has gone",
    "stays_sweet": "the honey may stay unfermented, or ferment later",
    "dap_not_taken": "the yeast hardly takes up ammonium now, and what stays feeds spoilage",
    "dap_less_taken": "the yeast takes up less and less ammonium, and what stays feeds spoilage",
    "dap_law": "that is more than may go into wine (US 0.96, EU 1 g/L); local law goes first",
    "dose_at_once": "two doses at once foam over, and what the yeast does not take up feeds spoilage",
    "nitrogen_left_over": "what the yeast does not take up feeds spoilage",
}  # fmt: skip

REMEDIES: dict[str, Words] = {
    "settle_it": "strike what is not so; if all of it is so, strike this one and write it anew with your reason "
    "(override=REASON)",
    "strike_wrong": "strike the one that is not so",
    "open_one_chill_rest": "open one, with gloves and goggles, over a sink, and chill the rest; drink them soon",
    "mend_the_schedule": "`fermtui check` names the line to mend; or name another schedule in its vessel.toml",
    "check_the_others": "check the others: gloves and goggles on, a cloth over them, into the cold, open one; then "
    "write what you found",
    "say_where_it_stands": "read it anew, and say where it stands",
    "read_calm": "it takes two readings that agree over {days} days, at 15 °C or more",
    "read_before_racking": "take a gravity first; rack early only where you mean to",
    "mend_number": "correct the number and try again",
    "give_amount": "give an amount above nothing",
    "write_mix_first": "write the mix first, with its own date",
    "write_pitch_first": "write the pitching first, with its own date",
    "measure_level": "if there is more, measure it and write the level first",
    "write_bottling_first": "write the bottling first, or look at what is left",
    "list_container": _named(
        "say its size with it, as in '{name}, 5 L', or take one that is free: ",
        "say its size with it, as in '{name}, 5 L'",
    ),
    "leave_size_out": "leave the size out, or correct it there",
    "take_free_container": _named("take one that is free: ", "no other that would do is listed in cellar.toml"),
    "name_another_vessel": "name another vessel",
    "write_fruit_first": "write the fruit first, with its own date",
    "rack_and_watch": "rack it, and watch seven days with steady readings",
    "read_by_hand": "take one with the hydrometer, which tells where it stands",
    "read_once_more": "take one more: the last is to be at most four days old",
    "watch_seven_days": "wait until steady readings span seven days, on days 3 and 7 or later",
    "stabilise_and_watch": "give sulfite and sorbate, then watch seven days with steady readings",
    "wait_for_still": "it takes three readings within 0.001 over seven days, at {warm_c} or more, "
    "the last at most four days old",
    "wait_sixty_days": "let it stand still for {days} days, or rack it, give sulfite and sorbate, and watch seven days",
    "prove_the_end": "read it until {days} days have passed without a fall, at {warm_c} or more; or write a warm "
    "forced test of a sample with fresh yeast; or rack it, give sulfite and sorbate, and watch seven days",
    "open_one_in_a_month": "keep the bottles below {warm_c} and open one after a month; a warm forced test before "
    "bottling, or sulfite and sorbate, makes it sure",
    "finish_or_stabilise": "get it going again, or rack it, give sulfite and sorbate, and watch seven days",
    "less_or_stronger_glass": "take less sugar, or glass made for that pressure",
    "leave_priming_out": "leave the priming out and bottle it still",
    "sparkling_glass": "take sound bottles made for sparkling wine or beer, or leave the priming out",
    "take_closure": lambda v: "take one that holds: {of}" if v.get("of") else "no closure in the table holds that long",
    "airlock_on": "leave the airlock on until it has stood still for seven days at its end",
    "name_a_way": "write what = {of}",
    "heat_at_once": lambda v: f"heat the bottles today: {v.get('minutes') or 0.0:.0f} minutes at {{temp_c}} inside",
    "bath_enough": lambda v: f"{v.get('minutes') or 0.0:.0f} minutes at {{temp_c}} inside are enough: "
    f"{v.get('units') or 0.0:.0f} units for what has sugar in it",
    "no_gas_in_a_bath": "only still bottles without gas may be heated: chill these and drink them soon",
    "heat_before_bottling": "heat mead only before it is bottled, in an open pan, by licensed guidance",
    "measure_room": "measure the level and the vessel's capacity, and leave two fingers of room",
    "less_fruit": lambda v: "put in at most {fits_g}, or rack into a larger vessel first" if v.get("fits_g")
    else "rack into a larger vessel first",
    "leave_two_fingers": lambda v: "two fingers, {keep_l}, would be safe: at most {fits_g}, or a larger vessel"
    if v.get("fits_g") else "rack into a larger vessel first",
    "name_nearest_fruit": "give the nearest fruit of the table as its kind and its own name as the note, and read "
    "gravity and pH once its juice is in",
    "give_sugar_g": "write it with sugar_g, the grams of sugar in all of it (the label has them; 0 where "
    "there is none)",
    "give_its_gravity": "write it with its gravity and strength (sg and abv_percent)",
    "stabilise_again": "give both again once it has stood still for seven days, and watch it",
    "warm_first": "let it come to what your yeast wants first, mostly 15 °C or more",
    "carbonate": "add potassium carbonate or bicarbonate, a little at a time, up to pH 3.2 to 4.0, and measure again",
    "make_starter": "make a starter of a yeast that stands the strength, let it grow used to the mead spoon by spoon, "
    "and give organic nutrient, no DAP",
    "no_air": "leave it closed; to drive gas out, stir gently without splashing (`degas`)",
    "still_before_heat": "wait until it has stood still for seven days, then heat in an open pan away from flames",
    "give_enough": "{enough_g} would do",
    "take_glass": "take glass, or keep them cold and drink them within a few weeks",
    "cool_below": "let it cool below {temp_c}",
    "acidify": "add acid to pH 3.2 to 4.0, and measure again",
    "larger_vessel": "pour in less, or take a larger vessel",
    "top_up_or_smaller": lambda v: "top up with {top_up_l}"
    + (", or rack into {smaller}" if v.get("smaller") else " of mead, or find a smaller container"),
    "mend_lines": "`fermtui check {vessel}` names each of them: correct them first",
    "mind_what_stands": "look at the later entry; if both are right, write this one with a reason",
    "write_its_kind": "write a {as}",
    "mend_level": "look at the unit and the decimal point, or correct the capacity of the container",
    "write_level": "measure it and write the level first",
    "less_sulfite": lambda v: "give at most {fits_g}" if v.get("fits_g") else "give no more",
    "measure_free": "measure the free SO2 before giving more",
    "wait_then_stabilise": "wait until three readings within 0.001 span seven days, then rack and stabilise",
    "sulfite_first": "give sulfite first, or with it",
    "ways_out": "what helps instead: {ways}",
    "measure_ph": "measure the pH first",
    "less_sorbate": lambda v: "give at most {fits_g}" if v.get("fits_g") else "give no more",
    "stabilise_first": "stabilise first, wait two days, then sweeten and watch; to make it stronger, write a feed",
    "wait_days": "wait {days} days in all",
    "wait_until": "wait until {at}",
    "measure_temp": "measure it: below {temp_c} is fine",
    "stop_feeding": "leave it dry, or sweeten it once it has been stabilised",
    "autolysate_if_slow": "only if it lags, give {autolysate_g} of autolysate instead",
    "autolysate_instead": "{autolysate_g} of autolysate brings the same nitrogen",
    "check_amount": _check_amount,
    "less_dap": lambda v: "give at most {fits_g} of DAP and {autolysate_g} of autolysate" if v.get("fits_g")
    else "give {autolysate_g} of autolysate instead",
}  # fmt: skip
