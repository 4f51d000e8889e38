"""What a sum gives back: numbers, what each is called, and how the maker reads it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, NamedTuple

from fermtui.explain.explained import Explained, quantity, significant
from fermtui.must.cautions import MOMENTS, cautions
from fermtui.units import METRIC, Units, show_gravity, show_number

if TYPE_CHECKING:
    from fermtui.must.cautions import Caution

Value = float | int | bool | str | None | tuple[float, ...] | tuple[str, ...]


class Sum(NamedTuple):
    """The result of one sum: numbers by name, units in the names; keys of cautions; how each number came about."""

    what: str
    values: Mapping[str, Value]
    cautions: tuple[str, ...]
    steps: tuple[Explained, ...]
    asks: tuple[str, ...] = ()
    """What was typed or comes out and is beyond reason, a question each."""


def cautions_of(sum_: Sum) -> tuple[Caution, ...]:
    """The cautions of a sum with their texts, in order."""
    by_key = {caution.key: caution for moment in MOMENTS for caution in cautions(moment)}
    return tuple(by_key[key] for key in sum_.cautions)


PLUS_MINUS = {
    "free_so2_mg_per_l": "free_so2_plus_minus_mg_per_l", "metabisulfite_g": "metabisulfite_plus_minus_g",
    "potassium_sorbate_g": "potassium_sorbate_plus_minus_g", "yan_mg_per_l": "yan_plus_minus_mg_per_l",
    "potential_abv_percent": "potential_abv_plus_minus", "honey_g": "honey_plus_minus_g",
    "bar_at_30c": "bar_plus_minus",
}  # fmt: skip
"""What stands behind a number as its uncertainty, in the same row."""
_BEHIND = frozenset(PLUS_MINUS.values())

LABELS = {
    **dict.fromkeys(PLUS_MINUS.values(), "give or take"),
    "sg_20_20": "gravity at 20 °C", "change_sg": "correction", "plus_minus_sg": "give or take",
    "brix_at_20": "reading at 20 °C", "abv_percent": "strength", "plus_minus": "give or take",
    "sugar_spent_percent": "sugar spent, by gravity", "extract_left_g_per_l": "real extract left",
    "strength_band": "strength band",
    "sweetness_band": "sweetness", "density_kg_m3": "density", "sugar_percent": "sugar by mass",
    "ethanol_percent": "alcohol by mass", "sugar_g_per_l": "sugar", "first_l": "of the first",
    "second_l": "of the second", "volume_l": "volume", "honey_g": "honey", "water_l": "water",
    "juice_l": "juice", "gravity": "gravity",
    "moisture_percent": "moisture of the honey", "potential_abv_percent": "strength at end", "feed_g": "honey to feed",
    "feeds_g": "feed by feed", "volume_after_l": "volume after", "abv_after_percent": "strength after",
    "sugar_added_g_per_l": "sugar added", "sugar_g": "sugar", "sugar_sd_g": "give or take", "water_g": "water",
    "displaces_l": "room it takes", "gravity_after": "gravity after", "abv_fermented_percent": "strength fermented out",
    "end_gravity": "fermented out at",
    "lost_when_pulled_l": "leaves with the fruit", "counted_as": "counted as", "room_left_l": "room left",
    "yan_mg_per_l": "nitrogen need", "own_mg_per_l": "in the must already", "added_mg_per_l": "to add",
    "dap_g": "DAP", "autolysate_g": "autolysate", "complex_g": "complex nutrient", "dap_per_dose_g": "DAP a dose",
    "autolysate_per_dose_g": "autolysate a dose", "dap_ceiling_g": "most DAP by law", "dap_capped": "at that ceiling",
    "brix": "must", "dap_now_g": "DAP now", "autolysate_now_g": "autolysate now", "complex_now_g": "complex now",
    "verdict": "a dose now", "only_if_slow": "only if it lags", "rehydration_nutrient_g": "rehydration nutrient",
    "rehydration_water_ml": "water for the yeast", "free_so2_mg_per_l": "free SO2 wanted",
    "metabisulfite_g": "metabisulfite", "solution_10_percent_ml": "or of a 10 % solution",
    "add_so2_mg_per_l": "SO2 to add", "molecular_percent": "molecular part", "free_after_mg_per_l": "free SO2 after",
    "total_after_mg_per_l": "total SO2 after", "free_so2_by_plain_pk_mg_per_l": "by pK 1.81 (1982)",
    "free_so2_by_oiv_mg_per_l": "by the OIV's constants", "bound_percent": "of which bound",
    "temp_used_c": "temperature counted", "temp_extrapolated": "colder than its table", "level": "level",
    "potassium_sorbate_g": "potassium sorbate", "sorbic_acid_mg_per_l": "sorbic acid", "because": "no dose, because",
    "ways_out": "ways out", "capped": "at the legal ceiling", "ph_used": "pH of the table",
    "abv_used_percent": "strength of the table", "count": "bottles", "left_l": "left over", "filled_l": "filled",
    "after_losses_l": "after losses", "priming_g": "priming sugar", "bar_at_20c": "pressure at 20 °C",
    "bar_at_30c": "pressure at 30 °C",
    "glass_limit_bar": "glass may hold at 20 °C",
    "glass_warm_limit_bar": "glass may hold at 30 °C", "within_glass": "within both",
    "residual_volumes": "CO2 in it already",
    "most_volumes": "most the glass bears", "closures": "closures that last",
    "bar_excess": "pressure above air", "sugar_within_glass_g_per_l": "sugar within that",
    "cork_moves_above_bar": "a cork moves above", "co2_g": "carbon dioxide", "co2_l": "as gas",
    "co2_ppm": "in the closed room", "co2_rise_ppm": "of it from the ferment", "passed": "passes the limit",
    "as_tartaric_g_per_l": "as tartaric", "as_malic_g_per_l": "as malic", "as_citric_g_per_l": "as citric",
    "as_lactic_g_per_l": "as lactic", "means": "with", "add_g": "to add", "trial_g_per_l": "for a trial",
    "spirit_l": "spirit", "yeast_g": "dry yeast", "from_g": "from", "up_to_g": "up to",
    "trial_from_g": "for 100 mL, from", "trial_up_to_g": "for 100 mL, up to", "how": "how",
    "units_a_minute": "units a minute", "units": "pasteurising units", "minutes_needed": "minutes needed",
    "keg_bar": "set the keg to", "keg_plus_minus_bar": "give or take", "keg_psi": "which is, in psi",
    "freezing_c": "ice begins at",
    "freezing_plus_minus_c": "give or take", "energy_kj": "energy", "energy_kcal": "or", "alcohol_g": "alcohol",
    "holds_l": "it holds", "degrees_plato": "Plato", "degrees_oechsle": "Oechsle", "degrees_baume": "Baumé",
    "degrees_kmw": "KMW", "from_gravities": "gravity of the must", "strengths_percent": "comes to",
    "co2_most_g": "at the very most", "co2_so_far_g": "so far", "co2_to_come_g": "still to come",
}  # fmt: skip

# Longest ending first: 3.2 mg_per_l is not litres.
_ENDINGS = (
    ("_kj", "kJ"), ("_kcal", "kcal"), ("_c", "°C"), ("degrees_plato", "°P"), ("degrees_oechsle", "°Oe"),
    ("degrees_baume", "°Bé"), ("degrees_kmw", "°KMW"), ("minutes_needed", "min"), ("_psi", "psi"), ("units_a_minute",
    "PU"),
    ("strengths_percent", "% vol"), ("_mg_per_l", "mg/L"), ("_g_per_l", "g/L"), ("_kg_m3", "kg/m3"), ("abv_percent",
    "% vol"), ("_sg", ""),
    ("_percent", "%"), ("_ppm", "ppm"), ("_bar", "bar"), ("bar_at_20c", "bar"), ("bar_at_30c", "bar"),
    ("_volumes", "volumes"), ("temp_used_c", "°C"), ("bar_excess", "bar"), ("bar_plus_minus", "bar"),
    ("abv_plus_minus", "% vol"), ("_ml", "mL"), ("_g", "g"), ("_l", "L"),
)  # fmt: skip
_UNITS = {
    "sg_20_20": "SG", "from_gravities": "SG", "gravity": "SG", "gravity_after": "SG", "end_gravity": "SG",
    "brix": "°Bx", "brix_at_20": "°Bx", "ph_used": "pH",
    "plus_minus": "% vol", "abv_after_percent": "% vol", "abv_fermented_percent": "% vol", "abv_used_percent": "% vol",
    "potential_abv_percent": "% vol",
}  # fmt: skip
PASSED = {
    "none": "none", "eight_hours": "5,000 ppm, for eight hours", "fifteen_minutes": "30,000 ppm, for fifteen minutes",
    "danger_to_life": "40,000 ppm, danger to life", "unconscious": "70,000 ppm, unconscious within minutes",
}  # fmt: skip


_WORTH = {
    "SG": 5, "% vol": 2, "%": 2, "mg/L": 1, "g/L": 2, "bar": 2, "kg/m3": 2, "°Bx": 2, "volumes": 2, "°C": 1,
    "pH": 2, "SG a day": 5, "kJ": 0, "kcal": 0, "°P": 2, "°Oe": 1, "°Bé": 2, "°KMW": 2, "min": 1, "psi": 1,
}  # fmt: skip


_SHOWN = {"kJ": 0, "kcal": 0, "°P": 1, "°Oe": 0, "°Bé": 1, "°KMW": 1, "min": 0, "psi": 0, "PU": 1}
"""Places of what is shown."""


def label_of(name: str) -> str:
    """What a number is called."""
    return LABELS.get(name, name.replace("_", " "))


def unit_of(name: str) -> str:
    """The unit of a number, from its name."""
    if name in _UNITS:
        return _UNITS[name]
    return next((unit for ending, unit in _ENDINGS if name.endswith(ending)), "")


def value_text(name: str, value: Value, units: Units = METRIC) -> str:
    """A value as the maker reads it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return PASSED.get(value, value) if name == "passed" else value
    if isinstance(value, tuple):
        return ", ".join(value_text(name, part, units) for part in value) or "none"
    if isinstance(value, float):
        if name == "sugar_spent_percent":
            return f"{show_number(value, 0, units)} %"  # by gravity: near the end no measure of what is left
        if "plus_minus" in name or name.endswith("_sd_g"):
            value = significant(value, 2)
        if unit_of(name) in _SHOWN:
            return f"{show_number(value, _SHOWN[unit_of(name)], units)} {unit_of(name)}".rstrip()
    return quantity(value, unit_of(name), units)


