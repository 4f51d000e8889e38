"""What fruit brings: fruit."""

from __future__ import annotations

from fermtui.bench.options import GivenOptions
from fermtui.bench.result import Sum, Value
from fermtui.explain import strength as strong
from fermtui.explain import sugar as how
from fermtui.must.composition import Must, ferment_to, from_gravity_and_abv, lowest_sg, mix
from fermtui.must.fruit import UnknownFruit, fruit_parts, room_left_l, treatment_of
from fermtui.must.limits import within
from fermtui.units import Unreadable


def fruit(given: GivenOptions) -> Sum:
    """Sugar, water and room of fruit, and the gravity once its juice is in."""
    treatment, mass_g, gravity = given.word("treatment"), given.number("mass"), given.number("gravity")
    try:
        parts = fruit_parts(given.word("kind"), mass_g, treatment, as_bought=given.flag("as-bought"))
        moments = treatment_of(treatment).caution_moments
    except UnknownFruit as fault:
        raise Unreadable(str(fault)) from None
    volume_l, abv = given.number("volume"), given.maybe("abv")
    before = from_gravity_and_abv(volume_l, gravity, _least_abv(gravity) if abv is None else abv)
    after = mix(before, Must(parts.water_g, parts.sugar_g, 0.0))
    # A must that stands below the end already goes back to where it stood.
    end = min(after.sg, max(min(given.number("end"), gravity), lowest_sg(after)))
    dry = ferment_to(after, end)[0]
    values: dict[str, Value] = {
        "sugar_g": parts.sugar_g,
        "sugar_sd_g": parts.sugar_sd_g,
        "water_g": parts.water_g,
        "displaces_l": parts.displaces_l,
        "gravity_after": after.sg,
        "volume_after_l": after.volume_l,
        # Without a strength to begin with there is none to say afterwards.
        "abv_after_percent": None if abv is None else after.abv_percent,
        "end_gravity": end,
        "abv_fermented_percent": None if abv is None else dry.abv_percent,
        "lost_when_pulled_l": parts.pulled_loss_l,
        "counted_as": parts.fruit.name,
    }
    capacity_l = given.maybe("capacity")
    if capacity_l is not None:
        values["room_left_l"] = room_left_l(capacity_l, volume_l, parts.displaces_l)
    steps = (*how.fruit(parts, mass_g), strong.mixture("gravity after", after.sg, "SG", after))
    keys = ["fruit_clean"]
    if "fruit_heat" in moments:
        keys.append("fruit_hot")
    if parts.fruit.low_acid:
        keys.append("needs_acid")
    return Sum("fruit", values, tuple(keys), steps)


def _least_abv(gravity: float) -> float:
    """Below 1.000 there must be alcohol: the least % vol that stands there, when nobody says how much it is."""
    if gravity >= 1.0:
        return 0.0
    within("gravity", gravity, 0.98, 1.3, "SG", "a lower gravity needs the strength (abv) with it")
    low, high = 0.0, 30.0
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if _spirit(middle).sg > gravity else (low, middle)
    return _spirit(high).abv_percent


def _spirit(mass_percent: float) -> Must:
    return Must(100.0 - mass_percent, 0.0, mass_percent)
