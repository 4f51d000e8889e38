"""What a guard observed, in words: a template, or a function that chooses one by the values."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fermtui.schedule.guards.case import Value
from fermtui.wording.kinds import KINDS

Values = Mapping[str, Value]
Words = str | Callable[[Values], str]


def counted(number: Value, one: str) -> str:
    """`1 reading`, `3 readings`, `0 readings`."""
    whole = round(number) if isinstance(number, int | float) and not isinstance(number, bool) else 0
    return f"1 {one}" if whole == 1 else f"{whole} {one}s"


def ago(hours: Value) -> str:
    """`5 hours ago`, `less than an hour ago`."""
    return f"{counted(hours, 'hour')} ago" if isinstance(hours, int | float) and hours >= 1 else "less than an hour ago"


def _days_ago(days: Value) -> str:
    whole = round(days) if isinstance(days, int | float) else 0
    return {0: "of today", 1: "of yesterday"}.get(whole, f"{whole} days ago")


def _doing(values: Values) -> str:
    return KINDS[str(values["did"])].act


def _no_must(values: Values) -> str:
    if values.get("mixed_at") is not None:
        return f"to {_doing(values)} on {{at}} comes before the must of {{mixed_at}}"
    return f"there is no must yet to {_doing(values)}"


def _before_pitching(values: Values) -> str:
    if values.get("pitched_at") is not None:
        return f"to {_doing(values)} on {{at}} comes before the pitching of {{pitched_at}}"
    return f"no yeast has been pitched, so there is no mead to {_doing(values)}"


def _bottled_already(values: Values) -> str:
    bottles = values.get("bottles")
    what = f"all of it went into {counted(bottles, 'bottle')}" if bottles else "the vessel is empty"
    return f"{what}, so there is nothing left to {_doing(values)}"


def _more_bottled(values: Values) -> str:
    left = " and {left_l} left over" if values.get("left_l") else ""
    bottles = counted(values.get("count"), "bottle")
    return f"{bottles} of {{size_ml}}{left} make {{out_l}}, more than the {{held_l}} in the vessel"


def _more_opened(values: Values) -> str:
    size = " of {size_ml}" if values.get("size_ml") else ""
    return f"{counted(values.get('count'), 'bottle')}{size} to open, and {counted(values.get('left'), 'bottle')} left"


def _nothing_to_pull(values: Values) -> str:
    return "the fruit was pulled on {pulled_at}" if values.get("pulled_at") else "no fruit was put in"


def _no_reading(values: Values) -> str:
    if values.get("since") is not None:
        return "no gravity has been read since something was added on {since}"
    return "no gravity has been read since pitching"


def _not_still(values: Values) -> str:
    days = counted(values.get("days"), "day")
    text = f"only {counted(values.get('count'), 'reading')} within 0.001 over {days}, the last at {{sg}}"
    fell = values.get("fell_points")
    if isinstance(fell, float) and fell > 1.0:
        text += f"; before that it fell {{fell_points}} points in {counted(values.get('fell_days'), 'day')}"
    elif isinstance(fell, float) and fell < -1.0:
        text += "; before that it stood lower"
    return text


def _watch_short(values: Values) -> str:
    since = "sweetening" if values.get("sweetened") else "stabilising"
    last = ", the last at {sg}" if values.get("sg") is not None else ""
    days = counted(values.get("days"), "day")
    return f"{counted(values.get('count'), 'steady reading')} since {since} {days} ago{last}"


def _sweet_unstabilised(values: Values) -> str:
    missing = [name for name in ("sulfite", "sorbate") if not values.get(name)]
    if not missing:
        return "{sugar_g_per_l} of sugar went in for taste, and the yeast was pitched again after stabilising"
    return f"{{sugar_g_per_l}} of sugar went in for taste, and no {' and no '.join(missing)} holds it back"


def _sugar_in_bottle(values: Values) -> str:
    if values.get("priming_g"):
        return "{priming_g} of priming is {sugar_g_per_l} of sugar that will ferment in the bottle"
    return "{sugar_g_per_l} of sugar went in after the ferment stopped and nothing holds it back"


def _primed_after_sorbate(values: Values) -> str:
    much = "{sorbate_mg_per_l} of sorbate" if values.get("sorbate_mg_per_l") else "sorbate"
    return f"{{priming_g}} of priming, but {much} went in on {{sorbate_at}}"


def _primed_in_still_glass(values: Values) -> str:
    return (
        "{priming_g} of priming in still glass"
        if values.get("named")
        else "{priming_g} of priming, and no kind of glass is named"
    )


def _heating_bottles(values: Values) -> str:
    warm = " to {temp_c}" if values.get("temp_c") is not None else ""
    return f"this would heat {counted(values.get('bottles'), 'sealed bottle')}{warm}"


def _room_unknown(values: Values) -> str:
    what = "how much the vessel holds" if values.get("unknown") == "capacity" else "how full the vessel is"
    return f"the fruit takes {{displaces_l}} of room, and it is not known {what}"


def _low_acid(values: Values) -> str:
    span = "pH {high_ph}" if values.get("low_ph") == values.get("high_ph") else "pH {low_ph} to {high_ph}"
    must = ", and the must stands at {must_ph}" if values.get("must_ph") is not None else ""
    return f"{{fruit}} has {span}{must}"


def _sulfite_free(values: Values) -> str:
    how = "measured and given since" if values.get("measured") else "if none of it was bound"
    return f"with {{metabisulfite_g}} free SO2 comes to {{free_mg_per_l}} ({how}), above {{limit_mg_per_l}}"


def _no_sulfite(values: Values) -> str:
    if values.get("before_at") is not None:
        return "the only sulfite went in before the yeast, on {before_at}, and is spent"
    return "no sulfite is in"


def _sorbate_unfit(values: Values) -> str:
    because = values.get("because")
    reasons = []
    if isinstance(because, tuple):
        if "malolactic" in because:
            reasons.append("it went through a malolactic ferment")
        if "too weak" in because:
            reasons.append("it has {abv_percent} vol where the table begins at 10 %")
        if "pH too high" in because:
            reasons.append("it has pH {ph} where the table ends at 3.5")
    return " and ".join(reasons)


def _not_stabilised(values: Values) -> str:
    missing = values.get("missing")
    names = missing if isinstance(missing, tuple) else ()
    without = " and no ".join(names) if names else "sulfite"
    stopped = "it has stopped at {sg}, but " if values.get("sg") is not None else ""
    return f"{stopped}no {without} is in"


def _sulfited_hours_ago(values: Values) -> str:
    much = "{so2_mg_per_l} of SO2" if values.get("so2_mg_per_l") else "sulfite"
    return f"{much} went in {ago(values.get('hours'))}"


def _dap_past_third(values: Values) -> str:
    gravities = ""
    if values.get("sg") is not None and values.get("break_sg") is not None:
        gravities = " (it is at {sg}, the one-third break was at {break_sg})"
    return f"{{dap_g}} of DAP after {{spent_percent}} of the sugar is spent{gravities}"


def _then(values: Values) -> str:
    said = OBSERVED[str(values.get("then"))]
    return said if isinstance(said, str) else said(values)


def _as_things_stand(values: Values) -> str:
    noun = KINDS[str(values["later"])].noun
    return f"by what else stands in the daybook, the {noun} of {{later_at}} does not pass its checks: {_then(values)}"


def _live_bottles(values: Values) -> str:
    bottles = counted(values.get("bottles"), "bottle")
    reach = "{at_20_bar} at {cool_c} and {at_30_bar} at {warm_c}"
    return f"{bottles} of {{bottled_at}} may reach {reach}: when bottled, {_then(values)}"


def _in_hindsight(values: Values) -> str:
    later = KINDS[str(values["later"])].noun
    return f"with this entry the {later} of {{later_at}} no longer passes its checks: {_then(values)}"


def _unread_lines(values: Values) -> str:
    one = values.get("unread") == 1
    lines = counted(values.get("unread"), "line")
    return f"{lines} of its files could not be read, so {'it is' if one else 'they are'} not counted"


OBSERVED: dict[str, Words] = {
    "in_hindsight": _in_hindsight,
    "as_things_stand": _as_things_stand,
    "live_bottles": _live_bottles,
    "schedule_unusable": "its schedule {schedule} cannot be used",
    "bottle_burst": lambda v: (
        f"a bottle burst on {{burst_at}}, and {counted(v.get('bottles'), 'bottle')} of it "
        f"{'is' if v.get('bottles') == 1 else 'are'} left"
    ),
    "unread_lines": _unread_lines,
    "beyond_reckoning": "{why}",
    "below_nothing": lambda v: (
        "a bottling has at least one bottle" if v.get("field") == "count" else "{field} {value} is less than nothing"
    ),
    "no_must": _no_must,
    "before_pitching": _before_pitching,
    "bottled_already": _bottled_already,
    "holds_nothing": lambda v: f"the vessel is empty, so there is nothing to {_doing(v)}",
    "more_bottled": _more_bottled,
    "more_out": "{out_l} is more than the {held_l} in the vessel",
    "more_opened": _more_opened,
    "unknown_container": "container {into} is not in cellar.toml",
    "other_size": "container {into} holds {capacity_l} by cellar.toml, and not what is said here",
    "taken_container": "container {into} is taken by another vessel",
    "small_container": lambda v: (
        "{out_l} does not go into "
        + ("container {into}, which holds {capacity_l}" if v.get("into") else "a container of {capacity_l}")
    ),
    "with_itself": lambda v: (
        "a vessel cannot be split into itself ({vessel})"
        if v.get("did") == "split"
        else "a vessel cannot be blended with itself ({vessel})"
    ),
    "nothing_to_pull": _nothing_to_pull,
    "has_its_own_kind": "{what} is written as {did}, not as an addition",
    "above_rim": "{level_l} in a vessel of {capacity_l}",
    "not_racked": lambda v: (
        "it has never been racked off its yeast" + (" and stands at {sg}" if v.get("sg") is not None else "")
    ),
    "watch_short": _watch_short,
    "sweet_unstabilised": _sweet_unstabilised,
    "no_reading": _no_reading,
    "only_sensor": lambda v: (
        f"{{sg}} for {counted(v.get('days'), 'day')} by {{sensor}} alone, which may stand some points off"
    ),
    "only_cold": lambda v: f"{counted(v.get('count'), 'reading')}, all below {{warm_c}}, too cold to prove anything",
    "not_still": _not_still,
    "old_reading": lambda v: (
        f"it stood still at {{sg}}, but the last reading is {counted(v.get('age_days'), 'day')} old"
    ),
    "sweet_end_too_soon": lambda v: (
        f"it has stood at {{sg}} for {counted(v.get('days'), 'day')}, sweet as planned, with its yeast alive"
    ),
    "above_end": lambda v: (
        f"it has stood at {{sg}} for {counted(v.get('days'), 'day')}, above its planned end of {{end_sg}}: "
        "stopped, not finished"
    ),
    "may_go_on": lambda v: (
        f"it has stood at {{sg}} for {counted(v.get('days'), 'day')}, and such a must can ferment down to {{end_sg}}: "
        "{left_g_per_l} ± {sd_g_per_l} of sugar may be left"
    ),
    "stopped_above": lambda v: (
        f"it has stood at {{sg}} for {counted(v.get('days'), 'day')}, which shows that it stopped, not that it is dry: "
        "{left_g_per_l} ± {sd_g_per_l} of sugar would be there if it woke"
    ),
    "sugar_in_bottle": _sugar_in_bottle,
    "primed_after_sorbate": _primed_after_sorbate,
    "primed_in_still_glass": _primed_in_still_glass,
    "closure_of_pressure": "{closure} on {glass} glass with gas to come",
    "closure_of_age": "{closure} is good for about {good_months}, and the plan is to keep this {kept_months}",
    "unknown_way": "{named} is no way to keep a mead sweet",
    "heating_bottles": _heating_bottles,
    "sweet_to_heat": "{sugar_g_per_l} of sugar in it wait for the heat, and its yeast is alive",
    "short_bath": lambda v: f"{{temp_c}} for so long is {v.get('units') or 0.0:.0f} pasteurising units",
    "room_unknown": _room_unknown,
    "fruit_over": "{mass_g} of {fruit} takes {displaces_l}; on top of {level_l} that is {over_l} "
    "more than the {capacity_l} of the vessel",
    "fruit_close": "{mass_g} of {fruit} takes {displaces_l}; on top of {level_l} "
    "that leaves {room_l} of the {capacity_l} free",
    "fruit_unknown": "fruit {fruit} is not in the table of fruit, so its sugar and acid are unknown; "
    "it counts as {as_fruit}",
    "hot_fruit": "the fruit was heated ({treatment}) and live yeast is in the vessel",
    "low_acid": _low_acid,
    "pours_over": "{added_l} on top of {level_l} is {over_l} more than the {capacity_l} of the vessel",
    "well_above_end": lambda v: (
        f"the last reading, {_days_ago(v.get('days'))}, is {{sg}}, well above the planned end of {{end_sg}}"
    ),
    "stands_elsewhere": "the last reading is {sg}, and not {said_sg}",
    "much_air": "{after_l} in {capacity_l} leaves {air_percent} to the air, {air_l}",
    "volume_unknown": "{mass_g} into a volume that is not known",
    "sulfite_total": "with {metabisulfite_g} total SO2 comes to {total_mg_per_l}, above {limit_mg_per_l}",
    "sulfite_free": _sulfite_free,
    "no_sulfite": _no_sulfite,
    "sorbate_unfit": _sorbate_unfit,
    "ph_unknown": "no pH has been measured",
    "sorbate_total": "with {sorbate_g} sorbic acid comes to {sorbic_mg_per_l}, above {limit_mg_per_l}",
    "not_stabilised": _not_stabilised,
    "stabilised_just_now": lambda v: f"it was stabilised {ago(v.get('hours'))}",
    "sulfited_hours_ago": _sulfited_hours_ago,
    "not_in_the_table": "how much sugar {what} holds is not known",
    "was_stabilised": lambda v: "it was stabilised" + (", and {other} may hold live yeast" if v.get("other") else ""),
    "sour": "the pH is {acid_ph}",
    "pitch_into_strong": "it has {abv_percent} vol already (± {plus_minus_percent})",
    "past_air": lambda v: "its ferment is over or nearly so" + (", at {sg}" if v.get("sg") else ""),
    "heats_live": "{temp_c} for a mead that no reading shows to have stopped",
    "half_measure": "{mass_g} is less than 0.8 of what pH {acid_ph} asks for",
    "in_plastic": "these bottles are of plastic",
    "hot_must": "the must is at {temp_c}",
    "heated_hours_ago": lambda v: f"the must was heated {ago(v.get('hours'))}",
    "near_tolerance": "it has {abv_percent} vol (± {plus_minus_percent}), and the yeast stands {tolerance_percent}",
    "dap_too_strong": "{dap_g} of DAP at {abv_percent} vol (± {plus_minus_percent}), above {limit_percent}",
    "dap_past_third": _dap_past_third,
    "dosed_hours_ago": lambda v: f"the last dose went in {ago(v.get('hours'))}",
    "organic_total": "with {dose_g} {nutrient} comes to {total_g_per_l}, above {limit_g_per_l}",
    "nitrogen_above_plan": "with this dose the added nitrogen comes to {total_mg_per_l}, and the plan has "
    "{planned_mg_per_l} in all",
    "dap_total": "with {dap_g} DAP comes to {total_g_per_l}, above {limit_g_per_l}",
}