def worth(value: Value, unit: str) -> Value:
    """A number to the places that it is worth, one more than is shown: what comes after them is made up."""
    if isinstance(value, tuple):
        return tuple(worth(part, unit) for part in value)  # type: ignore[return-value]  # a tuple of one kind
    if not isinstance(value, float):
        return value
    if unit in _WORTH:
        return round(value, _WORTH[unit])
    if unit == "L" and abs(value) < 10.0:
        return round(value, 3)
    return significant(value, 2 if unit == "ppm" else 4)


def _table(values: Mapping[str, Value], units: Units) -> Iterator[tuple[str, str]]:
    """A row for each gravity of a table."""
    gravities, strengths = values["from_gravities"], values["strengths_percent"]
    assert isinstance(gravities, tuple)
    assert isinstance(strengths, tuple)
    for gravity, strength in zip(gravities, strengths, strict=True):
        assert isinstance(gravity, float)
        assert isinstance(strength, float)
        yield show_gravity(gravity, units), f"{show_number(strength, 1, units)} % vol"


def rows(sum_: Sum, units: Units = METRIC) -> Iterator[tuple[str, str]]:
    """Label and text of every number of a sum, in order."""
    if sum_.what == "potential":
        yield from _table(sum_.values, units)
        return
    for name, value in sum_.values.items():
        if name == "bar_excess" and value in (sum_.values.get("bar_at_20c"), sum_.values.get("bar_at_30c")):
            continue  # given for at a temperature that has a line of its own
        if name in _BEHIND:
            continue
        text, sd = value_text(name, value, units), sum_.values.get(PLUS_MINUS.get(name, ""))
        if value is not None and sd is not None:
            text += f" ± {value_text(PLUS_MINUS[name], sd, units)}"
        yield label_of(name), text
