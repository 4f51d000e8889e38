"""The names of an entry's fields in words: files and commands say dap_g, people say DAP."""

from __future__ import annotations

from collections.abc import Mapping

from fermtui.daybook.fields import Unfit

FIELDS: Mapping[str, str] = {
    "volume_l": "the volume", "honey_g": "honey", "honey_moisture_percent": "the honey's moisture", "water_l": "water",
    "juice_l": "juice", "juice_sg": "the gravity of the juice", "yeast_g": "yeast", "temp_c": "the temperature",
    "dap_g": "DAP", "autolysate_g": "autolysate", "complex_g": "complex nutrient", "mass_g": "the mass",
    "loss_l": "what is lost with it", "sg": "the gravity", "brix": "Brix", "ph": "pH", "abv_percent": "the strength",
    "free_so2_mg_per_l": "free SO2", "sample_ml": "the sample", "metabisulfite_g": "metabisulfite",
    "sorbate_g": "potassium sorbate", "count": "the count", "size_ml": "the bottle size", "priming_g": "priming sugar",
    "water_g": "water", "so2_mg": "SO2", "sorbate_mg": "sorbate", "sweetened_g": "sweetening",
    "priming_kind": "the kind of priming sugar", "left_l": "what is left over", "sugar_g": "sugar",
    "ethanol_g": "alcohol",
}  # fmt: skip


def field_name(name: str) -> str:
    """`DAP`, `the gravity`; a name that is a word already stays."""
    return FIELDS.get(name, name.replace("_", " "))


def unfit_text(bad: Unfit, *, typed: bool = False) -> str:
    """The sentence with the fields in words; with `typed`, each with the name under which it is typed behind it."""
    return bad.text(lambda name: f"{field_name(name)} ({name}=)" if typed and name in FIELDS else field_name(name))
