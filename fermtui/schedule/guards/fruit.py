"""Guards of fruit: the room that it takes, its heat and its acidity."""

from __future__ import annotations

from fermtui.must.fruit import UnknownFruit, fruit, treatments
from fermtui.replay.fruit_lots import STANDS_IN, parts_of
from fermtui.schedule.guards.case import Case, Finding, Point, Value
from fermtui.schedule.guards.fermenting import HOT_C

TWO_FINGERS_SHARE = 0.05
"""Two fingers below the rim of a jug, as a share of what it holds: common practice, the share is our estimate."""
MOIST_WATER_PERCENT = 50.0


def overflows(case: Case) -> Finding | None:
    """Refuse fruit that takes more room than there is; advise against less than two fingers of room."""
    mass_g, kind = case.number("mass_g"), case.text("kind")
    facts = case.facts
    if mass_g is None or kind is None:
        return None
    displaces_l = displaced_l(kind, mass_g, case.text("treatment"))
    if facts.capacity_l is None or not facts.volume_known or facts.level_l is None:
        unknown = "capacity" if facts.capacity_l is None else "level"
        observed = Point("room_unknown", {"unknown": unknown, "displaces_l": displaces_l})
        return Finding("advice", "fruit_room_unknown", observed, Point("fruit_lifts"), Point("measure_room"))
    room_l = facts.capacity_l - facts.level_l - displaces_l
    keep_l = facts.capacity_l * TWO_FINGERS_SHARE
    if room_l >= keep_l:
        return None
    values: dict[str, Value] = {
        "mass_g": mass_g, "fruit": kind, "displaces_l": displaces_l, "level_l": facts.level_l,
        "capacity_l": facts.capacity_l, "room_l": room_l, "over_l": -room_l, "keep_l": keep_l,
        "fits_g": max(0.0, mass_g * (facts.capacity_l - facts.level_l - keep_l) / displaces_l) if displaces_l else 0.0,
    }  # fmt: skip
    if room_l < 0.0:
        return Finding("refusal", "fruit_overflow", Point("fruit_over", values), Point("fruit_lifts"),
                       Point("less_fruit", values))  # fmt: skip
    return Finding("advice", "fruit_room", Point("fruit_close", values), Point("fruit_lifts"),
                   Point("leave_two_fingers", values))  # fmt: skip


def displaced_l(kind: str, mass_g: float, treatment: str | None) -> float:
    """Return the litres that fruit takes when it goes in; a fruit not in the table counts as an average one."""
    return parts_of(kind, mass_g, treatment)[0].displaces_l


def hot_fruit(case: Case) -> Finding | None:
    """Warn of heated fruit in a vessel with live yeast."""
    treatment, pitched = case.text("treatment"), case.facts.pitched_at
    if treatment is None or pitched is None or pitched > case.at:
        return None
    temp_c = _heated_to_c(treatment)
    if temp_c is None:
        return None
    observed = Point("hot_fruit", {"treatment": treatment, "temp_c": temp_c})
    return Finding(
        "advice",
        "hot_fruit",
        observed,
        Point("heat_kills_yeast", {"temp_c": HOT_C}),
        Point("cool_below", {"temp_c": HOT_C}),
    )


def unknown_kind(case: Case) -> Finding | None:
    """Warn that the sugar of a fruit which is not in the table is a guess."""
    kind = case.text("kind")
    if kind is None:
        return None
    try:
        fruit(kind)
    except UnknownFruit:
        observed = Point("fruit_unknown", {"fruit": kind, "as_fruit": STANDS_IN})
        return Finding("advice", "fruit_unknown", observed, Point("fruit_guessed"), Point("name_nearest_fruit"))
    return None


def heated(case: Case) -> bool:
    """Tell whether the fruit of the entry was simmered or blanched."""
    treatment = case.text("treatment")
    return treatment is not None and _heated_to_c(treatment) is not None


def _heated_to_c(treatment: str) -> float | None:
    for known in treatments():
        if known.key == treatment.strip().casefold() and "fruit_heat" in known.caution_moments:
            return known.temp_c
    return None


def low_acid(case: Case) -> Finding | None:
    """Warn of juicy fruit that may be above pH 4.6."""
    kind = case.text("kind")
    if kind is None:
        return None
    ph = low_acid_ph(kind)
    if ph is None:
        return None
    observed = Point("low_acid", {"fruit": kind, "low_ph": ph[0], "high_ph": ph[1], "must_ph": case.facts.ph})
    return Finding("advice", "low_acid_fruit", observed, Point("germs_grow"), Point("acidify"))


def low_acid_ph(kind: str) -> tuple[float, float] | None:
    """Return the pH range of a juicy fruit that reaches above pH 4.6, or None."""
    try:
        known = fruit(kind)
    except UnknownFruit:
        return None
    if not known.low_acid or known.water_percent < MOIST_WATER_PERCENT or known.ph_high is None:
        return None
    return (known.ph_low if known.ph_low is not None else known.ph_high), known.ph_high
