"""The maker's own defaults of the bench: what cellar.toml says of hydrometer, honey, nutrients, sulfite and room."""

from __future__ import annotations

from collections.abc import Mapping

from fermtui.daybook.settings import Settings


def usual_of(settings: Settings) -> Mapping[str, Mapping[str, str]]:
    """For each sum, options with the values that the settings give them; every one names its unit."""
    nutrients, moisture = settings.nutrients, f"{settings.honey_moisture_percent:g}"
    feeding = {
        "own": f"{nutrients.honey_mg_per_l:g} mg/L",
        "inorganic": f"{100 * nutrients.inorganic_share:g}",
        "autolysate-n": f"{nutrients.autolysate_n_percent:g}",
        "effect": f"{nutrients.autolysate_effect:g}",
    }
    if nutrients.complex_n_percent is not None:
        feeding["complex-n"] = f"{nutrients.complex_n_percent:g}"
    found = {
        "correct": {
            "calibrated": f"{settings.hydrometer.calibrated_c:g} C",
            "offset": f"{settings.hydrometer.offset_sg:g}",
        },
        "honey": {"moisture": moisture},
        "sweeten": {"moisture": moisture},
        "nitrogen": feeding,
        "sulfite": {
            "salt": settings.sulfite.salt,
            "molecular": f"{settings.sulfite.molecular_mg_per_l:g} mg/L",
        },
    }
    if settings.room_m3 is not None:
        found["air"] = {"room": f"{settings.room_m3:g} m3"}
    return found
